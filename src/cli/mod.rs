//! The commands, one file each. They read, call the catalogue, print and write; they compute nothing.

mod blocks;
mod check;
mod cloth;
mod cut;
mod draft;
mod editor;
mod help;
mod lay;
mod measures;
mod new;
mod next;
mod orders;
mod show;
mod stop;

use chalkstripe::order::length::{self, Unit};
use chalkstripe::sheets::paper::Paper;
use chalkstripe::sheets::plot::Reach;
use chalkstripe::sheets::wishes::{self, Wishes};
use clap::{Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
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
    /// pattern, the lays as SVG, plot file and picture, all pieces, the ticket, the order as a page
    /// for a browser, and the report.
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
        #[arg(long, default_value = "a4", help_heading = "Paper")]
        paper: Paper,
        /// What is printed: every piece once on the fewest pages, or every cut as it lies on the
        /// cloth.
        #[arg(long, value_enum, default_value_t = Print::Pieces, help_heading = "Paper")]
        print: Print,
        /// Print only these garments or pieces: jacket, or forepart,sleeve. Lays, ticket and cloth
        /// length stay those of the whole order.
        #[arg(
            long,
            value_name = "NAME",
            value_delimiter = ',',
            help_heading = "Paper"
        )]
        only: Vec<String>,
        /// White that the printer leaves at each edge, such as 5mm, 0.5cm or 1/4in [default: the
        /// house's print.margin].
        #[arg(long, value_name = "LENGTH", value_parser = edge, help_heading = "Paper")]
        margin: Option<f64>,
        /// Strip that joined pages share, to be glued [default: the house's print.overlap].
        #[arg(long, value_name = "LENGTH", value_parser = edge, help_heading = "Paper")]
        overlap: Option<f64>,
        /// What the plotter takes: hpgl2 plots of any length, or hpgl, whose coordinates end at
        /// 819 mm: longer lays become several files with crosses to join them by.
        #[arg(long, value_enum, default_value_t = Plot::Hpgl2, help_heading = "Plotter and cutter")]
        plot: Plot,
        /// Write the pieces as DXF as well (release 12, layers after ASTM D6673; a beta: try it on
        /// scrap first).
        #[arg(long, help_heading = "Plotter and cutter")]
        dxf: bool,
        /// Rounds of the search for a short lay; more take longer and may need less cloth.
        #[arg(long, value_name = "N", default_value_t = 36, value_parser = clap::value_parser!(u32).range(1..=100_000))]
        rounds: u32,
    },
    /// Say what length of cloth to order: for one order by width and layout, plain and with its
    /// pattern matched; for many a line each.
    #[command(after_help = help::CLOTH)]
    Cloth {
        /// Order files, or folders of them.
        #[arg(required = true, value_name = "ORDER")]
        orders: Vec<PathBuf>,
        /// Cloth at hand, such as 3.2m, or pieces of it, such as 1.8m+1.6m: says whether it is
        /// enough, and if not what would do.
        #[arg(long, value_name = "LENGTH", value_parser = cloth::at_hand)]
        have: Option<cloth::AtHand>,
        /// Write the lay on the cloth at hand as SVG and plot file, into a folder for each order.
        #[arg(long, value_name = "DIR", requires = "have")]
        out: Option<PathBuf>,
        /// Rounds of the search for each lay.
        #[arg(long, value_name = "N", default_value_t = 8, value_parser = clap::value_parser!(u32).range(1..=100_000))]
        rounds: u32,
    },
    /// Search longer for a short lay of the cloth; write it as SVG and plot file.
    #[command(after_help = help::LAY)]
    Lay {
        /// Order files, or folders of them.
        #[arg(required = true, value_name = "ORDER")]
        orders: Vec<PathBuf>,
        /// The folder that gets a folder for each order.
        #[arg(long, value_name = "DIR", default_value = "out")]
        out: PathBuf,
        /// Lay all the orders in one lay; they must be of one cloth.
        #[arg(long)]
        together: bool,
        /// Seconds to search for each lay.
        #[arg(long, value_name = "N", default_value_t = 20, value_parser = clap::value_parser!(u32).range(1..=86_400))]
        seconds: u32,
        /// Another number, another lay.
        #[arg(long, value_name = "S", default_value_t = 1)]
        seed: u64,
    },
    /// Read orders and report: measures, style, warnings. Writes nothing.
    #[command(after_help = help::CHECK)]
    Check {
        /// Order files, or folders of them.
        #[arg(required = true, value_name = "ORDER")]
        orders: Vec<PathBuf>,
    },
    /// Draw the construction of an order's garments to scale and as numbered instructions, to chalk
    /// the same draft by hand.
    #[command(after_help = help::DRAFT)]
    Draft(draft::Settings),
    /// List what can be chosen for each garment, with defaults and limits, or draw every word of it.
    #[command(after_help = help::BLOCKS)]
    Blocks(blocks::Settings),
    /// Write a starter order with every choice and its default, or print it.
    #[command(after_help = help::NEW)]
    New {
        /// The file to write; it must not exist yet.
        file: Option<PathBuf>,
    },
    /// Print the form of an order as a JSON Schema, for an editor that completes and checks TOML.
    #[command(after_help = help::SCHEMA)]
    Schema {
        /// A folder of blocks of your own, whose garments and choices are to be known as well.
        #[arg(long, value_name = "DIR")]
        blocks: Option<PathBuf>,
    },
    /// Print what completes the commands in a shell.
    #[command(after_help = help::COMPLETIONS)]
    Completions {
        /// The shell.
        shell: Shell,
    },
    /// Write the manual pages.
    #[command(after_help = help::MANUAL)]
    Manual {
        /// The folder they are written into.
        #[arg(value_name = "DIR", default_value = "man")]
        folder: PathBuf,
    },
    /// Begin the next order of a client from one that was made: measures, figure and fittings kept,
    /// cloth and style asked anew.
    #[command(after_help = help::NEXT)]
    Next(next::Settings),
    /// Print or write a blank form for the tape: every measure, where it runs and how it is taken.
    #[command(after_help = help::MEASURES)]
    Measures(measures::Settings),
}

