//! One searcher among several.
//!
//! It minimises overlap with guided local search: the strip is made shorter than the incumbent, and the
//! parts that now overlap are separated. Once they are, the strip is made shorter again; when they stay stuck,
//! an earlier state with little overlap is taken up and two large parts change places. At the end of a turn the
//! incumbent is compressed by smaller and smaller steps. (Method: "An open-source heuristic to reboot 2D nesting
//! research", arXiv 2509.13329; here overlaps are exact penetration depths in no-fit regions.)

use super::construction::Construction;
use super::exchange::exchange_large;
use super::moving::moved;
use super::packing::{End, Packing, Position};
use super::phase::{Phase, TURNS};
use super::random::Random;
use super::sampler::Sampler;
use super::separation::{Outcome, Patience, Separation, State};
use super::solution::Solution;
use super::start::Start;
use super::stop::Stop;
use super::strip::Strip;

/// Rounds after which parts may be tilted off their grain. A search of fewer would spend its time on the no-fit
/// regions of shapes that it hardly gets to try.
const UPRIGHT: u32 = TURNS[1];
/// Cost of one evaluation while parts are placed one by one, in evaluations of a separation (measured).
pub(super) const BUILT_COSTS: f64 = 4.5;
/// Patience of a separation.
const PATIENCE: Patience = Patience {
    passes: 100,
    strikes: 3,
};
/// Patience on a pattern, where parts can only jump, and either find their places soon or not at all.
const PATIENCE_HELD: Patience = Patience {
    passes: 25,
    strikes: 2,
};
/// Patience in a section: another place to cut it off is tried soon instead.
const PATIENCE_SECTION: Patience = Patience {
    passes: 40,
    strikes: 1,
};
/// Patience where parts stand as others did in a kept lay. A longer strip is tried soon instead.
const PATIENCE_STARTING: Patience = Patience {
    passes: 30,
    strikes: 1,
};
/// Part of its length by which a strip on which such parts stay stuck is lengthened.
const LENGTHEN: f64 = 0.01;
/// On a pattern, the probability that the strip is cut off at the end where fewer parts are held.
const EASIER_END: f64 = 0.7;
/// On a pattern and in a section, the probability that a length at which parts stay stuck is tried again from the
/// base, cut off elsewhere.
const BEGUN_AGAIN: f64 = 0.7;
/// A separation of fewer passes than this was easy, and the next step is longer.
const QUICK: usize = 30;
/// Least and greatest shortening during exploration, as a part of the length.
const SHORTEN: (f64, f64) = (0.001, 0.01);
/// First shortening of a section, as a part of its length. Its parts lie close already.
const SHORTEN_SECTION: f64 = 0.002;
/// First and last shortening during compression, as a part of the length.
const COMPRESS: (f64, f64) = (0.0005, 0.00001);
/// Number of states that are kept to start again from.
const POOL: usize = 20;

/// One searcher among several.
pub(super) struct Searcher {
    /// The strip as it was given.
    whole: Strip,
    /// The strip that is tried now.
    strip: Strip,
    construction: Construction,
    separation: Separation,
    random: Random,
    /// The lay without overlap that it goes on from: the best that it knows, or of a section the best of that.
    pub base: Solution,
    /// States of little overlap at the present length, the least first.
    pool: Vec<State>,
    /// Next shortening during exploration, as a part of the length.
    shorten: f64,
    /// Rounds that have begun.
    rounds: u32,
    /// What the last of them is spent on.
    phase: Phase,
    /// Whether it still separates the start that it was given.
    starting: bool,
}

impl Searcher {
    /// Starts from a lay without overlap.
    pub(super) fn new(packing: &Packing, strip: &Strip, first: &Solution, random: Random) -> Self {
        let mut searcher = Self {
            whole: strip.clone(),
            strip: strip.clone(),
            construction: Construction::new(packing, first),
            separation: Separation::new(packing, first.positions.clone()),
            random,
            base: first.clone(),
            pool: Vec::new(),
            shorten: if strip.is_section() {
                SHORTEN_SECTION
            } else {
                SHORTEN.1
            },
            rounds: 0,
            phase: Phase::of(0),
            starting: false,
        };
        searcher.shorten_from_base(packing);
        searcher
    }

    /// Tries to separate a start before anything else, if its strip is shorter than the incumbent.
    pub(super) fn try_first(&mut self, packing: &Packing, start: &Start) {
        let (from, _) = self.whole.last();
        if start.length < self.base.length() {
            self.strip.set_last((from, from + start.length));
            let positions = moved(&self.strip, packing, &start.positions, |_, _| from);
            self.separate(packing, &positions);
            self.pool.clear();
            self.starting = true;
        }
    }

