//! Measures along an open path: lengths, points, tangents and stretches by arc length in mm.
//!
//! Every path here is one run of segments without a gap. Every `at` is an arc length from its start; one
//! before the start means the start, and one past the end means the end.

use kurbo::{
    BezPath, ParamCurve, ParamCurveArclen, ParamCurveDeriv, ParamCurveNearest, PathEl, PathSeg,
    Point, Vec2,
};

/// Accuracy of lengths, mm: a hundredth of the distance at which two points are the same.
pub(crate) const ACCURACY: f64 = 1e-6;

/// Returns the length of a path, mm.
pub fn length(path: &BezPath) -> f64 {
    path.segments()
        .map(|segment| segment.arclen(ACCURACY))
        .sum()
}

/// Returns the first point of a path; `None` for a path without elements.
pub fn start(path: &BezPath) -> Option<Point> {
    match path.elements().first() {
        Some(PathEl::MoveTo(p)) => Some(*p),
        _ => None,
    }
}

/// Returns the last point of a path; `None` for a path without elements.
pub fn end(path: &BezPath) -> Option<Point> {
    path.segments()
        .last()
        .map(|segment| segment.end())
        .or_else(|| start(path))
}

/// Returns the point at an arc length: the start of a path without segments, the origin of an empty one.
pub fn point_at(path: &BezPath, at: f64) -> Point {
    match locate(path, at) {
        Some((_, segment, t)) => segment.eval(t),
        None => start(path).unwrap_or(Point::ZERO),
    }
}

/// Returns the unit tangent at an arc length, in the direction of travel.
///
/// Where two segments meet it is the tangent of the later one. A path without length has a zero tangent.
pub fn tangent_at(path: &BezPath, at: f64) -> Vec2 {
    locate(path, at).map_or(Vec2::ZERO, |(_, segment, t)| segment_tangent(&segment, t))
}

/// The point of a path that is nearest to a given point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearest {
    /// Its arc length from the start of the path, mm.
    pub at: f64,
    /// The nearest point itself.
    pub point: Point,
    /// Its distance from the given point, mm.
    pub distance: f64,
}

/// Returns the point of `path` that is nearest to `point`; of several equally near, the first.
pub fn nearest(path: &BezPath, point: Point) -> Nearest {
    let only = start(path).unwrap_or(Point::ZERO);
    let mut best = Nearest {
        at: 0.0,
        point: only,
        distance: f64::INFINITY,
    };
    let mut walked = 0.0;
    for segment in path.segments() {
        let found = segment.nearest(point, ACCURACY);
        let distance = found.distance_sq.sqrt();
        // A joint is the end of one segment and the start of the next; the earlier one is kept.
        if distance < best.distance - ACCURACY {
            let at = walked + segment.subsegment(0.0..found.t).arclen(ACCURACY);
            best = Nearest {
                at,
                point: segment.eval(found.t),
                distance,
            };
        }
        walked += segment.arclen(ACCURACY);
    }
    if best.distance.is_infinite() {
        best.distance = only.distance(point);
    }
    best
}

/// Returns the stretch of a path between two arc lengths, made of the path's own curves. It runs backwards
/// when `from` is greater than `to`.
pub fn sub_path(path: &BezPath, from: f64, to: f64) -> BezPath {
    if from > to {
        return reversed(&sub_path(path, to, from));
    }
    let mut out = BezPath::new();
    let (Some((first, _, from_t)), Some((last, _, to_t))) = (locate(path, from), locate(path, to))
    else {
        out.move_to(start(path).unwrap_or(Point::ZERO));
        return out;
    };
    for (index, segment) in path.segments().enumerate().take(last + 1).skip(first) {
        let t0 = if index == first { from_t } else { 0.0 };
        let t1 = if index == last { to_t } else { 1.0 };
        let part = segment.subsegment(t0..t1);
        if out.elements().is_empty() {
            out.move_to(part.start());
        }
        if t1 > t0 && part.arclen(ACCURACY) > ACCURACY {
            out.push(part.as_path_el());
        }
    }
    out
}

