//! `new`: a starter order.

use super::show;
use super::unwritten::unwritten;
use chalkstripe::diagnostic::Diagnostic;
use chalkstripe::order::starter;
use chalkstripe::workshop::Workshop;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// What `new` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// The file to write, which must not exist yet [default: print the order].
    pub file: Option<PathBuf>,
}

/// Writes a starter order to a new file, or prints it; true if all went well.
pub(super) fn run(settings: &Settings) -> bool {
    let what = "a starter order: fill it in, then run `chalkstripe check` on it";
    let text = starter(&Workshop::embedded().catalogue);
    printed_or_written(text, settings.file.as_deref(), what)
}

/// Prints the text of an order, or writes it where a file is named; true if all went well.
pub(super) fn printed_or_written(
    text: Result<String, Diagnostic>,
    file: Option<&Path>,
    what: &str,
) -> bool {
    match (text, file) {
        (Ok(text), Some(file)) => written(file, &text, what),
        (text, _) => show::outcome(text.map_err(|fault| vec![fault])),
    }
}

/// Writes an order to a new file and says what it is; true if all went well.
fn written(path: &Path, text: &str, what: &str) -> bool {
    let told = |()| format!("{}: {what}\n", path.display());
    let fault = |error| vec![unwritten("the order", path, &error)];
    show::outcome(write(path, text).map(told).map_err(fault))
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
