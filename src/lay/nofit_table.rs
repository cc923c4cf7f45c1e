//! The no-fit regions of all pairs of shapes, each made when it is first asked for.

use super::contour::Contour;
use super::convolution::no_fit;
use super::depth_grid::DepthGrid;
use super::nofit_region::{NoFitRegion, Penetration};
use super::shape::Shape;
use kurbo::{Point, Vec2};
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// The no-fit regions of pairs of shapes. Pairs that differ only by a half turn or a mirroring share one.
#[derive(Debug)]
pub(super) struct NoFitTable {
    count: usize,
    pairs: Vec<ShapePair>,
    regions: Vec<(Shape, Shape, OnceLock<NoFitRegion>)>,
    depth_grids: Vec<DepthGrid>,
}

/// Two shapes, and how their no-fit region is found.
#[derive(Debug, Clone, Copy)]
pub(super) struct ShapePair {
    region: u32,
    /// Signs by which a step from the first to the second is brought to the region.
    pub flip: Vec2,
    /// Half the size of the region's box.
    pub half: Vec2,
}

impl NoFitTable {
    /// Prepares the table of some shapes; no region is made yet.
    pub(super) fn new(shapes: &[Shape]) -> Self {
        let count = shapes.len();
        let mut known: BTreeMap<(usize, usize, bool, bool), u32> = BTreeMap::new();
        let mut table = NoFitTable {
            count,
            pairs: Vec::with_capacity(count * count),
            regions: Vec::new(),
            depth_grids: Vec::new(),
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
                    table
                        .depth_grids
                        .push(DepthGrid::new((a.size + b.size) / 2.0));
                    table.regions.len() as u32 - 1
                });
                table.pairs.push(ShapePair {
                    region,
                    flip: first.flip * seen,
                    half: (a.size + b.size) / 2.0,
                });
            }
        }
        table
    }

    /// The pair of a first and a second shape.
    pub(super) fn pair(&self, first: usize, second: usize) -> &ShapePair {
        &self.pairs[first * self.count + second]
    }

    /// Returns a lower bound of the penetration depth of the second of a pair, a step of centres from the
    /// first, by what is known at once; `None` where the two are known not to overlap.
    #[inline]
    pub(super) fn least_depth(&self, pair: &ShapePair, step: Vec2) -> Option<f64> {
        self.depth_grid(pair).least(pair.seen(step))
    }

    /// Returns the penetration depth of the second of a pair, as [`NoFitRegion::depth`] does.
    pub(super) fn depth(&self, pair: &ShapePair, step: Vec2, enough: f64) -> f64 {
        let region = self.region(pair);
        region.depth(pair.seen(step), enough, self.depth_grid(pair))
    }

    /// Returns the shortest way out for the second of a pair; `None` where it is far from the first.
    pub(super) fn penetration(&self, pair: &ShapePair, step: Vec2) -> Option<Penetration> {
        let region = self.region(pair);
        let out = region.penetration(pair.seen(step), self.depth_grid(pair))?;
        let direction = pair.seen(out.direction).to_vec2();
        Some(Penetration { direction, ..out })
    }

    #[inline]
    fn depth_grid(&self, pair: &ShapePair) -> &DepthGrid {
        &self.depth_grids[pair.region as usize]
    }

    /// Returns the region of a pair, made if need be.
    pub(super) fn region(&self, pair: &ShapePair) -> &NoFitRegion {
        let (first, second, region) = &self.regions[pair.region as usize];
        region.get_or_init(|| {
            let shift = (second.size - first.size) / 2.0;
            let centred = |c: Contour| c.into_iter().map(|p: Point| p + shift).collect();
            let contours = no_fit(first, second).into_iter().map(centred).collect();
            NoFitRegion::new(contours, (first.size + second.size) / 2.0)
        })
    }
}

impl ShapePair {
    /// Turns a step from the centre of the first shape to that of the second into a point of the region.
    pub(super) fn seen(&self, step: Vec2) -> Point {
        Point::new(step.x * self.flip.x, step.y * self.flip.y)
    }
}
