//! A new piece laid on the cloth that was cut: where on it the least is lacking, and what each seam
//! needs and is left there.

use super::carried::LEAST;
use super::moved::{MovedSeam, Room};
use crate::geometry::{end, joined, length, line_crossings, point_at, start, tangent_at};
use crate::pattern::piece::outward;
use kurbo::{BezPath, Point, Shape, Vec2};

/// Places along an edge that are measured; its very ends are its neighbours' as well.
const PLACES: u32 = 20;
/// How far an old edge is thought to run on straight beyond its ends, mm: a new one may be longer.
const BEYOND: f64 = 120.0;
/// What is lacking may be this much, mm, before a seam is called lacking.
pub(super) const SLACK: f64 = 0.25;
/// Grain on grain the seams must lie off by less than this part of what they do as drafted.
const MUCH_BETTER: f64 = 0.4;
/// A place without enough cloth is as bad as a seam that lies so many times as far off.
const LACKING: f64 = 200.0;

/// An edge run on straight beyond both its ends.
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
    /// As it was cut, run on.
    pub was: BezPath,
    pub room: Room,
    /// What of the old allowance cannot be given.
    pub kept: f64,
}

/// A new piece on the cloth that was cut.
pub(super) struct Laid<'a> {
    pub cut: &'a BezPath,
    pub now: &'a BezPath,
    pub seams: &'a [Seam<'a>],
}

/// What is measured at one place of a seam.
struct Place {
    at: Point,
    outward: Vec2,
    /// From the old seam line out to the new one; negative where it lies inside.
    out: f64,
    /// What the cloth leaves beyond what must be kept, from the old seam line on.
    leaves: f64,
}

impl Laid<'_> {
    /// The shift at which least is lacking, and if nothing is, least moves. It is as drafted, or grain on
    /// grain, unless the cloth lacks something there and has it elsewhere.
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

    /// What is lacking, and how far the seams lie off.
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

    /// What a seam needs and what it is left, if it moves.
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

/// What a place lacks, mm; nothing where the seam does not move.
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
