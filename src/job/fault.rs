//! What can go wrong with a job, and how it is told.

use super::causes;
use crate::diagnostic::{Diagnostic, Source};
use crate::draft::Material;
use crate::lay::LayFault;
use crate::order::Order;
use crate::pattern::PatternFault;
use crate::script::BlockFault;
use crate::sheets::fault::SheetFault;
use crate::sheets::words;
use std::error::Error;
use std::fmt;
use std::ops::Range;
use std::sync::Arc;

/// The longest lay that is believed, in mm: a bolt of cloth has some sixty metres.
pub(super) const LONGEST_LAY: f64 = 50_000.0;

/// A fault that ends a job. [`diagnostics`](JobFault::diagnostics) tells it with its place and with help.
#[derive(Debug, Clone, PartialEq)]
pub enum JobFault {
    /// Blocks refuse the order or are themselves at fault: one fault for each such garment.
    Block(Vec<BlockFault>),
    /// The pattern is not proven: every row of the ledger that does not hold.
    Pattern(Vec<PatternFault>),
    /// The pieces of a material cannot be laid.
    Lay {
        /// The material.
        material: Material,
        /// Why they cannot.
        fault: LayFault,
    },
    /// The pieces of a material need a longer lay than is believed.
    TooLong {
        /// The material.
        material: Material,
        /// The length they need, in mm.
        needs: f64,
    },
    /// Two orders that were to be laid together are not of one cloth.
    OtherCloth {
        /// The names of the two orders.
        orders: [String; 2],
    },
    /// No order was given to be laid together with others.
    NoOrder,
    /// The choices of a garment cannot be read: the order was not checked against this workshop's catalogue.
    Choices(Box<Diagnostic>),
    /// The sheets cannot be made as they are asked for.
    Sheets(SheetFault),
}

impl fmt::Display for JobFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            JobFault::Block(faults) => lines(f, faults),
            JobFault::Pattern(faults) => lines(f, faults),
            JobFault::Lay { material, fault } => {
                let material = words::material(*material);
                write!(f, "the {material} cannot be laid: {fault}")
            }
            JobFault::TooLong { material, needs } => {
                let (needs, most) = (needs / 1000.0, LONGEST_LAY / 1000.0);
                let material = words::material(*material);
                write!(
                    f,
                    "the {material} cannot be laid: it needs {needs:.1} m, and {most} m is the most"
                )
            }
            JobFault::OtherCloth { orders: [a, b] } => {
                write!(
                    f,
                    "`{a}` and `{b}` are not of the same cloth and cannot be laid together"
                )
            }
            JobFault::NoOrder => f.write_str("no order to lay"),
            JobFault::Choices(fault) => f.write_str(&fault.message),
            JobFault::Sheets(fault) => fault.fmt(f),
        }
    }
}

/// Writes each of the faults in a line of its own.
fn lines(f: &mut fmt::Formatter<'_>, faults: &[impl fmt::Display]) -> fmt::Result {
    let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
    f.write_str(&lines.join("\n"))
}

impl Error for JobFault {
    /// Returns the fault of the stage that failed; of several, the first.
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        match self {
            JobFault::Block(faults) => faults.first().map(|fault| fault as _),
            JobFault::Pattern(faults) => faults.first().map(|fault| fault as _),
            JobFault::Lay { fault, .. } => Some(fault),
            JobFault::Sheets(fault) => Some(fault),
            JobFault::TooLong { .. }
            | JobFault::OtherCloth { .. }
            | JobFault::NoOrder
            | JobFault::Choices(_) => None,
        }
    }
}

impl JobFault {
    /// Names the material that cannot be laid.
    pub(super) fn lay(material: Material, fault: LayFault) -> Self {
        JobFault::Lay { material, fault }
    }

    /// Tells the fault to whoever gave the order: where a block fails, what to look at first, what to do.
    pub fn diagnostics(&self, order: &Order) -> Vec<Diagnostic> {
        let one = || Diagnostic::error(self.to_string());
        match self {
            JobFault::Block(faults) => {
                causes::told(faults.iter().map(block_fault).collect(), order)
            }
            JobFault::Pattern(faults) => causes::told(unproven(faults), order),
            JobFault::OtherCloth { .. } => {
                vec![one().help("their [cloth] sections must be the same")]
            }
            JobFault::Choices(fault) => vec![(**fault).clone()],
            JobFault::Sheets(fault) => fault
                .help()
                .map_or_else(|| vec![one()], |help| vec![one().help(help)]),
            JobFault::Lay { .. } | JobFault::TooLong { .. } | JobFault::NoOrder => vec![one()],
        }
    }
}

/// Points at the line and column where a block fails.
fn block_fault(fault: &BlockFault) -> Diagnostic {
    let message = format!("the {} cannot be drafted: {}", fault.garment, fault.message);
    let finding = Diagnostic::error(message);
    if fault.refused {
        return finding;
    }
    let source = Arc::new(Source {
        name: fault.file.clone(),
        text: fault.text.clone(),
        first_line: fault.line.unwrap_or(1),
    });
    let finding = match fault.line {
        Some(_) => finding.at(&source, column(&fault.text, fault.column), ""),
        None => finding.in_file(&source),
    };
    fault.calls.iter().fold(finding, |finding, call| {
        finding.note(format!("called from {call}"))
    })
}

/// Returns the range of bytes of the character at a column (from 1) of a line.
fn column(line: &str, column: Option<usize>) -> Range<usize> {
    let mut characters = line
        .char_indices()
        .skip(column.unwrap_or(1).saturating_sub(1));
    let (at, character) = characters.next().unwrap_or((line.len(), ' '));
    at..at + character.len_utf8()
}

/// Tells what is not proven; the last fault says what to do about it.
fn unproven(faults: &[PatternFault]) -> Vec<Diagnostic> {
    let told = faults
        .iter()
        .map(|fault| Diagnostic::error(fault.to_string()));
    let mut told: Vec<_> = told.collect();
    let help =
        "a pattern that fails a check is never written: check the measures first, then the block";
    if let Some(last) = told.pop() {
        told.push(last.help(help));
    }
    told
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_leads_back_to_the_stage_that_failed() {
        let fault = LayFault::OffPattern {
            name: "forepart".to_owned(),
        };
        let job = JobFault::lay(Material::Cloth, fault.clone());
        let source = job.source().and_then(|source| source.downcast_ref());
        assert_eq!(source, Some(&fault));
        assert_eq!(
            job.to_string(),
            format!("the cloth cannot be laid: {fault}")
        );
        let long = JobFault::TooLong {
            material: Material::Lining,
            needs: 60_000.0,
        };
        assert!(long.source().is_none());
        assert!(long.to_string().contains("60.0 m are needed"));
    }
}
