//! The outline that runs round a closed figure at a width of its own beside every side, with a rule
//! for what happens at each corner.

use super::corner::{Arm, Corner, Meeting, meet};
use super::offset::offset;
use super::region::is_one_region;
use super::strips::from_strips;
use super::walk::{ACCURACY, joined, length, sub_path};
use kurbo::{BezPath, Line, ParamCurve, PathEl, PathSeg, Shape};

/// One side of a closed figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Side<'a> {
    /// The side, which starts where the one before ends.
    pub path: &'a BezPath,
    /// Widths outside the figure, mm, spread evenly along the side; none negative.
    pub widths: Vec<f64>,
    /// What its ends do. Where two sides that meet differ, a mirror goes before a square, and that
    /// before a mitre; of two squares the wider side has its way, and two mirrors make a mitre.
    pub corner: Corner,
}

/// An outline, and how it came about.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// The closed outline.
    pub path: BezPath,
    /// Whether its curves crossed somewhere, so that it was put together again as the union of strips
    /// and is made of short lines.
    pub rebuilt: bool,
}

/// The outline round `sides`, which close, whichever way they run. A mitre reaches no further from its
/// corner than `limit` times the wider of the two widths and is cut off square there.
///
/// The outline is checked by a boolean that shares no code with it, and put together again from strips
/// where that finds more than one plain region.
pub fn outline(sides: &[Side], limit: f64) -> Outline {
    let closed = joined(sides.iter().map(|side| side.path), 0.1);
    // The figure lies on the side of the tangent turned from x towards y when its area is positive.
    let outward = if closed.area() > 0.0 { -1.0 } else { 1.0 };
    let lines: Vec<BezPath> = sides
        .iter()
        .map(|side| {
            let widths: Vec<f64> = side.widths.iter().map(|w| w * outward).collect();
            offset(side.path, &widths)
        })
        .collect();
    let meetings: Vec<Meeting> = (0..sides.len())
        .filter_map(|i| {
            let next = (i + 1) % sides.len();
            let arriving = Arm::new(sides.get(i)?, lines.get(i)?, outward, true);
            let leaving = Arm::new(sides.get(next)?, lines.get(next)?, outward, false);
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
        path: from_strips(&closed, sides, &lines, &meetings),
        rebuilt: true,
    }
}

/// The closed path without lines too short to mean anything, and with lines that run on straight as
/// one; `path` comes back to its start.
fn tidied(path: &BezPath) -> BezPath {
    let mut segments: Vec<PathSeg> = Vec::new();
    for segment in path.segments() {
        match (segments.last_mut(), segment) {
            (_, PathSeg::Line(line)) if line.p0.distance(line.p1) < 1e-5 => {}
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
    // Pushed one by one: a hair's breadth between two of them is not to come back as a line.
    let mut out = BezPath::new();
    out.extend(segments.first().map(|first| PathEl::MoveTo(first.start())));
    out.extend(segments.iter().map(|segment| segment.as_path_el()));
    out.close_path();
    out
}

fn runs_on(one: Line, next: Line) -> bool {
    let (d, e) = (one.p1 - one.p0, next.p1 - next.p0);
    d.dot(e) > 0.0 && d.cross(e).abs() < 1e-7 * d.hypot() * e.hypot()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{area, area_outside};
    use crate::geometry::{flattened, line_crossings, point_at, reversed, tangent_at};
    use kurbo::{Affine, Point, Vec2};
    use proptest::prelude::*;

    fn line(a: (f64, f64), b: (f64, f64)) -> BezPath {
        BezPath::from_vec(vec![PathEl::MoveTo(a.into()), PathEl::LineTo(b.into())])
    }

    /// The sides of a polygon, each with a width and a rule.
    fn polygon(corners: &[(f64, f64)]) -> Vec<BezPath> {
        (0..corners.len())
            .map(|i| line(corners[i], corners[(i + 1) % corners.len()]))
            .collect()
    }

    fn round(paths: &[BezPath], rules: &[(f64, Corner)]) -> BezPath {
        let sides: Vec<Side> = paths
            .iter()
            .zip(rules)
            .map(|(path, (width, corner))| Side {
                path,
                widths: vec![*width],
                corner: *corner,
            })
            .collect();
        let found = outline(&sides, 4.0);
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

    /// An angle of 20° would run 57.6 mm out at a width of 10: it is cut off square at 40.
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

    /// A panel that flares by 1 in 5: the hem's ends lean in as the side leans out.
    #[test]
    fn a_hem_is_the_mirror_image_of_the_side_above_it() {
        let corners = [(0.0, 0.0), (100.0, 0.0), (160.0, 300.0), (-60.0, 300.0)];
        let rules = [(10.0, Mitre), (15.0, Mitre), (40.0, Mirror), (15.0, Mitre)];
        let path = round(&polygon(&corners), &rules);
        let fold = Affine::reflect((0.0, 300.0), (1.0, 0.0));
        for depth in [1.0, 10.0, 25.0, 39.0] {
            for direction in [1.0, -1.0] {
                let edge = |y: f64| {
                    let found =
                        line_crossings(&path, Point::new(50.0, y), Vec2::new(direction, 0.0));
                    found.into_iter().find(|c| c.b > 0.0).unwrap().point
                };
                assert!((fold * edge(300.0 + depth)).distance(edge(300.0 - depth)) < 1e-6);
            }
        }
        assert!((path.bounding_box().y1 - 340.0).abs() < 1e-9);
    }

    /// A shoulder at 60° to the scye: the end is square to the shoulder from the scye's own line.
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

    /// A slot narrower than twice its widths: curves cannot bound it, strips can.
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
        let sides: Vec<Side> = paths
            .iter()
            .map(|path| Side {
                path,
                widths: vec![10.0],
                corner: Mitre,
            })
            .collect();
        let found = outline(&sides, 4.0);
        assert!(found.rebuilt && is_one_region(&found.path));
        let all = area(&flattened(&found.path, 0.01)).abs();
        assert!((all - 120.0 * 120.0).abs() < 0.1, "{all}");
    }

    proptest! {
        /// A star of curved sides: the outline holds the figure, leaves no side nearer than its width,
        /// and comes out alike whichever way the sides run.
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
            let sides: Vec<Side> = paths.iter().enumerate().map(|(i, path)| Side {
                path,
                widths: vec![radii[i].2],
                corner: if i == 1 { rules[rule] } else { Mitre },
            }).collect();
            let found = outline(&sides, 4.0);
            prop_assert!(is_one_region(&found.path));
            let figure = flattened(&joined(&paths, 0.1), 0.005);
            let grown = flattened(&found.path, 0.005);
            prop_assert!(area_outside(&figure, &grown) < 2.0);
            let outward = -area(&figure).signum();
            for side in &sides {
                let long = length(side.path);
                // Nearer to a corner a narrow neighbour's mitre may cut across.
                for i in 8..=12 {
                    let p = point_at(side.path, long * f64::from(i) / 20.0);
                    let out = tangent_at(side.path, long * f64::from(i) / 20.0).turn_90() * outward;
                    let across = line_crossings(&found.path, p, out);
                    let width = across.iter().map(|c| c.b).filter(|b| *b > -1e-6).fold(f64::MAX, f64::min);
                    prop_assert!((width - side.widths[0]).abs() < 0.01, "{width}, not {}", side.widths[0]);
                }
            }
            let back: Vec<BezPath> = paths.iter().rev().map(reversed).collect();
            let sides: Vec<Side> = sides.iter().rev().zip(&back)
                .map(|(side, path)| Side { path, ..side.clone() }).collect();
            let again = flattened(&outline(&sides, 4.0).path, 0.005);
            prop_assert!(area_outside(&again, &grown) + area_outside(&grown, &again) < 3.0);
        }
    }
}
