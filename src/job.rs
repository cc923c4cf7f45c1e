//! One order through every stage, with what goes wrong on the way as diagnostics.

use crate::causes;
use crate::diagnostic::{Diagnostic, Place, Source};
use crate::draft::{Draft, Material};
use crate::lay::{
    self, Buying, ClothRules, Effort, KeptLay, Laid, Lay, LayFault, Problem, Search, TURNS,
    WarmStart,
};
use crate::lays::lays;
use crate::order::choices::Choices;
use crate::order::{Catalogue, Cloth, Face, Layout, Nap, Order};
use crate::pattern::{self, Pattern, PatternFault};
use crate::script::{self, BlockFault, Library};
use crate::sheets::earlier::Earlier;
use crate::sheets::wishes::{Refusal, Wishes};
use crate::sheets::{self, Made, Sheets, font, words};
use kurbo::Shape;
use std::ops::Range;
use std::panic::resume_unwind;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::thread::{self, ScopedJoinHandle};

/// What is laid, the cloth first, with the house's name of its width.
const MATERIALS: [(Material, &str); 6] = [
    (Material::Cloth, "cloth"),
    (Material::Lining, "lining"),
    (Material::SleeveLining, "sleeve_lining"),
    (Material::Canvas, "canvas"),
    (Material::Felt, "felt"),
    (Material::Pocketing, "pocketing"),
];

/// So many of the letters that the sheets lack are named.
const MOST_LETTERS_TOLD: usize = 8;

/// The drafts of an order's garments and the pattern made of them, proven.
#[derive(Debug, Clone)]
pub struct Drafted {
    /// One for each garment, in the order's order.
    pub drafts: Vec<Draft>,
    /// All their pieces.
    pub pattern: Pattern,
}

/// Drafts an order's garments and makes and proves their pattern.
///
/// # Errors
/// Every fault of a block, and everything that is not proven.
pub fn draft(order: &Order) -> Result<Drafted, Vec<Diagnostic>> {
    drafted(order).map_err(|faults| causes::told(faults, order))
}