/// Returns the path in the opposite direction. A closed path becomes an open one that ends where it starts.
pub fn reversed(path: &BezPath) -> BezPath {
    let mut out = BezPath::new();
    let segments: Vec<PathSeg> = path.segments().collect();
    if let Some(end) = end(path) {
        out.move_to(end);
    }
    for segment in segments.iter().rev() {
        out.push(segment.reverse().as_path_el());
    }
    out
}

/// Joins paths end to start into one. Across a gap of up to `bridged` mm the next path is made to begin
/// where the last one ended; a straight line fills a wider gap.
pub fn joined<'a>(paths: impl IntoIterator<Item = &'a BezPath>, bridged: f64) -> BezPath {
    let mut out = BezPath::new();
    for path in paths {
        let Some(from) = start(path) else { continue };
        match end(&out) {
            None => out.move_to(from),
            Some(to) if to.distance(from) > bridged => out.line_to(from),
            Some(_) => {}
        }
        out.extend(path.segments().map(|segment| segment.as_path_el()));
    }
    out
}

/// Returns the derivative of a segment by its parameter.
pub(super) fn segment_slope(segment: &PathSeg, t: f64) -> Vec2 {
    match segment {
        PathSeg::Line(line) => line.p1 - line.p0,
        PathSeg::Quad(quad) => quad.deriv().eval(t).to_vec2(),
        PathSeg::Cubic(cubic) => cubic.deriv().eval(t).to_vec2(),
    }
}

/// Returns the unit tangent of a segment. At an end whose handle has no length it is the direction of the
/// chord to a point close by.
pub(crate) fn segment_tangent(segment: &PathSeg, t: f64) -> Vec2 {
    let slope = segment_slope(segment, t);
    let slope = if slope.hypot2() > ACCURACY * ACCURACY {
        slope
    } else {
        let (t0, t1) = ((t - 1e-3).max(0.0), (t + 1e-3).min(1.0));
        segment.eval(t1) - segment.eval(t0)
    };
    if slope.hypot2() > 0.0 {
        slope.normalize()
    } else {
        Vec2::ZERO
    }
}

/// Returns the angle from one direction to another, radians from -π to π; positive from x towards y.
pub(super) fn angle_between(from: Vec2, to: Vec2) -> f64 {
    from.cross(to).atan2(from.dot(to))
}

