//! The curve that runs beside another at a distance that may change along it.

use super::crossing::self_crossings;
use super::walk::{ACCURACY, joined, length, nearest, point_at, segment_tangent, sub_path};
use kurbo::{
    BezPath, CurveFitSample, ParamCurve, ParamCurveArclen, ParamCurveDeriv, ParamCurveFit, PathSeg,
    Point, Vec2, fit_to_bezpath,
};
use std::ops::Range;

/// How near the fitted curves run to the true offset, mm.
const FIT: f64 = 2e-3;
/// A place on the offset nearer to the path than its width by more than this, mm, is folded over.
const FOLDED: f64 = 0.02;

/// The path at `widths` to the side of `path`.
///
/// The widths, in mm, are spread evenly along the path, from its start to its end, with straight runs
/// between them: one is a constant width, none is no width at all. A positive width lies on the side of
/// the tangent turned from x towards y, a negative one on the other. At a joint that breaks away from
/// that side the two offsets are joined by a line. Where the path bends more tightly than its width the
/// offset would fold over itself: such folds are cut off where it crosses itself, unless the fold
/// reaches an end of the path, where nothing marks how far it should be cut.
pub fn offset(path: &BezPath, widths: &[f64]) -> BezPath {
    if widths.iter().all(|w| *w == 0.0) {
        return path.clone();
    }
    let long = length(path);
    let spread = Spread { widths, long };
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

/// Widths spread evenly along a length.
pub(crate) struct Spread<'a> {
    pub(crate) widths: &'a [f64],
    pub(crate) long: f64,
}

impl Spread<'_> {
    /// The width at an arc length, and how fast it changes there (mm a mm).
    pub(crate) fn at(&self, along: f64) -> (f64, f64) {
        match self.widths {
            [] => (0.0, 0.0),
            [only] => (*only, 0.0),
            [.., last] => {
                let step = self.long / (self.widths.len() - 1) as f64;
                let index = ((along / step) as usize).min(self.widths.len() - 2);
                let from = self.widths.get(index).unwrap_or(last);
                let to = self.widths.get(index + 1).unwrap_or(last);
                let share = (along / step - index as f64).clamp(0.0, 1.0);
                (from + (to - from) * share, (to - from) / step)
            }
        }
    }

    /// Where along a stretch the run of widths changes, the ends of the stretch included.
    pub(crate) fn nodes(&self, from: f64, to: f64) -> Vec<f64> {
        let mut nodes = vec![from];
        if self.widths.len() > 2 {
            let runs = self.widths.len() - 1;
            let inner = (1..runs).map(|i| self.long * i as f64 / runs as f64);
            nodes.extend(inner.filter(|node| *node > from + ACCURACY && *node < to - ACCURACY));
        }
        nodes.push(to);
        nodes
    }
}

/// The offset of one segment that starts at `walked`, a path for every run of widths.
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
            // The middle of the run tells which widths it lies between.
            let slope = spread.at(0.5 * (run[0] + run[1])).1;
            let width = spread.at(run[0]).0;
            let beside = Beside {
                segment: part,
                width,
                slope,
            };
            if is_straight(&part) {
                let mut line = BezPath::new();
                line.move_to(beside.at(0.0).0);
                line.line_to(beside.at(1.0).0);
                line
            } else {
                fit_to_bezpath(&beside, FIT)
            }
        })
        .collect()
}

fn is_straight(segment: &PathSeg) -> bool {
    let (from, to) = (segment.start(), segment.end());
    let off = |p: Point| ((p - from).cross(to - from) / (to - from).hypot()).abs() < ACCURACY;
    match segment {
        PathSeg::Line(_) => true,
        PathSeg::Quad(q) => off(q.p1),
        PathSeg::Cubic(c) => off(c.p1) && off(c.p2),
    }
}

/// What runs beside a segment, as a source to fit curves to.
struct Beside {
    segment: PathSeg,
    /// The width at the segment's start.
    width: f64,
    /// What it gains for every mm along the segment.
    slope: f64,
}

