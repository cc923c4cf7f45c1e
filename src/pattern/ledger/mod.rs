//! The ledger: eight proofs of every draft.
//!
//! 1. Seams: the lengths of both runs, and whether the ease between them is in its range.
//! 2. Joins: one piece is laid against the other with the seam closed; edges must run on.
//! 3. Notches: partners meet within 1 mm.
//! 4. Girths: what is finished against what is meant.
//! 5. Outlines: edges meet, nothing crosses itself, the cut line keeps its allowance outside the seam
//!    line, dart legs are equal.
//! 6. Curves: no kinks, and no more turns of the bend than a drafter means.
//! 7. Corners: an outline turns inward only where a drafter means it to.
//! 8. Bounds: what is drawn lies within what is plausible.
//!
//! The limits are common practice of the trade, no source, and stand beside each proof.

mod corners;
mod curves;
mod joins;
mod outlines;
mod seams;

use super::allowance::Allowances;
use super::{BoundRow, GirthRow, Ledger, PatternFault, Piece};
use crate::draft::Draft;
use rayon::prelude::*;

/// Measures everything that proves a draft and its pieces, which stand in the draft's order.
pub(super) fn prove(
    draft: &Draft,
    pieces: &[Piece],
    allowances: &Allowances,
) -> Result<Ledger, Vec<PatternFault>> {
    let mut ledger = Ledger::default();
    let mut faults = Vec::new();
    for seam in &draft.seams {
        let (row, notches) = seams::prove(draft, seam);
        ledger.seams.push(row);
        ledger.notches.extend(notches);
    }
    for join in &draft.joins {
        match joins::prove(draft, join) {
            Ok(row) => ledger.joins.push(row),
            Err(fault) => faults.push(fault),
        }
    }
    ledger
        .girths
        .extend(draft.girths.iter().map(|girth| GirthRow {
            girth: named(draft, &girth.name),
            finished_mm: girth.finished,
            body_mm: girth.body,
            meant_mm: girth.meant,
            within_mm: girth.within,
            ok: (girth.finished - girth.meant).abs() <= girth.within,
            source: girth.source.clone(),
        }));
    ledger
        .bounds
        .extend(draft.bounds.iter().map(|bound| BoundRow {
            bound: named(draft, &bound.name),
            found_mm: bound.found,
            least_mm: bound.least,
            most_mm: bound.most,
            ok: (bound.least..=bound.most).contains(&bound.found),
            source: bound.source.clone(),
        }));
    ledger.corners.extend(
        draft
            .pieces
            .iter()
            .flat_map(|piece| corners::prove(draft, piece)),
    );
    let proven: Vec<_> = draft
        .pieces
        .par_iter()
        .zip(pieces)
        .map(|(drafted, piece)| {
            let outlines = outlines::prove(draft, drafted, piece, allowances)?;
            Ok((outlines, curves::prove(draft, drafted)))
        })
        .collect::<Result<_, Vec<PatternFault>>>()?;
    for (outlines, curves) in proven {
        ledger.outlines.extend(outlines);
        ledger.curves.extend(curves);
    }
    ledger
        .outlines
        .extend(draft.darts.iter().map(|dart| outlines::dart(draft, dart)));
    if faults.is_empty() {
        Ok(ledger)
    } else {
        Err(faults)
    }
}

/// What a row is called: the garment, then what it is about.
fn named(draft: &Draft, what: &str) -> String {
    format!("{}: {what}", draft.garment)
}
