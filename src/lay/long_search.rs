//! The search for a lay of many parts.
//!
//! A search of all parts at once costs too much: every part is an obstacle to every other, and a strip counts as
//! shorter only once all of it is free of overlap. Here each order is laid alone first, and the lays follow one
//! another. Then sections of the strip are searched, each by itself. They begin elsewhere in each sweep over the
//! strip, so that parts of neighbouring orders come to lie among each other.

use super::bottom_left::bottom_left_fill;
use super::instance::Instance;
use super::item::Item;
use super::nofit_table::NoFitTable;
use super::packing::Packing;
use super::parallel::{EVALUATIONS, Threads};
use super::phase::TURNS;
use super::random::Random;
use super::search::{Effort, Search};
use super::searcher::Searcher;
use super::sections::Sections;
use super::solution::Solution;
use super::start::starts;
use super::stop::Stop;
use super::strip::Strip;
use kurbo::Vec2;
use std::time::Instant;

/// Number of parts above which a lay is searched section by section.
pub(super) const MANY: usize = 120;

/// Part of the effort that is spent on each order alone. (Judged by benches; no source.)
const ALONE: f64 = 0.75;

/// The parts of one order, and where they stand on a strip of their own.
struct Alone {
    parts: Vec<usize>,
    solution: Solution,
    random: Random,
    /// Rounds for which it has been searched.
    rounds: u32,
}

/// How long one order is searched.
#[derive(Debug, Clone, Copy)]
enum Share {
    Rounds(u32),
    Seconds(f64),
}

/// A sweep over the sections of the strip.
struct Sweep {
    sections: Sections,
    /// The section that is searched next.
    next: usize,
}

/// A search for a lay of many parts.
pub(super) struct LongSearch<'a> {
    instance: &'a Instance<'a>,
    items: &'a [Item],
    strip: Strip,
    random: Random,
    /// Each order by itself, and how many of them have been searched.
    alone: Vec<Alone>,
    searched: usize,
    sweep: Option<Sweep>,
    sweeps: usize,
    /// The best lay so far.
    pub incumbent: Solution,
    /// Overlap evaluations that it was to make so far.
    pub evaluations: u64,
}

/// What a round needs beside the search itself.
pub(super) struct Means<'a> {
    /// The regions of the shapes.
    pub table: &'a NoFitTable,
    /// How is searched.
    pub how: &'a Search<'a>,
    /// The threads that search.
    pub threads: &'a Threads,
    /// When to stop.
    pub stop: Stop<'a>,
}

impl<'a> LongSearch<'a> {
    /// Begins with a lay that is known.
    pub(super) fn from(
        instance: &'a Instance<'a>,
        items: &'a [Item],
        strip: &Strip,
        known: Solution,
        seed: u64,
    ) -> Self {
        LongSearch {
            instance,
            items,
            strip: strip.clone(),
            random: Random::new(seed, 0),
            alone: Vec::new(),
            searched: 0,
            sweep: None,
            sweeps: 0,
            incumbent: known,
            evaluations: 0,
        }
    }

    /// Begins with the parts of each order placed one by one, one order after another.
    pub(super) fn new(
        instance: &'a Instance<'a>,
        items: &'a [Item],
        strip: &Strip,
        how: &Search,
        threads: &Threads,
        table: &NoFitTable,
    ) -> Self {
        let order = |part: usize| items[instance.parts[part].item].order;
        let all: Vec<usize> = (0..instance.parts.len()).collect();
        let seed = how.seed;
        let alone = |(index, parts): (usize, &[usize])| Alone {
            parts: parts.to_vec(),
            solution: Solution {
                positions: Vec::new(),
                last: (0.0, 0.0),
            },
            random: Random::new(seed, 1 + index as u64),
            rounds: 0,
        };
        let orders = all.chunk_by(|&a, &b| order(a) == order(b));
        let mut alone: Vec<Alone> = orders.enumerate().map(alone).collect();
        threads.each(&mut alone, |alone| {
            let own = instance.of(&alone.parts);
            alone.solution = bottom_left_fill(&Packing::new(&own, table), strip);
        });
        let nothing = Solution {
            positions: Vec::new(),
            last: (0.0, 0.0),
        };
        let mut search = Self::from(instance, items, strip, nothing, seed);
        search.alone = alone;
        search.incumbent = search.stacked(table);
        search
    }

    /// Searches the next orders or sections, as many as there are searchers. A lay counts only if `sound` agrees.
    pub(super) fn round(&mut self, means: &Means, sound: &dyn Fn(&Solution) -> bool) {
        if self.searched < self.alone.len() {
            self.search_orders(means);
            let stacked = self.stacked(means.table);
            if stacked.length() < self.incumbent.length() && sound(&stacked) {
                self.incumbent = stacked;
            }
            return;
        }
        let packing = Packing::new(self.instance, means.table);
        let swept = |sweep: &Sweep| sweep.next >= sweep.sections.count();
        if self.sweep.as_ref().is_none_or(swept) {
            // First where the lays of two orders meet: there their straight ends leave most cloth.
            let first = match self.sweeps {
                0 => 0.5,
                _ => self.random.between(0.4, 1.0),
            };
            self.sweeps += 1;
            self.sweep = Some(Sweep {
                sections: Sections::new(&packing, &self.incumbent, first),
                next: 0,
            });
        }
        let Some(mut sweep) = self.sweep.take() else {
            return;
        };
        let before = sweep.sections.clone();
        self.search_sections(&mut sweep, means);
        let positions = sweep.sections.positions.clone();
        let found = Solution::new(&packing, &self.strip, positions);
        if found.length() < self.incumbent.length() {
            if sound(&found) {
                self.incumbent = found;
            } else {
                sweep.sections = before;
            }
        }
        self.sweep = Some(sweep);
    }

