//! A fair curve through given points.
//!
//! John D. Hobby, "Smooth, easy to compute interpolating splines", Discrete & Computational Geometry 1
//! (1986): the direction at every point is chosen so that a first-order estimate of the curvature (the
//! mock curvature) is the same on both sides of it, which is one tridiagonal set of equations; the length
//! of the handles then follows from the two angles a span makes with its chord.

use kurbo::{BezPath, Point, Vec2};
use std::f64::consts::{PI, SQRT_2};

/// A point the curve passes through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knot {
    /// Where.
    pub at: Point,
    /// Which way the curve runs through it, if that is given; any length but zero.
    pub direction: Option<Vec2>,
    /// How tightly the curve runs on either side: 1 as a rule, more draws it towards the chord. At
    /// least [`LEAST_TENSION`]; anything less is raised to it.
    pub tension: f64,
}

/// The least tension for which Hobby's equations have one solution and the handles do not loop.
pub const LEAST_TENSION: f64 = 0.75;

impl Knot {
    /// A knot whose direction the curve chooses.
    pub fn new(at: Point) -> Self {
        Self {
            at,
            direction: None,
            tension: 1.0,
        }
    }

    /// A knot through which the curve runs in a given direction.
    pub fn toward(at: Point, direction: Vec2) -> Self {
        Self {
            direction: Some(direction),
            ..Self::new(at)
        }
    }

    /// The same knot with another tension.
    pub fn with_tension(self, tension: f64) -> Self {
        Self { tension, ..self }
    }
}

/// The open spline through `knots`, in order.
///
/// An end without a direction runs out as an arc of a circle would (a curl of 1). A knot inside the
/// curve with a direction divides the problem there: the curve keeps its tangent but its curvature may
/// step. Spans that come out straight are lines. Knots that coincide with the one before are passed
/// over; fewer than two points give a path without segments.
pub fn spline(knots: &[Knot]) -> BezPath {
    let mut path = BezPath::new();
    let mut distinct: Vec<Knot> = Vec::with_capacity(knots.len());
    for knot in knots {
        match distinct.last_mut() {
            Some(last) if last.at.distance(knot.at) < 1e-9 => {
                last.direction = last.direction.or(knot.direction);
            }
            _ => distinct.push(*knot),
        }
    }
    let Some(first) = distinct.first() else {
        return path;
    };
    path.move_to(first.at);

    let mut start = 0;
    for end in 1..distinct.len() {
        if end + 1 == distinct.len() || heading(&distinct[end]).is_some() {
            add_stretch(&mut path, &distinct[start..=end]);
            start = end;
        }
    }
    path
}

/// The direction of a knot as an angle, if it has one that means anything.
fn heading(knot: &Knot) -> Option<f64> {
    knot.direction
        .filter(|d| d.hypot2() > 0.0 && d.is_finite())
        .map(|d| d.atan2())
}

/// The angle brought into -180° to 180°.
fn wrapped(angle: f64) -> f64 {
    angle - 2.0 * PI * (angle / (2.0 * PI)).round()
}

