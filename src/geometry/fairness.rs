//! Whether a curve is fair: kinks where segments join, and changes of the way it bends.

use super::walk::{ACCURACY, segment_tangent};
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, PathSeg, Point};

/// How far the direction of a path breaks where two of its segments join.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Break {
    /// Arc length of the joint from the start.
    pub at: f64,
    /// The joint.
    pub point: Point,
    /// The break in degrees, never negative.
    pub degrees: f64,
}

/// The break at every inner joint of a path, those of no degrees included.
pub fn breaks(path: &BezPath) -> Vec<Break> {
    let segments: Vec<_> = path
        .segments()
        .filter(|s| s.arclen(ACCURACY) > ACCURACY)
        .collect();
    let mut walked = 0.0;
    let mut found = Vec::new();
    for pair in segments.windows(2) {
        walked += pair[0].arclen(ACCURACY);
        let (arriving, leaving) = (
            segment_tangent(&pair[0], 1.0),
            segment_tangent(&pair[1], 0.0),
        );
        let degrees = arriving
            .cross(leaving)
            .atan2(arriving.dot(leaving))
            .to_degrees()
            .abs();
        found.push(Break {
            at: walked,
            point: pair[0].end(),
            degrees,
        });
    }
    found
}

/// Places along each segment at which its direction is read.
const READINGS: u32 = 48;

/// The arc lengths at which a path begins to bend the other way.
///
/// A bend counts only when the direction turns by more than `noise` degrees before it turns back, so
/// that rounding and hair's-breadth waves do not.
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
                direction += tangent.cross(last).atan2(tangent.dot(last)).to_degrees();
            }
            let place = Place { walked, segment, t };
            let bend = bend.get_or_insert_with(|| Bend::new(place, direction, 0.0));
            found.extend(bend.read(place, direction, noise).map(|turn| turn.at()));
        }
        walked += long;
    }
    found
}

/// A place on a path: its arc length is worked out only where it is asked for.
#[derive(Clone, Copy)]
struct Place {
    /// The arc length at which its segment starts.
    walked: f64,
    segment: PathSeg,
    t: f64,
}

impl Place {
    fn at(&self) -> f64 {
        self.walked + self.segment.subsegment(0.0..self.t).arclen(ACCURACY)
    }
}

/// The bend in progress: the furthest direction to either side since it began.
struct Bend {
    /// 1 or -1 once the path has bent by more than the noise, 0 before.
    sign: f64,
    low: (Place, f64),
    high: (Place, f64),
}

impl Bend {
    fn new(place: Place, direction: f64, sign: f64) -> Self {
        let here = (place, direction);
        Self {
            sign,
            low: here,
            high: here,
        }
    }

    /// Takes one reading; the place of the turn if the path has now turned back.
    fn read(&mut self, place: Place, direction: f64, noise: f64) -> Option<Place> {
        if direction < self.low.1 {
            self.low = (place, direction);
        }
        if direction > self.high.1 {
            self.high = (place, direction);
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
        *self = Self::new(place, direction, sign);
        Some(turn)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Knot, spline};
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

    /// A sine wave of so many half waves, its height in mm.
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
        // A hundredth of a millimetre of ripple is noise, and is not when asked for more closely.
        assert!(turns(&wave(5, 0.01), 0.5).is_empty());
        assert_eq!(turns(&wave(5, 0.01), 0.001).len(), 4);
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
