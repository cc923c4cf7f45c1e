//! The steps that make points and curves: as data, and in the words that a cutter reads.

use crate::units::Unit;
use kurbo::{Affine, Point, Vec2};

/// A direction along the edges of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Down the body.
    Down,
    /// Up the body.
    Up,
    /// From the centre back to the front.
    Forward,
    /// From the front to the centre back.
    Back,
}

impl Way {
    /// Returns the direction as a unit vector.
    pub fn unit(self) -> Vec2 {
        match self {
            Way::Down => Vec2::new(0.0, 1.0),
            Way::Up => Vec2::new(0.0, -1.0),
            Way::Forward => Vec2::new(1.0, 0.0),
            Way::Back => Vec2::new(-1.0, 0.0),
        }
    }

    fn word(self) -> &'static str {
        match self {
            Way::Down => "down",
            Way::Up => "up",
            Way::Forward => "forward",
            Way::Back => "back",
        }
    }

    fn opposite(self) -> Self {
        match self {
            Way::Down => Way::Up,
            Way::Up => Way::Down,
            Way::Forward => Way::Back,
            Way::Back => Way::Forward,
        }
    }
}

/// A step that makes a point. It refers to points and curves by their numbers on the board, which count from 1.
/// Lengths in mm, angles in degrees.
#[derive(Debug, Clone, PartialEq)]
pub enum How {
    /// Laid down first, at this place across and down.
    Start(Point),
    /// From a point, in a direction along the table, by this length.
    Straight(usize, Way, f64),
    /// From a point, in a direction (0 forward, 90 down, 180 back, 270 up), by this length.
    Aslant(usize, f64, f64),
    /// From the first point toward the second, by this length.
    Toward(usize, usize, f64),
    /// At the first point, square to the line to the second, by this length to the right, or to the left if it
    /// is negative.
    Square(usize, usize, f64),
    /// On the line from the first point to the second, at this fraction of the way.
    Between(usize, usize, f64),
    /// Plumb from the first point, on the level of the second.
    Level(usize, usize),
    /// The first point mirrored about the line through the other two.
    Mirrored(usize, usize, usize),
    /// The first point turned about the second, clockwise.
    Turned(usize, usize, f64),
    /// On a curve, at this length from its start.
    Along(Vec<usize>, f64),
    /// On a curve, on the level of a point.
    OnLevel(Vec<usize>, usize),
    /// Where a curve meets another.
    Meets(Vec<usize>, Vec<usize>),
}

/// A step that draws a curve.
#[derive(Debug, Clone, PartialEq)]
pub enum Drawn {
    /// Straight from one point to another.
    Line(usize, usize),
    /// A fair curve through points, with the direction through those that give one, in degrees.
    Through(Vec<(usize, Option<f64>)>),
    /// Along curves that are drawn already.
    Joined(Vec<usize>),
    /// Curves moved by this vector, forward and down.
    Moved(Vec<usize>, Vec2),
    /// Curves whose start is moved by this vector, and the rest less and less up to their end.
    StartMoved(Vec<usize>, Vec2),
    /// Curves whose end is moved by this vector, and the rest less and less down to their start.
    EndMoved(Vec<usize>, Vec2),
    /// Curves mirrored about the line through two points.
    Mirrored(Vec<usize>, usize, usize),
    /// Curves turned about a point, clockwise.
    Turned(Vec<usize>, usize, f64),
    /// Curves stretched from a point: distances from it are multiplied by these factors, across and along.
    Stretched(Vec<usize>, usize, Vec2),
    /// A curve beside others, at this distance to their right.
    Beside(Vec<usize>, f64),
}

impl How {
    /// Returns the points it starts from.
    pub fn points(&self) -> Vec<usize> {
        match self {
            How::Start(_) | How::Along(..) | How::Meets(..) => vec![],
            How::Straight(p, ..) | How::Aslant(p, ..) | How::OnLevel(_, p) => vec![*p],
            How::Toward(p, q, _)
            | How::Square(p, q, _)
            | How::Between(p, q, _)
            | How::Level(p, q)
            | How::Turned(p, q, _) => vec![*p, *q],
            How::Mirrored(p, q, r) => vec![*p, *q, *r],
        }
    }

