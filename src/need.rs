//! What length of cloth an order needs: at other widths, laid the other way, and whether a length
//! that is at hand will do.

use crate::drafting::Material;
use crate::job;
use crate::lay::{self, Buying, ClothRules, Effort, Lay, LayFault, OrderLength, Ready, Search};
use crate::order::{Choice, Cloth, Diagnostic, Layout, Order};
use crate::pattern::Pattern;
use crate::sheets::Laid;
use rayon::prelude::*;

/// Widths in which suitings are woven, mm (common practice, no source).
pub const WIDTHS: [f64; 4] = [1400.0, 1450.0, 1500.0, 1550.0];

/// A lay of an order's cloth and the length to order for it.
pub type Needed = Result<(Lay, OrderLength), LayFault>;

/// One row of the table: a width, and what is needed of it in each way it may be laid.
#[derive(Debug, Clone)]
pub struct Row {
    /// Width of the cloth, mm.
    pub width: f64,
    /// Plain: open, doubled.
    pub plain: [Needed; 2],
    /// With the pattern of the order's cloth: open, doubled. `None` if it has none.
    pub patterned: Option<[Needed; 2]>,
}

/// What an order's pieces need of a cloth.
pub fn needed(order: &Order, ready: &Ready, cloth: &Cloth, search: &Search) -> Needed {
    needed_from(None, order, ready, cloth, search)
}

/// The same, where a lay on narrower cloth is known.
fn needed_from(
    narrower: Option<&Lay>,
    order: &Order,
    ready: &Ready,
    cloth: &Cloth,
    search: &Search,
) -> Needed {
    let buying = Buying::new(&order.house, cloth);
    let lay = ready.plan_from(narrower, &ClothRules::new(cloth, &buying), search)?;
    let length = lay::order_length(&lay, &buying);
    Ok((lay, length))
}

/// Everything an order needs: a lay of each material as the order has it, searched for with `search`, and
/// what its cloth would take at the usual widths and laid either way, with the lesser `rest`.
///
/// # Errors
/// When a piece does not fit its material as the order has it.
pub fn everything(
    order: &Order,
    pattern: &Pattern,
    ready: &Ready,
    search: &Search,
    rest: &Search,
) -> Result<(Vec<Laid>, Vec<Row>), Vec<Diagnostic>> {
    let mut widths = WIDTHS.to_vec();
    if widths.iter().all(|w| (w - order.cloth.width).abs() > 1.0) {
        widths.push(order.cloth.width);
    }
    widths.sort_by(f64::total_cmp);
    // Each of them on one thread: there are more lays than threads.
    let alone = Search {
        threads: 1,
        progress: None,
        ..*rest
    };
    let has_pattern = order.cloth.repeat_across > 0.0 || order.cloth.repeat_along > 0.0;
    let column = |layout: Layout, patterned: bool, own: Option<&Needed>| {
        let cloth = Cloth {
            layout,
            remnants: Vec::new(),
            ..order.cloth.clone()
        };
        let plain = Cloth {
            repeat_across: 0.0,
            repeat_along: 0.0,
            ..cloth.clone()
        };
        let cloth = if patterned { cloth } else { plain };
        by_width(order, ready, &cloth, &widths, own, &alone)
    };
    let own_kind = (order.cloth.layout, has_pattern);
    let mut kinds = vec![(Layout::Open, false), (Layout::Doubled, false)];
    if has_pattern {
        kinds.extend([(Layout::Open, true), (Layout::Doubled, true)]);
    }
    let as_it_is = || -> Result<_, Vec<Diagnostic>> {
        let lays = job::lay_ready(order, pattern, ready, search)?;
        let own = lays.iter().find(|laid| laid.material == Material::Cloth);
        let own = own.map(|laid| Ok((laid.lay.clone(), laid.order_length.clone())));
        let column = column(own_kind.0, own_kind.1, own.as_ref());
        Ok((lays, column))
    };
    let others = || -> Vec<Vec<Needed>> {
        let others = kinds.par_iter().filter(|kind| **kind != own_kind);
        others.map(|kind| column(kind.0, kind.1, None)).collect()
    };
    let (as_it_is, mut columns) = rayon::join(as_it_is, others);
    let (lays, own) = as_it_is?;
    let place = kinds.iter().position(|kind| *kind == own_kind);
    columns.insert(place.unwrap_or(0), own);
    Ok((lays, rows(&widths, &columns)))
}

/// What an order needs of a cloth in each of some widths, the least first; `own` is what is known to be
/// needed of the cloth as the order has it.
fn by_width(
    order: &Order,
    ready: &Ready,
    cloth: &Cloth,
    widths: &[f64],
    own: Option<&Needed>,
    search: &Search,
) -> Vec<Needed> {
    // The narrowest is laid from nothing, with twice the search; each other from the one before.
    let thorough = Search {
        effort: match search.effort {
            Effort::Rounds(rounds) => Effort::Rounds(2 * rounds),
            Effort::Seconds(seconds) => Effort::Seconds(2.0 * seconds),
        },
        ..*search
    };
    let mut column: Vec<Needed> = Vec::new();
    for &width in widths {
        let cloth = Cloth {
            width,
            ..cloth.clone()
        };
        let narrower = column.last().and_then(|needed| needed.as_ref().ok());
        let needed = match (own, narrower) {
            (Some(own), _) if cloth == order.cloth => own.clone(),
            (_, Some((lay, _))) => needed_from(Some(lay), order, ready, &cloth, search),
            _ => needed_from(None, order, ready, &cloth, &thorough),
        };
        column.push(needed);
    }
    column
}

