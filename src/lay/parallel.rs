//! Several searchers side by side, which share their best lay after each round.
//!
//! A round is an amount of work, not of time, so that the same rounds give the same lay on any number of
//! threads.

use super::construction::Construction;
use super::packing::Packing;
use super::random::Random;
use super::searcher::{BUILT_COSTS, Searcher};
use super::solution::Solution;
use super::start::Start;
use super::stop::Stop;
use super::strip::Strip;
use rayon::prelude::*;

/// Overlap evaluations in a round, for each part: about a tenth of a second for a suit.
pub(super) const EVALUATIONS: u64 = 50_000;

/// Part of a round for which lays are built beside searchers that begin at kept lays.
const BUILT: f64 = 0.5;

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
            None => Self::Callers,
            Some(0 | 1) => Self::One,
            Some(count) => {
                let pool = rayon::ThreadPoolBuilder::new().num_threads(count);
                pool.build().map_or(Self::One, Threads::Own)
            }
        }
    }

    /// Does something with each of a list.
    pub(super) fn each<T: Send>(&self, list: &mut [T], act: impl Fn(&mut T) + Sync + Send) {
        match self {
            Self::One => list.iter_mut().for_each(act),
            Self::Callers => list.par_iter_mut().for_each(act),
            Self::Own(pool) => pool.install(|| list.par_iter_mut().for_each(act)),
        }
    }
}

/// All searchers and the incumbent: the best lay of any.
pub(super) struct ParallelSearch {
    searchers: Vec<Searcher>,
    incumbent: Solution,
    /// A lay that was built at first, as long as it is the best. The searchers do not go on from it: those that
    /// begin at kept lays mostly find better ones soon.
    built: Option<Solution>,
    whole: Strip,
    random: Random,
    starting: bool,
    evaluations_a_round: u64,
}

impl ParallelSearch {
    /// Sets up searchers that start from a lay without overlap. As far as `starts` reach, each begins at one
    /// of them instead.
    pub(super) fn new(
        packing: &Packing,
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
                    searcher.try_first(packing, start);
                }
                searcher
            })
            .collect();
        Self {
            searchers,
            built: None,
            whole: strip.clone(),
            random: Random::new(seed, u64::MAX),
            starting: !starts.is_empty(),
            incumbent: first,
            evaluations_a_round: EVALUATIONS * packing.count() as u64,
        }
    }

    /// Runs one round: every searcher does the same amount of work, then all learn of the incumbent. A lay
    /// counts only if `sound` agrees. Returns the incumbent; `None` if it was stopped before the round was
    /// done, which then does not count.
    pub(super) fn round(
        &mut self,
        packing: &Packing,
        threads: &Threads,
        stop: &Stop,
        sound: &dyn Fn(&Solution) -> bool,
    ) -> Option<&Solution> {
        let evaluations = self.evaluations_a_round;
        threads.each(&mut self.searchers, |searcher| {
            searcher.run(packing, evaluations, stop);
        });
        if stop.is_due() {
            return None;
        }
        for searcher in &self.searchers {
            let found = &searcher.base;
            if found.length() < self.incumbent.length() && sound(found) {
                self.incumbent = found.clone();
            }
        }
        for searcher in &mut self.searchers {
            searcher.adopt(packing, &self.incumbent);
        }
        if std::mem::take(&mut self.starting) {
            self.build(packing, sound);
        }
        let length = self.incumbent.length();
        self.built = self.built.take().filter(|built| built.length() < length);
        Some(self.built.as_ref().unwrap_or(&self.incumbent))
    }

    /// Builds lays by placing parts one by one, for a part of a round. A searcher that begins at a kept lay may
    /// take many rounds to separate it.
    fn build(&mut self, packing: &Packing, sound: &dyn Fn(&Solution) -> bool) {
        let mut construction = Construction::new(packing, &self.incumbent);
        let enough = (self.evaluations_a_round as f64 * BUILT / BUILT_COSTS) as u64;
        let mut best: Option<Solution> = None;
        while construction.evaluations() < enough {
            let built = construction.rebuild(packing, &self.whole, &mut self.random);
            best = built.or(best);
        }
        let length = self.incumbent.length();
        self.built = best.filter(|built| built.length() < length && sound(built));
    }
}