fn drafted(order: &Order) -> Result<Drafted, Vec<Diagnostic>> {
    let library = library(order)?;
    let (mut drafts, mut faults) = (Vec::new(), Vec::new());
    for garment in &order.garments {
        match script::draft(&library, order, garment) {
            Ok(draft) => drafts.push(draft),
            Err(fault) => faults.push(block_fault(&fault)),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let pattern = pattern::make(order, &drafts).map_err(|faults| unproven(&faults))?;
    Ok(Drafted { drafts, pattern })
}

fn library(order: &Order) -> Result<Library, Vec<Diagnostic>> {
    let Some(folder) = &order.blocks else {
        return Ok(Library::embedded());
    };
    Library::with_folder(folder).map_err(|error| {
        let message = format!(
            "the blocks in `{}` cannot be read: {error}",
            folder.display()
        );
        vec![Diagnostic::error(message)]
    })
}

/// A fault of a block with its line and a caret.
fn block_fault(fault: &BlockFault) -> Diagnostic {
    let message = format!("the {} cannot be drafted: {}", fault.garment, fault.message);
    let finding = Diagnostic::error(message);
    if fault.refused {
        return finding;
    }
    let source = Arc::new(Source {
        name: fault.file.clone(),
        text: fault.text.clone(),
        first_line: fault.line.unwrap_or(1),
    });
    let finding = match fault.line {
        Some(_) => finding.at(&source, column(&fault.text, fault.column), ""),
        None => finding.in_file(&source),
    };
    fault.calls.iter().fold(finding, |finding, call| {
        finding.note(format!("called from {call}"))
    })
}

/// The bytes of the character at a column (from 1) of a line.
fn column(line: &str, column: Option<usize>) -> Range<usize> {
    let mut characters = line
        .char_indices()
        .skip(column.unwrap_or(1).saturating_sub(1));
    let (at, character) = characters.next().unwrap_or((line.len(), ' '));
    at..at + character.len_utf8()
}

fn unproven(faults: &[PatternFault]) -> Vec<Diagnostic> {
    let mut told: Vec<_> = faults
        .iter()
        .map(|fault| Diagnostic::error(fault.to_string()))
        .collect();
    let help = "no pattern is written that is not proven: look at the measures, then at the block";
    if let Some(last) = told.pop() {
        told.push(last.help(help));
    }
    told
}

/// The pieces of an order's cloth, ready to be laid on it however wide it is and however it lies.
///
/// # Errors
/// When a piece has no outline.
pub fn ready(order: &Order, pattern: &Pattern) -> Result<Problem, Vec<Diagnostic>> {
    let items = lay::items(pattern, Material::Cloth, order.cloth.nap);
    Problem::new(items, order.cloth.gap).map_err(|fault| unlaid(Material::Cloth, &fault))
}

/// Several orders of one cloth as one, to be laid together: the pieces of all, each garment with its
/// client's name.
///
/// # Errors
/// When they are not of one cloth.
pub fn together(all: &[(Order, Pattern)]) -> Result<(Order, Pattern), Vec<Diagnostic>> {
    let Some(((first, first_pattern), others)) = all.split_first() else {
        return Err(vec![Diagnostic::error("there is no order to lay")]);
    };
    let (mut order, mut pattern) = (first.clone(), first_pattern.clone());
    pattern.pieces.clear();
    pattern.matches.clear();
    for (other, _) in others {
        if other.cloth != first.cloth {
            let (a, b) = (&first.name, &other.name);
            let fault = format!("`{a}` and `{b}` are not of one cloth and cannot be laid together");
            let help = "their [cloth] sections must say the same";
            return Err(vec![Diagnostic::error(fault).help(help)]);
        }
        order.name = format!("{}+{}", order.name, other.name);
        order.client.name = format!("{}, {}", order.client.name, other.client.name);
        order.client.reference = format!("{}, {}", order.client.reference, other.client.reference);
    }
    for (of, own) in all {
        let before = pattern.pieces.len();
        pattern
            .pieces
            .extend(own.pieces.iter().cloned().map(|mut piece| {
                piece.garment = format!("{}: {}", of.client.name, piece.garment);
                piece
            }));
        pattern
            .matches
            .extend(own.matches.iter().cloned().map(|mut m| {
                m.piece += before;
                m.partner += before;
                m
            }));
    }
    Ok((order, pattern))
}

/// Lays the pieces of each material that has any.
///
/// # Errors
/// When a piece does not fit its material.
pub fn lay(
    order: &Order,
    pattern: &Pattern,
    search: &Search,
) -> Result<Vec<Laid>, Vec<Diagnostic>> {
    lay_ready(order, pattern, &ready(order, pattern)?, search)
}

/// Lays each material as [`lay()`] does, with the pieces of the cloth made ready before.
///
/// # Errors
/// When a piece does not fit its material.
pub fn lay_ready(
    order: &Order,
    pattern: &Pattern,
    ready: &Problem,
    search: &Search,
) -> Result<Vec<Laid>, Vec<Diagnostic>> {
    lay_on(order, pattern, ready, &Earlier::default(), search)
}

/// Lays each material as [`lay_ready`] does, going on from the lays of an earlier run: the cloth's is begun from,
/// so that it comes out no longer, and the others stay. Those that are of other pieces or other material are laid
/// anew.
///
/// # Errors
/// When a piece does not fit its material.
pub fn lay_on(
    order: &Order,
    pattern: &Pattern,
    ready: &Problem,
    earlier: &Earlier,
    search: &Search,
) -> Result<Vec<Laid>, Vec<Diagnostic>> {
    let lay = |&(material, name): &(Material, &str)| {
        let known = earlier.lay_of(material).map(|(standing, _)| standing);
        let laid = if material == Material::Cloth {
            lay_cloth(order, pattern, ready, known, search)
        } else {
            let cloth = trimming(order, material, name);
            lay_trimming(order, pattern, material, &cloth, known, search)
        };
        laid.map(|laid| Some(laid).filter(|laid| !laid.lay.placements.is_empty()))
    };
    let lays: Vec<_> = if search.threads == Some(1) {
        MATERIALS.iter().map(lay).collect()
    } else {
        // Each on a thread of its own. A thread of a pool that waits for a round takes up the search of another
        // material meanwhile, and comes back when that is done.
        thread::scope(|scope| {
            let lay = &lay;
            let begun: Vec<_> = (MATERIALS.iter())
                .map(|material| scope.spawn(move || lay(material)))
                .collect();
            let joined = begun.into_iter().map(ScopedJoinHandle::join);
            joined
                .map(|laid| laid.unwrap_or_else(|panic| resume_unwind(panic)))
                .collect()
        })
    };
    lays.into_iter().filter_map(Result::transpose).collect()
}

/// Returns the kept lays from which a search for a lay of an order's cloth may start ([`Search::kept`]).
///
/// # Errors
/// When the file of them in the order's own folder of blocks is bad.
pub fn kept_lays(order: &Order) -> Result<Arc<[KeptLay]>, Vec<Diagnostic>> {
    lays(&Catalogue::new(order.blocks.clone())).map_err(|fault| vec![fault])
}

/// Lays the pieces of an order's cloth, starting where they are known to lie or from the kept lays of the order's
/// blocks.
///
/// # Errors
/// When a piece does not fit the cloth, or the kept lays cannot be read.
pub fn lay_cloth(
    order: &Order,
    pattern: &Pattern,
    ready: &Problem,
    known: Option<&WarmStart>,
    search: &Search,
) -> Result<Laid, Vec<Diagnostic>> {
    let (material, cloth) = (Material::Cloth, &order.cloth);
    believed(least_length(pattern, material, cloth), material)?;
    let kept = kept_lays(order)?;
    let search = &Search {
        kept: &kept,
        ..*search
    };
    let lay = ready.plan_from(known, &rules(order, cloth), search);
    let lay = lay.map_err(|fault| unlaid(material, &fault))?;
    finished(order, cloth, material, lay, search)
}

/// The lay of an order's cloth in which its pieces lie as they did in an earlier one; `None` where they cannot.
pub fn cloth_held(order: &Order, ready: &Problem, known: &WarmStart) -> Option<Lay> {
    ready.holds(&rules(order, &order.cloth), known)
}

fn lay_trimming(
    order: &Order,
    pattern: &Pattern,
    material: Material,
    cloth: &Cloth,
    known: Option<&WarmStart>,
    search: &Search,
) -> Result<Laid, Vec<Diagnostic>> {
    believed(least_length(pattern, material, cloth), material)?;
    let unlaid = |fault: LayFault| unlaid(material, &fault);
    let rules = rules(order, cloth);
    let items = lay::items(pattern, material, cloth.nap);
    let ready = Problem::new(items, cloth.gap).map_err(unlaid)?;
    let mut search = search_for_trimmings(search);
    let lay = match known.and_then(|known| ready.holds(&rules, known)) {
        Some(held) => {
            search.cancel = None;
            held
        }
        None => ready.plan(&rules, &search).map_err(unlaid)?,
    };
    finished(order, cloth, material, lay, &search)
}

fn rules(order: &Order, cloth: &Cloth) -> ClothRules {
    ClothRules::new(cloth, &Buying::new(&order.house, cloth))
}

/// A lay with what is to be ordered for it.
fn finished(
    order: &Order,
    cloth: &Cloth,
    material: Material,
    mut lay: Lay,
    search: &Search,
) -> Result<Laid, Vec<Diagnostic>> {
    believed(lay.length, material)?;
    if search
        .cancel
        .is_some_and(|cancel| cancel.load(Ordering::Relaxed))
    {
        lay.notes
            .push("The search was stopped early; a longer one may need less.".into());
    }
    let order_length = lay::order_length(&lay, &Buying::new(&order.house, cloth));
    Ok(Laid {
        material,
        lay,
        order_length,
    })
}

fn unlaid(material: Material, fault: &LayFault) -> Vec<Diagnostic> {
    let material = words::material(material);
    vec![Diagnostic::error(format!(
        "the {material} cannot be laid: {fault}"
    ))]
}

/// A cloth's search is worth its time; a trimming's, bought by the half metre, gets a quarter of it, or where
/// the cloth is searched for by seconds, a quarter of what `cut` does.
fn search_for_trimmings<'a>(search: &Search<'a>) -> Search<'a> {
    let rounds = match search.effort {
        Effort::Rounds(rounds) => rounds,
        Effort::Seconds(_) => TURNS[2],
    };
    Search {
        effort: Effort::Rounds(rounds.div_ceil(4)),
        searchers: 1,
        // They are lays of cloth.
        kept: &[],
        progress: None,
        ..*search
    }
}

