//! Offsets a path by a width that may change along it.

use super::crossing::self_crossings;
use super::spread::Spread;
use super::walk::{
    ACCURACY, joined, length, nearest, point_at, segment_slope, segment_tangent, sub_path,
};
use kurbo::{
    BezPath, CurveFitSample, ParamCurve, ParamCurveArclen, ParamCurveDeriv, ParamCurveFit, PathSeg,
    Point, Vec2, fit_to_bezpath, offset::offset_cubic,
};
use std::ops::Range;

/// How far the fitted curves may lie from the true offset, mm: a fifth of the 0.01 mm to which the
/// checks compare outlines.
const FIT: f64 = 2e-3;
/// A point of the offset is part of a fold when it is nearer to the path than its width by more than
/// this, mm: ten times [`FIT`], so that an error of the fit never counts as a fold.
const FOLDED: f64 = 0.02;

/// Returns the path that runs beside `path` at `widths`.
///
/// The widths, in mm, are spread evenly from the start of the path to its end, and the width changes
/// smoothly from each to the next: one width is constant, two change at an even rate, and an empty list
/// means no width. A positive width lies on the side of the tangent turned from x towards y, a negative
/// one on the other side. A line joins the two offsets at a corner that turns away from them.
///
/// Where the path bends more tightly than its width, the offset crosses itself; the fold beyond the
/// crossing is cut off. A fold that reaches an end of the path stays, as nothing marks where to cut it.
pub fn offset(path: &BezPath, widths: &[f64]) -> BezPath {
    if widths.iter().all(|w| *w == 0.0) {
        return path.clone();
    }
    let spread = Spread::new(widths, length(path));
    let mut parts = Vec::new();
    let mut walked = 0.0;
    for segment in path.segments() {
        let stretch = segment.arclen(ACCURACY);
        if stretch > ACCURACY {
            parts.extend(segment_offset(&segment, walked, stretch, &spread));
        }
        walked += stretch;
    }
    without_folds(path, joined(&parts, ACCURACY), &spread)
}

/// Offsets one segment, which starts at arc length `walked`; returns a path for every run of widths.
fn segment_offset(segment: &PathSeg, walked: f64, long: f64, spread: &Spread) -> Vec<BezPath> {
    let nodes = spread.nodes(walked, walked + long);
    let parameter = |node: f64| match node - walked {
        at if at <= ACCURACY => 0.0,
        at if at >= long - ACCURACY => 1.0,
        at => segment.inv_arclen(at, ACCURACY),
    };
    nodes
        .windows(2)
        .map(|run| {
            let part = segment.subsegment(parameter(run[0])..parameter(run[1]));
            let beside = Beside {
                segment: part,
                walked: run[0],
                spread,
            };
            if is_straight(&part) && spread.is_even() {
                let mut line = BezPath::new();
                line.move_to(beside.at(0.0).0);
                line.line_to(beside.at(1.0).0);
                line
            } else if let (PathSeg::Cubic(cubic), [width]) = (part, spread.widths) {
                let mut parallel = BezPath::new();
                offset_cubic(cubic, *width, FIT, &mut parallel);
                parallel
            } else {
                fit_to_bezpath(&beside, FIT)
            }
        })
        .collect()
}

/// Whether a segment is a straight line, within [`ACCURACY`].
fn is_straight(segment: &PathSeg) -> bool {
    let (from, to) = (segment.start(), segment.end());
    let off = |p: Point| ((p - from).cross(to - from) / (to - from).hypot()).abs() < ACCURACY;
    match segment {
        PathSeg::Line(_) => true,
        PathSeg::Quad(q) => off(q.p1),
        PathSeg::Cubic(c) => off(c.p1) && off(c.p2),
    }
}

/// The true offset of a segment, as a source that kurbo fits curves to.
struct Beside<'a> {
    segment: PathSeg,
    /// The arc length along the path at which the segment starts.
    walked: f64,
    spread: &'a Spread<'a>,
}

impl Beside<'_> {
    /// Returns the point of the offset at parameter `t`, the unit tangent of the segment there, the
    /// derivative of the point by `t`, and 1 - width × curvature, which is negative where the offset
    /// runs backwards.
    fn at(&self, t: f64) -> (Point, Vec2, Vec2, f64) {
        let walked = || self.walked + self.segment.subsegment(0.0..t).arclen(1e-4);
        let (width, slope) = match self.spread.widths {
            [width] => (*width, 0.0),
            _ => self.spread.at(walked()),
        };
        let tangent = segment_tangent(&self.segment, t);
        let normal = tangent.turn_90();
        let (first, second) = derivatives(&self.segment, t);
        let speed = first.hypot();
        let curvature = if speed > 1e-9 {
            first.cross(second) / speed.powi(3)
        } else {
            0.0
        };
        let onward = 1.0 - width * curvature;
        // By Frenet's formulas the normal N changes by -curvature × T along the tangent T.
        let by_t = (tangent * onward + normal * slope) * speed;
        (self.segment.eval(t) + normal * width, tangent, by_t, onward)
    }

    /// Finds the parameter between `low` and `high` at which the offset turns back, by halving the range.
    fn zero_between(&self, mut low: f64, mut high: f64) -> f64 {
        let positive = self.at(low).3 > 0.0;
        // 50 halvings exhaust the 52 bits of a parameter between 0 and 1.
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if (self.at(middle).3 > 0.0) == positive {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }
}

