//! The lengths that lead a cutter to the draft who follows the printed steps one after another.

use super::making::How;
use super::types::Draft;
use crate::units::Unit;
use kurbo::{Point, Vec2};

/// How far from its place a point may be chalked before its step is printed with another length, in mm. It is more
/// than half a sixteenth of an inch, so that a step from a point in its own place is always printed as drafted.
const FAR: f64 = 0.9;

impl Draft {
    /// Returns the draft with the lengths of its steps as they are to be printed.
    ///
    /// Each is the drafted one, unless the roundings of the steps before would lead to a place too far off: then
    /// it is the one that leads nearest to the point. The places of the points stay.
    pub fn chalked(&self, unit: Unit) -> Draft {
        let mut draft = self.clone();
        let mut places: Vec<Point> = Vec::with_capacity(draft.points.len());
        for point in &mut draft.points {
            let at = |n: usize| places.get(n.checked_sub(1)?).copied();
            let place = |how: &How| how.with_length(|mm| unit.chalked(mm)).place(at);
            let found = match place(&point.how) {
                Some(found) if found.distance(point.at) > FAR => {
                    let length = point.how.length_to(point.at, at);
                    if let Some(length) = length {
                        point.how = point.how.with_length(|_| length);
                    }
                    place(&point.how)
                }
                found => found,
            };
            places.push(found.unwrap_or(point.at));
        }
        draft
    }
}

impl How {
    /// Returns the same step with another length, if it has one.
    fn with_length(&self, length: impl Fn(f64) -> f64) -> How {
        match self {
            How::Start(at) => How::Start(Point::new(length(at.x), length(at.y))),
            How::Straight(p, way, mm) => How::Straight(*p, *way, length(*mm)),
            How::Aslant(p, degrees, mm) => How::Aslant(*p, *degrees, length(*mm)),
            How::Toward(p, q, mm) => How::Toward(*p, *q, length(*mm)),
            How::Square(p, q, mm) => How::Square(*p, *q, length(*mm)),
            other => other.clone(),
        }
    }

    /// Returns the length by which the step leads nearest to a place; `None` for a step without one.
    fn length_to(&self, place: Point, at: impl Fn(usize) -> Option<Point>) -> Option<f64> {
        let unit = |from: usize, to: usize| {
            let way = at(to)? - at(from)?;
            (way.hypot() > 0.0).then(|| way.normalize())
        };
        let (from, way) = match self {
            How::Straight(p, way, _) => (*p, way.unit()),
            How::Aslant(p, degrees, _) => (*p, Vec2::from_angle(degrees.to_radians())),
            How::Toward(p, q, _) => (*p, unit(*p, *q)?),
            How::Square(p, q, _) => (*p, unit(*p, *q)?.turn_90()),
            _ => return None,
        };
        Some((place - at(from)?).dot(way))
    }
}
