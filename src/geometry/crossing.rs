//! Finds where paths cross each other, a line, or themselves.
//!
//! Paths cross where they meet in different directions; curves that only touch, or lie on each other, do
//! not cross. Two crossings that bound an overlap of less than 0.001 mm may be missed.

use super::segment_crossing::{FLAT, SAME, across_segment, segment_crossings};
use super::walk::ACCURACY;
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, ParamCurveExtrema, PathSeg, Point, Rect, Vec2};

/// A place where two paths, or a path and a line, cross.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// The point that both pass through.
    pub point: Point,
    /// Arc length along the first path, mm.
    pub a: f64,
    /// Arc length along the second path, or signed distance along the line from its origin, mm.
    pub b: f64,
}

/// Crossings within this distance of the joint of two segments, mm, are the joint itself: [`FLAT`], as
/// two curves may be that far from the chords that were found to cross.
const JOINT: f64 = FLAT;

/// Returns every crossing of `a` and `b`, also at their ends, in order along `a`.
pub fn crossings(a: &BezPath, b: &BezPath) -> Vec<Crossing> {
    let mut found = Vec::new();
    let (along_a, along_b) = (measured(a), measured(b));
    for (start_a, seg_a) in &along_a {
        for (start_b, seg_b) in &along_b {
            for (t, u) in segment_crossings(seg_a, seg_b) {
                found.push(Crossing {
                    point: seg_a.eval(t),
                    a: start_a + part_length(seg_a, t),
                    b: start_b + part_length(seg_b, u),
                });
            }
        }
    }
    in_order(found)
}

/// Returns every crossing of `path` with the line through `origin` along `direction`, in order along the
/// path. [`Crossing::b`] is the signed distance from `origin`; a zero direction crosses nothing.
pub fn line_crossings(path: &BezPath, origin: Point, direction: Vec2) -> Vec<Crossing> {
    let along = direction.normalize();
    if !along.is_finite() {
        return Vec::new();
    }
    let mut found = Vec::new();
    for (start, segment) in measured(path) {
        let across = across_segment(&segment, origin, along);
        found.extend(across.into_iter().map(|(t, b)| Crossing {
            point: segment.eval(t),
            a: start + part_length(&segment, t),
            b,
        }));
    }
    in_order(found)
}

/// Returns every crossing of a path with itself, in order along it; [`Crossing::a`] and [`Crossing::b`]
/// are the two arc lengths at which the path passes the point, the smaller first.
///
/// The joint of two consecutive segments, or of the last and the first, is not a crossing, even where the
/// path turns sharply back on itself.
pub fn self_crossings(path: &BezPath) -> Vec<Crossing> {
    // Between its extremes in x and y a curve cannot cross itself.
    let mut parts: Vec<(f64, PathSeg, Rect)> = Vec::new();
    for (start, segment) in measured(path) {
        for range in segment.extrema_ranges() {
            let part = segment.subsegment(range.clone());
            if part.arclen(ACCURACY) > SAME {
                let start = start + part_length(&segment, range.start);
                let reach = Rect::from_points(part.start(), part.end()).inflate(SAME, SAME);
                parts.push((start, part, reach));
            }
        }
    }
    let mut found = Vec::new();
    for (i, (start_a, one, reach_a)) in parts.iter().enumerate() {
        for (j, (start_b, other, reach_b)) in parts.iter().enumerate().skip(i + 1) {
            if !reach_a.overlaps(*reach_b) {
                continue;
            }
            let follows = j == i + 1 && one.end().distance(other.start()) < SAME;
            let shared = reach_a.intersect(*reach_b);
            if follows && shared.width() < JOINT && shared.height() < JOINT {
                // Their boxes overlap only at the joint, so they cannot cross elsewhere.
                continue;
            }
            let closes = i == 0 && j + 1 == parts.len() && other.end().distance(one.start()) < SAME;
            for (t, u) in segment_crossings(one, other) {
                let point = one.eval(t);
                let joint = (follows && point.distance(one.end()) < JOINT)
                    || (closes && point.distance(one.start()) < JOINT);
                if !joint {
                    let (a, b) = (
                        start_a + part_length(one, t),
                        start_b + part_length(other, u),
                    );
                    found.push(Crossing { point, a, b });
                }
            }
        }
    }
    in_order(found)
}

/// Pairs each segment of a path with the arc length at which it starts.
fn measured(path: &BezPath) -> Vec<(f64, PathSeg)> {
    let mut walked = 0.0;
    path.segments()
        .map(|segment| {
            let start = walked;
            walked += segment.arclen(ACCURACY);
            (start, segment)
        })
        .collect()
}

/// Returns the length of a segment from its start to parameter `t`.
fn part_length(segment: &PathSeg, t: f64) -> f64 {
    segment.subsegment(0.0..t).arclen(ACCURACY)
}

