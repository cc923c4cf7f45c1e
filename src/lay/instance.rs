//! The instance: what is to be laid on a strip of one width, every part with the orientations that it may
//! take there.

use super::cloth_rules::{ClothRules, Repeat};
use super::fault::LayFault;
use super::item::Item;
use super::matching;
use super::orientation::{Orientation, Orientations};
use super::shape::{SAME, Shape};
use super::strip::{Lattice, Strip};
use crate::draft::Count;
use crate::order::{Face, Layout};
use kurbo::{Point, Vec2};

/// One copy of an item (or a pair, through two plies) to be laid.
#[derive(Debug, Clone)]
pub(super) struct Part {
    /// Index of the item.
    pub item: usize,
    /// Which copy of it.
    pub copy: u32,
    /// Whether it lies mirrored.
    pub mirrored: bool,
    /// Plies that it is cut through.
    pub plies: u32,
    /// Whether it is half of an item, on the fold.
    pub on_fold: bool,
    /// The orientations that it may take, each with its own shape; the first one is that of its bounds.
    pub orientations: Vec<Orientation>,
}

/// Everything to be laid on a strip of a given width.
#[derive(Debug, Clone)]
pub(super) struct Instance<'a> {
    /// Distinct shapes.
    pub shapes: &'a [Shape],
    /// What is to be laid.
    pub parts: Vec<Part>,
    /// Width of the strip: the usable width and the gap.
    pub width: f64,
    /// Gap kept between parts. The shapes have grown by half of it.
    pub gap: f64,
    /// Repeat of the cloth's pattern.
    pub repeat: Repeat,
}

impl<'a> Instance<'a> {
    /// Lists the parts of `items` on a cloth. The strip is wider than the usable cloth by the gap, by half of
    /// which each shape has grown, so that a piece may lie against the edge of the cloth. Pieces may be tilted
    /// off the grain as far as they allow, if the cloth has no pattern.
    ///
    /// # Errors
    /// When a piece is too wide or has no place on the pattern, or matches contradict one another.
    pub(super) fn new(
        orientations: &'a Orientations,
        items: &[Item],
        cloth: &ClothRules,
    ) -> Result<Self, LayFault> {
        let (left, right) = cloth.usable();
        let mut instance = Instance {
            shapes: &orientations.shapes,
            parts: Vec::new(),
            width: right - left + cloth.gap,
            gap: cloth.gap,
            repeat: cloth.repeat,
        };
        for (index, item) in items.iter().enumerate() {
            if !instance.add_on_fold(index, item, orientations, cloth) {
                instance.add(index, items, orientations, cloth)?;
            }
        }
        instance.hold_to_pattern(items, cloth)?;
        instance.hold_on_fold();
        instance.lie_on_table(items, cloth)?;
        instance.has_places(items)?;
        Ok(instance)
    }

    /// Adds the parts of an item that is cut on the fold of a doubled cloth; returns false for any other.
    fn add_on_fold(
        &mut self,
        index: usize,
        item: &Item,
        orientations: &Orientations,
        cloth: &ClothRules,
    ) -> bool {
        let (Layout::Doubled, Count::Alike(n)) = (cloth.layout, item.count) else {
            return false;
        };
        let fitting = self.fitting(&orientations.halves[index]);
        if fitting.is_empty() {
            return false;
        }
        self.parts.extend((0..n).map(|copy| Part {
            item: index,
            copy,
            mirrored: false,
            plies: 2,
            on_fold: true,
            orientations: fitting.clone(),
        }));
        true
    }

