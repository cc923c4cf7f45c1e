//! Finds the notches, pockets, darts, holes and folds that move on a piece already cut.

use super::types::{Change, LEAST, MovedMark, Work};
use crate::draft::{DraftEdge, DraftNotch, Mark};
use crate::geometry::{length, point_at, tangent_at};
use kurbo::{Affine, BezPath, Point, Vec2};

/// Half the length of the line that shows a notch, mm.
const TICK: f64 = 6.0;

/// The notches and marks of one piece, in its frame.
pub(super) struct Marked<'a> {
    pub edges: &'a [DraftEdge],
    pub notches: &'a [DraftNotch],
    pub marks: &'a [Mark],
}

impl Marked<'_> {
    /// Returns the place of a notch and the direction of its seam there.
    fn place(&self, notch: &DraftNotch) -> (Point, Vec2) {
        let path = &self.edges[notch.edge.0].path;
        (point_at(path, notch.at), tangent_at(path, notch.at))
    }

    /// Finds the notches and marks of `now`, laid on this piece with a shift, that have moved.
    pub(super) fn moved(&self, now: &Marked, shift: Vec2) -> Vec<MovedMark> {
        let mut found = self.notches_moved(now, shift);
        let mut names: Vec<&str> = Vec::new();
        for mark in now.marks.iter().chain(self.marks) {
            if !names.contains(&mark.name.as_str()) {
                names.push(&mark.name);
            }
        }
        found.extend(
            names
                .into_iter()
                .filter_map(|name| self.mark_moved(now, name, shift)),
        );
        found
    }

    fn notches_moved(&self, now: &Marked, shift: Vec2) -> Vec<MovedMark> {
        let moved = |(i, notch): (usize, &DraftNotch)| {
            // The nth notch of a name is compared with the nth before.
            let before = now.notches.iter().take(i);
            let nth = before.filter(|n| n.name == notch.name).count();
            let own = |n: &&DraftNotch| n.name == notch.name;
            let old = self.notches.iter().filter(own).nth(nth)?;
            let ((was, old_along), (at, along)) = (self.place(old), now.place(notch));
            let at = at + shift;
            let by = along * (at - was).dot(along);
            let tick = |place: Point, direction: Vec2| {
                let across = direction.turn_90() * TICK;
                let mut path = BezPath::new();
                path.move_to(place - across);
                path.line_to(place + across);
                path
            };
            (by.hypot() >= LEAST).then(|| MovedMark {
                name: format!("{} notch", notch.name),
                change: Change::Moved(by),
                work: Work::Notch,
                was: tick(was, old_along),
                now: tick(at, along),
            })
        };
        now.notches.iter().enumerate().filter_map(moved).collect()
    }

    /// Finds the mark that moves most among all of one name.
    fn mark_moved(&self, now: &Marked, name: &str, shift: Vec2) -> Option<MovedMark> {
        let of = |marks: &'_ [Mark]| -> Vec<Mark> {
            let own = marks.iter().filter(|mark| mark.name == name);
            own.cloned().collect()
        };
        let (was, now) = (of(self.marks), of(now.marks));
        let work = Work::of(now.first().or(was.first())?.kind)?;
        let laid = |mark: &Mark| Affine::translate(shift) * mark.path.clone();
        let moves = was.iter().zip(&now).map(|(was, now)| {
            let now = laid(now);
            let by = most_moved(&was.path, &now);
            (by, was.path.clone(), now)
        });
        let most = moves.max_by(|a, b| a.0.hypot().total_cmp(&b.0.hypot()));
        let (change, was, now) = match most {
            _ if now.len() > was.len() => (
                Change::New,
                BezPath::new(),
                now.get(was.len()).map(laid).unwrap_or_default(),
            ),
            _ if now.len() < was.len() => (
                Change::Gone,
                was.get(now.len())
                    .map(|m| m.path.clone())
                    .unwrap_or_default(),
                BezPath::new(),
            ),
            Some((by, old, new)) if by.hypot() >= LEAST => (Change::Moved(by), old, new),
            _ => return None,
        };
        Some(MovedMark {
            name: name.to_owned(),
            change,
            work,
            was,
            now,
        })
    }
}

/// Returns the greatest of the ways between corresponding places of two lines.
fn most_moved(was: &BezPath, now: &BezPath) -> Vec2 {
    let (long_was, long_now) = (length(was), length(now));
    let places = [0.0, 0.25, 0.5, 0.75, 1.0];
    let ways = places.map(|part| point_at(now, part * long_now) - point_at(was, part * long_was));
    let most = ways
        .into_iter()
        .max_by(|a, b| a.hypot().total_cmp(&b.hypot()));
    most.unwrap_or_default()
}
