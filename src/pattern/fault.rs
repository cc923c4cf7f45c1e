//! Reasons why a pattern is not handed out.

use super::types::{BoundRow, CheckRow, GirthRow, JoinRow, Ledger, SeamRow, Unfair};
use crate::units::Unit;
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
    pub(super) fn append(&mut self, mut other: Self) {
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

impl PatternFault {
    /// Says it in words, in the reader's unit.
    pub fn words(&self, unit: Unit) -> String {
        match self {
            Self::NoAllowance { key, meant, edge } => {
                let asks = (edge.as_ref()).map(|edge| format!(", which {edge} asks for"));
                let asks = asks.unwrap_or_default();
                let help = match meant {
                    Some(meant) => format!(". Perhaps: '{meant}'"),
                    None => "; add it to the house file under [allowance]".to_owned(),
                };
                format!("the house has no allowance '{key}'{asks}{help}")
            }
            Self::WrongHouse { name, wanted } => format!("the house's {name}: {wanted}"),
            Self::Draft { what, source } => format!("{}{what}", placed(source.as_ref())),
            Self::Unproven(row) => format!("{}{}", placed(row.source()), row.said(unit)),
        }
    }

    /// Says it in words without its place, and the place beside it: the file and line of the step that it comes from.
    pub fn said(&self, unit: Unit) -> (String, Option<&str>) {
        match self {
            Self::Draft { what, source } => (what.clone(), source.as_deref()),
            Self::Unproven(row) => (row.said(unit), row.source().map(String::as_str)),
            other => (other.words(unit), None),
        }
    }
}

/// Says it in cm: for whoever has no order, and so no unit.
impl fmt::Display for PatternFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.words(Unit::Cm))
    }
}

impl std::error::Error for PatternFault {}

/// A notch that misses its partner by more than this, mm, is no slip of a notch: the two runs are not walked
/// alike.
const NO_SLIP: f64 = 20.0;

impl FailedRow {
    /// Returns the file and line of the step that it comes from, if it has one.
    fn source(&self) -> Option<&String> {
        match self {
            Self::Seam(row) => Some(&row.source),
            Self::Join(row) => Some(&row.source),
            Self::Girth(row) => Some(&row.source),
            Self::Bound(row) => Some(&row.source),
            Self::Notch(row) | Self::Outline(row) | Self::Curve(row) | Self::Corner(row) => {
                row.source.as_ref()
            }
        }
    }

    /// Says it in words, in the reader's unit.
    fn said(&self, unit: Unit) -> String {
        match self {
            Self::Seam(row) => seam_words(row, unit),
            Self::Join(row) => format!(
                "{} breaks by {:.1}° once the seam is closed; {:.1}° is allowed",
                row.join, row.break_degrees, row.max_degrees,
            ),
            Self::Girth(row) => format!(
                "{} comes out at {}; it should be {}, within {}",
                row.girth,
                unit.show(row.finished_mm),
                unit.number(row.meant_mm),
                unit.number(row.within_mm),
            ),
            Self::Bound(row) => format!(
                "{} of {} cannot be right: {} to {} is possible",
                row.bound,
                unit.show(row.found_mm),
                unit.number(row.least_mm),
                unit.number(row.most_mm),
            ),
            Self::Corner(row) => format!(
                "{} by {:.1}°; where that is meant the block says so with turns_in",
                row.check, row.found
            ),
            Self::Notch(row) => {
                let (found, limit) = (unit.small(row.found), unit.small(row.limit));
                let walks = match row.found > NO_SLIP {
                    true => "; are both runs walks along the seam, from the same place?",
                    false => "",
                };
                format!("{}: {found}, where {limit} is allowed{walks}", row.check)
            }
            Self::Outline(row) | Self::Curve(row) => match &row.unfair {
                Some(unfair) => unfair.said(row.limit, unit),
                None => {
                    let (check, found, limit) = (&row.check, row.found, row.limit);
                    format!("{check}: {found:.2}, where {limit:.2} is allowed")
                }
            },
        }
    }
}

impl Unfair {
    /// Says it as a cutter would: where the curve breaks, or how often it changes its bend and where.
    fn said(&self, limit: f64, unit: Unit) -> String {
        let Self {
            edge, from, beside, ..
        } = self;
        let beside = beside.map_or(String::new(), |beside| format!(" {beside}"));
        let (last, others) = match self.places.as_slice() {
            [] => (String::new(), Vec::new()),
            [others @ .., last] => (
                unit.show(*last),
                others.iter().map(|at| unit.number(*at)).collect(),
            ),
        };
        let places = match others.is_empty() {
            true => last,
            false => format!("{} and {last}", others.join(", ")),
        };
        if let Some(degrees) = self.breaks {
            return format!(
                "{edge} breaks by {degrees:.1}°{beside}, {places} from {from}: a curve runs on within {limit:.0}°"
            );
        }
        let meant = match limit {
            0.0 => "where it is meant to bend one way".to_owned(),
            limit => format!("where {} is meant", times(limit as usize)),
        };
        format!(
            "{edge} changes its bend {}{beside}, {places} from {from}, {meant}",
            times(self.places.len())
        )
    }
}

/// Writes how often.
fn times(count: usize) -> String {
    match count {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        more => format!("{more} times"),
    }
}

fn seam_words(row: &SeamRow, unit: Unit) -> String {
    let spoken = match unit {
        Unit::Cm => unit.name(),
        Unit::Inch => unit.spoken(),
    };
    format!(
        "{} does not fit: {} against {} {spoken} leaves {} of ease; {} to {} is allowed",
        row.seam,
        unit.fine(row.a_mm),
        unit.fine(row.b_mm),
        unit.fine(row.ease_mm),
        unit.fine(row.min_mm),
        unit.fine(row.max_mm),
    )
}

/// Names the place of a fault, if it has one, before the fault.
fn placed(source: Option<&String>) -> String {
    source.map_or_else(String::new, |source| format!("{source}: "))
}
