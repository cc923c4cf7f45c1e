//! Reads the kept lays from which searches start: those that come with the program, or a workshop's own.

use crate::diagnostic::{Diagnostic, Source};
use crate::lay::KeptLay;
use serde::Deserialize;
use std::path::Path;
use std::sync::{Arc, LazyLock};

/// The file of kept lays in a folder of blocks.
const FILE: &str = "lays.toml";

/// The lays that come with the program: of suits for invented men, laid by long searches of its own
/// (`cargo bench --bench kept` makes them anew).
static BUILT_IN: LazyLock<Kept> = LazyLock::new(|| {
    let text = include_str!("../blocks/lays.toml");
    parse(&Source::new("blocks/lays.toml", text))
});

/// Kept lays, or the fault of their file.
type Kept = Result<Arc<[KeptLay]>, Diagnostic>;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LaysFile {
    #[serde(default)]
    lay: Vec<KeptLay>,
}

/// Returns the kept lays of the program, or those of a folder of blocks. A `lays.toml` in the folder replaces the
/// built-in one; an empty one lets every search start from nothing.
///
/// # Errors
/// When the file cannot be read, or something in it is not a kept lay: with its line.
pub fn lays(folder: Option<&Path>) -> Kept {
    match folder.map(|folder| folder.join(FILE)) {
        Some(own) if own.is_file() => parse(&Source::read(&own)?),
        _ => BUILT_IN.clone(),
    }
}

fn parse(source: &Arc<Source>) -> Kept {
    let file: Result<LaysFile, _> = toml::from_str(&source.text);
    file.map(|file| file.lay.into()).map_err(|error| {
        let message = format!("the kept lays cannot be read: {}", error.message());
        let finding = Diagnostic::error(message);
        let finding = match error.span() {
            Some(span) => finding.at(source, span, ""),
            None => finding.in_file(source),
        };
        finding.help(
            "without a lays.toml in the folder the built-in lays are used, with an empty one none",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Rect;

    /// Places and extents are written to a whole mm.
    const WRITTEN: f64 = 1.0;

    #[test]
    fn the_pieces_of_each_built_in_lay_lie_on_its_cloth_and_fill_it() {
        let lays = lays(None).unwrap();
        assert!(!lays.is_empty());
        for lay in lays.iter() {
            let cloth = Rect::new(0.0, 0.0, lay.width, lay.length).inset(WRITTEN);
            let mut area = 0.0;
            for piece in &lay.pieces {
                let placed = Rect::from_center_size(piece.middle, piece.size.to_size());
                assert!(cloth.contains_rect(placed), "{}: {}", lay.name, piece.name);
                area += placed.area();
            }
            assert!(area > cloth.area(), "{}: pieces are missing", lay.name);
        }
    }

    /// The fault of a file, as it is shown.
    fn fault(text: &str) -> String {
        parse(&Source::new("lays.toml", text))
            .unwrap_err()
            .render(false)
    }

    #[test]
    fn a_bad_file_is_a_fault_with_its_line() {
        let lay = |pieces: &str| {
            format!("[[lay]]\nname = \"a suit\"\nwidth = 1480\nlength = 2000\n{pieces}")
        };
        assert!(parse(&Source::new("lays.toml", lay("pieces = []"))).is_ok());
        let good = "pieces = [\n  [\"jacket back\", false, 1, 0, 273, 822, 1344, 1216],\n";
        let short = fault(&lay(&format!("{good}  [\"jacket flap\", false, 1],\n]")));
        assert!(short.contains("lays.toml, line 7:"), "{short}");
        let flat = fault(&lay(&format!(
            "{good}  [\"jacket flap\", false, 1, 0, 0, 82, 740, 12],\n]"
        )));
        // The reader knows the list that a piece stands in; its name tells which.
        assert!(flat.contains("lays.toml, line 5:"), "{flat}");
        assert!(flat.contains("`jacket flap`"), "{flat}");
        let nowhere = fault(&lay(&format!(
            "{good}  [\"jacket flap\", false, 1, 0, 167, 82, nan, 12],\n]"
        )));
        assert!(nowhere.contains("lays.toml, line 5:"), "{nowhere}");
        assert!(nowhere.contains("`jacket flap` must lie"), "{nowhere}");
        let narrow = fault(&lay("pieces = []").replace("1480", "-1480"));
        assert!(narrow.contains("lays.toml, line 3:"), "{narrow}");
        let missing = fault("[[lay]]\nname = \"a suit\"\n");
        assert!(missing.contains("missing field"), "{missing}");
        let unknown = fault("[[lays]]\n");
        assert!(unknown.contains("lays.toml, line 1:"), "{unknown}");
    }
}
