//! What a fitting moves: every seam that lies elsewhere than on the coat already cut, and whether
//! the cloth that was left there allows it; and the pockets, darts, holes and notches that move on it.
//!
//! All of it is measured on the pieces: each new piece is laid on the old one, and square to its seams
//! the way is measured to the old seam line and to the line the cloth was cut by.

use super::carried::{Across, LEAST, Marked, MovedMark, Work};
use super::laid::{Laid, SLACK, Seam, run_on};
use crate::draft::{Draft, DraftEdge, DraftNotch, DraftPiece, Mark, Material};
use crate::geometry::{Corner, joined, length, point_at};
use crate::order::{House, HouseNumber, Side, length::Unit};
use crate::pattern::allowance::Allowances;
use crate::pattern::{Pattern, PatternFault};
use kurbo::{Affine, BezPath, Point, Vec2};

/// A piece that is no longer what was cut. Lines in the new draft's frame, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct MovedPiece {
    /// The garment.
    pub garment: String,
    /// The piece, by its new name.
    pub piece: String,
    /// How far the new piece is laid from where it was drafted, so that what was cut allows the most.
    pub shift: Vec2,
    /// The line the old piece was cut by.
    pub cut: BezPath,
    /// Its seam line.
    pub was: BezPath,
    /// The new seam line, laid on it.
    pub now: BezPath,
    /// The seams that lie elsewhere.
    pub seams: Vec<MovedSeam>,
    /// The notches, pockets, darts, holes and folds that lie elsewhere.
    pub marks: Vec<MovedMark>,
    /// What its directions are called.
    pub across: Across,
}

/// A seam that lies elsewhere than on the piece that was cut. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct MovedSeam {
    /// The edge.
    pub edge: String,
    /// How far it lies outside the old seam line, where that is hardest to give.
    pub needs: f64,
    /// How far it lies inside the old seam line, at most.
    pub takes_in: f64,
    /// What the cloth leaves there beyond a plain seam, beyond the narrowest that a plain seam is sewn, or
    /// beyond the least that a hem turns up.
    pub leaves: f64,
    /// What leaves it.
    pub room: Room,
    /// Where it moves most, on the new seam line.
    pub at: Point,
    /// Out of the piece there.
    pub outward: Vec2,
}

/// Where the cloth for letting out comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// An inlay, left for it.
    Inlay,
    /// What is turned up.
    Hem,
    /// A plain seam that can be sewn narrower.
    Seam,
}

impl MovedSeam {
    /// Whether the cloth already cut has room for it.
    pub fn allowed(&self) -> bool {
        self.needs <= self.leaves + SLACK
    }

    /// In words: `side seam needs 0.8 cm, inlay leaves 1.5 cm: can be let out`.
    pub fn in_words(&self) -> String {
        let cm = |mm: f64| Unit::Cm.show(mm);
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
    /// Whether the piece that was cut will do.
    pub fn allowed(&self) -> bool {
        self.seams.iter().all(MovedSeam::allowed)
    }

    /// How it lies on the old piece, where that is not as drafted: `laid 1.5 cm lower`.
    pub fn laid(&self) -> Option<String> {
        let far = self.shift.x.abs().max(self.shift.y.abs()) >= LEAST;
        let ways = || self.across.words(self.shift).join(" and ");
        far.then(|| format!("laid {} on the cloth already cut", ways()))
    }

    /// What lies elsewhere on it besides its seams, a line each, all notches in one.
    pub fn carried(&self) -> Vec<String> {
        let words = |mark: &MovedMark| mark.in_words(self.across);
        let (notches, others): (Vec<_>, Vec<_>) =
            self.marks.iter().partition(|mark| mark.work == Work::Notch);
        let notches: Vec<String> = notches.into_iter().map(words).collect();
        let chalked = format!("chalk anew: {}", notches.join("; "));
        let first = (!notches.is_empty()).then_some(chalked);
        first
            .into_iter()
            .chain(others.into_iter().map(words))
            .collect()
    }
}

/// Everything that lies elsewhere in `after` than in what was cut.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Moves {
    /// The pieces of the cloth.
    pub pieces: Vec<MovedPiece>,
    /// Pieces of the cloth that were not cut before, or in other pieces: garment and name.
    pub new: Vec<(String, String)>,
    /// Pieces of other materials that differ, pairs by the name they share: cut only after the fitting,
    /// or cut again.
    pub others: Vec<(String, String)>,
}

/// The moves from the drafts `before`, which were cut as `cut`, to those `after`.
///
/// # Errors
/// When the house lacks an allowance.
pub fn moves(
    house: &House,
    before: &[Draft],
    cut: &Pattern,
    after: &[Draft],
) -> Result<Moves, PatternFault> {
    let allowances = Allowances::new(house);
    let mut found = Moves::default();
    for draft in after {
        let Some(old) = before.iter().find(|d| d.garment == draft.garment) else {
            continue;
        };
        for piece in &draft.pieces {
            let whole = (draft.garment.clone(), piece.name.clone());
            let cuts = cuts_of(piece, old, cut);
            if piece.material != Material::Cloth {
                let whole = (draft.garment.clone(), piece.either_side().to_owned());
                if !cuts.iter().any(|c| c.is_alike(piece)) && !found.others.contains(&whole) {
                    found.others.push(whole);
                }
                continue;
            }
            if cuts.is_empty() {
                found.new.push(whole);
            }
            for was in cuts {
                let moved = was.moved(piece, &draft.garment, &allowances)?;
                found.pieces.extend(moved);
            }
        }
    }
    Ok(found)
}

