//! The problem: items with their shapes and no-fit regions, laid on one cloth after another.

use super::bottom_left::bottom_left_fill;
use super::check::check;
use super::cloth_rules::ClothRules;
use super::contour::crosses_itself;
use super::fault::LayFault;
use super::instance::{Instance, Part};
use super::item::Item;
use super::long_search::{LongSearch, MANY, Means};
use super::nofit_table::NoFitTable;
use super::orientation::{Orientation, Orientations};
use super::outcome::{Lay, WarmStart};
use super::packing::{Packing, Position};
use super::parallel::{EVALUATIONS, ParallelSearch, Threads};
use super::placing::lay_of;
use super::search::{Effort, Progress, Search};
use super::solution::Solution;
use super::start::starts;
use super::stop::Stop;
use super::strip::Strip;
use super::tolerance::{TOLERANCE, TOUCH};
use std::sync::{PoisonError, RwLock, RwLockReadGuard};
use std::time::{Duration, Instant};

/// Memory that the regions of many parts may take, bytes. It is seen to after each round.
const MOST_BYTES: usize = 250 << 20;

/// Lays every copy of every item on the cloth, as short as the search finds.
///
/// The lay is checked before it is returned: no two pieces overlap by more than [`TOLERANCE`] and everything
/// lies on the usable cloth. An empty list gives an empty lay.
///
/// # Errors
/// When an outline is unsound, a piece does not fit the cloth or its pattern, or the lay is longer than is
/// allowed.
pub fn plan(items: &[Item], cloth: &ClothRules, search: &Search) -> Result<Lay, LayFault> {
    Problem::new(items.to_vec(), cloth.gap)?.plan(cloth, search)
}

/// Items to be laid, with their shapes and the no-fit regions of these, which cloths of any width, layout and
/// pattern share.
#[derive(Debug)]
pub struct Problem {
    items: Vec<Item>,
    gap: f64,
    orientations: Orientations,
    table: RwLock<NoFitTable>,
    /// How long its shapes took to be made.
    made_in: Duration,
}

impl Problem {
    /// Makes the shapes of items for cloths on which this gap is kept between pieces.
    ///
    /// # Errors
    /// When an outline encloses nothing, or not one region.
    pub fn new(items: Vec<Item>, gap: f64) -> Result<Self, LayFault> {
        let began = Instant::now();
        let orientations = Orientations::new(&items, gap)?;
        let table = RwLock::new(NoFitTable::new(&orientations.shapes));
        Ok(Self {
            items,
            gap,
            orientations,
            table,
            made_in: began.elapsed(),
        })
    }

