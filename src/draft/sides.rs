//! One draft of a body whose sides are not alike.
//!
//! A block draws the right half. Where the left side differs it is drafted by itself, and the pairs that come
//! out different are cut one for each side. Both lie as they were drafted. The piece that is for the other side
//! is turned over later, with everything that is cut for one side alone (`hands`).

use super::form::NotWhole;
use super::halves::{Halves, sided};
use super::ids::PieceId;
use super::proofs::Match;
use super::proving::Proving;
use super::types::{BoardCurve, BoardPoint, Draft, Makes, Need, SheetPage, Step, Use};
use crate::order::Side;

/// Lengths of tapes and stays that differ by less than this are needed alike on both sides, mm.
const TOLD: f64 = 1.0;

/// Merges both halves into one draft.
///
/// # Errors
/// When a proof of one half speaks of an edge that the other half did not draw.
pub(crate) fn merged(right: &Draft, left: &Draft, patterned: bool) -> Result<Draft, NotWhole> {
    let halves = Halves::new(right, left, patterned);
    let mut both = Draft {
        garment: right.garment.clone(),
        divided: halves.divided(),
        pieces: halves.pieces.clone(),
        matches: matched(&halves),
        needs: needed(&right.needs, &left.needs),
        warnings: right.warnings.clone(),
        heeds: right.heeds.union(&left.heeds).cloned().collect(),
        pages: (right.pages.iter())
            .flat_map(|page| paged(&halves, page))
            .collect(),
        ..Draft::default()
    };
    for side in [Side::Right, Side::Left] {
        let halves = &halves;
        Proving { halves, side }.add(&mut both)?;
    }
    for warning in &left.warnings {
        if !both.warnings.contains(warning) {
            both.warnings.push(format!("left: {warning}"));
        }
    }
    construct(&halves, Side::Right, &mut both);
    if halves.takes_from_left() {
        construct(&halves, Side::Left, &mut both);
    }
    Ok(both)
}

/// Lists what both sides need: of each thing as much as the side that needs more, or each side's own length
/// where it is cut for both and the lengths differ.
fn needed(right: &[Need], left: &[Need]) -> Vec<Need> {
    let own = |need: &Need, needs: &[Need]| {
        let same = |other: &&Need| (&other.name, &other.of) == (&need.name, &need.of);
        needs.iter().find(same).cloned()
    };
    let mut needs = Vec::new();
    for need in right {
        let Some(other) = own(need, left) else {
            needs.push(need.clone());
            continue;
        };
        let (a, b) = (need.length.unwrap_or(0.0), other.length.unwrap_or(0.0));
        if (a - b).abs() >= TOLD && need.count % 2 == 0 && need.count == other.count {
            let sides = [(need, Side::Right), (&other, Side::Left)];
            needs.extend(sides.map(|(of, side)| Need {
                name: sided(&of.name, side),
                count: of.count / 2,
                ..of.clone()
            }));
        } else {
            needs.push(Need {
                count: need.count.max(other.count),
                length: need.length.map(|length| length.max(b)),
                ..need.clone()
            });
        }
    }
    let only_left = left.iter().filter(|need| own(need, right).is_none());
    needs.extend(only_left.cloned());
    needs
}

