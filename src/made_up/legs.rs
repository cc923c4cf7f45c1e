//! Lays trousers round hips and legs. From the waist to the seat the section is an ellipse, as that of the
//! trunk; below the fork each leg is a tube of its own girth. The figure stands with its feet a foot apart.

use super::ellipse::{arc_of, facing, half_girth, turn_of};
use super::half_leg::{Half, TURN};
use super::lines::{mark, piece};
use super::mesh::Placed;
use super::shifts::Shifts;
use crate::draft::{Draft, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{Point, Vec2};
use std::f64::consts::{FRAC_PI_2, PI};

/// Depth below the fork line at which each leg is a tube of its own, mm: a hand's breadth, over which the
/// ellipse of the hips changes into the two tubes (judged by eye, no source).
const PARTED: f64 = 90.0;
/// Part of the leg's length below the fork over which its section changes from the oval of the thigh, which is as
/// wide as the hips leave room for, to a round one (judged by eye, no source).
const ROUND: f64 = 0.45;
/// Distance from the middle of the figure to the middle of a leg at the hem, in parts of half the width of
/// the hips: a man stands with his feet about a foot apart (common practice, no source).
const HEM: f64 = 0.73;
/// Greatest sine of the angle by which a leg is turned out at the fork.
const MOST_TURNED: f64 = 0.5;
/// Depth below the waist over which what is seen finds from the waist of the figure to its own level, mm.
const SETTLES: f64 = 120.0;
/// Distance outside the silhouette, in parts of the half width, at which a point is placed that lies a radian
/// beyond it: enough for a triangle on the edge not to turn over.
const BEYOND: f64 = 0.15;

/// Distance between points along an edge of trousers, mm; their curves are wider than those of a coat.
pub(super) const STEP: f64 = 4.0;

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

/// One leg at a level, as it is seen.
#[derive(Debug, Clone, Copy)]
struct Section {
    /// The x of its middle.
    middle: f64,
    /// Half its width.
    half: f64,
    /// Half the width of a round leg of its girth.
    round: f64,
}

impl Legs {
    /// Measures the leg of one side; `None` if the draft lacks an edge or a mark of trousers.
    pub(super) fn new(draft: &Draft, side: Side) -> Option<Self> {
        let top = piece(draft, Part::TopSide, side)?;
        let under = piece(draft, Part::UnderSide, side)?;
        let fork = geometry::start(&mark(&top, MarkKind::ForkLine)?.path)?.y;
        let foot = geometry::end(&mark(&top, MarkKind::Crease)?.path)?.y;
        let mut front = Half::new(&top, fork)?;
        let mut back = Half::new(&under, fork)?;
        let roles = [Role::OutsideLeg, Role::InsideLeg];
        front.lower_seams = roles.map(|role| Shifts::sewn(draft, top.id, under.id, role));
        back.lower_seams = roles.map(|role| Shifts::sewn(draft, under.id, top.id, role));
        let waist = front.waist_levels.1;
        back.lower = waist - back.waist_levels.1;
        let mut legs = Self {
            front,
            back,
            fork,
            foot,
            waist_half: 0.0,
            side: waist,
        };
        legs.waist_half = legs.half_seen(waist);
        let turned = [&legs.front, &legs.back].map(|half| legs.turned(half));
        [legs.front.turned, legs.back.turned] = turned;
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

    /// Returns the leg at a level; above the fork, that of the fork.
    ///
    /// A thigh is deeper than wide: at the fork both have the width of the hips between them.
    fn leg(&self, y: f64) -> Section {
        let y = y.max(self.fork);
        let round = |level: f64| (self.front.leg(level).1 + self.back.leg(level).1) / (2.0 * PI);
        let hips = self.half_seen(self.fork);
        let down = (y - self.fork) / (self.foot - self.fork);
        let oval = hips / (2.0 * round(self.fork)).max(1.0);
        let part = (down / ROUND).clamp(0.0, 1.0);
        let part = part * part * (3.0 - 2.0 * part);
        Section {
            middle: hips * (0.5 + (HEM - 0.5) * down),
            half: (oval + (1.0 - oval) * part) * round(y),
            round: round(y),
        }
    }

    /// Returns how far a leg is turned out at the fork for its crease to run on from the hips, radians.
    fn turned(&self, half: &Half) -> f64 {
        let (crease, _) = half.leg(self.fork);
        let far = half.off_middle(Point::new(crease, self.fork), self.fork);
        let wide = self.half_seen(self.fork).max(1.0);
        let leg = self.leg(self.fork);
        let off = wide * turn_of(far.abs() / wide).min(FRAC_PI_2).sin() - leg.middle;
        (off / leg.half.max(1.0))
            .clamp(-MOST_TURNED, MOST_TURNED)
            .asin()
    }

    /// Returns the share of that turn which is left at a level; it runs out where the leg is round.
    fn turn_left(&self, y: f64) -> f64 {
        let down = (y - self.fork) / (self.foot - self.fork);
        let part = (down / ROUND).clamp(0.0, 1.0);
        1.0 - part * part * (3.0 - 2.0 * part)
    }

    /// Returns how far the middle of a leg moves out from one level to a lower one, mm.
    pub(super) fn moves_out(&self, from: f64, to: f64) -> f64 {
        self.leg(to).middle - self.leg(from).middle
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
        let leg = self.leg(y);
        let part = self.parted(y);
        self.half_seen(y) * (1.0 - part) + (leg.middle + leg.half) * part
    }

    /// Returns the x of the inside of the leg at a level below the fork, as it is seen.
    pub(super) fn inner(&self, y: f64) -> f64 {
        let leg = self.leg(y);
        (leg.middle - leg.half).max(0.0)
    }

    /// Places a point at a level that lies `hips` round from the middle of the figure and, below the fork, `leg`
    /// round from the crease of a half, counted towards the inside.
    fn placed(&self, near: &Half, y: f64, hips: f64, leg: f64) -> Placed {
        let wide = self.half_seen(y).max(1.0);
        let beyond = (hips.abs() / wide - arc_of(FRAC_PI_2)).max(0.0);
        let turn = turn_of(hips.abs() / wide).min(FRAC_PI_2);
        let on_hips = wide * (turn.sin() + BEYOND * beyond).copysign(hips);
        let section = self.leg(y);
        let round = leg / section.round.max(1.0) - near.turned * self.turn_left(y);
        let over = (round.abs() - FRAC_PI_2).max(0.0);
        let clamped = round.clamp(-FRAC_PI_2, FRAC_PI_2);
        let share = clamped.sin() + BEYOND * over.copysign(round);
        let on_leg = section.middle - section.half * share;
        let part = self.parted(y);
        Placed {
            at: Point::new(on_hips * (1.0 - part) + on_leg * part, y),
            light: facing(turn) * (1.0 - part) + clamped.cos() * part,
            seen: if y < self.fork {
                beyond <= 1e-9
            } else {
                over <= 1e-9
            },
        }
    }

    /// Returns the front or the back, and the other.
    fn halves(&self, front: bool) -> (&Half, &Half) {
        match front {
            true => (&self.front, &self.back),
            false => (&self.back, &self.front),
        }
    }

    /// Returns the level in the view of a point of a half that lies so far from the middle. Near the waist it is
    /// moved so that the seam of the piece comes to the waist of the figure.
    fn level(&self, front: bool, p: Point, far: f64) -> f64 {
        let (half, _) = self.halves(front);
        let y = |y: f64| if front { y } else { y + self.lowered(y) };
        let seam = half.waist_at(far);
        let round = if front { far } else { self.waist_long() - far };
        let (waist, _) = self.waist(round.clamp(0.0, self.waist_long()));
        let left = (1.0 - (p.y - seam) / SETTLES).clamp(0.0, 1.0);
        y(p.y) + (waist.y - y(seam)) * left
    }

    /// Places a point of the half that faces the viewer: of the top side in the front view, of the under side in
    /// the back view.
    pub(super) fn near(&self, front: bool, p: Point) -> Placed {
        let (half, _) = self.halves(front);
        let far = half.off_middle(Point::new(p.x, p.y.min(self.fork)), self.fork);
        let (crease, _) = half.leg(p.y.max(self.fork));
        let leg = if p.y < self.fork {
            // Above the fork, darts and pleats are closed.
            half.off_middle(Point::new(crease, self.fork), self.fork) - far
        } else {
            p.x - crease
        };
        let y = self.level(front, p, half.off_middle(p, self.fork));
        self.placed(half, y, far, leg)
    }

    /// Places a point of the other half, where it is seen beyond the seams of the half that faces the viewer.
    pub(super) fn far(&self, front: bool, p: Point) -> Placed {
        let (near, own) = self.halves(front);
        let (middle, wide) = own.leg(p.y.max(self.fork));
        let inside = p.x >= middle;
        // The level of the point of the near half that it meets along the seam.
        let met = p.y + own.lower_seams[usize::from(inside)].at(p.y);
        let at = Point::new(p.x, p.y.min(self.fork));
        let to_side = own.wide(at.y, self.fork) - own.off_middle(at, self.fork);
        let hips = near.wide(met.min(self.fork), self.fork) + to_side;
        let half = near.leg(met.max(self.fork)).1 / 2.0;
        let leg = match inside {
            true => half + (middle + wide / 2.0 - p.x),
            false => -half - (p.x - middle + wide / 2.0),
        };
        let seam = if inside { &near.inside } else { &near.outside };
        let on_seam = Point::new(seam.at(met), met);
        let y = self.level(front, on_seam, near.off_middle(on_seam, self.fork));
        let placed = self.placed(near, y, if inside { 0.0 } else { hips }, leg);
        Placed {
            // Above the fork the other half shows at the side alone.
            seen: placed.seen && !(inside && y < self.fork),
            ..placed
        }
    }

    /// Returns the strips that darts and pleats take of the top side or the under side at a level.
    pub(super) fn gaps(&self, front: bool, y: f64) -> Vec<(f64, f64)> {
        let (half, _) = self.halves(front);
        half.gaps(y)
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

    /// Places the point of the waist that lies so far round from the middle of the side that is seen.
    pub(super) fn on_waist(&self, front: bool, round: f64) -> Placed {
        let long = self.waist_long();
        let quarter = if front {
            self.quarter()
        } else {
            long - self.quarter()
        };
        let beyond = (round - quarter).max(0.0);
        let near = round.min(quarter);
        let (at, _) = self.waist(if front { near } else { long - near });
        Placed {
            at: at + Vec2::new(BEYOND * beyond, 0.0),
            light: facing(turn_of(near.max(0.0) / long * half_girth())),
            seen: beyond <= 1e-9,
        }
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
