//! The program: parse the arguments, call the command, exit with its code.

mod cli;

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run(cli::Arguments::parse())
}
