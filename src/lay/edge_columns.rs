//! The edges of a no-fit region by the columns of its grid into which they reach.

use super::depth_grid::{CELLS, scale};
use super::edge::Edge;
use kurbo::Vec2;

/// Distance beside a line along within which an edge counts as reached, mm: far more than lines are moved aside
/// to avoid the corners of a boundary.
const ASIDE: f64 = 1e-3;

/// Lists of edges, one for each column of cells.
#[derive(Debug)]
pub(super) struct EdgeColumns {
    half: f64,
    scale: f64,
    /// Indices of edges, one column after another.
    edges: Vec<u16>,
    /// Where the edges of each column begin, and where those of the last end.
    begins: Vec<u32>,
}

impl EdgeColumns {
    /// Sorts the edges of a region with a box of this half size into columns.
    pub(super) fn new(edges: &[Edge], half: Vec2) -> Self {
        let mut columns = Self {
            half: half.x,
            scale: scale(half).x,
            edges: Vec::new(),
            begins: Vec::new(),
        };
        let mut of = vec![Vec::new(); CELLS];
        for (index, edge) in edges.iter().enumerate() {
            let ends = [
                edge.from.x.min(edge.to.x) - ASIDE,
                edge.from.x.max(edge.to.x) + ASIDE,
            ];
            let [first, last] = ends.map(|x| columns.column(x));
            for column in &mut of[first..=last] {
                column.push(index as u16);
            }
        }
        for column in of {
            columns.begins.push(columns.edges.len() as u32);
            columns.edges.extend(column);
        }
        columns.begins.push(columns.edges.len() as u32);
        columns
    }

    /// Returns the memory that the lists take.
    pub(super) fn bytes(&self) -> usize {
        size_of_val(&*self.edges) + size_of_val(&*self.begins)
    }

    /// Lists the edges that reach into the column of `x`.
    pub(super) fn at(&self, x: f64) -> &[u16] {
        let column = self.column(x);
        let (from, to) = (self.begins[column], self.begins[column + 1]);
        &self.edges[from as usize..to as usize]
    }

    fn column(&self, x: f64) -> usize {
        (((x + self.half) * self.scale).max(0.0) as usize).min(CELLS - 1)
    }
}
