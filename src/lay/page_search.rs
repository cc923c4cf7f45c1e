//! A search for a packing on fewer and fewer pages.
//!
//! The pages are a strip, row by row, of which the last pages of the last row are blocked. The search takes away the
//! last page and separates what overlaps then.

use super::exchange::exchange_large;
use super::moving::inside;
use super::packing::{Packing, Position};
use super::random::Random;
use super::sampler::Sampler;
use super::separation::{Outcome, Patience, Separation};
use super::strip::Strip;
use kurbo::{Point, Vec2};

/// How far what is blocked reaches beyond the sheet, mm, so that the way out of it leads onto the sheet.
pub(super) const BEYOND: f64 = 1000.0;
/// Part of the pages that may be spared at most which the next step takes away. (These numbers and those below are
/// judged by benches; no source.)
const BOLD: f64 = 0.05;
/// Part of the pages that the pieces of a garment fill at most. No search for fuller ones is begun.
const FULLEST: f64 = 0.93;
/// Patience of a separation.
const PATIENCE: Patience = Patience {
    passes: 40,
    strikes: 1,
};

/// Paper that pages are joined of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pages {
    /// Width of what each page adds to the sheet, mm.
    pub width: f64,
    /// Height of it, mm; `None` for a roll, which is cut off where the outlines end.
    pub height: Option<f64>,
    /// Number of pages side by side.
    pub columns: usize,
    /// Width and height that are kept free at the upper left corner of the sheet, mm.
    pub kept_free: Option<(f64, f64)>,
}

/// A search for a packing on fewer and fewer pages.
pub(super) struct PageSearch<'a> {
    packing: &'a Packing<'a>,
    page: Vec2,
    columns: usize,
    /// The part that blocks pages, if the sheet is so wide that there may be any.
    blocking: Option<usize>,
    strip: Strip,
    random: Random,
    separation: Separation,
    sampler: Sampler<'a>,
    /// The best packing so far, and its pages.
    pub base: Vec<Position>,
    pages: usize,
    /// Pages that are tried now.
    tried: usize,
    /// Fewest pages that could hold all parts.
    least: usize,
}

impl<'a> PageSearch<'a> {
    /// Begins with parts that stand on as many rows of pages as they need. `outlines` is the number of those that are
    /// not fixed.
    pub(super) fn new(
        packing: &'a Packing<'a>,
        pages: &Pages,
        height: f64,
        outlines: usize,
        (strip, base): (Strip, Vec<Position>),
    ) -> Self {
        let page = Vec2::new(pages.width, height);
        let kept_free = pages.kept_free.unwrap_or_default();
        let foot = |part: usize| {
            let position: Position = base[part];
            position.centre.y + packing.size(part, position.orientation).y / 2.0
        };
        let foot = (0..outlines).map(foot).fold(kept_free.1, f64::max);
        let count = (foot / page.y).ceil().max(1.0) as usize * pages.columns;
        let area = |part| packing.instance.first_shape(part).area;
        let area = (0..outlines).map(area).sum::<f64>() + kept_free.0 * kept_free.1;
        let least = (area / FULLEST / (page.x * page.y)).ceil() as usize;
        // On fewer rows the tallest part would reach beyond the sheet.
        let heights = |part: usize| {
            let orientations = 0..packing.orientations(part, false);
            orientations.map(move |orientation| packing.size(part, orientation).y)
        };
        let tallest = (0..outlines).map(|part| heights(part).fold(f64::INFINITY, f64::min));
        let rows = (tallest.fold(0.0, f64::max) / page.y).ceil() as usize;
        let blocking = outlines + usize::from(pages.kept_free.is_some());
        let mut search = Self {
            packing,
            page,
            columns: pages.columns,
            blocking: Some(blocking).filter(|&part| part < packing.count()),
            strip,
            random: Random::new(1, 0),
            separation: Separation::new(packing, base.clone()),
            sampler: Sampler::default(),
            base,
            pages: count,
            tried: count,
            least: least.max(rows.saturating_sub(1) * pages.columns + 1),
        };
        search.leave(count);
        search
    }

    /// Leaves the sheet a number of pages.
    fn leave(&mut self, count: usize) {
        let rows = count.div_ceil(self.columns);
        let foot = rows as f64 * self.page.y;
        self.strip.set_last((0.0, foot));
        self.tried = count;
        let Some(part) = self.blocking else {
            return;
        };
        let blocked = rows * self.columns - count;
        let orientation = blocked.saturating_sub(1);
        let top = foot + if blocked > 0 { -self.page.y } else { BEYOND };
        let left = (self.columns - blocked) as f64 * self.page.x;
        self.base[part] = Position {
            orientation,
            centre: Point::new(left, top) + self.packing.size(part, orientation) / 2.0,
        };
    }

    /// Takes away pages and separates what overlaps then, for so many evaluations.
    pub(super) fn run(&mut self, evaluations: u64) {
        self.spare(true);
        while self.sampler.evaluations < evaluations && self.pages > self.least {
            let outcome = self.separation.pass(
                self.packing,
                &self.strip,
                &mut self.sampler,
                &mut self.random,
                false,
                PATIENCE,
            );
            match outcome {
                Outcome::Open => {}
                Outcome::Separated => {
                    self.base.clone_from(&self.separation.arrangement.positions);
                    self.pages = self.tried;
                    self.spare(true);
                }
                Outcome::Stuck if self.tried + 1 < self.pages => self.spare(false),
                Outcome::Stuck => self.disturb(),
            }
        }
    }

    /// Takes pages away from the best packing: with `bold` several, if many may be spared.
    fn spare(&mut self, bold: bool) {
        let spared = self.pages.saturating_sub(self.least) as f64 * BOLD;
        let step = if bold { (spared as usize).max(1) } else { 1 };
        self.leave(self.pages.saturating_sub(step).max(self.least));
        let foot = self.strip.last().1;
        let line = self.random.between(0.0, foot);
        let rows = self.pages.div_ceil(self.columns) as f64 * self.page.y;
        let packing = self.packing;
        let moved = |(part, position): (usize, &Position)| {
            if packing.fixed(part).is_some() {
                return *position;
            }
            let up = if position.centre.y > line {
                rows - foot
            } else {
                0.0
            };
            let centre = position.centre - Vec2::new(0.0, up);
            inside(&self.strip, packing, part, position.orientation, centre)
        };
        let positions: Vec<Position> = self.base.iter().enumerate().map(moved).collect();
        self.separation.arrangement.arrange(packing, &positions);
        self.separation.begin();
    }

    /// Lets two large parts change places in the state of least overlap.
    fn disturb(&mut self) {
        let least = self.separation.least.positions.clone();
        let arrangement = &mut self.separation.arrangement;
        arrangement.arrange(self.packing, &least);
        exchange_large(self.packing, &self.strip, arrangement, &mut self.random);
        self.separation.begin();
    }
}
