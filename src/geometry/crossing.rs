//! Where paths cross: by halving both until they are nearly straight, then by Newton's method.
//!
//! A crossing is a place where the directions differ: curves that only touch, or lie on each other, do
//! not cross there. Two crossings that bound an overlap of less than 0.001 mm may count as none.

use super::walk::{ACCURACY, segment_tangent};
use kurbo::{
    BezPath, ParamCurve, ParamCurveArclen, ParamCurveDeriv, ParamCurveExtrema, PathSeg, Point,
    Rect, Vec2, common::solve_cubic,
};

/// A place where two paths, or a path and a line, cross.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// Where.
    pub point: Point,
    /// Arc length along the first path.
    pub a: f64,
    /// Arc length along the second path, or signed distance along the line from its origin.
    pub b: f64,
}

/// The curves are halved until they leave their chords by no more than this, mm.
const FLAT: f64 = 1e-3;
/// Two points this near, mm, are one: a tenth of the finest tolerance of any check.
const SAME: f64 = 1e-4;
/// Within this of the joint of two segments, mm, they do not cross but meet.
const JOINT: f64 = 1e-3;
/// Sine of the least angle that counts as crossing.
const LEAST_SINE: f64 = 1e-5;

/// Every place where `a` and `b` cross, ends included, in order along `a`.
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

/// Every place where the line through `origin` along `direction` crosses `path`, in order along the
/// path; `b` is the signed distance from `origin`. A direction without length crosses nothing.
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

/// Where the line through `origin` along the unit vector `along` crosses a segment: the parameter, and
/// the signed distance from `origin`.
pub(crate) fn across_segment(segment: &PathSeg, origin: Point, along: Vec2) -> Vec<(f64, f64)> {
    let mut roots = line_roots(segment, origin, along);
    roots.retain(|t| segment_tangent(segment, *t).cross(along).abs() > LEAST_SINE);
    let distance = |t: f64| (segment.eval(t) - origin).dot(along);
    roots.into_iter().map(|t| (t, distance(t))).collect()
}

