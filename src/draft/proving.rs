//! The proofs of two halves of a body, each on the pieces that are cut for its side.

use super::form::NotWhole;
use super::halves::{Halves, SAME, sided};
use super::ids::PieceId;
use super::proofs::{Bound, Girth, Join, Joined, Seam, SeamLine, Stretch};
use super::types::Draft;
use crate::order::Side;

/// The proofs of one half, which are added to the draft of both.
pub(super) struct Proving<'a> {
    pub(super) halves: &'a Halves<'a>,
    /// The side of the half.
    pub(super) side: Side,
}

impl Proving<'_> {
    /// Adds the proofs of the half: all that bear on a piece of its own and, from the right half, all that bear
    /// on no piece of either side.
    ///
    /// # Errors
    /// When a proof names an edge that the cut piece lacks.
    pub(super) fn add(&self, both: &mut Draft) -> Result<(), NotWhole> {
        let half = self.halves.half(self.side);
        for seam in &half.seams {
            both.seams.extend(self.seam(seam)?);
        }
        for join in &half.joins {
            if self.wanted(join.side, &[join.a.piece, join.b.piece]) {
                both.joins.push(self.join(join)?);
            }
        }
        for dart in &half.darts {
            if self.wanted(None, &[dart.piece]) {
                let mut dart = dart.clone();
                dart.name = self.named(&dart.name, None, &[dart.piece]);
                dart.piece = self
                    .halves
                    .piece(self.side, dart.piece, self.side, &dart.source)?;
                both.darts.push(dart);
            }
        }
        for bound in &half.bounds {
            self.bound(bound, &mut both.bounds);
        }
        for girth in &half.girths {
            add_girth(girth, &mut both.girths);
        }
        Ok(())
    }

    fn is_divided(&self, piece: PieceId) -> bool {
        self.halves.is_divided(self.halves.known(self.side, piece))
    }

    /// Returns whether this half proves what bears on these pieces.
    fn wanted(&self, declared: Option<Side>, pieces: &[PieceId]) -> bool {
        let mut known = pieces
            .iter()
            .map(|piece| self.halves.known(self.side, *piece));
        let cut_for = |side: Side| known.clone().any(|piece| self.halves.is_of(piece, side));
        let (ours, theirs) = (cut_for(self.side), cut_for(self.side.other()));
        match declared {
            Some(side) => side == self.side,
            None if ours && theirs => self.side == Side::Right,
            None => {
                let own = ours || known.any(|piece| self.halves.is_divided(piece));
                !theirs && (own || self.side == Side::Right)
            }
        }
    }

    /// Names a proof after its side where both halves prove it, unless its own name says the side.
    fn named(&self, name: &str, declared: Option<Side>, pieces: &[PieceId]) -> String {
        let divided = pieces.iter().any(|piece| self.is_divided(*piece));
        match divided && declared != Some(self.side) {
            true => sided(name, self.side),
            false => name.to_owned(),
        }
    }

    fn stretch(&self, stretch: &Stretch, on: Side, source: &str) -> Result<Stretch, NotWhole> {
        let place = (stretch.piece, stretch.edge);
        let (piece, edge) = self.halves.edge(self.side, place, on, source)?;
        Ok(Stretch {
            piece,
            edge,
            ..*stretch
        })
    }

    /// Places a run on the pieces of the sides that `on` names for each stretch.
    fn run(
        &self,
        run: &[Stretch],
        source: &str,
        on: impl Fn(usize, &Stretch) -> Side,
    ) -> Result<Vec<Stretch>, NotWhole> {
        let stretches = run.iter().enumerate();
        let placed = stretches.map(|(i, s)| self.stretch(s, on(i, s), source));
        placed.collect()
    }

    /// Returns a seam of this half on the pieces that are cut, if this half proves it.
    fn seam(&self, seam: &Seam) -> Result<Option<Seam>, NotWhole> {
        let twice = |run: &[Stretch]| {
            let mut stretches = run.iter().enumerate();
            stretches.any(|(i, s)| self.is_divided(s.piece) && run[..i].contains(s))
        };
        let both = || seam.a.iter().chain(&seam.b);
        let pieces: Vec<PieceId> = both().map(|stretch| stretch.piece).collect();
        let paired = seam.a == seam.b && pieces.iter().all(|piece| self.is_divided(*piece));
        let spans = twice(&seam.a) || twice(&seam.b);
        if (paired || spans) && self.side == Side::Left {
            return Ok(None);
        }
        let placed = if paired {
            // A pair that is sewn to itself: one side against the other.
            (
                self.run(&seam.a, &seam.source, |_, _| Side::Right)?,
                self.run(&seam.a, &seam.source, |_, _| Side::Left)?,
            )
        } else if spans {
            // A run over both sides takes an edge twice: the first is the right one.
            let spanning = |run: &[Stretch]| {
                let first = |i: usize, s: &Stretch| !run[..i].contains(s);
                self.run(run, &seam.source, |i, s| match first(i, s) {
                    true => Side::Right,
                    false => Side::Left,
                })
            };
            (spanning(&seam.a)?, spanning(&seam.b)?)
        } else if self.wanted(seam.side, &pieces) {
            let own = |run: &[Stretch]| self.run(run, &seam.source, |_, _| self.side);
            (own(&seam.a)?, own(&seam.b)?)
        } else {
            return Ok(None);
        };
        let name = match paired || spans {
            true => seam.name.clone(),
            false => self.named(&seam.name, seam.side, &pieces),
        };
        Ok(Some(Seam {
            name,
            a: placed.0,
            b: placed.1,
            ..seam.clone()
        }))
    }

    fn join(&self, join: &Join) -> Result<Join, NotWhole> {
        let placed = |of: &Joined| -> Result<Joined, NotWhole> {
            let (halves, half, source) = (self.halves, self.side, &join.source);
            // A line that only one side has, as the fold of a vent, is on the piece of that side.
            let own = match of.seam {
                SeamLine::Mark(mark) => halves.half(half)[of.piece][mark].side,
                SeamLine::Edge(_) => None,
            };
            let side = own.unwrap_or(half);
            let (piece, edge) = halves.edge(half, (of.piece, of.edge), side, source)?;
            let seam = halves.seam_line(half, (of.piece, of.seam), side, source)?;
            Ok(Joined { piece, edge, seam })
        };
        Ok(Join {
            name: self.named(&join.name, join.side, &[join.a.piece, join.b.piece]),
            a: placed(&join.a)?,
            b: placed(&join.b)?,
            ..join.clone()
        })
    }

    /// Adds a bound unless the other half has found the same length.
    fn bound(&self, bound: &Bound, bounds: &mut Vec<Bound>) {
        let named = |b: &&Bound| b.name == bound.name;
        let same = |b: &Bound| (b.found - bound.found).abs() < SAME;
        let mut known = bounds.iter().filter(named).peekable();
        let name = match known.peek() {
            Some(_) => sided(&bound.name, self.side),
            None => bound.name.clone(),
        };
        if !known.any(same) {
            let bound = bound.clone();
            bounds.push(Bound { name, ..bound });
        }
    }
}

/// Adds a girth unless the other half has found the same. A girth is twice what its half measures.
fn add_girth(girth: &Girth, girths: &mut Vec<Girth>) {
    let near = |a: f64, b: f64| (a - b).abs() < SAME;
    let known = girths.iter().find(|g| g.name == girth.name);
    let name = match known {
        None => girth.name.clone(),
        Some(g) if near(g.finished, girth.finished) && near(g.meant, girth.meant) => return,
        Some(_) => format!("{}, twice the left half", girth.name),
    };
    let girth = girth.clone();
    girths.push(Girth { name, ..girth });
}
