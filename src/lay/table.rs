//! The no-fit regions of every pair of shapes, made when first asked for.

use super::contour::Contour;
use super::nofit::no_fit;
use super::region::{Out, Outlook, Region};
use super::shape::Shape;
use kurbo::{Point, Vec2};
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// Regions of pairs of shapes. Pairs that are the same but for a half turn or a mirroring share one.
#[derive(Debug)]
pub(super) struct Table {
    count: usize,
    pairs: Vec<Pair>,
    regions: Vec<(Shape, Shape, OnceLock<Region>)>,
    outlooks: Vec<Outlook>,
}

/// Which region belongs to two shapes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pair {
    region: u32,
    /// Signs by which a step from the first to the second is brought to the region.
    pub flip: Vec2,
    /// Half the size of the region's box.
    pub half: Vec2,
}

impl Table {
    /// The table for some shapes.
    pub(super) fn new(shapes: &[Shape]) -> Self {
        let count = shapes.len();
        let mut known: BTreeMap<(usize, usize, bool, bool), u32> = BTreeMap::new();
        let mut table = Table {
            count,
            pairs: Vec::with_capacity(count * count),
            regions: Vec::new(),
            outlooks: Vec::new(),
        };
        for a in shapes {
            for b in shapes {
                // Turn both so that the one with the lower base lies as its base does; seen from
                // the other, the region is the same turned by half.
                let (first, second, seen) = if a.base <= b.base {
                    (a, b, 1.0)
                } else {
                    (b, a, -1.0)
                };
                let between = Vec2::new(first.flip.x * second.flip.x, first.flip.y * second.flip.y);
                let key = (first.base, second.base, between.x < 0.0, between.y < 0.0);
                let region = *known.entry(key).or_insert_with(|| {
                    let second = shapes[second.base].flipped(between);
                    let pair = (shapes[first.base].clone(), second, OnceLock::new());
                    table.regions.push(pair);
                    table.outlooks.push(Outlook::new((a.size + b.size) / 2.0));
                    table.regions.len() as u32 - 1
                });
                table.pairs.push(Pair {
                    region,
                    flip: first.flip * seen,
                    half: (a.size + b.size) / 2.0,
                });
            }
        }
        table
    }

    /// The pair of a first and a second shape.
    pub(super) fn pair(&self, first: usize, second: usize) -> &Pair {
        &self.pairs[first * self.count + second]
    }

    /// How deep the second of a pair, a step of centres from the first, overlaps it at the least, by what
    /// is known at once; `None` where it is known not to.
    #[inline]
    pub(super) fn least_depth(&self, pair: &Pair, step: Vec2) -> Option<f64> {
        self.outlook(pair).least(pair.seen(step))
    }

    /// How deep it overlaps it, as [`Region::depth`] tells.
    pub(super) fn depth(&self, pair: &Pair, step: Vec2, enough: f64) -> f64 {
        let region = self.region(pair);
        region.depth(pair.seen(step), enough, self.outlook(pair))
    }

    /// Its shortest way out, if it overlaps it or nearly does.
    pub(super) fn out(&self, pair: &Pair, step: Vec2) -> Option<Out> {
        let region = self.region(pair);
        let out = region.out(pair.seen(step), self.outlook(pair))?;
        let toward = pair.seen(out.toward).to_vec2();
        Some(Out { toward, ..out })
    }

    #[inline]
    fn outlook(&self, pair: &Pair) -> &Outlook {
        &self.outlooks[pair.region as usize]
    }

    /// The region of a pair.
    pub(super) fn region(&self, pair: &Pair) -> &Region {
        let (first, second, region) = &self.regions[pair.region as usize];
        region.get_or_init(|| {
            let shift = (second.size - first.size) / 2.0;
            let centred = |c: Contour| c.into_iter().map(|p: Point| p + shift).collect();
            let contours = no_fit(first, second).into_iter().map(centred).collect();
            Region::new(contours, (first.size + second.size) / 2.0)
        })
    }
}

impl Pair {
    /// A step from the centre of the first shape to that of the second, as the region sees it.
    pub(super) fn seen(&self, step: Vec2) -> Point {
        Point::new(step.x * self.flip.x, step.y * self.flip.y)
    }
}