/// The rows of a table from its columns: open and doubled plain, then the same by the pattern.
fn rows(widths: &[f64], columns: &[Vec<Needed>]) -> Vec<Row> {
    let at = |column: usize, row: usize| columns[column][row].clone();
    let mut rows: Vec<Row> = widths
        .iter()
        .enumerate()
        .map(|(row, &width)| Row {
            width,
            plain: [at(0, row), at(1, row)],
            patterned: (columns.len() > 2).then(|| [at(2, row), at(3, row)]),
        })
        .collect();
    for index in 0..rows.len() {
        let (narrower, row) = rows.split_at_mut(index);
        let (narrower, row) = (narrower.last(), &mut row[0]);
        // What lies on narrower cloth lies on wider, and what lies by a pattern lies without.
        if let Some(narrower) = narrower {
            take_shorter(&mut row.plain, &narrower.plain);
        }
        if let Some(patterned) = &mut row.patterned {
            if let Some(narrower) = narrower.and_then(|row| row.patterned.as_ref()) {
                take_shorter(patterned, narrower);
            }
            take_shorter(&mut row.plain, patterned);
        }
    }
    rows
}

fn take_shorter(own: &mut [Needed; 2], others: &[Needed; 2]) {
    let length = |needed: &Needed| needed.as_ref().map_or(f64::INFINITY, |(lay, _)| lay.length);
    for (own, other) in own.iter_mut().zip(others) {
        if length(other) < length(own) {
            *own = other.clone();
        }
    }
}

/// Whether cloth at hand will do.
#[derive(Debug, Clone)]
pub struct Verdict {
    /// What the order needs of its cloth as it stands; of more than one piece at hand, with what would
    /// have to be bought beside them.
    pub needed: Needed,
    /// Whether what is at hand is enough.
    pub enough: bool,
    /// What else would do with the cloth at hand, in words; only looked for where it is not enough.
    pub instead: Vec<String>,
}

/// Whether pieces of cloth of these lengths (mm, before shrinking) are enough for an order; the
/// merchant's step does not matter for cloth that is at hand.
pub fn have(order: &Order, ready: &Ready, lengths: &[f64], search: &Search) -> Verdict {
    // One piece is laid as a cloth without end, which tells by how much it falls short.
    let (one, several) = match lengths {
        [one] => (Some(*one), &[][..]),
        several => (None, several),
    };
    let fits = |cloth: &Cloth, needed: &Needed| {
        let buying = Buying::new(&order.house, cloth);
        let net = |lay: &Lay| (lay.length + buying.ends) * (1.0 + buying.shrinkage);
        needed.as_ref().is_ok_and(|(lay, _)| match one {
            Some(length) => net(lay) <= length,
            None => lay.bought <= 0.0,
        })
    };
    let cloth = Cloth {
        remnants: several.to_vec(),
        ..order.cloth.clone()
    };
    let as_it_is = needed(order, ready, &cloth, search);
    let enough = fits(&cloth, &as_it_is);
    let mut instead = Vec::new();
    if !enough {
        let other = match cloth.layout {
            Layout::Open => Layout::Doubled,
            Layout::Doubled => Layout::Open,
        };
        let mut tried = vec![(
            format!("laid {}", layout_word(other)),
            Cloth {
                layout: other,
                ..cloth.clone()
            },
        )];
        let wider = WIDTHS.iter().filter(|w| **w > cloth.width + 1.0);
        tried.extend(wider.map(|&width| {
            let words = format!("{:.0} cm wide", width / 10.0);
            let cloth = Cloth {
                width,
                ..cloth.clone()
            };
            (words, cloth)
        }));
        for (words, cloth) in tried {
            if fits(&cloth, &needed(order, ready, &cloth, search)) {
                instead.push(words);
            }
        }
        if let Some(plain) = without_turn_ups(order)
            && let Ok(drafted) = job::draft(&plain)
            && let Ok(ready) = job::ready(&plain, &drafted.pattern)
            && fits(&cloth, &needed(&plain, &ready, &cloth, search))
        {
            instead.push("without turn-ups".to_owned());
        }
    }
    Verdict {
        needed: as_it_is,
        enough,
        instead,
    }
}

/// The layout in the trade's word.
pub fn layout_word(layout: Layout) -> &'static str {
    match layout {
        Layout::Open => "open",
        Layout::Doubled => "doubled",
    }
}

/// The order with plain hems, if it has turn-ups.
fn without_turn_ups(order: &Order) -> Option<Order> {
    let mut plain = order.clone();
    let mut changed = false;
    for choice in plain.garments.iter_mut().flat_map(|g| g.style.values_mut()) {
        if *choice == Choice::Word("turn_ups".into()) {
            *choice = Choice::Word("plain".into());
            changed = true;
        }
    }
    changed.then_some(plain)
}
