//! A no-fit region, prepared for asking how deep a point lies in it.

use super::contour::{Contour, edges};
use super::depth_grid::{CELLS, DepthGrid, cell_of, scale};
use super::edge::Edge;
use super::edge_columns::EdgeColumns;
use super::near_edges::{crossed, near_roughly, near_to};
use kurbo::{Point, Vec2};
use std::sync::OnceLock;

/// Cells across and along a block; a power of 2. The cells of a block are filled together when one of them is
/// first asked.
const SIDE: usize = 8;
/// Number of squares one in another in a block, with the list of all edges before them.
const LEVELS: usize = SIDE.ilog2() as usize + 2;
/// Blocks across and along the box of a region.
const BLOCKS: usize = CELLS / SIDE;
/// Cells across and along that share one list of edges where no boundary runs through them.
const DEEP: usize = 2;
/// Number of edges near a cell above which it pays to look at each more closely (measured).
const FEW: usize = 5;
/// Factor by which boxes are widened, so that rounding leaves out no edge.
const WIDER: f64 = 1.000_001;
/// Factor by which lower bounds are lowered, so that storing them in fewer bits never raises them.
const LOWER: f32 = 0.999;
/// Distance from the boundary, mm, below which there is no direction out: it would be rounding.
const ON_BOUNDARY: f64 = 1e-9;

/// The region in which the second of two shapes overlaps the first. Shapes are named by the centres of their
/// boxes, so that the region's own box is centred on the origin.
///
/// The box is divided into cells. Each knows which edges can be the nearest to a point in it, so that the exact
/// distance to the boundary costs a few edges.
#[derive(Debug)]
pub(super) struct NoFitRegion {
    /// Its boundary.
    pub contours: Vec<Contour>,
    half: Vec2,
    scale: Vec2,
    edges: Vec<Edge>,
    blocks: [OnceLock<Block>; BLOCKS * BLOCKS],
    columns: EdgeColumns,
}

/// A square of cells, and the edges near each of them. The cells are boxed, so that what leads to the cells of
/// all blocks lies close together.
#[derive(Debug)]
struct Block {
    cells: Box<[Cell; SIDE * SIDE]>,
    near: Vec<u16>,
}

#[derive(Debug, Clone, Copy, Default)]
struct Cell {
    /// Where the edges near it begin in the block's list.
    first: u32,
    /// How many they are; none for a cell that is wholly outside.
    count: u16,
    /// Whether the boundary runs through it.
    mixed: bool,
    /// Whether its anchor lies inside.
    inside: bool,
    /// A lower bound of the distance of its points from the boundary.
    least: f32,
}

/// The shortest way out of a region.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Penetration {
    /// Penetration depth: the distance to the boundary, negative outside.
    pub depth: f64,
    /// The direction out, of length 1. From outside it leads away from the region.
    pub direction: Vec2,
}

impl NoFitRegion {
    /// Prepares a region with its box, of this half size, centred on the origin.
    pub(super) fn new(contours: Vec<Contour>, half: Vec2) -> Self {
        let edges: Vec<Edge> = contours
            .iter()
            .flat_map(|c| edges(c))
            .filter(|(p, q)| (*q - *p).hypot2() > 0.0)
            .map(|(p, q)| Edge::new(p, q))
            .take(usize::from(u16::MAX))
            .collect();
        let columns = EdgeColumns::new(&edges, half);
        Self {
            contours,
            half,
            scale: scale(half),
            edges,
            blocks: Default::default(),
            columns,
        }
    }

    /// Returns the block of a cell, filled.
    #[inline]
    fn block(&self, column: usize, row: usize, depth_grid: &DepthGrid) -> &Block {
        let block = &self.blocks[row / SIDE * BLOCKS + column / SIDE];
        match block.get() {
            Some(block) => block,
            None => block
                .get_or_init(|| self.filled(column / SIDE * SIDE, row / SIDE * SIDE, depth_grid)),
        }
    }

