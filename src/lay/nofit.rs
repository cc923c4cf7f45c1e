//! The no-fit region of two shapes: where the second may not stand, seen from the first.
//!
//! With both shapes at their origins, the second moved by `d` overlaps the first exactly when `d`
//! lies inside the Minkowski sum of the first and the second reflected in the origin. The sum is
//! bounded by part of their convolution, a set of closed runs whose winding number about a point
//! counts the pieces of the overlap (L. Guibas, L. Ramshaw, J. Stolfi, "A kinetic framework for
//! computational geometry", FOCS 1983, from memory).

use super::contour::Contour;
use super::shape::Shape;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{Point, Vec2};
use std::collections::BTreeMap;

/// The closed contours round the positions of `second`, relative to `first`, in which the two
/// overlap. Outer contours run counter-clockwise (x right, y up), holes the other way; positions
/// on a contour are those in which they touch.
pub fn no_fit(first: &Shape, second: &Shape) -> Vec<Contour> {
    let reflected: Vec<Contour> = second
        .contours
        .iter()
        .map(|c| c.iter().map(|p| Point::new(-p.x, -p.y)).collect())
        .collect();
    let mut runs = Vec::new();
    for a in &first.contours {
        for b in &reflected {
            convolve(a, b, &mut runs);
        }
    }
    let none: Vec<Vec<[f64; 2]>> = Vec::new();
    let shapes = runs.overlay(&none, OverlayRule::Subject, FillRule::NonZero);
    shapes
        .into_iter()
        .flatten()
        .map(|c| c.into_iter().map(|p| Point::new(p[0], p[1])).collect())
        .filter(|c| !is_slit(c))
        .collect()
}

/// Whether a contour is a hole so narrow that only rounding made it: between two steps of the
/// convolution that ought to coincide.
fn is_slit(contour: &Contour) -> bool {
    const NARROW: f64 = 0.01;
    let round: f64 = super::contour::edges(contour)
        .map(|(p, q)| (q - p).hypot())
        .sum();
    let area = super::contour::signed_area(contour);
    area <= 0.0 && 2.0 * area.abs() < NARROW * round
}

/// A corner of a contour with the directions of the edges before and after it.
struct Corner {
    at: Point,
    before: Vec2,
    after: Vec2,
}

fn corners(contour: &[Point]) -> Vec<Corner> {
    let count = contour.len();
    (0..count)
        .map(|i| {
            let (previous, at, next) = (
                contour[(i + count - 1) % count],
                contour[i],
                contour[(i + 1) % count],
            );
            Corner {
                at,
                before: at - previous,
                after: next - at,
            }
        })
        .collect()
}

/// Adds the closed runs of the convolution of two contours.
///
/// Each corner of one meets each edge of the other whose direction it turns through; the edge,
/// moved to the corner, is a step of the convolution, backwards at a hollow corner. The second
/// contour's directions count as turned by an infinitesimal angle, so that none is parallel to the
/// first's.
fn convolve(a: &[Point], b: &[Point], runs: &mut Vec<Vec<[f64; 2]>>) {
    let (a, b) = (corners(a), corners(b));
    // Steps between the nodes (corner of a, corner of b), by the node they leave.
    let mut steps: BTreeMap<(usize, usize), Vec<(usize, usize)>> = BTreeMap::new();
    let mut step = |from, to, backwards| {
        let (from, to) = if backwards { (to, from) } else { (from, to) };
        steps.entry(from).or_default().push(to);
    };
    for (i, corner) in a.iter().enumerate() {
        let hollow = corner.before.cross(corner.after) < 0.0;
        let (low, high) = if hollow {
            (corner.after, corner.before)
        } else {
            (corner.before, corner.after)
        };
        for (j, edge) in b.iter().enumerate() {
            if in_turn(low, high, edge.after, true) {
                step((i, j), (i, (j + 1) % b.len()), hollow);
            }
        }
    }
    for (j, corner) in b.iter().enumerate() {
        let hollow = corner.before.cross(corner.after) < 0.0;
        let (low, high) = if hollow {
            (corner.after, corner.before)
        } else {
            (corner.before, corner.after)
        };
        for (i, edge) in a.iter().enumerate() {
            if in_turn(low, high, edge.after, false) {
                step((i, j), ((i + 1) % a.len(), j), hollow);
            }
        }
    }
    // As many steps arrive at each node as leave it, so that every walk closes.
    while let Some((&start, _)) = steps.first_key_value() {
        let mut run = Vec::new();
        let mut node = start;
        while let Some(next) = steps.get_mut(&node).and_then(Vec::pop) {
            if steps.get(&node).is_some_and(Vec::is_empty) {
                steps.remove(&node);
            }
            let sum = a[node.0].at.to_vec2() + b[node.1].at.to_vec2();
            run.push([sum.x, sum.y]);
            node = next;
        }
        runs.push(run);
    }
}

/// Whether `direction` lies in the turn, less than a half circle, counter-clockwise from `low` to
/// `high`; of the two ends only `low` counts with `from_low`, else only `high`.
fn in_turn(low: Vec2, high: Vec2, direction: Vec2, from_low: bool) -> bool {
    let (after_low, before_high) = (low.cross(direction), direction.cross(high));
    let same = |a: Vec2, cross: f64| cross == 0.0 && a.dot(direction) > 0.0;
    if same(low, after_low) {
        return from_low && !same(high, before_high);
    }
    if same(high, before_high) {
        return !from_low;
    }
    if low.cross(high) == 0.0 {
        return false;
    }
    after_low > 0.0 && before_high > 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::contour::{bounds, signed_area};

    fn shape(corners: &[(f64, f64)]) -> Shape {
        let contour: Contour = corners.iter().map(|&p| p.into()).collect();
        let size = bounds(&contour).size().to_vec2();
        let area = signed_area(&contour);
        Shape {
            contours: vec![contour],
            size,
            area,
            base: 0,
            flip: Vec2::new(1.0, 1.0),
        }
    }

    fn area(contours: &[Contour]) -> f64 {
        contours.iter().map(|c| signed_area(c)).sum()
    }

    #[test]
    fn squares() {
        let a = shape(&[(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]);
        let b = shape(&[(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]);
        let region = no_fit(&a, &b);
        assert_eq!(region.len(), 1);
        assert!((area(&region) - 9.0).abs() < 1e-6);
    }

    #[test]
    fn a_square_in_the_mouth_of_a_u_fits_between_its_arms() {
        let u = shape(&[
            (0.0, 0.0),
            (4.0, 0.0),
            (4.0, 4.0),
            (3.0, 4.0),
            (3.0, 1.0),
            (1.0, 1.0),
            (1.0, 4.0),
            (0.0, 4.0),
        ]);
        let b = shape(&[(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]);
        // The box of both, less the channel one wide and three deep in which the square may slide.
        let region = no_fit(&u, &b);
        assert!((area(&region) - (25.0 - 3.0)).abs() < 1e-6, "{region:?}");
    }
}
