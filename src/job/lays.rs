//! The lays of an order: its pieces on each of its materials.

use super::fault::{JobFault, LONGEST_LAY};
use crate::lay::Laid;
use crate::lay::{
    self, Buying, ClothRules, Effort, Lay, LayFault, Note, Problem, Search, TURNS, WarmStart,
};
use crate::order::{Cloth, Face, HouseNumber, Material, Order};
use crate::pattern::{OneOf, Pattern, Piece};
use crate::sheets::earlier::Earlier;
use kurbo::Shape;
use std::collections::BTreeSet;
use std::panic::resume_unwind;
use std::sync::atomic::Ordering;
use std::thread::{self, ScopedJoinHandle};

/// Prepares the pieces of an order's cloth to be laid, on cloth of any width and layout.
///
/// # Errors
/// Returns [`JobFault::Lay`] where the outline of a piece cannot be laid.
pub fn ready(order: &Order, pattern: &Pattern) -> Result<Problem, JobFault> {
    let cloth = &order.cloth;
    let items = lay::items(pattern, &cloth.material, cloth.nap);
    Problem::new(items, cloth.gap).map_err(|fault| JobFault::lay(&cloth.material, fault))
}

/// Joins several orders into one, to be laid together on a cloth that all of them have. It has the pieces of all,
/// and each garment bears its client's name. What is made of another cloth is no part of that lay.
///
/// # Errors
/// Returns [`JobFault::OtherCloth`] where they have no cloth in common, [`JobFault::NoOrder`] where there are none.
pub fn together(all: &[(Order, Pattern)]) -> Result<(Order, Pattern), JobFault> {
    let Some(((first, first_pattern), others)) = all.split_first() else {
        return Err(JobFault::NoOrder);
    };
    let shared = shared_cloth(first, others)?;
    let (mut order, mut pattern) = (first.clone(), first_pattern.clone());
    order.cloth = Cloth {
        remnants: in_stock(all, shared),
        ..shared.clone()
    };
    order.other_cloths.clear();
    pattern.pieces.clear();
    pattern.matches.clear();
    for (other, _) in others {
        order.name = format!("{}+{}", order.name, other.name);
        order.client.name = format!("{}, {}", order.client.name, other.client.name);
        order.client.reference = format!("{}, {}", order.client.reference, other.client.reference);
    }
    for (number, (of, own)) in all.iter().enumerate() {
        let before = pattern.pieces.len();
        let theirs = same_cloth(of, shared).map(|cloth| &cloth.material);
        pattern
            .pieces
            .extend(own.pieces.iter().cloned().map(|mut piece| {
                if Some(&piece.material) == theirs {
                    piece.material = shared.material.clone();
                } else if piece.material.is_cloth() {
                    piece.material = order.materials.cloth().of_garment(&piece.garment);
                }
                let garment = format!("{}: {}", of.client.name, piece.garment);
                piece.one_of = Some(OneOf {
                    order: number,
                    garment: std::mem::replace(&mut piece.garment, garment),
                });
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

/// Lists the pieces of a cloth that orders have in stock. Orders that name the same length mean the same piece: each
/// length is listed as often as the order that names it most often does, so that nothing is laid on cloth that is not
/// there.
fn in_stock(all: &[(Order, Pattern)], shared: &Cloth) -> Vec<f64> {
    let mut pieces: Vec<f64> = Vec::new();
    for cloth in all
        .iter()
        .filter_map(|(order, _)| same_cloth(order, shared))
    {
        let mut others = pieces.clone();
        for &length in &cloth.remnants {
            match others.iter().position(|other| *other == length) {
                Some(same) => drop(others.swap_remove(same)),
                None => pieces.push(length),
            }
        }
    }
    pieces
}

/// Finds the cloth of an order that is the same as another order's, whatever either makes of it or has in stock.
fn same_cloth<'a>(order: &'a Order, cloth: &Cloth) -> Option<&'a Cloth> {
    let as_theirs = |own: &Cloth| Cloth {
        material: cloth.material.clone(),
        remnants: cloth.remnants.clone(),
        ..own.clone()
    };
    order.cloths().find(|own| as_theirs(own) == *cloth)
}

/// Finds the first cloth of an order that all others have too.
fn shared_cloth<'a>(first: &'a Order, others: &[(Order, Pattern)]) -> Result<&'a Cloth, JobFault> {
    let lacks = |cloth: &Cloth| {
        let mut others = others.iter().map(|(other, _)| other);
        others.find(|other| same_cloth(other, cloth).is_none())
    };
    let mut cloths = first.cloths();
    match (
        cloths.find(|cloth| lacks(cloth).is_none()),
        lacks(&first.cloth),
    ) {
        (Some(shared), _) => Ok(shared),
        (None, other) => Err(JobFault::OtherCloth {
            orders: [&first.name, other.map_or(&first.name, |other| &other.name)]
                .map(String::clone),
        }),
    }
}

/// Lays the pieces of each material that has any, the cloth first.
///
/// # Errors
/// Returns [`JobFault::Lay`] where a piece does not fit its material, [`JobFault::TooLong`] where the lay would be
/// longer than a bolt of cloth.
///
/// # Examples
///
/// ```
/// use chalkstripe::lay::{Effort, Search};
/// use chalkstripe::workshop::Workshop;
/// use chalkstripe::{job, order};
/// use std::path::Path;
///
/// let order = order::read(Path::new("examples/plain-worsted.toml")).expect("a good order").order;
/// let pattern = job::draft(Workshop::embedded(), &order)?.pattern;
/// let search = Search { effort: Effort::Rounds(1), ..Search::default() };
/// let lays = job::lay(&order, &pattern, &search)?;
/// assert!(lays[0].material.is_cloth());
/// assert!(lays[0].order_length.length >= lays[0].lay.length);
/// # Ok::<(), job::JobFault>(())
/// ```
pub fn lay(order: &Order, pattern: &Pattern, search: &Search) -> Result<Vec<Laid>, JobFault> {
    lay_ready(order, pattern, &ready(order, pattern)?, search)
}

/// Lays each material as [`lay()`] does, with the pieces of the cloth made ready before.
///
/// # Errors
/// Returns the faults of [`lay()`].
pub fn lay_ready(
    order: &Order,
    pattern: &Pattern,
    ready: &Problem,
    search: &Search,
) -> Result<Vec<Laid>, JobFault> {
    lay_on(order, pattern, ready, &Earlier::default(), search)
}

/// Lays each material as [`lay_ready`] does, going on from the lays of an earlier run. The search for the cloth
/// begins with its earlier lay, so that it comes out no longer; the other lays stay. A lay of other pieces or
/// other material is made anew.
///
/// # Errors
/// Returns the faults of [`lay()`].
pub fn lay_on(
    order: &Order,
    pattern: &Pattern,
    ready: &Problem,
    earlier: &Earlier,
    search: &Search,
) -> Result<Vec<Laid>, JobFault> {
    let others = order.by_cloth();
    let lay = |material: &Material| {
        let known = earlier.lay_of(material).map(|(standing, _)| standing);
        if *material == order.cloth.material {
            lay_cloth(order, pattern, ready, known, search)
        } else if let Some(own) = others.iter().find(|own| own.cloth.material == *material) {
            let search = Search {
                progress: None,
                ..*search
            };
            lay_cloth(own, pattern, &self::ready(own, pattern)?, known, &search)
        } else {
            lay_trimming(order, pattern, &trimming(order, material), known, search)
        }
    };
    let pieces = pattern.pieces.iter();
    let materials: BTreeSet<&Material> = pieces.map(|piece| &piece.material).collect();
    let lays: Vec<_> = if search.threads == Some(1) {
        materials.into_iter().map(lay).collect()
    } else {
        // Each material has a thread of its own. In a pool, a thread that waits for a round would take up the
        // search of another material, and come back only when that is done.
        thread::scope(|scope| {
            let lay = &lay;
            let begun: Vec<_> = (materials.into_iter())
                .map(|material| scope.spawn(move || lay(material)))
                .collect();
            let joined = begun.into_iter().map(ScopedJoinHandle::join);
            joined
                .map(|laid| laid.unwrap_or_else(|panic| resume_unwind(panic)))
                .collect()
        })
    };
    lays.into_iter().collect()
}

/// Lays the pieces of an order's cloth, beginning where they are known to lie.
///
/// # Errors
/// Returns the faults of [`lay()`].
pub fn lay_cloth(
    order: &Order,
    pattern: &Pattern,
    ready: &Problem,
    known: Option<&WarmStart>,
    search: &Search,
) -> Result<Laid, JobFault> {
    let cloth = &order.cloth;
    believed(least_length(pattern, cloth), &cloth.material)?;
    let lay = ready.plan_from(known, &rules(order, cloth), search);
    let lay = lay.map_err(|fault| JobFault::lay(&cloth.material, fault))?;
    finished(order, cloth, lay, search)
}

/// Returns the lay in which the pieces lie as they did in an earlier one, or `None` where they cannot.
pub fn cloth_held(order: &Order, ready: &Problem, known: &WarmStart) -> Option<Lay> {
    ready.holds(&rules(order, &order.cloth), known)
}

fn lay_trimming(
    order: &Order,
    pattern: &Pattern,
    cloth: &Cloth,
    known: Option<&WarmStart>,
    search: &Search,
) -> Result<Laid, JobFault> {
    let material = &cloth.material;
    believed(least_length(pattern, cloth), material)?;
    let unlaid = |fault: LayFault| JobFault::lay(material, fault);
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
    finished(order, cloth, lay, &search)
}

fn rules(order: &Order, cloth: &Cloth) -> ClothRules {
    let table = order.house.value(HouseNumber::ClothTable);
    ClothRules {
        table: Some(table).filter(|&length| length > 0.0),
        ..ClothRules::new(cloth, &Buying::new(&order.house, cloth, order.unit))
    }
}

/// Adds to a lay what is to be ordered for it.
fn finished(order: &Order, cloth: &Cloth, mut lay: Lay, search: &Search) -> Result<Laid, JobFault> {
    believed(lay.length, &cloth.material)?;
    if search
        .cancel
        .is_some_and(|cancel| cancel.load(Ordering::Relaxed))
    {
        lay.notes.push(Note::Stopped);
    }
    let order_length = lay::order_length(&lay, &Buying::new(&order.house, cloth, order.unit));
    Ok(Laid {
        material: cloth.material.clone(),
        lay,
        order_length,
    })
}

/// Returns the search for a trimming. It takes a quarter of the cloth's rounds, because trimmings cost less and
/// are bought by the half metre; where the cloth's search is in seconds, a quarter of the rounds of `cut`.
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

/// Refuses a length, of a lay or the least that one would take, beyond [`LONGEST_LAY`].
fn believed(length: f64, material: &Material) -> Result<(), JobFault> {
    if length <= LONGEST_LAY {
        return Ok(());
    }
    Err(JobFault::TooLong {
        material: material.clone(),
        needs: length,
    })
}

/// Returns a length that no lay of a material can be shorter than: the area of its pieces divided by the
/// cloth's width.
fn least_length(pattern: &Pattern, cloth: &Cloth) -> f64 {
    let own = |p: &&Piece| p.material == cloth.material;
    let pieces = pattern.pieces.iter().filter(own);
    let area: f64 = pieces
        .map(|p| p.cut.area().abs() * f64::from(p.count.total()))
        .sum();
    area / (cloth.width - 2.0 * cloth.selvedge).max(1.0)
}

/// Returns a material other than the cloth as it is laid: plain, in the width in which it is bought.
fn trimming(order: &Order, material: &Material) -> Cloth {
    let house = &order.house;
    Cloth {
        material: material.clone(),
        name: material.name.clone(),
        width: material.width,
        selvedge: house.value(HouseNumber::ClothSelvedge),
        repeat_across: 0.0,
        repeat_along: 0.0,
        nap: material.nap,
        layout: material.layout,
        // A material without a face may lie either side up.
        face: match material.has_face() {
            true => order.cloth.face,
            false => Face::Up,
        },
        shrinkage: 0.0,
        gap: material.gap.unwrap_or(house.value(HouseNumber::ClothGap)),
        remnants: Vec::new(),
        price: None,
    }
}
