//! What outlines share and how broad that is, by exact overlays of polygons. The search has nothing of this, so that the
//! check of a lay does not repeat its faults.

use super::contour::{Contour, edges, signed_area};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;

/// Returns by how much two outlines overlap, mm: the greatest breadth of what they share.
pub(super) fn overlap(a: &[Contour], b: &[Contour]) -> f64 {
    let shared = region(a, b, OverlayRule::Intersect);
    shared
        .iter()
        .map(|shape| breadth(&shape[..1]))
        .fold(0.0, f64::max)
}

/// Combines two outlines by a rule. Returns shapes, each its outer contour and its holes.
pub(super) fn region(a: &[Contour], b: &[Contour], rule: OverlayRule) -> Vec<Vec<Contour>> {
    let plain = |contours: &[Contour]| -> Vec<Vec<[f64; 2]>> {
        contours
            .iter()
            .map(|c| c.iter().map(|p| [p.x, p.y]).collect())
            .collect()
    };
    // Even-odd, so that holes count as holes whichever way round they are given.
    let shapes = plain(a).overlay(&plain(b), rule, FillRule::EvenOdd);
    let points = |c: Vec<[f64; 2]>| c.into_iter().map(|p| (p[0], p[1]).into()).collect();
    shapes
        .into_iter()
        .filter(|shape| !shape.is_empty())
        .map(|shape| shape.into_iter().map(points).collect())
        .collect()
}

/// Returns the greatest breadth of a shape, taken as twice its area over half its length round, mm.
pub(super) fn breadth(shape: &[Contour]) -> f64 {
    let area: f64 = shape.iter().map(|contour| signed_area(contour)).sum();
    let round: f64 = shape
        .iter()
        .flat_map(|contour| edges(contour))
        .map(|(p, q)| (q - p).hypot())
        .sum();
    if round > 0.0 {
        4.0 * area.abs() / round
    } else {
        0.0
    }
}
