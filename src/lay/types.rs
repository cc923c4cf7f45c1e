//! What the lay takes and what it gives. On the cloth x runs across from the left selvedge and y
//! along it from the cut end; lengths in mm, angles in degrees.

use super::kept::{self, Kept};
use super::length::Buying;
use super::search::TURNS;
use crate::draft::Count;
use crate::order::{self, Face, Layout, Side};
use kurbo::{Affine, Point, Vec2};
use std::fmt;
use std::sync::atomic::AtomicBool;

/// One outline to lay, and how often. The lay knows nothing else about a piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// The caller's own number for it, given back in [`Placement::piece`].
    pub piece: usize,
    /// What to call it in a fault or a note.
    pub name: String,
    /// The side it is cut for, if it is cut for one alone.
    pub side: Option<Side>,
    /// Name of its pair, if it is one side of a pair whose sides are cut by themselves.
    pub pair: Option<String>,
    /// The outline: a polygon round the cut line that nowhere lies inside it. Not closed by
    /// repeating its first corner; either way round.
    pub outline: Vec<Point>,
    /// Holes in it, in which smaller pieces may be laid.
    pub holes: Vec<Vec<Point>>,
    /// How much of the outline's area lies outside the cut line, mm²: no cloth that the piece uses.
    pub spare: f64,
    /// How many are cut, and whether half of them are mirrored about the grain.
    pub count: Count,
    /// Direction of the grain in the outline's own coordinates: what lies with it down the cloth reads as
    /// the cloth does.
    pub grain: Vec2,
    /// The ways it may lie: turns in degrees from the grain running down the cloth.
    pub turns: Vec<f64>,
    /// How far it may be tilted from each of these either way, degrees; on a patterned cloth it is not.
    pub off_grain: f64,
    /// A point of the line along the grain about which both sides of the outline are the same, if from
    /// doubled cloth it is to be cut on the fold.
    pub fold: Option<Point>,
    /// Where it must meet others on the pattern of the cloth.
    pub matches: Vec<Match>,
}

/// A point of an item that must come to lie on the pattern as a point of another does, or as the
/// same point of its own mirrored copies does.
///
/// The pattern is taken as the same seen from either side of its bars, as that of an even check or
/// stripe is: the other of a pair is mirrored about them, and a piece laid head to foot shows the
/// same pattern. A cloth of which that is not true is laid one way.
#[derive(Debug, Clone, PartialEq)]
pub struct Match {
    /// What it is called in a fault: `side seam at the chest line`.
    pub name: String,
    /// The point, in the item's own coordinates.
    pub at: Point,
    /// The other item's [`Item::piece`]; the item's own for the two of a pair.
    pub partner: usize,
    /// The other's point, in its own coordinates.
    pub partner_at: Point,
    /// Whether the stripes that run along must meet: the places across.
    pub across: bool,
    /// Whether the bars that run across must meet: the places along.
    pub along: bool,
    /// Whether one of the two outlines is given turned over, so that across it must see the pattern from
    /// the other side of the bars than the other does.
    pub opposed: bool,
}

/// The cloth and how it is laid. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct ClothRules {
    /// Full width, selvedge to selvedge.
    pub width: f64,
    /// Width lost at each selvedge.
    pub selvedge: f64,
    /// Single ply, or folded lengthwise with the selvedges together.
    pub layout: Layout,
    /// Which side of the cloth is up. Outlines show its face: with that down, each is laid mirrored.
    pub face: Face,
    /// Free space between pieces for the knife or shears.
    pub gap: f64,
    /// The longest lay the cloth or the table allows.
    pub longest: Option<f64>,
    /// Repeat of the pattern across and along; 0 for none.
    pub repeat: Vec2,
    /// Lengths of pieces of cloth that are used before the long one.
    pub remnants: Vec<f64>,
}

