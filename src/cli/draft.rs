//! `draft`: the construction of an order's garments, to chalk by hand.

use super::orders::{self, Task};
use super::show;
use super::unwritten::{unwritten, writable};
use chalkstripe::diagnostic::{Diagnostic, Source};
use chalkstripe::draft::Draft;
use chalkstripe::job::{self, Drafted, Drafting};
use chalkstripe::order::{self, Order};
use chalkstripe::pattern::{self, Moves};
use chalkstripe::sheets::drawing::Drawing;
use chalkstripe::sheets::earlier::Earlier;
use chalkstripe::sheets::{self, drafting_sheet};
use chalkstripe::units::Unit;
use chalkstripe::workshop::Workshops;
use std::fmt::Write;
use std::path::PathBuf;

/// Draws the drafting sheet of an order into its folder; true if all went well.
pub(super) fn run(settings: &Settings) -> bool {
    let told = orders::one(&Workshops::default(), &settings.order, |task| {
        draft(settings, task)
    });
    told.is_some_and(|told| show::print(&told))
}

/// Writes the sheets of an order, and returns what is printed about them.
fn draft(settings: &Settings, task: &Task) -> Result<String, Vec<Diagnostic>> {
    let order = &task.order;
    let folder = settings.out.join(&order.name);
    writable("the sheets", &folder)?;
    let made = make(settings, task)?;
    sheets::folder::write_all(&made.drawn.sheets, &folder)
        .map_err(|error| vec![unwritten("the sheets", &folder, &error)])?;
    if Earlier::in_folder(&folder)
        .draft
        .is_some_and(|draft| draft != made.drawn.mark)
    {
        let doubt = "the other sheets in this folder are from an earlier version of the order";
        let folder = Source::new(folder.display().to_string(), "");
        let doubt = Diagnostic::warning(doubt).in_file(&folder);
        show::findings(&[doubt.help("run `cut` again before you cut cloth from any of them")]);
    }
    Ok(format!(
        "{} — {}\n{}  {}: {}\n",
        order.name,
        order.client.name,
        made.told,
        folder.display(),
        sheets::names(&made.drawn.sheets)
    ))
}

/// The sheets that are written, and what is printed about them.
struct Made {
    drawn: Drafting,
    told: String,
}

fn make(settings: &Settings, task: &Task) -> Result<Made, Vec<Diagnostic>> {
    let order = &task.order;
    let drafted = task.draft()?;
    let drafts = wanted(settings, order, &drafted.drafts)?;
    let before = before(settings, task)?;
    let against = |draft: &Draft| before.as_ref()?.unlike(draft);
    let page = |draft: &&Draft| drafting_sheet::drafting_sheet(draft, against(draft), order);
    let mut pages: Vec<_> = drafts.iter().map(page).collect();
    let mut told = String::new();
    if let (Some(fittings), Some(before)) = (settings.against, &before) {
        let said = said(order, fittings);
        let garments: Vec<&str> = drafts.iter().map(|draft| draft.garment.as_str()).collect();
        let (moved, list) = moved(order, before, &drafted, &garments, &said)?;
        pages.extend(moved);
        told = format!("{said}\n{list}");
    }
    let drawn = job::drafting(order, &drafted, &pages);
    Ok(Made { drawn, told })
}

/// Returns the drafts of the garment that was asked for, or all of them.
fn wanted<'a>(
    settings: &Settings,
    order: &Order,
    drafts: &'a [Draft],
) -> Result<Vec<&'a Draft>, Vec<Diagnostic>> {
    let Some(garment) = &settings.garment else {
        return Ok(drafts.iter().collect());
    };
    let wanted = |draft: &&Draft| draft.garment == *garment;
    let found: Vec<&Draft> = drafts.iter().filter(wanted).collect();
    if found.is_empty() {
        return Err(vec![missing(order, garment)]);
    }
    Ok(found)
}

/// Makes the draft to compare with: after the fitting that was named, else for an uncorrected figure, if that
/// can be drafted.
fn before(settings: &Settings, task: &Task) -> Result<Option<Drafted>, Vec<Diagnostic>> {
    let draft = |order: &Order| job::draft(&task.workshop, order);
    let Some(fittings) = settings.against else {
        // Nobody asked for this draft, so that it need not be possible.
        return Ok(draft(&task.order.uncorrected()).ok());
    };
    let order = cut_before(&task.order, fittings)?;
    let drafted =
        draft(&order).map_err(|fault| fault.diagnostics(&order, &task.workshop.library))?;
    Ok(Some(drafted))
}