    /// The regions of its shapes. What is known of them is sound even where a thread that made some has failed.
    fn table(&self) -> RwLockReadGuard<'_, NoFitTable> {
        self.table.read().unwrap_or_else(PoisonError::into_inner)
    }

    /// Forgets regions where they take too much memory, unless another search uses them now.
    fn forget_regions(&self) {
        if let Ok(mut table) = self.table.try_write() {
            table.forget_beyond(MOST_BYTES);
        }
    }

    /// The items.
    pub fn items(&self) -> &[Item] {
        &self.items
    }

    /// Lays the items on a cloth, as [`plan`] does. The gap is that of [`Problem::new`], not the cloth's.
    ///
    /// # Errors
    /// As [`plan`].
    pub fn plan(&self, cloth: &ClothRules, search: &Search) -> Result<Lay, LayFault> {
        self.plan_from(None, cloth, search)
    }

    /// Lays the items as [`plan`](Self::plan) does, from an earlier lay of them if there is one: on narrower
    /// cloth, or on patterned cloth that is otherwise the same. The lay found is no longer than the earlier
    /// one. An earlier lay that cannot lie on this cloth (see [`holds`](Self::holds)) is not used.
    ///
    /// # Errors
    /// As [`plan`].
    pub fn plan_from(
        &self,
        known: Option<&WarmStart>,
        cloth: &ClothRules,
        search: &Search,
    ) -> Result<Lay, LayFault> {
        let cloth = &self.with_gap(cloth);
        let items = &self.items;
        let instance = Instance::new(&self.orientations, items, cloth)?;
        let solution = self.solve(cloth, &instance, search, known);
        let lay = lay_of(&solution, items, cloth, &instance);
        check(items, cloth, &lay).map_err(|fault| self.crossed_on_the_grid().unwrap_or(fault))?;
        match cloth.longest {
            Some(longest) if lay.length > longest + TOLERANCE => Err(LayFault::TooLong {
                needs: lay.length,
                longest,
            }),
            _ => Ok(lay),
        }
    }

    /// Returns the lay in which the items lie on a cloth as they did in an earlier lay; `None` where they
    /// cannot, because that is of other pieces or of other cloth.
    pub fn holds(&self, cloth: &ClothRules, known: &WarmStart) -> Option<Lay> {
        let cloth = &self.with_gap(cloth);
        let instance = Instance::new(&self.orientations, &self.items, cloth).ok()?;
        let solution = self.resumed(cloth, &instance, known)?;
        Some(lay_of(&solution, &self.items, cloth, &instance))
    }

    fn with_gap(&self, cloth: &ClothRules) -> ClothRules {
        ClothRules {
            gap: self.gap,
            ..cloth.clone()
        }
    }

    /// Takes the positions of the parts from an earlier lay, if that is a sound lay of them.
    fn resumed(
        &self,
        cloth: &ClothRules,
        instance: &Instance,
        known: &WarmStart,
    ) -> Option<Solution> {
        let table = self.table();
        let packing = Packing::new(instance, &table);
        let strip = instance.strip(cloth);
        let positions = self.positions_in(known, cloth, &packing, &strip)?;
        let solution = Solution::new(&packing, &strip, positions);
        let lay = lay_of(&solution, &self.items, cloth, instance);
        check(&self.items, cloth, &lay).ok()?;
        Some(solution)
    }

    /// Returns the fault of an outline with a needle so fine that its sides cross once its corners are on the
    /// grid. No lay of it can be trusted.
    fn crossed_on_the_grid(&self) -> Option<LayFault> {
        let crosses = |item: usize| {
            let of = |mirrored| self.orientations.of(item, mirrored, false, true);
            let orientations = [false, true].map(of);
            let shapes = &self.orientations.shapes;
            let mut contours =
                (orientations.iter().flatten()).flat_map(|o| &shapes[o.shape].contours);
            contours.any(|contour| crosses_itself(contour))
        };
        let crossed = (0..self.items.len()).find(|&item| crosses(item))?;
        Some(LayFault::Outline {
            name: self.items[crossed].name.clone(),
        })
    }

    /// Searches for a short lay.
    fn solve(
        &self,
        cloth: &ClothRules,
        instance: &Instance,
        how: &Search,
        known: Option<&WarmStart>,
    ) -> Solution {
        let strip = instance.strip(cloth);
        let known = known.and_then(|known| self.resumed(cloth, instance, known));
        let tell = |solution: &Solution, done: f64| {
            if let Some(report) = how.progress {
                let length = strip.last().0 + solution.length() - instance.gap;
                report(Progress {
                    length: length.max(0.0),
                    done,
                });
            }
        };
        // The search may take for separate what the check does not: the check decides.
        let sound = |solution: &Solution| {
            let lay = lay_of(solution, &self.items, cloth, instance);
            check(&self.items, cloth, &lay).is_ok()
        };
        let searched = Searched {
            problem: self,
            instance,
            strip: &strip,
            how,
            clock: Clock::new(how, self.made_in),
            sound: &sound,
            tell: &tell,
        };
        let many = instance.parts.len() > MANY && strip.bays.len() == 1;
        let best = if many {
            searched.section_by_section(known)
        } else {
            searched.all_at_once(known)
        };
        tell(&best, 1.0);
        best
    }

    /// Takes the position of each part from an earlier lay, as far from the middle of the cloth as there; `None`
    /// where a part cannot stand so.
    fn positions_in(
        &self,
        known: &WarmStart,
        cloth: &ClothRules,
        packing: &Packing,
        strip: &Strip,
    ) -> Option<Vec<Position>> {
        let onto_strip = packing.instance.origin(cloth) - known.pattern_at.to_vec2();
        let position = |(index, part): (usize, &Part)| {
            let piece = self.items[part.item].piece;
            let wanted = (piece, part.copy, part.mirrored, part.on_fold);
            let mut placements = known.placements.iter();
            let placed = placements.find(|p| (p.piece, p.copy, p.mirrored, p.on_fold) == wanted)?;
            let lying = self.orientations.of_placed(part.item, placed)?;
            // Of orientations that give the same shape a part may have another.
            let has = |is: &dyn Fn(&Orientation) -> bool| part.orientations.iter().position(is);
            let orientation = has(&|o| o.degrees == lying.degrees)
                .or_else(|| has(&|o| o.shape == lying.shape))?;
            let corner = placed.transform.translation() - lying.to_shape.translation();
            let centre = (corner + onto_strip + packing.size(index, orientation) / 2.0).to_point();
            let inner_fit = packing.inner_fit(strip, index, orientation);
            if inner_fit.is_empty() {
                return None;
            }
            let nearest = inner_fit.nearest(centre);
            ((nearest - centre).hypot() < TOUCH).then_some(Position {
                orientation,
                centre: nearest,
            })
        };
        let parts = packing.instance.parts.iter();
        parts.enumerate().map(position).collect()
    }
}

