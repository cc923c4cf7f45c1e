//! Where pieces may lie so that the pattern of the cloth matches.
//!
//! Each item that must match is held at one phase on each axis: the place of its own origin within
//! the repeat, as it lies with its grain down the cloth. Its points then fall on the pattern as
//! their partners do; a mirrored piece lies at the negative of the phase across, one laid head to
//! foot at the negative of both. Of two that are given in opposite hands one lies at the place at which
//! the other would lie mirrored.

use super::strip::Rail;
use super::types::{ClothRules, Item, LayFault, Match, Placement};
use super::work::{Part, Work};
use kurbo::{Affine, Point, Vec2};
use std::collections::BTreeMap;
use std::f64::consts::FRAC_PI_2;

/// Furthest that matched points may miss each other on the pattern, mm.
pub(super) const EXACT: f64 = 0.5;

/// The phase of each item on each axis, where it is held.
type Phases = [BTreeMap<usize, f64>; 2];

/// Whether an item must match another, or another it: either is held to the pattern.
pub(super) fn is_matched(item: &Item, items: &[Item]) -> bool {
    let mut matches = items.iter().flat_map(|other| &other.matches);
    !item.matches.is_empty() || matches.any(|m| m.partner == item.piece)
}

/// Sets the rails of all parts that must match.
///
/// # Errors
/// When the matches contradict one another.
pub(super) fn hold(work: &mut Work, items: &[Item], cloth: &ClothRules) -> Result<(), LayFault> {
    if cloth.repeat == Vec2::ZERO {
        return Ok(());
    }
    let phases = phases(items, cloth.repeat)?;
    let origin = work.origin(cloth);
    for Part { item, ways, .. } in &mut work.parts {
        for way in ways {
            let size = work.shapes[way.shape].size;
            // The item's own origin on a shape whose box has its centre at the origin.
            let own = (way.to_shape * Point::ZERO).to_vec2() - size / 2.0;
            for (axis, phases) in phases.iter().enumerate() {
                let (Some(&phase), step) = (phases.get(item), on(axis, cloth.repeat)) else {
                    continue;
                };
                let at = on(axis, origin) + signs(way.to_shape, &items[*item])[axis] * phase
                    - on(axis, own);
                way.rails[axis] = Rail { phase: at, step };
            }
        }
    }
    Ok(())
}

/// Which way the item's axes run on the cloth: laid head to foot, both are reversed; mirrored, that
/// across.
fn signs(transform: Affine, item: &Item) -> [f64; 2] {
    let laid = transform * item.grain.to_point() - transform * Point::ZERO;
    let down = if laid.y >= 0.0 { 1.0 } else { -1.0 };
    let mirrored = if transform.determinant() < 0.0 {
        -1.0
    } else {
        1.0
    };
    [down * mirrored, down]
}

fn on(axis: usize, v: Vec2) -> f64 {
    if axis == 0 { v.x } else { v.y }
}

/// From which side of the bars the partner of a match sees the pattern, as against the piece that leads.
fn side(axis: usize, m: &Match) -> f64 {
    if axis == 0 && m.opposed { -1.0 } else { 1.0 }
}

/// A point of an item turned about the item's own origin until its grain runs down the cloth.
fn straight(item: &Item, p: Point) -> Vec2 {
    (Affine::rotate(FRAC_PI_2 - item.grain.atan2()) * p).to_vec2()
}

fn phases(items: &[Item], repeat: Vec2) -> Result<Phases, LayFault> {
    let mut phases: Phases = Default::default();
    let index_of = |piece: usize| items.iter().position(|item| item.piece == piece);
    for (axis, phases) in phases.iter_mut().enumerate() {
        let step = on(axis, repeat);
        if step <= 0.0 {
            continue;
        }
        let matches: Vec<(usize, &Match, usize)> = items
            .iter()
            .enumerate()
            .flat_map(|(index, item)| item.matches.iter().map(move |m| (index, m)))
            .filter(|(_, m)| if axis == 0 { m.across } else { m.along })
            .filter_map(|(index, m)| Some((index, m, index_of(m.partner)?)))
            .collect();
        // What is the same on both sides of a fold is so on the pattern: its centre line lies on a bar.
        if axis == 0 {
            let held = matches.iter().flat_map(|&(a, _, b)| [a, b]);
            for item in held.collect::<std::collections::BTreeSet<_>>() {
                if let Some(at) = items[item].fold {
                    phases.insert(item, -straight(&items[item], at).x);
                }
            }
        }
        for &(first, m, _) in &matches {
            while let Some((item, phase)) = next(axis, items, &matches, phases) {
                phases.insert(item, phase);
            }
            // The first of those that hang together lies with its point on a bar.
            phases
                .entry(first)
                .or_insert(-on(axis, straight(&items[first], m.at)));
            while let Some((item, phase)) = next(axis, items, &matches, phases) {
                phases.insert(item, phase);
            }
        }
        for &(a, m, b) in &matches {
            let at = |item: usize, p: Point| phases[&item] + on(axis, straight(&items[item], p));
            let miss = (at(a, m.at) - side(axis, m) * at(b, m.partner_at)).rem_euclid(step);
            let by = miss.min(step - miss);
            if by > EXACT / 2.0 {
                return Err(LayFault::Matching {
                    name: m.name.clone(),
                    pieces: (items[a].name.clone(), items[b].name.clone()),
                    by,
                });
            }
        }
    }
    Ok(phases)
}

/// An item whose phase follows from one that is known, and the phase.
fn next(
    axis: usize,
    items: &[Item],
    matches: &[(usize, &Match, usize)],
    known: &BTreeMap<usize, f64>,
) -> Option<(usize, f64)> {
    matches.iter().find_map(|&(a, m, b)| {
        let at = on(axis, straight(&items[a], m.at));
        let other = on(axis, straight(&items[b], m.partner_at));
        match (known.get(&a), known.get(&b)) {
            (Some(phase), None) => Some((b, side(axis, m) * (phase + at) - other)),
            (None, Some(phase)) => Some((a, side(axis, m) * (phase + other) - at)),
            _ => None,
        }
    })
}

/// The greatest miss of any two placed points that must match, with the match: by where they lie on
/// the cloth, not by how they came there.
pub(super) fn worst<'a>(
    items: &'a [Item],
    placements: &[Placement],
    repeat: Vec2,
    pattern_at: Point,
) -> Option<(f64, &'a Match)> {
    let mut worst: Option<(f64, &Match)> = None;
    let of = |piece: usize| placements.iter().filter(move |p| p.piece == piece);
    for (item, m) in items
        .iter()
        .flat_map(|i| i.matches.iter().map(move |m| (i, m)))
    {
        let Some(partner) = items.iter().find(|i| i.piece == m.partner) else {
            continue;
        };
        for a in of(item.piece) {
            for b in of(m.partner) {
                for (axis, wanted) in [m.across, m.along].into_iter().enumerate() {
                    let step = on(axis, repeat);
                    if !wanted || step <= 0.0 {
                        continue;
                    }
                    // The pattern as each piece sees it: from its own side of the bars.
                    let seen = |item: &Item, placement: &Placement, p: Point| {
                        let at = on(axis, placement.transform * p - pattern_at);
                        at * signs(placement.transform, item)[axis]
                    };
                    let facing = side(axis, m) * seen(partner, b, m.partner_at);
                    let miss = seen(item, a, m.at) - facing;
                    let miss = miss.rem_euclid(step);
                    let miss = miss.min(step - miss);
                    if worst.is_none_or(|(most, _)| miss > most) {
                        worst = Some((miss, m));
                    }
                }
            }
        }
    }
    worst
}