    /// Lays the next orders, each alone.
    fn search_orders(&mut self, means: &Means) {
        let from = self.searched;
        let count = means.how.searchers.max(1).min(self.alone.len() - from);
        self.searched += count;
        let (instance, items, strip) = (self.instance, self.items, &self.strip);
        let share = match means.how.effort {
            Effort::Rounds(all) => Share::Rounds((f64::from(all) * ALONE) as u32 * count as u32),
            Effort::Seconds(all) => {
                let part = ALONE * count as f64 / self.alone.len() as f64;
                Share::Seconds(all * part)
            }
        };
        let next = &mut self.alone[from..from + count];
        means.threads.each(next, |alone| {
            let own = instance.of(&alone.parts);
            let packing = Packing::new(&own, means.table);
            let random = alone.random.clone();
            let mut searcher = Searcher::new(&packing, strip, &alone.solution, random);
            let starts = starts(means.how.kept, items, &packing, strip, 1);
            if let Some(start) = starts.first() {
                searcher.try_first(&packing, start);
            }
            alone.rounds = turns(&mut searcher, &packing, &means.stop, share);
            alone.solution = searcher.base;
        });
        for alone in next {
            self.evaluations += u64::from(alone.rounds) * EVALUATIONS * alone.parts.len() as u64;
        }
    }

    /// Searches the next sections.
    fn search_sections(&mut self, sweep: &mut Sweep, means: &Means) {
        let from = sweep.next;
        let count = means
            .how
            .searchers
            .max(1)
            .min(sweep.sections.count() - from);
        sweep.next += count;
        let (instance, sections) = (self.instance, &sweep.sections);
        let mut tasks: Vec<(usize, Random, Option<Solution>)> = (from..from + count)
            .map(|index| (index, self.random.split(), None))
            .collect();
        means.threads.each(&mut tasks, |(index, random, found)| {
            let section = sections.section(instance, *index);
            let packing = Packing::new(&section.instance, means.table).with_fixed(&section.fixed);
            let first = Solution::new(&packing, &section.strip, section.positions);
            let mut searcher = Searcher::new(&packing, &section.strip, &first, random.clone());
            for _ in 0..TURNS[1] {
                run(&mut searcher, &packing, &means.stop);
            }
            *found = Some(searcher.base);
        });
        let found: Vec<(usize, Solution)> = tasks
            .into_iter()
            .filter_map(|(index, _, found)| Some((index, found?)))
            .collect();
        let parts: usize = found.iter().map(|(_, found)| found.positions.len()).sum();
        self.evaluations += u64::from(TURNS[1]) * EVALUATIONS * parts as u64;
        sweep.sections.put_back(&found);
    }

    /// Returns the lays of all orders one after another, on a pattern by whole repeats.
    fn stacked(&self, table: &NoFitTable) -> Solution {
        let packing = Packing::new(self.instance, table);
        let mut end = self.strip.last().0;
        let mut positions = Vec::new();
        for alone in &self.alone {
            let (from, to) = alone.solution.last;
            let by = match self.instance.repeat.along {
                Some(repeat) => ((end - from) / repeat).ceil() * repeat,
                None => end - from,
            };
            end = to + by;
            let moved = alone.solution.positions.iter().map(|&position| {
                let centre = position.centre + Vec2::new(0.0, by);
                super::packing::Position { centre, ..position }
            });
            positions.extend(moved);
        }
        Solution::new(&packing, &self.strip, positions)
    }
}

/// Runs one round of a searcher.
fn run(searcher: &mut Searcher, packing: &Packing, stop: &Stop) {
    searcher.run(packing, EVALUATIONS * packing.count() as u64, stop);
}

/// Runs as many whole turns of a searcher as its share of the effort allows, one at least. Returns the number of
/// rounds.
fn turns(searcher: &mut Searcher, packing: &Packing, stop: &Stop, share: Share) -> u32 {
    let began = Instant::now();
    let mut done = 0;
    for to in TURNS
        .into_iter()
        .chain((1..).map(|turn| TURNS[2] << turn.min(16)))
    {
        let fits = match share {
            Share::Rounds(all) => to <= all,
            Share::Seconds(all) => {
                let expected = began.elapsed().as_secs_f64() * f64::from(to);
                expected <= all * f64::from(done)
            }
        };
        if done > 0 && !fits || stop.is_due() {
            break;
        }
        for _ in done..to {
            run(searcher, packing, stop);
        }
        done = to;
    }
    done
}
