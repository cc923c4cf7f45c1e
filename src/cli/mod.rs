//! The commands, one file each. They read, call the catalogue, print and write; they compute nothing.

mod check;
mod cut;
mod help;
mod new;
mod orders;
mod show;
mod stop;

use chalkstripe::sheets::paper::Paper;
use clap::{Parser, Subcommand};
use std::path::PathBuf;
use std::process::ExitCode;

/// From a bespoke tailor's order to a proven pattern, a lay and true-scale sheets to cut from.
///
/// Measure the printed test square before you cut. Cut a toile, or leave the inlays and baste,
/// before you cut good cloth. Follow your machine's manual and your local rules for shears, knives,
/// steam and powered cutters. The draft is a starting point for a trained cutter's eye.
#[derive(Debug, Parser)]
#[command(name = "chalkstripe", version, max_term_width = 100, after_help = help::PROGRAM)]
pub struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Cut orders: draft, prove, lay and draw them. Each gets a folder of its own with the paper
    /// pattern, the lay as SVG and plot file, the ticket and the report.
    #[command(after_help = help::CUT)]
    Cut {
        /// Order files, or folders of them.
        #[arg(required = true, value_name = "ORDER")]
        orders: Vec<PathBuf>,
        /// The folder that gets a folder for each order.
        #[arg(long, value_name = "DIR", default_value = "out")]
        out: PathBuf,
        /// What the pattern is printed on: a4, a3, a2, a1, a0, letter, tabloid, or a roll and its
        /// width, such as roll:914mm.
        #[arg(long, default_value = "a4")]
        paper: Paper,
        /// Rounds of the search for a short lay; more take longer and may need less cloth.
        #[arg(long, value_name = "N", default_value_t = 12, value_parser = clap::value_parser!(u32).range(1..=100_000))]
        rounds: u32,
    },
    /// Read orders and report: measures, style, warnings. Writes nothing.
    #[command(after_help = help::CHECK)]
    Check {
        /// Order files, or folders of them.
        #[arg(required = true, value_name = "ORDER")]
        orders: Vec<PathBuf>,
    },
    /// Write a starter order with every choice and its default, or print it.
    #[command(after_help = help::NEW)]
    New {
        /// The file to write; it must not exist yet.
        file: Option<PathBuf>,
    },
}

/// The exit code for a fault in what the user gave; the command line's own faults have the same.
const FAULT: u8 = 2;

/// Runs a command; the code is 0 if all went well, 2 if anything was at fault and 130 if the user
/// stopped it.
pub fn run(arguments: Arguments) -> ExitCode {
    let well = match arguments.command {
        Command::Cut {
            orders,
            out,
            paper,
            rounds,
        } => cut::run(&orders, &cut::Settings { out, paper, rounds }),
        Command::Check { orders } => check::run(&orders),
        Command::New { file } => new::run(file.as_deref()),
    };
    if stop::asked() {
        ExitCode::from(stop::CODE)
    } else if well {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(FAULT)
    }
}