/// Adds the points and curves of one half, and their use in the pieces that this half draws. Those of the left
/// half lie as they were drafted, on a right half, before any piece is turned over.
fn construct(halves: &Halves, side: Side, both: &mut Draft) {
    let draft = halves.half(side);
    let (points, curves) = (both.points.len(), both.curves.len());
    let point = |n: usize| n + points;
    let curve = |n: usize| n + curves;
    let renumbered = |makes: &Makes| match makes {
        Makes::Point(n) => Makes::Point(point(*n)),
        Makes::Curve(n) => Makes::Curve(curve(*n)),
    };
    let renamed_points = draft.points.iter().map(|old| BoardPoint {
        number: point(old.number),
        how: old.how.numbered(point, curve),
        ..old.clone()
    });
    both.points.extend(renamed_points);
    let renamed_curves = draft.curves.iter().map(|old| BoardCurve {
        number: curve(old.number),
        how: old.how.numbered(point, curve),
        ..old.clone()
    });
    both.curves.extend(renamed_curves);
    both.steps.extend(draft.steps.iter().map(|step| Step {
        makes: renumbered(&step.makes),
        source: step.source.clone(),
    }));
    both.uses.extend(draft.uses.iter().filter_map(|used| {
        let piece = halves.known(side, used.piece);
        Some(Use {
            piece: (draws(halves, piece, side).then(|| halves.placed(piece, side))).flatten()?,
            edge: used.edge,
            made: used.made.iter().map(renumbered).collect(),
        })
    }));
}

/// Returns whether the half of that side draws a piece as it is cut. Each half draws its side of a divided pair;
/// of the other pieces, the left half draws those that are cut for the left alone.
fn draws(halves: &Halves, piece: PieceId, side: Side) -> bool {
    halves.is_divided(piece) || (side == Side::Left) == halves.is_of(piece, Side::Left)
}

/// Returns the page, or a page for each side where one has a piece of its own.
fn paged(halves: &Halves, page: &SheetPage) -> Vec<SheetPage> {
    let placed = |side: Side, own: &dyn Fn(PieceId) -> bool| {
        let pieces = page.pieces.iter().filter(|piece| own(**piece));
        pieces
            .filter_map(|piece| halves.placed(*piece, side))
            .collect()
    };
    if !page.pieces.iter().any(|piece| halves.is_divided(*piece)) {
        return vec![SheetPage {
            name: page.name.clone(),
            pieces: placed(Side::Right, &|_| true),
        }];
    }
    let of = |side: Side| SheetPage {
        name: sided(&page.name, side),
        pieces: placed(side, &|piece| draws(halves, piece, side)),
    };
    vec![of(Side::Right), of(Side::Left)]
}

/// Lists where the pieces meet on a patterned cloth, each by the points of the half that drew it.
///
/// A divided piece meets the pieces of its own side, and the two sides of one piece meet each other. A match
/// that is declared for one side, or that bears on a piece of one side, is made on that side alone.
fn matched(halves: &Halves) -> Vec<Match> {
    let (right, left) = (halves.half(Side::Right), halves.half(Side::Left));
    let mut matches: Vec<Match> = Vec::new();
    for of in &right.matches {
        let known = |m: &&Match| {
            let pieces = [m.piece, m.partner].map(|piece| halves.known(Side::Left, piece));
            m.name == of.name && pieces == [of.piece, of.partner]
        };
        let on_left = left.matches.iter().find(known).unwrap_or(of);
        let own = of.piece == of.partner;
        for side in [Side::Right, Side::Left] {
            let theirs = |piece: PieceId| halves.is_of(piece, side.other());
            let wanted = of.side != Some(side.other()) && !theirs(of.piece) && !theirs(of.partner);
            if !wanted || own && side == Side::Left {
                continue;
            }
            let facing = if own { Side::Left } else { side };
            let (piece, partner) = (
                halves.placed(of.piece, side),
                halves.placed(of.partner, facing),
            );
            let (Some(piece), Some(partner)) = (piece, partner) else {
                continue;
            };
            // The half that drew a piece as it is worn on a side.
            let drawn = |drafted: PieceId, worn: Side| {
                let divided = worn == Side::Left && halves.is_divided(drafted);
                match divided || halves.is_of(drafted, Side::Left) {
                    true => on_left,
                    false => of,
                }
            };
            let found = Match {
                piece,
                at: drawn(of.piece, side).at,
                partner,
                partner_at: drawn(of.partner, facing).partner_at,
                ..of.clone()
            };
            if !matches.contains(&found) {
                matches.push(found);
            }
        }
    }
    matches
}
