//! What can go wrong with a job, and how it is told.

use super::causes;
use crate::diagnostic::{Diagnostic, Source};
use crate::draft::Material;
use crate::lay::LayFault;
use crate::order::Order;
use crate::pattern::PatternFault;
use crate::script::{BlockFault, Library};
use crate::sheets::fault::SheetFault;
use crate::units::Unit;
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

/// Says it in cm: for whoever has no order, and so no unit.
impl fmt::Display for JobFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.words(Unit::Cm))
    }
}

impl JobFault {
    /// Says it in words, in the reader's unit; each of several faults in a line of its own.
    pub fn words(&self, unit: Unit) -> String {
        let lines = |lines: Vec<String>| lines.join("\n");
        match self {
            Self::Block(faults) => lines(faults.iter().map(ToString::to_string).collect()),
            Self::Pattern(faults) => lines(faults.iter().map(|fault| fault.words(unit)).collect()),
            Self::Lay { material, fault } => {
                let (material, fault) = (&material.name, fault.words(unit));
                format!("the {material} cannot be laid: {fault}")
            }
            Self::TooLong { material, needs } => {
                let material = &material.name;
                let (needs, most) = (unit.cloth(*needs), unit.far(LONGEST_LAY));
                format!("the {material} cannot be laid: it needs {needs}, and {most} is the most")
            }
            Self::OtherCloth { orders: [a, b] } => {
                format!("`{a}` and `{b}` are not of the same cloth and cannot be laid together")
            }
            Self::NoOrder => "no order to lay".to_owned(),
            Self::Choices(fault) => fault.message.clone(),
            Self::Sheets(fault) => fault.to_string(),
        }
    }
}

impl Error for JobFault {
    /// Returns the fault of the stage that failed; of several, the first.
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        match self {
            Self::Block(faults) => faults.first().map(|fault| fault as _),
            Self::Pattern(faults) => faults.first().map(|fault| fault as _),
            Self::Lay { fault, .. } => Some(fault),
            Self::Sheets(fault) => Some(fault),
            Self::TooLong { .. } | Self::OtherCloth { .. } | Self::NoOrder | Self::Choices(_) => {
                None
            }
        }
    }
}

impl JobFault {
    /// Names the material that cannot be laid.
    pub(super) fn lay(material: &Material, fault: LayFault) -> Self {
        Self::Lay {
            material: material.clone(),
            fault,
        }
    }

    /// Tells the fault to whoever gave the order: where a block fails, by the scripts of the library that drafted it,
    /// what to look at first, what to do.
    pub fn diagnostics(&self, order: &Order, library: &Library) -> Vec<Diagnostic> {
        let one = || Diagnostic::error(self.words(order.unit));
        match self {
            Self::Block(faults) => causes::told(faults.iter().map(block_fault).collect(), order),
            Self::Pattern(faults) => causes::told(unproven(faults, order.unit, library), order),
            Self::OtherCloth { .. } => {
                vec![one().help("their [cloth] sections must be the same")]
            }
            Self::Choices(fault) => vec![(**fault).clone()],
            Self::Sheets(fault) => fault
                .help()
                .map_or_else(|| vec![one()], |help| vec![one().help(help)]),
            Self::Lay { .. } | Self::TooLong { .. } | Self::NoOrder => vec![one()],
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

/// Tells what is not proven, each with the line that drew it; the last fault says what to do about it.
fn unproven(faults: &[PatternFault], unit: Unit, library: &Library) -> Vec<Diagnostic> {
    let told = faults.iter().map(|fault| {
        let (said, place) = fault.said(unit);
        let finding = Diagnostic::error(said);
        match place.and_then(|place| drawn_by(place, library)) {
            Some((source, line)) => finding.at(&source, line, ""),
            None => match place {
                Some(_) => Diagnostic::error(fault.words(unit)),
                None => finding,
            },
        }
    });
    let mut told: Vec<_> = told.collect();
    let help =
        "a pattern that fails a check is never written: check the measures first, then the block";
    if let Some(last) = told.pop() {
        told.push(last.help(help));
    }
    told
}

/// Returns the line of a script that a place names, as `jacket/back.rhai:128`, and where its text stands in it.
fn drawn_by(place: &str, library: &Library) -> Option<(Arc<Source>, Range<usize>)> {
    let (file, number) = place.rsplit_once(':')?;
    let first_line: usize = number.parse().ok()?;
    let line = library
        .text(file)?
        .lines()
        .nth(first_line.checked_sub(1)?)?;
    let text = line.trim_end();
    let begins = text.len() - text.trim_start().len();
    let source = Source {
        name: library.shown(file),
        text: text.to_owned(),
        first_line,
    };
    Some((Arc::new(source), begins..text.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_leads_back_to_the_stage_that_failed() {
        let fault = LayFault::OffPattern {
            name: "forepart".to_owned(),
        };
        let house = crate::order::House::built_in().expect("the house");
        let materials = crate::order::Materials::built_in(&house).expect("its materials");
        let job = JobFault::lay(materials.cloth(), fault.clone());
        let source = job.source().and_then(|source| source.downcast_ref());
        assert_eq!(source, Some(&fault));
        assert_eq!(
            job.to_string(),
            format!("the cloth cannot be laid: {fault}")
        );
        let long = JobFault::TooLong {
            material: materials.named("lining").expect("lining").clone(),
            needs: 60_000.0,
        };
        assert!(long.source().is_none());
        assert!(
            long.to_string()
                .contains("it needs 60.00 m, and 50 m is the most")
        );
    }
}
