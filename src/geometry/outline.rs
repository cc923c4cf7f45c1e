//! Draws the outline round a closed figure: each edge has a width of its own and a rule for its corners.

use super::corner::{Arm, Meeting, meet};
use super::edge::Edge;
use super::offset::offset;
use super::region::is_one_region;
use super::strips::from_strips;
use super::walk::{ACCURACY, joined, length, sub_path};
use kurbo::{BezPath, Line, ParamCurve, PathEl, PathSeg, Shape};

/// The outline of a figure, and whether it is exact.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// The closed outline.
    pub path: BezPath,
    /// Whether the outline is a polygon of short lines, the union of flattened strips, because the exact
    /// curves crossed one another.
    pub rebuilt: bool,
}

/// Draws the outline round the closed figure of `edges`, which may run either way round.
///
/// A mitre is cut off square `limit` times the wider of its two widths from the corner. The outline is
/// checked with [`is_one_region`], which shares no code with it; where it crosses itself, it is built
/// again as the union of flattened strips.
pub fn outline(edges: &[Edge], limit: f64) -> Outline {
    let closed = joined(edges.iter().map(|edge| edge.path), 0.1);
    // A positive area means that the figure lies on the side of the tangent turned from x towards y,
    // where positive offsets run; offsets outside it are then negative.
    let outward = if closed.area() > 0.0 { -1.0 } else { 1.0 };
    let lines: Vec<BezPath> = edges
        .iter()
        .map(|edge| {
            let widths: Vec<f64> = edge.widths.iter().map(|w| w * outward).collect();
            offset(edge.path, &widths)
        })
        .collect();
    let meetings: Vec<Meeting> = (0..edges.len())
        .filter_map(|i| {
            let next = (i + 1) % edges.len();
            let arriving = Arm::new(edges.get(i)?, lines.get(i)?, outward, true);
            let leaving = Arm::new(edges.get(next)?, lines.get(next)?, outward, false);
            Some(meet(&arriving, &leaving, limit))
        })
        .collect();

    let mut parts = Vec::new();
    for (i, (line, meeting)) in lines.iter().zip(&meetings).enumerate() {
        let before = (i + meetings.len() - 1) % meetings.len();
        let from = meetings.get(before).map_or(0.0, |m| m.skip_b);
        let to = length(line) - meeting.skip_a;
        if to - from > ACCURACY {
            parts.push(sub_path(line, from, to));
        }
        parts.push(meeting.across.clone());
    }
    let mut path = joined(&parts, ACCURACY);
    path.close_path();
    let path = tidied(&path);
    if is_one_region(&path) {
        return Outline {
            path,
            rebuilt: false,
        };
    }
    Outline {
        path: from_strips(&closed, edges, &meetings),
        rebuilt: true,
    }
}

/// Lines shorter than this, mm, are rounding: ten times the accuracy of lengths ([`ACCURACY`]).
const NO_LENGTH: f64 = 1e-5;
/// Sine of the angle below which two lines are one: over a metre it moves the far end by 0.0001 mm.
const STRAIGHT: f64 = 1e-7;

/// Removes lines of no length from a closed path and merges lines that run on straight.
fn tidied(path: &BezPath) -> BezPath {
    let mut segments: Vec<PathSeg> = Vec::new();
    for segment in path.segments() {
        match (segments.last_mut(), segment) {
            (_, PathSeg::Line(line)) if line.p0.distance(line.p1) < NO_LENGTH => {}
            (Some(PathSeg::Line(last)), PathSeg::Line(line)) if runs_on(*last, line) => {
                last.p1 = line.p1;
            }
            _ => segments.push(segment),
        }
    }
    if let (Some(PathSeg::Line(first)), Some(PathSeg::Line(last))) =
        (segments.first().copied(), segments.last_mut())
        && runs_on(*last, first)
    {
        last.p1 = first.p1;
        segments.remove(0);
    }
    // `BezPath::from_path_segments` would bridge the gap that a removed line left by another line.
    let mut out = BezPath::new();
    out.extend(segments.first().map(|first| PathEl::MoveTo(first.start())));
    out.extend(segments.iter().map(|segment| segment.as_path_el()));
    out.close_path();
    out
}

