//! A no-fit region prepared for asking how deep a point lies in it.

use super::contour::{Contour, edges};
use kurbo::{Point, Vec2};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU8, Ordering};

/// Cells across and along the box of a region, and those of a block, which are filled together when one
/// is first asked; powers of 2.
const CELLS: usize = 32;
const SIDE: usize = 8;
/// Squares one in another in a block, and the block's own edges before them.
const LEVELS: usize = SIDE.ilog2() as usize + 2;
/// Blocks across and along.
const BLOCKS: usize = CELLS / SIDE;
/// Cells across and along that have their edges in common where no boundary is near.
const DEEP: usize = 2;
/// As many edges near a cell are not worth looking at more closely.
const FEW: usize = 5;
/// A hair beside a line along, mm.
const ASIDE: f64 = 1e-3;
/// Distances are taken so much wider than they are, for rounding.
const WIDER: f64 = 1.000_001;

/// Where one shape may not stand, seen from another: both are named by the centres of their boxes,
/// so that the region's own box is centred on the origin.
///
/// Its box is divided into cells; each knows which edges can be the nearest to a point in it, so
/// that the exact distance to the boundary costs a few edges.
#[derive(Debug)]
pub(super) struct Region {
    /// Its boundary.
    pub contours: Vec<Contour>,
    half: Vec2,
    scale: Vec2,
    edges: Vec<Edge>,
    blocks: [OnceLock<Block>; BLOCKS * BLOCKS],
    /// The edges that reach into each column of cells, one column after another, and where each column's
    /// begin.
    upright: Vec<u16>,
    columns: Vec<u32>,
}

/// A square of cells, and the edges near each of them. Boxed, so that what leads to the cells of all
/// blocks lies close together.
#[derive(Debug)]
struct Block {
    cells: Box<[Cell; SIDE * SIDE]>,
    near: Vec<u16>,
}

#[derive(Debug, Clone, Copy)]
struct Edge {
    from: Point,
    to: Point,
    along: Vec2,
    /// 1 over its squared length.
    inverse: f64,
}

#[derive(Debug, Clone, Copy, Default)]
struct Cell {
    first: u32,
    count: u16,
    /// Whether the boundary runs through it.
    mixed: bool,
    /// Whether its anchor lies inside.
    inside: bool,
    /// How far from the boundary every point of it is at least.
    least: f32,
}

/// What is known of a region without looking at its boundary: for each cell a byte. It lies apart from the
/// region, so that the many places that are far too deep in something are known by what fits into a
/// processor's nearest memory.
#[derive(Debug)]
pub(super) struct Outlook {
    half: Vec2,
    scale: Vec2,
    /// Depth that one step of a byte stands for, mm.
    step: f64,
    /// A cell that is outside; not known, or crossed by the boundary; or by so many steps of depth
    /// less one it lies inside at the least.
    cells: [AtomicU8; CELLS * CELLS],
}

impl Outlook {
    const OUTSIDE: u8 = 0;
    const UNKNOWN: u8 = 1;

    /// The outlook on a region with a box of this half size, of which nothing is known yet.
    pub(super) fn new(half: Vec2) -> Self {
        Outlook {
            half,
            scale: scale(half),
            step: half.x.min(half.y) / 253.0,
            cells: [const { AtomicU8::new(Self::UNKNOWN) }; CELLS * CELLS],
        }
    }

    /// How deep a point of the region's box lies in it at the least; `None` if it lies outside.
    #[inline]
    pub(super) fn least(&self, p: Point) -> Option<f64> {
        let (column, row) = cell_of(p, self.half, self.scale)?;
        match self.cells[row * CELLS + column].load(Ordering::Relaxed) {
            Self::OUTSIDE => None,
            steps => Some(f64::from(steps - Self::UNKNOWN) * self.step),
        }
    }

    fn tell(&self, column: usize, row: usize, cell: &Cell) {
        let seen = if cell.count == 0 {
            Self::OUTSIDE
        } else {
            Self::UNKNOWN + (f64::from(cell.least) / self.step).min(254.0) as u8
        };
        self.cells[row * CELLS + column].store(seen, Ordering::Relaxed);
    }
}