/// Returns the index of the segment at an arc length, the segment, and its parameter there; `None` for a
/// path without segments.
fn locate(path: &BezPath, at: f64) -> Option<(usize, PathSeg, f64)> {
    let mut left = at.max(0.0);
    let mut last = None;
    for (index, segment) in path.segments().enumerate() {
        let long = segment.arclen(ACCURACY);
        if left <= ACCURACY && long > ACCURACY {
            return Some((index, segment, 0.0));
        }
        // An arc length this close before a joint means the joint, so that no sliver is cut off.
        if left < long - ACCURACY {
            return Some((index, segment, segment.inv_arclen(left, ACCURACY)));
        }
        left -= long;
        // A segment without length has no tangent; the end of the path must not fall on one.
        if long > ACCURACY || last.is_none() {
            last = Some((index, segment, 1.0));
        }
    }
    last
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::geometry::{Knot, spline};
    use proptest::prelude::*;

    /// Smooth paths through a random walk of points.
    pub(crate) fn wandering() -> impl Strategy<Value = BezPath> {
        prop::collection::vec((20.0..120.0_f64, -0.7..0.7_f64), 2..7).prop_map(|steps| {
            let mut at = Point::new(10.0, -5.0);
            let mut angle = 0.3;
            let mut knots = vec![Knot::new(at)];
            for (step, turn) in steps {
                angle += turn;
                at += Vec2::from_angle(angle) * step;
                knots.push(Knot::new(at));
            }
            spline(&knots)
        })
    }

    /// y = x²/100 for x from 0 to 100, as the quadratic it is.
    fn parabola() -> BezPath {
        let mut path = BezPath::new();
        path.move_to((0.0, 0.0));
        path.quad_to((50.0, 0.0), (100.0, 100.0));
        path
    }

    #[test]
    fn a_parabola_is_as_long_as_its_closed_form() {
        // The integral of sqrt(1 + (2x/100)²) from 0 to 100 is 50 (sqrt 5 + asinh(2) / 2).
        let closed = 50.0 * (5_f64.sqrt() + 2_f64.asinh() / 2.0);
        assert!((length(&parabola()) - closed).abs() < 1e-6);
        let at = point_at(&parabola(), closed / 2.0);
        assert!((at.y - at.x * at.x / 100.0).abs() < 1e-9);
    }

    #[test]
    fn tangents_and_ends() {
        let path = parabola();
        assert!((tangent_at(&path, 0.0) - Vec2::new(1.0, 0.0)).hypot() < 1e-9);
        assert!((tangent_at(&path, 1e9) - Vec2::new(1.0, 2.0).normalize()).hypot() < 1e-9);
        assert_eq!(end(&path), Some(Point::new(100.0, 100.0)));
        assert_eq!(point_at(&path, -5.0), Point::ZERO);
        assert_eq!(tangent_at(&BezPath::new(), 3.0), Vec2::ZERO);
        let handle_of_no_length = BezPath::from_vec(vec![
            PathEl::MoveTo(Point::ZERO),
            PathEl::CurveTo(Point::ZERO, Point::new(10.0, 0.0), Point::new(10.0, 10.0)),
        ]);
        assert!((tangent_at(&handle_of_no_length, 0.0).hypot() - 1.0).abs() < 1e-9);
        let ends_of_no_length = BezPath::from_svg("M0 0 L0 0 L3 4 L3 4").unwrap();
        for at in [0.0, 5.0] {
            assert!((tangent_at(&ends_of_no_length, at) - Vec2::new(0.6, 0.8)).hypot() < 1e-9);
        }
    }

    #[test]
    fn joining_bridges_small_gaps_and_draws_wide_ones() {
        let line = |a: (f64, f64), b: (f64, f64)| {
            BezPath::from_vec(vec![PathEl::MoveTo(a.into()), PathEl::LineTo(b.into())])
        };
        let (one, two) = (
            line((0.0, 0.0), (10.0, 0.0)),
            line((10.004, 0.0), (10.0, 5.0)),
        );
        assert_eq!(joined([&one, &two], 0.01).segments().count(), 2);
        assert_eq!(joined([&one, &two], 0.001).segments().count(), 3);
    }

    proptest! {
        #[test]
        fn stretches_add_up(path in wandering(), share in 0.0..1.0_f64) {
            let long = length(&path);
            let at = share * long;
            let (head, tail) = (sub_path(&path, 0.0, at), sub_path(&path, at, long));
            prop_assert!((length(&head) + length(&tail) - long).abs() < 1e-4);
            prop_assert!((length(&head) - at).abs() < 1e-4);
            prop_assert!(end(&head).unwrap().distance(point_at(&path, at)) < 1e-4);
            prop_assert!(end(&tail).unwrap().distance(end(&path).unwrap()) < 1e-9);
        }

        #[test]
        fn reversing_keeps_length_and_points(path in wandering(), share in 0.0..1.0_f64) {
            let long = length(&path);
            let back = reversed(&path);
            prop_assert!((length(&back) - long).abs() < 1e-6);
            let p = point_at(&path, share * long);
            prop_assert!(p.distance(point_at(&back, (1.0 - share) * long)) < 1e-4);
            prop_assert_eq!(reversed(&back), path);
        }

        #[test]
        fn the_nearest_place_of_a_point_of_the_path_is_that_point(
            path in wandering(), share in 0.0..1.0_f64, away in 0.0..3.0_f64,
        ) {
            let at = share * length(&path);
            let along = tangent_at(&path, at);
            let normal = along.turn_90();
            let found = nearest(&path, point_at(&path, at) + normal * away);
            prop_assert!(found.distance <= away + 1e-6);
            prop_assert!(point_at(&path, found.at).distance(found.point) < 1e-3);
        }
    }
}
