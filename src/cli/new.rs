//! `new`: a starter order.

use super::unwritten::unwritten;
use super::{blocks, show};
use chalkstripe::diagnostic::Diagnostic;
use chalkstripe::order::starter;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// What `new` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// The file to write, which must not exist yet [default: print the order].
    pub file: Option<PathBuf>,
    /// A folder of your own blocks, whose garments and choices are in the order as well.
    #[arg(long, value_name = "DIR")]
    pub blocks: Option<PathBuf>,
}

/// Writes a starter order to a new file, or prints it; true if all went well.
pub(super) fn run(settings: &Settings) -> bool {
    let what = "a starter order: fill it in, then run `chalkstripe check` on it";
    let workshop = match blocks::workshop(settings.blocks.as_deref()) {
        Ok(workshop) => workshop,
        Err(faults) => {
            show::findings(&faults);
            return false;
        }
    };
    let text = starter(&workshop.catalogue).map(|text| named(text, settings));
    printed_or_written(text, settings.file.as_deref(), what)
}

/// Makes the order name its folder of blocks, as it is reached from the folder in which the order will stand.
fn named(text: String, settings: &Settings) -> String {
    let Some(blocks) = &settings.blocks else {
        return text;
    };
    let folder = settings.file.as_deref().and_then(Path::parent);
    let beside = folder.is_none_or(|folder| folder == Path::new(""));
    let blocks = match beside {
        true => blocks.clone(),
        false => blocks.canonicalize().unwrap_or_else(|_| blocks.clone()),
    };
    let line = toml::Value::String(blocks.display().to_string());
    text.replacen("# blocks = \"folder\" ", &format!("blocks = {line} "), 1)
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