/// What is searched, and how.
struct Searched<'a> {
    problem: &'a Problem,
    instance: &'a Instance<'a>,
    strip: &'a Strip,
    how: &'a Search<'a>,
    clock: Clock,
    /// Whether the check finds a lay sound.
    sound: &'a dyn Fn(&Solution) -> bool,
    /// Gets the best lay so far, with the part of the search that is done.
    tell: &'a dyn Fn(&Solution, f64),
}

impl Searched<'_> {
    /// Moves all parts at once. Runs rounds until the effort is spent, the search is stopped or no lay can be
    /// shorter.
    fn all_at_once(&self, known: Option<Solution>) -> Solution {
        let (how, strip) = (self.how, self.strip);
        let table = self.problem.table();
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
        let items = &self.problem.items;
        let mut starts = starts(how.kept, items, &packing, strip, searchers);
        starts.retain(|start| start.length > least);
        let mut best = first.clone();
        let mut search = ParallelSearch::new(&packing, strip, first, &starts, how.seed, searchers);
        let stop = self.clock.stop(how);
        let mut rounds = 0;
        while best.length() > least + TOLERANCE {
            let done = self.clock.done(how, f64::from(rounds));
            if done >= 1.0 || stop.is_due() {
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
        let how = self.how;
        let searchers = how.searchers.max(1);
        let threads = Threads::new(how.threads.map(|threads| threads.min(searchers)));
        let stop = self.clock.stop(how);
        let (instance, items) = (self.instance, &self.problem.items);
        let round = EVALUATIONS * (instance.parts.len() * searchers) as u64;
        let mut search = {
            let table = &self.problem.table();
            match known {
                Some(known) => LongSearch::from(instance, items, self.strip, known, how.seed),
                None => LongSearch::new(instance, items, self.strip, how, &threads, table),
            }
        };
        let mut done = 0.0;
        loop {
            (self.tell)(&search.incumbent, done);
            self.problem.forget_regions();
            done = self
                .clock
                .done(how, search.evaluations as f64 / round as f64);
            if done >= 1.0 || stop.is_due() {
                return search.incumbent;
            }
            let table = &self.problem.table();
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

/// The time that a search takes.
#[derive(Debug, Clone, Copy)]
struct Clock {
    began: Instant,
}

impl Clock {
    /// Begins a search. The time that its problem took to be made counts as part of the search.
    fn new(how: &Search, made_in: Duration) -> Self {
        let now = Instant::now();
        let began = match how.effort {
            Effort::Seconds(_) => now.checked_sub(made_in).unwrap_or(now),
            Effort::Rounds(_) => now,
        };
        Self { began }
    }

    /// When a search is to stop in the midst of a round.
    fn stop<'a>(&self, how: &Search<'a>) -> Stop<'a> {
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
    fn done(&self, how: &Search, rounds: f64) -> f64 {
        match how.effort {
            Effort::Rounds(0) => 1.0,
            Effort::Rounds(all) => rounds / f64::from(all),
            Effort::Seconds(all) => self.began.elapsed().as_secs_f64() / all,
        }
    }
}