fn scale(half: Vec2) -> Vec2 {
    Vec2::new(CELLS as f64 / (2.0 * half.x), CELLS as f64 / (2.0 * half.y))
}

/// The column and row of the cell in which a point lies; `None` outside the box.
#[inline]
fn cell_of(p: Point, half: Vec2, scale: Vec2) -> Option<(usize, usize)> {
    let column = (p.x + half.x) * scale.x;
    let row = (p.y + half.y) * scale.y;
    if column < 0.0 || row < 0.0 {
        return None;
    }
    let (column, row) = (column as usize, row as usize);
    (column < CELLS && row < CELLS).then_some((column, row))
}

/// The shortest way out of a region.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Out {
    /// Distance to the boundary: positive inside, negative outside.
    pub depth: f64,
    /// The direction out, of length 1 (from outside: away from the region).
    pub toward: Vec2,
}

impl Region {
    /// Prepares a region with its box centred on the origin.
    pub(super) fn new(contours: Vec<Contour>, half: Vec2) -> Self {
        let edges: Vec<Edge> = contours
            .iter()
            .flat_map(|c| edges(c))
            .filter(|(p, q)| (*q - *p).hypot2() > 0.0)
            .map(|(p, q)| Edge {
                from: p,
                to: q,
                along: q - p,
                inverse: 1.0 / (q - p).hypot2(),
            })
            .take(usize::from(u16::MAX))
            .collect();
        let mut region = Region {
            contours,
            half,
            scale: scale(half),
            edges,
            blocks: Default::default(),
            upright: Vec::new(),
            columns: Vec::new(),
        };
        region.fill_columns();
        region
    }

    /// The block of a cell.
    #[inline]
    fn block(&self, column: usize, row: usize, outlook: &Outlook) -> &Block {
        let block = &self.blocks[row / SIDE * BLOCKS + column / SIDE];
        match block.get() {
            Some(block) => block,
            None => {
                block.get_or_init(|| self.filled(column / SIDE * SIDE, row / SIDE * SIDE, outlook))
            }
        }
    }

    /// The block whose first cell this is.
    #[cold]
    fn filled(&self, column: usize, row: usize, outlook: &Outlook) -> Block {
        let mut block = Block {
            cells: Box::new([Cell::default(); SIDE * SIDE]),
            near: Vec::new(),
        };
        let crossed: [Vec<f64>; SIDE] =
            std::array::from_fn(|i| self.crossed(self.anchor(self.centre(0, row + i)).y));
        let mut lists: [Vec<(u16, f64)>; LEVELS] = Default::default();
        lists[0] = (0..self.edges.len() as u16).map(|i| (i, 0.0)).collect();
        self.fill(&mut block, (column, row), SIDE, &mut lists, &crossed);
        block.near.shrink_to_fit();
        for (index, cell) in block.cells.iter().enumerate() {
            outlook.tell(column + index % SIDE, row + index / SIDE, cell);
        }
        block
    }

    fn fill_columns(&mut self) {
        let mut of = vec![Vec::new(); CELLS];
        for (index, edge) in self.edges.iter().enumerate() {
            let ends = [
                edge.from.x.min(edge.to.x) - ASIDE,
                edge.from.x.max(edge.to.x) + ASIDE,
            ];
            let [first, last] = ends.map(|x| self.column(x));
            for column in &mut of[first..=last] {
                column.push(index as u16);
            }
        }
        for column in of {
            self.columns.push(self.upright.len() as u32);
            self.upright.extend(column);
        }
        self.columns.push(self.upright.len() as u32);
    }

    fn column(&self, x: f64) -> usize {
        (((x + self.half.x) * self.scale.x).max(0.0) as usize).min(CELLS - 1)
    }

    fn centre(&self, column: usize, row: usize) -> Point {
        Point::new(
            (column as f64 + 0.5) / self.scale.x - self.half.x,
            (row as f64 + 0.5) / self.scale.y - self.half.y,
        )
    }

