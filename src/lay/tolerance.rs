//! What the lay takes for rounding, and what no knife can tell.

/// Greatest overlap or overhang of a sound lay, mm. No knife can tell it.
pub const TOLERANCE: f64 = 0.01;

/// Overlap that the search counts as none, mm: a tenth of what the check of the lay lets pass, so that
/// rounding between the two never makes a fault.
pub(super) const TOUCH: f64 = TOLERANCE / 10.0;
