//! Turns over the pieces that are cut for one side of the body and were drawn for the other.

use super::ids::PieceId;
use super::piece::DraftPiece;
use super::types::Draft;
use kurbo::{Affine, Point, Shape};

/// Turns over each piece that is cut for the side that it was not drawn for, about the plumb line through its
/// own middle, and with it the points at which it meets others on the cloth's pattern.
pub(crate) fn turn_over(draft: &mut Draft) {
    for (index, piece) in draft.pieces.iter_mut().enumerate() {
        if piece.side.is_none_or(|side| side == piece.drawn_for()) {
            continue;
        }
        let boxes = piece.edges.iter().map(|edge| edge.path.bounding_box());
        let Some(whole) = boxes.reduce(|a, b| a.union(b)) else {
            continue;
        };
        piece.turned_at = Some(whole.center().x);
        let over = piece.as_drafted();
        transform(piece, over);
        for m in &mut draft.matches {
            if m.piece == PieceId(index) {
                m.at = over * m.at;
            }
            if m.partner == PieceId(index) {
                m.partner_at = over * m.partner_at;
            }
        }
    }
}

impl Draft {
    /// Returns the draft with every piece as the block drew it, none turned over. They all lie where they are
    /// worn on the right half of the body, seen from outside.
    #[must_use]
    pub fn as_drawn(&self) -> Self {
        let mut draft = self.clone();
        for piece in &mut draft.pieces {
            let back = piece.as_drafted();
            transform(piece, back);
            piece.turned_at = None;
        }
        draft
    }
}

/// Moves a piece with its edges, marks, grain and fold.
fn transform(piece: &mut DraftPiece, by: Affine) {
    for edge in &mut piece.edges {
        edge.path.apply_affine(by);
    }
    for mark in &mut piece.marks {
        mark.path.apply_affine(by);
    }
    piece.grain = (by * piece.grain.0, by * piece.grain.1);
    piece.down = by * piece.down.to_point() - by * Point::ZERO;
    piece.fold = piece.fold.map(|(a, b)| (by * a, by * b));
}
