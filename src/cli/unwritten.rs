//! What cannot be written, found before the work.

use chalkstripe::diagnostic::Diagnostic;
pub(super) use chalkstripe::diagnostic::unwritten;
use chalkstripe::sheets::folder;
use std::path::Path;

/// Checks before the work that `what` can be written into a folder.
pub(super) fn writable(what: &str, to: &Path) -> Result<(), Vec<Diagnostic>> {
    folder::can_take(to).map_err(|error| vec![unwritten(what, to, &error)])
}