/// The sheets that one garment has.
type Pages = Vec<Drawing>;

/// Draws the pages that show what moves of some garments since a draft, and lists the same in words.
fn moved(
    order: &Order,
    before: &Drafted,
    now: &Drafted,
    garments: &[&str],
    said: &str,
) -> Result<(Vec<Pages>, String), Vec<Diagnostic>> {
    let moves = pattern::moves(&order.house, &before.drafts, &before.pattern, &now.drafts);
    let moves = moves.map_err(|fault| vec![Diagnostic::error(fault.words(order.unit))])?;
    let pages = garments.iter();
    let pages = pages.map(|garment| drafting_sheet::moved_sheet(garment, &moves, said, order));
    let list: String = garments
        .iter()
        .map(|garment| list(garment, &moves, order.unit))
        .collect();
    let list = match list.is_empty() {
        true => "  no seam moves\n".to_owned(),
        false => list,
    };
    Ok((pages.filter(|page| !page.is_empty()).collect(), list))
}

/// Returns the order as it was cut before, after a number of its fittings.
fn cut_before(order: &Order, fittings: usize) -> Result<Order, Vec<Diagnostic>> {
    let made = order.fittings.len();
    if fittings < made {
        return Ok(order.after_fittings(fittings));
    }
    let fault = match made {
        0 => Diagnostic::error("this order has no fitting to compare")
            .help("write down what the baste showed in a [[fitting]] with its date"),
        _ => {
            let numbers = match made {
                1 => {
                    "it has one fitting: use `--against 0` to compare with the first cut".to_owned()
                }
                _ => format!(
                    "it has {made} fittings: use --against 0 (the first cut) to {}",
                    made - 1
                ),
            };
            Diagnostic::error(format!(
                "this order has only {fittings} fittings to compare with"
            ))
            .help(numbers)
        }
    };
    Err(vec![fault])
}

/// Says between which fittings the seams move.
fn said(order: &Order, against: usize) -> String {
    let date = |n: usize| order.fittings.get(n).map_or("", |fitting| &fitting.date);
    let last = date(order.fittings.len().saturating_sub(1));
    match against {
        0 => format!("After the fitting of {last}, compared with the first cut"),
        n => format!(
            "After the fitting of {last}, compared with the draft after the fitting of {}",
            date(n - 1)
        ),
    }
}

/// Lists the seams of a garment that move, a line each.
fn list(garment: &str, moves: &Moves, unit: Unit) -> String {
    let mut text = String::new();
    let mut number = 0;
    for piece in moves.pieces.iter().filter(|p| p.garment == garment) {
        let laid = piece.laid(unit).map(|laid| format!(", {laid}"));
        let _ = writeln!(text, "    {}{}", piece.piece, laid.unwrap_or_default());
        for seam in &piece.seams {
            number += 1;
            let _ = writeln!(text, "      {number:>2}  {}", seam.in_words(unit));
        }
        for words in piece.carried(unit) {
            let _ = writeln!(text, "          {words}");
        }
    }
    for (names, words) in [
        (&moves.new, "recut"),
        (&moves.others, "other materials, cut by the new pattern"),
    ] {
        let own = names.iter().filter(|(of, _)| of == garment);
        let own: Vec<&str> = own.map(|(_, name)| name.as_str()).collect();
        if !own.is_empty() {
            let _ = writeln!(text, "    {words}: {}", own.join(", "));
        }
    }
    if text.is_empty() {
        text
    } else {
        format!("  {garment}\n{text}")
    }
}

fn missing(order: &Order, garment: &str) -> Diagnostic {
    let names: Vec<&str> = order.garments.iter().map(|g| g.block.as_str()).collect();
    Diagnostic::error(format!("this order has no {garment}"))
        .suggest(order::called_here(garment), names.iter().copied())
        .note(format!("its garments are {}", names.join(", ")))
}

/// What `draft` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// The order file.
    #[arg(value_name = "ORDER")]
    pub order: PathBuf,
    /// One garment of the order alone.
    #[arg(long, value_name = "NAME")]
    pub garment: Option<String>,
    /// Compare with the draft after so many of the order's fittings, 0 for the first cut: both are
    /// drawn, and every seam that moves is listed with what the cloth already cut allows.
    #[arg(long, value_name = "N")]
    pub against: Option<usize>,
    /// The folder that gets a folder for the order.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
}
