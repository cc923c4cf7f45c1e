//! `new`: a starter order.

use super::show;
use super::unwritten::unwritten;
use chalkstripe::order::starter;
use chalkstripe::workshop::Workshop;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// What `new` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// The file to write; it must not exist yet. Without it the order is printed.
    pub file: Option<PathBuf>,
}

/// Writes a starter order to a new file, or prints it; true if all went well.
pub(super) fn run(settings: &Settings) -> bool {
    let text = match starter(&Workshop::embedded().catalogue) {
        Ok(text) => text,
        Err(fault) => {
            show::findings(&[fault]);
            return false;
        }
    };
    let Some(path) = &settings.file else {
        return show::print(&text);
    };
    let what = "a starter order; change it and run `chalkstripe check` on it";
    written(path, &text, what)
}

/// Writes an order to a new file and says what it is; true if all went well.
pub(super) fn written(path: &Path, text: &str, what: &str) -> bool {
    match write(path, text) {
        Ok(()) => show::print(&format!("{}: {what}\n", path.display())),
        Err(error) => {
            show::findings(&[unwritten("the order", path, &error)]);
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
