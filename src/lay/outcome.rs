//! What a search gives: where each piece lies on the cloth. On the cloth x runs across from the left
//! selvedge and y along it from the cut end; lengths in mm, angles in degrees.

use crate::order::{Face, Layout};
use crate::units::Unit;
use kurbo::{Affine, Point};

/// Pieces placed on one cloth.
#[derive(Debug, Clone, PartialEq)]
pub struct Lay {
    /// Width of the cloth as it lies: full, or half of it when doubled.
    pub cloth_width: f64,
    /// Open or doubled.
    pub layout: Layout,
    /// Which side of the cloth is up.
    pub face: Face,
    /// Left and right limits of what may be used.
    pub usable: (f64, f64),
    /// Where the pieces end. Pieces of cloth at hand lie before the long one, and count.
    pub length: f64,
    /// Where each of the pieces of cloth at hand begins and ends.
    pub at_hand: Vec<(f64, f64)>,
    /// Where each section that lies on the table by itself begins and ends; empty where the whole lay lies on it.
    pub sections: Vec<(f64, f64)>,
    /// Length used of the long cloth after them.
    pub bought: f64,
    /// Area of the pieces over the usable area of that length, 0 to 1; when doubled, of both plies.
    pub efficiency: f64,
    /// Where the pattern of the cloth begins: a place where its bars meet, if it has a pattern. Across, it
    /// is the middle of the cloth, where doubled cloth is folded.
    pub pattern_at: Point,
    /// Where each piece lies: one row for each cut.
    pub placements: Vec<Placement>,
    /// What the cutter should know about this lay, such as the cloth wasted under single pieces.
    pub notes: Vec<Note>,
}

/// What the cutter should know about a lay. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub enum Note {
    /// A piece is cut through one ply of two.
    LeftOver {
        /// The piece.
        name: String,
        /// Area of the cloth under it, in mm².
        area: f64,
    },
    /// Where a piece of cloth at hand lies along the lay.
    AtHand {
        /// Its number, from 1.
        number: usize,
        /// Where it begins and ends.
        between: (f64, f64),
    },
    /// The lay is cut across into sections that lie on the table one after another.
    Sections {
        /// Where each begins and ends.
        between: Vec<(f64, f64)>,
    },
    /// The search was stopped before its end.
    Stopped,
}

impl Note {
    /// Says it in words, in the reader's unit.
    pub fn words(&self, unit: Unit) -> String {
        match self {
            Self::LeftOver { name, area } => format!(
                "{name} is cut through the upper ply only: {} of cloth under it is left over",
                unit.area(*area)
            ),
            Self::AtHand {
                number,
                between: (from, to),
            } => format!(
                "piece {number} of the cloth in stock lies from {} to {}",
                unit.number(*from),
                unit.show(*to)
            ),
            Self::Sections { between } => {
                let lengths = between.iter().map(|(from, to)| unit.show(to - from));
                let lengths: Vec<String> = lengths.collect();
                format!(
                    "laid in {} sections, cut straight across between them: {}",
                    between.len(),
                    lengths.join(", ")
                )
            }
            Self::Stopped => {
                "The search was stopped early; a longer search may find a shorter lay.".to_owned()
            }
        }
    }
}

/// Placements of an earlier lay, from which another search can start.
#[derive(Debug, Clone, PartialEq)]
pub struct WarmStart {
    /// The earlier lay's [`Lay::pattern_at`].
    pub pattern_at: Point,
    /// Its [`Lay::placements`].
    pub placements: Vec<Placement>,
}

impl Lay {
    /// Returns its placements for another search to start from.
    pub fn warm_start(&self) -> WarmStart {
        WarmStart {
            pattern_at: self.pattern_at,
            placements: self.placements.clone(),
        }
    }
}

/// One cut: a copy of a piece on the cloth, or both of a pair through the two plies.
#[derive(Debug, Clone, PartialEq)]
pub struct Placement {
    /// The piece's number, as [`Item::piece`](super::Item::piece) gave it.
    pub piece: usize,
    /// Which copy (or which pair, when cut through two plies), from 0.
    pub copy: u32,
    /// Whether it lies mirrored (the other of a pair).
    pub mirrored: bool,
    /// Turn in degrees from the grain down the cloth, after any mirroring.
    pub degrees: f64,
    /// How many of these degrees are a tilt off the grain, as the piece allows.
    pub tilt: f64,
    /// Plies cut through: 2 where a pair is cut from doubled cloth, or one piece on its fold; otherwise 1.
    pub plies: u32,
    /// Whether half of it lies on the fold of the cloth, its other half under that.
    pub on_fold: bool,
    /// From the piece's own coordinates to the cloth.
    pub transform: Affine,
}