    /// The point of a cell of which it is known whether it lies inside: a little off the centre, so
    /// that no boundary drawn on round numbers runs through it.
    fn anchor(&self, centre: Point) -> Point {
        centre + Vec2::new(0.137_15 / self.scale.x, 0.091_73 / self.scale.y)
    }

    /// Fills a square of cells, `side` cells wide: what is near to one of its quarters is near to the
    /// square, and is looked for only there. The first of the lists holds what is near to what the
    /// square lies in.
    fn fill(
        &self,
        block: &mut Block,
        (column, row): (usize, usize),
        side: usize,
        lists: &mut [Vec<(u16, f64)>],
        crossed: &[Vec<f64>; SIDE],
    ) {
        let [of, lists @ ..] = lists else { return };
        let Some(near) = lists.first_mut() else {
            return;
        };
        let cell = Vec2::new(0.5 / self.scale.x, 0.5 / self.scale.y);
        let centre = self.centre(column, row) + cell * (side - 1) as f64;
        let half = cell * (side as f64 * WIDER);
        near.clear();
        near.extend(of.iter());
        let mut least = self.near_roughly(centre, half.hypot(), near);
        if side <= DEEP && near.len() > FEW {
            least = self.near_to(centre, half, near);
        }
        let mixed = least <= 0.0;
        let is_inside = |column: usize, row: usize| {
            let anchor = self.anchor(self.centre(column, row)).x;
            let beyond = crossed[row % SIDE].iter().filter(|x| **x > anchor);
            beyond.count() % 2 == 1
        };
        let inside = is_inside(column, row);
        if !mixed && !inside {
            // No boundary runs through it: all of it is outside.
            return;
        }
        let finest = if mixed { 1 } else { DEEP };
        if side > finest {
            let half = side / 2;
            for (right, down) in [(0, 0), (half, 0), (0, half), (half, half)] {
                let quarter = (column + right, row + down);
                self.fill(block, quarter, half, lists, crossed);
            }
            return;
        }
        let cell = Cell {
            first: block.near.len() as u32,
            count: near.len() as u16,
            mixed,
            inside,
            // Rounded down whatever the rounding.
            least: 0.999 * least as f32,
        };
        for row in row..row + side {
            block.cells[row % SIDE * SIDE + column % SIDE..][..side].fill(cell);
        }
        block.near.extend(near.iter().map(|(index, _)| *index));
    }

    /// As `near_to` in less time, by distances from the centre of a box alone.
    fn near_roughly(&self, centre: Point, reach: f64, of: &mut Vec<(u16, f64)>) -> f64 {
        let mut least = f64::INFINITY;
        for (index, distance2) in of.iter_mut() {
            *distance2 = self.edges[usize::from(*index)].nearest(centre).hypot2();
            least = least.min(*distance2);
        }
        let least = least.sqrt();
        let most = (least + 2.0 * reach).powi(2);
        of.retain(|(_, distance2)| *distance2 <= most);
        (least - reach).max(0.0)
    }

    /// How near some edges come to a box at the least. Leaves those of them that can be the nearest to a
    /// point in it: no farther from the box than the whole of it is from another.
    fn near_to(&self, centre: Point, half: Vec2, of: &mut Vec<(u16, f64)>) -> f64 {
        let mut enough = f64::INFINITY;
        for (index, distance2) in of.iter_mut() {
            let edge = &self.edges[usize::from(*index)];
            let (least, most) = edge.distances_to_box(centre, half, enough);
            enough = enough.min(most);
            *distance2 = least;
        }
        of.retain(|(_, least)| *least <= enough);
        let least = of.iter().fold(f64::INFINITY, |a, b| a.min(b.1));
        least.max(0.0).sqrt()
    }

    /// Where the line across at `y` crosses the boundary.
    fn crossed(&self, y: f64) -> Vec<f64> {
        let crossing = self.edges.iter().filter(|e| (e.from.y > y) != (e.to.y > y));
        crossing
            .map(|e| e.from.x + e.along.x * (y - e.from.y) / e.along.y)
            .collect()
    }

