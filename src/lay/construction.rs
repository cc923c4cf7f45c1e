//! Construction of lays by placing parts one by one, in better and better orders.

use super::bottom_left::BottomLeft;
use super::packing::{Packing, Position};
use super::random::Random;
use super::solution::Solution;
use super::strip::Strip;

/// Greatest number of parts that change their place in the order from one lay to the next.
const CHANGES: usize = 4;
/// On a pattern, one lay in this many begins elsewhere on the repeat.
const ELSEWHERE: usize = 4;

/// Local search over the order in which parts are placed.
///
/// On a pattern parts move by whole repeats, and another order finds lays that separation does not.
pub(super) struct Construction {
    /// The best order so far, and the lay that it gave.
    order: Vec<usize>,
    positions: Vec<Position>,
    length: f64,
    /// Where the last bay began in that lay; `None` while no lay has been built in this order.
    start: Option<f64>,
    builder: BottomLeft,
}

impl Construction {
    /// Begins with the largest parts first.
    pub(super) fn new(packing: &Packing, first: &Solution) -> Self {
        Self {
            order: packing.by_decreasing_area(),
            positions: first.positions.clone(),
            length: first.length(),
            start: None,
            builder: BottomLeft::default(),
        }
    }

    /// Overlap evaluations so far.
    pub(super) fn evaluations(&self) -> u64 {
        self.builder.evaluations
    }

    /// Builds a lay in the best order with a few changes, and returns it if it is no longer than the best one
    /// built so far.
    pub(super) fn rebuild(
        &mut self,
        packing: &Packing,
        whole: &Strip,
        random: &mut Random,
    ) -> Option<Solution> {
        let count = packing.count();
        let mut order = self.order.clone();
        let mut kept = count;
        for _ in 0..1 + random.index(CHANGES) {
            let (from, to) = (random.index(count), random.index(count));
            let part = order.remove(from);
            order.insert(to, part);
            kept = kept.min(from).min(to);
        }
        let start = self.next_start(packing, whole, random);
        if self.start != Some(start) {
            kept = 0;
        }
        let mut strip = whole.clone();
        strip.set_last((start, whole.last().1));
        let mut positions = self.positions.clone();
        // What every order costs, however little of it is built anew.
        self.builder.evaluations += count as u64;
        let built = self
            .builder
            .build(packing, &strip, &order, kept, self.length, &mut positions);
        if !built {
            return None;
        }
        let solution = Solution::new(packing, &strip, positions);
        self.length = solution.length();
        self.order = order;
        self.start = Some(start);
        self.positions = solution.positions.clone();
        Some(solution)
    }

    /// Where the last bay begins in the next lay.
    fn next_start(&self, packing: &Packing, whole: &Strip, random: &mut Random) -> f64 {
        let repeat = packing.instance.repeat.along;
        match self.start {
            Some(start) if repeat.is_none() || random.index(ELSEWHERE) > 0 => start,
            _ if whole.bays.len() == 1 => whole.last().0 + repeat.unwrap_or(0.0) * random.unit(),
            _ => whole.last().0,
        }
    }
}
