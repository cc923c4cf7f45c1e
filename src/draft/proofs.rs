//! What a block declares about its pieces: seams, joins, girths, bounds and darts, which the ledger proves,
//! and the points that meet on the pattern of a cloth.

use super::ids::{EdgeId, MarkId, PieceId};
use crate::order::Side;
use kurbo::Point;

/// A stretch of one edge of one piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// The piece.
    pub piece: PieceId,
    /// The edge of that piece.
    pub edge: EdgeId,
    /// Arc length along the edge where the stretch starts, mm; `None` for the start of the edge.
    pub from: Option<f64>,
    /// Arc length along the edge where the stretch ends, mm; `None` for the end of the edge.
    pub to: Option<f64>,
}

/// Two runs of edges that are sewn together.
///
/// A run is a walk along the seam: each stretch starts where the last one ended once the pieces before
/// are sewn (a stretch whose `from` lies after its `to` is walked backwards). Both runs start at the same
/// place, or one starts where the other ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Seam {
    /// Name of the seam in the trade.
    pub name: String,
    /// The side of the body that the seam is on; `None` if the block does not say.
    pub side: Option<Side>,
    /// The run that may be longer and is eased on to the other.
    pub a: Vec<Stretch>,
    /// The run it is sewn to.
    pub b: Vec<Stretch>,
    /// Least ease allowed: length of `a` less length of `b`, mm.
    pub least: f64,
    /// Most ease allowed, mm.
    pub most: f64,
    /// File and line of the step that declares it.
    pub source: String,
}

/// A place where two edges must run on into each other once a seam is closed.
#[derive(Debug, Clone, PartialEq)]
pub struct Join {
    /// Name of what runs through: `neck through the shoulder`.
    pub name: String,
    /// The side of the body that the join is on; `None` if the block does not say.
    pub side: Option<Side>,
    /// The edge that arrives at the joint.
    pub a: Joined,
    /// The edge that leaves the joint.
    pub b: Joined,
    /// Greatest break allowed, degrees.
    pub most_degrees: f64,
    /// File and line of the step that declares it.
    pub source: String,
}

/// One piece's part in a join.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Joined {
    /// The piece.
    pub piece: PieceId,
    /// The edge that runs through the joint.
    pub edge: EdgeId,
    /// The line of this piece that is laid on the other piece's to close the seam.
    pub seam: SeamLine,
}

/// A line along which a piece is laid on another to close a seam.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeamLine {
    /// An edge of the piece.
    Edge(EdgeId),
    /// A mark of the piece, such as the fold along which a vent hangs closed.
    Mark(MarkId),
}

/// A finished girth or width, against the body.
#[derive(Debug, Clone, PartialEq)]
pub struct Girth {
    /// `chest`, `waist`, `thigh`, …
    pub name: String,
    /// Length measured on the draft, mm.
    pub finished: f64,
    /// Measure of the body, mm (0 where the girth is a choice of style alone).
    pub body: f64,
    /// Length that the garment is meant to have, mm.
    pub meant: f64,
    /// Greatest distance from that, mm.
    pub within: f64,
    /// File and line of the step that declares it.
    pub source: String,
}

/// A length of the draft with its bounds: no garment of this kind has it shorter or longer.
///
/// Bounds are coarser than the other proofs. They find a line that was drawn on a wrong level and still fits
/// all its neighbours.
#[derive(Debug, Clone, PartialEq)]
pub struct Bound {
    /// Name of the length: `depth of scye`.
    pub name: String,
    /// Length measured on the draft, mm.
    pub found: f64,
    /// Least plausible length, mm.
    pub least: f64,
    /// Greatest plausible length, mm.
    pub most: f64,
    /// File and line of the step that declares it.
    pub source: String,
}

/// A dart: its two legs, sewn together.
#[derive(Debug, Clone, PartialEq)]
pub struct Dart {
    /// Name of the dart.
    pub name: String,
    /// The piece it lies in.
    pub piece: PieceId,
    /// Length of each leg, mm.
    pub legs: (f64, f64),
    /// File and line of the step that declares it.
    pub source: String,
}

/// Points of two pieces that lie on the same place of a cloth's pattern.
#[derive(Debug, Clone, PartialEq)]
pub struct Match {
    /// Name of the place in the trade: `centre back`.
    pub name: String,
    /// The side of the body that the place is on; `None` if the block does not say.
    pub side: Option<Side>,
    /// The piece that leads.
    pub piece: PieceId,
    /// Point of the leading piece.
    pub at: Point,
    /// The piece that follows; the leading piece itself where the two of a pair are matched.
    pub partner: PieceId,
    /// Point of the piece that follows.
    pub partner_at: Point,
    /// Whether stripes that run along the cloth meet.
    pub across: bool,
    /// Whether bars that run across it meet.
    pub along: bool,
}
