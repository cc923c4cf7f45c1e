//! Bottom-left placement: parts are placed one by one, each as near the cut end as it will go.

use super::nofit_region::NoFitRegion;
use super::nofit_table::ShapePair;
use super::packing::{Packing, Position};
use super::solution::Solution;
use super::strip::{Extent, InnerFit, Strip};
use kurbo::{Point, Vec2};

/// A placed part, with the region in which the centre of another may not stand beside it.
struct Blocked<'a> {
    at: Point,
    pair: ShapePair<'a>,
    region: &'a NoFitRegion,
}

/// Number of positions across the strip that are tried, about one every 3 cm of a suiting. Those where
/// something is touched are tried as well.
const ACROSS: usize = 48;

/// Step off a line, mm. A stretch is blocked only when it is on both sides of the line.
const ASIDE: f64 = 1e-6;

/// Places every part without overlap, the largest first, in the bays of a strip, of which the last is as long as
/// it takes.
pub(super) fn bottom_left_fill(packing: &Packing, strip: &Strip) -> Solution {
    let nowhere = Position {
        orientation: 0,
        centre: Point::ZERO,
    };
    let mut positions = vec![nowhere; packing.count()];
    let order = packing.by_decreasing_area();
    BottomLeft::default().build(packing, strip, &order, 0, f64::INFINITY, &mut positions);
    Solution::new(packing, strip, positions)
}

/// Places parts one by one; keeps its lists from one lay to the next.
#[derive(Debug, Default)]
pub(super) struct BottomLeft {
    stretches: Vec<(f64, f64)>,
    sides: [Vec<f64>; 2],
    /// Overlap evaluations so far: the measure of work.
    pub evaluations: u64,
}

impl BottomLeft {
    /// Places every part in this order. The first `kept` of them already have their positions. Returns false,
    /// with some positions as they were, once the last bay is longer than `longest` or a part has no place.
    pub(super) fn build(
        &mut self,
        packing: &Packing,
        strip: &Strip,
        order: &[usize],
        kept: usize,
        longest: f64,
        positions: &mut [Position],
    ) -> bool {
        let mut extent = Extent::new(strip);
        let mut placed: Vec<(usize, Point)> = Vec::with_capacity(order.len());
        for (index, &part) in order.iter().enumerate() {
            if index >= kept {
                let Some(position) = self.lowest(packing, strip, &placed, part) else {
                    return false;
                };
                positions[part] = position;
            }
            let position = positions[part];
            let orientation = position.orientation;
            placed.push((packing.shape(part, orientation), position.centre));
            extent.reach(position.centre.y, packing.size(part, orientation).y / 2.0);
            if extent.length() > longest {
                return false;
            }
        }
        true
    }

    /// Returns the position of a part nearest to the cut end beside those that are placed.
    fn lowest(
        &mut self,
        packing: &Packing,
        strip: &Strip,
        placed: &[(usize, Point)],
        part: usize,
    ) -> Option<Position> {
        let instance = packing.instance;
        let mut best: Option<(f64, f64, f64, Position)> = None;
        // Tilts are for the search.
        let orientations = instance.parts[part].orientations.iter().enumerate();
        for (orientation_index, orientation) in
            orientations.filter(|(_, orientation)| orientation.tilt == 0.0)
        {
            let half = instance.shapes[orientation.shape].size / 2.0;
            let inner_fit = strip.inner_fit(half * 2.0, orientation.lattices);
            if inner_fit.is_empty() {
                continue;
            }
            let blocked: Vec<Blocked> = placed
                .iter()
                .map(|&(other, at)| {
                    let pair = packing.table.pair(other, orientation.shape);
                    let region = packing.table.region(&pair);
                    Blocked { at, pair, region }
                })
                .collect();
            for x in columns(&inner_fit, &blocked) {
                self.fill_stretches(x, &blocked);
                let Some(y) = inner_fit.lowest(|y| clear(y, &self.stretches)) else {
                    continue;
                };
                let position = Position {
                    orientation: orientation_index,
                    centre: Point::new(x, y),
                };
                let found = (y + half.y, y - half.y, x, position);
                if best.is_none_or(|b| (found.0, found.1, found.2) < (b.0, b.1, b.2)) {
                    best = Some(found);
                }
            }
        }
        best.map(|best| best.3)
    }

    /// Lists the stretches of a column in which something is overlapped.
    fn fill_stretches(&mut self, x: f64, blocked: &[Blocked]) {
        self.stretches.clear();
        for b in blocked {
            let column = x - b.at.x;
            if column.abs() < b.pair.half.x {
                self.evaluations += 1;
                crossings(column, b, &mut self.sides);
                let [one, other] = &self.sides;
                both(one, other, |low, high| {
                    self.stretches.push((low + b.at.y, high + b.at.y));
                });
            }
        }
        self.stretches.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    }
}

/// Positions across that are worth trying: the edges, an even spread, and where the part would stand beside
/// another.
fn columns(inner_fit: &InnerFit, blocked: &[Blocked]) -> Vec<f64> {
    let beside = blocked
        .iter()
        .flat_map(|b| [b.at.x - b.pair.half.x, b.at.x + b.pair.half.x]);
    let mut columns: Vec<f64> = inner_fit.columns(ACROSS, beside);
    columns.sort_by(f64::total_cmp);
    columns.dedup();
    columns
}

/// Returns the end of the stretch in which a position lies; `None` if it lies in none.
fn clear(y: f64, stretches: &[(f64, f64)]) -> Option<f64> {
    let in_the_way = stretches
        .iter()
        .filter(|(low, high)| *low < y - ASIDE && y < *high - ASIDE);
    let touching = stretches
        .iter()
        .filter(|(low, high)| *low <= y && y < *high && *high - *low > 2.0 * ASIDE);
    in_the_way.chain(touching).map(|s| s.1).reduce(f64::max)
}

/// Lists where the lines along, a step to either side of `x`, cross the boundary of a region, in order. Each
/// pair of crossings bounds a stretch inside.
fn crossings(x: f64, blocked: &Blocked, found: &mut [Vec<f64>; 2]) {
    let seen = blocked.pair.seen(Vec2::new(x, 0.0)).x;
    found.iter_mut().for_each(Vec::clear);
    for (p, q) in blocked.region.edges_at(seen) {
        if p.x.min(q.x) > seen + ASIDE || p.x.max(q.x) <= seen - ASIDE {
            continue;
        }
        for (side, line) in found.iter_mut().zip([seen - ASIDE, seen + ASIDE]) {
            if (p.x <= line) != (q.x <= line) {
                let y = p.y + (q.y - p.y) * (line - p.x) / (q.x - p.x);
                side.push(y * blocked.pair.flip.y);
            }
        }
    }
    for side in found {
        side.sort_unstable_by(f64::total_cmp);
    }
}

/// Calls `each` with every stretch that lies inside both of two lists of crossings.
fn both(a: &[f64], b: &[f64], mut each: impl FnMut(f64, f64)) {
    for p in a.chunks_exact(2) {
        for q in b.chunks_exact(2) {
            let (low, high) = (p[0].max(q[0]), p[1].min(q[1]));
            if low < high {
                each(low, high);
            }
        }
    }
}