/// A piece as it was cut, brought into the new draft's frame.
struct Cut {
    edges: Vec<DraftEdge>,
    notches: Vec<DraftNotch>,
    marks: Vec<Mark>,
    cut: BezPath,
    grain: Point,
}

/// The pieces that a new one replaces.
fn cuts_of(piece: &DraftPiece, old: &Draft, pattern: &Pattern) -> Vec<Cut> {
    let brought = |(was, over): (&DraftPiece, Affine)| {
        let pieces = &pattern.pieces;
        let cut = pieces
            .iter()
            .find(|p| p.garment == old.garment && p.name == was.name)?;
        let mut edges = was.edges.clone();
        for edge in &mut edges {
            edge.path.apply_affine(over);
        }
        // A pair bears the marks of both hands, one side of it its own.
        let other = piece.side.map(Side::other);
        let mut marks = was.marks.clone();
        marks.retain(|mark| other.is_none_or(|other| mark.side != Some(other)));
        for mark in &mut marks {
            mark.path.apply_affine(over);
        }
        Some(Cut {
            edges,
            notches: was.notches.clone(),
            marks,
            cut: over * cut.cut.clone(),
            grain: over * was.grain.0,
        })
    };
    let counterparts = old.counterparts(piece);
    counterparts.into_iter().filter_map(brought).collect()
}

impl Cut {
    /// Whether a new piece is this one, wherever it was drafted.
    fn is_alike(&self, piece: &DraftPiece) -> bool {
        let by = self.grain - piece.grain.0;
        self.edges.len() == piece.edges.len()
            && self.edges.iter().zip(&piece.edges).all(|(was, now)| {
                let (a, b) = (length(&was.path), length(&now.path));
                let places = (0..=4).map(|i| f64::from(i) / 4.0);
                was.name == now.name
                    && places.into_iter().all(|part| {
                        let now = point_at(&now.path, b * part) + by;
                        point_at(&was.path, a * part).distance(now) < 0.1
                    })
            })
    }

    /// What an edge of the new piece was on this one, as one, where a cut has parted it or parts it now; and
    /// its allowance.
    fn edge(&self, piece: &DraftPiece, edge: &DraftEdge) -> Option<(BezPath, &str)> {
        let parts = |name: &str| -> Vec<&DraftEdge> {
            let whole = |edge: &DraftEdge| edge.part_of.and_then(|id| self.edges.get(id.0));
            let own = |edge: &&DraftEdge| {
                edge.name == name || whole(edge).is_some_and(|whole| whole.name == name)
            };
            self.edges.iter().filter(own).collect()
        };
        let whole = edge.part_of.and_then(|id| piece.edges.get(id.0));
        let whole = match parts(&edge.name) {
            none if none.is_empty() => parts(&whole?.name),
            found => found,
        };
        let path = joined(whole.iter().map(|edge| &edge.path), 0.1);
        Some((path, &whole.first()?.allowance))
    }

    /// The new piece laid on this one, if anything of it moves.
    fn moved(
        &self,
        piece: &DraftPiece,
        garment: &str,
        allowances: &Allowances,
    ) -> Result<Option<MovedPiece>, PatternFault> {
        let mut seams = Vec::new();
        for edge in &piece.edges {
            if let Some((was, allowance)) = self.edge(piece, edge) {
                let (room, kept) = kept(allowance, allowances)?;
                seams.push(Seam {
                    name: &edge.name,
                    now: &edge.path,
                    was: run_on(&was),
                    room,
                    kept,
                });
            }
        }
        let now = outline(&piece.edges);
        let on = Laid {
            cut: &self.cut,
            now: &now,
            seams: &seams,
        };
        let (alike, on_grain) = (self.is_alike(piece), self.grain - piece.grain.0);
        let shift = if alike { on_grain } else { on.best(on_grain) };
        let moved: Vec<MovedSeam> = match alike {
            true => Vec::new(),
            false => seams.iter().filter_map(|s| on.measured(s, shift)).collect(),
        };
        let was = Marked {
            edges: &self.edges,
            notches: &self.notches,
            marks: &self.marks,
        };
        let now_marked = Marked {
            edges: &piece.edges,
            notches: &piece.notches,
            marks: &piece.marks,
        };
        let marks = was.moved(&now_marked, shift);
        if moved.is_empty() && marks.is_empty() {
            return Ok(None);
        }
        Ok(Some(MovedPiece {
            garment: garment.to_owned(),
            piece: piece.name.clone(),
            shift,
            cut: self.cut.clone(),
            was: outline(&self.edges),
            now: Affine::translate(shift) * now,
            seams: moved,
            marks,
            across: Across::of(piece),
        }))
    }
}

/// What an allowance is for, and how much of it cannot be given, mm: the seam of an inlay, the least that
/// a hem turns up, or the narrowest that a plain seam is sewn.
fn kept(allowance: &str, allowances: &Allowances) -> Result<(Room, f64), PatternFault> {
    let widths = allowances.widths(allowance)?;
    let narrowest = widths.iter().copied().fold(f64::INFINITY, f64::min);
    if let Some(seam) = allowances.seam_of_inlay(allowance)? {
        return Ok((Room::Inlay, seam));
    }
    let (room, least) = match allowances.corner(allowance)? {
        Corner::Mirror => (Room::Hem, HouseNumber::LeastHem),
        _ => (Room::Seam, HouseNumber::LeastSeam),
    };
    Ok((room, allowances.house().value(least).min(narrowest)))
}

fn outline(edges: &[DraftEdge]) -> BezPath {
    let mut path = joined(edges.iter().map(|edge| &edge.path), 0.1);
    path.close_path();
    path
}