/// The longest lay that is believed, mm: a bolt of cloth has some sixty metres.
const LONGEST_LAY: f64 = 50_000.0;

/// Refuses a lay, or the least that one would take, that is longer than is believed.
fn believed(length: f64, material: Material) -> Result<(), Vec<Diagnostic>> {
    if length <= LONGEST_LAY {
        return Ok(());
    }
    let (needs, most) = (length / 1000.0, LONGEST_LAY / 1000.0);
    let material = words::material(material);
    let fault = format!(
        "the {material} cannot be laid: {needs:.1} m are needed, where {most} m are the most"
    );
    Err(vec![Diagnostic::error(fault)])
}

/// What no lay of a material can be shorter than: the area of its pieces over the cloth's width.
fn least_length(pattern: &Pattern, material: Material, cloth: &Cloth) -> f64 {
    let pieces = pattern.pieces.iter().filter(|p| p.material == material);
    let area: f64 = pieces
        .map(|p| p.cut.area().abs() * f64::from(p.count.total()))
        .sum();
    area / (cloth.width - 2.0 * cloth.selvedge).max(1.0)
}

/// A material other than the cloth at the width the house has it in: plain, laid open.
fn trimming(order: &Order, material: Material, name: &str) -> Cloth {
    let cm = |name: &str| order.house.number(name).unwrap_or_default() * 10.0;
    Cloth {
        name: words::material(material).to_owned(),
        width: cm(&format!("width.{name}")),
        selvedge: cm("cloth.selvedge"),
        repeat_across: 0.0,
        repeat_along: 0.0,
        nap: Nap::TwoWays,
        layout: Layout::Open,
        // Of what has no face either side is up.
        face: if material.has_face() {
            order.cloth.face
        } else {
            Face::Up
        },
        shrinkage: 0.0,
        gap: cm("cloth.gap"),
        remnants: Vec::new(),
    }
}

