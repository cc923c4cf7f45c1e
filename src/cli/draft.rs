//! `draft`: the construction of an order's garments, to chalk by hand.

use super::unwritten::{unwritten, writable};
use super::{orders, show};
use chalkstripe::diagnostic::{Diagnostic, Source};
use chalkstripe::draft::Draft;
use chalkstripe::job;
use chalkstripe::order::{self, Order};
use chalkstripe::pattern::{self, Moves};
use chalkstripe::sheets::earlier::Earlier;
use chalkstripe::sheets::{self, Sheet, drafting_sheet, fingerprint};
use std::fmt::Write;
use std::path::PathBuf;

/// Draws the drafting sheet of an order into its folder; true if all went well.
pub(super) fn run(settings: &Settings) -> bool {
    let told = orders::one(&settings.order, |_, order| draft(settings, order));
    told.is_some_and(|told| show::print(&told))
}

/// Writes the sheets of an order; what is told of them.
fn draft(settings: &Settings, order: &Order) -> Result<String, Vec<Diagnostic>> {
    let folder = settings.out.join(&order.name);
    writable("the sheets", &folder)?;
    let made = make(settings, order)?;
    sheets::folder::write_all(&made.sheets, &folder)
        .map_err(|error| vec![unwritten("the sheets", &folder, &error)])?;
    if Earlier::in_folder(&folder)
        .draft
        .is_some_and(|draft| draft != made.mark)
    {
        let doubt = "the other sheets in this folder are of the order as it was when it was cut";
        let folder = Source::new(folder.display().to_string(), "");
        let doubt = Diagnostic::warning(doubt).in_file(&folder);
        show::findings(&[doubt.help("cut it again before you cut cloth by any of them")]);
    }
    Ok(format!(
        "{} — {}\n{}  {}: {}\n",
        order.name,
        order.client.name,
        made.told,
        folder.display(),
        sheets::names(&made.sheets)
    ))
}

/// What is written, and what is told on the terminal.
struct Made {
    sheets: Vec<Sheet>,
    /// Of which draft they are.
    mark: String,
    told: String,
}

fn make(settings: &Settings, order: &Order) -> Result<Made, Vec<Diagnostic>> {
    let (file, garment) = (&settings.order, settings.garment.as_deref());
    let drafted = orders::draft(file, order)?;
    let wanted = |name: &str| garment.is_none_or(|garment| garment == name);
    let drafts: Vec<&Draft> = drafted
        .drafts
        .iter()
        .filter(|draft| wanted(&draft.garment))
        .collect();
    if drafts.is_empty() {
        return Err(vec![missing(order, garment.unwrap_or_default())]);
    }
    let before = match settings.against {
        Some(fittings) => Some(job::draft(&before(order, fittings)?)?),
        // What nobody asked for need not be possible.
        None => job::draft(&order.uncorrected()).ok(),
    };
    let against = |draft: &Draft| {
        let drafts = before.as_ref().map(|before| &before.drafts)?;
        let mut of_it = drafts.iter().filter(|old| old.garment == draft.garment);
        of_it.find(|old| old.pieces != draft.pieces)
    };
    let mut pages: Vec<_> = drafts
        .iter()
        .map(|draft| drafting_sheet::drafting_sheet(draft, against(draft), order))
        .collect();
    let mut told = String::new();
    if let (Some(fittings), Some(before)) = (settings.against, &before) {
        let moves = pattern::moves(
            &order.house,
            &before.drafts,
            &before.pattern,
            &drafted.drafts,
        );
        let moves = moves.map_err(|fault| vec![Diagnostic::error(fault.to_string())])?;
        let said = said(order, fittings);
        for draft in &drafts {
            told.push_str(&list(&draft.garment, &moves));
            let moved = drafting_sheet::moved_sheet(&draft.garment, &moves, &said, order);
            if !moved.is_empty() {
                pages.push(moved);
            }
        }
        told = format!(
            "{said}\n{}",
            if told.is_empty() {
                "  no seam moves\n"
            } else {
                &told
            }
        );
    }
    let sheet = |file: &str, bytes| Sheet {
        file: file.to_owned(),
        bytes,
    };
    let mark = fingerprint::of(order, &drafted.drafts);
    let mut drawn = drafting_sheet::pages_as_svg(&pages, order);
    fingerprint::put(&mut drawn, &mark);
    let [svg, pdf] = sheets::folder::DRAFTING_SHEET;
    let mut made = vec![
        sheet(pdf, drafting_sheet::pages_as_pdf(&pages, order)),
        sheet(svg, drawn),
    ];
    made.extend(sheets::views::files(&drafted.drafts, order));
    Ok(Made {
        sheets: made,
        mark,
        told,
    })
}

/// The order as it was cut before.
fn before(order: &Order, fittings: usize) -> Result<Order, Vec<Diagnostic>> {
    let made = order.fittings.len();
    if fittings < made {
        return Ok(order.after_fittings(fittings));
    }
    let fault = match made {
        0 => Diagnostic::error("this order has no fitting to compare")
            .help("write what the baste has shown into a [[fitting]] with its date"),
        _ => {
            let numbers = match made {
                1 => "it has one fitting: `--against 0` compares with the first cut".to_owned(),
                _ => format!(
                    "it has {made} fittings: --against takes 0, the first cut, to {}",
                    made - 1
                ),
            };
            Diagnostic::error(format!("this order has no fitting after number {fittings}"))
                .help(numbers)
        }
    };
    Err(vec![fault])
}

/// Between which fittings the seams move.
fn said(order: &Order, against: usize) -> String {
    let date = |n: usize| order.fittings.get(n).map_or("", |fitting| &fitting.date);
    let last = date(order.fittings.len().saturating_sub(1));
    match against {
        0 => format!("After the fitting of {last}, against the first cut"),
        n => format!(
            "After the fitting of {last}, against the draft after that of {}",
            date(n - 1)
        ),
    }
}

/// The seams of a garment that move, a line each.
fn list(garment: &str, moves: &Moves) -> String {
    let mut text = String::new();
    let mut number = 0;
    for piece in moves.pieces.iter().filter(|p| p.garment == garment) {
        let laid = piece.laid().map(|laid| format!(", {laid}"));
        let _ = writeln!(text, "    {}{}", piece.piece, laid.unwrap_or_default());
        for seam in &piece.seams {
            number += 1;
            let _ = writeln!(text, "      {number:>2}  {}", seam.in_words());
        }
        for words in piece.carried() {
            let _ = writeln!(text, "          {words}");
        }
    }
    for (names, words) in [
        (&moves.new, "cut anew"),
        (&moves.others, "by the new pattern, of other materials"),
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
    Diagnostic::error(format!("this order has no `{garment}`"))
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
