//! Reading a file that findings point into, with bounds on what is taken for one.

use super::{Diagnostic, Source, nearest};
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::Path;
use std::sync::Arc;

/// The largest file that is read, in bytes: many times what an order or a block needs.
const MOST_BYTES: u64 = 256 * 1024;

impl Source {
    /// Reads a file.
    ///
    /// # Errors
    /// Returns what is wrong where there is no such file, it may not be read, it is larger than an order or a
    /// block can be, or it is not a text in UTF-8.
    pub fn read(path: &Path) -> Result<Arc<Self>, Diagnostic> {
        let name = path.display().to_string();
        let here = Self::new(&name, "");
        let fault = |message: String| Diagnostic::error(message).in_file(&here);
        let about = fs::metadata(path).map_err(|e| unreadable(path, &e))?;
        if about.is_dir() {
            return Err(fault(format!("`{name}` is a folder, not a file")));
        }
        if !about.is_file() {
            return Err(fault(format!("`{name}` is not a plain file")));
        }
        let mut bytes = Vec::new();
        let file = File::open(path).map_err(|e| unreadable(path, &e))?;
        file.take(MOST_BYTES + 1)
            .read_to_end(&mut bytes)
            .map_err(|e| unreadable(path, &e))?;
        if bytes.len() as u64 > MOST_BYTES {
            let (found, most) = (about.len() / 1024, MOST_BYTES / 1024);
            let message = format!(
                "`{name}` is too large to be read: {found} KiB, where {most} KiB is the most"
            );
            return Err(
                fault(message).help("an order is a few kilobytes of text: is this the right file?")
            );
        }
        String::from_utf8(bytes)
            .map(|text| Self::new(&name, text))
            .map_err(|error| not_utf8(&name, error.as_bytes()))
    }
}

/// Says why bytes are not a text in UTF-8. A text in another encoding has only few unreadable letters, and the
/// first is pointed at; anything else is called no text at all.
fn not_utf8(name: &str, bytes: &[u8]) -> Diagnostic {
    let here = Source::new(name, "");
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Diagnostic::error(format!("`{name}` is saved as UTF-16 text"))
            .in_file(&here)
            .help("save it as UTF-8 plain text (in the editor's \"save as\")");
    }
    let text = String::from_utf8_lossy(bytes);
    let strange =
        |c: char| c == char::REPLACEMENT_CHARACTER || (c.is_control() && !c.is_whitespace());
    let odd = text.chars().filter(|c| strange(*c)).count();
    let first = text.find(char::REPLACEMENT_CHARACTER);
    match first {
        Some(at) if 20 * odd <= text.chars().count() => {
            let end = at + char::REPLACEMENT_CHARACTER.len_utf8();
            Diagnostic::error(format!(
                "`{name}` is not saved as UTF-8: this letter cannot be read"
            ))
            .at(&Source::new(name, text.into_owned()), at..end, "")
            .help("save it again as UTF-8 plain text (in the editor's \"save as\")")
        }
        _ => Diagnostic::error(format!("`{name}` is not a text file"))
            .in_file(&here)
            .help("an order is plain text in UTF-8: is this the right file?"),
    }
}

fn unreadable(path: &Path, error: &io::Error) -> Diagnostic {
    let name = path.display().to_string();
    let here = Source::new(&name, "");
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => {}
        io::ErrorKind::PermissionDenied => {
            let fault = Diagnostic::error(format!("you have no permission to read `{name}`"));
            return fault.in_file(&here);
        }
        _ => {
            let fault = Diagnostic::error(format!("`{name}` cannot be read: {error}"));
            return fault.in_file(&here);
        }
    }
    if path.is_symlink() {
        let fault = Diagnostic::error(format!("`{name}` is a link to a file that does not exist"));
        return fault.in_file(&here);
    }
    let fault = Diagnostic::error(format!("there is no file `{name}`"));
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let Ok(entries) = fs::read_dir(folder) else {
        return fault.help(format!("there is no folder `{}` either", folder.display()));
    };
    let mut names: Vec<String> = entries
        .flatten()
        .take(1000)
        .filter_map(|e| e.file_name().into_string().ok())
        .collect();
    names.sort();
    let wanted = path
        .file_name()
        .and_then(|n| n.to_str())
        .unwrap_or_default();
    match nearest(wanted, names.iter().map(String::as_str)) {
        Some(near) => fault.help(format!("Perhaps: {}", path.with_file_name(near).display())),
        None => fault,
    }
}
