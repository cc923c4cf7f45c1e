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
mod proving;
mod rows;
mod seams;

pub(super) use proving::prove;
