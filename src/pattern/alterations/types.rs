//! What a fitting moves, as it is told to the cutter: pieces, seams and marks. Lengths in mm.

use crate::draft::{DraftPiece, MarkKind, Part};
use crate::order::length::Unit;
use kurbo::{BezPath, Point, Vec2};

/// Least distance that is worth moving, mm: a chalk line is as thick.
pub(super) const LEAST: f64 = 1.5;
/// Greatest lack of cloth, mm, at which a seam can still be let out.
pub(super) const SLACK: f64 = 0.25;

/// A piece that differs from the one that was cut. Lines in the new draft's frame, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct MovedPiece {
    /// The garment.
    pub garment: String,
    /// The piece, by its new name.
    pub piece: String,
    /// Way from where the new piece was drafted to where the cloth allows the most.
    pub shift: Vec2,
    /// The line the old piece was cut by.
    pub cut: BezPath,
    /// Its seam line.
    pub was: BezPath,
    /// The new seam line, laid on it.
    pub now: BezPath,
    /// Seams that move.
    pub seams: Vec<MovedSeam>,
    /// Notches, pockets, darts, holes and folds that move.
    pub marks: Vec<MovedMark>,
    /// Words for its two directions across the grain.
    pub across: Across,
}

/// A seam that moves on the piece that was cut. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct MovedSeam {
    /// The edge.
    pub edge: String,
    /// Distance that it lies outside the old seam line, where that is hardest to give.
    pub needs: f64,
    /// Greatest distance that it lies inside the old seam line.
    pub takes_in: f64,
    /// Width of cloth left there beyond a plain seam, beyond the least that a plain seam is sewn with, or beyond
    /// the least that a hem turns up.
    pub leaves: f64,
    /// Kind of allowance that leaves it.
    pub room: Room,
    /// Place on the new seam line where it moves most.
    pub at: Point,
    /// Unit vector out of the piece there.
    pub outward: Vec2,
}

/// The kind of allowance that the cloth for letting out comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// An inlay, which is left for letting out.
    Inlay,
    /// A hem, which turns up less.
    Hem,
    /// A plain seam, which is sewn narrower.
    Seam,
}

impl MovedSeam {
    /// Returns whether the cloth already cut has room for it.
    pub fn allowed(&self) -> bool {
        self.needs <= self.leaves + SLACK
    }

    /// Says it in words: `side seam needs 0.8 cm, inlay leaves 1.5 cm: can be let out`.
    pub fn in_words(&self, unit: Unit) -> String {
        let cm = |mm: f64| amount(mm, unit);
        let edge = &self.edge;
        if self.needs < LEAST {
            return format!("{edge}: {} to take in", cm(self.takes_in));
        }
        let (from, done) = match self.room {
            Room::Inlay => ("inlay", "can be let out"),
            Room::Hem => ("hem", "can be let down"),
            Room::Seam => ("seam", "can be sewn narrower"),
        };
        let mut verdict = if self.allowed() { done } else { "recut" }.to_owned();
        if self.allowed() && self.takes_in >= LEAST {
            verdict += &format!(", and {} taken in elsewhere", cm(self.takes_in));
        }
        let leaves = match self.leaves {
            mm if mm < 0.5 => format!("no {}", if from == "seam" { "inlay" } else { from }),
            mm => format!("{from} leaves {}", cm(mm)),
        };
        format!("{edge} needs {}, {leaves}: {verdict}", cm(self.needs))
    }
}

impl MovedPiece {
    /// Returns whether the piece that was cut is large enough.
    pub fn allowed(&self) -> bool {
        self.seams.iter().all(MovedSeam::allowed)
    }

    /// Says how the piece is laid on the old one, if that is not as drafted: `laid 1.5 cm lower`.
    pub fn laid(&self, unit: Unit) -> Option<String> {
        let far = self.shift.x.abs().max(self.shift.y.abs()) >= LEAST;
        let ways = || self.across.words(self.shift, unit).join(" and ");
        far.then(|| format!("lay {} on the cloth already cut", ways()))
    }

    /// Says what moves on it besides its seams, a line each, all notches in one.
    pub fn carried(&self, unit: Unit) -> Vec<String> {
        let words = |mark: &MovedMark| mark.in_words(self.across, unit);
        let (notches, others): (Vec<_>, Vec<_>) =
            self.marks.iter().partition(|mark| mark.work == Work::Notch);
        let notches: Vec<String> = notches.into_iter().map(words).collect();
        let chalked = format!("chalk again: {}", notches.join("; "));
        let first = (!notches.is_empty()).then_some(chalked);
        first
            .into_iter()
            .chain(others.into_iter().map(words))
            .collect()
    }
}

/// Everything that a fitting moves.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Moves {
    /// Pieces of the cloth that differ from those that were cut.
    pub pieces: Vec<MovedPiece>,
    /// Pieces of the cloth that were not cut before, or were cut as parts of others: garment and name.
    pub new: Vec<(String, String)>,
    /// Pieces of other materials that differ, pairs by the name they share: garment and name. They are cut only
    /// after the fitting, or cut again.
    pub others: Vec<(String, String)>,
}

