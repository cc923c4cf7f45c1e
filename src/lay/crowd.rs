//! Parts standing on the strip, overlapping as they may, and how much each pair does.

use super::shape::Shape;
use super::strip::Strip;
use super::table::{Pair, Table};
use super::work::Work;
use kurbo::{Point, Vec2};

/// Overlap that counts as none, mm: a tenth of what the check of the lay lets pass.
pub(super) const TOUCH: f64 = super::TOLERANCE / 10.0;

/// A part's way and the centre of its box on the strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    /// Index into the part's ways.
    pub way: usize,
    /// Centre of its box.
    pub centre: Point,
}

/// What does not change while parts are moved.
#[derive(Debug)]
pub(super) struct Ground<'a> {
    /// The parts and their shapes.
    pub work: &'a Work<'a>,
    /// Where shapes may not stand.
    pub table: &'a Table,
    /// How much an overlap of each pair of parts counts, for each mm of it.
    pub factors: Vec<f64>,
    held: bool,
}

impl<'a> Ground<'a> {
    /// The ground for some work. An overlap counts more the larger both parts are: the root of
    /// the mean of their breadths, so that small parts give way to large ones and not the other
    /// way round.
    pub(super) fn new(work: &'a Work<'a>, table: &'a Table) -> Self {
        let breadth: Vec<f64> = (0..work.parts.len())
            .map(|part| work.shapes[work.parts[part].ways[0].shape].area.powf(0.25))
            .collect();
        let mean = breadth.iter().sum::<f64>() / breadth.len().max(1) as f64;
        let factor = |a: f64, b: f64| (a * b).sqrt() / mean;
        let factors = breadth
            .iter()
            .flat_map(|&a| breadth.iter().map(move |&b| factor(a, b)))
            .collect();
        let mut rails =
            (work.parts.iter()).flat_map(|part| part.ways.iter().flat_map(|way| way.rails));
        let held = work.repeat != Vec2::ZERO && rails.any(|rail| rail.step > 0.0);
        Ground {
            work,
            table,
            factors,
            held,
        }
    }

    /// Whether the cloth's pattern holds any part.
    pub(super) fn is_held(&self) -> bool {
        self.held
    }

    /// Number of parts.
    pub(super) fn count(&self) -> usize {
        self.work.parts.len()
    }

    /// How many ways a part may lie, with tilts or without; those without come first.
    pub(super) fn ways(&self, part: usize, tilts: bool) -> usize {
        let ways = &self.work.parts[part].ways;
        if tilts {
            ways.len()
        } else {
            ways.partition_point(|way| way.tilt == 0.0)
        }
    }

    /// The shape a part has at a spot.
    pub(super) fn shape(&self, part: usize, way: usize) -> usize {
        self.work.parts[part].ways[way].shape
    }

    /// That shape's extent.
    pub(super) fn size(&self, part: usize, way: usize) -> Vec2 {
        self.size_of(self.shape(part, way))
    }

    fn size_of(&self, shape: usize) -> Vec2 {
        let shape: &Shape = &self.work.shapes[shape];
        shape.size
    }
}

/// Another part as seen by one that looks for a place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Obstacle<'a> {
    centre: Point,
    half: Vec2,
    weight: f64,
    pair: &'a Pair,
}

impl<'a> Obstacle<'a> {
    /// A place where it is touched: a corner of the boundary or any point of an edge of it.
    pub(super) fn touching(&self, ground: &Ground, chance: &mut super::chance::Chance) -> Point {
        let region = ground.table.region(self.pair);
        let contour = &region.contours[chance.one_of(region.contours.len())];
        let index = chance.one_of(contour.len());
        let (p, q) = (contour[index], contour[(index + 1) % contour.len()]);
        let t = (chance.part() * 1.5).min(1.0);
        self.centre + self.pair.seen(p.lerp(q, t).to_vec2()).to_vec2()
    }

    /// Whether a part with its centre at `p` is so near that its box and the obstacle's overlap,
    /// or would within `reach`.
    pub(super) fn is_near(&self, p: Point, reach: f64) -> bool {
        let step = p - self.centre;
        step.x.abs() < self.half.x + reach && step.y.abs() < self.half.y + reach
    }

    /// How deep a part with its centre at `p` overlaps, 0 if it does not; where it is known to be at
    /// least `enough`, no more.
    fn depth(&self, ground: &Ground, p: Point, enough: f64) -> f64 {
        if !self.is_near(p, 0.0) {
            return 0.0;
        }
        let depth = ground.table.depth(self.pair, p - self.centre, enough);
        if depth > TOUCH { depth } else { 0.0 }
    }

    /// The least that the weighted overlap at `p` is known to be without looking closely; `None` if there
    /// is known to be none.
    #[inline]
    pub(super) fn least_cost(&self, ground: &Ground, p: Point) -> Option<f64> {
        if !self.is_near(p, 0.0) {
            return None;
        }
        let least = ground.table.least_depth(self.pair, p - self.centre)?;
        Some(self.weight * least)
    }

    /// The weighted overlap at `p`; where it is known to be at least `enough`, no more.
    pub(super) fn cost(&self, ground: &Ground, p: Point, enough: f64) -> f64 {
        self.weight * self.depth(ground, p, enough / self.weight)
    }

