//! Where pieces may lie so that the pattern of the cloth matches.
//!
//! Each item that must match has one offset on each axis: the place of its own origin within the repeat, as
//! it lies with its grain down the cloth. Its points then fall on the pattern as those of its partners do. A
//! mirrored piece lies at the negative of the offset across, a piece laid head to foot at the negative of both.
//! Of two items that are given in opposite hands, one lies where the other would lie mirrored.

use super::cloth_rules::Repeat;
use super::fault::LayFault;
use super::item::{Item, MatchedPoints};
use super::outcome::Placement;
use kurbo::{Affine, Point, Vec2};
use std::collections::{BTreeMap, BTreeSet};
use std::f64::consts::FRAC_PI_2;

/// Greatest distance by which matched points may miss each other on the pattern, mm: half of what is seen
/// across a seam (judged, no source).
pub(super) const EXACT: f64 = 0.5;

/// Where the origin of each item lies within the repeat, on each axis, by the item's index. Items that
/// nothing holds on an axis are not in its map.
pub(super) type Offsets = [BTreeMap<usize, f64>; 2];

/// A match of one axis: index of the item that has it, the match, index of the partner.
type Tie<'a> = (usize, &'a MatchedPoints, usize);

/// Whether an item has a match, or another item has one with it.
pub(super) fn is_matched(item: &Item, items: &[Item]) -> bool {
    let mut matches = items.iter().flat_map(|other| &other.matches);
    !item.matches.is_empty() || matches.any(|m| m.partner == item.piece)
}

/// The signs of an item's axes on the cloth. A piece laid head to foot has both reversed, a mirrored one
/// that across.
pub(super) fn signs(transform: Affine, item: &Item) -> [f64; 2] {
    let laid = transform * item.grain.to_point() - transform * Point::ZERO;
    let down = if laid.y >= 0.0 { 1.0 } else { -1.0 };
    let mirrored = if transform.determinant() < 0.0 {
        -1.0
    } else {
        1.0
    };
    [down * mirrored, down]
}

/// The component of a vector on an axis: 0 is across, 1 along.
pub(super) fn on(axis: usize, v: Vec2) -> f64 {
    if axis == 0 { v.x } else { v.y }
}

/// -1 where the partner of a match sees the bars of the pattern from the other side, otherwise 1.
fn facing(axis: usize, m: &MatchedPoints) -> f64 {
    if axis == 0 && m.opposed { -1.0 } else { 1.0 }
}

/// Turns a point of an item about the item's own origin until its grain runs down the cloth.
fn straight(item: &Item, p: Point) -> Vec2 {
    (Affine::rotate(FRAC_PI_2 - item.grain.atan2()) * p).to_vec2()
}

/// Works out where the items that must match lie within the repeat.
///
/// # Errors
/// When the matches contradict one another.
pub(super) fn offsets(items: &[Item], repeat: Repeat) -> Result<Offsets, LayFault> {
    let mut offsets: Offsets = Default::default();
    for (axis, own) in offsets.iter_mut().enumerate() {
        if let Some(step) = repeat.axes()[axis] {
            let ties = ties(axis, items);
            *own = offsets_on(axis, items, &ties);
            agree(axis, items, &ties, own, step)?;
        }
    }
    Ok(offsets)
}

/// Returns where the matches of some items put each of them on the pattern of a cloth: the place of its origin within
/// the repeat, across and along, as it lies with its grain down the cloth. `None` is an axis on which nothing holds it.
/// Items are told by [`Item::piece`].
///
/// # Errors
/// When the matches contradict one another.
pub fn on_pattern(
    items: &[Item],
    repeat: Repeat,
) -> Result<BTreeMap<usize, [Option<f64>; 2]>, LayFault> {
    let offsets = offsets(items, repeat)?;
    let of = |index: usize| [0, 1].map(|axis| offsets[axis].get(&index).copied());
    Ok((items.iter().enumerate())
        .map(|(index, item)| (item.piece, of(index)))
        .collect())
}

/// Lists the matches of one axis between items that are there.
fn ties(axis: usize, items: &[Item]) -> Vec<Tie<'_>> {
    let index_of = |piece: usize| items.iter().position(|item| item.piece == piece);
    items
        .iter()
        .enumerate()
        .flat_map(|(index, item)| item.matches.iter().map(move |m| (index, m)))
        .filter(|(_, m)| if axis == 0 { m.across } else { m.along })
        .filter_map(|(index, m)| Some((index, m, index_of(m.partner)?)))
        .collect()
}

