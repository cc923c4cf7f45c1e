//! The ledger: eight proofs of every draft.
//!
//! 1. Seams: both runs are measured, and the ease between them is in its range.
//! 2. Joins: edges run on into each other once the seam between them is closed.
//! 3. Notches: partners meet within 1 mm.
//! 4. Girths: the finished length comes near the one that is meant.
//! 5. Outlines: edges meet, nothing crosses itself, the cut line keeps its allowance outside the seam
//!    line, dart legs are equal.
//! 6. Curves: no kinks, and no more turns of the bend than a drafter means.
//! 7. Corners: an outline turns inward only where a drafter means it to.
//! 8. Bounds: every length lies between its plausible bounds.
//!
//! The limits are common practice of the trade (no source). Each stands beside its proof.

mod corners;
mod curves;
mod joins;
mod outlines;
mod proving;
mod rows;
mod seams;

pub(super) use proving::prove;