    /// The shortest way out at `p` with the weight of the overlap.
    pub(super) fn out(&self, ground: &Ground, p: Point) -> Option<(f64, Vec2, f64)> {
        if !self.is_near(p, 0.0) {
            return None;
        }
        let out = ground.table.out(self.pair, p - self.centre)?;
        Some((out.depth, out.toward, self.weight))
    }
}

/// All parts, where they stand and how they overlap.
#[derive(Debug, Clone)]
pub(super) struct Crowd {
    /// Where each part stands.
    pub spots: Vec<Spot>,
    /// Overlap of each pair of parts, not weighted.
    losses: Vec<f64>,
    /// Weight of each pair.
    weights: Vec<f64>,
}

impl Crowd {
    /// Parts standing at these spots, all weights 1.
    pub(super) fn new(ground: &Ground, spots: Vec<Spot>) -> Self {
        let count = spots.len();
        let mut crowd = Crowd {
            spots,
            losses: vec![0.0; count * count],
            weights: vec![1.0; count * count],
        };
        crowd.measure(ground);
        crowd
    }

    /// Puts all parts elsewhere; the weights are kept.
    pub(super) fn stand(&mut self, ground: &Ground, spots: &[Spot]) {
        self.spots.copy_from_slice(spots);
        self.measure(ground);
    }

    /// Makes all weights 1 again.
    pub(super) fn forget(&mut self) {
        self.weights.fill(1.0);
    }

    fn measure(&mut self, ground: &Ground) {
        for part in 0..self.spots.len() {
            self.measure_part(ground, part);
        }
    }

    fn measure_part(&mut self, ground: &Ground, part: usize) {
        let count = self.spots.len();
        let spot = self.spots[part];
        for other in 0..count {
            if other == part {
                continue;
            }
            let obstacle = self.obstacle(ground, part, spot.way, other);
            let depth = obstacle.depth(ground, spot.centre, f64::INFINITY);
            let loss = depth * ground.factors[part * count + other];
            self.losses[part * count + other] = loss;
            self.losses[other * count + part] = loss;
        }
    }

    /// Moves one part.
    pub(super) fn shift(&mut self, ground: &Ground, part: usize, spot: Spot) {
        self.spots[part] = spot;
        self.measure_part(ground, part);
    }

    fn obstacle<'a>(
        &self,
        ground: &Ground<'a>,
        part: usize,
        way: usize,
        other: usize,
    ) -> Obstacle<'a> {
        let spot = self.spots[other];
        let pair = ground
            .table
            .pair(ground.shape(other, spot.way), ground.shape(part, way));
        let index = part * self.spots.len() + other;
        Obstacle {
            centre: spot.centre,
            half: pair.half,
            weight: self.weights[index] * ground.factors[index],
            pair,
        }
    }

    /// All others as one part sees them, lying one way.
    pub(super) fn obstacles<'a>(
        &self,
        ground: &Ground<'a>,
        part: usize,
        way: usize,
        into: &mut Vec<Obstacle<'a>>,
    ) {
        into.clear();
        let others = (0..self.spots.len()).filter(|&other| other != part);
        into.extend(others.map(|other| self.obstacle(ground, part, way, other)));
    }

    /// Weighted overlap of one part with all others.
    pub(super) fn cost_of(&self, part: usize) -> f64 {
        let row = part * self.spots.len()..(part + 1) * self.spots.len();
        let pairs = self.losses[row.clone()].iter().zip(&self.weights[row]);
        pairs.map(|(loss, weight)| loss * weight).sum()
    }

    /// Overlap of one part with all others, not weighted.
    pub(super) fn loss_of(&self, part: usize) -> f64 {
        let count = self.spots.len();
        self.losses[part * count..(part + 1) * count].iter().sum()
    }

    /// Overlap of all pairs, not weighted.
    pub(super) fn loss(&self) -> f64 {
        self.losses.iter().sum::<f64>() / 2.0
    }

    /// Raises the weights of the pairs that overlap, most for the one that overlaps most, and lets
    /// those of the others sink towards 1.
    pub(super) fn learn(&mut self) {
        const LEAST_RISE: f64 = 1.2;
        const MOST_RISE: f64 = 2.0;
        const SINK: f64 = 0.95;
        // Far beyond what any pair needs to get its way, and far from the end of the numbers.
        const MOST: f64 = 1e12;
        let most = self.losses.iter().copied().fold(0.0, f64::max);
        for (weight, &loss) in self.weights.iter_mut().zip(&self.losses) {
            if loss > 0.0 {
                *weight =
                    (*weight * (LEAST_RISE + (MOST_RISE - LEAST_RISE) * loss / most)).min(MOST);
            } else {
                *weight = (*weight * SINK).max(1.0);
            }
        }
    }
}

/// Where the centre of a part may stand on the strip, lying one way.
pub(super) fn stands(
    ground: &Ground,
    strip: &Strip,
    part: usize,
    way: usize,
) -> super::strip::Room {
    strip.room(
        ground.size(part, way),
        ground.work.parts[part].ways[way].rails,
    )
}
