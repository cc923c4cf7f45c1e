//! Lists how far the points of one seam lie below those of the seam it is sewn to, so that both are seen at one level.

use super::ruled::spaced;
use crate::draft::{Draft, PieceId, Role, Stretch};
use crate::geometry;
use kurbo::Point;

/// Number of points at which two seams are compared: one in 15 mm of the longest.
const COUNT: usize = 72;

/// Levels of a seam, each with the distance down to the point that it meets, mm.
#[derive(Debug, Clone, Default)]
pub(super) struct Shifts(Vec<(f64, f64)>);

impl Shifts {
    /// Compares a seam of a piece with the other piece it is sewn to, section by section as the draft declares it.
    pub(super) fn sewn(draft: &Draft, own: PieceId, other: PieceId, role: Role) -> Self {
        let mut levels = Vec::new();
        for seam in &draft.seams {
            let ([a], [b]) = (seam.a.as_slice(), seam.b.as_slice()) else {
                continue;
            };
            let (a, b) = if a.piece == own { (a, b) } else { (b, a) };
            if a.piece == own && b.piece == other && draft[own].plays(a.edge, role) {
                let section = Self::between(&down(draft, a), &down(draft, b));
                levels.extend(section.0);
            }
        }
        levels.sort_by(|a: &(f64, f64), b| a.0.total_cmp(&b.0));
        Self(levels)
    }

    /// Compares two seams, given through points from their upper ends, at equal shares of their lengths. The ease
    /// of one on the other is so spread evenly.
    pub(super) fn between(own: &[Point], other: &[Point]) -> Self {
        let pairs = spaced(own, COUNT).into_iter().zip(spaced(other, COUNT));
        let mut levels: Vec<(f64, f64)> = pairs.map(|(p, q)| (p.y, q.y - p.y)).collect();
        levels.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self(levels)
    }

    /// Returns the distance down at a level; beyond the seam, that at its end.
    pub(super) fn at(&self, y: f64) -> f64 {
        let after = self.0.partition_point(|(level, _)| *level < y);
        let after = after.clamp(1, self.0.len().max(2) - 1);
        let (Some((a, from)), Some((b, to))) = (self.0.get(after - 1), self.0.get(after)) else {
            return 0.0;
        };
        from + (to - from) * ((y - a) / (b - a).max(1e-6)).clamp(0.0, 1.0)
    }
}

/// Returns points along a stretch, from its upper end down.
fn down(draft: &Draft, stretch: &Stretch) -> Vec<Point> {
    let path = &draft[stretch.piece][stretch.edge].path;
    let whole = geometry::length(path);
    let (from, to) = (stretch.from.unwrap_or(0.0), stretch.to.unwrap_or(whole));
    let places = (0..=COUNT).map(|i| from + (to - from) * i as f64 / COUNT as f64);
    let mut points: Vec<Point> = places.map(|at| geometry::point_at(path, at)).collect();
    if points
        .first()
        .zip(points.last())
        .is_some_and(|(a, b)| a.y > b.y)
    {
        points.reverse();
    }
    points
}
