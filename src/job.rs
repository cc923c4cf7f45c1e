//! One order through every stage, with what goes wrong on the way as diagnostics.

use crate::drafting::{self, BlockFault, Draft, Library, Material};
use crate::lay::{self, Buying, ClothRules, Effort, Item, Lay, LayFault, Search};
use crate::order::choices::Choices;
use crate::order::{Catalogue, Cloth, Diagnostic, Layout, Nap, Order, Source};
use crate::pattern::{self, Pattern, PatternFault};
use crate::sheets::wishes::{Refusal, Wishes};
use crate::sheets::{self, Laid, Made, Sheets, words};
use kurbo::Shape;
use std::ops::Range;
use std::sync::Arc;
use std::sync::atomic::Ordering;

/// What is laid, the cloth first, with the house's name of its width.
const MATERIALS: [(Material, &str); 6] = [
    (Material::Cloth, "cloth"),
    (Material::Lining, "lining"),
    (Material::SleeveLining, "sleeve_lining"),
    (Material::Canvas, "canvas"),
    (Material::Felt, "felt"),
    (Material::Pocketing, "pocketing"),
];

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
    let library = library(order)?;
    let (mut drafts, mut faults) = (Vec::new(), Vec::new());
    for garment in &order.garments {
        match drafting::draft(&library, order, garment) {
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
    let help =
        "no pattern is written that is not proven: look at the measures again, then at the block";
    if let Some(last) = told.pop() {
        told.push(last.help(help));
    }
    told
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
    let mut lays = Vec::new();
    for (material, name) in MATERIALS {
        let cloth = cloth(order, material, name);
        let items = lay::items(pattern, material, cloth.nap);
        if items.is_empty() {
            continue;
        }
        believed(least_length(pattern, material, &cloth), material)?;
        let mut lay = laid(&items, &cloth, &search_for(material, search)).map_err(|fault| {
            vec![Diagnostic::error(format!(
                "the {} cannot be laid: {fault}",
                words::material(material)
            ))]
        })?;
        believed(lay.length, material)?;
        if search
            .cancel
            .is_some_and(|cancel| cancel.load(Ordering::Relaxed))
        {
            lay.notes
                .push("The search was stopped early; a longer one may need less.".into());
        }
        let order_length = lay::order_length(&lay, &Buying::new(&order.house, &cloth));
        lays.push(Laid {
            material,
            lay,
            order_length,
        });
    }
    Ok(lays)
}

/// A cloth's search is worth its time; a trimming's, bought by the half metre, gets a quarter of it.
fn search_for<'a>(material: Material, search: &Search<'a>) -> Search<'a> {
    let effort = match search.effort {
        _ if material == Material::Cloth => search.effort,
        Effort::Rounds(rounds) => Effort::Rounds(rounds.div_ceil(4)),
        Effort::Seconds(seconds) => Effort::Seconds(seconds / 4.0),
    };
    Search { effort, ..*search }
}

/// A lay that does not pass its own check is not handed out: it is tried anew with a little more room
/// between the pieces.
fn laid(items: &[Item], cloth: &Cloth, search: &Search) -> Result<Lay, LayFault> {
    let rules = ClothRules::of(cloth);
    let with_room = |more: f64| {
        let gap = rules.gap + more;
        lay::plan(
            items,
            &ClothRules {
                gap,
                ..rules.clone()
            },
            search,
        )
    };
    let unsound = |lay: &Result<Lay, LayFault>| matches!(lay, Err(LayFault::Unsound { .. }));
    let mut lay = with_room(0.0);
    for more in [0.5, 1.0, 2.0] {
        if !unsound(&lay) {
            break;
        }
        lay = with_room(more);
    }
    lay
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

/// The order's cloth, or another material at the width the house has it in: plain, laid open.
fn cloth(order: &Order, material: Material, name: &str) -> Cloth {
    if material == Material::Cloth {
        return order.cloth.clone();
    }
    let cm = |name: &str| order.house.number(name).unwrap_or_default() * 10.0;
    Cloth {
        name: words::material(material).to_owned(),
        width: cm(&format!("width.{name}")),
        selvedge: cm("cloth.selvedge"),
        repeat_across: 0.0,
        repeat_along: 0.0,
        nap: Nap::TwoWays,
        layout: Layout::Open,
        shrinkage: 0.0,
        gap: cm("cloth.gap"),
    }
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
