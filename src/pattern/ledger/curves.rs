//! Proof 6: curves.

use super::rows::checked;
use crate::draft::{Draft, DraftEdge, DraftPiece, MarkKind};
use crate::geometry::{breaks, length, point_at, start, turns};
use crate::pattern::types::{CheckRow, Unfair};
use kurbo::PathSeg;

/// Greatest break where two curves of one edge join, degrees.
const KINK: f64 = 1.0;
/// Least turn of a bend that counts, degrees. A smaller one is not seen: over 10 cm it leaves its chord by 0.2
/// mm.
const NOISE: f64 = 0.5;

/// Writes two rows for every edge that is not one straight line: its greatest break, and how often it turns.
pub(super) fn prove(draft: &Draft, drafted: &DraftPiece) -> Vec<CheckRow> {
    let mut rows = Vec::new();
    for (place, edge) in drafted.edges.iter().enumerate() {
        let mut segments = edge.path.segments();
        if matches!(
            (segments.next(), segments.next()),
            (Some(PathSeg::Line(_)), None)
        ) {
            continue;
        }
        let row = |what: &str, found: f64, limit: f64, unfair: &dyn Fn() -> Unfair| {
            let what = format!("{}, {}: {what}", drafted.name, edge.name);
            let row = checked(draft, &what, (found, limit), &edge.source);
            let unfair = (!row.ok).then(|| Box::new(unfair()));
            CheckRow { unfair, ..row }
        };
        let breaks = breaks(&edge.path);
        let worst = breaks.iter().max_by(|a, b| a.degrees.total_cmp(&b.degrees));
        let (kink, at) = worst.map_or((0.0, 0.0), |worst| (worst.degrees, worst.at));
        let on = Placed::new(draft, drafted, place);
        let broken = || on.unfair(&[at], Some(kink));
        rows.push(row(
            "greatest break where curves join, degrees",
            kink,
            KINK,
            &broken,
        ));
        let turned = turns(&edge.path, NOISE);
        let bent = || on.unfair(&turned, None);
        let count = turned.len() as f64;
        rows.push(row(
            "changes of the bend",
            count,
            f64::from(edge.turns),
            &bent,
        ));
    }
    rows
}

/// An edge on its piece, for whoever looks for a place on it.
struct Placed<'a> {
    draft: &'a Draft,
    drafted: &'a DraftPiece,
    edge: &'a DraftEdge,
    /// The edges before and after it.
    beside: [Option<&'a DraftEdge>; 2],
}

impl<'a> Placed<'a> {
    fn new(draft: &'a Draft, drafted: &'a DraftPiece, place: usize) -> Self {
        let count = drafted.edges.len();
        let at = |step: usize| drafted.edges.get((place + step) % count.max(1));
        Self {
            draft,
            drafted,
            edge: &drafted.edges[place],
            beside: [at(count - 1), at(1)],
        }
    }

    /// Says where places lie, as lengths from the edge's start, mm: from the hem where the edge comes to one, else from
    /// the edge after it.
    fn unfair(&self, places: &[f64], breaks: Option<f64>) -> Unfair {
        let long = length(&self.edge.path);
        let [before, after] = self
            .beside
            .map(|edge| edge.map_or("", |edge| edge.name.as_str()));
        let from_start = before.contains("hem") && !after.contains("hem");
        let mut found: Vec<f64> = match from_start {
            true => places.to_vec(),
            false => places.iter().map(|at| long - at).collect(),
        };
        found.sort_by(f64::total_cmp);
        let (name, garment) = (&self.drafted.name, &self.draft.garment);
        Unfair {
            edge: format!("the {} of the {garment}'s {name}", self.edge.name),
            from: format!("the {}", if from_start { before } else { after }),
            places: found,
            beside: self.beside_the_waist(places),
            breaks,
        }
    }

    /// Tells whether all places lie on one side of the piece's waist line.
    fn beside_the_waist(&self, places: &[f64]) -> Option<&'static str> {
        let marks = &mut self.drafted.marks.iter();
        let waist = marks.find(|mark| mark.kind == MarkKind::WaistLine)?;
        let level = start(&waist.path)?.y;
        let low = |at: &f64| point_at(&self.edge.path, *at).y > level;
        match (places.iter().all(low), places.iter().any(low)) {
            (true, _) => Some("below the waist"),
            (_, false) => Some("above the waist"),
            _ => None,
        }
    }
}
