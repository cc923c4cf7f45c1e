//! The edges of a closed figure, each with a width and a rule for its corners, from which an outline is drawn.

use kurbo::BezPath;

/// An edge of a closed figure, and how far from it the outline runs.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge<'a> {
    /// The path of the edge; it starts where the edge before it ends.
    pub path: &'a BezPath,
    /// Widths outside the figure, mm, spread evenly along the edge; none is negative.
    pub widths: Vec<f64>,
    /// What the outline does at both ends of the edge.
    ///
    /// Where the rules of two edges that meet differ, [`Corner::Mirror`] wins over [`Corner::Square`],
    /// and [`Corner::Square`] over [`Corner::Mitre`]. Where both are [`Corner::Square`] the wider edge
    /// is squared; where both are [`Corner::Mirror`] they are mitred.
    pub corner: Corner,
}

/// How the outline of one edge ends at a corner with another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Corner {
    /// The outlines of both edges run on until they meet.
    Mitre,
    /// The outline of this edge ends square to the edge, where the edge, extended, meets the other
    /// outline.
    Square,
    /// The other edge's outline is reflected about this edge, as cloth that is folded along it must be.
    Mirror,
}
