//! Two halves of one body, drafted each by itself, and the places of their pieces in the draft of both.

use super::form::NotWhole;
use super::ids::{EdgeId, PieceId};
use super::piece::{Count, DraftPiece};
use super::proofs::{Match, SeamLine};
use super::types::Draft;
use crate::order::Side;
use kurbo::{BezPath, PathEl, Point, Shape};
use std::collections::{BTreeMap, BTreeSet};

/// Points nearer than this are the same, mm.
pub(super) const SAME: f64 = 0.01;

/// Both halves of a body, with the pieces that are cut for it.
///
/// A piece is known by its place in the right half. A piece that only the left half has is known by a
/// place beyond those.
pub(super) struct Halves<'a> {
    right: &'a Draft,
    left: &'a Draft,
    /// The place by which each piece of the left half is known.
    of_left: Vec<PieceId>,
    /// The side that each piece is cut for, if it is cut for one alone.
    single: Vec<Option<Side>>,
    /// The pairs whose sides are cut by themselves.
    divided: BTreeSet<PieceId>,
    /// The pieces that are cut.
    pub(super) pieces: Vec<DraftPiece>,
    /// The piece that is cut for each piece on each side.
    placed: BTreeMap<(PieceId, Side), PieceId>,
}

impl<'a> Halves<'a> {
    /// Finds the pieces that both halves are cut by. On a patterned cloth a pair is also divided where it
    /// meets a divided one: two cuts that are alike would not both lie on the pattern of their side.
    pub(super) fn new(right: &'a Draft, left: &'a Draft, patterned: bool) -> Self {
        let mut single: Vec<Option<Side>> = right.pieces.iter().map(|piece| piece.side).collect();
        let known = |piece: &DraftPiece| {
            let own = right.piece_named(&piece.name);
            let known = own.unwrap_or(PieceId(single.len()));
            match single.get_mut(known.0) {
                Some(side) => *side = piece.side.or(*side),
                None => single.push(piece.side),
            }
            known
        };
        let of_left = left.pieces.iter().map(known).collect();
        let mut halves = Self {
            right,
            left,
            of_left,
            single,
            divided: BTreeSet::new(),
            pieces: Vec::new(),
            placed: BTreeMap::new(),
        };
        halves.divided = halves.to_divide(patterned);
        for piece in right.piece_ids() {
            halves.place(piece);
        }
        halves
    }

    /// Finds the pairs whose sides differ, and on a patterned cloth the pairs that meet them.
    fn to_divide(&self, patterned: bool) -> BTreeSet<PieceId> {
        let is_pair = |piece: &PieceId| matches!(self.right[*piece].count, Count::Pairs(_));
        let differs = |piece: &PieceId| {
            let left = self.left_of(*piece);
            left.is_some_and(|left| !alike(&self.right[*piece], left))
        };
        let pairs = self.right.piece_ids().filter(is_pair);
        let mut divided: BTreeSet<PieceId> = pairs.filter(differs).collect();
        if patterned {
            let meets = |of: &&Match| divided.contains(&of.piece) && is_pair(&of.partner);
            let met = self.right.matches.iter().filter(meets);
            let met: Vec<PieceId> = met.map(|of| of.partner).collect();
            divided.extend(met);
        }
        divided
    }

    /// Adds the cut pieces for a piece of the right half: one for both sides, or one for each.
    fn place(&mut self, piece: PieceId) {
        let (right, left) = (&self.right[piece], self.left_of(piece).cloned());
        let cuts = if self.single[piece.0] == Some(Side::Left) {
            vec![(vec![Side::Right, Side::Left], left)]
        } else if !self.is_divided(piece) {
            vec![(vec![Side::Right, Side::Left], Some(right.clone()))]
        } else {
            let left = left.map(|left| of_one(&left, Side::Left));
            let right = Some(of_one(right, Side::Right));
            vec![(vec![Side::Right], right), (vec![Side::Left], left)]
        };
        for (sides, cut) in cuts {
            let Some(cut) = cut else { continue };
            let place = PieceId(self.pieces.len());
            self.pieces.push(cut);
            let sides = sides.into_iter().map(|side| ((piece, side), place));
            self.placed.extend(sides);
        }
    }