    /// Returns the curves it lies on.
    pub fn curves(&self) -> Vec<usize> {
        match self {
            How::Along(on, _) | How::OnLevel(on, _) => on.clone(),
            How::Meets(a, b) => [a.as_slice(), b.as_slice()].concat(),
            _ => vec![],
        }
    }

    /// Returns the same step with other numbers for its points and curves.
    pub fn numbered(&self, p: impl Fn(usize) -> usize, c: impl Fn(usize) -> usize) -> How {
        let curves = |on: &[usize]| on.iter().map(|n| c(*n)).collect::<Vec<_>>();
        match self {
            How::Start(at) => How::Start(*at),
            How::Straight(a, way, mm) => How::Straight(p(*a), *way, *mm),
            How::Aslant(a, degrees, mm) => How::Aslant(p(*a), *degrees, *mm),
            How::Toward(a, b, mm) => How::Toward(p(*a), p(*b), *mm),
            How::Square(a, b, mm) => How::Square(p(*a), p(*b), *mm),
            How::Between(a, b, part) => How::Between(p(*a), p(*b), *part),
            How::Level(a, b) => How::Level(p(*a), p(*b)),
            How::Mirrored(a, b, d) => How::Mirrored(p(*a), p(*b), p(*d)),
            How::Turned(a, b, degrees) => How::Turned(p(*a), p(*b), *degrees),
            How::Along(on, mm) => How::Along(curves(on), *mm),
            How::OnLevel(on, a) => How::OnLevel(curves(on), p(*a)),
            How::Meets(on, other) => How::Meets(curves(on), curves(other)),
        }
    }

    /// Returns the place that the step leads to, given the places of its points; `None` for a step that needs
    /// curves or a point that has no place.
    pub fn place(&self, at: impl Fn(usize) -> Option<Point>) -> Option<Point> {
        let unit = |from: Point, to: Point| {
            let way = to - from;
            if way.hypot() > 0.0 {
                way.normalize()
            } else {
                Vec2::ZERO
            }
        };
        Some(match self {
            How::Start(point) => *point,
            How::Straight(p, way, mm) => at(*p)? + way.unit() * *mm,
            How::Aslant(p, degrees, mm) => at(*p)? + Vec2::from_angle(degrees.to_radians()) * *mm,
            How::Toward(p, q, mm) => at(*p)? + unit(at(*p)?, at(*q)?) * *mm,
            // y points down, so a quarter turn clockwise, to the right of the way, is (-y, x).
            How::Square(p, q, mm) => {
                let way = unit(at(*p)?, at(*q)?);
                at(*p)? + way.turn_90() * *mm
            }
            How::Between(p, q, part) => at(*p)?.lerp(at(*q)?, *part),
            How::Level(p, q) => Point::new(at(*p)?.x, at(*q)?.y),
            How::Mirrored(p, a, b) => Affine::reflect(at(*a)?, at(*b)? - at(*a)?) * at(*p)?,
            How::Turned(p, about, degrees) => {
                Affine::rotate_about(degrees.to_radians(), at(*about)?) * at(*p)?
            }
            How::Along(..) | How::OnLevel(..) | How::Meets(..) => return None,
        })
    }

