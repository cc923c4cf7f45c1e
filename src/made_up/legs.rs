//! Lays trousers round hips and legs. From the waist to the seat the section is an ellipse, as that of the
//! trunk; below the fork each leg is a tube of its own girth that hangs from the hip.

use super::ellipse::{arc_of, half_girth, turn_of};
use super::trunk::{edge, mark, marks, piece, x_at};
use crate::draft::{Draft, DraftEdge, DraftPiece, Mark, MarkKind, Part, Role};
use crate::geometry;
use kurbo::{BezPath, ParamCurve, Point, Vec2};
use std::f64::consts::{FRAC_PI_2, PI};

/// Height above the fork line at which the middle seams begin to curve into the fork, mm; above it they are
/// nearly straight.
const TURN: f64 = 100.0;
/// Depth below the fork line at which each leg is a tube of its own, mm: a hand's breadth, over which the
/// ellipse of the hips changes into the two tubes (judged by eye, no source).
const PARTED: f64 = 90.0;
/// Distance from the middle of the figure to the middle of a leg at the hem, in parts of half the width of
/// the hips: a man stands with his feet a little apart (common practice, no source).
const HEM: f64 = 0.54;

/// Distance between points along an edge of trousers, mm; their curves are wider than those of a coat.
pub(super) const STEP: f64 = 4.0;

/// A dart or a pleat, which takes cloth away below the waist.
#[derive(Debug, Clone, Copy)]
struct Taken {
    /// The middle of its mouth at the waist.
    top: Point,
    /// Width of cloth that it takes away at its mouth, mm.
    wide: f64,
    /// The point at which it ends.
    apex: Point,
}

impl Taken {
    /// Returns the width that it takes away at a level, and the x of its edge nearer the middle seam.
    fn at(&self, y: f64) -> (f64, f64) {
        let part = ((self.apex.y - y) / (self.apex.y - self.top.y)).clamp(0.0, 1.0);
        let wide = self.wide * part;
        (wide, self.apex.lerp(self.top, part).x + wide / 2.0)
    }
}

/// The front or the back of one leg.
struct Half {
    /// The seam in the middle of the figure, from the waist into the fork.
    middle: Vec<BezPath>,
    outside: Vec<BezPath>,
    inside: Vec<BezPath>,
    /// Darts and pleats, from the middle to the side.
    taken: Vec<Taken>,
    /// Length of the waist from the middle to the side, mm.
    waist: f64,
    /// Levels of the waist at the middle and at the side.
    waist_levels: (f64, f64),
    /// Distance by which the half is lowered at the waist, mm, so that front and back meet at the side.
    lower: f64,
}

/// The hips and one leg of trousers, x from the middle of the figure and y down, in mm.
pub(super) struct Legs {
    front: Half,
    back: Half,
    /// Level of the fork line.
    pub fork: f64,
    foot: f64,
    /// Half the width of the hips where the waistband is sewn on.
    pub waist_half: f64,
    /// Level of the waist at the side.
    pub side: f64,
}

impl Half {
    fn new(piece: &DraftPiece, fork: f64) -> Option<Self> {
        let of = |role| Some(vec![edge(piece, role)?.clone()]);
        let mut half = Self {
            middle: of(Role::Middle)?,
            outside: of(Role::OutsideLeg)?,
            inside: of(Role::InsideLeg)?,
            taken: taken(piece, fork),
            waist: 0.0,
            waist_levels: (0.0, 0.0),
            lower: 0.0,
        };
        let waist = piece.edges(Role::Waist);
        let ends = waist.flat_map(|edge| [geometry::start(&edge.path), geometry::end(&edge.path)]);
        let mut ends: Vec<Point> = ends.flatten().collect();
        ends.sort_by(|a, b| b.x.total_cmp(&a.x));
        let (centre, side) = (*ends.first()?, *ends.last()?);
        half.waist = half.off_middle(side, fork);
        half.waist_levels = (centre.y, side.y);
        Some(half)
    }

    /// Returns the x of the middle seam at a level, without its curve into the fork.
    fn middle_at(&self, y: f64, fork: f64) -> f64 {
        x_at(&self.middle, y.min(fork - TURN)).unwrap_or_default()
    }

