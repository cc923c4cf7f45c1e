//! The first lay: parts put down one by one, the largest first, each as near the cut end as it
//! will go.

use super::crowd::{Ground, Spot};
use super::region::Region;
use super::strip::{Ends, Room, Strip};
use super::table::Pair;
use kurbo::{Point, Vec2};

/// Where a part may not stand because of another: by the centres of their boxes.
struct Blocked<'a> {
    at: Point,
    pair: &'a Pair,
    region: &'a Region,
}

/// Positions across the strip that are tried besides those where something is touched.
const ACROSS: usize = 48;

/// A step off a line, mm: a stretch is blocked only when it is on both sides of the line.
const ASIDE: f64 = 1e-6;

/// The parts by their areas, the largest first.
pub(super) fn largest_first(ground: &Ground) -> Vec<usize> {
    let work = ground.work;
    let area = |part: usize| work.shapes[work.parts[part].ways[0].shape].area;
    let mut order: Vec<usize> = (0..work.parts.len()).collect();
    order.sort_by(|&a, &b| area(b).total_cmp(&area(a)).then(a.cmp(&b)));
    order
}

/// Lays every part without overlap in the bays of a strip, of which the last is as long as it takes,
/// in this order.
pub(super) fn first_lay(ground: &Ground, strip: &Strip, order: &[usize]) -> Vec<Spot> {
    let nowhere = Spot {
        way: 0,
        centre: Point::ZERO,
    };
    let mut spots = vec![nowhere; ground.count()];
    Builder::default().lay(ground, strip, order, 0, f64::INFINITY, &mut spots);
    spots
}

/// Lays parts one by one; keeps its lists from one lay to the next.
#[derive(Debug, Default)]
pub(super) struct Builder {
    stretches: Vec<(f64, f64)>,
    sides: [Vec<f64>; 2],
    /// Obstacles asked so far: the measure of work done.
    pub asked: u64,
}

impl Builder {
    /// Lays every part in this order, of which the first `kept` already stand at their spots. Gives up,
    /// with some spots as they were, once the last bay is longer than `longest` or a part has no place.
    pub(super) fn lay(
        &mut self,
        ground: &Ground,
        strip: &Strip,
        order: &[usize],
        kept: usize,
        longest: f64,
        spots: &mut [Spot],
    ) -> bool {
        let mut ends = Ends::new(strip);
        let mut laid: Vec<(usize, Point)> = Vec::with_capacity(order.len());
        for (index, &part) in order.iter().enumerate() {
            if index >= kept {
                let Some(spot) = self.lowest(ground, strip, &laid, part) else {
                    return false;
                };
                spots[part] = spot;
            }
            let spot = spots[part];
            laid.push((ground.shape(part, spot.way), spot.centre));
            ends.reach(spot.centre.y, ground.size(part, spot.way).y / 2.0);
            if ends.length() > longest {
                return false;
            }
        }
        true
    }

    /// Where a part lies nearest to the cut end beside those that are laid.
    fn lowest(
        &mut self,
        ground: &Ground,
        strip: &Strip,
        laid: &[(usize, Point)],
        part: usize,
    ) -> Option<Spot> {
        let work = ground.work;
        let mut best: Option<(f64, f64, f64, Spot)> = None;
        // Tilts are for the search.
        let ways = work.parts[part].ways.iter().enumerate();
        for (way_index, way) in ways.filter(|(_, way)| way.tilt == 0.0) {
            let half = work.shapes[way.shape].size / 2.0;
            let room = strip.room(half * 2.0, way.rails);
            if room.is_empty() {
                continue;
            }
            let blocked: Vec<Blocked> = laid
                .iter()
                .map(|&(other, at)| {
                    let pair = ground.table.pair(other, way.shape);
                    let region = ground.table.region(pair);
                    Blocked { at, pair, region }
                })
                .collect();
            for x in columns(&room, &blocked) {
                self.fill_stretches(x, &blocked);
                let Some(y) = room.lowest(|y| clear(y, &self.stretches)) else {
                    continue;
                };
                let spot = Spot {
                    way: way_index,
                    centre: Point::new(x, y),
                };
                let found = (y + half.y, y - half.y, x, spot);
                if best.is_none_or(|b| (found.0, found.1, found.2) < (b.0, b.1, b.2)) {
                    best = Some(found);
                }
            }
        }
        best.map(|best| best.3)
    }

    /// The stretches of a column in which something is overlapped.
    fn fill_stretches(&mut self, x: f64, blocked: &[Blocked]) {
        self.stretches.clear();
        for b in blocked {
            let column = x - b.at.x;
            if column.abs() < b.pair.half.x {
                self.asked += 1;
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

/// Positions across worth trying: the edges, an even spread, and where the part would stand beside
/// another.
fn columns(room: &Room, blocked: &[Blocked]) -> Vec<f64> {
    let beside = blocked
        .iter()
        .flat_map(|b| [b.at.x - b.pair.half.x, b.at.x + b.pair.half.x]);
    let mut columns: Vec<f64> = room.columns(ACROSS, beside);
    columns.sort_by(f64::total_cmp);
    columns.dedup();
    columns
}

/// The end of a stretch in which a position lies, if it lies in one.
fn clear(y: f64, stretches: &[(f64, f64)]) -> Option<f64> {
    let in_the_way = stretches
        .iter()
        .filter(|(low, high)| *low < y - ASIDE && y < *high - ASIDE);
    let touching = stretches
        .iter()
        .filter(|(low, high)| *low <= y && y < *high && *high - *low > 2.0 * ASIDE);
    in_the_way.chain(touching).map(|s| s.1).reduce(f64::max)
}

/// Where the lines along, a step to either side of `x`, cross the region's boundary, in order: pairs
/// that bound what lies inside.
fn crossings(x: f64, blocked: &Blocked, found: &mut [Vec<f64>; 2]) {
    let seen = blocked.pair.seen(Vec2::new(x, 0.0)).x;
    found.iter_mut().for_each(Vec::clear);
    for (p, q) in blocked.region.edges_at(seen) {
        if p.x.min(q.x) > seen + ASIDE || p.x.max(q.x) <= seen - ASIDE {
            continue;
        }
        for (found, seen) in found.iter_mut().zip([seen - ASIDE, seen + ASIDE]) {
            if (p.x <= seen) != (q.x <= seen) {
                let y = p.y + (q.y - p.y) * (seen - p.x) / (q.x - p.x);
                found.push(y * blocked.pair.flip.y);
            }
        }
    }
    for found in found {
        found.sort_unstable_by(f64::total_cmp);
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
