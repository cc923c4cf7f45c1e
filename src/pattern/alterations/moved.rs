//! Finds every seam that a fitting moves on a garment already cut, and whether the cloth that was left there
//! allows it, and the pockets, darts, holes and notches that move with it.
//!
//! Each new piece is laid on the old one. Square to its seams, the way is measured to the old seam line and to
//! the line by which the cloth was cut.

use super::carried::Marked;
use super::laid::{Laid, Seam, run_on};
use super::types::{Across, MovedPiece, MovedSeam, Moves, Room};
use crate::draft::{Draft, DraftEdge, DraftNotch, DraftPiece, Mark};
use crate::geometry::{Corner, joined, length, point_at};
use crate::order::{House, HouseNumber, Side};
use crate::pattern::allowance::Allowances;
use crate::pattern::fault::PatternFault;
use crate::pattern::types::Pattern;
use kurbo::{Affine, BezPath, Point};

/// Finds the moves from the drafts `before`, which were cut as `cut`, to the drafts `after`.
///
/// # Errors
/// When the house lacks an allowance.
pub fn moves(
    house: &House,
    before: &[Draft],
    cut: &Pattern,
    after: &[Draft],
) -> Result<Moves, PatternFault> {
    let mut found = Moves::default();
    for draft in after {
        let Some(old) = before.iter().find(|d| d.garment == draft.garment) else {
            continue;
        };
        let house = house.of(&draft.garment);
        let allowances = Allowances::new(&house);
        for piece in &draft.pieces {
            let whole = (draft.garment.clone(), piece.name.clone());
            let cuts = cuts_of(piece, old, cut);
            if !piece.material.is_cloth() {
                let either = (draft.garment.clone(), piece.either_side().to_owned());
                if !cuts.iter().any(|c| c.is_alike(piece)) && !found.others.contains(&either) {
                    found.others.push(either);
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

/// Finds the pieces that a new one replaces.
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
    /// Returns whether a new piece is the same as this one, wherever it was drafted.
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

    /// Finds the path that an edge of the new piece had on this one, and its allowance. The parts of an edge that
    /// a cut has parted, then or now, count as one path.
    fn edge(&self, piece: &DraftPiece, edge: &DraftEdge) -> Option<(BezPath, &str)> {
        let parts = |name: &str| -> Vec<&DraftEdge> {
            let whole = |part: &DraftEdge| part.part_of.and_then(|id| self.edges.get(id.0));
            let own = |part: &&DraftEdge| {
                part.name == name || whole(part).is_some_and(|whole| whole.name == name)
            };
            self.edges.iter().filter(own).collect()
        };
        let whole = edge.part_of.and_then(|id| piece.edges.get(id.0));
        let whole = match parts(&edge.name) {
            none if none.is_empty() => parts(&whole?.name),
            found => found,
        };
        let path = joined(whole.iter().map(|part| &part.path), 0.1);
        Some((path, &whole.first()?.allowance))
    }

    /// Lays the new piece on this one; returns `None` if nothing of it moves.
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

/// Returns the kind of an allowance and the width of it that cannot be given, mm: the seam of an inlay, the
/// least that a hem turns up, or the least that a plain seam is sewn with.
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
