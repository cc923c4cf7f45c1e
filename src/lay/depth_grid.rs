//! The depth grid of a no-fit region: lower bounds of the penetration depth, known without a look at the
//! boundary.

use kurbo::{Point, Vec2};
use std::sync::atomic::{AtomicU8, Ordering};

/// Cells across and along the box of a region; a power of 2.
pub(super) const CELLS: usize = 32;

/// A lower bound of the penetration depth in each cell of a region, in a byte.
///
/// Most places that are sampled are far too deep in something. The grid lies apart from the region, so that the
/// bounds of many regions fit into a processor's nearest memory.
#[derive(Debug)]
pub(super) struct DepthGrid {
    half: Vec2,
    scale: Vec2,
    /// Depth for which one step of a byte stands, mm.
    step: f64,
    /// For each cell one of the two values below, or 1 more than the number of steps of its bound.
    cells: [AtomicU8; CELLS * CELLS],
}

impl DepthGrid {
    /// The value of a cell that lies outside.
    const OUTSIDE: u8 = 0;
    /// The value of a cell of which nothing is known, or which the boundary crosses.
    const UNKNOWN: u8 = 1;

    /// A grid for a region with a box of this half size, of which nothing is known yet.
    pub(super) fn new(half: Vec2) -> Self {
        Self {
            half,
            scale: scale(half),
            // No point is deeper than half the box, which 253 steps reach.
            step: half.x.min(half.y) / 253.0,
            cells: [const { AtomicU8::new(Self::UNKNOWN) }; CELLS * CELLS],
        }
    }

    /// Returns a lower bound of the depth of a point of the region's box; `None` if the point lies outside.
    #[inline]
    pub(super) fn least(&self, p: Point) -> Option<f64> {
        let (column, row) = cell_of(p, self.half, self.scale)?;
        match self.cells[row * CELLS + column].load(Ordering::Relaxed) {
            Self::OUTSIDE => None,
            steps => Some(f64::from(steps - Self::UNKNOWN) * self.step),
        }
    }

    /// Learns of a lower bound of the depth in a cell; `None` if the cell lies outside.
    pub(super) fn learn(&self, column: usize, row: usize, least: Option<f32>) {
        let value = match least {
            None => Self::OUTSIDE,
            Some(least) => Self::UNKNOWN + (f64::from(least) / self.step).min(254.0) as u8,
        };
        self.cells[row * CELLS + column].store(value, Ordering::Relaxed);
    }
}

/// Returns cells per mm, across and along, of a region with a box of this half size.
pub(super) fn scale(half: Vec2) -> Vec2 {
    Vec2::new(CELLS as f64 / (2.0 * half.x), CELLS as f64 / (2.0 * half.y))
}

/// Returns the column and row of the cell in which a point lies; `None` outside the box.
#[inline]
pub(super) fn cell_of(p: Point, half: Vec2, scale: Vec2) -> Option<(usize, usize)> {
    let column = (p.x + half.x) * scale.x;
    let row = (p.y + half.y) * scale.y;
    if column < 0.0 || row < 0.0 {
        return None;
    }
    let (column, row) = (column as usize, row as usize);
    (column < CELLS && row < CELLS).then_some((column, row))
}
