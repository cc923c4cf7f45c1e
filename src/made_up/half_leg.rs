//! Measures the front or the back of one leg: its seams at every level, and what its darts and pleats take away.

use super::levels::Levels;
use super::lines::{edge, marks, sampled};
use super::shifts::Shifts;
use crate::draft::{DraftEdge, DraftPiece, Mark, MarkKind, Role};
use crate::geometry;
use kurbo::{ParamCurve, Point};

/// Height above the fork line at which the middle seams begin to curve into the fork, mm; above it they are
/// nearly straight.
pub(super) const TURN: f64 = 100.0;

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
pub(super) struct Half {
    /// The seam in the middle of the figure, from the waist into the fork.
    pub middle: Levels,
    pub outside: Levels,
    pub inside: Levels,
    /// Darts and pleats, from the middle to the side.
    taken: Vec<Taken>,
    /// Length of the waist from the middle to the side, mm.
    pub waist: f64,
    /// Levels of the waist at the middle and at the side.
    pub waist_levels: (f64, f64),
    /// Distance by which the half is lowered at the waist, mm, so that front and back meet at the side.
    pub lower: f64,
    /// The waist seam, each point as its length from the middle with darts and pleats closed, and its level.
    pub waist_seam: Vec<(f64, f64)>,
    /// How far its outside leg and its inside leg lie above those of the other half.
    pub lower_seams: [Shifts; 2],
    /// Angle, radians, by which the leg is turned out at the fork, where its crease runs on from the hips.
    pub turned: f64,
}

impl Half {
    pub(super) fn new(piece: &DraftPiece, fork: f64) -> Option<Self> {
        let of = |role| Some(Levels::of(&[edge(piece, role)?.clone()]));
        let mut half = Self {
            middle: of(Role::Middle)?,
            outside: of(Role::OutsideLeg)?,
            inside: of(Role::InsideLeg)?,
            taken: taken(piece, fork),
            waist: 0.0,
            waist_levels: (0.0, 0.0),
            lower: 0.0,
            waist_seam: Vec::new(),
            lower_seams: Default::default(),
            turned: 0.0,
        };
        let waist = piece.edges(Role::Waist);
        let ends = waist.flat_map(|edge| [geometry::start(&edge.path), geometry::end(&edge.path)]);
        let mut ends: Vec<Point> = ends.flatten().collect();
        ends.sort_by(|a, b| b.x.total_cmp(&a.x));
        let (centre, side) = (*ends.first()?, *ends.last()?);
        half.waist = half.off_middle(side, fork);
        half.waist_levels = (centre.y, side.y);
        let seam = piece
            .edges(Role::Waist)
            .flat_map(|edge| sampled(&edge.path));
        let seam = seam.map(|p| (half.off_middle(p, fork), p.y));
        let mut seam: Vec<(f64, f64)> = seam.collect();
        seam.sort_by(|a, b| a.0.total_cmp(&b.0));
        half.waist_seam = seam;
        Some(half)
    }

    /// Returns the length from the middle seam, without its curve into the fork, to a point, with darts and
    /// pleats closed.
    pub(super) fn off_middle(&self, p: Point, fork: f64) -> f64 {
        let mut s = self.middle.at(p.y.min(fork - TURN)) - p.x;
        for taken in &self.taken {
            let (wide, front) = taken.at(p.y);
            s -= (front - p.x).clamp(0.0, wide);
        }
        s
    }

    /// Returns the width of the half at a level, with darts and pleats closed.
    pub(super) fn wide(&self, y: f64, fork: f64) -> f64 {
        self.off_middle(Point::new(self.outside.at(y), y), fork)
    }

    /// Returns the level of the waist seam so far from the middle.
    pub(super) fn waist_at(&self, far: f64) -> f64 {
        let seam = &self.waist_seam;
        let after = seam.partition_point(|(own, _)| *own < far);
        let after = after.clamp(1, seam.len().max(2) - 1);
        let (Some((a, y)), Some((b, z))) = (seam.get(after - 1), seam.get(after)) else {
            return self.waist_levels.0;
        };
        y + (z - y) * ((far - a) / (b - a).max(1e-6)).clamp(0.0, 1.0)
    }

    /// Returns the strips that darts and pleats take at a level, from the side to the middle.
    pub(super) fn gaps(&self, y: f64) -> Vec<(f64, f64)> {
        let taken = self.taken.iter().rev().map(|taken| taken.at(y));
        taken.map(|(wide, front)| (front - wide, front)).collect()
    }

    /// Returns the x of the middle of the leg on the piece, and the width of the piece.
    pub(super) fn leg(&self, y: f64) -> (f64, f64) {
        let (out, inner) = (self.outside.at(y), self.inside.at(y));
        ((out + inner) / 2.0, inner - out)
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
