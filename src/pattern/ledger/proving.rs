//! Writes the ledger of a draft, proof by proof.

use super::rows::named;
use super::{corners, curves, joins, outlines, seams};
use crate::draft::{Bound, Draft, Girth};
use crate::pattern::allowance::Allowances;
use crate::pattern::fault::PatternFault;
use crate::pattern::types::{BoundRow, GirthRow, Ledger, Piece};
use rayon::prelude::*;

/// Measures everything that proves a draft and its pieces, which stand in the draft's order.
///
/// # Errors
/// Every join whose edges do not meet, and everything that the house lacks for an edge.
pub(in crate::pattern) fn prove(
    draft: &Draft,
    pieces: &[Piece],
    allowances: &Allowances,
) -> Result<Ledger, Vec<PatternFault>> {
    let mut ledger = Ledger::default();
    for seam in &draft.seams {
        let (row, notches) = seams::prove(draft, seam);
        ledger.seams.push(row);
        ledger.notches.extend(notches);
    }
    let mut faults = Vec::new();
    for join in &draft.joins {
        match joins::prove(draft, join) {
            Ok(row) => ledger.joins.push(row),
            Err(fault) => faults.push(fault),
        }
    }
    ledger.girths = draft.girths.iter().map(|of| girth(draft, of)).collect();
    ledger.bounds = draft.bounds.iter().map(|of| bound(draft, of)).collect();
    let corners = draft.pieces.iter().flat_map(|of| corners::prove(draft, of));
    ledger.corners = corners.collect();
    let proven: Vec<_> = (draft.pieces.par_iter().zip(pieces))
        .map(|(drafted, piece)| {
            let outlines = outlines::prove(draft, drafted, piece, allowances)?;
            Ok((outlines, curves::prove(draft, drafted)))
        })
        .collect::<Result<_, Vec<PatternFault>>>()?;
    for (outlines, curves) in proven {
        ledger.outlines.extend(outlines);
        ledger.curves.extend(curves);
    }
    let darts = draft.darts.iter().map(|dart| outlines::dart(draft, dart));
    ledger.outlines.extend(darts);
    if faults.is_empty() {
        Ok(ledger)
    } else {
        Err(faults)
    }
}

/// Proves a girth: it is as long as it is meant to be.
fn girth(draft: &Draft, girth: &Girth) -> GirthRow {
    GirthRow {
        girth: named(draft, &girth.name),
        finished_mm: girth.finished,
        body_mm: girth.body,
        meant_mm: girth.meant,
        within_mm: girth.within,
        ok: (girth.finished - girth.meant).abs() <= girth.within,
        source: girth.source.clone(),
    }
}

/// Proves a bound: the length lies between its plausible bounds.
fn bound(draft: &Draft, bound: &Bound) -> BoundRow {
    BoundRow {
        bound: named(draft, &bound.name),
        found_mm: bound.found,
        least_mm: bound.least,
        most_mm: bound.most,
        ok: (bound.least..=bound.most).contains(&bound.found),
        source: bound.source.clone(),
    }
}
