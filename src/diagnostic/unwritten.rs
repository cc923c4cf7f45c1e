//! The message for what cannot be written.

use super::{Diagnostic, Source};
use std::io::{Error, ErrorKind};
use std::path::Path;

/// Says in words why `what` cannot be written at a place, and what to do.
pub fn unwritten(what: &str, place: &Path, error: &Error) -> Diagnostic {
    let below_a_file = place.ancestors().skip(1).any(Path::is_file);
    let known = match error.kind() {
        ErrorKind::AlreadyExists if !below_a_file => Some((
            "there is already something with that name",
            "use a new name",
        )),
        ErrorKind::NotFound => Some((
            "its folder does not exist",
            "make the folder first, or use another",
        )),
        ErrorKind::NotADirectory | ErrorKind::AlreadyExists => Some((
            "there is a file where the folder should be",
            "use another folder",
        )),
        ErrorKind::PermissionDenied => Some((
            "you have no permission to write there",
            "use a folder of your own, or ask whoever looks after this one",
        )),
        ErrorKind::ReadOnlyFilesystem => Some(("the disk is read-only", "use another disk")),
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            Some(("the disk is full", "free some space, or use another disk"))
        }
        _ => None,
    };
    let why = known.map_or_else(|| error.to_string(), |(why, _)| why.to_owned());
    let here = Source::new(place.display().to_string(), "");
    let fault = Diagnostic::error(format!("{what} cannot be written: {why}")).in_file(&here);
    match known {
        Some((_, help)) => fault.help(help),
        None => fault,
    }
}