    /// Adds the parts of any other item.
    ///
    /// # Errors
    /// When it fits the width in no orientation.
    fn add(
        &mut self,
        index: usize,
        items: &[Item],
        orientations: &Orientations,
        cloth: &ClothRules,
    ) -> Result<(), LayFault> {
        let item = &items[index];
        let patterned = self.repeat.is_patterned();
        let matched = patterned && matching::is_matched(item, items);
        let of = |mirrored| orientations.of(index, mirrored, matched, !patterned);
        let straight = of(false);
        let (fitting, mirrored) = (self.fitting(&straight), self.fitting(&of(true)));
        if fitting.is_empty() {
            return Err(self.too_wide(item, &straight, cloth));
        }
        let same_both_ways = fitting
            .iter()
            .any(|a| mirrored.iter().any(|b| a.shape == b.shape));
        let (pairs, singles) = match (cloth.layout, item.count) {
            (Layout::Doubled, Count::Pairs(n)) => (n, 0),
            // Alike pieces come out of folded cloth as a pair only when the mirrored one is the same.
            (Layout::Doubled, Count::Alike(n)) if same_both_ways => (n / 2, n % 2),
            (_, Count::Alike(n)) => (0, n),
            (Layout::Open, Count::Pairs(n)) => (0, 2 * n),
        };
        for copy in 0..pairs + singles {
            let single = copy.checked_sub(pairs);
            let is_mirrored = match (single, item.count) {
                (None, _) => false,
                (Some(single), Count::Pairs(_)) => single % 2 == 1,
                (Some(_), Count::Alike(_)) => cloth.face == Face::Down,
            };
            self.parts.push(Part {
                item: index,
                copy,
                mirrored: is_mirrored,
                plies: if single.is_some() { 1 } else { 2 },
                on_fold: false,
                orientations: if is_mirrored { &mirrored } else { &fitting }.clone(),
            });
        }
        Ok(())
    }

    /// Those of some orientations that fit the width of the strip.
    fn fitting(&self, orientations: &[Orientation]) -> Vec<Orientation> {
        let fits = |o: &&Orientation| self.shapes[o.shape].size.x <= self.width + SAME;
        orientations.iter().filter(fits).cloned().collect()
    }

    /// Leaves parts only the orientations in which they are no longer than the table.
    ///
    /// # Errors
    /// When that leaves one none.
    fn lie_on_table(&mut self, items: &[Item], cloth: &ClothRules) -> Result<(), LayFault> {
        let Some(table) = cloth.table else {
            return Ok(());
        };
        let length = |o: &Orientation| self.shapes[o.shape].size.y - self.gap;
        for part in &mut self.parts {
            let least = part
                .orientations
                .iter()
                .map(length)
                .fold(f64::INFINITY, f64::min);
            part.orientations.retain(|o| length(o) <= table);
            if part.orientations.is_empty() {
                return Err(LayFault::OffTable {
                    name: items[part.item].name.clone(),
                    needs: least,
                    table,
                });
            }
        }
        Ok(())
    }

    fn too_wide(&self, item: &Item, orientations: &[Orientation], cloth: &ClothRules) -> LayFault {
        let (left, right) = cloth.usable();
        let widths = orientations.iter().map(|o| self.shapes[o.shape].size.x);
        LayFault::TooWide {
            name: item.name.clone(),
            needs: widths.fold(f64::INFINITY, f64::min) - self.gap,
            usable: right - left,
        }
    }

    /// Sets the lattices of all parts that must match.
    ///
    /// # Errors
    /// When the matches contradict one another.
    fn hold_to_pattern(&mut self, items: &[Item], cloth: &ClothRules) -> Result<(), LayFault> {
        let offsets = matching::offsets(items, cloth.repeat)?;
        let origin = self.origin(cloth);
        for part in &mut self.parts {
            for orientation in &mut part.orientations {
                let size = self.shapes[orientation.shape].size;
                // The item's own origin on a shape whose box has its centre at the origin.
                let own = (orientation.to_shape * Point::ZERO).to_vec2() - size / 2.0;
                let signs = matching::signs(orientation.to_shape, &items[part.item]);
                for (axis, of) in offsets.iter().enumerate() {
                    let on = |v: Vec2| matching::on(axis, v);
                    let lattice = of.get(&part.item).zip(cloth.repeat.axes()[axis]);
                    if let Some((offset, step)) = lattice {
                        let offset = on(origin) + signs[axis] * offset - on(own);
                        orientation.lattices[axis] = Some(Lattice { offset, step });
                    }
                }
            }
        }
        Ok(())
    }

