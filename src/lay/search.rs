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

/// Rounds after which the first turns of a search end. Those that follow are as long as all before them.
///
/// Whoever asks for a short search asks for one of these, so that it ends when the lay has just been
/// squeezed.
pub const TURNS: [u32; 3] = [8, 15, 36];
/// A turn ends with rounds in which the best lay is squeezed rather than others explored: this part of all
/// rounds until then.
const SQUEEZED: f64 = 0.2;

/// What a round is spent on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Phase {
    /// On lays unlike the best.
    Exploring,
    /// On the best lay, by smaller and smaller steps: so much of this is done, 0 to 1.
    Squeezing(f64),
}

impl Phase {
    /// That of a round, counted from 0. It does not depend on how many rounds will follow: a search that is
    /// stopped has found what a shorter one would have found.
    pub(super) fn of(round: u32) -> Self {
        let mut to = TURNS[0];
        for turn in 1.. {
            if round < to {
                break;
            }
            to = TURNS.get(turn).copied().unwrap_or(to.saturating_mul(2));
        }
        let squeezed = (f64::from(to) * SQUEEZED).floor();
        let into = squeezed - f64::from(to - round);
        if into < 0.0 {
            Phase::Exploring
        } else {
            Phase::Squeezing(into / squeezed)
        }
    }
}

/// The threads on which islands search.
pub(super) enum Threads {
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
    pub(super) fn new(count: usize) -> Self {
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
pub(super) struct Found {
    /// Where each part stands.
    pub spots: Vec<Spot>,
    /// Where the last bay starts and ends.
    pub last: (f64, f64),
}

impl Found {
    /// Parts that stand on a strip without overlap; the last bay is cut off where they end, and where
    /// nothing lies before it, where they begin.
    pub(super) fn new(ground: &Ground, strip: &Strip, spots: Vec<Spot>) -> Self {
        let mut ends = Ends::new(strip);
        for (part, spot) in spots.iter().enumerate() {
            ends.reach(spot.centre.y, ground.size(part, spot.way).y / 2.0);
        }
        let last = ends.bay();
        Found { spots, last }
    }

    /// Length of the last bay.
    pub(super) fn length(&self) -> f64 {
        self.last.1 - self.last.0
    }
}

/// All islands and the best lay of any.
pub(super) struct Search<'a> {
    islands: Vec<Island<'a>>,
    best: Found,
    work_a_round: u64,
}

impl<'a> Search<'a> {
    /// A search by some islands that start from a lay without overlap, or one each, as far as they
    /// reach, from where parts may stand in a shorter one.
    pub(super) fn new(
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

    /// One round: every island works as much, then all learn of the best lay. A lay counts only if it is
    /// found sound. Gives the best so far.
    pub(super) fn round(&mut self, threads: &Threads, sound: &dyn Fn(&Found) -> bool) -> &Found {
        let work = self.work_a_round;
        let run = |island: &mut Island| island.run(work);
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