impl ClothRules {
    /// The rules an order states for its cloth. Of a piece at hand its ends and what it will shrink
    /// by are not laid on.
    pub fn new(cloth: &order::Cloth, buying: &Buying) -> Self {
        let usable = |&length: &f64| (length / (1.0 + buying.shrinkage) - buying.ends).max(0.0);
        Self {
            width: cloth.width,
            selvedge: cloth.selvedge,
            layout: cloth.layout,
            face: cloth.face,
            gap: cloth.gap,
            longest: None,
            repeat: Vec2::new(cloth.repeat_across, cloth.repeat_along),
            remnants: cloth.remnants.iter().map(usable).collect(),
        }
    }

    /// Where each of the pieces of cloth begins and ends along the lay, and where the long one begins:
    /// they lie one after another, a gap apart.
    pub fn pieces(&self) -> (Vec<(f64, f64)>, f64) {
        let mut start = 0.0;
        let mut pieces = Vec::new();
        for length in &self.remnants {
            pieces.push((start, start + length));
            start += length + self.gap;
        }
        (pieces, start)
    }

    /// Width of the cloth as it lies: half of it when folded.
    pub fn lying_width(&self) -> f64 {
        match self.layout {
            Layout::Open => self.width,
            Layout::Doubled => self.width / 2.0,
        }
    }

    /// Left and right limits of what may be used. Folded, the fold lies at the right and is
    /// usable to the fold.
    pub fn usable(&self) -> (f64, f64) {
        match self.layout {
            Layout::Open => (self.selvedge, self.width - self.selvedge),
            Layout::Doubled => (self.selvedge, self.width / 2.0),
        }
    }
}

/// How long to search.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Effort {
    /// So many rounds: the same lay on every machine, however busy.
    Rounds(u32),
    /// So many seconds of the clock: the same lay only by luck.
    Seconds(f64),
}

/// How to search.
#[derive(Clone, Copy)]
pub struct Search<'a> {
    /// Seed of every choice left to chance.
    pub seed: u64,
    /// How long to search.
    pub effort: Effort,
    /// Searches that go on side by side, each with its own chance, and learn from each other after
    /// every round: each round takes as much more work.
    pub searchers: usize,
    /// Threads to use; 0 for those of the caller's pool that are free. With [`Effort::Rounds`] the lay does
    /// not depend on it.
    pub threads: usize,
    /// Lays of such pieces from which the search may start; they need not fit.
    pub kept: &'a [Kept],
    /// Set to stop with the best lay so far.
    pub cancel: Option<&'a AtomicBool>,
    /// Told of every shorter lay, as it is found.
    pub progress: Option<&'a (dyn Fn(Progress) + Sync)>,
}

impl Default for Search<'_> {
    /// A few seconds for a suit, the same on every machine.
    fn default() -> Self {
        Self {
            seed: 1,
            effort: Effort::Rounds(TURNS[2]),
            searchers: 2,
            threads: 2,
            kept: kept::kept(),
            cancel: None,
            progress: None,
        }
    }
}

impl fmt::Debug for Search<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Search")
            .field("seed", &self.seed)
            .field("effort", &self.effort)
            .field("searchers", &self.searchers)
            .field("threads", &self.threads)
            .finish_non_exhaustive()
    }
}

/// How a search is getting on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// Length of the best lay so far, mm.
    pub length: f64,
    /// How much of the search is done, 0 to 1.
    pub done: f64,
}

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
    /// Length used of the long cloth after them.
    pub bought: f64,
    /// Area of the pieces over the usable area of that length, 0 to 1; when doubled, of both plies.
    pub efficiency: f64,
    /// Where the pattern of the cloth begins: a place where its bars meet, if it has a pattern. Across
    /// it is the middle of the cloth, where doubled cloth is folded.
    pub pattern_at: Point,
    /// Where each piece lies: one row for each cut.
    pub placements: Vec<Placement>,
    /// What the cutter should know about this lay, such as the cloth wasted under single pieces.
    pub notes: Vec<String>,
}

