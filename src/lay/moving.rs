//! Moves parts to where the strip allows them.

use super::packing::{Packing, Position};
use super::strip::Strip;
use kurbo::{Point, Vec2};

/// Moves parts along the strip, each as near to its new place as the strip allows.
pub(super) fn moved(
    strip: &Strip,
    packing: &Packing,
    positions: &[Position],
    along: impl Fn(usize, &Position) -> f64,
) -> Vec<Position> {
    let moved = |(part, position): (usize, &Position)| {
        let centre = position.centre + Vec2::new(0.0, along(part, position));
        let orientation = position.orientation;
        match packing.fixed(part) {
            None => inside(strip, packing, part, orientation, centre),
            Some(_) => Position {
                orientation,
                centre,
            },
        }
    };
    positions.iter().enumerate().map(moved).collect()
}

/// Returns the position nearest to a place that the strip allows, in another orientation if it has no room
/// in this one.
pub(super) fn inside(
    strip: &Strip,
    packing: &Packing,
    part: usize,
    orientation: usize,
    centre: Point,
) -> Position {
    let orientations = packing.instance.parts[part].orientations.len();
    for other in 0..orientations {
        let orientation = (orientation + other) % orientations;
        let inner_fit = packing.inner_fit(strip, part, orientation);
        if !inner_fit.is_empty() {
            let centre = inner_fit.nearest(centre);
            return Position {
                orientation,
                centre,
            };
        }
    }
    Position {
        orientation,
        centre,
    }
}
