//! Draws a half belt over the seam of the back.

use super::back::Back;
use super::hand::{Hand, patch};
use super::lines::{marks, outline, pieces};
use super::mesh::meshed;
use super::shown::{Shade, Stroke};
use crate::draft::{DraftPiece, EdgeId, Mark, MarkKind, Part};
use crate::geometry;
use kurbo::Point;

/// The button of a half belt, mm: a 32-line one (common practice, no source).
const BUTTON: f64 = 20.0;

/// Draws both halves. Of a belt in two pieces the later one is buttoned over the other.
pub(super) fn draw(halves: [&Back; 2], hand: &mut Hand) {
    for half in halves {
        half.belt(&mut hand.half(half.is_right()));
    }
    for half in halves {
        half.belt_button(&mut hand.half(half.is_right()));
    }
}

impl<'a> Back<'a> {
    /// Draws the half belt of this side with its hole. It lies over the seam of the back.
    fn belt(&self, hand: &mut Hand) {
        for belt in pieces(self.draft, Part::Strap, self.side_of) {
            let shape = outline(belt.piece);
            let mesh = meshed(&shape, &|_| Vec::new(), |p| self.trunk.back(p));
            let seen: Vec<Point> = shape.iter().map(|p| self.trunk.back(*p).at).collect();
            let cloth = vec![patch(belt, Some(self.side_of), mesh)];
            hand.patches(&seen, Shade::Face, cloth);
            let edges = belt.piece.edges.iter().enumerate();
            for (place, edge) in edges {
                // Along the fold it goes on into its other half.
                if belt.piece.opens != Some(EdgeId(place)) {
                    hand.line(&self.flat(&edge.path), Stroke::Edge);
                }
            }
            for hole in self.belt_marks(belt.piece, MarkKind::Buttonhole) {
                hand.line(&self.flat(&hole.path), Stroke::Hole);
            }
        }
    }

    /// Draws the button of the half belt, which shows through the hole of its other half.
    fn belt_button(&self, hand: &mut Hand) {
        for belt in pieces(self.draft, Part::Strap, self.side_of) {
            for button in self.belt_marks(belt.piece, MarkKind::Button) {
                if let Some(at) = geometry::start(&button.path) {
                    hand.button(self.trunk.back(at).at, BUTTON, 1.0);
                }
            }
        }
    }

    /// Returns the marks of a kind on this side's half of a belt.
    fn belt_marks(&self, belt: &'a DraftPiece, kind: MarkKind) -> impl Iterator<Item = &'a Mark> {
        let side_of = self.side_of;
        marks(belt, kind).filter(move |mark| mark.side.is_none_or(|side| side == side_of))
    }
}
