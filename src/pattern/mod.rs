//! The pattern: pieces with seam line, cut line, notches and marks, and the ledger that proves them.

mod types;

pub use types::*;
