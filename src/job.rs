//! One order through every stage: drafts and a proven pattern, the lays, the sheets.

mod causes;
mod drafting;
mod fault;
mod lays;

pub use drafting::{Drafting, drafting};
pub use fault::JobFault;
pub use lays::{cloth_held, lay, lay_cloth, lay_on, lay_ready, ready, together};

use crate::diagnostic::{Diagnostic, Place};
use crate::draft::Draft;
use crate::lay::Laid;
use crate::order::{Figure, Order};
use crate::pattern::{self, Pattern};
use crate::script;
use crate::sheets::in_cloth::InCloth;
use crate::sheets::options::SheetOptions;
use crate::sheets::{self, Made, Sheets, font, views};
use crate::workshop::Workshop;
use rayon::prelude::*;

/// The most letters that one warning names.
const MOST_LETTERS_TOLD: usize = 8;

/// The drafts of an order's garments and the pattern made of them, proven.
#[derive(Debug, Clone)]
pub struct Drafted {
    /// One for each garment, in the order's order.
    pub drafts: Vec<Draft>,
    /// All their pieces.
    pub pattern: Pattern,
}

/// Drafts an order's garments by the blocks of a workshop, and makes and proves their pattern.
///
/// # Errors
/// Returns the faults of every block that cannot draft its garment; where there is none, everything about the
/// pattern that is not proven.
///
/// # Examples
///
/// ```
/// use chalkstripe::workshop::Workshop;
/// use chalkstripe::{job, order};
/// use std::path::Path;
///
/// let order = order::read(Path::new("examples/plain-worsted.toml")).expect("a good order").order;
/// let drafted = job::draft(Workshop::embedded(), &order)?;
/// assert_eq!(drafted.drafts.len(), order.garments.len());
/// assert!(drafted.pattern.pieces.iter().any(|piece| piece.name == "forepart"));
/// # Ok::<(), job::JobFault>(())
/// ```
pub fn draft(workshop: &Workshop, order: &Order) -> Result<Drafted, JobFault> {
    let (mut drafts, mut faults) = (Vec::new(), Vec::new());
    let drafted = order.garments.par_iter();
    let drafted = drafted.map(|garment| script::draft(&workshop.library, order, garment));
    for draft in drafted.collect::<Vec<_>>() {
        match draft {
            Ok(draft) => drafts.push(draft),
            Err(fault) => faults.push(*fault),
        }
    }
    if !faults.is_empty() {
        return Err(JobFault::Block(faults));
    }
    let unheeded = unheeded(order, &drafts);
    if let Some(first) = drafts.first_mut() {
        first.warnings.extend(unheeded);
    }
    let pattern = pattern::make(order, &drafts).map_err(JobFault::Pattern)?;
    Ok(Drafted { drafts, pattern })
}

/// Tells which corrections of the figure no garment of the order is drafted by.
fn unheeded(order: &Order, drafts: &[Draft]) -> Vec<String> {
    let garments: Vec<&str> = drafts.iter().map(|draft| draft.garment.as_str()).collect();
    let garments = garments.join(" and the ");
    let idle = order.corrections().0.into_iter();
    let idle = idle.filter(|(name, _)| !drafts.iter().any(|draft| draft.heeds.contains(name)));
    let own: Vec<_> = order
        .own_corrections
        .iter()
        .map(|own| own.correction())
        .collect();
    let told = |correction| {
        let lines = Figure([correction].into()).lines(&own, order.unit);
        format!("{} changed nothing of the {garments}", lines.concat())
    };
    idle.map(told).collect()
}

/// Warns of the texts of an order whose letters the fonts of the sheets lack.
pub fn unprintable(texts: &[(String, Place)]) -> Vec<Diagnostic> {
    let doubt = |(text, place): &(String, Place)| {
        let lacking = font::lacking(text);
        if lacking.is_empty() {
            return None;
        }
        let letters: Vec<String> = lacking
            .iter()
            .take(MOST_LETTERS_TOLD)
            .map(|letter| format!("`{letter}`"))
            .collect();
        let more = match lacking.len().checked_sub(MOST_LETTERS_TOLD) {
            Some(more) if more > 0 => format!(" and {more} more"),
            _ => String::new(),
        };
        let letters = letters.join(", ");
        let stand_in = font::STAND_IN;
        let finding = Diagnostic::warning(format!(
            "the sheets cannot print {letters}{more}: {stand_in} is printed instead"
        ));
        let finding = match &place.span {
            Some(span) => finding.at(&place.source, span.clone(), ""),
            None => finding.in_file(&place.source),
        };
        Some(
            finding
                .note("order.html and report.json have them as written; the paper pattern, the lay and the plot do not")
                .help("write it in Latin, Greek or Cyrillic letters, or add a version in these"),
        )
    };
    texts.iter().filter_map(doubt).collect()
}

/// Checks that the sheets can be made as they are asked for. It needs no lay, so that it can be called before
/// one is searched for.
///
/// # Errors
/// Returns [`JobFault::Sheets`] where they cannot.
pub fn check_options(
    order: &Order,
    pattern: &Pattern,
    options: &SheetOptions,
) -> Result<(), JobFault> {
    let checked = options.check(&order.house, pattern);
    checked.map_err(JobFault::Sheets)
}

/// Draws every sheet of an order that is drafted and laid. `workshop` is the one that drafted it.
///
/// # Errors
/// Returns [`JobFault::Sheets`] where the sheets cannot be made as they are asked for.
///
/// # Examples
///
/// ```
/// use chalkstripe::lay::{Effort, Search};
/// use chalkstripe::sheets::options::SheetOptions;
/// use chalkstripe::sheets::paper::{Paper, Size};
/// use chalkstripe::workshop::Workshop;
/// use chalkstripe::{job, order};
/// use std::path::Path;
///
/// let workshop = Workshop::embedded();
/// let order = order::read(Path::new("examples/plain-worsted.toml")).expect("a good order").order;
/// let drafted = job::draft(workshop, &order)?;
/// let options = SheetOptions::on(Paper::Pages(Size::A0));
/// job::check_options(&order, &drafted.pattern, &options)?;
/// let search = Search { effort: Effort::Rounds(1), ..Search::default() };
/// let lays = job::lay(&order, &drafted.pattern, &search)?;
/// let made = job::sheets(workshop, &order, &drafted, &lays, &options)?;
/// assert!(made.sheets.iter().any(|sheet| sheet.file == "ticket.pdf"));
/// # Ok::<(), job::JobFault>(())
/// ```
pub fn sheets(
    workshop: &Workshop,
    order: &Order,
    drafted: &Drafted,
    lays: &[Laid],
    options: &SheetOptions,
) -> Result<Made, JobFault> {
    let garments = order.garments.iter();
    let choices = garments.map(|garment| workshop.catalogue.choices(&garment.block));
    let choices: Vec<_> = choices
        .collect::<Result<_, _>>()
        .map_err(|fault| JobFault::Choices(Box::new(fault)))?;
    let cloth = InCloth::new(order, &drafted.drafts, &drafted.pattern, lays);
    let views = views::of_order(&drafted.drafts, cloth.as_ref());
    let sheets = Sheets {
        views: &views,
        cloth: cloth.as_ref(),
        order,
        drafts: &drafted.drafts,
        pattern: &drafted.pattern,
        lays,
        choices: &choices,
    };
    sheets::all(&sheets, options).map_err(JobFault::Sheets)
}
