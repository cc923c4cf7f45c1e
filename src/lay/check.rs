//! The check of a finished lay, by exact geometry that shares nothing with the search.

use super::matching;
use super::shape::{Contour, bounds, edges, signed_area};
use super::types::{ClothRules, Item, Lay, LayFault};
use crate::order::Layout;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::Rect;

/// Overlap or overhang that no knife can tell, mm.
pub const TOLERANCE: f64 = 0.01;

/// Checks that every copy of every item is there, inside the usable cloth, and that no two overlap
/// by more than [`TOLERANCE`].
pub fn check(items: &[Item], cloth: &ClothRules, lay: &Lay) -> Result<(), LayFault> {
    let unsound = |found: String| Err(LayFault::Unsound { found });
    let find = |piece: usize| items.iter().find(|i| i.piece == piece);
    for item in items {
        let cut = |mirrored: bool| -> u32 {
            let here = lay.placements.iter().filter(|p| p.piece == item.piece);
            here.filter(|p| p.plies == 2 || p.mirrored == mirrored)
                .map(|_| 1)
                .sum()
        };
        let total: u32 = lay
            .placements
            .iter()
            .filter(|p| p.piece == item.piece)
            .map(|p| p.plies)
            .sum();
        let paired = match item.count {
            crate::drafting::Count::Pairs(n) => cut(false) == n && cut(true) == n,
            crate::drafting::Count::Alike(_) => true,
        };
        if total != item.count.total() || !paired {
            return unsound(format!("{} is cut {total} times", item.name));
        }
    }
    let (left, right) = cloth.usable();
    let (at_hand, long_from) = cloth.pieces();
    let long = (long_from, lay.length.max(long_from));
    let on_one_piece = |area: Rect| {
        let mut pieces = at_hand.iter().chain([&long]);
        pieces.any(|&(start, end)| {
            let piece = Rect::new(left, start, right, end).inset(TOLERANCE);
            piece.contains_rect(area)
        })
    };
    if let Some((miss, m)) = matching::worst(items, &lay.placements, cloth.repeat, lay.pattern_at)
        && miss > matching::EXACT
    {
        let name = &m.name;
        return unsound(format!("the pattern misses by {miss:.2} mm at the {name}"));
    }
    let mut outlines: Vec<(&str, Vec<Contour>, Rect)> = Vec::new();
    for placement in &lay.placements {
        let Some(item) = find(placement.piece) else {
            return unsound(format!("piece {} was never asked for", placement.piece));
        };
        if placement.plies == 2 && cloth.layout == Layout::Open {
            return unsound(format!(
                "{} is cut through two plies of an open cloth",
                item.name
            ));
        }
        let moved = |c: &Contour| {
            c.iter()
                .map(|&p| placement.transform * p)
                .collect::<Contour>()
        };
        let contours: Vec<Contour> = std::iter::once(&item.outline)
            .chain(&item.holes)
            .map(moved)
            .collect();
        let area = bounds(&contours[0]);
        if !on_one_piece(area) {
            return unsound(format!("{} leaves the cloth", item.name));
        }
        outlines.push((&item.name, contours, area));
    }
    for (index, (name, contours, area)) in outlines.iter().enumerate() {
        for (other, others, other_area) in &outlines[..index] {
            if area.overlaps(*other_area) {
                let depth = overlap(contours, others);
                if depth > TOLERANCE {
                    return unsound(format!("{name} and {other} overlap by {depth:.3} mm"));
                }
            }
        }
    }
    Ok(())
}

/// How far two outlines lie over each other, mm: the greatest breadth of what they share, taken for
/// each piece of it as twice its area over half its length round.
fn overlap(a: &[Contour], b: &[Contour]) -> f64 {
    let plain = |contours: &[Contour]| -> Vec<Vec<[f64; 2]>> {
        contours
            .iter()
            .map(|c| c.iter().map(|p| [p.x, p.y]).collect())
            .collect()
    };
    // Even-odd, so that holes count as holes whichever way round they are given.
    let shared = plain(a).overlay(&plain(b), OverlayRule::Intersect, FillRule::EvenOdd);
    let mut depth: f64 = 0.0;
    for shape in shared {
        for contour in shape.iter().take(1) {
            let points: Contour = contour.iter().map(|p| (p[0], p[1]).into()).collect();
            let round: f64 = edges(&points).map(|(p, q)| (q - p).hypot()).sum();
            if round > 0.0 {
                depth = depth.max(4.0 * signed_area(&points).abs() / round);
            }
        }
    }
    depth
}