/// A notch or a mark that moves on the piece that was cut. Lengths in mm, in the frame of the new piece laid on
/// the old one.
#[derive(Debug, Clone, PartialEq)]
pub struct MovedMark {
    /// Name: `hip pocket`, `front pitch notch`.
    pub name: String,
    /// Change of its place.
    pub change: Change,
    /// Work that it makes on the garment already cut.
    pub work: Work,
    /// Line on the piece that was cut; empty where the mark is new.
    pub was: BezPath,
    /// Line on the new piece; empty where the mark is gone.
    pub now: BezPath,
}

/// A change of a mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// It moves by this vector, measured where it moves most; a notch moves along its seam.
    Moved(Vec2),
    /// It was not there before.
    New,
    /// It is no longer there.
    Gone,
}

/// The work that a mark makes on the garment already cut when it moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Work {
    /// A notch is chalked or tacked anew.
    Notch,
    /// The mouth of a pocket, or a welt, cannot be moved once it is cut.
    Mouth,
    /// A patch, a loop or a strap is take off and sew on again.
    SewnOn,
    /// A dart or a wedge is sewn anew, as long as it is not cut open.
    Dart,
    /// A buttonhole cannot be moved once it is worked.
    Hole,
    /// A button is move it.
    Button,
    /// A fold or a crease is press again.
    Fold,
}

impl Work {
    /// Returns the work for a kind of mark. It is `None` for levels and drill holes, which only guide the
    /// making, for stitching, which is done last, and for marks that follow another one, such as the eye of a
    /// hole or the line that a pleat is laid to.
    pub(super) fn of(kind: MarkKind) -> Option<Self> {
        use MarkKind as Kind;
        match kind {
            Kind::PocketMouth | Kind::CutMouth | Kind::Welt | Kind::Slash => Some(Self::Mouth),
            Kind::Patch
            | Kind::Flap
            | Kind::Strap
            | Kind::Buckle
            | Kind::Braid
            | Kind::Loop
            | Kind::Zip => Some(Self::SewnOn),
            Kind::Dart | Kind::Wedge => Some(Self::Dart),
            Kind::Buttonhole | Kind::OpenButtonhole | Kind::InnerButtonhole => Some(Self::Hole),
            Kind::Button | Kind::InnerButton => Some(Self::Button),
            Kind::Fold
            | Kind::RollLine
            | Kind::VentFold
            | Kind::Crease
            | Kind::Pleat
            | Kind::TurnUpFoot
            | Kind::TurnUpTop => Some(Self::Fold),
            Kind::Stitching
            | Kind::Eye
            | Kind::PleatLaid
            | Kind::VentSeam
            | Kind::Lapel
            | Kind::MeetsFront
            | Kind::MeetsSide
            | Kind::CentreFront
            | Kind::ChestLine
            | Kind::WaistLine
            | Kind::ForkLine
            | Kind::Level
            | Kind::Drill => None,
        }
    }

    fn in_words(self) -> &'static str {
        match self {
            // All notches of a piece are told together.
            Self::Notch => "",
            Self::Mouth => "cannot be moved once it is cut",
            Self::SewnOn => "take off and sew on again",
            Self::Dart => "sew again, if it is not cut open",
            Self::Hole => "cannot be moved once it is worked",
            Self::Button => "move it",
            Self::Fold => "press again",
        }
    }
}

impl MovedMark {
    /// Says it in words: `hip pocket: 0.5 cm lower, cannot be moved once it is cut`.
    pub(super) fn in_words(&self, across: Across, unit: Unit) -> String {
        let name = &self.name;
        match self.change {
            Change::Moved(by) => {
                let by = across.words(by, unit).join(" and ");
                match self.work.in_words() {
                    "" => format!("{name} {by}"),
                    work => format!("{name}: {by}, {work}"),
                }
            }
            Change::New => format!("{name}: new"),
            Change::Gone => format!("{name}: removed"),
        }
    }
}

/// Writes how far something moves: to the millimetre, or to the sixteenth of an inch.
fn amount(mm: f64, unit: Unit) -> String {
    match unit {
        Unit::Cm => unit.show(mm),
        Unit::Inch => unit.small(mm),
    }
}

/// Words for the two directions across the grain of a piece: towards greater x, and towards smaller x.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Across(&'static str, &'static str);

impl Across {
    /// Returns the words for a piece, which may lie turned over.
    pub(super) fn of(piece: &DraftPiece) -> Self {
        let leg = piece.is_part(Part::TopSide) || piece.is_part(Part::UnderSide);
        let (more, less) = if leg {
            ("further in", "further out")
        } else {
            ("further forward", "further back")
        };
        if piece.turned_at.is_some() {
            Self(less, more)
        } else {
            Self(more, less)
        }
    }

    /// Says a way in words: `0.5 cm lower`, `0.3 cm further back`. Parts of it that are too short to matter are
    /// left out.
    pub(super) fn words(self, by: Vec2, unit: Unit) -> Vec<String> {
        let way = |mm: f64, plus: &str, minus: &str, least: f64| {
            let word = if mm > 0.0 { plus } else { minus };
            (mm.abs() >= least).then(|| format!("{} {word}", amount(mm.abs(), unit)))
        };
        // The longer of both is told, however short it is.
        let most = by.x.abs().max(by.y.abs());
        let least = LEAST.min(most);
        let ways = [
            way(by.y, "lower", "higher", least),
            way(by.x, self.0, self.1, least),
        ];
        ways.into_iter().flatten().collect()
    }
}