impl ParamCurveFit for Beside<'_> {
    fn sample_pt_tangent(&self, t: f64, sign: f64) -> CurveFitSample {
        let (p, tangent, by_t, _) = self.at(t);
        if by_t.hypot2() > 1e-12 {
            return CurveFitSample { p, tangent: by_t };
        }
        // A cusp has no derivative; a short step towards `sign` gives its direction.
        let step = 1e-4_f64.copysign(sign);
        let away = self.at((t + step).clamp(0.0, 1.0)).0 - p;
        let tangent = if away.hypot2() > 0.0 {
            away * step.signum()
        } else {
            tangent
        };
        CurveFitSample { p, tangent }
    }

    fn sample_pt_deriv(&self, t: f64) -> (Point, Vec2) {
        let (p, _, by_t, _) = self.at(t);
        (p, by_t)
    }

    fn break_cusp(&self, range: Range<f64>) -> Option<f64> {
        // A cubic turns back at most a few times; 16 samples tell those places apart.
        const STEPS: u32 = 16;
        let margin = 1e-3 * (range.end - range.start);
        let (from, to) = (range.start + margin, range.end - margin);
        let mut before = (from, self.at(from).3);
        for i in 1..=STEPS {
            let t = from + (to - from) * f64::from(i) / f64::from(STEPS);
            let onward = self.at(t).3;
            if onward * before.1 < 0.0 {
                return Some(self.zero_between(before.0, t));
            }
            before = (t, onward);
        }
        None
    }
}

/// Returns the first and second derivative of a segment by its parameter.
fn derivatives(segment: &PathSeg, t: f64) -> (Vec2, Vec2) {
    let second = match segment {
        PathSeg::Line(_) => Vec2::ZERO,
        PathSeg::Quad(quad) => quad.deriv().deriv().eval(t).to_vec2(),
        PathSeg::Cubic(cubic) => cubic.deriv().deriv().eval(t).to_vec2(),
    };
    (segment_slope(segment, t), second)
}

