//! The order in which the pieces of a lay are cut.

use crate::lay::{Lay, Placement};
use crate::pattern::Pattern;
use kurbo::Shape;

/// Returns the turn in which each piece of a lay is cut, from 1: section by section, along the cloth from its cut
/// end. A lay of one order that lies on the table at once needs none.
pub(super) fn turns(lay: &Lay, pattern: &Pattern) -> Vec<usize> {
    let of_several = pattern.pieces.iter().any(|piece| piece.one_of.is_some());
    if lay.sections.is_empty() && !of_several {
        return Vec::new();
    }
    let place = |placement: &Placement| {
        let outline = pattern.pieces.get(placement.piece).map(|piece| &piece.cut);
        let bounds = outline.map(|outline| (placement.transform * outline.clone()).bounding_box());
        bounds.map_or((0.0, 0.0), |bounds| (bounds.y0, bounds.x0))
    };
    let mut order: Vec<usize> = (0..lay.placements.len()).collect();
    order.sort_by(|&a, &b| {
        let [a, b] = [a, b].map(|index| place(&lay.placements[index]));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let mut turns = vec![0; order.len()];
    for (turn, index) in (1..).zip(order) {
        turns[index] = turn;
    }
    turns
}
