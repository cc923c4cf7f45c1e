//! `schema`, `completions` and `manual`: files for editors, shells and readers of manuals.

use super::unwritten::unwritten;
use super::{blocks, show};
use chalkstripe::order::schema;
use clap::Command;
use clap_complete::Shell;
use std::fs;
use std::path::PathBuf;

/// What `schema` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct SchemaSettings {
    /// A folder of blocks of your own, whose garments and choices are to be known as well.
    #[arg(long, value_name = "DIR")]
    pub blocks: Option<PathBuf>,
}

/// What `completions` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct CompletionsSettings {
    /// The shell.
    pub shell: Shell,
}

/// What `manual` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct ManualSettings {
    /// The folder they are written into.
    #[arg(value_name = "DIR", default_value = "man")]
    pub folder: PathBuf,
}

/// Prints the JSON Schema of an order; true if all went well.
pub(super) fn schema_of(settings: &SchemaSettings) -> bool {
    let workshop = blocks::workshop(settings.blocks.as_deref());
    let schema = workshop.and_then(|workshop| schema(&workshop.catalogue));
    show::outcome(schema.map(|schema| format!("{schema:#}\n")))
}

/// Prints the completions for a shell; true if all went well.
pub(super) fn completions(settings: &CompletionsSettings, mut command: Command) -> bool {
    let mut text = Vec::new();
    clap_complete::generate(settings.shell, &mut command, "chalkstripe", &mut text);
    show::print(&String::from_utf8_lossy(&text))
}

/// Writes a manual page for the program and one for each command into a folder; true if all went
/// well.
pub(super) fn manual(settings: &ManualSettings, command: Command) -> bool {
    let folder = &settings.folder;
    let written =
        fs::create_dir_all(folder).and_then(|()| clap_mangen::generate_to(command, folder));
    let told = |()| format!("{}: try `man -l {0}/chalkstripe.1`\n", folder.display());
    let fault = |error| vec![unwritten("the manual", folder, &error)];
    show::outcome(written.map(told).map_err(fault))
}
