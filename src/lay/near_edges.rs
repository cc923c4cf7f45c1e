//! Finds the edges of a boundary that lie near a box, or that a line across crosses.

use super::edge::Edge;
use kurbo::{Point, Vec2};

/// Does roughly what `near_to` does, in less time, by distances from the centre of a box alone.
pub(super) fn near_roughly(
    edges: &[Edge],
    centre: Point,
    reach: f64,
    of: &mut Vec<(u16, f64)>,
) -> f64 {
    let mut least = f64::INFINITY;
    for (index, distance2) in of.iter_mut() {
        *distance2 = edges[usize::from(*index)].nearest(centre).hypot2();
        least = least.min(*distance2);
    }
    let least = least.sqrt();
    let most = (least + 2.0 * reach).powi(2);
    of.retain(|(_, distance2)| *distance2 <= most);
    (least - reach).max(0.0)
}

/// Returns a lower bound of the distance of some edges from a box. Keeps those of them that can be the
/// nearest to a point in it: an edge is dropped where its least distance is above the greatest of another.
pub(super) fn near_to(edges: &[Edge], centre: Point, half: Vec2, of: &mut Vec<(u16, f64)>) -> f64 {
    let mut enough = f64::INFINITY;
    for (index, distance2) in of.iter_mut() {
        let edge = &edges[usize::from(*index)];
        let (least, most) = edge.distances_to_box(centre, half, enough);
        enough = enough.min(most);
        *distance2 = least;
    }
    of.retain(|(_, least)| *least <= enough);
    let least = of.iter().fold(f64::INFINITY, |a, b| a.min(b.1));
    least.max(0.0).sqrt()
}

/// Lists where the line across at `y` crosses the boundary.
pub(super) fn crossed(edges: &[Edge], y: f64) -> Vec<f64> {
    let crossing = edges.iter().filter(|e| (e.from.y > y) != (e.to.y > y));
    crossing
        .map(|e| e.from.x + e.along.x * (y - e.from.y) / e.along.y)
        .collect()
}