    /// The edges of its boundary that a line along at `x` may cross, or one a hair beside it, and some
    /// others.
    pub(super) fn edges_at(&self, x: f64) -> impl Iterator<Item = (Point, Point)> {
        let column = self.column(x);
        let (from, to) = (self.columns[column], self.columns[column + 1]);
        let near = &self.upright[from as usize..to as usize];
        near.iter().map(|&index| {
            let edge = &self.edges[usize::from(index)];
            (edge.from, edge.to)
        })
    }

    /// How far inside the region a point lies; 0 or less outside. Far outside, no distance is told;
    /// where it is known to be at least `enough`, no more is.
    pub(super) fn depth(&self, p: Point, enough: f64, outlook: &Outlook) -> f64 {
        let Some(cell) = self.cell(p, outlook) else {
            return f64::NEG_INFINITY;
        };
        let (block, cell, anchor) = cell;
        let known = f64::from(cell.least);
        if known > 0.0 && known >= enough {
            return known;
        }
        if cell.mixed && !self.is_inside(block.near(cell), cell, anchor, p) {
            return 0.0;
        }
        let mut least = f64::INFINITY;
        for &index in block.near(cell) {
            least = least.min(self.edges[usize::from(index)].nearest(p).hypot2());
        }
        least.sqrt()
    }

    /// The shortest way out for a point inside the region or close to it.
    pub(super) fn out(&self, p: Point, outlook: &Outlook) -> Option<Out> {
        let (distance2, inside, step) = self.find(p, outlook)?;
        let distance = distance2.sqrt();
        if distance < 1e-9 {
            return None;
        }
        let (depth, sign) = if inside {
            (distance, 1.0)
        } else {
            (-distance, -1.0)
        };
        Some(Out {
            depth,
            toward: step * (sign / distance),
        })
    }

    /// Squared distance to the boundary, whether the point is inside, and the step to the boundary;
    /// `None` in a cell that is wholly outside.
    fn find(&self, p: Point, outlook: &Outlook) -> Option<(f64, bool, Vec2)> {
        let (block, cell, anchor) = self.cell(p, outlook)?;
        let mut best = (f64::INFINITY, Vec2::ZERO);
        for &index in block.near(cell) {
            let step = self.edges[usize::from(index)].nearest(p);
            let distance2 = step.hypot2();
            if distance2 < best.0 {
                best = (distance2, step);
            }
        }
        let inside = !cell.mixed || self.is_inside(block.near(cell), cell, anchor, p);
        Some((best.0, inside, best.1))
    }

    /// The cell in which a point lies and the cell's anchor; `None` where all is outside.
    #[inline]
    fn cell(&self, p: Point, outlook: &Outlook) -> Option<(&Block, &Cell, Point)> {
        let (column, row) = cell_of(p, self.half, self.scale)?;
        let block = self.block(column, row, outlook);
        let cell = &block.cells[row % SIDE * SIDE + column % SIDE];
        let anchor = self.anchor(self.centre(column, row));
        (cell.count > 0).then_some((block, cell, anchor))
    }

    /// Whether a point of a cell lies inside: the line to it from the cell's anchor crosses the
    /// boundary only at edges near the cell.
    // Kept apart: few places need it, and depth is shorter without.
    #[inline(never)]
    fn is_inside(&self, near: &[u16], cell: &Cell, anchor: Point, p: Point) -> bool {
        let ray = p - anchor;
        let mut inside = cell.inside;
        for &index in near {
            let edge = &self.edges[usize::from(index)];
            let from = edge.from - anchor;
            let sides = (ray.cross(from), ray.cross(edge.to - anchor));
            if (sides.0 > 0.0) != (sides.1 > 0.0) {
                // Whether the anchor and the point lie on different sides of the edge.
                let anchor_side = from.cross(edge.along);
                let point_side = (from - ray).cross(edge.along);
                inside ^= (anchor_side > 0.0) != (point_side > 0.0);
            }
        }
        inside
    }
}

impl Block {
    fn near(&self, cell: &Cell) -> &[u16] {
        let first = cell.first as usize;
        &self.near[first..first + usize::from(cell.count)]
    }
}

