//! Finds what is seen of the pieces that lie on a forepart: welts, patches, flaps, and lapels that are sewn on.

use super::hand::{closed, patch};
use super::lines::{Found, mark, outline, pieces};
use super::mesh::{meshed, split};
use super::patch::Patch;
use super::trunk::Trunk;
use crate::draft::{Draft, MarkKind, Part};
use crate::geometry;
use crate::order::Side;
use kurbo::{BezPath, Point, Shape};

/// Returns what is seen of a piece that lies on the forepart as it was drafted there.
pub(super) fn laid_on(found: Found, side: Side, trunk: &Trunk) -> Patch {
    on_forepart(found, &outline(found.piece), side, trunk)
}

fn on_forepart(found: Found, shape: &[Point], side: Side, trunk: &Trunk) -> Patch {
    let darts = |y: f64| trunk.darts(y);
    let mesh = meshed(shape, &darts, |p| trunk.front(p));
    patch(found, Some(side), mesh)
}

/// Returns what is seen of the welt that lies over a place: the part of its piece on that side of its fold.
pub(super) fn welt(draft: &Draft, place: &BezPath, side: Side, trunk: &Trunk) -> Vec<Patch> {
    let middle = place.bounding_box().center();
    let over = |found: &Found| closed(&outline(found.piece)).contains(middle);
    let found = pieces(draft, Part::Welt, side).find(over);
    let shown = found.map(|found| {
        let mut shape = outline(found.piece);
        let fold = mark(found.piece, MarkKind::Fold)
            .and_then(|fold| geometry::start(&fold.path).zip(geometry::end(&fold.path)));
        if let Some((a, b)) = fold {
            let (right, left) = split(&shape, a, b - a);
            shape = if (b - a).cross(middle - a) > 0.0 {
                right
            } else {
                left
            };
        }
        on_forepart(found, &shape, side, trunk)
    });
    shown.into_iter().collect()
}
