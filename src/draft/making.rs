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
            Self::Down => Vec2::new(0.0, 1.0),
            Self::Up => Vec2::new(0.0, -1.0),
            Self::Forward => Vec2::new(1.0, 0.0),
            Self::Back => Vec2::new(-1.0, 0.0),
        }
    }

    fn word(self) -> &'static str {
        match self {
            Self::Down => "down",
            Self::Up => "up",
            Self::Forward => "forward",
            Self::Back => "back",
        }
    }

    fn opposite(self) -> Self {
        match self {
            Self::Down => Self::Up,
            Self::Up => Self::Down,
            Self::Forward => Self::Back,
            Self::Back => Self::Forward,
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
            Self::Start(_) | Self::Along(..) | Self::Meets(..) => vec![],
            Self::Straight(p, ..) | Self::Aslant(p, ..) | Self::OnLevel(_, p) => vec![*p],
            Self::Toward(p, q, _)
            | Self::Square(p, q, _)
            | Self::Between(p, q, _)
            | Self::Level(p, q)
            | Self::Turned(p, q, _) => vec![*p, *q],
            Self::Mirrored(p, q, r) => vec![*p, *q, *r],
        }
    }

    /// Returns the curves it lies on.
    pub fn curves(&self) -> Vec<usize> {
        match self {
            Self::Along(on, _) | Self::OnLevel(on, _) => on.clone(),
            Self::Meets(a, b) => [a.as_slice(), b.as_slice()].concat(),
            _ => vec![],
        }
    }

    /// Returns the same step with other numbers for its points and curves.
    #[must_use]
    pub fn numbered(&self, p: impl Fn(usize) -> usize, c: impl Fn(usize) -> usize) -> Self {
        let curves = |on: &[usize]| on.iter().map(|n| c(*n)).collect::<Vec<_>>();
        match self {
            Self::Start(at) => Self::Start(*at),
            Self::Straight(a, way, mm) => Self::Straight(p(*a), *way, *mm),
            Self::Aslant(a, degrees, mm) => Self::Aslant(p(*a), *degrees, *mm),
            Self::Toward(a, b, mm) => Self::Toward(p(*a), p(*b), *mm),
            Self::Square(a, b, mm) => Self::Square(p(*a), p(*b), *mm),
            Self::Between(a, b, part) => Self::Between(p(*a), p(*b), *part),
            Self::Level(a, b) => Self::Level(p(*a), p(*b)),
            Self::Mirrored(a, b, d) => Self::Mirrored(p(*a), p(*b), p(*d)),
            Self::Turned(a, b, degrees) => Self::Turned(p(*a), p(*b), *degrees),
            Self::Along(on, mm) => Self::Along(curves(on), *mm),
            Self::OnLevel(on, a) => Self::OnLevel(curves(on), p(*a)),
            Self::Meets(on, other) => Self::Meets(curves(on), curves(other)),
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
            Self::Start(point) => *point,
            Self::Straight(p, way, mm) => at(*p)? + way.unit() * *mm,
            Self::Aslant(p, degrees, mm) => at(*p)? + Vec2::from_angle(degrees.to_radians()) * *mm,
            Self::Toward(p, q, mm) => at(*p)? + unit(at(*p)?, at(*q)?) * *mm,
            // y points down, so a quarter turn clockwise, to the right of the way, is (-y, x).
            Self::Square(p, q, mm) => {
                let way = unit(at(*p)?, at(*q)?);
                at(*p)? + way.turn_90() * *mm
            }
            Self::Between(p, q, part) => at(*p)?.lerp(at(*q)?, *part),
            Self::Level(p, q) => Point::new(at(*p)?.x, at(*q)?.y),
            Self::Mirrored(p, a, b) => Affine::reflect(at(*a)?, at(*b)? - at(*a)?) * at(*p)?,
            Self::Turned(p, about, degrees) => {
                Affine::rotate_about(degrees.to_radians(), at(*about)?) * at(*p)?
            }
            Self::Along(..) | Self::OnLevel(..) | Self::Meets(..) => return None,
        })
    }

    /// Says the instruction in a unit, with `names` for the curves: `from 3, down 24.6`.
    pub(super) fn words(&self, unit: Unit, names: impl Fn(&[usize]) -> String) -> String {
        let long = |mm: f64| unit.fine(mm.abs());
        if let Some(from) = self.stays(unit) {
            return format!("same place as {from}");
        }
        match self {
            Self::Start(at) => match shift(at.to_vec2(), unit) {
                Some(shift) => format!("begin {shift}"),
                None => "begin here".to_owned(),
            },
            Self::Straight(p, way, mm) => {
                let way = if *mm < 0.0 { way.opposite() } else { *way };
                format!("from {p}, {} {}", way.word(), long(*mm))
            }
            Self::Aslant(p, degrees, mm) => {
                let turn = if *mm < 0.0 { 180.0 } else { 0.0 };
                let way = angle(degrees + turn);
                format!("from {p}, {} at {way}°", long(*mm))
            }
            Self::Toward(p, q, mm) => {
                let toward = if *mm < 0.0 { "away from" } else { "toward" };
                format!("from {p} {toward} {q}, {}", long(*mm))
            }
            Self::Square(p, q, mm) => {
                let side = if *mm >= 0.0 { "right" } else { "left" };
                let mm = long(*mm);
                format!("at {p}, square to {p}–{q} to the {side}, {mm}")
            }
            Self::Between(p, q, part) => {
                let part = crate::units::decimal(*part, 4);
                format!("between {p} and {q}, {part} of the way")
            }
            Self::Level(p, q) => format!("plumb from {p}, on the level of {q}"),
            Self::Mirrored(p, a, b) => {
                format!("{p} mirrored about {a}–{b}")
            }
            Self::Turned(p, about, degrees) => {
                format!("{p} turned about {about} by {}°", signed(*degrees))
            }
            Self::Along(on, mm) if is_nothing(*mm, unit) => {
                format!("at the start of {}", names(on))
            }
            Self::Along(on, mm) => format!("on {}, {} from its start", names(on), long(*mm)),
            Self::OnLevel(on, p) => format!("on {}, on the level of {p}", names(on)),
            Self::Meets(on, other) => format!("where {} meets {}", names(on), names(other)),
        }
    }

    /// Returns the point that the step starts from where the length from there is too short to chalk.
    fn stays(&self, unit: Unit) -> Option<usize> {
        match self {
            Self::Straight(p, _, mm)
            | Self::Aslant(p, _, mm)
            | Self::Toward(p, _, mm)
            | Self::Square(p, _, mm) => is_nothing(*mm, unit).then_some(*p),
            _ => None,
        }
    }
}

