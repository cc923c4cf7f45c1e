//! The search for a lay of one instance: of all its parts at once, or of one section after another.

use super::bottom_left::bottom_left_fill;
use super::instance::Instance;
use super::item::Item;
use super::long_search::{LongSearch, MANY, Means};
use super::nofit_table::NoFitTable;
use super::packing::Packing;
use super::parallel::{EVALUATIONS, ParallelSearch, Threads};
use super::random::Random;
use super::search::{Effort, Search};
use super::solution::Solution;
use super::start::starts;
use super::stop::Stop;
use super::strip::Strip;
use super::tables::OnTable;
use super::tolerance::TOLERANCE;
use std::sync::RwLock;
use std::time::{Duration, Instant};

/// Memory that the regions of many parts may take, bytes. It is seen to after each round.
const MOST_BYTES: usize = 250 << 20;

/// Part of the effort after which a lay that is longer than the table is divided into sections. The rest is spent
/// on the sections. (Judged by benches; no source.)
const WHOLE: f64 = 0.6;

/// What is searched, and how.
pub(super) struct Solver<'a> {
    /// The items of the instance.
    pub items: &'a [Item],
    /// The regions of their shapes.
    pub table: &'a RwLock<NoFitTable>,
    /// What is laid.
    pub instance: &'a Instance<'a>,
    /// What it is laid on.
    pub strip: &'a Strip,
    /// How it is searched.
    pub how: Search<'a>,
    /// When the search began.
    pub clock: Clock,
    /// Whether the check finds a lay sound.
    pub sound: &'a dyn Fn(&Solution) -> bool,
    /// Gets the best lay so far, with the part of the search that is done.
    pub tell: &'a dyn Fn(&Solution, f64),
}

