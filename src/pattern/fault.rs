//! Why a pattern is not handed out.

use super::{BoundRow, CheckRow, GirthRow, JoinRow, Ledger, SeamRow};
use std::fmt;

/// One reason why there is no pattern.
#[derive(Debug, Clone, PartialEq)]
pub enum PatternFault {
    /// An edge asks for an allowance the house does not have.
    NoAllowance {
        /// What was asked for: the key after `allowance.`.
        key: String,
        /// What may have been meant.
        meant: Option<String>,
        /// The edge that asks, with its piece.
        edge: Option<String>,
    },
    /// A value of the house that makes no sense where it stands.
    WrongHouse {
        /// Its dotted name.
        name: String,
        /// What it should be.
        wanted: String,
    },
    /// The draft speaks of something that is not there.
    Draft {
        /// What is wrong.
        what: String,
        /// The step of the block that says it; empty where none is known.
        source: String,
    },
    /// A row of the ledger does not hold.
    Unproven(FailedRow),
}

/// A row of the ledger that does not hold.
#[derive(Debug, Clone, PartialEq)]
pub enum FailedRow {
    /// Two runs do not fit each other.
    Seam(SeamRow),
    /// Edges do not run on once their seam is closed.
    Join(JoinRow),
    /// Notches miss their partners.
    Notch(CheckRow),
    /// A girth is not what it is meant to be.
    Girth(GirthRow),
    /// An outline is not sound.
    Outline(CheckRow),
    /// A curve is not fair.
    Curve(CheckRow),
    /// An outline turns inward where nobody meant it to.
    Corner(CheckRow),
    /// A length is not plausible.
    Bound(BoundRow),
}

impl Ledger {
    /// Every row that does not hold, in the order of the ledger.
    pub fn failed(&self) -> Vec<FailedRow> {
        let mut rows = Vec::new();
        rows.extend(
            self.seams
                .iter()
                .filter(|r| !r.ok)
                .cloned()
                .map(FailedRow::Seam),
        );
        rows.extend(
            self.joins
                .iter()
                .filter(|r| !r.ok)
                .cloned()
                .map(FailedRow::Join),
        );
        rows.extend(
            self.notches
                .iter()
                .filter(|r| !r.ok)
                .cloned()
                .map(FailedRow::Notch),
        );
        rows.extend(
            self.girths
                .iter()
                .filter(|r| !r.ok)
                .cloned()
                .map(FailedRow::Girth),
        );
        rows.extend(
            self.outlines
                .iter()
                .filter(|r| !r.ok)
                .cloned()
                .map(FailedRow::Outline),
        );
        rows.extend(
            self.curves
                .iter()
                .filter(|r| !r.ok)
                .cloned()
                .map(FailedRow::Curve),
        );
        rows.extend(
            self.corners
                .iter()
                .filter(|r| !r.ok)
                .cloned()
                .map(FailedRow::Corner),
        );
        rows.extend(
            self.bounds
                .iter()
                .filter(|r| !r.ok)
                .cloned()
                .map(FailedRow::Bound),
        );
        rows
    }

    /// Adds the rows of another ledger.
    pub(super) fn append(&mut self, mut other: Ledger) {
        self.seams.append(&mut other.seams);
        self.joins.append(&mut other.joins);
        self.notches.append(&mut other.notches);
        self.girths.append(&mut other.girths);
        self.outlines.append(&mut other.outlines);
        self.curves.append(&mut other.curves);
        self.corners.append(&mut other.corners);
        self.bounds.append(&mut other.bounds);
    }
}

impl fmt::Display for PatternFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::NoAllowance { key, meant, edge } => {
                write!(f, "the house has no allowance '{key}'")?;
                if let Some(edge) = edge {
                    write!(f, ", which {edge} asks for")?;
                }
                match meant {
                    Some(meant) => write!(f, "; did the block mean '{meant}'?"),
                    None => write!(f, "; add it to the house file under [allowance]"),
                }
            }
            Self::WrongHouse { name, wanted } => write!(f, "the house's {name}: {wanted}"),
            Self::Draft { what, source } if source.is_empty() => write!(f, "{what}"),
            Self::Draft { what, source } => write!(f, "{source}: {what}"),
            Self::Unproven(row) => write!(f, "{row}"),
        }
    }
}

impl std::error::Error for PatternFault {}

impl fmt::Display for FailedRow {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::Seam(row) => write!(
                f,
                "{}: {} does not fit: {:.2} cm against {:.2} cm leaves {:.2} of ease, where {:.2} to {:.2} is allowed",
                row.source,
                row.seam,
                row.a_mm / 10.0,
                row.b_mm / 10.0,
                row.ease_mm / 10.0,
                row.min_mm / 10.0,
                row.max_mm / 10.0,
            ),
            Self::Join(row) => write!(
                f,
                "{}: {} breaks by {:.1}° once the seam is closed, where {:.1}° is allowed",
                row.source, row.join, row.break_degrees, row.max_degrees,
            ),
            Self::Girth(row) => write!(
                f,
                "{}: {} comes out at {:.1} cm, where {:.1} is meant, within {:.1}",
                row.source,
                row.girth,
                row.finished_mm / 10.0,
                row.meant_mm / 10.0,
                row.within_mm / 10.0,
            ),
            // So far out is no slip of a notch: the runs are not walked alike.
            Self::Notch(row) if row.found > 20.0 => {
                write!(
                    f,
                    "{}: {:.0}, where {:.0} is allowed; ",
                    row.check, row.found, row.limit
                )?;
                write!(
                    f,
                    "are both runs walks along the seam, from the same place?"
                )?;
                row.source
                    .iter()
                    .try_for_each(|source| write!(f, " ({source})"))
            }
            Self::Bound(row) => write!(
                f,
                "{}: {} of {:.1} cm is not plausible: {:.1} to {:.1} are the bounds",
                row.source,
                row.bound,
                row.found_mm / 10.0,
                row.least_mm / 10.0,
                row.most_mm / 10.0,
            ),
            Self::Corner(row) => {
                if let Some(source) = &row.source {
                    write!(f, "{source}: ")?;
                }
                write!(
                    f,
                    "{} by {:.1}°; where that is meant the block says so with turns_in",
                    row.check, row.found
                )
            }
            Self::Notch(row) | Self::Outline(row) | Self::Curve(row) => {
                if let Some(source) = &row.source {
                    write!(f, "{source}: ")?;
                }
                write!(
                    f,
                    "{}: {:.2}, where {:.2} is allowed",
                    row.check, row.found, row.limit
                )
            }
        }
    }
}
