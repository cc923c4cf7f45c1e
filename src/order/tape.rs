//! Reads the measures of an order: which they are, how long, and what of them cannot be read.

use super::file::{Free, Written};
use super::length::{Unit, parse};
use super::measures::{KINDS, Kind, called, kind};
use super::reading::Findings;
use crate::diagnostic::{Diagnostic, nearest};
use std::collections::BTreeMap;
use std::ops::Range;

/// A measure as the order gives it.
pub(super) struct Taken {
    pub kind: &'static Kind,
    pub cm: f64,
    pub place: Range<usize>,
}

pub(super) type Body = BTreeMap<&'static str, Taken>;

/// The measures as they were read.
#[derive(Default)]
pub(super) struct Tape {
    /// Measures that a person can have.
    pub body: Body,
    /// Measures that no person has.
    pub impossible: Vec<Taken>,
    /// Measures with a fault of their own, which are not called missing as well.
    pub spoilt: Vec<&'static str>,
}

pub(super) fn unit(raw: &mut Free<Written>, findings: &mut Findings) -> Unit {
    let Some((_, value)) = raw.iter().find(|(key, _)| key.get_ref() == "unit") else {
        return Unit::Cm;
    };
    let (place, value) = (value.span(), value.get_ref().clone());
    raw.retain(|key, _| key.get_ref() != "unit");
    match value {
        Written::Text(text) if text == "cm" => Unit::Cm,
        Written::Text(text) if text == "in" => Unit::Inch,
        _ => {
            let fault = Diagnostic::error("the unit of the measures is \"cm\" or \"in\"");
            findings.at(
                place,
                fault.note("it applies to every number in [measures] that has no unit of its own"),
            );
            Unit::Cm
        }
    }
}

pub(super) fn read(raw: Free<Written>, unit: Unit, findings: &mut Findings) -> Tape {
    let mut tape = Tape::default();
    for (key, value) in raw {
        let Some(kind) = kind(key.get_ref()) else {
            let meant = meant(key.get_ref());
            findings.at(key.span(), unknown(key.get_ref(), meant));
            tape.spoilt.extend(meant.map(|kind| kind.name));
            continue;
        };
        let place = value.span();
        let mm = match value.get_ref() {
            Written::Number(n) => Ok(n * unit.mm()),
            Written::Text(text) => parse(text, unit),
        };
        match mm.map(|mm| mm / 10.0) {
            Ok(cm) if fits(kind, cm) => {
                tape.body.insert(kind.name, Taken { kind, cm, place });
            }
            Ok(cm) => {
                tape.impossible.push(Taken { kind, cm, place });
                tape.spoilt.push(kind.name);
            }
            Err(fault) => {
                let fault = Diagnostic::error(format!("{}: {fault}", kind.name));
                let help =
                    "write a length such as 39.5, \"39.5 cm\", \"15 1/2 in\" or \"5 ft 9 in\"";
                findings.at(place, fault.help(help));
                tape.spoilt.push(kind.name);
            }
        }
    }
    tape
}

/// Suggests the known measure closest to a misspelt name.
fn meant(name: &str) -> Option<&'static Kind> {
    called(&name.to_lowercase()).or_else(|| kind(nearest(name, KINDS.iter().map(|k| k.name))?))
}

fn unknown(name: &str, meant: Option<&Kind>) -> Diagnostic {
    let fault = Diagnostic::error(format!("`{name}` is not a measure"));
    match meant {
        Some(kind) => fault.help(format!("Perhaps: {}: {}", kind.name, kind.taken)),
        None => {
            let names: Vec<&str> = KINDS.iter().map(|k| k.name).collect();
            fault.note(format!("the measures are {}", names.join(", ")))
        }
    }
}

/// Whether a person can have this measure.
pub(super) fn fits(kind: &Kind, cm: f64) -> bool {
    kind.range.0 <= cm && cm <= kind.range.1
}
