//! `new`: a starter order.

use super::show;
use chalkstripe::order::{Catalogue, Diagnostic, Source, starter};
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

/// Writes a starter order to a new file, or prints it; true if all went well.
pub fn run(file: Option<&Path>) -> bool {
    let text = match starter(&Catalogue::default()) {
        Ok(text) => text,
        Err(fault) => {
            show::findings(&[fault]);
            return false;
        }
    };
    let Some(path) = file else {
        return show::print(&text);
    };
    written(
        path,
        &text,
        "a starter order; change it and run `chalkstripe check`",
    )
}

/// Writes an order to a new file and says what it is; true if all went well.
pub fn written(path: &Path, text: &str, what: &str) -> bool {
    match write(path, text) {
        Ok(()) => show::print(&format!("{}: {what}\n", path.display())),
        Err(error) => {
            let here = Source::new(path.display().to_string(), "");
            let fault =
                Diagnostic::error(format!("the order cannot be written: {error}")).in_file(&here);
            let there = error.kind() == io::ErrorKind::AlreadyExists;
            let fault = if there {
                fault.help("give a name that is not taken yet")
            } else {
                fault
            };
            show::findings(&[fault]);
            false
        }
    }
}

/// Writes a file that does not exist yet: whole, or not at all.
fn write(path: &Path, text: &str) -> io::Result<()> {
    let mut file = File::create_new(path)?;
    let outcome = file
        .write_all(text.as_bytes())
        .and_then(|()| file.sync_all());
    if outcome.is_err() {
        let _ = fs::remove_file(path);
    }
    outcome
}
