//! The problem: items with their shapes and no-fit regions, laid on one cloth after another.

use super::check::check;
use super::cloth_rules::ClothRules;
use super::contour::crosses_itself;
use super::fault::LayFault;
use super::instance::{Instance, Part};
use super::item::Item;
use super::nofit_table::NoFitTable;
use super::orientation::{Orientation, Orientations};
use super::outcome::{Lay, WarmStart};
use super::packing::{Packing, Position};
use super::placing::lay_of;
use super::search::{Progress, Search};
use super::solution::Solution;
use super::solver::{Clock, Solver};
use super::strip::Strip;
use super::tolerance::{TOLERANCE, TOUCH};
use std::sync::RwLock;
use std::time::{Duration, Instant};

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
        let lay = lay_of(&solution, &self.items, cloth, &instance);
        check(&self.items, cloth, &lay).ok().map(|()| lay)
    }

    fn with_gap(&self, cloth: &ClothRules) -> ClothRules {
        ClothRules {
            gap: self.gap,
            ..cloth.clone()
        }
    }

    /// Takes the positions of the parts from an earlier lay, if that is a sound lay of them on a table of any length.
    fn resumed(
        &self,
        cloth: &ClothRules,
        instance: &Instance,
        known: &WarmStart,
    ) -> Option<Solution> {
        let table = NoFitTable::read(&self.table);
        let packing = Packing::new(instance, &table);
        let strip = instance.strip(cloth);
        let positions = self.positions_in(known, cloth, &packing, &strip)?;
        let solution = Solution::new(&packing, &strip, positions);
        self.is_sound(cloth, instance, &solution)
            .then_some(solution)
    }

    /// Tells whether a solution is a sound lay on a table of any length.
    fn is_sound(&self, cloth: &ClothRules, instance: &Instance, solution: &Solution) -> bool {
        let endless = ClothRules {
            table: None,
            ..cloth.clone()
        };
        let lay = lay_of(solution, &self.items, &endless, instance);
        check(&self.items, &endless, &lay).is_ok()
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
        let sound = |solution: &Solution| self.is_sound(cloth, instance, solution);
        let solver = Solver {
            items: &self.items,
            table: &self.table,
            instance,
            strip: &strip,
            how: *how,
            clock: Clock::new(how, self.made_in),
            sound: &sound,
            tell: &tell,
        };
        let best = match cloth.table {
            Some(table) => solver.on_table(table, known),
            None => solver.search(known),
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