    /// Goes on from the incumbent of all searchers. Leaves what is being tried if that is no shorter.
    pub(super) fn adopt(&mut self, packing: &Packing, incumbent: &Solution) {
        if incumbent.last != self.base.last {
            // A shorter lay of its own is one that was found unsound.
            let unsound = self.base.length() < incumbent.length();
            self.base = incumbent.clone();
            if unsound || self.tries_no_shorter_than(incumbent) || self.compressing() {
                self.shorten_from_base(packing);
            }
        }
    }

    fn tries_no_shorter_than(&self, solution: &Solution) -> bool {
        let (start, end) = self.strip.last();
        end - start >= solution.length()
    }

    fn patience(&self, packing: &Packing) -> Patience {
        if self.starting {
            return PATIENCE_STARTING;
        }
        if packing.is_held() {
            PATIENCE_HELD
        } else if self.whole.is_section() {
            PATIENCE_SECTION
        } else {
            PATIENCE
        }
    }

    fn compressing(&self) -> bool {
        self.phase != Phase::Exploration
    }

    /// Runs one round of this many overlap evaluations, or less if it is stopped.
    pub(super) fn run(&mut self, packing: &Packing, evaluations: u64, stop: &Stop) {
        // Part of the round that constructs: much at first, later only where a pattern holds parts, since
        // there another order finds what separation does not.
        let constructing = match (packing.is_held(), self.rounds) {
            _ if self.whole.is_section() => 0.0,
            (true, ..8) => 0.5,
            (true, _) => 0.15,
            (false, ..2) if !self.starting => 0.5,
            (false, _) => 0.0,
        };
        self.phase = Phase::of(self.rounds);
        let tilts = self.rounds >= UPRIGHT;
        self.rounds += 1;
        let built = (evaluations as f64 * constructing / BUILT_COSTS) as u64;
        let built = self.construction.evaluations() + built;
        while self.construction.evaluations() < built && !stop.is_due() {
            self.construct(packing);
        }
        let mut sampler = Sampler::default();
        let separated = (evaluations as f64 * (1.0 - constructing)) as u64;
        while sampler.evaluations < separated && !stop.is_due() {
            self.pass(packing, &mut sampler, tilts);
        }
    }

    /// Builds one lay, and takes it up if it is shorter than its base.
    fn construct(&mut self, packing: &Packing) {
        let (construction, random) = (&mut self.construction, &mut self.random);
        let built = construction.rebuild(packing, &self.whole, random);
        let Some(built) = built.filter(|built| built.length() < self.base.length()) else {
            return;
        };
        let outdone = !self.starting || self.tries_no_shorter_than(&built);
        self.base = built;
        if outdone {
            self.shorten_from_base(packing);
        }
    }