impl Drawn {
    /// Returns the points it is drawn by.
    pub fn points(&self) -> Vec<usize> {
        match self {
            Self::Line(a, b) | Self::Mirrored(_, a, b) => vec![*a, *b],
            Self::Through(knots) => knots.iter().map(|(n, _)| *n).collect(),
            Self::Turned(_, p, _) | Self::Stretched(_, p, _) => vec![*p],
            Self::Joined(_)
            | Self::Moved(..)
            | Self::StartMoved(..)
            | Self::EndMoved(..)
            | Self::Beside(..) => vec![],
        }
    }

    /// Returns the curves it is drawn from.
    pub fn curves(&self) -> &[usize] {
        match self {
            Self::Line(..) | Self::Through(_) => &[],
            Self::Joined(on)
            | Self::Moved(on, _)
            | Self::StartMoved(on, _)
            | Self::EndMoved(on, _)
            | Self::Mirrored(on, ..)
            | Self::Turned(on, ..)
            | Self::Stretched(on, ..)
            | Self::Beside(on, _) => on,
        }
    }

    /// Returns the same step with other numbers for its points and curves.
    #[must_use]
    pub fn numbered(&self, p: impl Fn(usize) -> usize, c: impl Fn(usize) -> usize) -> Self {
        let curves = |on: &[usize]| on.iter().map(|n| c(*n)).collect::<Vec<_>>();
        match self {
            Self::Line(a, b) => Self::Line(p(*a), p(*b)),
            Self::Through(knots) => {
                Self::Through(knots.iter().map(|(n, way)| (p(*n), *way)).collect())
            }
            Self::Joined(on) => Self::Joined(curves(on)),
            Self::Moved(on, by) => Self::Moved(curves(on), *by),
            Self::StartMoved(on, by) => Self::StartMoved(curves(on), *by),
            Self::EndMoved(on, by) => Self::EndMoved(curves(on), *by),
            Self::Mirrored(on, a, b) => Self::Mirrored(curves(on), p(*a), p(*b)),
            Self::Turned(on, about, degrees) => Self::Turned(curves(on), p(*about), *degrees),
            Self::Stretched(on, from, times) => Self::Stretched(curves(on), p(*from), *times),
            Self::Beside(on, mm) => Self::Beside(curves(on), *mm),
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
            Self::Line(a, b) => format!("straight from {a} to {b}"),
            Self::Through(knots) => {
                let knots: Vec<String> = knots
                    .iter()
                    .map(|(n, way)| match way {
                        Some(way) => format!("{n} (at {}°)", angle(*way)),
                        None => n.to_string(),
                    })
                    .collect();
                format!("a curve through {}", knots.join(", "))
            }
            Self::Joined(on) => format!("along {}", names(on)),
            Self::Moved(on, by) => moved(on, *by, "", ""),
            Self::StartMoved(on, by) => moved(on, *by, "start", "end"),
            Self::EndMoved(on, by) => moved(on, *by, "end", "start"),
            Self::Mirrored(on, a, b) => {
                format!("{} mirrored about {a}–{b}", names(on))
            }
            Self::Turned(on, about, degrees) => format!(
                "{} turned about {} by {}°",
                names(on),
                about,
                signed(*degrees)
            ),
            Self::Stretched(on, ..) => format!("trace from the sheet, after {}", names(on)),
            Self::Beside(on, mm) if is_nothing(*mm, unit) => names(on),
            Self::Beside(on, mm) => {
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
        let down = Vec2::new(0.0, 20.0);
        let moved = |drawn: Drawn| drawn.words(Unit::Cm, names);
        assert_eq!(moved(Drawn::Moved(vec![2], down)), "[2], 2 down");
        let at_start = moved(Drawn::StartMoved(vec![2], down));
        assert_eq!(at_start, "[2], its start 2 down, running out at its end");
        assert_eq!(moved(Drawn::Moved(vec![2], Vec2::ZERO)), "[2]");
    }
}
