//! Kept lays: where the pieces of earlier lays lay, so that a search need not begin from nothing.
//!
//! A lay is kept as the middle of each piece. For a man of another build, with other choices or on other
//! cloth, its pieces are put in the same places, where they overlap a little or leave gaps; the search separates
//! them from there. Lays are compared by the sizes of their pieces.

use super::contour;
use super::item::Item;
use super::outcome::Lay;
use crate::order::Side;
use kurbo::{Point, Vec2};
use serde::de::Error;
use serde::{Deserialize, Deserializer};

/// A lay of which only the places are kept. Lengths in mm.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct KeptLay {
    /// What was laid, for those who read the list.
    pub name: String,
    /// Width that could be used.
    #[serde(deserialize_with = "length")]
    pub width: f64,
    /// Length of the lay.
    #[serde(deserialize_with = "length")]
    pub length: f64,
    /// One for each cut.
    pub pieces: Vec<KeptPiece>,
}

/// Where a piece lay.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(try_from = "PieceLine")]
pub struct KeptPiece {
    /// Its name, with that of its garment. The name of a piece that is cut for one side is without the side.
    pub name: String,
    /// Whether it was that of the left side, or mirrored.
    pub mirrored: bool,
    /// Plies that it was cut through.
    pub plies: u32,
    /// Its turn, degrees.
    pub degrees: f64,
    /// Its extent across and along as it lay.
    pub size: Vec2,
    /// The middle of that extent, from the left edge of what could be used and from the cut end.
    pub middle: Point,
}

/// A piece as it stands in a file: its name, whether mirrored, plies, degrees, extent across and along, middle
/// across and along.
type PieceLine = (String, bool, u32, f64, f64, f64, f64, f64);

impl TryFrom<PieceLine> for KeptPiece {
    type Error = String;

    fn try_from(line: PieceLine) -> Result<Self, Self::Error> {
        let (name, mirrored, plies, degrees, across, along, x, y) = line;
        if !is_length(across) || !is_length(along) {
            return Err(format!("the extents of `{name}` must be greater than 0 mm"));
        }
        if ![degrees, x, y].iter().all(|number| number.is_finite()) {
            return Err(format!("`{name}` must lie somewhere"));
        }
        Ok(Self {
            name,
            mirrored,
            plies,
            degrees,
            size: Vec2::new(across, along),
            middle: Point::new(x, y),
        })
    }
}

fn is_length(number: f64) -> bool {
    number.is_finite() && number > 0.0
}

/// Reads a length in mm.
fn length<'de, D: Deserializer<'de>>(deserializer: D) -> Result<f64, D::Error> {
    let number = f64::deserialize(deserializer)?;
    if is_length(number) {
        Ok(number)
    } else {
        Err(D::Error::custom("a length must be greater than 0 mm"))
    }
}

/// Returns what a piece is called on either side, and whether it is that of the left side or mirrored.
pub(super) fn either_side(item: &Item, mirrored: bool) -> (&str, bool) {
    match &item.pair {
        Some(pair) => (pair, mirrored != (item.side == Some(Side::Left))),
        None => (&item.kind, mirrored),
    }
}

impl KeptLay {
    /// Keeps the places of a lay of these items.
    pub fn new(name: &str, items: &[Item], lay: &Lay) -> Self {
        let pieces = lay.placements.iter().filter_map(|placed| {
            let item = items.iter().find(|item| item.piece == placed.piece)?;
            let lying: Vec<Point> = item.outline.iter().map(|&p| placed.transform * p).collect();
            let mut bounds = contour::bounds(&lying);
            // The half of a piece beyond the fold lies under this one.
            bounds.x1 = bounds.x1.min(lay.usable.1);
            let (kind, mirrored) = either_side(item, placed.mirrored);
            Some(KeptPiece {
                name: kind.to_owned(),
                mirrored,
                plies: placed.plies,
                degrees: placed.degrees,
                size: bounds.size().to_vec2(),
                middle: bounds.center() - Vec2::new(lay.usable.0, 0.0),
            })
        });
        Self {
            name: name.to_owned(),
            width: lay.usable.1 - lay.usable.0,
            length: lay.length,
            pieces: pieces.collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn item() -> Item {
        Item {
            name: "welt".into(),
            kind: "welt".into(),
            ..Item::new(0, Vec::new())
        }
    }

    #[test]
    fn the_sides_of_a_piece_lie_as_a_pair_did() {
        let one = |side: Side| Item {
            side: Some(side),
            pair: Some("forepart".into()),
            ..item()
        };
        let sides = [Side::Left, Side::Right].map(one);
        let found = [&sides[0], &sides[1]].map(|item| either_side(item, false));
        assert_eq!(found, [("forepart", true), ("forepart", false)]);
        // Cut for one side, but of no pair: its name and its hand are its own.
        let welt = Item {
            side: Some(Side::Left),
            ..item()
        };
        assert_eq!(either_side(&welt, true), ("welt", true));
    }
}
