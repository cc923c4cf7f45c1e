//! What cannot be written, found before the work.

use chalkstripe::diagnostic::Diagnostic;
pub(super) use chalkstripe::diagnostic::unwritten;
use chalkstripe::sheets::{Sheet, folder};
use std::path::Path;

/// Checks before the work that `what` can be written into a folder.
pub(super) fn writable(what: &str, to: &Path) -> Result<(), Vec<Diagnostic>> {
    folder::can_take(to).map_err(|error| vec![unwritten(what, to, &error)])
}

/// Writes `what` into a file that the user has named. Its name must end in `ending`: `pdf`, `png`.
pub(super) fn write_named(
    what: &str,
    path: &Path,
    ending: &str,
    bytes: impl FnOnce() -> Vec<u8>,
) -> Result<(), Vec<Diagnostic>> {
    if path.extension().is_none_or(|own| own != ending) {
        let (name, kind) = (path.display(), ending.to_uppercase());
        let fault = Diagnostic::error(format!("`{name}` is not the name of a {kind}"));
        return Err(vec![
            fault.help(format!("use a name that ends in .{ending}")),
        ]);
    }
    let file = path
        .file_name()
        .map(|name| name.to_string_lossy().into_owned());
    let parent = match path.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    };
    let sheet = Sheet::new(file.unwrap_or_default(), bytes());
    folder::write_all(&[sheet], parent).map_err(|error| vec![unwritten(what, path, &error)])
}
