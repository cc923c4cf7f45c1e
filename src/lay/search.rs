//! How a search is asked for: how long, by how many searchers, from what.

use super::kept::KeptLay;
use super::phase::TURNS;
use std::fmt;
use std::sync::atomic::AtomicBool;

/// How long to search.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Effort {
    /// A number of rounds: the same lay on every machine, however busy.
    Rounds(u32),
    /// Seconds of the clock: the same lay only by luck.
    Seconds(f64),
}

/// How to search.
#[derive(Clone, Copy)]
pub struct Search<'a> {
    /// Seed of every random choice.
    pub seed: u64,
    /// How long to search.
    pub effort: Effort,
    /// Searches that go on side by side, each with its own random numbers. They share their best lay after
    /// every round, so that a round takes this many times the work.
    pub searchers: usize,
    /// Threads to use; `None` for those of the caller's pool that are free. With [`Effort::Rounds`] the lay does
    /// not depend on it.
    pub threads: Option<usize>,
    /// Lays of pieces of the same names from which the search may start; they need not fit.
    pub kept: &'a [KeptLay],
    /// Set to stop with the best lay so far.
    pub cancel: Option<&'a AtomicBool>,
    /// Called with the best length so far: before the first round, after each round and at the end.
    pub progress: Option<&'a (dyn Fn(Progress) + Sync)>,
}

impl Default for Search<'_> {
    /// A few seconds for a suit, the same on every machine, from no kept lay.
    fn default() -> Self {
        Self {
            seed: 1,
            effort: Effort::Rounds(TURNS[2]),
            searchers: 2,
            threads: Some(2),
            kept: &[],
            cancel: None,
            progress: None,
        }
    }
}

impl fmt::Debug for Search<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Search")
            .field("seed", &self.seed)
            .field("effort", &self.effort)
            .field("searchers", &self.searchers)
            .field("threads", &self.threads)
            .finish_non_exhaustive()
    }
}

/// How far a search has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// Length of the best lay so far, mm.
    pub length: f64,
    /// Part of the search that is done, 0 to 1.
    pub done: f64,
}
