//! Hangs an arm beside the trunk: the outside of a sleeve from the shoulder over the elbow to the hem.

use super::hand::smooth;
use super::lines::{edge, piece};
use super::sleeve_pieces::Flat;
use crate::draft::{Draft, Part, Role, Seam, Stretch};
use crate::geometry;
use crate::order::Side;
use kurbo::{Point, Vec2};

/// Width of a sleeve as it is seen, in parts of its flat width. A round tube shows 2/π of it (0.64); a
/// sleeve shows less, as an arm is narrower from the front than from the side (judged by eye, no source).
pub(super) const SEEN: f64 = 0.615;
/// Least degrees by which the upper arm hangs out from plumb: an arm at rest clears the hip (judged by eye, no
/// source).
const UPPER: f64 = 8.5;
/// Most degrees by which the upper arm of a stout man hangs out; his sleeve then lies over the side of his coat
/// (judged by eye, no source).
const MOST: f64 = 13.0;
/// Degrees by which the forearm hangs out: a bent arm comes in again towards the thigh (judged by eye, no source).
pub(super) const LOWER: f64 = -3.0;
/// Degrees added half-way down the forearm, which spread the bend beyond the elbow.
const BEND: f64 = 2.2;
/// Daylight between the sleeve and the coat at its waist, mm (judged by eye, no source).
const DAYLIGHT: f64 = 11.0;
/// How far the widest place of the sleeve head lies outside the shoulder point, in parts of the flat width
/// (judged by eye, no source).
const OUT: f64 = 0.216;
/// Level of that place, in parts of the depth of the crown.
pub(super) const OUT_LEVEL: f64 = 0.72;

/// The outside of a hanging sleeve, with the points of it that the inside lies opposite to.
pub(super) struct Outside {
    pub line: Vec<Point>,
    /// The widest place of the head, the elbow, the point half-way from it to the hem, and the hem.
    pub out: Point,
    pub elbow: Point,
    pub forearm: Point,
    pub hem: Point,
}

impl Outside {
    /// Draws the outside from the shoulder over the head, which stands `lift` mm above it, and down.
    pub(super) fn new(flat: &Flat, start: Point, waist: f64, lift: f64) -> Self {
        let wide = flat.width(flat.depth + 20.0);
        let out_level = OUT_LEVEL * flat.depth;
        let out = Point::new(start.x + OUT * wide, start.y + out_level);
        // The upper arm hangs out as far as it must for the elbow to clear the waist.
        let clear = waist + DAYLIGHT + SEEN * flat.width(flat.elbow) - out.x;
        let upper = clear.atan2(flat.elbow - out_level).to_degrees();
        let upper = upper.clamp(UPPER, MOST);
        // An arm that hangs out further does so from the shoulder down.
        let more = 0.3 * flat.depth * (upper.to_radians().tan() - UPPER.to_radians().tan());
        let out = out + Vec2::new(more, 0.0);
        let middle = |from: f64, to: f64| 0.5 * (to + from);
        let elbow = hung(out, flat.elbow - out_level, upper);
        let to_forearm = middle(flat.elbow, flat.hem) - flat.elbow;
        let forearm = hung(elbow, to_forearm, LOWER + BEND);
        let hem = hung(elbow, flat.hem - flat.elbow, LOWER);
        let upper_arm = hung(out, middle(flat.elbow, out_level) - out_level, upper);
        let mut line = smooth(&[
            start,
            start + Vec2::new(0.05 * wide, 0.018 * wide - lift),
            start + Vec2::new(0.112 * wide, 0.095 * wide - 0.35 * lift),
            start + Vec2::new(0.167 * wide + 0.4 * more, 0.38 * flat.depth),
            out,
            upper_arm + Vec2::new(1.0, 0.0),
            elbow,
            forearm,
            hem,
        ]);
        line.dedup_by(|a, b| a.distance(*b) < 0.01);
        Self {
            line,
            out,
            elbow,
            forearm,
            hem,
        }
    }
}

/// Returns the end of an arm of a given length that hangs from a point, some degrees out from plumb.
fn hung(from: Point, length: f64, degrees: f64) -> Point {
    let turn = degrees.to_radians();
    from + Vec2::new(length * turn.sin(), length * turn.cos())
}

/// Returns how far the sleeve head stands above the shoulder, mm: 0 at 5 % of ease in the crown, 8 at 8 %,
/// and less than 10 however much more ease there is (judged by eye, no source).
pub(super) fn head_lift(draft: &Draft, side: Side) -> f64 {
    let plays = |run: &[Stretch], role: Role| {
        let edge = |s: &Stretch| draft[s.piece].plays(s.edge, role);
        run.iter().all(edge)
    };
    let into_scye = |seam: &&Seam| plays(&seam.a, Role::Crown) && plays(&seam.b, Role::Scye);
    // The seam with the most stretches is that of the whole crown, not of a part of it between notches.
    let seams = draft.seams.iter().filter(into_scye);
    let seam = seams.max_by_key(|seam| seam.a.len() + seam.b.len());
    let scye: f64 = [Part::Back, Part::SideBody, Part::Forepart]
        .iter()
        .filter_map(|part| {
            Some(geometry::length(edge(
                piece(draft, *part, side)?.piece,
                Role::Scye,
            )?))
        })
        .sum();
    let ease = seam.map_or(0.06, |seam| 0.5 * (seam.least + seam.most) / scye.max(1.0));
    8.0 * ((ease - 0.05) / 0.03).clamp(0.0, 1.1).powi(2)
}