    /// Fills the block whose first cell this is, and writes the bounds of its cells into the depth grid.
    #[cold]
    fn filled(&self, column: usize, row: usize, depth_grid: &DepthGrid) -> Block {
        let mut block = Block {
            cells: Box::new([Cell::default(); SIDE * SIDE]),
            near: Vec::new(),
        };
        let crossed: [Vec<f64>; SIDE] =
            std::array::from_fn(|i| crossed(&self.edges, self.anchor(self.centre(0, row + i)).y));
        let mut lists: [Vec<(u16, f64)>; LEVELS] = Default::default();
        lists[0] = (0..self.edges.len() as u16).map(|i| (i, 0.0)).collect();
        self.fill(&mut block, (column, row), SIDE, &mut lists, &crossed);
        block.near.shrink_to_fit();
        for (index, cell) in block.cells.iter().enumerate() {
            let least = (cell.count > 0).then_some(cell.least);
            depth_grid.learn(column + index % SIDE, row + index / SIDE, least);
        }
        block
    }

    fn centre(&self, column: usize, row: usize) -> Point {
        Point::new(
            (column as f64 + 0.5) / self.scale.x - self.half.x,
            (row as f64 + 0.5) / self.scale.y - self.half.y,
        )
    }

    /// The point of a cell of which it is known whether it lies inside. It is a little off the centre, so that
    /// no boundary drawn on round numbers runs through it.
    fn anchor(&self, centre: Point) -> Point {
        centre + Vec2::new(0.137_15 / self.scale.x, 0.091_73 / self.scale.y)
    }

