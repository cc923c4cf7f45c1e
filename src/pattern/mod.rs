//! The pattern: pieces with seam line, cut line, notches and marks, and the ledger that proves them.
//!
//! [`make`] takes the drafts of an order to a [`Pattern`]. Each edge gets the allowance of the house and each
//! corner its rule; then everything that must hold is measured and written into the [`Ledger`]. A pattern
//! with a row that does not hold is not handed out.

mod allowance;
mod alterations;
mod fault;
mod fold;
mod hands;
mod ledger;
mod making;
mod piece;
mod types;

pub use alterations::{Across, Change, MovedMark, MovedPiece, MovedSeam, Moves, Room, Work, moves};
pub use fault::{FailedRow, PatternFault};
pub use making::{make, measure};
pub use types::*;
