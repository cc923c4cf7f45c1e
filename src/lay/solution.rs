//! A lay without overlap, as the search holds it.

use super::packing::{Packing, Position};
use super::strip::{Extent, Strip};

/// Positions of all parts without overlap.
#[derive(Debug, Clone)]
pub(super) struct Solution {
    /// Position of each part.
    pub positions: Vec<Position>,
    /// Where the last bay starts and ends.
    pub last: (f64, f64),
}

impl Solution {
    /// Takes parts that stand on a strip without overlap. The last bay is cut off where they end, and where no
    /// other bay comes before it, where they begin.
    pub(super) fn new(packing: &Packing, strip: &Strip, positions: Vec<Position>) -> Self {
        let mut extent = Extent::new(strip);
        for (part, position) in positions.iter().enumerate() {
            let size = packing.size(part, position.orientation);
            extent.reach(position.centre.y, size.y / 2.0);
        }
        let last = extent.bay();
        Self { positions, last }
    }

    /// Length of the last bay.
    pub(super) fn length(&self) -> f64 {
        self.last.1 - self.last.0
    }
}
