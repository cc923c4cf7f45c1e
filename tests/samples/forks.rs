//! Trousers with the inside leg closed, so that front and seat seam meet in the fork.

use chalkstripe::draft::Draft;
use chalkstripe::geometry::{point_at, reversed, tangent_at};
use kurbo::{Affine, BezPath};

/// A top side as it lies, and the under side turned over and laid to it along the inside leg.
pub(crate) struct Closed {
    pub top: Vec<(String, BezPath)>,
    pub under: Vec<(String, BezPath)>,
}

impl Closed {
    pub(crate) fn of(draft: &Draft) -> Self {
        let edges = |piece: &str| -> Vec<(String, BezPath)> {
            let piece = draft
                .pieces
                .iter()
                .find(|p| p.name == piece)
                .expect("the piece");
            piece
                .edges
                .iter()
                .map(|e| (e.name.clone(), e.path.clone()))
                .collect()
        };
        let (top, mut under) = (edges("top side"), edges("under side"));
        let (to, from) = (edge(&top, "inside leg"), edge(&under, "inside leg"));
        // The seam is laid together at the fork, by the way it takes there.
        let over = Affine::FLIP_X * from.clone();
        let turn = tangent_at(to, 0.0).atan2() - tangent_at(&over, 0.0).atan2();
        let laid = Affine::translate(point_at(to, 0.0).to_vec2())
            * Affine::rotate(turn)
            * Affine::translate(-point_at(&over, 0.0).to_vec2())
            * Affine::FLIP_X;
        for (_, path) in &mut under {
            path.apply_affine(laid);
        }
        Self { top, under }
    }

    /// Front and seat seam in one line, from the waist in front through the fork to the waist behind.
    pub(crate) fn fork(&self) -> (BezPath, BezPath) {
        let front = edge(&self.top, "front").clone();
        (front, reversed(edge(&self.under, "seat seam")))
    }
}

fn edge<'a>(edges: &'a [(String, BezPath)], name: &str) -> &'a BezPath {
    edges
        .iter()
        .find(|(n, _)| n == name)
        .map(|(_, path)| path)
        .expect("the edge")
}
