//! One search among several.
//!
//! Overlap minimisation with guided local search: the strip is made shorter than the best lay, and
//! the parts that now overlap are moved one by one to where they overlap least, pairs that go on
//! overlapping counting more and more. When all are clear the strip is made shorter again; when
//! they stay stuck, an earlier state with little overlap is taken up and two large parts change
//! places. At the end the best lay is squeezed by smaller and smaller steps. (Method: "An
//! open-source heuristic to reboot 2D nesting research", arXiv 2509.13329; here overlaps are
//! measured exactly, as depths in no-fit regions.)

use super::chance::Chance;
use super::crowd::{Crowd, Ground, Spot, stands};
use super::first::{Builder, largest_first};
use super::kept::Start;
use super::place::Seeker;
use super::search::{Found, Phase, TURNS};
use super::strip::Strip;
use kurbo::Point;

/// Rounds after which parts may be tilted off their grain: a search of fewer would spend its time on the no-fit
/// regions of shapes that it hardly gets to try.
const UPRIGHT: u32 = TURNS[1];
/// What one obstacle costs when parts are laid one by one, measured by those asked in passes.
const BUILT_COSTS: f64 = 4.5;
/// Passes without a clear gain after which a strike is counted, and strikes after which a length is given
/// up.
const PATIENCE: Patience = Patience {
    passes: 100,
    strikes: 3,
};
/// The same on a pattern, where parts can only jump, and either find their places soon or not at all.
const PATIENCE_HELD: Patience = Patience {
    passes: 25,
    strikes: 2,
};
/// The same where parts stand as others did in a lay that was kept, and what such a strip is lengthened by
/// each time, as a part of its length.
const PATIENCE_STARTING: Patience = Patience {
    passes: 30,
    strikes: 1,
};
const LENGTHEN: f64 = 0.01;
/// On a pattern: how often the strip is cut off where less lies that is held, and how often a length that is
/// given up is tried from the best lay again, cut off elsewhere.
const EASIER_END: f64 = 0.7;
const BEGUN_AGAIN: f64 = 0.7;
/// A separation of fewer passes than this was easy: the next step is longer.
const QUICK: usize = 30;
/// Shortening while exploring, as a part of the length: at least and at most.
const SHORTEN: (f64, f64) = (0.001, 0.01);
/// Shortening while squeezing: at first and at last.
const SQUEEZE: (f64, f64) = (0.0005, 0.00001);
/// States kept to start again from.
const POOL: usize = 20;

/// How long a separation that does not get on is kept up.
#[derive(Debug, Clone, Copy)]
struct Patience {
    passes: usize,
    strikes: usize,
}

/// The best lay made by laying the parts one by one.
struct Built {
    length: f64,
    order: Vec<usize>,
    /// Where the last bay began, if the parts have been laid in this order.
    start: Option<f64>,
    spots: Vec<Spot>,
}

/// One search among several.
pub(super) struct Island<'a> {
    ground: &'a Ground<'a>,
    /// The strip as it was given, and as short as it is tried now.
    whole: Strip,
    strip: Strip,
    builder: Builder,
    built: Built,
    seeker: Seeker<'a>,
    chance: Chance,
    crowd: Crowd,
    /// The best lay that it knows of.
    pub best: Found,
    /// States of little overlap at the present length.
    pool: Vec<(f64, Vec<Spot>)>,
    shorten: f64,
    passes: usize,
    /// Least overlap since the start of this separation, and in this strike.
    least: (f64, Vec<Spot>),
    stale: usize,
    strikes: usize,
    strike_began: f64,
    /// Rounds that were begun, and what the last of them is spent on.
    rounds: u32,
    phase: Phase,
    /// Whether it still tries where it was told to start.
    starting: bool,
}

impl<'a> Island<'a> {
    /// A search that starts from a lay without overlap.
    pub(super) fn new(
        ground: &'a Ground<'a>,
        strip: &Strip,
        first: &Found,
        chance: Chance,
    ) -> Self {
        let mut island = Island {
            ground,
            whole: strip.clone(),
            strip: strip.clone(),
            builder: Builder::default(),
            built: Built {
                length: first.length(),
                order: largest_first(ground),
                start: None,
                spots: first.spots.clone(),
            },
            seeker: Seeker::default(),
            chance,
            crowd: Crowd::new(ground, first.spots.clone()),
            best: first.clone(),
            pool: Vec::new(),
            shorten: SHORTEN.1,
            passes: 0,
            least: (0.0, Vec::new()),
            stale: 0,
            strikes: 0,
            strike_began: 0.0,
            rounds: 0,
            phase: Phase::of(0),
            starting: false,
        };
        island.go_on_from_best();
        island
    }

