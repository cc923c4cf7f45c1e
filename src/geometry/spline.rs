//! Draws a fair curve through given points.
//!
//! The method is John D. Hobby's, "Smooth, easy to compute interpolating splines", Discrete & Computational
//! Geometry 1 (1986). It chooses the direction at every point so that a first-order estimate of the
//! curvature (the mock curvature) is the same on both sides of it; the directions solve a tridiagonal
//! system of equations. The length of each handle follows from the angles that its span makes with the
//! chord at both ends.

use kurbo::{BezPath, Point, Vec2};
use std::f64::consts::{PI, SQRT_2};

/// A point that a spline passes through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knot {
    /// The point.
    pub at: Point,
    /// The direction of the curve at the point, of any length but zero; `None` lets the spline choose it.
    pub direction: Option<Vec2>,
    /// How closely the curve follows its chords on both sides of the point; the default is 1, and more
    /// tension draws the curve towards them. A value below [`LEAST_TENSION`] is raised to it.
    pub tension: f64,
}

/// The least tension for which Hobby's equations have one solution and the handles do not loop.
pub const LEAST_TENSION: f64 = 0.75;

impl Knot {
    /// Makes a knot whose direction the spline chooses.
    pub fn new(at: Point) -> Self {
        Self {
            at,
            direction: None,
            tension: 1.0,
        }
    }

    /// Makes a knot with a given direction.
    pub fn toward(at: Point, direction: Vec2) -> Self {
        Self {
            direction: Some(direction),
            ..Self::new(at)
        }
    }

    /// Returns the knot with another tension.
    #[must_use]
    pub fn with_tension(self, tension: f64) -> Self {
        Self { tension, ..self }
    }
}

/// Draws the open spline through `knots`, in order.
///
/// An end without a direction is curved like an arc of a circle (a curl of 1 in Hobby's terms). An inner
/// knot with a direction divides the spline into two independent ones: they share the tangent there, but
/// their curvatures may differ. A straight span becomes a line. A knot that coincides with the one before
/// is skipped, though its direction is kept; fewer than two distinct points give a path without segments.
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

/// Returns the direction of a knot as an angle; `None` for one that is missing, zero or not finite.
fn heading(knot: &Knot) -> Option<f64> {
    knot.direction
        .filter(|d| d.hypot2() > 0.0 && d.is_finite())
        .map(|d| d.atan2())
}

/// Brings an angle into the range from -π to π.
fn wrapped(angle: f64) -> f64 {
    angle - 2.0 * PI * (angle / (2.0 * PI)).round()
}

/// Adds a stretch of spans to `path`; only its first and last knot may have a direction.
fn add_stretch(path: &mut BezPath, knots: &[Knot]) {
    let (Some(first), Some(last)) = (knots.first(), knots.last()) else {
        return;
    };
    if knots.len() == 2 && heading(first).is_none() && heading(last).is_none() {
        // Every arc satisfies the equations of such a span; the straight line is the fairest.
        path.line_to(last.at);
        return;
    }
    let chords: Vec<Vec2> = knots.windows(2).map(|k| k[1].at - k[0].at).collect();
    let tension: Vec<f64> = knots.iter().map(|k| k.tension.max(LEAST_TENSION)).collect();
    // A turn is the angle from one chord to the next at the knot between them; it is zero at the ends.
    let mut turn = vec![0.0; knots.len()];
    for (k, pair) in chords.windows(2).enumerate() {
        turn[k + 1] = wrapped(pair[1].atan2() - pair[0].atan2());
    }
    let theta = solved(equations((first, last), &chords, &turn, &tension));
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

/// Sets up Hobby's equations for the angles theta from each chord to the curve that leaves its knot; at
/// the last knot theta is the angle from the chord that arrives.
fn equations(ends: (&Knot, &Knot), chords: &[Vec2], turn: &[f64], tension: &[f64]) -> Vec<Row> {
    let n = chords.len();
    let mut rows: Vec<Row> = Vec::with_capacity(n + 1);
    rows.push(match heading(ends.0) {
        Some(angle) => Row::fixed(wrapped(angle - chords[0].atan2())),
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
        // Hobby weighs each side by the square of its tension at the knot; ours are equal and cancel.
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
    rows.push(match heading(ends.1) {
        Some(angle) => Row::fixed(wrapped(angle - chords[n - 1].atan2())),
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
    rows
}

/// Returns the coefficients of the equation at an end that is curved like a circle: that of its own angle
/// and that of its neighbour's.
fn curl(own_tension: f64, next_tension: f64) -> (f64, f64) {
    let (alpha, beta) = (1.0 / own_tension, 1.0 / next_tension);
    let ratio = (alpha / beta) * (alpha / beta);
    (ratio * alpha + 3.0 - beta, ratio * (3.0 - alpha) + beta)
}

/// A row of a tridiagonal system: below × x[k-1] + middle × x[k] + above × x[k+1] = right.
struct Row {
    below: f64,
    middle: f64,
    above: f64,
    right: f64,
}

impl Row {
    /// Makes the row of an angle that is given.
    fn fixed(value: f64) -> Self {
        Self {
            below: 0.0,
            middle: 1.0,
            above: 0.0,
            right: value,
        }
    }
}

/// Solves the system by elimination, without pivoting, as its rows are diagonally dominant.
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

/// Rotates a vector by an angle in radians.
fn turned(vector: Vec2, angle: f64) -> Vec2 {
    Vec2::from_angle(angle).rotate_scale(vector)
}

/// Returns the length of a handle, in parts of the chord, from the curve's angles to the chord at the
/// handle's own end and at the other end: the velocity function rho of Hobby's paper.
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

    /// The formula of the paper worked out by hand for angles of 60° and 0°, and for a quarter circle, whose
    /// handles are 4/3 tan(22.5°) of its radius.
    #[test]
    fn handles_are_as_long_as_the_paper_says() {
        assert!((handle(PI / 3.0, 0.0) - 0.400_782).abs() < 1e-6);
        assert!((handle(0.0, PI / 3.0) - 0.362_417).abs() < 1e-6);
        let circle = 4.0 / 3.0 * (PI / 8.0).tan() / SQRT_2;
        assert!((handle(PI / 4.0, PI / 4.0) - circle).abs() < 1e-3);
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