    /// Returns the length from the middle seam to a point, with darts and pleats closed.
    fn off_middle(&self, p: Point, fork: f64) -> f64 {
        let mut s = self.middle_at(p.y, fork) - p.x;
        for taken in &self.taken {
            let (wide, front) = taken.at(p.y);
            s -= (front - p.x).clamp(0.0, wide);
        }
        s
    }

    /// Returns the width of the half at a level, with darts and pleats closed.
    fn wide(&self, y: f64, fork: f64) -> f64 {
        let x = x_at(&self.outside, y).unwrap_or_default();
        self.off_middle(Point::new(x, y), fork)
    }

    /// Returns the x of the middle of the leg on the piece, and the width of the piece.
    fn leg(&self, y: f64) -> Option<(f64, f64)> {
        let (out, inner) = (x_at(&self.outside, y)?, x_at(&self.inside, y)?);
        Some(((out + inner) / 2.0, inner - out))
    }
}

/// Returns the darts and pleats of a piece; a pleat is taken to run out at the fork line.
fn taken(piece: &DraftPiece, fork: f64) -> Vec<Taken> {
    let dart = |mark: &Mark| {
        let (a, b) = (geometry::start(&mark.path)?, geometry::end(&mark.path)?);
        // The path of a dart runs from one end of the mouth to its point and back to the other end.
        let apex = mark.path.segments().next()?.end();
        Some(Taken {
            top: a.midpoint(b),
            wide: (a.x - b.x).abs(),
            apex,
        })
    };
    let pleat = |mouth: &DraftEdge| {
        let (a, b) = (geometry::start(&mouth.path)?, geometry::end(&mouth.path)?);
        Some(Taken {
            top: a.midpoint(b),
            wide: (a.x - b.x).abs(),
            apex: Point::new(a.midpoint(b).x, fork),
        })
    };
    let darts = marks(piece, MarkKind::Dart).filter_map(dart);
    let pleats = piece.edges(Role::Pleats).filter_map(pleat);
    let mut taken: Vec<Taken> = darts.chain(pleats).collect();
    // They are sorted from the middle of the figure to the side.
    taken.sort_by(|a, b| b.top.x.total_cmp(&a.top.x));
    taken
}

impl Legs {
    /// Measures the legs of a draft; `None` if it lacks an edge or a mark of trousers.
    pub(super) fn new(draft: &Draft) -> Option<Self> {
        let (top, under) = (piece(draft, Part::TopSide)?, piece(draft, Part::UnderSide)?);
        let fork = geometry::start(&mark(top, MarkKind::ForkLine)?.path)?.y;
        let foot = geometry::end(&mark(top, MarkKind::Crease)?.path)?.y;
        let front = Half::new(top, fork)?;
        let mut back = Half::new(under, fork)?;
        let side = front.waist_levels.1;
        back.lower = side - back.waist_levels.1;
        let mut legs = Self {
            front,
            back,
            fork,
            foot,
            waist_half: 0.0,
            side,
        };
        legs.waist_half = legs.half_seen(side);
        Some(legs)
    }

    /// Returns half the width of the hips at a level, as it is seen.
    fn half_seen(&self, y: f64) -> f64 {
        let y = y.min(self.fork);
        let back = y - self.lowered(y);
        (self.front.wide(y, self.fork) + self.back.wide(back, self.fork)) / half_girth()
    }

    /// Returns how far the under side is lowered at a level, so that it meets the top side at the waist.
    fn lowered(&self, y: f64) -> f64 {
        self.back.lower * ((self.fork - y) / (self.fork - self.side)).clamp(0.0, 1.0)
    }

    /// Returns the x of the middle of a leg at a level, and half its width as it is seen.
    fn leg(&self, y: f64) -> (f64, f64) {
        let half = |y: f64| {
            let wide = |half: &Half| half.leg(y).map_or(0.0, |(_, wide)| wide);
            (wide(&self.front) + wide(&self.back)) / (2.0 * PI)
        };
        let y = y.max(self.fork);
        let hips = self.half_seen(self.fork);
        let at_fork = hips - half(self.fork);
        let down = (y - self.fork) / (self.foot - self.fork);
        let middle = at_fork + (HEM * hips - at_fork) * down;
        (middle, half(y))
    }

