//! What is to be laid on a strip of one width: every part, with the ways it may lie there.

use super::matching;
use super::shape::{SAME, Shape};
use super::strip::{Rail, Strip};
use super::types::{ClothRules, Item, LayFault};
use super::ways::{Shapes, Way};
use crate::draft::Count;
use crate::order::{Face, Layout};
use kurbo::Vec2;

/// One thing to be laid.
#[derive(Debug, Clone)]
pub(super) struct Part {
    /// Index of the item.
    pub item: usize,
    /// Which copy of it.
    pub copy: u32,
    /// Whether it lies mirrored.
    pub mirrored: bool,
    /// Plies it is cut through.
    pub plies: u32,
    /// Whether it is half of an item, on the fold.
    pub on_fold: bool,
    /// The ways it may lie, each with its own shape.
    pub ways: Vec<Way>,
}

/// Everything to be laid on a strip of a given width.
#[derive(Debug, Clone)]
pub(super) struct Work<'a> {
    /// Distinct shapes.
    pub shapes: &'a [Shape],
    /// What is to be laid.
    pub parts: Vec<Part>,
    /// Width of the strip: the usable width and the gap.
    pub width: f64,
    /// Gap kept between parts; it is grown round the shapes.
    pub gap: f64,
    /// Repeat of the cloth's pattern.
    pub repeat: Vec2,
}

impl<'a> Work<'a> {
    /// The parts of `items` on a cloth. The strip is widened by the gap, by half of which each
    /// shape has grown, so that a piece may lie against the edge of the cloth. Pieces may lie off the
    /// grain as far as they allow, if the cloth has no pattern.
    pub(super) fn new(
        shapes: &'a Shapes,
        items: &[Item],
        cloth: &ClothRules,
    ) -> Result<Self, LayFault> {
        let (left, right) = cloth.usable();
        let mut work = Work {
            shapes: &shapes.list,
            parts: Vec::new(),
            width: right - left + cloth.gap,
            gap: cloth.gap,
            repeat: cloth.repeat,
        };
        let patterned = cloth.repeat != Vec2::ZERO;
        for (index, item) in items.iter().enumerate() {
            if work.lies_on_fold(index, item, shapes, cloth) {
                continue;
            }
            let matched = patterned && matching::is_matched(item, items);
            let ways = |mirrored| shapes.ways(index, mirrored, matched, !patterned);
            let (straight, mirrored) = (ways(false), ways(true));
            if !straight.iter().any(|w| work.fits(w)) {
                let needs = straight
                    .iter()
                    .map(|w| work.shapes[w.shape].size.x)
                    .fold(f64::INFINITY, f64::min);
                return Err(LayFault::TooWide {
                    name: item.name.clone(),
                    needs: needs - cloth.gap,
                    usable: right - left,
                });
            }
            let keep = |ways: &[Way]| -> Vec<Way> {
                ways.iter().filter(|w| work.fits(w)).cloned().collect()
            };
            let (straight, mirrored) = (keep(&straight), keep(&mirrored));
            let same_both_ways = straight
                .iter()
                .any(|a| mirrored.iter().any(|b| a.shape == b.shape));
            let (pairs, singles) = match (cloth.layout, item.count) {
                (Layout::Doubled, Count::Pairs(n)) => (n, 0),
                // Alike pieces come out of folded cloth as a pair only when the mirrored one is the same.
                (Layout::Doubled, Count::Alike(n)) if same_both_ways => (n / 2, n % 2),
                (_, Count::Alike(n)) => (0, n),
                (Layout::Open, Count::Pairs(n)) => (0, 2 * n),
            };
            for copy in 0..pairs {
                work.parts.push(Part {
                    item: index,
                    copy,
                    mirrored: false,
                    plies: 2,
                    on_fold: false,
                    ways: straight.clone(),
                });
            }
            for single in 0..singles {
                let is_mirrored = match item.count {
                    Count::Pairs(_) => single % 2 == 1,
                    Count::Alike(_) => cloth.face == Face::Down,
                };
                let ways = if is_mirrored { &mirrored } else { &straight };
                work.parts.push(Part {
                    item: index,
                    copy: pairs + single,
                    mirrored: is_mirrored,
                    plies: 1,
                    on_fold: false,
                    ways: ways.clone(),
                });
            }
        }
        matching::hold(&mut work, items, cloth)?;
        work.hold_on_fold();
        let strip = Strip {
            width: work.width,
            bays: vec![(0.0, f64::MAX)],
        };
        for part in &work.parts {
            let size = |way: &Way| work.shapes[way.shape].size;
            let stands = |way: &Way| !strip.room(size(way), way.rails).is_empty();
            if !part.ways.iter().any(stands) {
                return Err(LayFault::OffPattern {
                    name: items[part.item].name.clone(),
                });
            }
        }
        Ok(work)
    }

    /// Adds the parts of an item that is cut on the fold of a doubled cloth; false for any other.
    fn lies_on_fold(
        &mut self,
        index: usize,
        item: &Item,
        shapes: &Shapes,
        cloth: &ClothRules,
    ) -> bool {
        let (Layout::Doubled, Count::Alike(n)) = (cloth.layout, item.count) else {
            return false;
        };
        let halves = shapes.halves[index].iter();
        let ways: Vec<Way> = halves.filter(|way| self.fits(way)).cloned().collect();
        if ways.is_empty() {
            return false;
        }
        self.parts.extend((0..n).map(|copy| Part {
            item: index,
            copy,
            mirrored: false,
            plies: 2,
            on_fold: true,
            ways: ways.clone(),
        }));
        true
    }

    /// Leaves parts on the fold one place across: against the right edge of the strip, where the fold is.
    fn hold_on_fold(&mut self) {
        for part in self.parts.iter_mut().filter(|part| part.on_fold) {
            for way in &mut part.ways {
                let half = self.shapes[way.shape].size.x / 2.0;
                way.rails[0] = Rail {
                    phase: self.width - half,
                    step: 2.0 * self.width,
                };
            }
        }
    }

    /// Where the pattern of the cloth begins, on the strip: across in the middle of the cloth, along
    /// where the strip does.
    pub(super) fn origin(&self, cloth: &ClothRules) -> Vec2 {
        let left = cloth.usable().0 - cloth.gap / 2.0;
        Vec2::new(cloth.width / 2.0 - left, 0.0)
    }

    fn fits(&self, way: &Way) -> bool {
        self.shapes[way.shape].size.x <= self.width + SAME
    }
}
