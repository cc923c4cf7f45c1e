//! Finds where one segment crosses a line or another segment.
//!
//! A line crosses a segment at the roots of a cubic. Two segments are halved until they are nearly
//! straight; where their chords cross, Newton's method finds the exact place.

use super::walk::{ACCURACY, segment_slope, segment_tangent};
use kurbo::{ParamCurve, PathSeg, Point, Rect, Vec2, common::solve_cubic};

/// Curves are halved until they lie within this distance of their chords, mm: near enough for Newton's
/// method to converge, and few enough halvings to be quick.
pub(super) const FLAT: f64 = 1e-3;
/// Two points nearer than this, mm, are the same: a hundredth of the 0.01 mm to which a draft must close.
pub(super) const SAME: f64 = 1e-4;
/// Sine of the least angle that counts as crossing: curves that touch meet at less, by rounding.
const LEAST_SINE: f64 = 1e-5;

/// Returns the crossings of a segment with the line through `origin` along the unit vector `along`: the
/// parameter of the segment, and the signed distance from `origin`.
pub(crate) fn across_segment(segment: &PathSeg, origin: Point, along: Vec2) -> Vec<(f64, f64)> {
    let mut roots = line_roots(segment, origin, along);
    roots.retain(|t| segment_tangent(segment, *t).cross(along).abs() > LEAST_SINE);
    let distance = |t: f64| (segment.eval(t) - origin).dot(along);
    roots.into_iter().map(|t| (t, distance(t))).collect()
}

/// Returns the parameters at which a segment lies on the line through `origin` along `along`.
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
    // A polynomial stays between the least and the greatest of its Bernstein coefficients.
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
    // By a rounding error `solve_cubic` misses an end that lies on the line.
    if c0.abs() < ACCURACY {
        roots.push(0.0);
    }
    if (c0 + c1 + c2 + c3).abs() < ACCURACY {
        roots.push(1.0);
    }
    roots.retain(|t| t.is_finite() && (-1e-6..=1.0 + 1e-6).contains(t));
    // Three steps of Newton's method remove the rounding of the closed form.
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

/// A part of a segment, with the parameters of the whole segment at its two ends.
#[derive(Clone, Copy)]
struct Part {
    segment: PathSeg,
    from: f64,
    to: f64,
}

impl Part {
    /// Divides the part at its middle parameter.
    fn halves(self) -> [Self; 2] {
        let middle = 0.5 * (self.from + self.to);
        let (first, second) = self.segment.subdivide();
        [
            Self {
                segment: first,
                from: self.from,
                to: middle,
            },
            Self {
                segment: second,
                from: middle,
                to: self.to,
            },
        ]
    }

    /// Returns the box of the control points, which holds the curve.
    fn hull(&self) -> Rect {
        let ends = Rect::from_points(self.segment.start(), self.segment.end());
        match self.segment {
            PathSeg::Line(_) => ends,
            PathSeg::Quad(q) => ends.union_pt(q.p1),
            PathSeg::Cubic(c) => ends.union_pt(c.p1).union_pt(c.p2),
        }
    }

    /// Whether every point lies within [`FLAT`] of the point of the chord at the same parameter.
    fn is_flat(&self) -> bool {
        let chord = self.segment.end() - self.segment.start();
        let on_chord =
            |p: Point, share: f64| (p - self.segment.start() - chord * share).hypot() < FLAT;
        match self.segment {
            PathSeg::Line(_) => true,
            PathSeg::Quad(q) => on_chord(q.p1, 0.5),
            PathSeg::Cubic(c) => on_chord(c.p1, 1.0 / 3.0) && on_chord(c.p2, 2.0 / 3.0),
        }
    }
}

/// Returns the parameters of both segments at every place where they cross.
pub(super) fn segment_crossings(a: &PathSeg, b: &PathSeg) -> Vec<(f64, f64)> {
    let whole = |segment: &PathSeg| Part {
        segment: *segment,
        from: 0.0,
        to: 1.0,
    };
    let mut found: Vec<(f64, f64)> = Vec::new();
    // Most pairs lie apart; they return before anything is allocated.
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

/// Whether the boxes of two parts are too far apart for them to cross.
fn apart(one: &Part, other: &Part) -> bool {
    let (a, b) = (
        one.hull().inflate(SAME, SAME),
        other.hull().inflate(SAME, SAME),
    );
    let reach = a.intersect(b);
    reach.width() <= 0.0 || reach.height() <= 0.0
}

/// Returns where the chords of two flat parts cross, as parameters of the whole segments.
///
/// The chords may be extended a little, as curves may cross where their chords just miss.
fn chords_cross(one: &Part, other: &Part) -> Option<(f64, f64)> {
    let (p, q) = (one.segment.start(), other.segment.start());
    let (d, e) = (one.segment.end() - p, other.segment.end() - q);
    let turn = d.cross(e);
    if turn.abs() <= LEAST_SINE * d.hypot() * e.hypot() {
        return None;
    }
    let (t, u) = ((q - p).cross(e) / turn, (q - p).cross(d) / turn);
    let beyond = |x: f64, long: f64| {
        // Both curves may leave their chords by `FLAT`; at a flat angle the crossing moves further.
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

/// Refines the guess `near` by Newton's method; `None` unless it converges to a crossing of both segments.
fn settled(a: &PathSeg, b: &PathSeg, near: (f64, f64)) -> Option<(f64, f64)> {
    let (mut t, mut u) = (near.0.clamp(0.0, 1.0), near.1.clamp(0.0, 1.0));
    // A good guess converges in four steps; 24 let a flat angle converge too.
    for _ in 0..24 {
        let gap = b.eval(u) - a.eval(t);
        let (da, db) = (segment_slope(a, t), segment_slope(b, u));
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
