//! What lies elsewhere on a piece already cut besides its seams: notches, pockets, darts, holes, folds.

use crate::draft::{DraftEdge, DraftNotch, DraftPiece, Mark, MarkKind, Part};
use crate::geometry::{length, point_at, tangent_at};
use crate::order::length::Unit;
use kurbo::{Affine, BezPath, Point, Vec2};

/// What moves by less than this is left alone, mm: a chalk line is as thick.
pub(super) const LEAST: f64 = 1.5;
/// Half the length of the line a notch is shown by, mm.
const TICK: f64 = 6.0;

/// A notch or a mark that lies elsewhere than on the piece that was cut. Lengths in mm, in the frame of the
/// new piece laid on the old one.
#[derive(Debug, Clone, PartialEq)]
pub struct MovedMark {
    /// What it is: `hip pocket`, `front pitch notch`.
    pub name: String,
    /// What becomes of it.
    pub change: Change,
    /// What it asks for on the coat already cut.
    pub work: Work,
    /// Its line on the piece that was cut; empty where it is new.
    pub was: BezPath,
    /// Its line now; empty where there is none any more.
    pub now: BezPath,
}

/// What becomes of a mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// It lies so far off, where it moves most; a notch, along its seam.
    Moved(Vec2),
    /// It was not there.
    New,
    /// It is there no more.
    Gone,
}

/// What a mark that moves asks for on the coat already cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Work {
    /// A notch: chalked or tacked anew.
    Notch,
    /// The mouth of a pocket, or a welt: it cannot move once it is cut.
    Mouth,
    /// What is sewn on: a patch, a loop, a strap.
    SewnOn,
    /// A dart or a wedge, which is sewn anew as long as it is not cut open.
    Dart,
    /// A buttonhole, which cannot move once it is worked.
    Hole,
    /// A button.
    Button,
    /// A fold or a crease, pressed anew.
    Fold,
}

impl Work {
    /// What a mark of a kind asks for. `None` for levels and drill holes, which only show the way, for
    /// stitching, which is done last, and for what follows another mark: the eye of a hole, the line that
    /// a pleat is laid to.
    fn of(kind: MarkKind) -> Option<Self> {
        use MarkKind as Kind;
        match kind {
            Kind::PocketMouth | Kind::CutMouth | Kind::Welt | Kind::Slash => Some(Work::Mouth),
            Kind::Patch | Kind::Flap | Kind::Strap | Kind::Buckle | Kind::Loop | Kind::Zip => {
                Some(Work::SewnOn)
            }
            Kind::Dart | Kind::Wedge => Some(Work::Dart),
            Kind::Buttonhole | Kind::OpenButtonhole | Kind::InnerButtonhole => Some(Work::Hole),
            Kind::Button | Kind::InnerButton => Some(Work::Button),
            Kind::Fold
            | Kind::RollLine
            | Kind::VentFold
            | Kind::Crease
            | Kind::Pleat
            | Kind::TurnUpFoot
            | Kind::TurnUpTop => Some(Work::Fold),
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
            Work::Notch => "",
            Work::Mouth => "cannot move once it is cut",
            Work::SewnOn => "taken off and sewn on anew",
            Work::Dart => "sewn anew, if it is not cut open",
            Work::Hole => "cannot move once it is worked",
            Work::Button => "sewn on elsewhere",
            Work::Fold => "pressed anew",
        }
    }
}

impl MovedMark {
    /// In words: `hip pocket: 0.5 cm lower, cannot move once it is cut`.
    pub(super) fn in_words(&self, across: Across) -> String {
        let name = &self.name;
        match self.change {
            Change::Moved(by) => {
                let by = across.words(by).join(" and ");
                match self.work.in_words() {
                    "" => format!("{name} {by}"),
                    work => format!("{name}: {by}, {work}"),
                }
            }
            Change::New => format!("{name}: not there before"),
            Change::Gone => format!("{name}: there no more"),
        }
    }
}

/// What a piece's two directions across the grain are called: to greater x, and to less.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Across(&'static str, &'static str);

impl Across {
    /// Of a piece, which may lie turned over.
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

