//! The no-fit regions of all pairs of shapes, each made when it is first asked for, and forgotten when there are
//! too many.

use super::contour::Contour;
use super::convolution::no_fit;
use super::depth_grid::DepthGrid;
use super::nofit_region::{NoFitRegion, Penetration};
use super::shape::Shape;
use kurbo::{Point, Vec2};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{OnceLock, PoisonError, RwLock, RwLockReadGuard};

/// Ways in which the second of a pair lies against the first: each axis as its base or turned over.
const FLIPS: usize = 4;
/// Second shapes whose regions with a first one share a page of the table.
const PAGE: usize = 16;

/// The no-fit regions of pairs of shapes. Pairs that differ only by a half turn or a mirroring share one.
///
/// Of many shapes few pairs are ever asked for: the table is made page by page.
#[derive(Debug)]
pub(super) struct NoFitTable {
    copies: Vec<Copied>,
    /// The shapes of which the others are copies.
    bases: Vec<Shape>,
    /// One for each first base.
    rows: Vec<OnceLock<Row>>,
}

/// A shape as a copy of another.
#[derive(Debug, Clone, Copy)]
struct Copied {
    /// Index of the other among the bases.
    base: usize,
    flip: Vec2,
    size: Vec2,
}

/// The regions of a first base with all bases from itself on.
type Row = Box<[OnceLock<Page>]>;
type Page = Box<[OnceLock<Box<Known>>; PAGE * FLIPS]>;

/// What is known of the region of two shapes.
#[derive(Debug)]
pub(super) struct Known {
    /// Indices of the bases, and how the second lies against the first.
    first: usize,
    second: usize,
    flip: Vec2,
    depth_grid: DepthGrid,
    region: OnceLock<NoFitRegion>,
    /// Whether it was asked for since regions were last forgotten.
    asked: AtomicBool,
}

/// Two shapes, and how their no-fit region is found.
#[derive(Debug, Clone, Copy)]
pub(super) struct ShapePair<'a> {
    known: &'a Known,
    /// Signs by which a step from the first to the second is brought to the region.
    pub flip: Vec2,
    /// Half the size of the region's box.
    pub half: Vec2,
}

impl NoFitTable {
    /// Reads a table that searches share. What is known in it is sound even where a thread that made some has failed.
    pub(super) fn read(shared: &RwLock<Self>) -> RwLockReadGuard<'_, Self> {
        shared.read().unwrap_or_else(PoisonError::into_inner)
    }

    /// Prepares the table of some shapes; no region is made yet.
    pub(super) fn new(shapes: &[Shape]) -> Self {
        let own = |(index, shape): &(usize, &Shape)| shape.base == *index;
        let bases: Vec<usize> = (shapes.iter().enumerate())
            .filter(own)
            .map(|(index, _)| index)
            .collect();
        let copied = |shape: &Shape| Copied {
            base: bases.partition_point(|&base| base < shape.base),
            flip: shape.flip,
            size: shape.size,
        };
        Self {
            copies: shapes.iter().map(copied).collect(),
            rows: bases.iter().map(|_| OnceLock::new()).collect(),
            bases: bases.iter().map(|&base| shapes[base].clone()).collect(),
        }
    }

    /// The pair of a first and a second shape.
    pub(super) fn pair(&self, first: usize, second: usize) -> ShapePair<'_> {
        let (a, b) = (self.copies[first], self.copies[second]);
        // Turn both so that the one with the lower base lies as its base does; seen from the other, the region
        // is the same turned by half.
        let (low, high, seen) = if a.base <= b.base {
            (a, b, 1.0)
        } else {
            (b, a, -1.0)
        };
        ShapePair {
            known: self.known(low, high),
            flip: low.flip * seen,
            half: (a.size + b.size) / 2.0,
        }
    }

    fn known(&self, low: Copied, high: Copied) -> &Known {
        let flip = Vec2::new(low.flip.x * high.flip.x, low.flip.y * high.flip.y);
        let after = high.base - low.base;
        let pages = (self.bases.len() - low.base).div_ceil(PAGE);
        let row = self.rows[low.base].get_or_init(|| (0..pages).map(|_| OnceLock::new()).collect());
        let page =
            row[after / PAGE].get_or_init(|| Box::new([const { OnceLock::new() }; PAGE * FLIPS]));
        let way = usize::from(flip.x < 0.0) + 2 * usize::from(flip.y < 0.0);
        let known = page[after % PAGE * FLIPS + way].get_or_init(|| {
            Box::new(Known {
                first: low.base,
                second: high.base,
                flip,
                depth_grid: DepthGrid::new((low.size + high.size) / 2.0),
                region: OnceLock::new(),
                asked: AtomicBool::new(true),
            })
        });
        if !known.asked.load(Ordering::Relaxed) {
            known.asked.store(true, Ordering::Relaxed);
        }
        known
    }

    /// Returns the penetration depth of the second of a pair, as [`NoFitRegion::depth`] does.
    pub(super) fn depth(&self, pair: &ShapePair, step: Vec2, enough: f64) -> f64 {
        let region = self.region(pair);
        region.depth(pair.seen(step), enough, &pair.known.depth_grid)
    }

    /// Returns the shortest way out for the second of a pair; `None` where it is far from the first.
    pub(super) fn penetration(&self, pair: &ShapePair, step: Vec2) -> Option<Penetration> {
        let region = self.region(pair);
        let out = region.penetration(pair.seen(step), &pair.known.depth_grid)?;
        let direction = pair.seen(out.direction).to_vec2();
        Some(Penetration { direction, ..out })
    }

    /// Returns the region of a pair, made if need be.
    pub(super) fn region<'a>(&self, pair: &ShapePair<'a>) -> &'a NoFitRegion {
        let known = pair.known;
        known.region.get_or_init(|| {
            let first = &self.bases[known.first];
            let second = self.bases[known.second].flipped(known.flip);
            let shift = (second.size - first.size) / 2.0;
            let centred = |c: Contour| c.into_iter().map(|p: Point| p + shift).collect();
            let contours = no_fit(first, &second).into_iter().map(centred).collect();
            NoFitRegion::new(contours, (first.size + second.size) / 2.0)
        })
    }

    /// Forgets regions that were not asked for since it was last called, if all regions take more than `most`
    /// bytes. A region that is asked for again is made again, and is the same.
    pub(super) fn forget_beyond(&mut self, most: usize) {
        if self.bytes() <= most {
            return;
        }
        for page in self.rows.iter_mut().filter_map(OnceLock::get_mut).flatten() {
            let Some(slots) = page.get_mut() else {
                continue;
            };
            for slot in slots.iter_mut() {
                if let Some(known) = slot.get_mut()
                    && !std::mem::take(known.asked.get_mut())
                {
                    slot.take();
                }
            }
            if slots.iter().all(|slot| slot.get().is_none()) {
                page.take();
            }
        }
    }

    /// Returns the memory that the regions take.
    fn bytes(&self) -> usize {
        let pages = self.rows.iter().filter_map(OnceLock::get).flatten();
        let slots = pages.filter_map(OnceLock::get).flat_map(|page| page.iter());
        let known = slots.filter_map(OnceLock::get);
        let region = |one: &Known| one.region.get().map_or(0, NoFitRegion::bytes);
        known.map(|known| size_of::<Known>() + region(known)).sum()
    }
}