    /// Tries first whether parts can be pushed apart from these places on so short a strip.
    pub(super) fn try_first(&mut self, start: &Start) {
        let (from, _) = self.whole.last();
        if start.length < self.best.length() {
            self.strip.set_last((from, from + start.length));
            let spots: Vec<Spot> = (start.spots.iter().enumerate())
                .map(|(part, spot)| self.moved(part, spot, from))
                .collect();
            self.crowd.stand(self.ground, &spots);
            self.pool.clear();
            self.begin();
            self.starting = true;
        }
    }

    /// Learns of a lay; takes it up if it is no longer than what is being tried.
    pub(super) fn hear(&mut self, best: &Found) {
        // A shorter lay of its own is one that was found unsound.
        if best.last != self.best.last {
            let unsound = self.best.length() < best.length();
            self.best = best.clone();
            if unsound || length(self.strip.last()) >= best.length() || self.squeezing() {
                self.go_on_from_best();
            }
        }
    }

    fn patience(&self) -> Patience {
        if self.starting {
            return PATIENCE_STARTING;
        }
        if self.ground.is_held() {
            PATIENCE_HELD
        } else {
            PATIENCE
        }
    }

    fn squeezing(&self) -> bool {
        self.phase != Phase::Exploring
    }

    /// Works so much.
    pub(super) fn run(&mut self, work: u64) {
        // Part of the work that lays parts one by one: much at first, later only where a pattern holds
        // them, since there an order finds what pushing does not.
        let building = match (self.ground.is_held(), self.rounds) {
            (true, ..8) => 0.5,
            (true, _) => 0.15,
            (false, ..2) if !self.starting => 0.5,
            (false, _) => 0.0,
        };
        self.phase = Phase::of(self.rounds);
        let tilts = self.rounds >= UPRIGHT;
        self.rounds += 1;
        let until = self.builder.asked + (work as f64 * building / BUILT_COSTS) as u64;
        while self.builder.asked < until {
            self.build();
        }
        let until = self.seeker.asked + (work as f64 * (1.0 - building)) as u64;
        while self.seeker.asked < until {
            self.pass(tilts);
        }
    }

    /// Lays all parts anew one by one, in the best order so far with a few changes. On a pattern parts
    /// move by whole repeats: pushing them apart finds less than another order does.
    fn build(&mut self) {
        const CHANGES: usize = 4;
        /// One lay in so many begins elsewhere on the pattern.
        const ELSEWHERE: usize = 4;
        let count = self.ground.count();
        let mut order = self.built.order.clone();
        let mut kept = count;
        for _ in 0..1 + self.chance.one_of(CHANGES) {
            let (from, to) = (self.chance.one_of(count), self.chance.one_of(count));
            let part = order.remove(from);
            order.insert(to, part);
            kept = kept.min(from).min(to);
        }
        let mut strip = self.whole.clone();
        let (whole_start, end) = strip.last();
        let repeat = self.ground.work.repeat.y;
        let start = match self.built.start {
            Some(start) if repeat <= 0.0 || self.chance.one_of(ELSEWHERE) > 0 => start,
            _ if strip.bays.len() == 1 => whole_start + repeat * self.chance.part(),
            _ => whole_start,
        };
        if self.built.start != Some(start) {
            kept = 0;
        }
        strip.set_last((start, end));
        let mut spots = self.built.spots.clone();
        let (ground, longest) = (self.ground, self.built.length);
        // What every order costs, however little of it is laid anew.
        self.builder.asked += count as u64;
        if !(self.builder).lay(ground, &strip, &order, kept, longest, &mut spots) {
            return;
        }
        let found = Found::new(ground, &strip, spots);
        self.built = Built {
            length: found.length(),
            order,
            start: Some(start),
            spots: found.spots.clone(),
        };
        if found.length() < self.best.length() {
            self.best = found;
            if !self.starting || length(self.strip.last()) >= self.best.length() {
                self.go_on_from_best();
            }
        }
    }