/// Where the pieces of a lay lie, as far as another can be begun from it.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// Its [`Lay::pattern_at`].
    pub pattern_at: Point,
    /// Its [`Lay::placements`].
    pub placements: Vec<Placement>,
}

impl Lay {
    /// Where its pieces lie.
    pub fn standing(&self) -> Standing {
        Standing {
            pattern_at: self.pattern_at,
            placements: self.placements.clone(),
        }
    }
}

/// One cut: a copy of a piece on the cloth, or both of a pair through the two plies.
#[derive(Debug, Clone, PartialEq)]
pub struct Placement {
    /// The piece's number, as [`Item::piece`] gave it.
    pub piece: usize,
    /// Which copy (or which pair, when cut through two plies), from 0.
    pub copy: u32,
    /// Whether it lies mirrored (the other of a pair).
    pub mirrored: bool,
    /// Turned by so many degrees from the grain down the cloth, after any mirroring.
    pub degrees: f64,
    /// How many of these are a tilt off the grain that the piece allows.
    pub tilt: f64,
    /// Plies cut through: 2 where a pair is cut from doubled cloth, or one on its fold; otherwise 1.
    pub plies: u32,
    /// Whether half of it lies on the fold of the cloth, its other half under that.
    pub on_fold: bool,
    /// From the piece's own coordinates to the cloth.
    pub transform: Affine,
}

/// Why no lay could be made.
#[derive(Debug, Clone, PartialEq)]
pub enum LayFault {
    /// An outline has no area, crosses itself, or lies where no cloth is.
    Outline {
        /// The piece.
        name: String,
    },
    /// A piece fits the cloth in none of the ways it may lie.
    TooWide {
        /// The piece.
        name: String,
        /// Least width it needs, mm.
        needs: f64,
        /// Width that may be used, mm.
        usable: f64,
    },
    /// A piece has no place on the cloth where its pattern matches.
    OffPattern {
        /// The piece.
        name: String,
    },
    /// Points that must match contradict one another.
    Matching {
        /// The match that does not hold.
        name: String,
        /// The two pieces.
        pieces: (String, String),
        /// How far they miss on the pattern, mm.
        by: f64,
    },
    /// The pieces need more than the longest lay allowed.
    TooLong {
        /// Best length found, mm.
        needs: f64,
        /// Longest allowed, mm.
        longest: f64,
    },
    /// The finished lay did not pass its own check: a fault of this program, never the order's.
    Unsound {
        /// What the check found.
        found: String,
    },
}

impl fmt::Display for LayFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LayFault::Outline { name } => {
                write!(
                    f,
                    "the outline of {name} cannot be laid: it encloses no area, crosses itself, is beyond \
                     all measure or has a hole that is not in it"
                )
            }
            LayFault::TooWide {
                name,
                needs,
                usable,
            } => write!(
                f,
                "{name} needs {:.1} cm across the cloth and only {:.1} cm can be used",
                needs / 10.0,
                usable / 10.0
            ),
            LayFault::OffPattern { name } => write!(
                f,
                "{name} has no place across the cloth where the pattern matches: it is too wide for \
                 the repeat; lay it on wider cloth or open"
            ),
            LayFault::Matching { name, pieces, by } => write!(
                f,
                "the pattern cannot match at the {name}: {} and {} would miss by {by:.1} mm, held by \
                 their other matches",
                pieces.0, pieces.1
            ),
            LayFault::TooLong { needs, longest } => write!(
                f,
                "the lay needs {:.1} cm and only {:.1} cm may be used",
                needs / 10.0,
                longest / 10.0
            ),
            LayFault::Unsound { found } => write!(
                f,
                "the lay did not pass its check ({found}); nothing was laid. Please report this fault"
            ),
        }
    }
}

impl std::error::Error for LayFault {}
