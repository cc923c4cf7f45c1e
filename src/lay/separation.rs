//! Separation: parts that overlap on a strip that is too short are moved until none does.
//!
//! In each pass every part that overlaps is moved to where it overlaps least; then the weights of the pairs
//! that still overlap are raised (guided local search).

use super::arrangement::Arrangement;
use super::packing::{Packing, Position};
use super::random::Random;
use super::sampler::Sampler;
use super::strip::Strip;

/// An overlap below this part of the least so far is a clear gain; a smaller gain does not show that the
/// separation gets on.
const CLEAR_GAIN: f64 = 0.98;

/// How long a separation goes on without a clear gain.
#[derive(Debug, Clone, Copy)]
pub(super) struct Patience {
    /// Passes without a clear gain after which a strike is counted.
    pub passes: usize,
    /// Strikes after which the separation is given up.
    pub strikes: usize,
}

/// How a pass ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Outcome {
    /// No parts overlap.
    Separated,
    /// Some overlap; another pass may help.
    Open,
    /// Some overlap, and patience is at its end.
    Stuck,
}

/// Positions of all parts with their total overlap.
#[derive(Debug, Clone)]
pub(super) struct State {
    /// Overlap of all pairs, not weighted.
    pub overlap: f64,
    /// Position of each part.
    pub positions: Vec<Position>,
}

/// One attempt to separate an arrangement.
#[derive(Debug)]
pub(super) struct Separation {
    /// Where the parts stand now.
    pub arrangement: Arrangement,
    /// The state of least overlap since this separation began.
    pub least: State,
    /// Passes so far.
    pub passes: usize,
    /// Passes since the last clear gain.
    stale: usize,
    strikes: usize,
    /// Overlap when this strike began.
    strike_began: f64,
}

impl Separation {
    /// An arrangement that is not to be separated yet.
    pub(super) fn new(packing: &Packing, positions: Vec<Position>) -> Self {
        Self {
            arrangement: Arrangement::new(packing, positions),
            least: State {
                overlap: 0.0,
                positions: Vec::new(),
            },
            passes: 0,
            stale: 0,
            strikes: 0,
            strike_began: 0.0,
        }
    }

    /// Begins from the present positions, with all weights 1.
    pub(super) fn begin(&mut self) {
        self.arrangement.reset_weights();
        let overlap = self.arrangement.total_overlap();
        self.least = State {
            overlap,
            positions: self.arrangement.positions.clone(),
        };
        self.stale = 0;
        self.strikes = 0;
        self.strike_began = overlap;
        self.passes = 0;
    }

    /// Moves every part that overlaps, in random order. With `tilts` parts may be tilted off their grain.
    pub(super) fn pass<'a>(
        &mut self,
        packing: &Packing<'a>,
        strip: &Strip,
        sampler: &mut Sampler<'a>,
        random: &mut Random,
        tilts: bool,
        patience: Patience,
    ) -> Outcome {
        let mut order: Vec<usize> = (0..packing.count())
            .filter(|&part| packing.fixed(part).is_none())
            .filter(|&part| self.arrangement.overlap_of(part) > 0.0)
            .collect();
        random.shuffle(&mut order);
        for part in order {
            if self.arrangement.overlap_of(part) > 0.0 {
                sampler.relocate(packing, strip, &mut self.arrangement, random, part, tilts);
            }
        }
        sampler.evaluations += packing.count() as u64;
        self.passes += 1;
        let overlap = self.arrangement.total_overlap();
        if overlap == 0.0 {
            return Outcome::Separated;
        }
        if overlap < self.least.overlap {
            if overlap < CLEAR_GAIN * self.least.overlap {
                self.stale = 0;
            }
            self.least.overlap = overlap;
            let least = &mut self.least.positions;
            least.copy_from_slice(&self.arrangement.positions);
        } else {
            self.stale += 1;
        }
        self.arrangement.raise_weights();
        if self.stale >= patience.passes {
            return self.strike(packing, patience);
        }
        Outcome::Open
    }

    /// Goes back to the state of least overlap after passes without gain, or gives up.
    fn strike(&mut self, packing: &Packing, patience: Patience) -> Outcome {
        self.stale = 0;
        if self.least.overlap < CLEAR_GAIN * self.strike_began {
            self.strikes = 0;
        } else {
            self.strikes += 1;
        }
        self.strike_began = self.least.overlap;
        self.arrangement.arrange(packing, &self.least.positions);
        if self.strikes >= patience.strikes {
            Outcome::Stuck
        } else {
            Outcome::Open
        }
    }
}
