//! The name of an order: the stem of its file, in characters that every file system takes.

use super::text::unseen;
use std::path::Path;

/// Names that Windows reserves for devices, also with an extension.
const DEVICES: [&str; 22] = [
    "con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8",
    "com9", "lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9",
];

/// Returns the name of the order in a file, which is also that of the folder for its sheets: a plain name that
/// leads to no other folder and is allowed on any computer.
pub fn name_of(path: &Path) -> String {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let refused = |c: char| c.is_control() || "<>:\"/\\|?*".contains(c);
    let plain: String = stem
        .chars()
        .map(|c| if refused(c) { '-' } else { c })
        .collect();
    let name = plain.trim_matches(|c| c == '.' || unseen(c));
    let device = name.split('.').next().unwrap_or_default().trim();
    if name.is_empty() {
        "order".to_owned()
    } else if DEVICES.iter().any(|d| d.eq_ignore_ascii_case(device)) {
        format!("order-{name}")
    } else {
        name.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_can_be_folders_anywhere() {
        for (file, name) in [
            ("orders/mine.toml", "mine"),
            ("Żółć 2.toml", "Żółć 2"),
            ("v1.2.toml", "v1.2"),
            ("a:b|c.toml", "a-b-c"),
            ("a\nb.toml", "a-b"),
            ("trailing. .toml", "trailing"),
            ("...toml", "order"),
            (" .toml", "order"),
            ("..", "order"),
            ("\u{200b}\u{2800}.toml", "order"),
            ("\u{feff}mine.toml", "mine"),
            ("CON.toml", "order-CON"),
            ("aux.x.toml", "order-aux.x"),
            ("com1 .toml", "order-com1"),
            ("console.toml", "console"),
        ] {
            assert_eq!(name_of(Path::new(file)), name, "{file}");
        }
    }
}
