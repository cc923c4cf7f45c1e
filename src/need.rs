//! The length of cloth that an order needs: at other widths, laid the other way, and whether a length at hand
//! is enough.

use crate::job;
use crate::lay::{
    self, Buying, ClothRules, Effort, Laid, Lay, LayFault, OrderLength, Problem, Search, WarmStart,
};
use crate::order::{Choice, Cloth, Layout, Order};
use crate::units::Unit;
use crate::workshop::Workshop;

/// Returns the widths in which suitings are woven, as a merchant names them in a unit, in mm (common practice,
/// no source).
pub fn widths(unit: Unit) -> [f64; 4] {
    match unit {
        Unit::Cm => [140.0, 145.0, 150.0, 155.0],
        Unit::Inch => [54.0, 56.0, 58.0, 60.0],
    }
    .map(|width| width * unit.mm())
}

/// A lay of an order's cloth and the length to order for it.
pub type Needed = Result<(Lay, OrderLength), LayFault>;

/// One row of the table: a width, and the length that is needed of it in each layout.
#[derive(Debug, Clone)]
pub struct Row {
    /// Width of the cloth, mm.
    pub width: f64,
    /// Plain: open, doubled.
    pub plain: [Needed; 2],
    /// With the pattern of the order's cloth: open, doubled. `None` if it has none.
    pub patterned: Option<[Needed; 2]>,
}

/// Finds the length that an order's pieces need of a cloth.
///
/// # Errors
/// Returns the fault for which the pieces cannot be laid on it.
pub fn needed(order: &Order, ready: &Problem, cloth: &Cloth, search: &Search) -> Needed {
    needed_from(None, order, ready, cloth, search)
}

/// Finds the same from a known lay, on narrower cloth or with a pattern.
fn needed_from(
    known: Option<&WarmStart>,
    order: &Order,
    ready: &Problem,
    cloth: &Cloth,
    search: &Search,
) -> Needed {
    let buying = Buying::new(&order.house, cloth, order.unit);
    let lay = ready.plan_from(known, &ClothRules::new(cloth, &buying), search)?;
    let length = lay::order_length(&lay, &buying);
    Ok((lay, length))
}

/// Finds the length of cloth that an order takes at the usual widths and its own, laid either way. `lays` are
/// those of the order as it is: at its own width the table repeats them.
pub fn table(order: &Order, ready: &Problem, lays: &[Laid], search: &Search) -> Vec<Row> {
    let own_width = order.cloth.width;
    let mut widths = widths(order.unit).to_vec();
    widths.retain(|width| (width - own_width).abs() > 1.0);
    widths.push(own_width);
    widths.sort_by(f64::total_cmp);
    let narrower = widths.partition_point(|width| *width < own_width);
    // Each lay takes one thread, as there are more lays than threads.
    let search = Search {
        threads: Some(1),
        progress: None,
        ..*search
    };
    let column = |layout: Layout, group: &[f64], before: Option<Needed>| {
        let whole = Cloth {
            layout,
            remnants: Vec::new(),
            ..order.cloth.clone()
        };
        by_width(order, ready, &whole, group, before, &search)
    };
    // At its own width and wider the search starts from the lay as it is. The table leaves cloth at hand out.
    let as_it_is = lays
        .iter()
        .find(|laid| laid.material == order.cloth.material);
    let as_it_is = as_it_is.filter(|_| order.cloth.remnants.is_empty());
    let as_it_is: Option<Needed> =
        as_it_is.map(|laid| Ok((laid.lay.clone(), laid.order_length.clone())));
    let known = as_it_is.clone();
    let layout = order.cloth.layout;
    let (other_way, (mut column, wider)) = rayon::join(
        || column(other(layout), &widths, None),
        || {
            rayon::join(
                || column(layout, &widths[..narrower], None),
                || column(layout, &widths[narrower..], as_it_is),
            )
        },
    );
    // Narrower cloth cannot take less than the order's own width, whose lay is the one that is cut.
    if let Some(own) = known {
        for (plain, patterned) in &mut column {
            take_longer(patterned.as_mut().unwrap_or(plain), &own);
        }
    }
    column.extend(wider);
    let columns = match layout {
        Layout::Open => [column, other_way],
        Layout::Doubled => [other_way, column],
    };
    rows(&widths, columns)
}

/// The length that an order needs of a cloth of one width: plain, and with the pattern, if it has one.
type Cell = (Needed, Option<Needed>);

