//! The curve that runs beside another at a distance that may change along it.

use super::crossing::self_crossings;
use super::walk::{ACCURACY, joined, length, nearest, point_at, segment_tangent, sub_path};
use kurbo::{
    BezPath, CurveFitSample, ParamCurve, ParamCurveArclen, ParamCurveDeriv, ParamCurveFit, PathSeg,
    Point, Vec2, fit_to_bezpath, offset::offset_cubic,
};
use std::ops::Range;

/// How near the fitted curves run to the true offset, mm.
const FIT: f64 = 2e-3;
/// A place on the offset nearer to the path than its width by more than this, mm, is folded over.
const FOLDED: f64 = 0.02;

/// The path at `widths` to the side of `path`.
///
/// The widths, in mm, are spread evenly along the path, from its start to its end, and the width runs
/// smoothly from each to the next: one is a constant width, two run straight, none is no width at all. A positive width lies on the side of
/// the tangent turned from x towards y, a negative one on the other. At a joint that breaks away from
/// that side the two offsets are joined by a line. Where the path bends more tightly than its width the
/// offset would fold over itself: such folds are cut off where it crosses itself, unless the fold
/// reaches an end of the path, where nothing marks how far it should be cut.
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

/// The width at an arc length of a path of length `long`, where `widths` are spread along it as
/// [`offset`] spreads them.
pub fn width_at(widths: &[f64], long: f64, at: f64) -> f64 {
    Spread::new(widths, long).at(at).0
}

/// Widths spread evenly along a length.
///
/// Between three or more they run as a monotone cubic: F. N. Fritsch and R. E. Carlson, "Monotone
/// Piecewise Cubic Interpolation", SIAM Journal on Numerical Analysis 17 (1980), with the harmonic mean
/// of the neighbouring slopes: smooth, and never wider or narrower than the two widths it runs between.
pub(super) struct Spread<'a> {
    widths: &'a [f64],
    long: f64,
    /// How fast the width changes at each of the widths, mm a mm.
    slopes: Vec<f64>,
}

impl<'a> Spread<'a> {
    pub(super) fn new(widths: &'a [f64], long: f64) -> Self {
        let step = long / widths.len().saturating_sub(1).max(1) as f64;
        let runs: Vec<f64> = widths
            .windows(2)
            .map(|pair| (pair[1] - pair[0]) / step)
            .collect();
        let mut slopes = Vec::with_capacity(widths.len());
        slopes.extend(end_slope(&runs, 0, 1));
        slopes.extend(runs.windows(2).map(|pair| {
            let (before, after) = (pair[0], pair[1]);
            if before * after > 0.0 {
                2.0 * before * after / (before + after)
            } else {
                0.0
            }
        }));
        slopes.extend(end_slope(
            &runs,
            runs.len().wrapping_sub(1),
            runs.len().wrapping_sub(2),
        ));
        Self {
            widths,
            long,
            slopes,
        }
    }

    /// The width at an arc length, and how fast it changes there (mm a mm).
    pub(super) fn at(&self, along: f64) -> (f64, f64) {
        let runs = self.widths.len().saturating_sub(1);
        if runs == 0 {
            return (self.widths.first().copied().unwrap_or(0.0), 0.0);
        }
        let step = self.long / runs as f64;
        let index = ((along / step) as usize).min(runs - 1);
        let pair = |list: &[f64]| {
            (
                list.get(index).copied().unwrap_or(0.0),
                list.get(index + 1).copied().unwrap_or(0.0),
            )
        };
        let ((from, to), (m0, m1)) = (pair(self.widths), pair(&self.slopes));
        // Hermite's cubic between two values and two slopes.
        let t = (along / step - index as f64).clamp(0.0, 1.0);
        let (rise, m0, m1) = (to - from, m0 * step, m1 * step);
        let (b, c) = (3.0 * rise - 2.0 * m0 - m1, m0 + m1 - 2.0 * rise);
        let width = from + t * (m0 + t * (b + t * c));
        (width, (m0 + t * (2.0 * b + t * 3.0 * c)) / step)
    }

    /// Whether the width changes at one rate all along.
    fn is_even(&self) -> bool {
        self.widths.len() < 3 || self.widths.windows(2).all(|pair| pair[0] == pair[1])
    }

    /// Where along a stretch one run of widths gives way to the next, the ends of the stretch included.
    pub(super) fn nodes(&self, from: f64, to: f64) -> Vec<f64> {
        let mut nodes = vec![from];
        if !self.is_even() {
            let runs = self.widths.len() - 1;
            let inner = (1..runs).map(|i| self.long * i as f64 / runs as f64);
            nodes.extend(inner.filter(|node| *node > from + ACCURACY && *node < to - ACCURACY));
        }
        nodes.push(to);
        nodes
    }
}

/// The slope at an end, from that of its own run and of the next: a parabola's through the three widths,
/// held to what keeps the run monotone.
fn end_slope(runs: &[f64], own: usize, next: usize) -> Option<f64> {
    let own = *runs.get(own)?;
    let Some(next) = runs.get(next) else {
        return Some(own);
    };
    let slope = 1.5 * own - 0.5 * next;
    Some(if slope * own <= 0.0 {
        0.0
    } else if own * next < 0.0 && slope.abs() > 3.0 * own.abs() {
        3.0 * own
    } else {
        slope
    })
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
struct Beside<'a> {
    segment: PathSeg,
    /// The arc length along the path at which the segment starts.
    walked: f64,
    spread: &'a Spread<'a>,
}

impl Beside<'_> {
    /// The point beside parameter `t`, the unit tangent of the segment, the derivative of the point by
    /// `t`, and 1 - width × curvature, which is negative where the offset runs backwards.
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
        // The normal turns against the tangent: N' = -curvature T.
        let by_t = (tangent * onward + normal * slope) * speed;
        (self.segment.eval(t) + normal * width, tangent, by_t, onward)
    }
}

impl ParamCurveFit for Beside<'_> {
    fn sample_pt_tangent(&self, t: f64, sign: f64) -> CurveFitSample {
        let (p, tangent, by_t, _) = self.at(t);
        if by_t.hypot2() > 1e-12 {
            return CurveFitSample { p, tangent: by_t };
        }
        // At a cusp the direction is that of a step to the side asked for.
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

impl Beside<'_> {
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
            path in wandering(), from in 2.0..12.0_f64, middle in prop::option::of(2.0..12.0_f64),
            to in 2.0..12.0_f64, left in any::<bool>(),
        ) {
            let side = if left { 1.0 } else { -1.0 };
            let mut widths = vec![side * from];
            widths.extend(middle.map(|m| side * m));
            widths.push(side * to);
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
                // A width that changes by `slope` for every mm is, square to the offset, less by the
                // cosine of that; exactly so only where neither bends.
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
