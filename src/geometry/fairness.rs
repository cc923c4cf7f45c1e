//! Measures whether a curve is fair: its kinks where segments join, and where it bends the other way.

use super::walk::{ACCURACY, angle_between, segment_tangent};
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, PathSeg, Point};

/// A joint of two segments, and the angle between their directions there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Break {
    /// Arc length of the joint from the start of the path, mm.
    pub at: f64,
    /// The joint.
    pub point: Point,
    /// The angle between the two tangents, degrees; never negative.
    pub degrees: f64,
}

/// Returns every inner joint of a path with its angle, which is zero where the path is smooth.
pub fn breaks(path: &BezPath) -> Vec<Break> {
    let segments: Vec<_> = path
        .segments()
        .filter(|s| s.arclen(ACCURACY) > ACCURACY)
        .collect();
    let mut walked = 0.0;
    let mut found = Vec::new();
    for pair in segments.windows(2) {
        walked += pair[0].arclen(ACCURACY);
        let arriving = segment_tangent(&pair[0], 1.0);
        let leaving = segment_tangent(&pair[1], 0.0);
        let degrees = angle_between(arriving, leaving).to_degrees().abs();
        found.push(Break {
            at: walked,
            point: pair[0].end(),
            degrees,
        });
    }
    found
}

/// Number of steps along each curve at which its direction is read: a cubic bends the other way at most
/// twice, so that 48 steps find each place to about a fiftieth of the curve.
const READINGS: u32 = 48;

/// Returns the arc lengths at which a path begins to bend the other way.
///
/// A bend counts only when the direction turns by more than `noise` degrees before it turns back; rounding
/// and waves too small to see do not.
pub fn turns(path: &BezPath, noise: f64) -> Vec<f64> {
    let mut found = Vec::new();
    let mut bend: Option<Bend> = None;
    let mut walked = 0.0;
    let mut direction = 0.0;
    let mut before = None;
    for segment in path.segments() {
        let long = segment.arclen(ACCURACY);
        if long <= ACCURACY {
            continue;
        }
        let readings = match segment {
            PathSeg::Line(_) => 1,
            _ => READINGS,
        };
        for i in 0..=readings {
            let t = f64::from(i) / f64::from(readings);
            let tangent = segment_tangent(&segment, t);
            if let Some(last) = before.replace(tangent) {
                direction += angle_between(tangent, last).to_degrees();
            }
            let reading = Reading { walked, segment, t };
            let bend = bend.get_or_insert_with(|| Bend::new(reading, direction, 0.0));
            found.extend(bend.read(reading, direction, noise).map(|turn| turn.at()));
        }
        walked += long;
    }
    found
}

/// A point of a path at which its direction is read. Few of them need an arc length, which is slow to
/// measure, so it is measured only on demand.
#[derive(Clone, Copy)]
struct Reading {
    /// The arc length at which the segment starts, mm.
    walked: f64,
    segment: PathSeg,
    /// The parameter of the segment.
    t: f64,
}

impl Reading {
    /// Returns the arc length from the start of the path, mm.
    fn at(&self) -> f64 {
        self.walked + self.segment.subsegment(0.0..self.t).arclen(ACCURACY)
    }
}

/// The bend that a path is making: the extreme directions, degrees, since the path last turned.
struct Bend {
    /// 1 or -1 for the way the path bends; 0 until it has bent by more than the noise.
    sign: f64,
    low: (Reading, f64),
    high: (Reading, f64),
}

impl Bend {
    fn new(reading: Reading, direction: f64, sign: f64) -> Self {
        let here = (reading, direction);
        Self {
            sign,
            low: here,
            high: here,
        }
    }

    /// Takes one reading; returns where the path turned, if this reading shows that it has turned back.
    fn read(&mut self, reading: Reading, direction: f64, noise: f64) -> Option<Reading> {
        if direction < self.low.1 {
            self.low = (reading, direction);
        }
        if direction > self.high.1 {
            self.high = (reading, direction);
        }
        let (back, turn, sign) = if self.sign > 0.0 {
            (self.high.1 - direction, self.high.0, -1.0)
        } else if self.sign < 0.0 {
            (direction - self.low.1, self.low.0, 1.0)
        } else {
            if direction - self.low.1 > noise {
                self.sign = 1.0;
            } else if self.high.1 - direction > noise {
                self.sign = -1.0;
            }
            return None;
        };
        if back <= noise {
            return None;
        }
        *self = Self::new(reading, direction, sign);
        Some(turn)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Knot, length, spline};
    use kurbo::{Circle, Shape, Vec2};

    #[test]
    fn a_corner_is_a_break_and_a_circle_has_none() {
        let corner = BezPath::from_svg("M0 0 L10 0 L20 10").unwrap();
        let found = breaks(&corner);
        assert_eq!(found.len(), 1);
        assert!((found[0].degrees - 45.0).abs() < 1e-9 && (found[0].at - 10.0).abs() < 1e-9);
        let circle = Circle::new((0.0, 0.0), 30.0).to_path(1e-6);
        assert!(breaks(&circle).iter().all(|b| b.degrees < 1e-3));
        assert!(turns(&circle, 0.5).is_empty());
    }

    /// A sine wave of `half_waves` half waves, each 78.5 mm long and `height` mm high.
    fn wave(half_waves: u32, height: f64) -> BezPath {
        let knots: Vec<Knot> = (0..=half_waves * 4)
            .map(|i| {
                let angle = f64::from(i) * std::f64::consts::FRAC_PI_4;
                Knot::new(Point::new(25.0 * angle, height * angle.sin()))
            })
            .collect();
        spline(&knots)
    }

    #[test]
    fn a_wave_turns_once_a_crossing_of_its_axis() {
        for half_waves in 1..6 {
            let found = turns(&wave(half_waves, 20.0), 0.5);
            assert_eq!(found.len(), half_waves as usize - 1, "{found:?}");
        }
        // A ripple of 0.01 mm is below a noise of 0.5° and above one of 0.001°.
        assert!(turns(&wave(5, 0.01), 0.5).is_empty());
        assert_eq!(turns(&wave(5, 0.01), 0.001).len(), 4);
    }

    /// A sine wave bends the other way at the middle of its length, which lies segments into it.
    #[test]
    fn a_turn_is_measured_from_the_start_of_the_path() {
        let path = wave(2, 20.0);
        let found = turns(&path, 0.5);
        assert_eq!(found.len(), 1);
        assert!((found[0] - length(&path) / 2.0).abs() < 2.0, "{found:?}");
    }

    #[test]
    fn the_turn_lies_where_the_bend_changes() {
        let ends = [
            Knot::toward(Point::ZERO, Vec2::new(1.0, 1.0)),
            Knot::toward(Point::new(200.0, 0.0), Vec2::new(1.0, 1.0)),
        ];
        let found = turns(&spline(&ends), 0.5);
        assert_eq!(found.len(), 1);
        let path = spline(&ends);
        assert!(crate::geometry::point_at(&path, found[0]).distance(Point::new(100.0, 0.0)) < 5.0);
    }
}