/// Finds the length that an order needs in each of some widths, the least first. Each search starts from the
/// lay before. The first starts from nothing and takes twice as long, unless its length is known.
fn by_width(
    order: &Order,
    ready: &Problem,
    cloth: &Cloth,
    widths: &[f64],
    known: Option<Needed>,
    search: &Search,
) -> Vec<Cell> {
    let times = |part: f64| Search {
        effort: match search.effort {
            Effort::Rounds(rounds) => Effort::Rounds((f64::from(rounds) * part).ceil() as u32),
            Effort::Seconds(seconds) => Effort::Seconds(seconds * part),
        },
        ..*search
    };
    let (brief, thorough) = (times(0.5), times(2.0));
    let mut column: Vec<Cell> = Vec::new();
    let mut known = known;
    for &width in widths {
        let cloth = Cloth {
            width,
            ..cloth.clone()
        };
        let before = column.last();
        let before = before.map(|(plain, patterned)| patterned.as_ref().unwrap_or(plain));
        let needed = match (known.take(), before) {
            (Some(known), _) => known,
            (None, Some(Ok((lay, _)))) => {
                needed_from(Some(&lay.warm_start()), order, ready, &cloth, search)
            }
            _ => needed_from(None, order, ready, &cloth, &thorough),
        };
        column.push(if cloth.is_patterned() {
            let plain = Cloth {
                repeat_across: 0.0,
                repeat_along: 0.0,
                ..cloth
            };
            // Pieces that lie by a pattern may lie so without one, and a little closer.
            let from = needed.as_ref().ok().map(|(lay, _)| lay.warm_start());
            let plain = needed_from(from.as_ref(), order, ready, &plain, &brief);
            (plain, Some(needed))
        } else {
            (needed, None)
        });
    }
    column
}

/// Makes the rows of a table from its columns, open and doubled. Pieces that lie on narrower cloth lie on wider
/// too, which so takes no more.
fn rows(widths: &[f64], columns: [Vec<Cell>; 2]) -> Vec<Row> {
    let [open_column, doubled_column] = columns;
    let mut rows: Vec<Row> = Vec::new();
    for ((&width, open), doubled) in widths.iter().zip(open_column).zip(doubled_column) {
        let mut row = Row {
            width,
            plain: [open.0, doubled.0],
            patterned: open.1.zip(doubled.1).map(|(open, doubled)| [open, doubled]),
        };
        if let Some(narrower) = rows.last() {
            take_shorter(&mut row.plain, &narrower.plain);
            if let (Some(own), Some(narrower)) = (&mut row.patterned, &narrower.patterned) {
                take_shorter(own, narrower);
            }
        }
        if let Some(patterned) = &row.patterned {
            take_shorter(&mut row.plain, patterned);
        }
        rows.push(row);
    }
    rows
}

fn take_shorter(own: &mut [Needed; 2], others: &[Needed; 2]) {
    for (needed, other) in own.iter_mut().zip(others) {
        if length(other) < length(needed) {
            *needed = other.clone();
        }
    }
}

fn take_longer(own: &mut Needed, other: &Needed) {
    if length(other) > length(own) {
        *own = other.clone();
    }
}

/// Returns the length of the lay, infinite where there is none.
fn length(needed: &Needed) -> f64 {
    needed.as_ref().map_or(f64::INFINITY, |(lay, _)| lay.length)
}

/// The answer to whether cloth at hand is enough.
#[derive(Debug, Clone)]
pub struct Verdict {
    /// The lay on the cloth at hand. Where that is several pieces, it tells also what would have to be bought
    /// beside them.
    pub needed: Needed,
    /// Length by which the cloth at hand is too short, mm: 0 where it is enough, `None` where nothing can be laid
    /// on it.
    pub missing: Option<f64>,
    /// The rounds with which it must be cut to be enough, if that takes more than usual.
    pub longer: Option<u32>,
    /// Changes with which the cloth at hand would be enough, in words; empty where it is enough as it is.
    pub instead: Vec<String>,
}

impl Verdict {
    /// Tells whether the cloth at hand is enough.
    pub fn enough(&self) -> bool {
        self.missing == Some(0.0)
    }
}

/// Pieces of cloth at hand. The merchant's step does not matter for these.
#[derive(Debug, Clone, Copy)]
struct AtHand<'a> {
    /// mm, before shrinking.
    lengths: &'a [f64],
}