/// Warns of the texts of an order with letters that the sheets have not got.
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
            "the sheets cannot print {letters}{more}: {stand_in} will stand there"
        ));
        let finding = match &place.span {
            Some(span) => finding.at(&place.source, span.clone(), ""),
            None => finding.in_file(&place.source),
        };
        Some(
            finding
                .note("order.html and report.json have them as written; paper, marker and plot have not")
                .help("write it in Latin, Greek or Cyrillic letters, or those beside it"),
        )
    };
    texts.iter().filter_map(doubt).collect()
}

/// Whether what is asked of the sheets goes together with the order: known before anything is laid.
///
/// # Errors
/// When it does not.
pub fn wished(order: &Order, pattern: &Pattern, wishes: &Wishes) -> Result<(), Vec<Diagnostic>> {
    wishes.can_be_met(&order.house, pattern).map_err(refused)
}

fn refused(refusal: Refusal) -> Vec<Diagnostic> {
    let finding = Diagnostic::error(refusal.to_string());
    vec![match refusal.help() {
        Some(help) => finding.help(help),
        None => finding,
    }]
}

/// Draws every sheet of a drafted and laid order.
///
/// # Errors
/// When what is asked for does not go together with the order or the paper.
pub fn sheets(
    order: &Order,
    drafted: &Drafted,
    lays: &[Laid],
    wishes: &Wishes,
) -> Result<Made, Vec<Diagnostic>> {
    let catalogue = Catalogue::new(order.blocks.clone());
    let choices: Vec<Choices> = order
        .garments
        .iter()
        .map(|garment| catalogue.choices(&garment.block))
        .collect::<Result<_, _>>()
        .map_err(|fault| vec![fault])?;
    let sheets = Sheets {
        order,
        drafts: &drafted.drafts,
        pattern: &drafted.pattern,
        lays,
        choices: &choices,
    };
    sheets::all(&sheets, wishes).map_err(refused)
}