    /// Starts a separation from the present state.
    fn begin(&mut self) {
        self.crowd.forget();
        let loss = self.crowd.loss();
        self.least = (loss, self.crowd.spots.clone());
        self.stale = 0;
        self.strikes = 0;
        self.strike_began = loss;
        self.passes = 0;
    }

    /// Makes the strip shorter than the best lay and starts again from that.
    fn go_on_from_best(&mut self) {
        self.starting = false;
        let part = match self.phase {
            Phase::Exploring => self.shorten,
            Phase::Squeezing(done) => SQUEEZE.0 + (SQUEEZE.1 - SQUEEZE.0) * done,
        };
        let (start, end) = self.best.last;
        let by = self.best.length() * part;
        // Taken off at the end, or where the pattern may begin anywhere, at the start as well.
        let alone = self.strip.bays.len() == 1;
        let mut at_start = alone && self.chance.part() < 0.5;
        if alone && self.ground.is_held() && self.chance.part() < EASIER_END {
            at_start = self.held_within(start, start + by) < self.held_within(end - by, end);
        }
        self.strip.set_last(if at_start {
            (start + by, end)
        } else {
            (start, end - by)
        });
        // What stands beyond a line anywhere across moves up with the end.
        let line = self.chance.between(start, end);
        let spots: Vec<Spot> = self
            .best
            .spots
            .iter()
            .enumerate()
            .map(|(part, spot)| {
                let step = match (spot.centre.y > line, at_start) {
                    (true, false) => -by,
                    (false, true) if spot.centre.y > start => by,
                    _ => 0.0,
                };
                self.moved(part, spot, step)
            })
            .collect();
        self.crowd.stand(self.ground, &spots);
        self.pool.clear();
        self.begin();
    }

    /// Area of the parts of the best lay that reach into a stretch of the strip, those that bars across hold
    /// above all: they can give way by a whole repeat only.
    fn held_within(&self, low: f64, high: f64) -> f64 {
        const NOT_HELD: f64 = 0.1;
        let of = |(part, spot): (usize, &Spot)| {
            let half = self.ground.size(part, spot.way).y / 2.0;
            if spot.centre.y - half >= high || spot.centre.y + half <= low {
                return 0.0;
            }
            let way = &self.ground.work.parts[part].ways[spot.way];
            let area = self.ground.work.shapes[way.shape].area;
            area * if way.rails[1].step > 0.0 {
                1.0
            } else {
                NOT_HELD
            }
        };
        self.best.spots.iter().enumerate().map(of).sum()
    }

    /// Gives the parts a little more room than where they were told to start, as long as that makes a
    /// shorter lay than the best.
    fn lengthen(&mut self) {
        let (start, end) = self.strip.last();
        let by = (end - start) * LENGTHEN;
        if end + by - start >= self.best.length() {
            self.go_on_from_best();
            return;
        }
        self.strip.set_last((start, end + by));
        let line = self.chance.between(start, end);
        let least = std::mem::take(&mut self.least.1);
        let spots: Vec<Spot> = (least.iter().enumerate())
            .map(|(part, spot)| self.moved(part, spot, if spot.centre.y > line { by } else { 0.0 }))
            .collect();
        self.crowd.stand(self.ground, &spots);
        self.begin();
    }

    /// A spot moved along the strip, as near as that allows.
    fn moved(&self, part: usize, spot: &Spot, along: f64) -> Spot {
        let centre = Point::new(spot.centre.x, spot.centre.y + along);
        self.inside(part, spot.way, centre)
    }

    /// The nearest spot to a place that the strip allows; in another way if not in this.
    fn inside(&self, part: usize, way: usize, centre: Point) -> Spot {
        let ways = self.ground.work.parts[part].ways.len();
        for other in 0..ways {
            let way = (way + other) % ways;
            let room = stands(self.ground, &self.strip, part, way);
            if !room.is_empty() {
                let centre = room.nearest(centre);
                return Spot { way, centre };
            }
        }
        Spot { way, centre }
    }