/// Adds the spans of a stretch that has directions at its ends at most.
fn add_stretch(path: &mut BezPath, knots: &[Knot]) {
    let chords: Vec<Vec2> = knots
        .windows(2)
        .map(|pair| pair[1].at - pair[0].at)
        .collect();
    let (Some(first), Some(last)) = (knots.first(), knots.last()) else {
        return;
    };
    let (Some(first_chord), Some(last_chord)) = (chords.first(), chords.last()) else {
        return;
    };
    let tension: Vec<f64> = knots.iter().map(|k| k.tension.max(LEAST_TENSION)).collect();

    if chords.len() == 1 && heading(first).is_none() && heading(last).is_none() {
        // Any arc would do; the equations would leave it open.
        path.line_to(last.at);
        return;
    }

    // How far the chords turn at each knot; none at the ends.
    let mut turn = vec![0.0; knots.len()];
    for (k, pair) in chords.windows(2).enumerate() {
        turn[k + 1] = wrapped(pair[1].atan2() - pair[0].atan2());
    }

    // One row a knot: below * theta[k-1] + middle * theta[k] + above * theta[k+1] = right, where theta
    // is the angle from the chord that follows to the curve (at the last knot, from the chord before).
    let n = chords.len();
    let mut rows: Vec<Row> = Vec::with_capacity(n + 1);
    rows.push(match heading(first) {
        Some(angle) => Row::fixed(wrapped(angle - first_chord.atan2())),
        None => {
            let (middle, above) = curl(tension[0], tension[1]);
            Row {
                below: 0.0,
                middle,
                above,
                right: -above * turn[1],
            }
        }
    });
    for k in 1..n {
        let (before, after) = (chords[k - 1].hypot(), chords[k].hypot());
        // Hobby weighs each side by its own tension squared; ours is the same on both, so it cancels.
        let below = 1.0 / (tension[k - 1] * before);
        let b = (3.0 - 1.0 / tension[k - 1]) / before;
        let c = (3.0 - 1.0 / tension[k + 1]) / after;
        let above = 1.0 / (tension[k + 1] * after);
        let right = -b * turn[k] - above * turn[k + 1];
        rows.push(Row {
            below,
            middle: b + c,
            above,
            right,
        });
    }
    rows.push(match heading(last) {
        Some(angle) => Row::fixed(wrapped(angle - last_chord.atan2())),
        None => {
            let (middle, below) = curl(tension[n], tension[n - 1]);
            Row {
                below,
                middle,
                above: 0.0,
                right: 0.0,
            }
        }
    });
    let theta = solved(rows);

    for (k, chord) in chords.iter().enumerate() {
        let leaving = theta[k];
        let arriving = -turn[k + 1] - theta[k + 1];
        let (from, to) = (knots[k].at, knots[k + 1].at);
        if leaving.abs() < 1e-9 && arriving.abs() < 1e-9 {
            path.line_to(to);
            continue;
        }
        let out = turned(*chord, leaving) * (handle(leaving, arriving) / tension[k]);
        let back = turned(*chord, -arriving) * (handle(arriving, leaving) / tension[k + 1]);
        path.curve_to(from + out, to - back, to);
    }
}

/// The two coefficients of an end that curls as a circle does: of its own angle, of its neighbour's.
fn curl(own_tension: f64, next_tension: f64) -> (f64, f64) {
    let (alpha, beta) = (1.0 / own_tension, 1.0 / next_tension);
    let ratio = (alpha / beta) * (alpha / beta);
    (ratio * alpha + 3.0 - beta, ratio * (3.0 - alpha) + beta)
}

/// One row of a tridiagonal set of equations.
struct Row {
    below: f64,
    middle: f64,
    above: f64,
    right: f64,
}

impl Row {
    fn fixed(value: f64) -> Self {
        Self {
            below: 0.0,
            middle: 1.0,
            above: 0.0,
            right: value,
        }
    }
}

/// Solves the rows by elimination; they are diagonally dominant, so no pivoting is needed.
fn solved(mut rows: Vec<Row>) -> Vec<f64> {
    for k in 1..rows.len() {
        let factor = rows[k].below / rows[k - 1].middle;
        rows[k].middle -= factor * rows[k - 1].above;
        rows[k].right -= factor * rows[k - 1].right;
    }
    let mut values = vec![0.0; rows.len()];
    let mut next = 0.0;
    for (value, row) in values.iter_mut().zip(&rows).rev() {
        next = (row.right - row.above * next) / row.middle;
        *value = next;
    }
    values
}

/// The vector turned by an angle in radians.
fn turned(vector: Vec2, angle: f64) -> Vec2 {
    let (sin, cos) = angle.sin_cos();
    Vec2::new(
        vector.x * cos - vector.y * sin,
        vector.x * sin + vector.y * cos,
    )
}

