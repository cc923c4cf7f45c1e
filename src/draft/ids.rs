//! Places in the lists of a draft. Whatever refers to a piece, an edge, a notch or a mark holds its place;
//! names are for printing.
//!
//! The words of the board resolve each name once, where a script says it, so that a draft holds no place
//! that leads nowhere. A place is valid in the draft it was made for and in no other.

/// A piece, by its place in the list of its draft.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PieceId(pub usize);

/// An edge, by its place in the list of its piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EdgeId(pub usize);

/// A notch, by its place in the list of its piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NotchId(pub usize);

/// An inner mark, by its place in the list of its piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MarkId(pub usize);
