//! Several searchers side by side, which share their best lay after each round.
//!
//! A round is an amount of work, not of time, so that the same rounds give the same lay on any number of
//! threads.

use super::packing::Packing;
use super::random::Random;
use super::searcher::Searcher;
use super::solution::Solution;
use super::start::Start;
use super::strip::Strip;
use rayon::prelude::*;

/// Overlap evaluations in a round, for each part: about a tenth of a second for a suit.
const EVALUATIONS: u64 = 50_000;

/// The threads on which searchers run.
pub(super) enum Threads {
    /// The calling thread.
    One,
    /// Those of the caller's pool that are free. A thread that waits for another takes up other work of the
    /// pool meanwhile: with many orders it would hold more than one of them.
    Callers,
    /// Those of a pool of their own.
    Own(rayon::ThreadPool),
}

impl Threads {
    /// This many threads, or the caller's.
    pub(super) fn new(count: Option<usize>) -> Self {
        match count {
            None => Threads::Callers,
            Some(0 | 1) => Threads::One,
            Some(count) => {
                let pool = rayon::ThreadPoolBuilder::new().num_threads(count);
                pool.build().map_or(Threads::One, Threads::Own)
            }
        }
    }
}

/// All searchers and the incumbent: the best lay of any.
pub(super) struct ParallelSearch<'a> {
    searchers: Vec<Searcher<'a>>,
    incumbent: Solution,
    evaluations_a_round: u64,
}

impl<'a> ParallelSearch<'a> {
    /// Sets up searchers that start from a lay without overlap. As far as `starts` reach, each begins at one
    /// of them instead.
    pub(super) fn new(
        packing: &'a Packing<'a>,
        strip: &Strip,
        first: Solution,
        starts: &[Start],
        seed: u64,
        searchers: usize,
    ) -> Self {
        let searchers = (0..searchers)
            .map(|index| {
                let random = Random::new(seed, index as u64);
                let mut searcher = Searcher::new(packing, strip, &first, random);
                if let Some(start) = starts.get(index) {
                    searcher.try_first(start);
                }
                searcher
            })
            .collect();
        ParallelSearch {
            searchers,
            incumbent: first,
            evaluations_a_round: EVALUATIONS * packing.count() as u64,
        }
    }

    /// Runs one round: every searcher does the same amount of work, then all learn of the incumbent. A lay
    /// counts only if `sound` agrees. Returns the incumbent.
    pub(super) fn round(
        &mut self,
        threads: &Threads,
        sound: &dyn Fn(&Solution) -> bool,
    ) -> &Solution {
        let evaluations = self.evaluations_a_round;
        let run = |searcher: &mut Searcher| searcher.run(evaluations);
        match threads {
            Threads::One => self.searchers.iter_mut().for_each(run),
            Threads::Callers => self.searchers.par_iter_mut().for_each(run),
            Threads::Own(pool) => pool.install(|| self.searchers.par_iter_mut().for_each(run)),
        }
        for searcher in &self.searchers {
            let best = &searcher.incumbent;
            if best.length() < self.incumbent.length() && sound(best) {
                self.incumbent = best.clone();
            }
        }
        for searcher in &mut self.searchers {
            searcher.adopt(&self.incumbent);
        }
        &self.incumbent
    }
}
