//! `next`: a new order for a client who has had one before.

use super::new;
use super::orders::Task;
use chalkstripe::diagnostic::Source;
use chalkstripe::order;
use chalkstripe::workshop::Workshops;
use std::path::{Path, PathBuf};

/// Writes a new order from an old one, or prints it: measures, figure and fittings kept, the rest asked
/// anew. True if all went well.
pub(super) fn run(settings: &Settings) -> bool {
    let Some(task) = Task::read(&Workshops::default(), &settings.old) else {
        return false;
    };
    let file = settings.file.as_deref();
    let folder = file.and_then(Path::parent).unwrap_or(Path::new(""));
    let folder = if folder == Path::new("") {
        Path::new(".")
    } else {
        folder
    };
    let text = Source::read(&settings.old)
        .and_then(|source| order::next(&task.workshop.catalogue, &task.order, &source, folder));
    let what = "the next order: `chalkstripe check` lists what is still to be chosen";
    new::printed_or_written(text, file, what)
}

/// What `next` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// The earlier order.
    #[arg(value_name = "OLD")]
    pub old: PathBuf,
    /// The file to write, which must not exist yet [default: print the order].
    #[arg(value_name = "NEW")]
    pub file: Option<PathBuf>,
}