    /// Fills a square of cells, `side` cells wide. An edge near to one of its quarters is near to the square, so
    /// that each quarter looks only through the edges of its square. The first of the lists holds the edges near
    /// to the square that this one is a quarter of.
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
        let half_cell = Vec2::new(0.5 / self.scale.x, 0.5 / self.scale.y);
        let centre = self.centre(column, row) + half_cell * (side - 1) as f64;
        let half = half_cell * (side as f64 * WIDER);
        near.clear();
        near.extend(of.iter());
        let mut least = near_roughly(&self.edges, centre, half.hypot(), near);
        if side <= DEEP && near.len() > FEW {
            least = near_to(&self.edges, centre, half, near);
        }
        let mixed = least <= 0.0;
        let anchor = self.anchor(self.centre(column, row)).x;
        let beyond = crossed[row % SIDE].iter().filter(|x| **x > anchor);
        let inside = beyond.count() % 2 == 1;
        if !mixed && !inside {
            // No boundary runs through it: all of it is outside.
            return;
        }
        let finest = if mixed { 1 } else { DEEP };
        if side > finest {
            let to = side / 2;
            for (right, down) in [(0, 0), (to, 0), (0, to), (to, to)] {
                let quarter = (column + right, row + down);
                self.fill(block, quarter, to, lists, crossed);
            }
            return;
        }
        let cell = Cell {
            first: block.near.len() as u32,
            count: near.len() as u16,
            mixed,
            inside,
            least: LOWER * least as f32,
        };
        for index in row..row + side {
            block.cells[index % SIDE * SIDE + column % SIDE..][..side].fill(cell);
        }
        block.near.extend(near.iter().map(|(index, _)| *index));
    }

    /// Lists the edges of its boundary that a line along at `x`, or one a hair beside it, may cross, and some
    /// others.
    pub(super) fn edges_at(&self, x: f64) -> impl Iterator<Item = (Point, Point)> {
        self.columns.at(x).iter().map(|&index| {
            let edge = &self.edges[usize::from(index)];
            (edge.from, edge.to)
        })
    }

    /// Returns the memory that it takes, with the blocks that are filled.
    pub(super) fn bytes(&self) -> usize {
        let corners: usize = self.contours.iter().map(Vec::len).sum();
        let filled = self.blocks.iter().filter_map(OnceLock::get);
        let block = |block: &Block| size_of_val(&*block.cells) + size_of_val(&*block.near);
        size_of::<Self>()
            + corners * size_of::<Point>()
            + size_of_val(&*self.edges)
            + self.columns.bytes()
            + filled.map(block).sum::<usize>()
    }

    /// Returns the penetration depth of a point, 0 or less outside. If it is at least `enough`, a lower bound
    /// that is also at least `enough` may be returned instead.
    pub(super) fn depth(&self, p: Point, enough: f64, depth_grid: &DepthGrid) -> f64 {
        let Some(cell) = self.cell(p, depth_grid) else {
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

    /// Returns the shortest way out for a point inside the region or close to it.
    pub(super) fn penetration(&self, p: Point, depth_grid: &DepthGrid) -> Option<Penetration> {
        let (distance2, inside, step) = self.find(p, depth_grid)?;
        let distance = distance2.sqrt();
        if distance < ON_BOUNDARY {
            return None;
        }
        let (depth, sign) = if inside {
            (distance, 1.0)
        } else {
            (-distance, -1.0)
        };
        Some(Penetration {
            depth,
            direction: step * (sign / distance),
        })
    }

    /// Returns the squared distance to the boundary, whether the point is inside, and the step to the boundary;
    /// `None` in a cell that is wholly outside.
    fn find(&self, p: Point, depth_grid: &DepthGrid) -> Option<(f64, bool, Vec2)> {
        let (block, cell, anchor) = self.cell(p, depth_grid)?;
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

    /// Returns the cell in which a point lies, with its block and its anchor; `None` where all is outside.
    #[inline]
    fn cell(&self, p: Point, depth_grid: &DepthGrid) -> Option<(&Block, &Cell, Point)> {
        let (column, row) = cell_of(p, self.half, self.scale)?;
        let block = self.block(column, row, depth_grid);
        let cell = &block.cells[row % SIDE * SIDE + column % SIDE];
        let anchor = self.anchor(self.centre(column, row));
        (cell.count > 0).then_some((block, cell, anchor))
    }

    /// Whether a point of a cell lies inside. The line to it from the cell's anchor crosses the boundary only
    /// at edges near the cell.
    // Not inlined: few places need it, and `depth` is shorter without.
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

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Line, ParamCurveNearest};

    /// Compares depths found by the few edges of a cell with those found by all edges.
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
        let (region, depth_grid) = (
            NoFitRegion::new(contours.clone(), half),
            DepthGrid::new(half),
        );
        let (mut evaluations, mut known) = (0, 0);
        for i in 0..199 {
            for j in 0..197 {
                let p = Point::new(f64::from(i) - 99.3, f64::from(j) - 97.7);
                let (mut least, mut inside) = (f64::INFINITY, false);
                for (a, b) in contours.iter().flat_map(|c| edges(c)) {
                    least = least.min(Line::new(a, b).nearest(p, 1e-9).distance_sq.sqrt());
                    inside ^= (a.y > p.y) != (b.y > p.y)
                        && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y);
                }
                let depth = region.depth(p, f64::INFINITY, &depth_grid);
                assert!(
                    region.depth(p, 10.0, &depth_grid) >= depth.min(10.0) - 1e-9,
                    "{p}"
                );
                assert!(
                    region.depth(p, 10.0, &depth_grid) <= depth.max(0.0) + 1e-9,
                    "{p}"
                );
                let seen = depth_grid.least(p).unwrap_or(0.0);
                assert!(seen <= depth.max(0.0) + 1e-9, "{p}: {seen} seen of {depth}");
                known += usize::from(seen > 0.0);
                if inside {
                    assert!((depth - least).abs() < 1e-9, "{p}: {depth}, not {least}");
                    evaluations += 1;
                } else {
                    assert!(depth <= 1e-9, "{p}: {depth} outside");
                }
            }
        }
        assert!(
            evaluations > 5000 && known > evaluations / 3,
            "{known} of {evaluations}"
        );
    }
}