    /// A way in words, as far as it is worth a word: `0.5 cm lower`, `0.3 cm further back`.
    pub(super) fn words(self, by: Vec2) -> Vec<String> {
        let way = |mm: f64, plus: &str, minus: &str, least: f64| {
            let word = if mm > 0.0 { plus } else { minus };
            (mm.abs() >= least).then(|| format!("{} {word}", Unit::Cm.show(mm.abs())))
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

/// The notches and marks of one piece, in its frame.
pub(super) struct Marked<'a> {
    pub edges: &'a [DraftEdge],
    pub notches: &'a [DraftNotch],
    pub marks: &'a [Mark],
}

impl Marked<'_> {
    /// Where a notch lies, and the way of its seam there.
    fn place(&self, notch: &DraftNotch) -> Option<(Point, Vec2)> {
        let edge = self.edges.iter().find(|edge| edge.name == notch.edge)?;
        let at = point_at(&edge.path, notch.at);
        Some((at, tangent_at(&edge.path, notch.at)))
    }

    /// What of `now`, laid on this piece with a shift, lies elsewhere.
    pub(super) fn moved(&self, now: &Marked, shift: Vec2) -> Vec<MovedMark> {
        let mut found = self.notches_moved(now, shift);
        let mut names: Vec<&str> = Vec::new();
        for mark in now.marks.iter().chain(self.marks) {
            if !names.contains(&mark.name.as_str()) {
                names.push(&mark.name);
            }
        }
        found.extend(
            names
                .into_iter()
                .filter_map(|name| self.mark_moved(now, name, shift)),
        );
        found
    }

    fn notches_moved(&self, now: &Marked, shift: Vec2) -> Vec<MovedMark> {
        let moved = |(i, notch): (usize, &DraftNotch)| {
            // Of several of one name each has its own.
            let before = now.notches.iter().take(i);
            let nth = before.filter(|n| n.name == notch.name).count();
            let own = |n: &&DraftNotch| n.name == notch.name;
            let old = self.notches.iter().filter(own).nth(nth)?;
            let ((was, old_along), (at, along)) = (self.place(old)?, now.place(notch)?);
            let at = at + shift;
            let by = along * (at - was).dot(along);
            let tick = |at: Point, along: Vec2| {
                let across = along.turn_90() * TICK;
                let mut path = BezPath::new();
                path.move_to(at - across);
                path.line_to(at + across);
                path
            };
            (by.hypot() >= LEAST).then(|| MovedMark {
                name: format!("{} notch", notch.name),
                change: Change::Moved(by),
                work: Work::Notch,
                was: tick(was, old_along),
                now: tick(at, along),
            })
        };
        now.notches.iter().enumerate().filter_map(moved).collect()
    }

    /// Of all marks of a name, the one that moves most.
    fn mark_moved(&self, now: &Marked, name: &str, shift: Vec2) -> Option<MovedMark> {
        let of = |marks: &'_ [Mark]| -> Vec<Mark> {
            let own = marks.iter().filter(|mark| mark.name == name);
            own.cloned().collect()
        };
        let (was, now) = (of(self.marks), of(now.marks));
        let work = Work::of(now.first().or(was.first())?.kind)?;
        let laid = |mark: &Mark| Affine::translate(shift) * mark.path.clone();
        let moves = was.iter().zip(&now).map(|(was, now)| {
            let now = laid(now);
            let by = most_moved(&was.path, &now);
            (by, was.path.clone(), now)
        });
        let most = moves.max_by(|a, b| a.0.hypot().total_cmp(&b.0.hypot()));
        let (change, was, now) = match most {
            _ if now.len() > was.len() => (
                Change::New,
                BezPath::new(),
                now.get(was.len()).map(laid).unwrap_or_default(),
            ),
            _ if now.len() < was.len() => (
                Change::Gone,
                was.get(now.len())
                    .map(|m| m.path.clone())
                    .unwrap_or_default(),
                BezPath::new(),
            ),
            Some((by, was, now)) if by.hypot() >= LEAST => (Change::Moved(by), was, now),
            _ => return None,
        };
        Some(MovedMark {
            name: name.to_owned(),
            change,
            work,
            was,
            now,
        })
    }
}

/// The greatest of the ways between places of two lines.
fn most_moved(was: &BezPath, now: &BezPath) -> Vec2 {
    let (a, b) = (length(was), length(now));
    let places = [0.0, 0.25, 0.5, 0.75, 1.0];
    let ways = places.map(|part| point_at(now, part * b) - point_at(was, part * a));
    let most = ways
        .into_iter()
        .max_by(|a, b| a.hypot().total_cmp(&b.hypot()));
    most.unwrap_or_default()
}
