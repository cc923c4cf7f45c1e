//! The first lay: parts put down one by one, the largest first, each as near the cut end as it
//! will go.

use super::region::Region;
use super::shape::Work;
use super::table::{Pair, Table};
use kurbo::{Point, Vec2};

/// Where a part stands: which of its ways, and the corner of its box nearest the origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stand {
    /// Index into the part's ways.
    pub way: usize,
    /// Position of the shape's own origin on the strip.
    pub at: Point,
}

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

/// Lays every part without overlap on a strip as long as it takes.
pub fn first_lay(work: &Work, table: &Table) -> Vec<Stand> {
    let mut order: Vec<usize> = (0..work.parts.len()).collect();
    let area = |part: usize| work.shapes[work.parts[part].ways[0].shape].area;
    order.sort_by(|&a, &b| area(b).total_cmp(&area(a)).then(a.cmp(&b)));

    let mut stands = vec![
        Stand {
            way: 0,
            at: Point::ZERO
        };
        work.parts.len()
    ];
    let mut laid: Vec<(usize, Point)> = Vec::new();
    for part in order {
        let mut best: Option<(f64, f64, f64, Stand)> = None;
        for (way_index, way) in work.parts[part].ways.iter().enumerate() {
            let size = work.shapes[way.shape].size;
            let blocked: Vec<Blocked> = laid
                .iter()
                .map(|&(other, at)| {
                    let pair = table.pair(other, way.shape);
                    let centre = at + (work.shapes[other].size - size) / 2.0;
                    let region = table.region(pair);
                    Blocked {
                        at: centre,
                        pair,
                        region,
                    }
                })
                .collect();
            let room = (work.width - size.x).max(0.0);
            for x in columns(room, &blocked) {
                let y = lowest(x, &blocked);
                let found = (
                    y + size.y,
                    y,
                    x,
                    Stand {
                        way: way_index,
                        at: Point::new(x, y),
                    },
                );
                if best.is_none_or(|b| (found.0, found.1, found.2) < (b.0, b.1, b.2)) {
                    best = Some(found);
                }
            }
        }
        if let Some((.., stand)) = best {
            stands[part] = stand;
            laid.push((work.parts[part].ways[stand.way].shape, stand.at));
        }
    }
    stands
}

/// Positions across worth trying: the edges, an even spread, and where the part would stand beside
/// another.
fn columns(room: f64, blocked: &[Blocked]) -> Vec<f64> {
    let spread = (0..=ACROSS).map(|i| room * i as f64 / ACROSS as f64);
    let beside = blocked
        .iter()
        .flat_map(|b| [b.at.x - b.pair.half.x, b.at.x + b.pair.half.x]);
    spread
        .chain(beside.filter(|x| (0.0..=room).contains(x)))
        .collect()
}

/// The least position along at which nothing is overlapped.
fn lowest(x: f64, blocked: &[Blocked]) -> f64 {
    let mut stretches: Vec<(f64, f64)> = Vec::new();
    for b in blocked {
        let column = x - b.at.x;
        if column.abs() < b.pair.half.x {
            let sides = [column - ASIDE, column + ASIDE].map(|c| crossings(c, b));
            both(&sides[0], &sides[1], |low, high| {
                stretches.push((low + b.at.y, high + b.at.y))
            });
        }
    }
    stretches.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut y = 0.0;
    for (low, high) in stretches {
        if low > y - ASIDE && low >= y {
            break;
        }
        y = f64::max(y, high);
    }
    y
}

/// Where the line across at `x` crosses the region's boundary, in order: pairs that bound what lies
/// inside.
fn crossings(x: f64, blocked: &Blocked) -> Vec<f64> {
    let seen = blocked.pair.seen(Vec2::new(x, 0.0)).x;
    let mut found = Vec::new();
    for contour in &blocked.region.contours {
        for (p, q) in super::shape::edges(contour) {
            if (p.x <= seen) != (q.x <= seen) {
                let y = p.y + (q.y - p.y) * (seen - p.x) / (q.x - p.x);
                found.push(y * blocked.pair.flip.y);
            }
        }
    }
    found.sort_by(f64::total_cmp);
    found
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