    /// Makes one pass of the separation and acts on its outcome.
    fn pass<'a>(&mut self, packing: &Packing<'a>, sampler: &mut Sampler<'a>, tilts: bool) {
        let patience = self.patience(packing);
        let (strip, random) = (&self.strip, &mut self.random);
        let outcome = (self.separation).pass(packing, strip, sampler, random, tilts, patience);
        match outcome {
            Outcome::Open => {}
            Outcome::Stuck => self.give_up(packing),
            Outcome::Separated => {
                let positions = self.separation.arrangement.positions.clone();
                let solution = Solution::new(packing, &self.strip, positions);
                // On a pattern a part may have no place within so short a strip, and stand beyond it.
                if solution.length() < self.base.length() {
                    self.succeed(packing, solution);
                } else {
                    self.give_up(packing);
                }
            }
        }
    }

    fn succeed(&mut self, packing: &Packing, solution: Solution) {
        self.shorten = if self.separation.passes < QUICK {
            (self.shorten * 1.5).min(SHORTEN.1)
        } else {
            SHORTEN.0
        };
        self.base = solution;
        self.shorten_from_base(packing);
    }

    /// Leaves a separation that is stuck for another start.
    fn give_up(&mut self, packing: &Packing) {
        if self.starting {
            self.lengthen(packing);
            return;
        }
        self.shorten = SHORTEN.0;
        let begins_again = packing.is_held() || self.whole.is_section();
        if self.compressing() || begins_again && self.random.unit() < BEGUN_AGAIN {
            self.shorten_from_base(packing);
            return;
        }
        let least = &self.separation.least;
        let at = (self.pool).partition_point(|state| state.overlap <= least.overlap);
        self.pool.insert(at, least.clone());
        self.pool.truncate(POOL);
        // Mostly one of those with little overlap.
        let index = (self.random.near_zero().abs() * self.pool.len() as f64 * 0.25) as usize;
        let positions = &self.pool[index.min(self.pool.len() - 1)].positions;
        self.separation.arrangement.arrange(packing, positions);
        let arrangement = &mut self.separation.arrangement;
        exchange_large(packing, &self.strip, arrangement, &mut self.random);
        self.separation.begin();
    }

    /// Starts a separation from these positions.
    fn separate(&mut self, packing: &Packing, positions: &[Position]) {
        self.separation.arrangement.arrange(packing, positions);
        self.separation.begin();
    }

    /// Makes the strip shorter than the incumbent and starts to separate that.
    fn shorten_from_base(&mut self, packing: &Packing) {
        self.starting = false;
        let part = match self.phase {
            Phase::Exploration => self.shorten,
            Phase::Compression(done) => COMPRESS.0 + (COMPRESS.1 - COMPRESS.0) * done,
        };
        let (start, end) = self.base.last;
        let by = self.base.length() * part;
        let at_start = self.cuts_off_start(packing, by);
        let by = self.whole_step(packing, by, at_start);
        self.strip.set_last(if at_start {
            (start + by, end)
        } else {
            (start, end - by)
        });
        // Parts beyond a random line across move up with the end.
        let line = self.random.between(start, end);
        let along = |index: usize, position: &Position| match (packing.fixed(index), at_start) {
            (Some(End::Start), true) => by,
            (Some(End::Finish), false) => -by,
            (Some(_), _) => 0.0,
            (None, false) if position.centre.y > line => -by,
            (None, true) if position.centre.y <= line && position.centre.y > start => by,
            _ => 0.0,
        };
        let positions = moved(&self.strip, packing, &self.base.positions, along);
        self.separate(packing, &positions);
        self.pool.clear();
    }

    /// Returns by how much an end is moved: where the strip goes on, by whole repeats of the pattern.
    fn whole_step(&self, packing: &Packing, by: f64, at_start: bool) -> f64 {
        match packing.instance.repeat.along {
            Some(repeat) if self.strip.goes_on[usize::from(!at_start)] => {
                (by / repeat).ceil() * repeat
            }
            _ => by,
        }
    }

    /// Whether a shortening is taken off at the start of the strip rather than at its end, which is possible
    /// where the pattern may begin anywhere.
    fn cuts_off_start(&mut self, packing: &Packing, by: f64) -> bool {
        let (start, end) = self.base.last;
        let alone = self.strip.bays.len() == 1;
        let at_start = alone && self.random.unit() < 0.5;
        if alone && packing.is_held() && self.random.unit() < EASIER_END {
            return self.held_within(packing, start, start + by)
                < self.held_within(packing, end - by, end);
        }
        at_start
    }

    /// Area of the parts of the incumbent that reach into a stretch of the strip. Parts that bars across hold
    /// count in full: they can give way by a whole repeat only.
    fn held_within(&self, packing: &Packing, low: f64, high: f64) -> f64 {
        const NOT_HELD: f64 = 0.1;
        let area = |(part, position): (usize, &Position)| {
            let half = packing.size(part, position.orientation).y / 2.0;
            if position.centre.y - half >= high || position.centre.y + half <= low {
                return 0.0;
            }
            let instance = packing.instance;
            let orientation = &instance.parts[part].orientations[position.orientation];
            let held = orientation.lattices[1].is_some();
            instance.shapes[orientation.shape].area * if held { 1.0 } else { NOT_HELD }
        };
        self.base.positions.iter().enumerate().map(area).sum()
    }

    /// Gives the parts of a start a little more room, as long as that makes a shorter lay than the incumbent.
    fn lengthen(&mut self, packing: &Packing) {
        let (start, end) = self.strip.last();
        let by = (end - start) * LENGTHEN;
        if end + by - start >= self.base.length() {
            self.shorten_from_base(packing);
            return;
        }
        self.strip.set_last((start, end + by));
        let line = self.random.between(start, end);
        let along = |_, position: &Position| {
            if position.centre.y > line { by } else { 0.0 }
        };
        let positions = moved(
            &self.strip,
            packing,
            &self.separation.least.positions,
            along,
        );
        self.separate(packing, &positions);
    }
}
