//! The program: run the command, exit with its code.

mod cli;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run()
}