    /// Leaves parts on the fold one place across: against the right edge of the strip, where the fold is.
    fn hold_on_fold(&mut self) {
        for part in self.parts.iter_mut().filter(|part| part.on_fold) {
            for orientation in &mut part.orientations {
                let half = self.shapes[orientation.shape].size.x / 2.0;
                orientation.lattices[0] = Some(Lattice {
                    offset: self.width - half,
                    // The next place is beyond the strip.
                    step: 2.0 * self.width,
                });
            }
        }
    }

    /// Checks that every part has a place on a strip of any length.
    ///
    /// # Errors
    /// When the pattern leaves one none.
    fn has_places(&self, items: &[Item]) -> Result<(), LayFault> {
        let strip = Strip {
            bays: vec![(0.0, f64::MAX)],
            ..Strip::alone(self.width)
        };
        for part in &self.parts {
            let stands = |o: &Orientation| {
                let inner_fit = strip.inner_fit(self.shapes[o.shape].size, o.lattices);
                !inner_fit.is_empty()
            };
            if !part.orientations.iter().any(stands) {
                return Err(LayFault::OffPattern {
                    name: items[part.item].name.clone(),
                });
            }
        }
        Ok(())
    }

    /// The instance of some of the parts.
    pub(super) fn of(&self, parts: &[usize]) -> Self {
        Instance {
            parts: parts.iter().map(|&part| self.parts[part].clone()).collect(),
            ..*self
        }
    }

    /// The shape of a part in its first orientation.
    pub(super) fn first_shape(&self, part: usize) -> &Shape {
        &self.shapes[self.parts[part].orientations[0].shape]
    }

    /// Where the pattern of the cloth begins, on the strip: across in the middle of the cloth, along where the
    /// strip does.
    pub(super) fn origin(&self, cloth: &ClothRules) -> Vec2 {
        let left = cloth.usable().0 - cloth.gap / 2.0;
        Vec2::new(cloth.width / 2.0 - left, 0.0)
    }

    /// The strip to fill: the pieces of cloth one after another, of which the last, the long one, is longer than
    /// any lay. A piece at hand that is longer than the table is divided. A pattern goes on from each to the next.
    pub(super) fn strip(&self, cloth: &ClothRules) -> Strip {
        let (pieces, start) = cloth.pieces();
        let table = cloth.table.unwrap_or(f64::INFINITY);
        let mut bays: Vec<(f64, f64)> = Vec::new();
        for (mut from, to) in pieces {
            while to - from > table {
                bays.push((from, from + table + self.gap));
                from += table;
            }
            bays.push((from, to + self.gap));
        }
        // Longer than all parts one after another, each a step of the pattern from the next.
        let longest = |part: usize| {
            let size = self.first_shape(part).size;
            size.x.max(size.y) + 2.0 * cloth.repeat.along.unwrap_or(0.0)
        };
        let enough: f64 = (0..self.parts.len()).map(longest).sum();
        bays.push((start, start + 2.0 * enough + self.gap));
        Strip {
            bays,
            ..Strip::alone(self.width)
        }
    }

    /// A lower bound of the length of any lay: the longest part at its shortest, and all areas side by side.
    pub(super) fn lower_bound(&self) -> f64 {
        let least = |part: &Part, of: &dyn Fn(&Shape) -> f64| {
            let orientations = part.orientations.iter();
            let values = orientations.map(|o| of(&self.shapes[o.shape]));
            values.fold(f64::INFINITY, f64::min)
        };
        let parts = self.parts.iter();
        let lengths = parts.clone().map(|part| least(part, &|shape| shape.size.y));
        let area: f64 = parts.map(|part| least(part, &|shape| shape.area)).sum();
        lengths.fold(area / self.width, f64::max)
    }
}