    /// Says the instruction in a unit, with `names` for the curves: `from 3, down 24.6`.
    pub(super) fn words(&self, unit: Unit, names: impl Fn(&[usize]) -> String) -> String {
        let long = |mm: f64| unit.fine(mm.abs());
        if let Some(from) = self.stays(unit) {
            return format!("same place as {from}");
        }
        match self {
            How::Start(at) => match shift(at.to_vec2(), unit) {
                Some(shift) => format!("begin {shift}"),
                None => "begin here".to_owned(),
            },
            How::Straight(p, way, mm) => {
                let way = if *mm < 0.0 { way.opposite() } else { *way };
                format!("from {p}, {} {}", way.word(), long(*mm))
            }
            How::Aslant(p, degrees, mm) => {
                let turn = if *mm < 0.0 { 180.0 } else { 0.0 };
                let way = angle(degrees + turn);
                format!("from {p}, {} at {way}°", long(*mm))
            }
            How::Toward(p, q, mm) => {
                let toward = if *mm < 0.0 { "away from" } else { "toward" };
                format!("from {p} {toward} {q}, {}", long(*mm))
            }
            How::Square(p, q, mm) => {
                let side = if *mm >= 0.0 { "right" } else { "left" };
                let mm = long(*mm);
                format!("at {p}, square to {p}–{q} to the {side}, {mm}")
            }
            How::Between(p, q, part) => {
                let part = crate::units::decimal(*part, 4);
                format!("between {p} and {q}, {part} of the way")
            }
            How::Level(p, q) => format!("plumb from {p}, on the level of {q}"),
            How::Mirrored(p, a, b) => {
                format!("{p} mirrored about {a}–{b}")
            }
            How::Turned(p, about, degrees) => {
                format!("{p} turned about {about} by {}°", signed(*degrees))
            }
            How::Along(on, mm) if is_nothing(*mm, unit) => format!("at the start of {}", names(on)),
            How::Along(on, mm) => format!("on {}, {} from its start", names(on), long(*mm)),
            How::OnLevel(on, p) => format!("on {}, on the level of {p}", names(on)),
            How::Meets(on, other) => format!("where {} meets {}", names(on), names(other)),
        }
    }

    /// Returns the point that the step starts from where the length from there is too short to chalk.
    fn stays(&self, unit: Unit) -> Option<usize> {
        match self {
            How::Straight(p, _, mm)
            | How::Aslant(p, _, mm)
            | How::Toward(p, _, mm)
            | How::Square(p, _, mm) => is_nothing(*mm, unit).then_some(*p),
            _ => None,
        }
    }
}

impl Drawn {
    /// Returns the points it is drawn by.
    pub fn points(&self) -> Vec<usize> {
        match self {
            Drawn::Line(a, b) | Drawn::Mirrored(_, a, b) => vec![*a, *b],
            Drawn::Through(knots) => knots.iter().map(|(n, _)| *n).collect(),
            Drawn::Turned(_, p, _) | Drawn::Stretched(_, p, _) => vec![*p],
            Drawn::Joined(_)
            | Drawn::Moved(..)
            | Drawn::StartMoved(..)
            | Drawn::EndMoved(..)
            | Drawn::Beside(..) => vec![],
        }
    }

    /// Returns the curves it is drawn from.
    pub fn curves(&self) -> &[usize] {
        match self {
            Drawn::Line(..) | Drawn::Through(_) => &[],
            Drawn::Joined(on)
            | Drawn::Moved(on, _)
            | Drawn::StartMoved(on, _)
            | Drawn::EndMoved(on, _)
            | Drawn::Mirrored(on, ..)
            | Drawn::Turned(on, ..)
            | Drawn::Stretched(on, ..)
            | Drawn::Beside(on, _) => on,
        }
    }

    /// Returns the same step with other numbers for its points and curves.
    pub fn numbered(&self, p: impl Fn(usize) -> usize, c: impl Fn(usize) -> usize) -> Drawn {
        let curves = |on: &[usize]| on.iter().map(|n| c(*n)).collect::<Vec<_>>();
        match self {
            Drawn::Line(a, b) => Drawn::Line(p(*a), p(*b)),
            Drawn::Through(knots) => {
                Drawn::Through(knots.iter().map(|(n, way)| (p(*n), *way)).collect())
            }
            Drawn::Joined(on) => Drawn::Joined(curves(on)),
            Drawn::Moved(on, by) => Drawn::Moved(curves(on), *by),
            Drawn::StartMoved(on, by) => Drawn::StartMoved(curves(on), *by),
            Drawn::EndMoved(on, by) => Drawn::EndMoved(curves(on), *by),
            Drawn::Mirrored(on, a, b) => Drawn::Mirrored(curves(on), p(*a), p(*b)),
            Drawn::Turned(on, about, degrees) => Drawn::Turned(curves(on), p(*about), *degrees),
            Drawn::Stretched(on, from, times) => Drawn::Stretched(curves(on), p(*from), *times),
            Drawn::Beside(on, mm) => Drawn::Beside(curves(on), *mm),
        }
    }