impl AtHand<'_> {
    /// Returns the length of a single piece. It is laid as a cloth without end, which tells by how much it
    /// falls short.
    fn one(self) -> Option<f64> {
        match self.lengths {
            [one] => Some(*one),
            _ => None,
        }
    }

    /// Returns how much is missing for an order on a cloth, in mm; `None` where it cannot be laid.
    fn missing(self, order: &Order, cloth: &Cloth, needed: &Needed) -> Option<f64> {
        // A difference this small, in mm, is no reason to buy cloth.
        const HAIR: f64 = 0.01;
        let (lay, _) = needed.as_ref().ok()?;
        let buying = Buying::new(&order.house, cloth, order.unit);
        let net = |length: f64| (length + buying.ends) * (1.0 + buying.shrinkage);
        let missing = match self.one() {
            Some(length) => net(lay.length) - length,
            None if lay.bought > 0.0 => net(lay.bought),
            None => 0.0,
        };
        Some(if missing > HAIR { missing } else { 0.0 })
    }
}

/// The part of the cloth at hand up to which a want is called a close fit and searched for twice as long.
const NEARLY: f64 = 0.01;

/// Decides whether pieces of cloth of these lengths (mm, before shrinking) are enough for an order. A `short`
/// search comes first; before the answer is no, one of as many rounds as the order will be `cut` with. Where
/// they are not enough, looks for changes with which they would be.
pub fn have(
    workshop: &Workshop,
    order: &Order,
    ready: &Problem,
    lengths: &[f64],
    short: &Search,
    cut: u32,
) -> Verdict {
    let at_hand = AtHand { lengths };
    let cloth = Cloth {
        remnants: match at_hand.one() {
            Some(_) => Vec::new(),
            None => lengths.to_vec(),
        },
        ..order.cloth.clone()
    };
    let searched = |effort: Effort| {
        let needed = needed(order, ready, &cloth, &Search { effort, ..*short });
        let missing = at_hand.missing(order, &cloth, &needed);
        (needed, missing)
    };
    let (mut needed, mut missing) = searched(short.effort);
    let mut longer = None;
    if missing.is_some_and(|missing| missing > 0.0) && short.effort != Effort::Rounds(cut) {
        (needed, missing) = searched(Effort::Rounds(cut));
    }
    let nearly = NEARLY * lengths.iter().sum::<f64>();
    if missing.is_some_and(|missing| missing > 0.0 && missing < nearly) {
        let twice = cut.saturating_mul(2);
        (needed, missing) = searched(Effort::Rounds(twice));
        longer = (missing == Some(0.0)).then_some(twice);
    }
    let instead = if missing == Some(0.0) {
        Vec::new()
    } else {
        instead(workshop, order, ready, at_hand, &cloth, short)
    };
    Verdict {
        needed,
        missing,
        longer,
        instead,
    }
}

/// Looks for changes with which the cloth at hand is enough: the other layout, wider cloth of the same length,
/// no turn-ups.
fn instead(
    workshop: &Workshop,
    order: &Order,
    ready: &Problem,
    at_hand: AtHand,
    cloth: &Cloth,
    search: &Search,
) -> Vec<String> {
    let fits = |changed: &Order, problem: &Problem, on: &Cloth| {
        let needed = needed(changed, problem, on, search);
        at_hand.missing(changed, on, &needed) == Some(0.0)
    };
    let other = other(cloth.layout);
    let mut tried = vec![(
        format!("laid {}", other.word()),
        Cloth {
            layout: other,
            ..cloth.clone()
        },
    )];
    let wider = widths(order.unit).into_iter();
    let wider = wider.filter(|width| *width > cloth.width + 1.0);
    tried.extend(wider.map(|width| {
        let words = format!("{} wide", order.unit.show(width));
        let cloth = Cloth {
            width,
            ..cloth.clone()
        };
        (words, cloth)
    }));
    let mut instead = Vec::new();
    for (words, changed) in tried {
        if fits(order, ready, &changed) {
            instead.push(words);
        }
    }
    if let Some(plain) = without_turn_ups(order)
        && let Ok(drafted) = job::draft(workshop, &plain)
        && let Ok(problem) = job::ready(&plain, &drafted.pattern)
        && fits(&plain, &problem, cloth)
    {
        instead.push("without turn-ups".to_owned());
    }
    instead
}

/// Returns the other way to lay cloth.
fn other(layout: Layout) -> Layout {
    match layout {
        Layout::Open => Layout::Doubled,
        Layout::Doubled => Layout::Open,
    }
}

/// Returns the order with plain hems, if it has turn-ups.
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
