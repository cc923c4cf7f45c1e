//! Proof 7: an outline turns inward only where that is meant.

use super::rows::named;
use crate::draft::{Draft, DraftPiece};
use crate::geometry::{joined, length, tangent_at};
use crate::pattern::piece::CLOSED;
use crate::pattern::types::CheckRow;
use kurbo::Shape;

/// Greatest inward turn, degrees, between two edges that still run on. A fair line that is parted into two
/// edges may turn as much (common practice, no source).
const RUNS_ON: f64 = 12.0;

/// Writes a row for every corner between two edges; it fails where the outline turns inward and is not meant
/// to.
pub(super) fn prove(draft: &Draft, drafted: &DraftPiece) -> Vec<CheckRow> {
    let area = joined(drafted.edges.iter().map(|edge| &edge.path), CLOSED).area();
    let following = drafted.edges.iter().cycle().skip(1);
    let corners = drafted.edges.iter().zip(following);
    corners
        .map(|(edge, next)| {
            let arrives = tangent_at(&edge.path, length(&edge.path));
            let leaves = tangent_at(&next.path, 0.0);
            let turned = arrives
                .cross(leaves)
                .atan2(arrives.dot(leaves))
                .to_degrees();
            let inward = if area > 0.0 { -turned } else { turned };
            CheckRow {
                check: named(
                    draft,
                    &format!(
                        "{}: between {} and {} the outline turns inward",
                        drafted.name, edge.name, next.name
                    ),
                ),
                found: inward,
                limit: if edge.turns_in { 180.0 } else { RUNS_ON },
                ok: edge.turns_in || inward <= RUNS_ON,
                source: Some(next.source.clone()),
                unfair: None,
            }
        })
        .collect()
}