/// Whether `next` goes on in the direction of `line`.
fn runs_on(line: Line, next: Line) -> bool {
    let (d, e) = (line.p1 - line.p0, next.p1 - next.p0);
    d.dot(e) > 0.0 && d.cross(e).abs() < STRAIGHT * d.hypot() * e.hypot()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Corner;
    use crate::geometry::{area, area_outside};
    use crate::geometry::{flattened, line_crossings, point_at, reversed, tangent_at};
    use kurbo::{Affine, Point, Vec2};
    use proptest::prelude::*;

    fn line(a: (f64, f64), b: (f64, f64)) -> BezPath {
        BezPath::from_vec(vec![PathEl::MoveTo(a.into()), PathEl::LineTo(b.into())])
    }

    /// The edges of a polygon.
    fn polygon(corners: &[(f64, f64)]) -> Vec<BezPath> {
        (0..corners.len())
            .map(|i| line(corners[i], corners[(i + 1) % corners.len()]))
            .collect()
    }

    fn round(paths: &[BezPath], rules: &[(f64, Corner)]) -> BezPath {
        let edges: Vec<Edge> = paths
            .iter()
            .zip(rules)
            .map(|(path, (width, corner))| Edge {
                path,
                widths: vec![*width],
                corner: *corner,
            })
            .collect();
        let found = outline(&edges, 4.0);
        assert!(!found.rebuilt);
        found.path
    }

    fn has_corner(path: &BezPath, at: (f64, f64)) -> bool {
        flattened(path, 0.01)
            .iter()
            .any(|p| p.distance(at.into()) < 0.01)
    }

    use Corner::{Mirror, Mitre, Square};

    #[test]
    fn a_rectangle_grows_by_its_widths_whichever_way_it_runs() {
        let mut corners = vec![(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)];
        let mut widths = vec![(10.0, Mitre), (25.0, Mitre), (45.0, Mitre), (0.0, Mitre)];
        for _ in 0..2 {
            let path = round(&polygon(&corners), &widths);
            assert_eq!(flattened(&path, 0.01).len(), 4);
            for corner in [(0.0, -10.0), (125.0, -10.0), (125.0, 105.0), (0.0, 105.0)] {
                assert!(has_corner(&path, corner), "{corner:?} of {}", path.to_svg());
            }
            corners.reverse();
            widths = vec![(45.0, Mitre), (25.0, Mitre), (10.0, Mitre), (0.0, Mitre)];
        }
    }

    #[test]
    fn an_inner_corner_is_trimmed() {
        let corners = [
            (0.0, 0.0),
            (80.0, 0.0),
            (80.0, 40.0),
            (40.0, 40.0),
            (40.0, 90.0),
            (0.0, 90.0),
        ];
        let path = round(&polygon(&corners), &[(10.0, Mitre); 6]);
        assert!(has_corner(&path, (50.0, 50.0)));
        assert_eq!(flattened(&path, 0.01).len(), 6);
    }

    /// The mitre of a corner of 20° would reach 57.6 mm at a width of 10: it is cut off square at 40.
    #[test]
    fn a_sharp_point_is_blunted_at_the_limit() {
        let (sin, cos) = 10_f64.to_radians().sin_cos();
        let corners = [
            (0.0, 0.0),
            (-200.0 * cos, 200.0 * sin),
            (-200.0 * cos, -200.0 * sin),
        ];
        let path = round(&polygon(&corners), &[(10.0, Mitre); 3]);
        let ahead = flattened(&path, 0.01)
            .iter()
            .map(|p| p.x)
            .fold(f64::MIN, f64::max);
        assert!((ahead - 40.0).abs() < 1e-6);
    }

    /// A panel flares by 1 in 5: the ends of its hem lean inwards as the seams above lean outwards.
    #[test]
    fn a_hem_is_the_mirror_image_of_the_side_above_it() {
        let corners = [(0.0, 0.0), (100.0, 0.0), (160.0, 300.0), (-60.0, 300.0)];
        let rules = [(10.0, Mitre), (15.0, Mitre), (40.0, Mirror), (15.0, Mitre)];
        let path = round(&polygon(&corners), &rules);
        let fold = Affine::reflect((0.0, 300.0), (1.0, 0.0));
        for depth in [1.0, 10.0, 25.0, 39.0] {
            for direction in [1.0, -1.0] {
                let reach = |y: f64| {
                    let found =
                        line_crossings(&path, Point::new(50.0, y), Vec2::new(direction, 0.0));
                    found.into_iter().find(|c| c.b > 0.0).unwrap().point
                };
                assert!((fold * reach(300.0 + depth)).distance(reach(300.0 - depth)) < 1e-6);
            }
        }
        assert!((path.bounding_box().y1 - 340.0).abs() < 1e-9);
    }

    /// A shoulder meets the scye at 60°: its outline ends square to it, on the outline of the scye.
    #[test]
    fn a_square_end_is_square_to_its_seam() {
        let corners = [
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0 - 60.0, 104.0),
            (0.0, 104.0),
        ];
        let path = round(
            &polygon(&corners),
            &[(20.0, Square), (10.0, Mitre), (10.0, Mitre), (10.0, Mitre)],
        );
        let foot = 100.0 + 10.0 / 60_f64.to_radians().sin();
        let about = flattened(&path, 0.01);
        let head = about
            .iter()
            .filter(|p| (p.y + 20.0).abs() < 1e-6)
            .map(|p| p.x)
            .fold(0.0, f64::max);
        let base = about
            .iter()
            .filter(|p| p.y.abs() < 1e-6)
            .map(|p| p.x)
            .fold(0.0, f64::max);
        assert!(
            (head - base).abs() < 1e-6 && (base - foot).abs() < 0.2,
            "{head} {base} {foot}"
        );
    }

    #[test]
    fn widths_that_differ_along_one_line_meet_in_a_step() {
        let corners = [
            (0.0, 0.0),
            (50.0, 0.0),
            (100.0, 0.0),
            (100.0, 80.0),
            (0.0, 80.0),
        ];
        let rules = [
            (10.0, Mitre),
            (25.0, Mitre),
            (10.0, Mitre),
            (10.0, Mitre),
            (10.0, Mitre),
        ];
        let path = round(&polygon(&corners), &rules);
        assert!(has_corner(&path, (50.0, -10.0)) && has_corner(&path, (50.0, -25.0)));
    }

    /// A slot is narrower than twice its widths: the exact curves cross, the strips do not.
    #[test]
    fn a_narrow_slot_is_rebuilt_from_strips() {
        let corners = [
            (0.0, 0.0),
            (45.0, 0.0),
            (45.0, 60.0),
            (55.0, 60.0),
            (55.0, 0.0),
            (100.0, 0.0),
            (100.0, 100.0),
            (0.0, 100.0),
        ];
        let paths = polygon(&corners);
        let edges: Vec<Edge> = paths
            .iter()
            .map(|path| Edge {
                path,
                widths: vec![10.0],
                corner: Mitre,
            })
            .collect();
        let found = outline(&edges, 4.0);
        assert!(found.rebuilt && is_one_region(&found.path));
        let all = area(&flattened(&found.path, 0.01)).abs();
        assert!((all - 120.0 * 120.0).abs() < 0.1, "{all}");
    }

    /// A figure with a narrow slot, a round side and corners of every rule: rebuilt from strips, its outline is
    /// the same whichever edge the ring begins with, and so is each corner where the ring closes.
    #[test]
    fn a_rebuilt_ring_may_begin_with_any_edge() {
        let corners = [
            (0.0, 0.0),
            (45.0, 0.0),
            (45.0, 60.0),
            (55.0, 60.0),
            (55.0, 0.0),
            (100.0, 0.0),
            (100.0, 100.0),
            (0.0, 130.0),
        ];
        let mut paths = polygon(&corners);
        let side = [(100.0, 0.0), (112.0, 45.0), (100.0, 100.0)];
        paths[5] = crate::geometry::spline(&side.map(|p| crate::geometry::Knot::new(p.into())));
        let rules = [Mitre, Mitre, Mitre, Mitre, Mitre, Square, Mirror, Mitre];
        let widths = [10.0, 10.0, 10.0, 10.0, 10.0, 14.0, 25.0, 8.0];
        let ring: Vec<Edge> = (paths.iter().zip(rules).zip(widths))
            .map(|((path, corner), width)| Edge {
                path,
                widths: vec![width],
                corner,
            })
            .collect();
        let from = |first: usize| {
            let mut edges = ring.clone();
            edges.rotate_left(first);
            let found = outline(&edges, 4.0);
            assert!(found.rebuilt && is_one_region(&found.path));
            flattened(&found.path, 0.01)
        };
        let whole = from(0);
        // The mitre where the ring closes, and what the slot leaves of the edge beside it.
        let corner = |at: Point| whole.iter().any(|p| p.distance(at) < 0.1);
        assert!(corner(Point::new(-8.0, -10.0)), "{whole:?}");
        for first in 1..ring.len() {
            let turned = from(first);
            let off = area_outside(&turned, &whole) + area_outside(&whole, &turned);
            assert!(off < 0.1, "begun with edge {first}: {off} mm²");
        }
    }

    proptest! {
        /// The outline of a star of curved edges holds the figure, keeps its width from every edge, and
        /// is the same whichever way the edges run.
        #[test]
        fn the_outline_of_a_curved_figure_holds_it(
            radii in prop::collection::vec((120.0..200.0_f64, -25.0..25.0_f64, 0.0..25.0_f64), 4..8),
            rule in 0..3_usize,
        ) {
            let n = radii.len();
            let at = |i: usize| {
                let angle = std::f64::consts::TAU * (i % n) as f64 / n as f64;
                Point::ZERO + Vec2::from_angle(angle) * radii[i % n].0
            };
            let paths: Vec<BezPath> = (0..n).map(|i| {
                let (from, to) = (at(i), at(i + 1));
                let middle = from.midpoint(to) + (to - from).normalize().turn_90() * radii[i].1;
                crate::geometry::spline(&[from, middle, to].map(crate::geometry::Knot::new))
            }).collect();
            let rules = [Mitre, Square, Mirror];
            let edges: Vec<Edge> = paths.iter().enumerate().map(|(i, path)| Edge {
                path,
                widths: vec![radii[i].2],
                corner: if i == 1 { rules[rule] } else { Mitre },
            }).collect();
            let found = outline(&edges, 4.0);
            prop_assert!(is_one_region(&found.path));
            let figure = flattened(&joined(&paths, 0.1), 0.005);
            let grown = flattened(&found.path, 0.005);
            prop_assert!(area_outside(&figure, &grown) < 2.0);
            let outward = -area(&figure).signum();
            for edge in &edges {
                let long = length(edge.path);
                // Near a corner the mitre of a narrow neighbour may cut into the width.
                for i in 8..=12 {
                    let p = point_at(edge.path, long * f64::from(i) / 20.0);
                    let out = tangent_at(edge.path, long * f64::from(i) / 20.0).turn_90() * outward;
                    let across = line_crossings(&found.path, p, out);
                    let width = across.iter().map(|c| c.b).filter(|b| *b > -1e-6).fold(f64::MAX, f64::min);
                    prop_assert!((width - edge.widths[0]).abs() < 0.01, "{width}, not {}", edge.widths[0]);
                }
            }
            let back: Vec<BezPath> = paths.iter().rev().map(reversed).collect();
            let edges: Vec<Edge> = edges.iter().rev().zip(&back)
                .map(|(edge, path)| Edge { path, ..edge.clone() }).collect();
            let again = flattened(&outline(&edges, 4.0).path, 0.005);
            prop_assert!(area_outside(&again, &grown) + area_outside(&grown, &again) < 3.0);
        }
    }
}
