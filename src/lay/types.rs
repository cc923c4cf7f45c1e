//! A finished lay. x runs across the cloth from the left selvedge, y along it from the cut end; mm.

use kurbo::Affine;

/// Pieces placed on one cloth.
#[derive(Debug, Clone, PartialEq)]
pub struct Lay {
    /// Full width of the cloth (of the folded cloth when doubled).
    pub cloth_width: f64,
    /// Left and right limits of what may be used.
    pub usable: (f64, f64),
    /// Length used by the pieces.
    pub length: f64,
    /// Area of the pieces over the usable area of that length, 0 to 1.
    pub efficiency: f64,
    /// Where each copy of each piece lies.
    pub placements: Vec<Placement>,
}

/// One copy of a piece on the cloth.
#[derive(Debug, Clone, PartialEq)]
pub struct Placement {
    /// Index of the piece in the list that was laid.
    pub piece: usize,
    /// Which copy, from 0.
    pub copy: u32,
    /// Whether it lies mirrored (the other of a pair).
    pub mirrored: bool,
    /// Turned by so many degrees, after any mirroring.
    pub degrees: f64,
    /// From the piece's own coordinates to the cloth.
    pub transform: Affine,
}
