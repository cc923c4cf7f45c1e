//! The commands, one file each. They read, call the library, print and write; they compute nothing.

mod arguments;
mod asked;
mod blocks;
mod check;
mod cloth;
mod cut;
mod draft;
mod editor;
mod help;
mod lay;
mod many;
mod measures;
mod metres;
mod new;
mod next;
mod orders;
mod show;
mod stop;
mod swatch;
mod talk;
mod trial;
mod unwritten;

use arguments::{Arguments, Command};
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{CommandFactory, Parser};
use std::path::Path;
use std::process::ExitCode;

/// Runs the command that the program was called with; the code is 0 if all went well, 2 if anything
/// was at fault and 130 if the user stopped it.
pub(crate) fn run() -> ExitCode {
    let command = match Arguments::try_parse() {
        Ok(arguments) => arguments.command,
        Err(fault) => return refused(&fault),
    };
    let well = match command {
        Command::Talk(settings) => return talk::run(&settings),
        Command::New(settings) => new::run(&settings),
        Command::Measures(settings) => measures::run(&settings),
        Command::Check(settings) => check::run(&settings),
        Command::Cloth(settings) => cloth::run(&settings),
        Command::Swatch(settings) => swatch::run(&settings),
        Command::Cut(settings) => cut::run(&settings),
        Command::Lay(settings) => lay::run(&settings),
        Command::Draft(settings) => draft::run(&settings),
        Command::Next(settings) => next::run(&settings),
        Command::Blocks(settings) => blocks::run(&settings),
        Command::Try(settings) => trial::run(&settings),
        Command::Schema(settings) => editor::schema_of(&settings),
        Command::Completions(settings) => editor::completions(&settings, Arguments::command()),
        Command::Manual(settings) => editor::manual(&settings, Arguments::command()),
    };
    if stop::asked() {
        ExitCode::from(stop::CODE)
    } else if well {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(show::FAULT)
    }
}

/// Shows what is wrong with the arguments, or the help that they ask for. Where an order stands in place of a
/// command, the command was forgotten, and the message says so.
fn refused(fault: &clap::Error) -> ExitCode {
    if fault.kind() == ErrorKind::InvalidSubcommand
        && let Some(ContextValue::String(word)) = fault.get(ContextKind::InvalidSubcommand)
        && (word.ends_with(".toml") || Path::new(word).exists())
    {
        show::findings(&[help::file_for_a_command(word)]);
        return ExitCode::from(show::FAULT);
    }
    // If nobody reads the output there is nobody to tell.
    let _ = fault.print();
    ExitCode::from(u8::try_from(fault.exit_code()).unwrap_or(show::FAULT))
}
