//! What is laid: outlines, how many of each, and where they must meet on the pattern of the cloth.
//! Lengths in mm, angles in degrees.

use crate::draft::Count;
use crate::order::Side;
use kurbo::{Point, Vec2};

/// An outline to lay, and how many of it. The lay knows nothing else about a piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// The caller's own number for it, given back in [`Placement::piece`](super::Placement::piece).
    pub piece: usize,
    /// What a fault or a note calls it.
    pub name: String,
    /// What kept lays call it; that it shares with the same piece of other orders.
    pub kind: String,
    /// The order it is of, where several are laid together.
    pub order: usize,
    /// The side it is cut for, if it is cut for one alone.
    pub side: Option<Side>,
    /// What kept lays call its pair, if it is one side of a pair whose sides are cut by themselves.
    pub pair: Option<String>,
    /// The outline: a polygon round the cut line that nowhere lies inside it. Its first corner is not
    /// repeated at the end; it may run either way round.
    pub outline: Vec<Point>,
    /// Holes in it. Smaller pieces may be laid in them.
    pub holes: Vec<Vec<Point>>,
    /// Area of the outline outside the cut line, mm². The piece does not use that cloth.
    pub spare: f64,
    /// How many are cut, and whether half of them are mirrored about the grain.
    pub count: Count,
    /// Direction of the grain in the outline's own coordinates. A piece whose grain runs down the cloth
    /// reads as the cloth does.
    pub grain: Vec2,
    /// The turns that are allowed, degrees from the grain running down the cloth.
    pub turns: Vec<f64>,
    /// Greatest tilt from each of these turns, either way, degrees. A patterned cloth allows none.
    pub off_grain: f64,
    /// A point of the centre line, for an outline that doubled cloth lets be cut on the fold. The line
    /// runs along the grain, and both sides of the outline are the same about it.
    pub fold: Option<Point>,
    /// The points at which it must match others on the pattern of the cloth.
    pub matches: Vec<MatchedPoints>,
}

impl Item {
    /// Makes an item of an outline that lies as it is drawn: one alike, its grain down, without a name.
    pub fn new(piece: usize, outline: Vec<Point>) -> Self {
        Self {
            piece,
            name: String::new(),
            kind: String::new(),
            order: 0,
            side: None,
            pair: None,
            outline,
            holes: Vec::new(),
            spare: 0.0,
            count: Count::Alike(1),
            grain: Vec2::new(0.0, 1.0),
            turns: vec![0.0],
            off_grain: 0.0,
            fold: None,
            matches: Vec::new(),
        }
    }
}

/// A point of one item and a point of another (or of the item's own mirrored copies) that must lie
/// alike on the pattern of the cloth.
///
/// The pattern is taken to look the same from either side of its bars, as an even check or stripe does:
/// the other of a pair is mirrored about the bars, and a piece laid head to foot shows the same pattern.
/// A cloth of which that is not true is laid one way.
#[derive(Debug, Clone, PartialEq)]
pub struct MatchedPoints {
    /// What a fault calls the match: `side seam at the chest line`.
    pub name: String,
    /// The point, in the item's own coordinates.
    pub at: Point,
    /// The other item's [`Item::piece`]; for the two of a pair, the item's own.
    pub partner: usize,
    /// The other item's point, in its own coordinates.
    pub partner_at: Point,
    /// Whether the places across must match: the stripes that run along meet.
    pub across: bool,
    /// Whether the places along must match: the bars that run across meet.
    pub along: bool,
    /// Whether one of the two outlines is given turned over. Across, it then sees the pattern from the
    /// other side of the bars.
    pub opposed: bool,
}
