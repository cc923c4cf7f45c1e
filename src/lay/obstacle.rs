//! Another part, as an obstacle to one that looks for a place.

use super::nofit_table::ShapePair;
use super::packing::Packing;
use super::random::Random;
use super::tolerance::TOUCH;
use kurbo::{Point, Vec2};

/// A part that stands where another looks for a place. The other is in one orientation.
#[derive(Debug, Clone, Copy)]
pub(super) struct Obstacle<'a> {
    /// Centre of its box.
    pub centre: Point,
    /// How far from it, on each axis, the other's centre must be for their boxes not to overlap.
    pub half: Vec2,
    /// Cost of one mm of overlap.
    pub weight: f64,
    /// Its shape and that of the other part.
    pub pair: ShapePair<'a>,
}

/// A straight wall that stands for the nearest boundary of a no-fit region.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wall {
    /// Penetration depth beyond the wall; negative in front of it.
    pub depth: f64,
    /// The direction out, of length 1.
    pub direction: Vec2,
    /// Cost of one mm of depth.
    pub weight: f64,
}

impl Obstacle<'_> {
    /// Returns a random place at which the obstacle is touched: a corner of the boundary or any point of an
    /// edge of it.
    pub(super) fn touching(&self, packing: &Packing, random: &mut Random) -> Point {
        // A third of the places are corners, where two edges touch at once.
        const WITH_CORNERS: f64 = 1.5;
        let region = packing.table.region(&self.pair);
        let contour = &region.contours[random.index(region.contours.len())];
        let index = random.index(contour.len());
        let (p, q) = (contour[index], contour[(index + 1) % contour.len()]);
        let t = (random.unit() * WITH_CORNERS).min(1.0);
        self.centre + self.pair.seen(p.lerp(q, t).to_vec2()).to_vec2()
    }

    /// Whether the box of a part with its centre at `p` overlaps the obstacle's, or would within `reach`.
    pub(super) fn is_near(&self, p: Point, reach: f64) -> bool {
        let step = p - self.centre;
        step.x.abs() < self.half.x + reach && step.y.abs() < self.half.y + reach
    }

    /// Returns the penetration depth of a part with its centre at `p`, 0 without overlap. If it is at least
    /// `enough`, a lower bound that is also at least `enough` may be returned instead.
    pub(super) fn depth(&self, packing: &Packing, p: Point, enough: f64) -> f64 {
        if !self.is_near(p, 0.0) {
            return 0.0;
        }
        let depth = packing.table.depth(&self.pair, p - self.centre, enough);
        if depth > TOUCH { depth } else { 0.0 }
    }

    /// Returns a lower bound of the weighted overlap at `p`, without a closer look; `None` where there is known
    /// to be no overlap.
    #[inline]
    pub(super) fn least_cost(&self, p: Point) -> Option<f64> {
        if !self.is_near(p, 0.0) {
            return None;
        }
        let least = self.pair.least_depth(p - self.centre)?;
        Some(self.weight * least)
    }

    /// Returns the weighted overlap at `p`. If it is at least `enough`, a lower bound that is also at least
    /// `enough` may be returned instead.
    pub(super) fn cost(&self, packing: &Packing, p: Point, enough: f64) -> f64 {
        self.weight * self.depth(packing, p, enough / self.weight)
    }

    /// Returns the wall nearest to `p`; `None` far from the obstacle.
    pub(super) fn wall(&self, packing: &Packing, p: Point) -> Option<Wall> {
        if !self.is_near(p, 0.0) {
            return None;
        }
        let penetration = packing.table.penetration(&self.pair, p - self.centre)?;
        Some(Wall {
            depth: penetration.depth,
            direction: penetration.direction,
            weight: self.weight,
        })
    }
}
