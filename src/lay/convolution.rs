//! The no-fit region of two shapes, by convolution of their contours.
//!
//! With both shapes at their origins, the second moved by `d` overlaps the first exactly when `d`
//! lies inside the Minkowski sum of the first and the second reflected in the origin. The sum is
//! bounded by part of their convolution, a set of closed runs whose winding number about a point
//! counts the pieces of the overlap, as long as none goes round anything (L. Guibas, L. Ramshaw,
//! J. Stolfi, "A kinetic framework for computational geometry", FOCS 1983, from memory).

use super::contour::{Contour, edges, signed_area};
use super::shape::Shape;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{Point, Vec2};
use std::f64::consts::TAU;

/// Returns the closed contours round the positions of `second`, relative to `first`, in which the two overlap.
/// Outer contours run counter-clockwise (x right, y up), holes the other way; positions on a contour are those
/// in which they touch.
pub(super) fn no_fit(first: &Shape, second: &Shape) -> Vec<Contour> {
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

/// Whether a contour is a hole so narrow that only rounding made it, between two steps of the convolution that
/// should coincide.
fn is_slit(contour: &Contour) -> bool {
    const NARROW: f64 = 0.01;
    let round: f64 = edges(contour).map(|(p, q)| (q - p).hypot()).sum();
    let area = signed_area(contour);
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
/// Each corner of one meets each edge of the other whose direction it turns through. The edge, moved to the
/// corner, is a step of the convolution; at a hollow corner the step runs backwards. The second
/// contour's directions count as turned by an infinitesimal angle, so that none is parallel to the
/// first's.
fn convolve(a: &[Point], b: &[Point], runs: &mut Vec<Vec<[f64; 2]>>) {
    let (a, b) = (corners(a), corners(b));
    // Steps between the nodes (corner of a, corner of b), by the node they leave.
    let mut steps: Vec<(Node, Node)> = Vec::new();
    let mut step = |from, to, backwards| {
        steps.push(if backwards { (to, from) } else { (from, to) });
    };
    let (of_a, of_b) = (Directions::new(&a), Directions::new(&b));
    for (i, corner) in a.iter().enumerate() {
        let (low, high) = corner.turn();
        for j in of_b.between(low, high) {
            if in_turn(low, high, b[j].after, true) {
                step((i, j), (i, (j + 1) % b.len()), corner.is_hollow());
            }
        }
    }
    for (j, corner) in b.iter().enumerate() {
        let (low, high) = corner.turn();
        for i in of_a.between(low, high) {
            if in_turn(low, high, a[i].after, false) {
                step((i, j), ((i + 1) % a.len(), j), corner.is_hollow());
            }
        }
    }
    steps.sort_unstable();
    let leaving = |node: Node| steps.partition_point(|(from, _)| *from < node);
    // As many steps arrive at each node as leave it, so that every walk closes. Of a node's steps those
    // that have been taken are marked at the first of them.
    let mut taken = vec![0; steps.len()];
    for first in 0..steps.len() {
        loop {
            let start = steps[first].0;
            let mut run = Vec::new();
            let mut node = start;
            loop {
                let group = leaving(node);
                let Some(taken) = taken.get_mut(group) else {
                    break;
                };
                let next = steps.get(group + *taken);
                let Some(&(_, to)) = next.filter(|(from, _)| *from == node) else {
                    break;
                };
                *taken += 1;
                let sum = a[node.0].at.to_vec2() + b[node.1].at.to_vec2();
                run.push([sum.x, sum.y]);
                node = to;
            }
            if run.is_empty() {
                break;
            }
            runs.push(run);
        }
    }
}

/// A corner of the one contour and a corner of the other.
type Node = (usize, usize);

impl Corner {
    fn is_hollow(&self) -> bool {
        self.before.cross(self.after) < 0.0
    }

    /// The directions it turns through, counter-clockwise from the first to the second.
    fn turn(&self) -> (Vec2, Vec2) {
        if self.is_hollow() {
            (self.after, self.before)
        } else {
            (self.before, self.after)
        }
    }
}

/// The edges of a contour by their directions.
struct Directions {
    /// Angle from the first axis and edge, by the angle.
    sorted: Vec<(f64, usize)>,
}

impl Directions {
    fn new(corners: &[Corner]) -> Self {
        let edges = corners.iter().enumerate();
        let mut sorted: Vec<(f64, usize)> = edges.map(|(i, c)| (angle(c.after), i)).collect();
        sorted.sort_by(|p, q| p.0.total_cmp(&q.0).then(p.1.cmp(&q.1)));
        Self { sorted }
    }

    /// Lists the edges whose directions lie between two, counter-clockwise, ends included. Some may lie a hair
    /// outside.
    fn between(&self, low: Vec2, high: Vec2) -> impl Iterator<Item = usize> {
        // Angles are rounded; `in_turn` decides exactly.
        const HAIR: f64 = 1e-9;
        let (low, mut high) = (angle(low) - HAIR, angle(high) + HAIR);
        if high < low {
            high += TAU;
        }
        [-TAU, 0.0, TAU].into_iter().flat_map(move |turn| {
            let before = |bound: f64| self.sorted.partition_point(|(a, _)| a + turn < bound);
            self.sorted[before(low)..before(high)]
                .iter()
                .map(|(_, edge)| *edge)
        })
    }
}

/// Returns the angle of a direction, from -π to π. Adding 0 makes one of the two zeros, so that a direction has
/// one angle.
fn angle(direction: Vec2) -> f64 {
    (direction.y + 0.0).atan2(direction.x + 0.0)
}

/// Whether `direction` lies in the turn from `low` counter-clockwise to `high`, which is less than a half
/// circle. Of the two ends only `low` counts with `from_low`, otherwise only `high`.
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
    use crate::lay::contour::bounds;
    use crate::lay::keyhole::keyholed;

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

    /// Pieces of any size are tried, also some so large that products of their edges are rounded.
    #[test]
    fn edges_in_a_turn_are_found_by_their_directions() {
        let mut random = crate::lay::random::Random::new(1, 0);
        for scale in [0.001, 1.0, 1e6] {
            for _ in 0..200 {
                let contour: Contour = (0..20)
                    .map(|_| {
                        let mut along = || (random.near_zero() * 8.0).round() / 8.0;
                        // Many are parallel, or nearly.
                        Point::new(along() * scale, along() * scale + along() * 1e-9)
                    })
                    .collect();
                let corners = corners(&contour);
                let directions = Directions::new(&corners);
                for corner in &corners {
                    let (low, high) = corner.turn();
                    for from_low in [true, false] {
                        let counts = |&j: &usize| in_turn(low, high, corners[j].after, from_low);
                        let mut found: Vec<usize> =
                            directions.between(low, high).filter(counts).collect();
                        found.sort_unstable();
                        let all: Vec<usize> = (0..corners.len()).filter(counts).collect();
                        assert_eq!(found, all, "{low} to {high}");
                    }
                }
            }
        }
    }

    #[test]
    fn squares() {
        let a = shape(&[(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]);
        let b = shape(&[(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]);
        let region = no_fit(&a, &b);
        assert_eq!(region.len(), 1);
        assert!((area(&region) - 9.0).abs() < 1e-6);
    }

    /// A hole holds smaller pieces, and two rings never lie in each other, though their overlap goes round a
    /// hole.
    #[test]
    fn a_ring_holds_what_fits_its_hole() {
        let square = |low: f64, high: f64| {
            [(low, low), (high, low), (high, high), (low, high)].map(|p| Point::new(p.0, p.1))
        };
        let hole: Contour = square(2.0, 4.0).into_iter().rev().collect();
        let other: Contour = square(4.5, 5.0).into_iter().rev().collect();
        let ring = |holes: Vec<Contour>| {
            let area = 36.0 + holes.iter().map(|c| signed_area(c)).sum::<f64>();
            Shape {
                contours: vec![keyholed(square(0.0, 6.0).to_vec(), holes)],
                area,
                ..shape(&[(0.0, 0.0), (6.0, 0.0), (6.0, 6.0), (0.0, 6.0)])
            }
        };
        let small = shape(&[(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]);
        for holes in [vec![hole.clone()], vec![hole, other]] {
            let ring = ring(holes);
            let around = area(&no_fit(&ring, &small));
            assert!((around - (49.0 - 1.0)).abs() < 1e-6, "{around}");
            let swapped = area(&no_fit(&small, &ring));
            assert!((swapped - (49.0 - 1.0)).abs() < 1e-6, "{swapped}");
            let apart = area(&no_fit(&ring, &ring));
            assert!((apart - 144.0).abs() < 1e-6, "{apart}");
        }
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