/// Sorts crossings along the first path and removes those that were found twice.
fn in_order(mut found: Vec<Crossing>) -> Vec<Crossing> {
    found.sort_by(|x, y| x.a.total_cmp(&y.a).then(x.b.total_cmp(&y.b)));
    found.dedup_by(|x, y| (x.a - y.a).abs() < SAME && x.point.distance(y.point) < SAME);
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::walk::tests::wandering;
    use crate::geometry::{length, point_at, tangent_at};
    use kurbo::{Circle, Shape};
    use proptest::prelude::*;

    fn curve(points: [(f64, f64); 4]) -> BezPath {
        let mut path = BezPath::new();
        path.move_to(points[0]);
        path.curve_to(points[1], points[2], points[3]);
        path
    }

    #[test]
    fn two_circles_cross_where_the_closed_form_says() {
        let circle = |x: f64| Circle::new((x, 0.0), 50.0).to_path(1e-9);
        let found = crossings(&circle(0.0), &circle(60.0));
        assert_eq!(found.len(), 2);
        for crossing in found {
            assert!((crossing.point.x - 30.0).abs() < 1e-4);
            assert!((crossing.point.y.abs() - 40.0).abs() < 1e-4);
        }
    }

    #[test]
    fn touching_is_not_crossing() {
        let circle = Circle::new((0.0, 0.0), 50.0).to_path(1e-9);
        assert!(line_crossings(&circle, Point::new(-80.0, 50.0), Vec2::new(1.0, 0.0)).is_empty());
        assert!(crossings(&circle, &circle).is_empty());
        assert_eq!(
            line_crossings(&circle, Point::new(-80.0, 30.0), Vec2::new(1.0, 0.0)).len(),
            2
        );
    }

    #[test]
    fn a_line_through_a_joint_counts_once() {
        let mut path = BezPath::new();
        path.move_to((0.0, 0.0));
        path.line_to((10.0, 0.0));
        path.line_to((20.0, 5.0));
        let found = line_crossings(&path, Point::new(10.0, -7.0), Vec2::new(0.0, 2.0));
        assert_eq!(found.len(), 1);
        assert!((found[0].a - 10.0).abs() < 1e-6 && (found[0].b - 7.0).abs() < 1e-6);
    }

    #[test]
    fn a_loop_crosses_itself_and_a_hook_does_not() {
        let looped = curve([(0.0, 0.0), (100.0, 80.0), (-60.0, 80.0), (40.0, 0.0)]);
        assert_eq!(self_crossings(&looped).len(), 1);
        let hook = curve([(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (20.0, 60.0)]);
        assert!(self_crossings(&hook).is_empty());
        let circle = Circle::new((0.0, 0.0), 50.0).to_path(1e-9);
        assert!(self_crossings(&circle).is_empty());
        let bow = BezPath::from_svg("M0 0 L10 10 L10 0 L0 10 Z").unwrap();
        assert_eq!(self_crossings(&bow).len(), 1);
    }

    proptest! {
        #[test]
        fn a_line_laid_across_a_path_is_found(
            path in wandering(), share in 0.02..0.98_f64, turn in 0.2..2.9_f64,
        ) {
            let at = share * length(&path);
            let along = tangent_at(&path, at);
            let across = kurbo::Affine::rotate(turn) * along.to_point();
            let origin = point_at(&path, at) - across.to_vec2() * 7.0;
            let found = line_crossings(&path, origin, across.to_vec2());
            prop_assert!(found.iter().any(|c| (c.a - at).abs() < 1e-3 && (c.b - 7.0).abs() < 1e-3));
            let mut segment = BezPath::new();
            segment.move_to(origin);
            segment.line_to(origin + across.to_vec2() * 14.0);
            let met = crossings(&path, &segment);
            prop_assert!(met.iter().any(|c| (c.a - at).abs() < 1e-3 && (c.b - 7.0).abs() < 1e-3));
        }

        /// The crossings are those of the same paths, finely flattened.
        #[test]
        fn curves_cross_as_often_as_their_flattened_shadows(one in wandering(), two in wandering(), dy in -80.0..80.0_f64) {
            let two = kurbo::Affine::translate((15.0, dy)) * kurbo::Affine::rotate(0.9) * two;
            let flat = |path: &BezPath| {
                let mut points = Vec::new();
                kurbo::flatten(path, 1e-4, |el| if let Some(p) = el.end_point() { points.push(p) });
                points
            };
            let (first, second) = (flat(&one), flat(&two));
            let mut expected: Vec<Point> = Vec::new();
            for a in first.windows(2) {
                for b in second.windows(2) {
                    let (d, e) = (a[1] - a[0], b[1] - b[0]);
                    let turn = d.cross(e);
                    let (t, u) = ((b[0] - a[0]).cross(e) / turn, (b[0] - a[0]).cross(d) / turn);
                    if (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u) {
                        expected.push(a[0] + d * t);
                    }
                }
            }
            let found = crossings(&one, &two);
            for p in &expected {
                prop_assert!(found.iter().any(|c| c.point.distance(*p) < 0.05), "missed {p:?}");
            }
            for c in &found {
                prop_assert!(expected.iter().any(|p| c.point.distance(*p) < 0.05), "invented {c:?}");
            }
        }
    }
}
