//! A region with holes as one contour, which runs round it and in and out of each hole over a cut.
//!
//! A contour that is cut so goes round nothing. The winding number of a convolution counts the pieces of an
//! overlap only for such contours: an overlap that goes round a hole would count for nothing.

use super::contour::{Contour, edges};
use kurbo::Point;

/// Joins an outer contour (counter-clockwise, x right, y up) and the holes in it (clockwise) to one contour.
/// Each hole is reached by a cut that crosses no other line.
pub(super) fn keyholed(mut outer: Contour, mut holes: Vec<Contour>) -> Contour {
    while !holes.is_empty() {
        let Some((hole, from, to)) = shortest_cut(&outer, &holes) else {
            // There is always one; a hole that has none by rounding is no room for anything.
            break;
        };
        let hole = holes.swap_remove(hole);
        let round = hole[to..].iter().chain(&hole[..=to]);
        let within: Vec<Point> = round.copied().chain([outer[from]]).collect();
        outer.splice(from + 1..from + 1, within);
    }
    outer
}

/// Finds the shortest cut from the outer contour to a hole. Returns the index of the hole, that of the corner
/// at which the cut leaves, and that of the hole's corner at which it arrives.
fn shortest_cut(outer: &Contour, holes: &[Contour]) -> Option<(usize, usize, usize)> {
    let mut cuts: Vec<(f64, usize, usize, usize)> = Vec::new();
    for (index, hole) in holes.iter().enumerate() {
        for (from, &p) in outer.iter().enumerate() {
            for (to, &q) in hole.iter().enumerate() {
                if opens(outer, from, q) && opens(hole, to, p) {
                    cuts.push(((q - p).hypot2(), index, from, to));
                }
            }
        }
    }
    cuts.sort_by(|a, b| {
        a.0.total_cmp(&b.0)
            .then((a.1, a.2, a.3).cmp(&(b.1, b.2, b.3)))
    });
    let lines = || {
        holes
            .iter()
            .chain([outer])
            .flat_map(|contour| edges(contour))
    };
    let clear = |&&(_, hole, from, to): &&(f64, usize, usize, usize)| {
        let (p, q) = (outer[from], holes[hole][to]);
        lines().all(|(a, b)| [a, b].iter().any(|end| *end == p || *end == q) || !meet(p, q, a, b))
    };
    let (_, hole, from, to) = cuts.iter().find(clear)?;
    Some((*hole, *from, *to))
}

/// Whether the line from a corner to a point begins inside, which is on the left of both edges.
fn opens(contour: &Contour, corner: usize, to: Point) -> bool {
    let count = contour.len();
    let at = contour[corner];
    let before = at - contour[(corner + count - 1) % count];
    let after = contour[(corner + 1) % count] - at;
    let orientation = to - at;
    let (left_of_before, left_of_after) = (
        before.cross(orientation) > 0.0,
        after.cross(orientation) > 0.0,
    );
    match before.cross(after) >= 0.0 {
        true => left_of_before && left_of_after,
        false => left_of_before || left_of_after,
    }
}

/// Whether two lines cross or touch.
fn meet(p: Point, q: Point, a: Point, b: Point) -> bool {
    let side = |from: Point, to: Point, at: Point| (to - from).cross(at - from);
    side(p, q, a) * side(p, q, b) <= 0.0 && side(a, b, p) * side(a, b, q) <= 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::contour::signed_area;

    fn square(x: f64, y: f64, side: f64) -> Contour {
        [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)]
            .map(|(dx, dy)| Point::new(x + dx, y + dy))
            .to_vec()
    }

    fn hole(x: f64, y: f64, side: f64) -> Contour {
        square(x, y, side).into_iter().rev().collect()
    }

    #[test]
    fn a_region_without_holes_stays_as_it_is() {
        let outer = square(0.0, 0.0, 100.0);
        assert_eq!(keyholed(outer.clone(), Vec::new()), outer);
    }

    /// Every edge of the region is walked once, every cut once either way.
    #[test]
    fn holes_are_reached_over_cuts_that_cross_nothing() {
        let holes = vec![
            hole(40.0, 40.0, 10.0),
            hole(20.0, 42.0, 10.0),
            hole(60.0, 10.0, 30.0),
        ];
        let outer = square(0.0, 0.0, 100.0);
        let lines: Vec<(Point, Point)> = holes
            .iter()
            .chain([&outer])
            .flat_map(|contour| edges(contour))
            .collect();
        let ring = keyholed(outer, holes);
        assert_eq!(ring.len(), 4 + 3 * (4 + 2));
        assert_eq!(signed_area(&ring), 10_000.0 - 100.0 - 100.0 - 900.0);
        let walked: Vec<(Point, Point)> = edges(&ring).collect();
        for line in &lines {
            assert_eq!(walked.iter().filter(|w| *w == line).count(), 1);
        }
        let cuts: Vec<_> = walked.iter().filter(|w| !lines.contains(w)).collect();
        assert_eq!(cuts.len(), 6);
        for &&(p, q) in &cuts {
            assert_eq!(cuts.iter().filter(|c| ***c == (q, p)).count(), 1);
            for &(a, b) in &lines {
                let shares = [a, b].iter().any(|end| *end == p || *end == q);
                assert!(shares || !meet(p, q, a, b));
            }
        }
    }
}