    /// Returns the draft of one half.
    pub(super) fn half(&self, side: Side) -> &'a Draft {
        match side {
            Side::Right => self.right,
            Side::Left => self.left,
        }
    }

    /// Returns the place by which a piece of one half is known.
    pub(super) fn known(&self, half: Side, piece: PieceId) -> PieceId {
        match half {
            Side::Right => piece,
            Side::Left => self.of_left[piece.0],
        }
    }

    /// Finds the left half's own draft of a piece.
    fn left_of(&self, piece: PieceId) -> Option<&'a DraftPiece> {
        let own = self.of_left.iter().position(|known| *known == piece)?;
        self.left.pieces.get(own)
    }

    /// Returns whether a piece is cut for that side alone.
    pub(super) fn is_of(&self, piece: PieceId, side: Side) -> bool {
        self.single[piece.0] == Some(side)
    }

    /// Returns whether a piece is a pair whose sides are cut by themselves.
    pub(super) fn is_divided(&self, piece: PieceId) -> bool {
        self.divided.contains(&piece)
    }

    /// Returns the names of the divided pairs, sorted.
    pub(super) fn divided(&self) -> Vec<String> {
        let divided = self.divided.iter();
        let mut names: Vec<String> = divided.map(|id| self.right[*id].name.clone()).collect();
        names.sort();
        names
    }

    /// Returns whether any piece that is cut is drawn by the left half.
    pub(super) fn takes_from_left(&self) -> bool {
        !self.divided.is_empty() || self.single.contains(&Some(Side::Left))
    }

    /// Finds the cut piece that stands for a piece on one side.
    pub(super) fn placed(&self, piece: PieceId, side: Side) -> Option<PieceId> {
        self.placed.get(&(piece, side)).copied()
    }

    /// Finds the cut piece that stands on one side for a piece of a half.
    ///
    /// # Errors
    /// When there is none, because the left half alone has the piece.
    pub(super) fn piece(
        &self,
        half: Side,
        piece: PieceId,
        side: Side,
        source: &str,
    ) -> Result<PieceId, NotWhole> {
        let found = self.placed(self.known(half, piece), side);
        found.ok_or_else(|| {
            let name = &self.half(half)[piece].name;
            lacking(
                format!("no piece '{name}' is cut for the {}", side.word()),
                source,
            )
        })
    }

    /// Finds the cut piece that stands on one side for a piece of a half, and an edge of that piece on it. The
    /// script names the edges of both halves, so that an edge is found on the other half by its name.
    ///
    /// # Errors
    /// When the other half drew the cut piece without such an edge.
    pub(super) fn edge(
        &self,
        half: Side,
        (piece, edge): (PieceId, EdgeId),
        side: Side,
        source: &str,
    ) -> Result<(PieceId, EdgeId), NotWhole> {
        let cut = self.piece(half, piece, side, source)?;
        let name = &self.half(half)[piece][edge].name;
        let found = self.pieces[cut.0].edge_named(name);
        Ok((cut, found.ok_or_else(|| self.without(cut, name, source))?))
    }

    /// Finds the line along which a piece of a half is laid on another, on the cut piece that stands for it on
    /// one side.
    ///
    /// # Errors
    /// When the other half drew the cut piece without such a line.
    pub(super) fn seam_line(
        &self,
        half: Side,
        (piece, line): (PieceId, SeamLine),
        side: Side,
        source: &str,
    ) -> Result<SeamLine, NotWhole> {
        let mark = match line {
            SeamLine::Edge(edge) => {
                let (_, edge) = self.edge(half, (piece, edge), side, source)?;
                return Ok(SeamLine::Edge(edge));
            }
            SeamLine::Mark(mark) => mark,
        };
        let cut = self.piece(half, piece, side, source)?;
        let name = &self.half(half)[piece][mark].name;
        let found = self.pieces[cut.0].mark_named(name);
        let found = found.ok_or_else(|| self.without(cut, name, source))?;
        Ok(SeamLine::Mark(found))
    }

    fn without(&self, cut: PieceId, line: &str, source: &str) -> NotWhole {
        let name = &self.pieces[cut.0].name;
        let text = format!("the sides differ, and the {name} has no '{line}' on one of them");
        lacking(text, source)
    }
}

fn lacking(message: String, source: &str) -> NotWhole {
    NotWhole {
        message,
        source: source.to_owned(),
    }
}

/// Adds the side to a name.
pub(super) fn sided(name: &str, side: Side) -> String {
    format!("{name}, {}", side.word())
}

/// Returns one side of a pair, cut by itself and without the marks of the other side, such as holes, buttons
/// or a breast pocket.
fn of_one(piece: &DraftPiece, side: Side) -> DraftPiece {
    let (Count::Pairs(number) | Count::Alike(number)) = piece.count;
    let mut one = DraftPiece {
        name: sided(&piece.name, side),
        count: Count::Alike(number),
        side: Some(side),
        pair: Some(piece.name.clone()),
        ..piece.clone()
    };
    one.marks.retain(|mark| mark.side != Some(side.other()));
    one
}

/// Returns whether two drafts of a piece are cut alike.
fn alike(a: &DraftPiece, b: &DraftPiece) -> bool {
    let near = |p: Point, q: Point| p.distance(q) < SAME;
    let same = |p: &BezPath, q: &BezPath| {
        let ends = |el: &PathEl| el.end_point().unwrap_or_default();
        let mut pairs = p.elements().iter().zip(q.elements());
        p.elements().len() == q.elements().len()
            && pairs.all(|(x, y)| near(ends(x), ends(y)))
            && (p.area() - q.area()).abs() < 1.0
    };
    let mut edges = a.edges.iter().zip(&b.edges);
    let mut notches = a.notches.iter().zip(&b.notches);
    let mut marks = a.marks.iter().zip(&b.marks);
    let count = |piece: &DraftPiece| (piece.edges.len(), piece.notches.len(), piece.marks.len());
    count(a) == count(b)
        && edges.all(|(x, y)| x.name == y.name && same(&x.path, &y.path))
        && notches.all(|(x, y)| (x.at - y.at).abs() < SAME)
        && marks.all(|(x, y)| same(&x.path, &y.path))
        && near(a.grain.0, b.grain.0)
        && near(a.grain.1, b.grain.1)
}
