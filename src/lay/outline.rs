//! Polygons round curved outlines: never inside the curve, with few corners.

use super::contour::Contour;
use kurbo::{BezPath, PathEl, Point, flatten};

/// Distance by which a flattened curve may stray from the curve, mm.
const FLATTENING: f64 = 0.002;

/// Returns a polygon round a closed path, at most `slack` mm outside it and with few corners. Parts of the path
/// that cannot be seen (less than 0.01 mm) may lie outside the polygon.
pub(super) fn polygon_round(path: &BezPath, slack: f64) -> Contour {
    let mut corners: Contour = Vec::new();
    flatten(path, FLATTENING, |el| match el {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => corners.push(p),
        _ => {}
    });
    widen(corners, slack)
}

/// Drops corners of a polygon, the one that adds least first, so that it only ever grows and no
/// part of its edge moves out by more than `slack`.
pub(super) fn widen(corners: Contour, slack: f64) -> Contour {
    let mut ring: Vec<Corner> = Vec::new();
    for at in corners {
        if ring.last().is_none_or(|c| (c.at - at).hypot() > 1e-6) {
            ring.push(Corner { at, used: 0.0 });
        }
    }
    while ring.len() > 1 && (ring[0].at - ring[ring.len() - 1].at).hypot() <= 1e-6 {
        ring.pop();
    }
    let points: Contour = ring.iter().map(|c| c.at).collect();
    if super::contour::signed_area(&points) < 0.0 {
        ring.reverse();
    }
    while ring.len() > 4 {
        let best = (0..ring.len())
            .filter_map(|i| Step::at(&ring, i))
            .filter(|step| step.moved <= slack)
            .min_by(|a, b| a.moved.total_cmp(&b.moved));
        let Some(step) = best else { break };
        step.apply(&mut ring);
    }
    ring.into_iter().map(|c| c.at).collect()
}

/// A corner, and how far the edge beside it has been moved out so far.
#[derive(Clone, Copy)]
struct Corner {
    at: Point,
    used: f64,
}

/// One corner fewer: either a hollow corner cut across, or an edge between two full corners
/// replaced by the point where its neighbours meet.
struct Step {
    /// Index of the corner dropped (hollow), or of the first corner of the edge dropped.
    index: usize,
    /// The corner that replaces the edge.
    meet: Option<Point>,
    /// How far the outline has moved out there in all.
    moved: f64,
}

impl Step {
    fn at(ring: &[Corner], index: usize) -> Option<Self> {
        let count = ring.len();
        let corner = |k: usize| ring[(index + count + k - 1) % count];
        let (a, b, c, d) = (corner(0), corner(1), corner(2), corner(3));
        let turn_b = (b.at - a.at).cross(c.at - b.at);
        let turn_c = (c.at - b.at).cross(d.at - c.at);
        if turn_b <= 0.0 {
            let chord = c.at - a.at;
            let out = (b.at - a.at).cross(chord).abs() / chord.hypot();
            let used = a.used.max(b.used).max(c.used);
            return Some(Self {
                index,
                meet: None,
                moved: used + out,
            })
            .filter(|s| s.moved.is_finite());
        }
        if turn_c <= 0.0 {
            return None;
        }
        let (u, v) = (b.at - a.at, c.at - d.at);
        let cross = u.cross(v);
        // The neighbours must meet beyond the edge: together they turn by less than a half circle.
        if cross >= 0.0 {
            return None;
        }
        let t = (d.at - a.at).cross(v) / cross;
        let meet = a.at + u * t;
        let edge = c.at - b.at;
        let out = (meet - b.at).cross(edge).abs() / edge.hypot();
        let used = b.used.max(c.used);
        Some(Self {
            index,
            meet: Some(meet),
            moved: used + out,
        })
        .filter(|s| s.moved.is_finite() && t >= 1.0)
    }

    fn apply(self, ring: &mut Vec<Corner>) {
        let count = ring.len();
        match self.meet {
            None => {
                let before = (self.index + count - 1) % count;
                let after = (self.index + 1) % count;
                ring[before].used = self.moved;
                ring[after].used = self.moved;
                ring.remove(self.index);
            }
            Some(meet) => {
                let next = (self.index + 1) % count;
                ring[self.index] = Corner {
                    at: meet,
                    used: self.moved,
                };
                ring.remove(next);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::contour::signed_area;
    use kurbo::{Circle, Shape};

    #[test]
    fn a_circle_is_gone_round_with_few_corners_and_never_cut() {
        let circle = Circle::new((0.0, 0.0), 100.0).to_path(1e-4);
        let polygon = polygon_round(&circle, 0.5);
        assert!(polygon.len() <= 64, "{} corners", polygon.len());
        for (p, q) in crate::lay::contour::edges(&polygon) {
            let nearest = p.to_vec2().cross(q.to_vec2()).abs() / (q - p).hypot();
            assert!(nearest > 99.99, "cuts the circle at {nearest}");
            assert!(
                p.to_vec2().hypot() < 100.51,
                "stands off by {}",
                p.to_vec2().hypot() - 100.0
            );
        }
    }

    #[test]
    fn a_hollow_is_filled_by_no_more_than_the_slack() {
        let square = vec![
            (0.0, 0.0),
            (10.0, 0.0),
            (10.0, 10.0),
            (5.0, 9.7),
            (0.0, 10.0),
        ];
        let square: Contour = square.into_iter().map(Point::from).collect();
        assert_eq!(widen(square.clone(), 0.2).len(), 5);
        let filled = widen(square, 0.4);
        assert_eq!(filled.len(), 4);
        assert!((signed_area(&filled) - 100.0).abs() < 1e-9);
    }
}
