//! The command line: the commands, each with what it takes.

use super::{
    blocks, check, cloth, cut, draft, editor, help, lay, measures, new, next, swatch, talk, trial,
};
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
    /// Settle an order with the client, on a page
    ///
    /// It serves one page to this machine and opens the browser: a question at a time, each word drawn on the
    /// client's own garment, with the suit, the cloth it takes and what is not yet settled beside it. A week later
    /// it writes the baste down.
    #[command(after_help = help::TALK)]
    Talk(talk::Settings),
    /// Write a starter order to fill in
    ///
    /// It holds every measure and every choice with its default, each with a line of explanation.
    #[command(after_help = help::NEW)]
    New(new::Settings),
    /// Print a form to measure by, or a client's measures
    ///
    /// It lists every measure, where it runs and how it is taken, in the order the tape comes to them.
    #[command(after_help = help::MEASURES)]
    Measures(measures::Settings),
    /// Check orders without writing anything
    ///
    /// It lists errors and doubts, the measures taken and derived, the style, the finished girths and the
    /// checks of the pattern; for many orders it prints a line each, with the errors of those that have any.
    #[command(after_help = help::CHECK)]
    Check(check::Settings),
    /// Say how much cloth to order
    ///
    /// For one order it gives the length by width and layout, plain and matched, and the linings and the
    /// rest; for many orders a line each. It also says whether cloth in stock is enough.
    #[command(after_help = help::CLOTH)]
    Cloth(cloth::Settings),
    /// Draw the cloth alone at true scale
    ///
    /// It writes a picture of the cloth that the order describes, of the size of an A5 page, to hold beside the piece in
    /// the hand.
    #[command(after_help = help::SWATCH)]
    Swatch(swatch::Settings),
    /// Make the pattern, the lay and the ticket
    ///
    /// Each order gets a folder of its own with the paper pattern, the lays as SVG, plot file and
    /// picture, all pieces, the ticket, the order as a page for a browser, and the report.
    #[command(after_help = help::CUT)]
    Cut(cut::Settings),
    /// Search longer for a shorter lay
    ///
    /// It starts from the lay of an earlier `cut` and writes all its sheets again; if nothing was cut, it writes the
    /// lay only, as SVG and plot file.
    #[command(after_help = help::LAY)]
    Lay(lay::Settings),
    /// Print the construction, to chalk the same draft by hand
    ///
    /// It is drawn to scale, with numbered steps in this client's numbers; after a fitting it shows what
    /// moves and whether the inlays allow it.
    #[command(after_help = help::DRAFT)]
    Draft(draft::Settings),
    /// Start a client's next order from an earlier one
    ///
    /// Measures, figure and fittings are kept; cloth and style are asked again.
    #[command(after_help = help::NEXT)]
    Next(next::Settings),
    /// List or draw the choices of style
    ///
    /// It lists each garment's choices: the words, the default, the limits and what each depends on.
    #[command(after_help = help::BLOCKS)]
    Blocks(blocks::Settings),
    /// Try a garment on all figures, with every choice
    ///
    /// It drafts and proves the garment for chests of 84 to 132 cm and heights of 155 to 205 cm, with every word alone
    /// and every two of them in pairs, and says what was proven, what was refused and why, and what failed where.
    #[command(after_help = help::TRY)]
    Try(trial::Settings),
    /// Print a JSON Schema of the order file
    ///
    /// An editor that knows TOML completes and checks an order with it.
    #[command(after_help = help::SCHEMA)]
    Schema(editor::SchemaSettings),
    /// Print completions for a shell
    #[command(after_help = help::COMPLETIONS)]
    Completions(editor::CompletionsSettings),
    /// Write the manual pages
    #[command(after_help = help::MANUAL)]
    Manual(editor::ManualSettings),
}