impl ShapePair<'_> {
    /// Turns a step from the centre of the first shape to that of the second into a point of the region.
    pub(super) fn seen(&self, step: Vec2) -> Point {
        Point::new(step.x * self.flip.x, step.y * self.flip.y)
    }

    /// Returns a lower bound of the penetration depth of the second shape, a step of centres from the first, by
    /// what is known at once; `None` where the two are known not to overlap.
    #[inline]
    pub(super) fn least_depth(&self, step: Vec2) -> Option<f64> {
        self.known.depth_grid.least(self.seen(step))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::contour::{bounds, signed_area};
    use crate::lay::random::Random;

    /// A region that is forgotten and made again is the same, whichever of the shapes that share it asks.
    #[test]
    fn what_is_forgotten_is_made_again() {
        let shape = |radii: &[f64]| {
            let count = radii.len() as f64;
            let corner = |(i, r): (usize, &f64)| {
                Point::new(200.0, 200.0)
                    + Vec2::from_angle(i as f64 / count * std::f64::consts::TAU) * *r
            };
            let contour: Contour = radii.iter().enumerate().map(corner).collect();
            Shape {
                size: bounds(&contour).size().to_vec2(),
                area: signed_area(&contour),
                contours: vec![contour],
                base: 0,
                flip: Vec2::new(1.0, 1.0),
            }
        };
        let mut shapes: Vec<Shape> = [&[90.0, 40.0, 120.0, 60.0][..], &[80.0, 70.0, 150.0]]
            .map(shape)
            .to_vec();
        shapes[1].base = 1;
        let flip = Vec2::new(-1.0, 1.0);
        shapes.push(Shape {
            flip,
            ..shapes[0].flipped(flip)
        });
        let mut table = NoFitTable::new(&shapes);
        let depths = |tried: &NoFitTable| {
            let mut random = Random::new(1, 0);
            let mut depths = Vec::new();
            for _ in 0..2000 {
                let pair = tried.pair(random.index(3), random.index(3));
                let step = Vec2::new(random.between(-200.0, 200.0), random.between(-200.0, 200.0));
                depths.push(tried.depth(&pair, step, f64::INFINITY));
            }
            depths
        };
        let before = depths(&table);
        assert!(before.iter().any(|depth| *depth > 10.0));
        table.forget_beyond(usize::MAX);
        let bytes = table.bytes();
        assert!(bytes > 0);
        // Asked for since the last time; then no longer.
        table.forget_beyond(bytes - 1);
        assert_eq!(table.bytes(), bytes);
        table.forget_beyond(bytes - 1);
        assert_eq!(table.bytes(), 0);
        assert_eq!(before, depths(&table));
    }
}