impl Beside {
    /// The point beside parameter `t`, the unit tangent of the segment, the derivative of the point by
    /// `t`, and 1 - width × curvature, which is negative where the offset runs backwards.
    fn at(&self, t: f64) -> (Point, Vec2, Vec2, f64) {
        let walked = self.segment.subsegment(0.0..t).arclen(1e-4);
        let width = self.width + self.slope * walked;
        let tangent = segment_tangent(&self.segment, t);
        let normal = turned(tangent);
        let (first, second) = derivatives(&self.segment, t);
        let speed = first.hypot();
        let curvature = if speed > 1e-9 {
            first.cross(second) / speed.powi(3)
        } else {
            0.0
        };
        let onward = 1.0 - width * curvature;
        // The normal turns against the tangent: N' = -curvature T.
        let by_t = (tangent * onward + normal * self.slope) * speed;
        (self.segment.eval(t) + normal * width, tangent, by_t, onward)
    }
}

impl ParamCurveFit for Beside {
    fn sample_pt_tangent(&self, t: f64, sign: f64) -> CurveFitSample {
        let (p, tangent, by_t, _) = self.at(t);
        if by_t.hypot2() > 1e-12 {
            return CurveFitSample { p, tangent: by_t };
        }
        // At a cusp the direction is that of a step to the side asked for.
        let step = 1e-4f64.copysign(sign);
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

impl Beside {
    /// Where between two parameters the offset turns back, by halving.
    fn zero_between(&self, mut low: f64, mut high: f64) -> f64 {
        let positive = self.at(low).3 > 0.0;
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

/// The vector turned by a right angle from x towards y.
pub(crate) fn turned(vector: Vec2) -> Vec2 {
    Vec2::new(-vector.y, vector.x)
}

fn derivatives(segment: &PathSeg, t: f64) -> (Vec2, Vec2) {
    match segment {
        PathSeg::Line(l) => (l.p1 - l.p0, Vec2::ZERO),
        PathSeg::Quad(q) => {
            let first = q.deriv();
            (first.eval(t).to_vec2(), first.deriv().eval(t).to_vec2())
        }
        PathSeg::Cubic(c) => {
            let first = c.deriv();
            (first.eval(t).to_vec2(), first.deriv().eval(t).to_vec2())
        }
    }
}

/// The offset with every stretch cut out that runs nearer to the path than its width, between two
/// passages through the same point.
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

    /// An arc that turns from x towards y has its centre on that side: r - w, and its length in ratio.
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
        let beside = offset(&line, &[10.0, 30.0]);
        assert_eq!(beside, BezPath::from_svg("M0 10 L200 30").unwrap());
        let beside = offset(&line, &[10.0, 30.0, 10.0]);
        assert!(nearest(&beside, Point::new(100.0, 30.0)).distance < 1e-9);
        assert_eq!(offset(&line, &[]), line);
        assert!(offset(&BezPath::new(), &[10.0]).elements().is_empty());
    }

    /// A half circle of 30 with straight legs: beside it at 40 nothing of the half circle is left, and
    /// the legs' offsets cross below where the hook would be.
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
        // Without the cut it would run back on itself.
        assert!(breaks(&beside).iter().any(|b| b.degrees > 5.0));
    }

    proptest! {
        #[test]
        fn every_place_lies_straight_across_at_its_width(
            path in wandering(), from in 2.0..12.0f64, to in 2.0..12.0f64, left in any::<bool>(),
        ) {
            let side = if left { 1.0 } else { -1.0 };
            let widths = [side * from, side * to];
            let beside = offset(&path, &widths);
            let spread = Spread { widths: &widths, long: length(&path) };
            for i in 0..=60 {
                let at = spread.long * f64::from(i) / 60.0;
                let across = turned(tangent_at(&path, at)) * spread.at(at).0;
                let p = point_at(&path, at) + across;
                prop_assert!(nearest(&beside, p).distance < 0.01, "off at {}", at);
            }
            // A width that changes by `slope` for every mm is, square to the offset, less by its cosine.
            let cosine = 1.0 / (1.0 + spread.at(0.0).1.powi(2)).sqrt();
            for i in 1..60 {
                let p = point_at(&beside, length(&beside) * f64::from(i) / 60.0);
                let found = nearest(&path, p);
                let width = spread.at(found.at).0.abs();
                prop_assert!(found.distance > width * cosine - 0.01);
                prop_assert!(found.distance < width + 0.01);
            }
            for (at, found) in [(0.0, start(&beside)), (spread.long, end(&beside))] {
                let across = turned(tangent_at(&path, at)) * spread.at(at).0;
                prop_assert!((point_at(&path, at) + across).distance(found.unwrap()) < 1e-6);
            }
        }
    }
}
