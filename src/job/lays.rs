//! The lays of an order: its pieces on each of its materials.

use super::fault::{JobFault, LONGEST_LAY};
use crate::draft::Material;
use crate::lay::{self, Buying, ClothRules, Effort, Lay, LayFault, Ready, Search, Standing, TURNS};
use crate::order::{Cloth, Face, HouseNumber, Layout, Nap, Order};
use crate::pattern::Pattern;
use crate::sheets::earlier::Earlier;
use crate::sheets::{Laid, words};
use kurbo::Shape;
use std::panic::resume_unwind;
use std::sync::atomic::Ordering;
use std::thread::{self, ScopedJoinHandle};

/// What is laid, the cloth first. Each other material has a width in which the house buys it.
const MATERIALS: [(Material, Option<HouseNumber>); 6] = [
    (Material::Cloth, None),
    (Material::Lining, Some(HouseNumber::LiningWidth)),
    (Material::SleeveLining, Some(HouseNumber::SleeveLiningWidth)),
    (Material::Canvas, Some(HouseNumber::CanvasWidth)),
    (Material::Felt, Some(HouseNumber::FeltWidth)),
    (Material::Pocketing, Some(HouseNumber::PocketingWidth)),
];

/// The pieces of an order's cloth, ready to be laid on it however wide it is and however it lies.
///
/// # Errors
/// When a piece has no outline.
pub fn ready(order: &Order, pattern: &Pattern) -> Result<Ready, JobFault> {
    let items = lay::items(pattern, Material::Cloth, order.cloth.nap);
    Ready::new(items, order.cloth.gap).map_err(|fault| JobFault::lay(Material::Cloth, fault))
}

/// Several orders of one cloth as one, to be laid together: the pieces of all, each garment with its
/// client's name.
///
/// # Errors
/// When they are not of one cloth.
pub fn together(all: &[(Order, Pattern)]) -> Result<(Order, Pattern), JobFault> {
    let Some(((first, first_pattern), others)) = all.split_first() else {
        return Err(JobFault::NoOrder);
    };
    let (mut order, mut pattern) = (first.clone(), first_pattern.clone());
    pattern.pieces.clear();
    pattern.matches.clear();
    for (other, _) in others {
        if other.cloth != first.cloth {
            let orders = [first.name.clone(), other.name.clone()];
            return Err(JobFault::OtherCloth { orders });
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

/// Lays the pieces of each material that has any, the cloth first.
///
/// # Errors
/// Returns [`JobFault::Lay`] where a piece does not fit its material, [`JobFault::TooLong`] where the lay would be
/// longer than a bolt of cloth.
///
/// # Examples
///
/// ```
/// use chalkstripe::draft::Material;
/// use chalkstripe::lay::{Effort, Search};
/// use chalkstripe::workshop::Workshop;
/// use chalkstripe::{job, order};
/// use std::path::Path;
///
/// let order = order::read(Path::new("examples/plain-worsted.toml")).expect("a good order").order;
/// let pattern = job::draft(Workshop::embedded(), &order)?.pattern;
/// let search = Search { effort: Effort::Rounds(1), ..Search::default() };
/// let lays = job::lay(&order, &pattern, &search)?;
/// assert_eq!(lays[0].material, Material::Cloth);
/// assert!(lays[0].order_length.length >= lays[0].lay.length);
/// # Ok::<(), job::JobFault>(())
/// ```
pub fn lay(order: &Order, pattern: &Pattern, search: &Search) -> Result<Vec<Laid>, JobFault> {
    lay_ready(order, pattern, &ready(order, pattern)?, search)
}

/// Lays each material as [`lay()`] does, with the pieces of the cloth made ready before.
///
/// # Errors
/// When a piece does not fit its material.
pub fn lay_ready(
    order: &Order,
    pattern: &Pattern,
    ready: &Ready,
    search: &Search,
) -> Result<Vec<Laid>, JobFault> {
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
    ready: &Ready,
    earlier: &Earlier,
    search: &Search,
) -> Result<Vec<Laid>, JobFault> {
    let lay = |&(material, width): &(Material, Option<HouseNumber>)| {
        let known = earlier.lay_of(material).map(|(standing, _)| standing);
        let laid = match width {
            None => lay_cloth(order, pattern, ready, known, search),
            Some(width) => {
                let cloth = trimming(order, material, width);
                lay_trimming(order, pattern, material, &cloth, known, search)
            }
        };
        laid.map(|laid| Some(laid).filter(|laid| !laid.lay.placements.is_empty()))
    };
    let lays: Vec<_> = if search.threads == 1 {
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

/// Lays the pieces of an order's cloth, beginning where they are known to lie.
///
/// # Errors
/// When a piece does not fit the cloth.
pub fn lay_cloth(
    order: &Order,
    pattern: &Pattern,
    ready: &Ready,
    known: Option<&Standing>,
    search: &Search,
) -> Result<Laid, JobFault> {
    let (material, cloth) = (Material::Cloth, &order.cloth);
    believed(least_length(pattern, material, cloth), material)?;
    let lay = ready.plan_from(known, &rules(order, cloth), search);
    let lay = lay.map_err(|fault| JobFault::lay(material, fault))?;
    finished(order, cloth, material, lay, search)
}

/// The lay of an order's cloth in which its pieces lie as they did in an earlier one; `None` where they cannot.
pub fn cloth_held(order: &Order, ready: &Ready, known: &Standing) -> Option<Lay> {
    ready.holds(&rules(order, &order.cloth), known)
}

fn lay_trimming(
    order: &Order,
    pattern: &Pattern,
    material: Material,
    cloth: &Cloth,
    known: Option<&Standing>,
    search: &Search,
) -> Result<Laid, JobFault> {
    believed(least_length(pattern, material, cloth), material)?;
    let unlaid = |fault: LayFault| JobFault::lay(material, fault);
    let rules = rules(order, cloth);
    let items = lay::items(pattern, material, cloth.nap);
    let ready = Ready::new(items, cloth.gap).map_err(unlaid)?;
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
) -> Result<Laid, JobFault> {
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
        progress: None,
        ..*search
    }
}

/// Refuses a lay, or the least that one would take, that is longer than is believed.
fn believed(length: f64, material: Material) -> Result<(), JobFault> {
    if length <= LONGEST_LAY {
        return Ok(());
    }
    Err(JobFault::TooLong {
        material,
        needs: length,
    })
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
fn trimming(order: &Order, material: Material, width: HouseNumber) -> Cloth {
    Cloth {
        name: words::material(material).to_owned(),
        width: order.house.value(width),
        selvedge: order.house.value(HouseNumber::ClothSelvedge),
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
        gap: order.house.value(HouseNumber::ClothGap),
        remnants: Vec::new(),
    }
}
