//! Proof 6: curves.

use super::rows::checked;
use crate::draft::{Draft, DraftPiece};
use crate::geometry::{breaks, turns};
use crate::pattern::types::CheckRow;
use kurbo::PathSeg;

/// Greatest break where two curves of one edge join, degrees.
const KINK: f64 = 1.0;
/// Least turn of a bend that counts, degrees. A smaller one is not seen: over 10 cm it leaves its chord by 0.2
/// mm.
const NOISE: f64 = 0.5;

/// Writes two rows for every edge that is not one straight line: its greatest break, and how often it turns.
pub(super) fn prove(draft: &Draft, drafted: &DraftPiece) -> Vec<CheckRow> {
    let mut rows = Vec::new();
    for edge in &drafted.edges {
        let mut segments = edge.path.segments();
        if matches!(
            (segments.next(), segments.next()),
            (Some(PathSeg::Line(_)), None)
        ) {
            continue;
        }
        let row = |what: &str, found: f64, limit: f64| {
            let what = format!("{}, {}: {what}", drafted.name, edge.name);
            checked(draft, &what, (found, limit), &edge.source)
        };
        let kink = breaks(&edge.path)
            .iter()
            .map(|b| b.degrees)
            .fold(0.0, f64::max);
        rows.push(row("greatest break where curves join, degrees", kink, KINK));
        let turned = turns(&edge.path, NOISE).len() as f64;
        rows.push(row("changes of the bend", turned, f64::from(edge.turns)));
    }
    rows
}