    /// Returns the weight of the leg against that of the hips at a level: 0 above the fork, 1 where the legs
    /// have parted.
    fn parted(&self, y: f64) -> f64 {
        let from = self.fork - TURN;
        let part = ((y - from) / (TURN + PARTED)).clamp(0.0, 1.0);
        part * part * (3.0 - 2.0 * part)
    }

    /// Returns the x of the outside of the leg at a level, as it is seen.
    pub(super) fn outer(&self, y: f64) -> f64 {
        let (middle, half) = self.leg(y);
        let part = self.parted(y);
        self.half_seen(y) * (1.0 - part) + (middle + half) * part
    }

    /// Returns the x of the inside of the leg at a level below the fork, as it is seen.
    pub(super) fn inner(&self, y: f64) -> f64 {
        let (middle, half) = self.leg(y);
        (middle - half).max(0.0) * self.parted(y)
    }

    /// Moves a point of one half to its place in the view; `None` for a point beyond the silhouette.
    fn seen(&self, half: &Half, p: Point) -> Option<Point> {
        let hips = self.half_seen(p.y);
        let s = half.off_middle(Point::new(p.x, p.y.min(self.fork)), self.fork);
        let turn = turn_of(s.abs() / hips.max(1.0));
        let part = self.parted(p.y);
        if part < 1.0 && turn > FRAC_PI_2 + 1e-9 {
            return None;
        }
        let on_hips = hips * turn.sin().copysign(s);
        let (middle, wide) = self.leg(p.y);
        let crease = half.leg(p.y.max(self.fork))?.0;
        let turn = (p.x - crease) / wide.max(1.0);
        if part > 0.0 && turn.abs() > FRAC_PI_2 + 0.05 && p.y > self.fork {
            return None;
        }
        let on_leg = middle - wide * turn.clamp(-FRAC_PI_2, FRAC_PI_2).sin();
        Some(Point::new(on_hips * (1.0 - part) + on_leg * part, p.y))
    }

    /// Moves a point of the top side to its place in the front view.
    pub(super) fn front(&self, p: Point) -> Option<Point> {
        self.seen(&self.front, p)
    }

    /// Moves a point of the under side to its place in the back view.
    pub(super) fn back(&self, p: Point) -> Option<Point> {
        let lower = Vec2::new(0.0, self.lowered(p.y));
        self.seen(&self.back, p).map(|p| p + lower)
    }

    /// Returns the place in the view of the point of the waist that lies `round` mm from the centre front, and
    /// whether it is on the front of the figure.
    ///
    /// The front waist and the back waist each lie in a plane through both sides of the figure.
    pub(super) fn waist(&self, round: f64) -> (Point, bool) {
        let turn = turn_of(round.max(0.0) / self.waist_long() * half_girth());
        let (forward, before) = (turn.cos(), turn <= FRAC_PI_2);
        let half = if before { &self.front } else { &self.back };
        let (centre, side) = half.waist_levels;
        let y = self.side + (centre - side) * forward.abs();
        let x = if round < 0.0 {
            round
        } else {
            self.waist_half * turn.sin()
        };
        (Point::new(x, y), before)
    }

    /// Returns the length of the waist from the centre front to the centre back, mm.
    pub(super) fn waist_long(&self) -> f64 {
        self.front.waist + self.back.waist
    }

    /// Returns the waist seam of the front or the back, from the middle to the silhouette.
    pub(super) fn waist_seam(&self, front: bool) -> Vec<Point> {
        let (whole, quarter) = (self.waist_long(), self.quarter());
        let long = if front { quarter } else { whole - quarter };
        let count = (long / STEP).ceil();
        let steps = (0..=count as usize).map(|i| long * i as f64 / count);
        steps
            .map(|s| self.waist(if front { s } else { whole - s }).0)
            .collect()
    }

    /// Returns the length of the waist from the centre front to the silhouette, mm.
    fn quarter(&self) -> f64 {
        self.waist_long() * arc_of(FRAC_PI_2) / half_girth()
    }
}
