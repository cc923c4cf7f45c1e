//! The types of a patch: a part of a piece as it is seen in a view, so that what lies on the piece, as the
//! pattern of its cloth, can be shown where it is seen.

use crate::draft::PieceId;
use crate::order::Side;
use kurbo::Point;

/// A corner of a patch: where a point of a piece is seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// Its place in the view, mm of the garment: x from the middle of the figure to the viewer's right, y down
    /// from the nape.
    pub at: Point,
    /// Its place on the piece, mm in the coordinates that the piece was drafted in (net).
    pub on: Point,
    /// The light that it catches, 0 to 1: 1 where the surface looks straight at the viewer.
    pub light: f64,
}

/// A part of a piece as it is seen in a view: triangles that map the plane of the piece to the view.
///
/// Both copies of a pair give their points in the coordinates of the one draft, as pieces lie in
/// [`Draft::as_drawn`](crate::draft::Draft::as_drawn). The copy worn on the other side than the piece is
/// drawn for is cut turned over: its cloth is that of the mirrored piece, wherever the lay puts that.
/// [`Patch::side`] tells the copies apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Patch {
    /// The piece, by its place in `draft.as_drawn()`, which is that in the draft.
    pub piece: PieceId,
    /// The wearer's side that the copy is worn on; `None` for a piece of the middle.
    pub side: Option<Side>,
    /// Whether the wrong side of the cloth is seen.
    pub wrong_side: bool,
    /// The corners of the triangles.
    pub corners: Vec<Corner>,
    /// The triangles, each by the places of its corners in the list.
    pub triangles: Vec<[u32; 3]>,
}
