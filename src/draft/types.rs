//! A finished draft: what a block put on the board, net (to the seam line).
//! Lengths in mm, angles in degrees, x from the centre back to the front, y down.

use super::ids::{EdgeId, PieceId};
use super::making::{Drawn, How};
use super::piece::DraftPiece;
use super::proofs::{Bound, Dart, Girth, Join, Match, Seam};
use super::seen::Part;
use crate::order::Side;
use kurbo::{Affine, BezPath, Point};
use std::collections::BTreeSet;
use std::ops::Index;

/// The draft of one garment.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Draft {
    /// Name of the block that drew it: `jacket`, `trousers`.
    pub garment: String,
    /// Numbered points, in the order they were made.
    pub points: Vec<BoardPoint>,
    /// Lines and curves, in the order they were drawn.
    pub curves: Vec<BoardCurve>,
    /// Steps of the construction, in order.
    pub steps: Vec<Step>,
    /// Points and curves that each piece is drawn by.
    pub uses: Vec<Use>,
    /// Pages of the drafting sheet that show several pieces together.
    pub pages: Vec<SheetPage>,
    /// Pieces, in the block's order.
    pub pieces: Vec<DraftPiece>,
    /// Edges that are sewn together.
    pub seams: Vec<Seam>,
    /// Edges that must run fair into each other.
    pub joins: Vec<Join>,
    /// Finished girths and what they are meant to be.
    pub girths: Vec<Girth>,
    /// Lengths of the draft and the bounds between which they are plausible.
    pub bounds: Vec<Bound>,
    /// Darts with both their legs.
    pub darts: Vec<Dart>,
    /// Tapes and stays, wadding, buttons: everything the garment takes besides its pieces.
    pub needs: Vec<Need>,
    /// Places where pieces meet on a patterned cloth.
    pub matches: Vec<Match>,
    /// Warnings for the cutter: limits reached, surplus left in.
    pub warnings: Vec<String>,
    /// Corrections of the figure that the block has asked for.
    pub heeds: BTreeSet<String>,
    /// Names of the pairs that are cut one for each side, because the sides differ.
    pub divided: Vec<String>,
}

/// Something a garment takes that no piece is drawn for: lengths of a tape, a number of buttons.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// Name of its purpose: `bridle`, `front buttons`.
    pub name: String,
    /// Name of the material or article, by which equal needs are added up: `linen tape`, `button, 20 mm`.
    pub of: String,
    /// Number of them.
    pub count: u32,
    /// Length of each, mm; `None` for articles that are only counted.
    pub length: Option<f64>,
}

/// A point on the board that remembers how it was made.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardPoint {
    /// Number, from 1, in the order they were made.
    pub number: usize,
    /// Name in the trade, if it has one.
    pub name: Option<String>,
    /// Place on the board.
    pub at: Point,
    /// The step that made it.
    pub how: How,
    /// The reason for the step in the block's words; may be empty.
    pub why: String,
}

/// A line or curve on the board that remembers how it was drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardCurve {
    /// Number, from 1, in the order they were drawn.
    pub number: usize,
    /// Name in the trade, if it has one.
    pub name: Option<String>,
    /// The curve, from its start to its end.
    pub path: BezPath,
    /// The step that drew it.
    pub how: Drawn,
}

/// One step of the construction.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// The point or curve that it makes.
    pub makes: Makes,
    /// File and line in the block.
    pub source: String,
}

/// A point or a curve of the board, by its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Makes {
    /// A point.
    Point(usize),
    /// A curve.
    Curve(usize),
}

/// Points and curves of the board that a piece is drawn by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Use {
    /// The piece.
    pub piece: PieceId,
    /// The edge that they make, if they make one; `None` for a mark or a notch.
    pub edge: Option<EdgeId>,
    /// Points and curves, in order.
    pub made: Vec<Makes>,
}

/// A page of the drafting sheet, on which pieces lie as they were drafted together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetPage {
    /// Heading of the page.
    pub name: String,
    /// Pieces that it shows.
    pub pieces: Vec<PieceId>,
}

impl Index<PieceId> for Draft {
    type Output = DraftPiece;

    fn index(&self, piece: PieceId) -> &DraftPiece {
        &self.pieces[piece.0]
    }
}

impl Draft {
    /// Finds the piece that a script calls by this name.
    pub fn piece_named(&self, name: &str) -> Option<PieceId> {
        let found = self.pieces.iter().position(|piece| piece.name == name);
        found.map(PieceId)
    }

    /// Returns the place of every piece in the list, in order.
    pub fn piece_ids(&self) -> impl Iterator<Item = PieceId> + use<> {
        (0..self.pieces.len()).map(PieceId)
    }

    /// Returns the pairs of the suit's own cloth whose sides differ, by name.
    pub fn differing(&self) -> Vec<&str> {
        let of_cloth = |name: &&String| {
            let mut own = self.pieces.iter();
            own.any(|piece| piece.pair.as_ref() == Some(*name) && piece.material.is_cloth())
        };
        let divided = self.divided.iter().filter(of_cloth);
        divided.map(String::as_str).collect()
    }

    /// Finds the pieces of this draft that a piece of another draft of the same garment replaces.
    ///
    /// That is the piece of the same name; failing that, the pair that the other is one side of, or both
    /// sides of the pair that it is. Each comes with the transform into the frame of the other draft.
    pub fn counterparts(&self, theirs: &DraftPiece) -> Vec<(&DraftPiece, Affine)> {
        let named = |name: &str| self.pieces.iter().find(|p| p.name == name);
        let one_side = |own: &&DraftPiece| own.pair.as_ref() == Some(&theirs.name);
        let pair = || named(theirs.pair.as_deref()?);
        let found = match named(&theirs.name).or_else(pair) {
            Some(one) => vec![one],
            None => self.pieces.iter().filter(one_side).collect(),
        };
        // Turning over undoes itself.
        let brought = |own: &DraftPiece| theirs.as_drafted() * own.as_drafted();
        found.into_iter().map(|own| (own, brought(own))).collect()
    }

    /// Returns the pieces that are declared to be a part.
    pub fn of_part(&self, part: Part) -> impl Iterator<Item = &DraftPiece> {
        self.pieces.iter().filter(move |piece| piece.is_part(part))
    }

    /// Finds the piece that is a part on one side of the figure: one for that side, or one for both sides.
    pub fn part_on(&self, part: Part, side: Side) -> Option<&DraftPiece> {
        let other = |piece: &&DraftPiece| piece.side.is_some_and(|own| own != side);
        self.of_part(part).find(|piece| !other(piece))
    }
}
