//! The command line: the commands, each with what it takes.

use super::{blocks, check, cloth, cut, draft, editor, help, lay, measures, new, next};
use clap::{Parser, Subcommand};

/// From a bespoke tailor's order to a proven pattern, a lay and true-scale sheets to cut from.
///
/// Measure the printed test square before you cut. Cut a toile, or leave the inlays and baste,
/// before you cut good cloth. Follow your machine's manual and your local rules for shears, knives,
/// steam and powered cutters. The draft is a starting point for a trained cutter's eye.
#[derive(Debug, Parser)]
#[command(name = "chalkstripe", version, max_term_width = 100, after_help = help::PROGRAM)]
pub(super) struct Arguments {
    #[command(subcommand)]
    /// What to do.
    pub command: Command,
}

/// In the order in which a tailor comes to them.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Write a starter order to fill in
    ///
    /// It holds every measure and every choice with its default, each with a line of explanation.
    #[command(after_help = help::NEW)]
    New(new::Settings),
    /// Print a form for the tape, or what is known of a client
    ///
    /// Every measure, where it runs and how it is taken, in the order the tape comes to them.
    #[command(after_help = help::MEASURES)]
    Measures(measures::Settings),
    /// Read orders and report; write nothing
    ///
    /// What is wrong or unlikely, the measures taken and derived, the style, the finished girths, and
    /// what proves the pattern; for many orders a line each, with the faults of those that have any.
    #[command(after_help = help::CHECK)]
    Check(check::Settings),
    /// Say what length of cloth to order
    ///
    /// For one order by width and layout, plain and with its pattern matched, and for the linings and
    /// the rest; for many orders a line each. Or whether cloth at hand is enough.
    #[command(after_help = help::CLOTH)]
    Cloth(cloth::Settings),
    /// Draft, prove, lay and draw orders: all a cutter needs
    ///
    /// Each order gets a folder of its own with the paper pattern, the lays as SVG, plot file and
    /// picture, all pieces, the ticket, the order as a page for a browser, and the report.
    #[command(after_help = help::CUT)]
    Cut(cut::Settings),
    /// Search longer for a short lay of the cloth
    ///
    /// It begins with the lay of an earlier `cut` and writes all its sheets anew; where nothing was cut, the lay
    /// alone as SVG and plot file.
    #[command(after_help = help::LAY)]
    Lay(lay::Settings),
    /// Draw the construction, to chalk the same draft by hand
    ///
    /// To scale and as numbered instructions with this client's numbers; after a fitting, what moves
    /// and whether the inlays allow it.
    #[command(after_help = help::DRAFT)]
    Draft(draft::Settings),
    /// Begin a client's next order from one that was made
    ///
    /// Measures, figure and fittings are kept; cloth and style are asked anew.
    #[command(after_help = help::NEXT)]
    Next(next::Settings),
    /// List or draw what can be chosen
    ///
    /// Every choice of each garment: its words, its default, its limits and what it goes with.
    #[command(after_help = help::BLOCKS)]
    Blocks(blocks::Settings),
    /// Print the form of an order for an editor
    ///
    /// A JSON Schema, with which an editor that knows TOML completes and checks an order.
    #[command(after_help = help::SCHEMA)]
    Schema(editor::SchemaSettings),
    /// Print what completes the commands in a shell
    #[command(after_help = help::COMPLETIONS)]
    Completions(editor::CompletionsSettings),
    /// Write the manual pages
    #[command(after_help = help::MANUAL)]
    Manual(editor::ManualSettings),
}
