//! The search for a short lay.
//!
//! Several islands search at once, each with its own chance; after each round all know the best
//! lay. A round is an amount of work, not of time, so that the same rounds give the same lay on
//! however many threads.

use super::chance::Chance;
use super::crowd::{Ground, Spot};
use super::island::Island;
use super::kept::Start;
use super::strip::{Ends, Strip};
use rayon::prelude::*;

/// Obstacles asked in a round, for each part: about a tenth of a second for a suit.
const WORK: u64 = 50_000;

/// The threads on which islands search.
pub enum Threads {
    /// The one that asks.
    One,
    /// Those of the pool that it belongs to, where they are free. One that waits for another takes up what
    /// else there is to do meanwhile: with many orders it would hold more than one of them.
    Callers,
    /// Those of a pool of their own.
    Own(rayon::ThreadPool),
}

impl Threads {
    /// So many, or the caller's where it is 0.
    pub fn new(count: usize) -> Self {
        match count {
            0 => Threads::Callers,
            1 => Threads::One,
            _ => {
                let pool = rayon::ThreadPoolBuilder::new().num_threads(count);
                pool.build().map_or(Threads::One, Threads::Own)
            }
        }
    }
}

/// A lay without overlap.
#[derive(Debug, Clone)]
pub struct Found {
    /// Where each part stands.
    pub spots: Vec<Spot>,
    /// Where the last bay starts and ends.
    pub last: (f64, f64),
}

impl Found {
    /// Parts that stand on a strip without overlap; the last bay is cut off where they end, and where
    /// nothing lies before it, where they begin.
    pub fn new(ground: &Ground, strip: &Strip, spots: Vec<Spot>) -> Self {
        let mut ends = Ends::new(strip);
        for (part, spot) in spots.iter().enumerate() {
            ends.reach(spot.centre.y, ground.size(part, spot.way).y / 2.0);
        }
        let last = ends.bay();
        Found { spots, last }
    }

    /// Length of the last bay.
    pub fn length(&self) -> f64 {
        self.last.1 - self.last.0
    }
}

/// All islands and the best lay of any.
pub struct Search<'a> {
    islands: Vec<Island<'a>>,
    best: Found,
    work_a_round: u64,
}

impl<'a> Search<'a> {
    /// A search by some islands that start from a lay without overlap, or one each, as far as they
    /// reach, from where parts may stand in a shorter one.
    pub fn new(
        ground: &'a Ground<'a>,
        strip: &Strip,
        first: Found,
        starts: &[Start],
        seed: u64,
        islands: usize,
    ) -> Self {
        let islands = (0..islands)
            .map(|index| {
                let chance = Chance::new(seed, index as u64);
                let mut island = Island::new(ground, strip, &first, chance);
                if let Some(start) = starts.get(index) {
                    island.try_first(start);
                }
                island
            })
            .collect();
        Search {
            islands,
            best: first,
            work_a_round: WORK * ground.count() as u64,
        }
    }

    /// One round: every island works as much, then all learn of the best lay. `done` says how much
    /// of the whole search is done, 0 to 1. A lay counts only if it is found sound. Gives the best
    /// so far.
    pub fn round(
        &mut self,
        done: f64,
        threads: &Threads,
        sound: &dyn Fn(&Found) -> bool,
    ) -> &Found {
        let work = self.work_a_round;
        let run = |island: &mut Island| {
            island.done = done;
            island.run(work);
        };
        match threads {
            Threads::One => self.islands.iter_mut().for_each(run),
            Threads::Callers => self.islands.par_iter_mut().for_each(run),
            Threads::Own(pool) => pool.install(|| self.islands.par_iter_mut().for_each(run)),
        }
        for island in &self.islands {
            if island.best.length() < self.best.length() && sound(&island.best) {
                self.best = island.best.clone();
            }
        }
        for island in &mut self.islands {
            island.hear(&self.best);
        }
        &self.best
    }
}