impl Solver<'_> {
    /// Forgets regions where they take too much memory, unless another search uses them now.
    fn forget_regions(&self) {
        if let Ok(mut table) = self.table.try_write() {
            table.forget_beyond(MOST_BYTES);
        }
    }

    /// Searches for a lay on cloth of any length, from one that is known if there is one.
    pub(super) fn search(&self, known: Option<Solution>) -> Solution {
        if self.has_many_parts() {
            self.section_by_section(known)
        } else {
            self.all_at_once(known, &|_, _| false)
        }
    }

    fn has_many_parts(&self) -> bool {
        self.instance.parts.len() > MANY && self.strip.bays.len() == 1
    }

    /// Searches for a lay of which no section is longer than the table. The shortest lay is found first. If that is
    /// longer than the table, it is divided; then parts are moved between neighbouring sections.
    pub(super) fn on_table(&self, table: f64, known: Option<Solution>) -> Solution {
        let reach = table + self.instance.gap;
        let found = if self.has_many_parts() {
            let effort = match self.how.effort {
                Effort::Rounds(all) => Effort::Rounds(whole_rounds(all)),
                Effort::Seconds(all) => Effort::Seconds(all * WHOLE),
            };
            let first = Solver {
                how: Search { effort, ..self.how },
                tell: &|solution, done| (self.tell)(solution, WHOLE * done),
                ..*self
            };
            first.section_by_section(known)
        } else {
            // A lay that fits the table is searched to the end, as if there were none.
            let is_long = |best: &Solution, done: f64| done >= WHOLE && best.length() > reach;
            self.all_at_once(known, &is_long)
        };
        if found.length() <= reach {
            return found;
        }
        let told = |solution: &Solution, done: f64| match self.how.effort {
            Effort::Rounds(_) => (self.tell)(solution, WHOLE + (1.0 - WHOLE) * done),
            // The clock goes on.
            Effort::Seconds(_) => (self.tell)(solution, done),
        };
        let rest = match self.how.effort {
            Effort::Rounds(all) => Effort::Rounds(all - whole_rounds(all)),
            Effort::Seconds(all) => Effort::Seconds(all),
        };
        let how = Search {
            effort: rest,
            ..self.how
        };
        let after = Solver {
            how,
            tell: &told,
            ..*self
        };
        after.section_pairs(found, reach)
    }

    /// Moves parts between neighbouring sections on a table, until the effort is spent.
    fn section_pairs(&self, whole: Solution, reach: f64) -> Solution {
        let (mut sections, mut incumbent) = {
            let table = NoFitTable::read(self.table);
            let packing = Packing::new(self.instance, &table);
            let sections = OnTable::new(&packing, &whole, reach);
            let incumbent = sections.solution(&packing, self.strip);
            (sections, incumbent)
        };
        let searchers = self.how.searchers.max(1);
        let threads = Threads::new(self.how.threads);
        let stop = self.clock.stop(&self.how);
        let round = EVALUATIONS * (self.instance.parts.len() * searchers) as u64;
        let mut random = Random::new(self.how.seed, u64::MAX - 1);
        let mut evaluations = 0;
        for sweep in 0.. {
            let done = self
                .clock
                .done(&self.how, evaluations as f64 / round as f64);
            (self.tell)(&incumbent, done);
            if done >= 1.0 || stop.is_due() || sections.count() < 2 {
                break;
            }
            self.forget_regions();
            let table = NoFitTable::read(self.table);
            let packing = Packing::new(self.instance, &table);
            let mut tried = sections.clone();
            evaluations += tried.sweep(&packing, sweep % 2, &threads, &mut random, &stop);
            let solution = tried.solution(&packing, self.strip);
            if solution.length() <= incumbent.length() && (self.sound)(&solution) {
                (sections, incumbent) = (tried, solution);
            }
        }
        incumbent
    }

    /// Moves all parts at once. Runs rounds until the effort is spent, the search is stopped or no lay can be
    /// shorter, or until `enough` says of the best lay and the part of the effort that it is.
    fn all_at_once(
        &self,
        known: Option<Solution>,
        enough: &dyn Fn(&Solution, f64) -> bool,
    ) -> Solution {
        let (how, strip) = (&self.how, self.strip);
        let table = NoFitTable::read(self.table);
        let packing = Packing::new(self.instance, &table);
        let first = known.unwrap_or_else(|| bottom_left_fill(&packing, strip));
        (self.tell)(&first, 0.0);
        if self.instance.parts.is_empty() {
            return first;
        }
        let searchers = how.searchers.max(1);
        let threads = Threads::new(how.threads.map(|threads| threads.min(searchers)));
        let least = if strip.bays.len() == 1 {
            self.instance.lower_bound()
        } else {
            0.0
        };
        let items = self.items;
        let mut starts = starts(how.kept, items, &packing, strip, searchers);
        starts.retain(|start| start.length > least);
        let mut best = first.clone();
        let mut search = ParallelSearch::new(&packing, strip, first, &starts, how.seed, searchers);
        let stop = self.clock.stop(how);
        let mut rounds = 0;
        while best.length() > least + TOLERANCE {
            let done = self.clock.done(how, f64::from(rounds));
            if done >= 1.0 || stop.is_due() || enough(&best, done) {
                break;
            }
            let Some(found) = search.round(&packing, &threads, &stop, self.sound) else {
                break;
            };
            best = found.clone();
            rounds += 1;
            (self.tell)(&best, done);
        }
        best
    }

    /// Moves the parts of one section of the strip after another. A round of it counts as the part of all parts
    /// that it moves.
    fn section_by_section(&self, known: Option<Solution>) -> Solution {
        let how = &self.how;
        let searchers = how.searchers.max(1);
        let threads = Threads::new(how.threads.map(|threads| threads.min(searchers)));
        let stop = self.clock.stop(how);
        let (instance, items) = (self.instance, self.items);
        let round = EVALUATIONS * (instance.parts.len() * searchers) as u64;
        let mut search = {
            let table = &NoFitTable::read(self.table);
            match known {
                Some(known) => LongSearch::from(instance, items, self.strip, known, how.seed),
                None => LongSearch::new(instance, items, self.strip, how, &threads, table),
            }
        };
        let mut done = 0.0;
        loop {
            (self.tell)(&search.incumbent, done);
            self.forget_regions();
            done = self
                .clock
                .done(how, search.evaluations as f64 / round as f64);
            if done >= 1.0 || stop.is_due() {
                return search.incumbent;
            }
            let table = &NoFitTable::read(self.table);
            let means = Means {
                table,
                how,
                threads: &threads,
                stop,
            };
            search.round(&means, self.sound);
        }
    }
}

/// Rounds of a search on a table after which a lay that is too long is divided.
fn whole_rounds(all: u32) -> u32 {
    (f64::from(all) * WHOLE).ceil() as u32
}

/// The time that a search takes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Clock {
    began: Instant,
}

impl Clock {
    /// Begins a search. The time that its problem took to be made counts as part of the search.
    pub(super) fn new(how: &Search, made_in: Duration) -> Self {
        let now = Instant::now();
        let began = match how.effort {
            Effort::Seconds(_) => now.checked_sub(made_in).unwrap_or(now),
            Effort::Rounds(_) => now,
        };
        Self { began }
    }

    /// When a search is to stop in the midst of a round.
    pub(super) fn stop<'a>(&self, how: &Search<'a>) -> Stop<'a> {
        let at = match how.effort {
            Effort::Rounds(_) => None,
            Effort::Seconds(all) => Duration::try_from_secs_f64(all)
                .ok()
                .and_then(|all| self.began.checked_add(all)),
        };
        Stop {
            at,
            cancel: how.cancel,
        }
    }

    /// The part of a search that is done after some rounds.
    pub(super) fn done(&self, how: &Search, rounds: f64) -> f64 {
        match how.effort {
            Effort::Rounds(0) => 1.0,
            Effort::Rounds(all) => rounds / f64::from(all),
            Effort::Seconds(all) => self.began.elapsed().as_secs_f64() / all,
        }
    }
}