    /// One pass over all that overlap, and what follows from its outcome. `tilts`: parts may be tilted off
    /// their grain.
    fn pass(&mut self, tilts: bool) {
        let mut order: Vec<usize> = (0..self.ground.count())
            .filter(|&part| self.crowd.loss_of(part) > 0.0)
            .collect();
        self.chance.shuffle(&mut order);
        for part in order {
            if self.crowd.loss_of(part) > 0.0 {
                let (ground, strip) = (self.ground, &self.strip);
                self.seeker.relocate(
                    ground,
                    strip,
                    &mut self.crowd,
                    &mut self.chance,
                    part,
                    tilts,
                );
            }
        }
        self.seeker.asked += self.ground.count() as u64;
        self.passes += 1;
        let loss = self.crowd.loss();
        if loss == 0.0 {
            let found = Found::new(self.ground, &self.strip, self.crowd.spots.clone());
            // On a pattern a part may have no place within so short a strip, and stand beyond it.
            if found.length() < self.best.length() {
                self.succeeded(found);
            } else {
                self.failed();
            }
            return;
        }
        if loss < self.least.0 {
            if loss < 0.98 * self.least.0 {
                self.stale = 0;
            }
            self.least.0 = loss;
            self.least.1.copy_from_slice(&self.crowd.spots);
        } else {
            self.stale += 1;
        }
        self.crowd.learn();
        if self.stale >= self.patience().passes {
            self.strike();
        }
    }

    fn succeeded(&mut self, found: Found) {
        self.shorten = if self.passes < QUICK {
            (self.shorten * 1.5).min(SHORTEN.1)
        } else {
            SHORTEN.0
        };
        self.best = found;
        self.go_on_from_best();
    }

    /// A stretch of passes without gain: once more from the least overlap, or give this state up.
    fn strike(&mut self) {
        self.stale = 0;
        if self.least.0 < 0.98 * self.strike_began {
            self.strikes = 0;
        } else {
            self.strikes += 1;
        }
        self.strike_began = self.least.0;
        let least = std::mem::take(&mut self.least);
        self.crowd.stand(self.ground, &least.1);
        self.least = least;
        if self.strikes >= self.patience().strikes {
            self.failed();
        }
    }

    fn failed(&mut self) {
        if self.starting {
            self.lengthen();
            return;
        }
        self.shorten = SHORTEN.0;
        if self.squeezing() || self.ground.is_held() && self.chance.part() < BEGUN_AGAIN {
            self.go_on_from_best();
            return;
        }
        let at = self.pool.partition_point(|state| state.0 <= self.least.0);
        self.pool.insert(at, self.least.clone());
        self.pool.truncate(POOL);
        // Mostly one of those with little overlap.
        let index = (self.chance.near().abs() * self.pool.len() as f64 * 0.25) as usize;
        let spots = self.pool[index.min(self.pool.len() - 1)].1.clone();
        self.crowd.stand(self.ground, &spots);
        self.disrupt();
        self.begin();
    }

    /// Lets two large parts of different shape change places.
    fn disrupt(&mut self) {
        let work = self.ground.work;
        let area = |part: usize| work.shapes[work.parts[part].ways[0].shape].area;
        let mut large: Vec<usize> = (0..self.ground.count()).collect();
        large.sort_by(|&a, &b| area(b).total_cmp(&area(a)).then(a.cmp(&b)));
        // Parts that make up most of the area.
        let total: f64 = large.iter().map(|&part| area(part)).sum();
        let mut sum = 0.0;
        let most = large.iter().take_while(|&&part| {
            sum += area(part);
            sum <= 0.75 * total
        });
        let most = most.count().max(2).min(large.len());
        for _ in 0..20 {
            let (a, b) = (
                large[self.chance.one_of(most)],
                large[self.chance.one_of(most)],
            );
            let shape = |part: usize| self.ground.shape(part, self.crowd.spots[part].way);
            if a == b || work.shapes[shape(a)].base == work.shapes[shape(b)].base {
                continue;
            }
            let (to_a, to_b) = (self.crowd.spots[b].centre, self.crowd.spots[a].centre);
            let a_spot = self.inside(a, self.crowd.spots[a].way, to_a);
            let b_spot = self.inside(b, self.crowd.spots[b].way, to_b);
            self.crowd.shift(self.ground, a, a_spot);
            self.crowd.shift(self.ground, b, b_spot);
            return;
        }
    }
}

fn length(bay: (f64, f64)) -> f64 {
    bay.1 - bay.0
}