/// Gives each item of some matches an offset, from one item to the next.
fn offsets_on(axis: usize, items: &[Item], ties: &[Tie]) -> BTreeMap<usize, f64> {
    let mut offsets = BTreeMap::new();
    // A piece that is the same on both sides of its fold must be so on the pattern: its centre line lies on a
    // bar.
    if axis == 0 {
        let held = ties.iter().flat_map(|&(a, _, b)| [a, b]);
        for item in held.collect::<BTreeSet<_>>() {
            if let Some(at) = items[item].fold {
                offsets.insert(item, -straight(&items[item], at).x);
            }
        }
    }
    for &(first, m, _) in ties {
        while let Some((item, offset)) = next(axis, items, ties, &offsets) {
            offsets.insert(item, offset);
        }
        // The first of those that hang together lies with its point on a bar.
        offsets
            .entry(first)
            .or_insert(-on(axis, straight(&items[first], m.at)));
        while let Some((item, offset)) = next(axis, items, ties, &offsets) {
            offsets.insert(item, offset);
        }
    }
    offsets
}

/// Checks that every match holds with these offsets.
///
/// # Errors
/// When one does not.
fn agree(
    axis: usize,
    items: &[Item],
    ties: &[Tie],
    offsets: &BTreeMap<usize, f64>,
    step: f64,
) -> Result<(), LayFault> {
    for &(a, m, b) in ties {
        let at = |item: usize, p: Point| offsets[&item] + on(axis, straight(&items[item], p));
        let miss = (at(a, m.at) - facing(axis, m) * at(b, m.partner_at)).rem_euclid(step);
        let by = miss.min(step - miss);
        if by > EXACT / 2.0 {
            return Err(LayFault::Matching {
                name: m.name.clone(),
                pieces: (items[a].name.clone(), items[b].name.clone()),
                by,
            });
        }
    }
    Ok(())
}

/// Returns an item without an offset whose offset follows from another's, and the offset.
fn next(
    axis: usize,
    items: &[Item],
    ties: &[Tie],
    known: &BTreeMap<usize, f64>,
) -> Option<(usize, f64)> {
    ties.iter().find_map(|&(a, m, b)| {
        let at = on(axis, straight(&items[a], m.at));
        let other = on(axis, straight(&items[b], m.partner_at));
        match (known.get(&a), known.get(&b)) {
            (Some(offset), None) => Some((b, facing(axis, m) * (offset + at) - other)),
            (None, Some(offset)) => Some((a, facing(axis, m) * (offset + other) - at)),
            _ => None,
        }
    })
}

/// The greatest miss of any two placed points that must match.
#[derive(Debug, Clone, Copy)]
pub(super) struct Miss<'a> {
    /// By how much they miss on the pattern, mm.
    pub by: f64,
    /// The match.
    pub of: &'a MatchedPoints,
}

/// Returns the greatest miss of any match in a finished lay, by where the points lie on the cloth and not by how
/// they came there.
pub(super) fn worst<'a>(
    items: &'a [Item],
    placements: &[Placement],
    repeat: Repeat,
    pattern_at: Point,
) -> Option<Miss<'a>> {
    let mut worst: Option<Miss> = None;
    let of = |piece: usize| placements.iter().filter(move |p| p.piece == piece);
    let matches = (items.iter()).flat_map(|item| item.matches.iter().map(move |m| (item, m)));
    for (item, m) in matches {
        let Some(partner) = items.iter().find(|i| i.piece == m.partner) else {
            continue;
        };
        let pairs = of(item.piece).flat_map(|a| of(m.partner).map(move |b| (a, b)));
        for (a, b) in pairs {
            for (axis, wanted) in [m.across, m.along].into_iter().enumerate() {
                let Some(step) = repeat.axes()[axis].filter(|_| wanted) else {
                    continue;
                };
                // The pattern as each piece sees it: from its own side of the bars.
                let seen = |owner: &Item, placement: &Placement, p: Point| {
                    let at = on(axis, placement.transform * p - pattern_at);
                    at * signs(placement.transform, owner)[axis]
                };
                let facing = facing(axis, m) * seen(partner, b, m.partner_at);
                let miss = (seen(item, a, m.at) - facing).rem_euclid(step);
                let by = miss.min(step - miss);
                if worst.is_none_or(|worst| by > worst.by) {
                    worst = Some(Miss { by, of: m });
                }
            }
        }
    }
    worst
}