/// Hobby's handle length as a fraction of the chord, for the angle at its own end and at the other.
fn handle(own: f64, other: f64) -> f64 {
    let ((so, co), (st, ct)) = (own.sin_cos(), other.sin_cos());
    let root5 = 5_f64.sqrt();
    let above = 2.0 + SQRT_2 * (so - st / 16.0) * (st - so / 16.0) * (co - ct);
    let below = 3.0 * (1.0 + 0.5 * (root5 - 1.0) * co + 0.5 * (3.0 - root5) * ct);
    above / below
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{breaks, length, nearest};
    use kurbo::{ParamCurve, ParamCurveNearest};
    use proptest::prelude::*;

    /// Hobby's paper claims a quarter circle within a few parts in ten thousand.
    #[test]
    fn a_circle_through_its_quarters_is_nearly_round() {
        let knots = [
            Knot::toward(Point::new(100.0, 0.0), Vec2::new(0.0, 1.0)),
            Knot::new(Point::new(0.0, 100.0)),
            Knot::toward(Point::new(-100.0, 0.0), Vec2::new(0.0, -1.0)),
        ];
        let path = spline(&knots);
        for segment in path.segments() {
            for i in 0..=20 {
                let r = segment.eval(f64::from(i) / 20.0).to_vec2().hypot();
                assert!((r - 100.0).abs() < 0.06, "radius {r}");
            }
        }
        assert!((length(&path) - 100.0 * PI).abs() < 0.05);
    }

    #[test]
    fn free_ends_run_out_as_an_arc() {
        let on_circle = |degrees: f64| Point::ZERO + Vec2::from_angle(degrees.to_radians()) * 100.0;
        let path = spline(&[10.0, 40.0, 65.0, 95.0].map(|d| Knot::new(on_circle(d))));
        for segment in path.segments() {
            assert!((segment.eval(0.5).to_vec2().hypot() - 100.0).abs() < 0.05);
        }
    }

    #[test]
    fn points_in_a_row_give_lines() {
        let path = spline(&[0.0, 3.0, 10.0].map(|x| Knot::new(Point::new(x, 2.0 * x))));
        assert!(
            path.elements()[1..]
                .iter()
                .all(|e| matches!(e, kurbo::PathEl::LineTo(_)))
        );
    }

    #[test]
    fn more_tension_is_a_shorter_way() {
        let arch = |tension| {
            let ends = [
                Knot::toward(Point::ZERO, Vec2::new(0.0, 1.0)).with_tension(tension),
                Knot::toward(Point::new(100.0, 0.0), Vec2::new(0.0, -1.0)).with_tension(tension),
            ];
            length(&spline(&ends))
        };
        assert!(arch(1.5) < arch(1.0) && arch(1.0) < arch(0.8));
    }

    #[test]
    fn repeated_and_missing_points_are_no_fault() {
        assert!(spline(&[]).elements().is_empty());
        let p = Point::new(1.0, 1.0);
        assert_eq!(spline(&[Knot::new(p)]).segments().count(), 0);
        let path = spline(&[Knot::new(p), Knot::new(p), Knot::new(Point::new(5.0, 1.0))]);
        assert_eq!(path, BezPath::from_svg("M1 1 L5 1").unwrap());
    }

    proptest! {
        #[test]
        fn it_passes_through_its_knots_without_a_kink(
            steps in prop::collection::vec((5.0..80.0_f64, -1.2..1.2_f64), 2..9),
            given in prop::option::of(-1.0..1.0_f64),
        ) {
            let mut at = Point::ZERO;
            let mut angle = 0.0;
            let mut knots = vec![Knot::new(at)];
            for (step, turn) in &steps {
                angle += turn;
                at += Vec2::from_angle(angle) * *step;
                knots.push(Knot::new(at));
            }
            if let Some(a) = given {
                knots[0].direction = Some(Vec2::from_angle(a));
                let middle = knots.len() / 2;
                knots[middle].direction = Some(Vec2::from_angle(angle - a));
            }
            let path = spline(&knots);
            for knot in &knots {
                prop_assert!(nearest(&path, knot.at).distance < 1e-6);
            }
            for segment in path.segments() {
                prop_assert!(knots.iter().any(|k| k.at.distance(segment.start()) < 1e-9));
            }
            for kink in breaks(&path) {
                prop_assert!(kink.degrees.abs() < 1e-4, "{kink:?}");
            }
            if let Some(a) = given {
                let first = path.segments().next().unwrap();
                let line = kurbo::Line::new(Point::ZERO, Point::ZERO + Vec2::from_angle(a));
                prop_assert!(line.nearest(first.eval(1e-4), 1e-12).distance_sq < 1e-6);
            }
        }
    }
}
