//! Lays a new piece on the cloth that was cut, where it lacks the least, and measures what each seam needs there
//! and what the cloth leaves it.

use super::types::{LEAST, MovedSeam, Room, SLACK};
use crate::geometry::{end, joined, length, line_crossings, point_at, start, tangent_at};
use crate::pattern::piece::outward;
use kurbo::{BezPath, Point, Shape, Vec2};

/// Number of stretches into which an edge is parted; it is measured between them and not at its ends, which its
/// neighbours share.
const PLACES: u32 = 20;
/// Length by which an old edge is extended straight beyond its ends, mm, because a new one may be longer.
const BEYOND: f64 = 120.0;
/// Grain on grain is taken if its cost is less than this part of the cost as drafted: where pieces were drafted
/// is the usual place, and a small gain does not pay for another one.
const MUCH_BETTER: f64 = 0.4;
/// Cost of a lack of cloth in proportion to a seam that moves as far: high enough that the cloth is saved
/// first.
const LACKING: f64 = 200.0;

/// Extends an edge straight beyond both its ends.
pub(super) fn run_on(path: &BezPath) -> BezPath {
    let long = length(path);
    let (Some(from), Some(to)) = (start(path), end(path)) else {
        return path.clone();
    };
    let mut whole = BezPath::new();
    whole.move_to(from - tangent_at(path, 0.0) * BEYOND);
    whole.line_to(from);
    let mut whole = joined([&whole, path], 0.1);
    whole.line_to(to + tangent_at(path, long) * BEYOND);
    whole
}

/// An edge that is in both pieces.
pub(super) struct Seam<'a> {
    pub name: &'a str,
    pub now: &'a BezPath,
    /// The edge as it was cut, extended.
    pub was: BezPath,
    pub room: Room,
    /// Width of the old allowance that cannot be given, mm.
    pub kept: f64,
}

/// A new piece on the cloth that was cut.
pub(super) struct Laid<'a> {
    pub cut: &'a BezPath,
    pub now: &'a BezPath,
    pub seams: &'a [Seam<'a>],
}

/// A place of a seam, measured.
struct Place {
    at: Point,
    outward: Vec2,
    /// From the old seam line out to the new one; negative where it lies inside.
    out: f64,
    /// Width of cloth beyond the old seam line that can be given.
    leaves: f64,
}

impl Laid<'_> {
    /// Finds the shift at which the least cloth is lacking and, if none is, the seams move least. It is as
    /// drafted, or grain on grain, unless the cloth is too small there and large enough elsewhere.
    pub(super) fn best(&self, on_grain: Vec2) -> Vec2 {
        let cost = |shift: Vec2| self.cost(shift);
        let mut best = (Vec2::ZERO, cost(Vec2::ZERO));
        let grain = (on_grain, cost(on_grain));
        if grain.1.0 + grain.1.1 < MUCH_BETTER * (best.1.0 + best.1.1) {
            best = grain;
        }
        if best.1.0 <= 0.0 {
            return best.0;
        }
        let (first, mut step) = (best, 16.0);
        while step >= 0.5 {
            let ways = [(0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0)];
            let tried = ways.iter().map(|(x, y)| {
                let shift = best.0 + Vec2::new(*x, *y) * step;
                (shift, cost(shift))
            });
            let better = tried.min_by(|a, b| (a.1.0 + a.1.1).total_cmp(&(b.1.0 + b.1.1)));
            match better {
                Some(found) if found.1.0 + found.1.1 < best.1.0 + best.1.1 => best = found,
                _ => step /= 2.0,
            }
        }
        // A shift that does not save the piece only confuses.
        if best.1.0 > 0.0 { first.0 } else { best.0 }
    }

    /// Returns the cost of the cloth that is lacking, and how far the seams move in all.
    fn cost(&self, shift: Vec2) -> (f64, f64) {
        let places = self.seams.iter().flat_map(|seam| self.places(seam, shift));
        places.fold((0.0, 0.0), |(lacking, off), place| {
            let lack = lacking_at(&place);
            (lacking + LACKING * lack, off + place.out.abs())
        })
    }

    fn places<'b>(&'b self, seam: &'b Seam, shift: Vec2) -> impl Iterator<Item = Place> + 'b {
        let (long, out) = (length(seam.now), outward(self.now));
        (1..PLACES).filter_map(move |i| {
            let along = long * f64::from(i) / f64::from(PLACES);
            let outward = out(tangent_at(seam.now, along));
            let at = point_at(seam.now, along) + shift;
            let was = nearest_crossing(&seam.was, at, outward)?;
            let inside = self.cut.winding(at) != 0;
            let edge = line_crossings(self.cut, at, outward)
                .into_iter()
                .map(|c| c.b);
            let room = if inside {
                edge.filter(|b| *b > 0.0).fold(f64::INFINITY, f64::min)
            } else {
                edge.filter(|b| *b < 0.0).fold(f64::NEG_INFINITY, f64::max)
            };
            let room = if room.is_finite() { room } else { return None };
            Some(Place {
                at,
                outward,
                out: -was,
                leaves: room - was - seam.kept,
            })
        })
    }

    /// Measures what a seam needs and what the cloth leaves it, if it moves.
    pub(super) fn measured(&self, seam: &Seam, shift: Vec2) -> Option<MovedSeam> {
        let places: Vec<Place> = self.places(seam, shift).collect();
        let takes_in = places.iter().map(|p| -p.out).fold(0.0, f64::max);
        let lacking = |p: &&Place| lacking_at(p) > 0.0;
        let hardest = places.iter().filter(lacking).max_by(|a, b| {
            let lack = |p: &Place| p.out - p.leaves;
            lack(a).total_cmp(&lack(b))
        });
        let furthest = || {
            places
                .iter()
                .max_by(|a, b| a.out.abs().total_cmp(&b.out.abs()))
        };
        let outermost = || places.iter().max_by(|a, b| a.out.total_cmp(&b.out));
        let told = match hardest.or_else(outermost) {
            Some(place) if place.out >= LEAST => place,
            _ => furthest()?,
        };
        let needs = told.out.max(0.0);
        (needs >= LEAST || takes_in >= LEAST).then(|| MovedSeam {
            edge: seam.name.to_owned(),
            needs,
            takes_in,
            leaves: told.leaves.max(0.0),
            room: seam.room,
            at: told.at,
            outward: told.outward,
        })
    }
}

/// Returns the cloth that a place lacks, mm; 0 where the seam does not move.
fn lacking_at(place: &Place) -> f64 {
    let lack = place.out - place.leaves.max(0.0);
    if place.out >= LEAST && lack > SLACK {
        lack
    } else {
        0.0
    }
}

fn nearest_crossing(path: &BezPath, at: Point, along: Vec2) -> Option<f64> {
    line_crossings(path, at, along)
        .into_iter()
        .map(|crossing| crossing.b)
        .min_by(|a, b| a.abs().total_cmp(&b.abs()))
}