/// Every place where a path crosses itself, in order along it; `a` and `b` are the two arc lengths at
/// which it passes, `a` before `b`.
///
/// Its segments may meet end to start, and the last may meet the first; a path that turns sharply back
/// on itself at a joint without crossing is sound.
pub fn self_crossings(path: &BezPath) -> Vec<Crossing> {
    // Between extremes of x and y a curve cannot meet itself.
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
                // They run on the same way, and meet at the joint alone.
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

/// The segments of a path, each with the arc length at which it starts.
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

fn part_length(segment: &PathSeg, t: f64) -> f64 {
    segment.subsegment(0.0..t).arclen(ACCURACY)
}

/// Sorted along `a`, each place once.
fn in_order(mut found: Vec<Crossing>) -> Vec<Crossing> {
    found.sort_by(|x, y| x.a.total_cmp(&y.a).then(x.b.total_cmp(&y.b)));
    found.dedup_by(|x, y| (x.a - y.a).abs() < SAME && x.point.distance(y.point) < SAME);
    found
}

/// The parameters at which a segment lies on the line.
fn line_roots(segment: &PathSeg, origin: Point, along: Vec2) -> Vec<f64> {
    let off = |p: Point| along.cross(p - origin);
    let [c0, c1, c2, c3] = match segment {
        PathSeg::Line(l) => [off(l.p0), off(l.p1) - off(l.p0), 0.0, 0.0],
        PathSeg::Quad(q) => {
            let (p0, p1, p2) = (off(q.p0), off(q.p1), off(q.p2));
            [p0, 2.0 * (p1 - p0), p0 - 2.0 * p1 + p2, 0.0]
        }
        PathSeg::Cubic(c) => {
            let (p0, p1, p2, p3) = (off(c.p0), off(c.p1), off(c.p2), off(c.p3));
            [
                p0,
                3.0 * (p1 - p0),
                3.0 * (p0 - 2.0 * p1 + p2),
                p3 - 3.0 * p2 + 3.0 * p1 - p0,
            ]
        }
    };
    // The value lies between the least and the greatest of Bernstein's coefficients.
    let between = [
        c0,
        c0 + c1 / 3.0,
        c0 + (2.0 * c1 + c2) / 3.0,
        c0 + c1 + c2 + c3,
    ];
    if between.iter().all(|c| *c > ACCURACY) || between.iter().all(|c| *c < -ACCURACY) {
        return Vec::new();
    }
    let mut roots: Vec<f64> = solve_cubic(c0, c1, c2, c3).into_iter().collect();
    // The closed form loses an end that lies on the line by a rounding error.
    if c0.abs() < ACCURACY {
        roots.push(0.0);
    }
    if (c0 + c1 + c2 + c3).abs() < ACCURACY {
        roots.push(1.0);
    }
    roots.retain(|t| t.is_finite() && (-1e-6..=1.0 + 1e-6).contains(t));
    for t in &mut roots {
        for _ in 0..3 {
            let slope = c1 + *t * (2.0 * c2 + *t * 3.0 * c3);
            let step = (c0 + *t * (c1 + *t * (c2 + *t * c3))) / slope;
            if step.is_finite() && step.abs() < 0.01 {
                *t -= step;
            }
        }
        *t = t.clamp(0.0, 1.0);
    }
    roots.retain(|t| (c0 + t * (c1 + t * (c2 + t * c3))).abs() < SAME / 10.0);
    roots
}

/// Part of a segment between two parameters.
#[derive(Clone, Copy)]
struct Part {
    segment: PathSeg,
    from: f64,
    to: f64,
}

impl Part {
    fn halves(self) -> [Part; 2] {
        let middle = 0.5 * (self.from + self.to);
        let (first, second) = (
            self.segment.subsegment(0.0..0.5),
            self.segment.subsegment(0.5..1.0),
        );
        [
            Part {
                segment: first,
                from: self.from,
                to: middle,
            },
            Part {
                segment: second,
                from: middle,
                to: self.to,
            },
        ]
    }

    /// A box that holds it: that of its control points.
    fn hull(&self) -> Rect {
        let ends = Rect::from_points(self.segment.start(), self.segment.end());
        match self.segment {
            PathSeg::Line(_) => ends,
            PathSeg::Quad(q) => ends.union_pt(q.p1),
            PathSeg::Cubic(c) => ends.union_pt(c.p1).union_pt(c.p2),
        }
    }

    fn is_flat(&self) -> bool {
        let chord = self.segment.end() - self.segment.start();
        let third =
            |p: Point, share: f64| (p - self.segment.start() - chord * share).hypot() < FLAT;
        match self.segment {
            PathSeg::Line(_) => true,
            PathSeg::Quad(q) => third(q.p1, 0.5),
            PathSeg::Cubic(c) => third(c.p1, 1.0 / 3.0) && third(c.p2, 2.0 / 3.0),
        }
    }
}

/// The parameters at which two segments cross.
fn segment_crossings(a: &PathSeg, b: &PathSeg) -> Vec<(f64, f64)> {
    let whole = |segment: &PathSeg| Part {
        segment: *segment,
        from: 0.0,
        to: 1.0,
    };
    let mut found: Vec<(f64, f64)> = Vec::new();
    // Most pairs lie apart: they are not to cost a list.
    if apart(&whole(a), &whole(b)) {
        return found;
    }
    let mut pending = vec![(whole(a), whole(b))];
    while let Some((one, other)) = pending.pop() {
        if apart(&one, &other) {
            continue;
        }
        match (one.is_flat(), other.is_flat()) {
            (true, true) => {
                if let Some((t, u)) =
                    chords_cross(&one, &other).and_then(|near| settled(a, b, near))
                    && found
                        .iter()
                        .all(|(s, _)| a.eval(*s).distance(a.eval(t)) > SAME)
                {
                    found.push((t, u));
                }
            }
            (true, false) => pending.extend(other.halves().map(|half| (one, half))),
            (false, true) => pending.extend(one.halves().map(|half| (half, other))),
            (false, false) => {
                for half in one.halves() {
                    pending.extend(other.halves().map(|against| (half, against)));
                }
            }
        }
    }
    found
}

/// Whether the boxes of two parts leave no place for a crossing.
fn apart(one: &Part, other: &Part) -> bool {
    let (a, b) = (
        one.hull().inflate(SAME, SAME),
        other.hull().inflate(SAME, SAME),
    );
    let reach = a.intersect(b);
    reach.width() <= 0.0 || reach.height() <= 0.0
}

/// Where the chords of two flat parts cross, as parameters of the whole segments; a little beyond their
/// ends also counts, as the curves may cross where the chords just miss.
fn chords_cross(one: &Part, other: &Part) -> Option<(f64, f64)> {
    let (p, q) = (one.segment.start(), other.segment.start());
    let (d, e) = (one.segment.end() - p, other.segment.end() - q);
    let turn = d.cross(e);
    if turn.abs() <= LEAST_SINE * d.hypot() * e.hypot() {
        return None;
    }
    let (t, u) = ((q - p).cross(e) / turn, (q - p).cross(d) / turn);
    let beyond = |x: f64, long: f64| {
        let slack = 4.0 * FLAT / long.max(FLAT);
        x < -slack || x > 1.0 + slack
    };
    if beyond(t, d.hypot()) || beyond(u, e.hypot()) {
        return None;
    }
    Some((
        one.from + t * (one.to - one.from),
        other.from + u * (other.to - other.from),
    ))
}

/// Newton's method from a near guess; `None` unless it ends in a true crossing within both segments.
fn settled(a: &PathSeg, b: &PathSeg, near: (f64, f64)) -> Option<(f64, f64)> {
    let (mut t, mut u) = (near.0.clamp(0.0, 1.0), near.1.clamp(0.0, 1.0));
    for _ in 0..24 {
        let gap = b.eval(u) - a.eval(t);
        let (da, db) = (slope(a, t), slope(b, u));
        let turn = da.cross(db);
        if gap.hypot() < ACCURACY * 1e-3 || turn == 0.0 {
            break;
        }
        t = (t + gap.cross(db) / turn).clamp(0.0, 1.0);
        u = (u + gap.cross(da) / turn).clamp(0.0, 1.0);
    }
    let sine = segment_tangent(a, t).cross(segment_tangent(b, u)).abs();
    (a.eval(t).distance(b.eval(u)) < SAME / 10.0 && sine > LEAST_SINE).then_some((t, u))
}

fn slope(segment: &PathSeg, t: f64) -> Vec2 {
    match segment {
        PathSeg::Line(l) => l.p1 - l.p0,
        PathSeg::Quad(q) => q.deriv().eval(t).to_vec2(),
        PathSeg::Cubic(c) => c.deriv().eval(t).to_vec2(),
    }
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

        /// The count by halving against the sides of a finely flattened path.
        #[test]
        fn curves_cross_as_often_as_their_flattened_shadows(one in wandering(), two in wandering(), dy in -80.0..80.0_f64) {
            let two = kurbo::Affine::translate((15.0, dy)) * kurbo::Affine::rotate(0.9) * two;
            let flat = |path: &BezPath| {
                let mut points = Vec::new();
                kurbo::flatten(path, 1e-4, |el| if let Some(p) = el.end_point() { points.push(p) });
                points
            };
            let (p, q) = (flat(&one), flat(&two));
            let mut places: Vec<Point> = Vec::new();
            for a in p.windows(2) {
                for b in q.windows(2) {
                    let (d, e) = (a[1] - a[0], b[1] - b[0]);
                    let turn = d.cross(e);
                    let (t, u) = ((b[0] - a[0]).cross(e) / turn, (b[0] - a[0]).cross(d) / turn);
                    if (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u) {
                        places.push(a[0] + d * t);
                    }
                }
            }
            let found = crossings(&one, &two);
            for place in &places {
                prop_assert!(found.iter().any(|c| c.point.distance(*place) < 0.05), "missed {place:?}");
            }
            for c in &found {
                prop_assert!(places.iter().any(|p| c.point.distance(*p) < 0.05), "invented {c:?}");
            }
        }
    }
}