/// What is printed at true scale.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum Print {
    Pieces,
    Lay,
}

/// What the plotter takes.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum Plot {
    Hpgl2,
    Hpgl,
}

/// Reads the width of a margin or an overlap; a bare number is in mm.
fn edge(text: &str) -> Result<f64, String> {
    let mm = match text
        .trim()
        .strip_suffix("mm")
        .unwrap_or(text)
        .trim()
        .parse::<f64>()
    {
        Ok(mm) => mm,
        Err(_) => length::parse(text, Unit::Cm)?,
    };
    if (0.0..=50.0).contains(&mm) {
        Ok(mm)
    } else {
        Err("it is from 0 to 50 mm wide".to_owned())
    }
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
            print,
            only,
            margin,
            overlap,
            plot,
            dxf,
            rounds,
        } => {
            let wishes = Wishes {
                paper,
                margin,
                overlap,
                print: match print {
                    Print::Pieces => wishes::Print::Pieces,
                    Print::Lay => wishes::Print::Lay,
                },
                only,
                plot: match plot {
                    Plot::Hpgl2 => Reach::Long,
                    Plot::Hpgl => Reach::Short,
                },
                dxf,
            };
            let settings = cut::Settings {
                out,
                wishes,
                rounds,
            };
            cut::run(&orders, &settings)
        }
        Command::Cloth {
            orders,
            have,
            out,
            rounds,
        } => cloth::run(&orders, &cloth::Settings { have, out, rounds }),
        Command::Lay {
            orders,
            out,
            together,
            seconds,
            seed,
        } => {
            let settings = lay::Settings {
                out,
                together,
                seconds: f64::from(seconds),
                seed,
            };
            lay::run(&orders, &settings)
        }
        Command::Check { orders } => check::run(&orders),
        Command::Blocks(settings) => blocks::run(&settings),
        Command::Draft(settings) => draft::run(&settings),
        Command::New { file } => new::run(file.as_deref()),
        Command::Schema { blocks } => editor::schema_of(blocks),
        Command::Completions { shell } => editor::completions(shell),
        Command::Manual { folder } => editor::manual(&folder),
        Command::Next(settings) => next::run(&settings),
        Command::Measures(settings) => measures::run(&settings),
    };
    if stop::asked() {
        ExitCode::from(stop::CODE)
    } else if well {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(FAULT)
    }
}
