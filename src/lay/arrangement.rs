//! Parts in their positions, overlapping or not, with the overlap of each pair.

use super::obstacle::Obstacle;
use super::packing::{Packing, Position};

/// The positions of all parts, how they overlap, and what each overlap weighs.
#[derive(Debug, Clone)]
pub(super) struct Arrangement {
    /// Position of each part.
    pub positions: Vec<Position>,
    /// Overlap of each pair of parts, not weighted, row by row.
    overlaps: Vec<f64>,
    /// Weight of each pair.
    weights: Vec<f64>,
    /// Cost of one mm of overlap of each pair.
    factors: Vec<f64>,
}

impl Arrangement {
    /// Parts in these positions, all weights 1.
    pub(super) fn new(packing: &Packing, positions: Vec<Position>) -> Self {
        let count = positions.len();
        let mut arrangement = Self {
            positions,
            overlaps: vec![0.0; count * count],
            weights: vec![1.0; count * count],
            factors: packing.factors(),
        };
        arrangement.measure(packing);
        arrangement
    }

    /// Moves all parts to other positions; the weights are kept.
    pub(super) fn arrange(&mut self, packing: &Packing, positions: &[Position]) {
        self.positions.copy_from_slice(positions);
        self.measure(packing);
    }

    /// Makes all weights 1 again.
    pub(super) fn reset_weights(&mut self) {
        self.weights.fill(1.0);
    }

    fn measure(&mut self, packing: &Packing) {
        for part in 0..self.positions.len() {
            self.measure_part(packing, part);
        }
    }

    fn measure_part(&mut self, packing: &Packing, part: usize) {
        let count = self.positions.len();
        let position = self.positions[part];
        for other in 0..count {
            if other == part {
                continue;
            }
            let obstacle = self.obstacle(packing, part, position.orientation, other);
            let depth = obstacle.depth(packing, position.centre, f64::INFINITY);
            let overlap = depth * self.factors[part * count + other];
            self.overlaps[part * count + other] = overlap;
            self.overlaps[other * count + part] = overlap;
        }
    }

    /// Moves one part.
    pub(super) fn move_part(&mut self, packing: &Packing, part: usize, position: Position) {
        self.positions[part] = position;
        self.measure_part(packing, part);
    }

    fn obstacle<'a>(
        &self,
        packing: &Packing<'a>,
        part: usize,
        orientation: usize,
        other: usize,
    ) -> Obstacle<'a> {
        let position = self.positions[other];
        let pair = packing.table.pair(
            packing.shape(other, position.orientation),
            packing.shape(part, orientation),
        );
        let index = part * self.positions.len() + other;
        Obstacle {
            centre: position.centre,
            half: pair.half,
            weight: self.weights[index] * self.factors[index],
            pair,
        }
    }

    /// Lists all other parts as obstacles to one part in an orientation.
    pub(super) fn obstacles<'a>(
        &self,
        packing: &Packing<'a>,
        part: usize,
        orientation: usize,
        into: &mut Vec<Obstacle<'a>>,
    ) {
        into.clear();
        let others = (0..self.positions.len()).filter(|&other| other != part);
        into.extend(others.map(|other| self.obstacle(packing, part, orientation, other)));
    }

    /// Weighted overlap of one part with all others.
    pub(super) fn weighted_overlap_of(&self, part: usize) -> f64 {
        let row = part * self.positions.len()..(part + 1) * self.positions.len();
        let pairs = self.overlaps[row.clone()].iter().zip(&self.weights[row]);
        pairs.map(|(overlap, weight)| overlap * weight).sum()
    }

    /// Overlap of one part with all others, not weighted.
    pub(super) fn overlap_of(&self, part: usize) -> f64 {
        let count = self.positions.len();
        self.overlaps[part * count..(part + 1) * count].iter().sum()
    }

    /// Overlap of all pairs, not weighted.
    pub(super) fn total_overlap(&self) -> f64 {
        self.overlaps.iter().sum::<f64>() / 2.0
    }

    /// Raises the weights of the pairs that overlap, in proportion to their overlap, and lets the weights of
    /// the others sink towards 1. This is the step by which guided local search leaves a local minimum. (Rates:
    /// arXiv 2509.13329, from memory.)
    pub(super) fn raise_weights(&mut self) {
        const LEAST_RISE: f64 = 1.2;
        const GREATEST_RISE: f64 = 2.0;
        const SINK: f64 = 0.95;
        // Far beyond what any pair needs to get its way, and far from the end of the numbers.
        const GREATEST: f64 = 1e12;
        let most = self.overlaps.iter().copied().fold(0.0, f64::max);
        for (weight, &overlap) in self.weights.iter_mut().zip(&self.overlaps) {
            if overlap > 0.0 {
                *weight = (*weight * (LEAST_RISE + (GREATEST_RISE - LEAST_RISE) * overlap / most))
                    .min(GREATEST);
            } else {
                *weight = (*weight * SINK).max(1.0);
            }
        }
    }
}
