//! What length of cloth an order needs: at other widths, laid the other way, and whether a length
//! that is at hand will do.

use crate::job;
use crate::lay::{self, Buying, ClothRules, Effort, Lay, LayFault, OrderLength, Ready, Search};
use crate::order::{Choice, Cloth, Layout, Order};
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

/// The lengths to order by width, for the usual widths and the order's own; `own` is what is known to
/// be needed of the cloth as the order has it.
pub fn table(order: &Order, ready: &Ready, own: Option<&Needed>, search: &Search) -> Vec<Row> {
    let mut widths = WIDTHS.to_vec();
    if widths.iter().all(|w| (w - order.cloth.width).abs() > 1.0) {
        widths.push(order.cloth.width);
    }
    widths.sort_by(f64::total_cmp);
    let has_pattern = order.cloth.repeat_across > 0.0 || order.cloth.repeat_along > 0.0;
    let whole = Cloth {
        remnants: Vec::new(),
        ..order.cloth.clone()
    };
    // Each of them on one thread: there are more lays than threads.
    let alone = Search {
        threads: 1,
        progress: None,
        ..*search
    };
    // The narrowest is laid from nothing, with twice the search; each other from the one before.
    let thorough = Search {
        effort: match alone.effort {
            Effort::Rounds(rounds) => Effort::Rounds(2 * rounds),
            Effort::Seconds(seconds) => Effort::Seconds(2.0 * seconds),
        },
        ..alone
    };
    let by_width = |(layout, patterned): (Layout, bool)| -> Vec<Needed> {
        let mut column: Vec<Needed> = Vec::new();
        for &width in &widths {
            let mut cloth = Cloth {
                width,
                layout,
                ..whole.clone()
            };
            if !patterned {
                (cloth.repeat_across, cloth.repeat_along) = (0.0, 0.0);
            }
            let narrower = column.last().and_then(|needed| needed.as_ref().ok());
            let needed = match (own, narrower) {
                (Some(own), _) if cloth == order.cloth => own.clone(),
                (_, Some((lay, _))) => needed_from(Some(lay), order, ready, &cloth, &alone),
                _ => needed_from(None, order, ready, &cloth, &thorough),
            };
            column.push(needed);
        }
        column
    };
    let mut kinds = vec![(Layout::Open, false), (Layout::Doubled, false)];
    if has_pattern {
        kinds.extend([(Layout::Open, true), (Layout::Doubled, true)]);
    }
    let columns: Vec<Vec<Needed>> = kinds.into_par_iter().map(by_width).collect();
    let at = |column: usize, row: usize| columns[column][row].clone();
    let mut rows: Vec<Row> = widths
        .iter()
        .enumerate()
        .map(|(row, &width)| Row {
            width,
            plain: [at(0, row), at(1, row)],
            patterned: has_pattern.then(|| [at(2, row), at(3, row)]),
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