impl Edge {
    /// The step from a point to the nearest point of the edge.
    fn nearest(&self, p: Point) -> Vec2 {
        let from = p - self.from;
        let t = (from.dot(self.along) * self.inverse).clamp(0.0, 1.0);
        self.along * t - from
    }

    /// Squared distances from a box: no more than the least, 0 or less where the edge may run through
    /// it, and the greatest. Of an edge farther than `enough` the least alone is told, roughly.
    fn distances_to_box(&self, centre: Point, half: Vec2, enough: f64) -> (f64, f64) {
        let distance = self.nearest(centre).hypot();
        let reach = half.hypot();
        if distance > reach && (distance - reach).powi(2) > enough {
            return ((distance - reach).powi(2), f64::INFINITY);
        }
        let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
            .map(|(x, y)| centre + Vec2::new(half.x * x, half.y * y));
        let (mut least, mut most) = (f64::INFINITY, 0.0);
        let (mut left, mut right) = (false, false);
        for corner in corners {
            let distance2 = self.nearest(corner).hypot2();
            least = distance2.min(least);
            most = distance2.max(most);
            let side = self.along.cross(corner - self.from);
            left |= side >= 0.0;
            right |= side <= 0.0;
        }
        for end in [self.from, self.to] {
            let beside = end - centre;
            let out = Vec2::new(
                (beside.x.abs() - half.x).max(0.0),
                (beside.y.abs() - half.y).max(0.0),
            );
            least = least.min(out.hypot2());
        }
        // Its line runs through the box: the edge may as well.
        if left && right && distance <= reach {
            let beside = |from: f64, to: f64, centre: f64, half: f64| {
                from.min(to) <= centre + half && from.max(to) >= centre - half
            };
            if beside(self.from.x, self.to.x, centre.x, half.x)
                && beside(self.from.y, self.to.y, centre.y, half.y)
            {
                least = 0.0;
            }
        }
        (least, most)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Line, ParamCurveNearest};

    /// Inside and distance by the plain sums over all edges, against those over a cell's few.
    #[test]
    fn depth_is_the_distance_to_the_whole_boundary() {
        let star: Contour = (0..14)
            .map(|i| {
                let radius = if i % 2 == 0 {
                    100.0
                } else {
                    40.0 + f64::from(i)
                };
                Point::ZERO + Vec2::from_angle(f64::from(i) / 14.0 * std::f64::consts::TAU) * radius
            })
            .collect();
        let hole: Contour = [(5.0, 5.0), (5.0, 15.0), (15.0, 15.0), (15.0, 5.0)]
            .map(Point::from)
            .to_vec();
        let contours = vec![star, hole];
        let half = Vec2::new(100.0, 98.0);
        let (region, outlook) = (Region::new(contours.clone(), half), Outlook::new(half));
        let (mut asked, mut known) = (0, 0);
        for i in 0..199 {
            for j in 0..197 {
                let p = Point::new(f64::from(i) - 99.3, f64::from(j) - 97.7);
                let (mut least, mut inside) = (f64::INFINITY, false);
                for (a, b) in contours.iter().flat_map(|c| edges(c)) {
                    least = least.min(Line::new(a, b).nearest(p, 1e-9).distance_sq.sqrt());
                    inside ^= (a.y > p.y) != (b.y > p.y)
                        && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y);
                }
                let depth = region.depth(p, f64::INFINITY, &outlook);
                assert!(
                    region.depth(p, 10.0, &outlook) >= depth.min(10.0) - 1e-9,
                    "{p}"
                );
                assert!(
                    region.depth(p, 10.0, &outlook) <= depth.max(0.0) + 1e-9,
                    "{p}"
                );
                let seen = outlook.least(p).unwrap_or(0.0);
                assert!(seen <= depth.max(0.0) + 1e-9, "{p}: {seen} seen of {depth}");
                known += usize::from(seen > 0.0);
                if inside {
                    assert!((depth - least).abs() < 1e-9, "{p}: {depth}, not {least}");
                    asked += 1;
                } else {
                    assert!(depth <= 1e-9, "{p}: {depth} outside");
                }
            }
        }
        assert!(asked > 5000 && known > asked / 3, "{known} of {asked}");
    }
}