/// Cuts out every fold of the offset `beside`: a stretch that begins and ends where the offset crosses
/// itself, and comes nearer to the path than its width.
fn without_folds(path: &BezPath, beside: BezPath, spread: &Spread) -> BezPath {
    let loops = self_crossings(&beside);
    let mut kept = Vec::new();
    let mut from = 0.0;
    for crossing in loops {
        let folded = (1..8).any(|i| {
            let at = crossing.a + (crossing.b - crossing.a) * f64::from(i) / 8.0;
            let found = nearest(path, point_at(&beside, at));
            found.distance < spread.at(found.at).0.abs() - FOLDED
        });
        if crossing.a >= from && folded {
            kept.push(sub_path(&beside, from, crossing.a));
            from = crossing.b;
        }
    }
    if kept.is_empty() {
        return beside;
    }
    kept.push(sub_path(&beside, from, length(&beside)));
    joined(&kept, 0.01)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::walk::tests::wandering;
    use crate::geometry::{breaks, end, start, tangent_at};
    use kurbo::{Arc, Shape};
    use proptest::prelude::*;
    use std::f64::consts::PI;

    fn arc(radius: f64, sweep: f64) -> BezPath {
        Arc::new((0.0, 0.0), (radius, radius), 0.0, sweep, 0.0).to_path(1e-7)
    }

    /// The centre of an arc that turns from x towards y lies on the positive side, so its offset has the
    /// radius less the width.
    #[test]
    fn beside_an_arc_runs_an_arc_of_the_radius_less_the_width() {
        for width in [-45.0, -10.0, 0.0, 10.0, 60.0] {
            let beside = offset(&arc(100.0, 2.0), &[width]);
            assert!((length(&beside) - 2.0 * (100.0 - width)).abs() < 0.01);
            for i in 0..=40 {
                let p = point_at(&beside, length(&beside) * f64::from(i) / 40.0);
                assert!((p.to_vec2().hypot() - (100.0 - width)).abs() < 0.003);
            }
        }
    }

    #[test]
    fn a_width_that_runs_along_a_line_gives_a_line() {
        let line = BezPath::from_svg("M0 0 L200 0").unwrap();
        let widening = offset(&line, &[10.0, 30.0]);
        assert_eq!(widening, BezPath::from_svg("M0 10 L200 30").unwrap());
        let beside = offset(&line, &[10.0, 30.0, 30.0, 10.0]);
        for (x, y) in [
            (0.0, 10.0),
            (66.6667, 30.0),
            (100.0, 30.0),
            (133.3333, 30.0),
            (200.0, 10.0),
        ] {
            assert!(nearest(&beside, Point::new(x, y)).distance < 0.003);
        }
        assert!(breaks(&beside).iter().all(|b| b.degrees < 0.05));
        assert_eq!(offset(&line, &[]), line);
        assert!(offset(&BezPath::new(), &[10.0]).elements().is_empty());
    }

    /// The vertex of y = x²/100 has a radius of 50, so that its offset by 50 stands still there.
    #[test]
    fn a_fit_is_told_the_direction_also_where_the_offset_stands_still() {
        let parabola = BezPath::from_svg("M0 0 Q50 0 100 100").unwrap();
        let segment = parabola.segments().next().unwrap();
        let direction = |width: f64, t: f64| {
            let widths = [width];
            let spread = Spread::new(&widths, 1.0);
            let beside = Beside {
                segment,
                walked: 0.0,
                spread: &spread,
            };
            beside.sample_pt_tangent(t, 1.0).tangent.normalize()
        };
        assert!((direction(50.0, 0.0) - Vec2::new(1.0, 0.0)).hypot() < 1e-3);
        for t in [0.2, 0.5, 0.9] {
            let exact = segment_tangent(&segment, t);
            assert!((direction(20.0, t) - exact).hypot() < 1e-12);
        }
    }

    /// The curvature of y = x²/100 is 0.02 (1 + 4t²)^-1.5, which is 1/60 at the cusp of its offset by 60.
    #[test]
    fn the_offset_is_broken_where_it_turns_back() {
        let parabola = BezPath::from_svg("M0 0 Q50 0 100 100").unwrap();
        let spread = Spread::new(&[60.0], 1.0);
        let beside = Beside {
            segment: parabola.segments().next().unwrap(),
            walked: 0.0,
            spread: &spread,
        };
        let cusp = 0.5 * (1.2_f64.powf(2.0 / 3.0) - 1.0).sqrt();
        assert!((beside.break_cusp(0.0..1.0).unwrap() - cusp).abs() < 1e-9);
        assert_eq!(beside.break_cusp(0.5..1.0), None);
    }

    /// The offsets of a hook neither cross themselves nor kink, and no point of them is nearer than the
    /// width, even where the hook bends more tightly than that.
    #[test]
    fn a_fold_tighter_than_the_width_is_cut_off() {
        let mut hook = BezPath::from_svg("M50 -100 L50 0").unwrap();
        hook.extend(
            &arc(50.0, PI)
                .segments()
                .map(|s| s.as_path_el())
                .collect::<BezPath>(),
        );
        hook.line_to((-50.0, -100.0));
        for width in [20.0, 45.0] {
            let beside = offset(&hook, &[width]);
            assert!(self_crossings(&beside).is_empty());
            assert!(breaks(&beside).iter().all(|b| b.degrees < 0.1));
        }
        let narrow =
            BezPath::from_svg("M60 -100 C60 -40 20 0 0 0 C-20 0 -60 -40 -60 -100").unwrap();
        let beside = offset(&narrow, &[58.0]);
        assert!(self_crossings(&beside).is_empty());
        for i in 0..=100 {
            let p = point_at(&beside, length(&beside) * f64::from(i) / 100.0);
            assert!(nearest(&narrow, p).distance > 58.0 - FOLDED);
        }
        // The cut leaves a kink, where the two kept stretches meet.
        assert!(breaks(&beside).iter().any(|b| b.degrees > 5.0));
    }

    proptest! {
        #[test]
        fn every_place_lies_straight_across_at_its_width(
            path in wandering(), from in 2.0..12.0_f64, middle in prop::option::of(2.0..12.0_f64),
            to in 2.0..12.0_f64, left in any::<bool>(),
        ) {
            let sign = if left { 1.0 } else { -1.0 };
            let mut widths = vec![sign * from];
            widths.extend(middle.map(|m| sign * m));
            widths.push(sign * to);
            let beside = offset(&path, &widths);
            let spread = Spread::new(&widths, length(&path));
            for i in 0..=60 {
                let at = spread.long * f64::from(i) / 60.0;
                let across = tangent_at(&path, at).turn_90() * spread.at(at).0;
                let p = point_at(&path, at) + across;
                prop_assert!(nearest(&beside, p).distance < 0.01, "off at {}", at);
            }
            for i in 1..60 {
                let p = point_at(&beside, length(&beside) * f64::from(i) / 60.0);
                let found = nearest(&path, p);
                let (width, slope) = spread.at(found.at);
                // Square to an offset whose width changes by `slope` a mm, the distance is the width times
                // the cosine of that slope; this is exact only where neither path bends.
                let cosine = 1.0 / (1.0 + slope * slope).sqrt();
                let bend = if slope == 0.0 { 0.0 } else { 0.02 * width.abs() };
                prop_assert!(found.distance > width.abs() * cosine - 0.01 - bend);
                prop_assert!(found.distance < width.abs() + 0.01 + bend);
            }
            for (at, found) in [(0.0, start(&beside)), (spread.long, end(&beside))] {
                let across = tangent_at(&path, at).turn_90() * spread.at(at).0;
                prop_assert!((point_at(&path, at) + across).distance(found.unwrap()) < 1e-6);
            }
        }
    }
}
