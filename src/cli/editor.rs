//! `schema`, `completions` and `manual`: what editors, shells and readers of manuals want to know.

use super::{Arguments, blocks, show};
use chalkstripe::order::{Diagnostic, Source, schema};
use clap::CommandFactory;
use clap_complete::Shell;
use std::fs;
use std::path::{Path, PathBuf};

/// Prints the JSON Schema of an order; true if all went well. `own` is a folder of
/// blocks of one's own.
pub fn schema_of(own: Option<PathBuf>) -> bool {
    match blocks::catalogue(own).and_then(|catalogue| schema(&catalogue)) {
        Ok(schema) => show::print(&format!("{schema:#}\n")),
        Err(faults) => {
            show::findings(&faults);
            false
        }
    }
}

/// Prints the completions for a shell.
pub fn completions(shell: Shell) -> bool {
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "chalkstripe", &mut text);
    show::print(&String::from_utf8_lossy(&text))
}

/// Writes a manual page for the program and one for each command into a folder.
pub fn manual(folder: &Path) -> bool {
    let written = fs::create_dir_all(folder)
        .and_then(|()| clap_mangen::generate_to(Arguments::command(), folder));
    match written {
        Ok(()) => show::print(&format!(
            "{}: try `man -l {0}/chalkstripe.1`\n",
            folder.display()
        )),
        Err(error) => {
            let here = Source::new(folder.display().to_string(), "");
            let fault = Diagnostic::error(format!("the manual cannot be written: {error}"));
            show::findings(&[fault.in_file(&here)]);
            false
        }
    }
}