    /// Says the instruction in a unit, with `names` for the curves it is drawn from.
    pub(super) fn words(&self, unit: Unit, names: impl Fn(&[usize]) -> String) -> String {
        let moved = |on: &[usize], by: Vec2, end: &str, other: &str| match shift(by, unit) {
            Some(shift) if end.is_empty() => format!("{}, {shift}", names(on)),
            Some(shift) => {
                format!(
                    "{}, its {end} {shift}, running out at its {other}",
                    names(on)
                )
            }
            None => names(on),
        };
        match self {
            Drawn::Line(a, b) => format!("straight from {a} to {b}"),
            Drawn::Through(knots) => {
                let knots: Vec<String> = knots
                    .iter()
                    .map(|(n, way)| match way {
                        Some(way) => format!("{n} (at {}°)", angle(*way)),
                        None => n.to_string(),
                    })
                    .collect();
                format!("a curve through {}", knots.join(", "))
            }
            Drawn::Joined(on) => format!("along {}", names(on)),
            Drawn::Moved(on, by) => moved(on, *by, "", ""),
            Drawn::StartMoved(on, by) => moved(on, *by, "start", "end"),
            Drawn::EndMoved(on, by) => moved(on, *by, "end", "start"),
            Drawn::Mirrored(on, a, b) => {
                format!("{} mirrored about {a}–{b}", names(on))
            }
            Drawn::Turned(on, about, degrees) => format!(
                "{} turned about {} by {}°",
                names(on),
                about,
                signed(*degrees)
            ),
            Drawn::Stretched(on, ..) => format!("trace from the sheet, after {}", names(on)),
            Drawn::Beside(on, mm) if is_nothing(*mm, unit) => names(on),
            Drawn::Beside(on, mm) => {
                let side = if *mm >= 0.0 { "right" } else { "left" };
                format!(
                    "beside {}, {} to the {side}",
                    names(on),
                    unit.fine(mm.abs())
                )
            }
        }
    }
}

/// Writes degrees from 0 to 360, with at most two decimals.
fn angle(degrees: f64) -> String {
    signed(degrees.rem_euclid(360.0))
}

fn signed(degrees: f64) -> String {
    match crate::units::decimal(degrees, 2) {
        full if full == "360" => "0".to_owned(),
        degrees => degrees,
    }
}

/// Tells whether a length is too short to be printed, and so to be chalked.
pub(super) fn is_nothing(mm: f64, unit: Unit) -> bool {
    unit.fine(mm.abs()) == "0"
}

/// Says a shift on the table, forward and down: `1.2 forward and 0.8 up`. Returns `None` for one too short to
/// chalk.
fn shift(by: Vec2, unit: Unit) -> Option<String> {
    let parts = [(by.x, Way::Forward), (by.y, Way::Down)];
    let parts = parts.into_iter().filter(|(mm, _)| !is_nothing(*mm, unit));
    let parts: Vec<String> = parts
        .map(|(mm, way)| {
            let way = if mm < 0.0 { way.opposite() } else { way };
            format!("{} {}", unit.fine(mm.abs()), way.word())
        })
        .collect();
    (!parts.is_empty()).then(|| parts.join(" and "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_says_its_way_its_side_and_where_it_begins() {
        let names = |on: &[usize]| format!("{on:?}");
        let start = |x: f64, y: f64| How::Start(Point::new(x, y)).words(Unit::Cm, names);
        assert_eq!(start(0.0, 0.0), "begin here");
        assert_eq!(start(50.0, 0.0), "begin 5 forward");
        assert_eq!(start(0.0, -25.0), "begin 2.5 up");
        let straight = |way: Way, mm: f64| How::Straight(3, way, mm).words(Unit::Cm, names);
        assert_eq!(straight(Way::Up, 20.0), "from 3, up 2");
        assert_eq!(straight(Way::Up, -20.0), "from 3, down 2");
        assert_eq!(straight(Way::Back, -20.0), "from 3, forward 2");
        let beside = |mm: f64| Drawn::Beside(vec![2], mm).words(Unit::Cm, names);
        assert_eq!(beside(10.0), "beside [2], 1 to the right");
        assert_eq!(beside(-10.0), "beside [2], 1 to the left");
    }
}
