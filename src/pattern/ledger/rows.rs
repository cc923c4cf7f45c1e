//! The rows of the ledger that every proof writes.

use crate::draft::Draft;
use crate::pattern::types::CheckRow;

/// Names a row: the garment, then what the row is about.
pub(super) fn named(draft: &Draft, what: &str) -> String {
    format!("{}: {what}", draft.garment)
}

/// Writes the row of a check that holds up to a limit.
pub(super) fn checked(
    draft: &Draft,
    what: &str,
    (found, limit): (f64, f64),
    source: &str,
) -> CheckRow {
    CheckRow {
        check: named(draft, what),
        found,
        limit,
        ok: found <= limit,
        source: Some(source.to_owned()),
        unfair: None,
    }
}
