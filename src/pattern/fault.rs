//! Reasons why a pattern is not handed out.

use super::types::{BoundRow, CheckRow, GirthRow, JoinRow, Ledger, SeamRow};
use std::fmt;

/// A reason why there is no pattern.
#[derive(Debug, Clone, PartialEq)]
pub enum PatternFault {
    /// An edge asks for an allowance the house does not have.
    NoAllowance {
        /// Name of the allowance that the edge asks for: the key after `allowance.`.
        key: String,
        /// Name that may have been meant.
        meant: Option<String>,
        /// The edge that asks, with its piece.
        edge: Option<String>,
    },
    /// A value of the house that makes no sense where it stands.
    WrongHouse {
        /// Its dotted name.
        name: String,
        /// Value that it should have.
        wanted: String,
    },
    /// The draft holds something that cannot be measured.
    Draft {
        /// The fault in words.
        what: String,
        /// File and line of the step that says it, where one does.
        source: Option<String>,
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
    /// A girth is not as long as it is meant to be.
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
    /// Returns every row that does not hold, in the order of the ledger.
    pub fn failed(&self) -> Vec<FailedRow> {
        let failed = |row: &&CheckRow| !row.ok;
        let seams = self.seams.iter().filter(|row| !row.ok).cloned();
        let joins = self.joins.iter().filter(|row| !row.ok).cloned();
        let notches = self.notches.iter().filter(failed).cloned();
        let girths = self.girths.iter().filter(|row| !row.ok).cloned();
        let outlines = self.outlines.iter().filter(failed).cloned();
        let curves = self.curves.iter().filter(failed).cloned();
        let corners = self.corners.iter().filter(failed).cloned();
        let bounds = self.bounds.iter().filter(|row| !row.ok).cloned();
        (seams.map(FailedRow::Seam))
            .chain(joins.map(FailedRow::Join))
            .chain(notches.map(FailedRow::Notch))
            .chain(girths.map(FailedRow::Girth))
            .chain(outlines.map(FailedRow::Outline))
            .chain(curves.map(FailedRow::Curve))
            .chain(corners.map(FailedRow::Corner))
            .chain(bounds.map(FailedRow::Bound))
            .collect()
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
                    Some(meant) => write!(f, ". Perhaps: '{meant}'"),
                    None => write!(f, "; add it to the house file under [allowance]"),
                }
            }
            Self::WrongHouse { name, wanted } => write!(f, "the house's {name}: {wanted}"),
            Self::Draft { what, source } => {
                say_source(f, source.as_ref())?;
                write!(f, "{what}")
            }
            Self::Unproven(row) => write!(f, "{row}"),
        }
    }
}

impl std::error::Error for PatternFault {}

/// A notch that misses its partner by more than this, mm, is no slip of a notch: the two runs are not walked
/// alike.
const NO_SLIP: f64 = 20.0;

impl fmt::Display for FailedRow {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::Seam(row) => say_seam(f, row),
            Self::Join(row) => write!(
                f,
                "{}: {} breaks by {:.1}° once the seam is closed; {:.1}° is allowed",
                row.source, row.join, row.break_degrees, row.max_degrees,
            ),
            Self::Girth(row) => write!(
                f,
                "{}: {} comes out at {:.1} cm; it should be {:.1}, within {:.1}",
                row.source,
                row.girth,
                row.finished_mm / 10.0,
                row.meant_mm / 10.0,
                row.within_mm / 10.0,
            ),
            Self::Notch(row) if row.found > NO_SLIP => {
                write!(
                    f,
                    "{}: {:.0}, where {:.0} is allowed; are both runs walks along the seam, from the same place?",
                    row.check, row.found, row.limit
                )?;
                (row.source.iter()).try_for_each(|source| write!(f, " ({source})"))
            }
            Self::Bound(row) => write!(
                f,
                "{}: {} of {:.1} cm cannot be right: {:.1} to {:.1} is possible",
                row.source,
                row.bound,
                row.found_mm / 10.0,
                row.least_mm / 10.0,
                row.most_mm / 10.0,
            ),
            Self::Corner(row) => {
                say_source(f, row.source.as_ref())?;
                let (check, found) = (&row.check, row.found);
                write!(
                    f,
                    "{check} by {found:.1}°; where that is meant the block says so with turns_in"
                )
            }
            Self::Notch(row) | Self::Outline(row) | Self::Curve(row) => {
                say_source(f, row.source.as_ref())?;
                let (check, found, limit) = (&row.check, row.found, row.limit);
                write!(f, "{check}: {found:.2}, where {limit:.2} is allowed")
            }
        }
    }
}

fn say_seam(f: &mut fmt::Formatter, row: &SeamRow) -> fmt::Result {
    write!(
        f,
        "{}: {} does not fit: {:.2} cm against {:.2} cm leaves {:.2} of ease; {:.2} to {:.2} is allowed",
        row.source,
        row.seam,
        row.a_mm / 10.0,
        row.b_mm / 10.0,
        row.ease_mm / 10.0,
        row.min_mm / 10.0,
        row.max_mm / 10.0,
    )
}

fn say_source(f: &mut fmt::Formatter, source: Option<&String>) -> fmt::Result {
    match source {
        Some(source) => write!(f, "{source}: "),
        None => Ok(()),
    }
}
