//! Reads the measures of an order: which they are, how long, and what of them cannot be read.

use super::asking::Asked;
use super::file::{Free, Written};
use super::length::{Unit, parse};
use super::measures::{KINDS, Kind, called, kind};
use super::reading::Findings;
use crate::diagnostic::{Diagnostic, nearest};
use std::collections::BTreeMap;
use std::ops::Range;

/// A measure as the order gives it.
pub(super) struct Taken<'c> {
    pub kind: Kind<'c>,
    pub cm: f64,
    pub place: Range<usize>,
}

pub(super) type Body = BTreeMap<&'static str, Taken<'static>>;

/// The measures as they were read.
#[derive(Default)]
pub(super) struct Tape<'c> {
    /// Measures of the body that a person can have.
    pub body: Body,
    /// Measures of the blocks' own.
    pub own: Vec<Taken<'c>>,
    /// Measures that no person has.
    pub impossible: Vec<Taken<'c>>,
    /// Measures with a fault of their own, which are not called missing as well.
    pub spoilt: Vec<&'c str>,
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

pub(super) fn read<'c>(
    raw: Free<Written>,
    unit: Unit,
    asked: &Asked<'c>,
    findings: &mut Findings,
) -> Tape<'c> {
    let mut tape = Tape::default();
    for (key, value) in raw {
        let known = kind(key.get_ref());
        let own = || asked.measure(key.get_ref());
        let Some(kind) = known.copied().or_else(own) else {
            let meant = meant(key.get_ref(), asked);
            findings.at(key.span(), unknown(key.get_ref(), meant, asked));
            tape.spoilt.extend(meant.map(|kind| kind.name));
            continue;
        };
        let place = value.span();
        let mm = match value.get_ref() {
            Written::Number(n) => Ok(n * unit.mm()),
            Written::Text(text) => parse(text, unit),
        };
        match mm.map(|mm| mm / 10.0) {
            Ok(cm) if fits(&kind, cm) => match known.copied() {
                Some(ours) => {
                    let taken = Taken {
                        kind: ours,
                        cm,
                        place,
                    };
                    tape.body.insert(ours.name, taken);
                }
                None => tape.own.push(Taken { kind, cm, place }),
            },
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

/// Lists the names of the measures that the order can have.
fn names<'c>(asked: &'c Asked) -> impl Iterator<Item = &'c str> {
    let own = asked.measures.iter().map(|own| own.name.as_str());
    KINDS.iter().map(|kind| kind.name).chain(own)
}

/// Suggests the known measure closest to a misspelt name.
fn meant<'c>(name: &str, asked: &Asked<'c>) -> Option<Kind<'c>> {
    let name = &name.to_lowercase();
    let other = called(name).copied();
    other.or_else(|| asked.called(name)).or_else(|| {
        let near = nearest(name, names(asked))?;
        kind(near).copied().or_else(|| asked.measure(near))
    })
}

fn unknown(name: &str, meant: Option<Kind>, asked: &Asked) -> Diagnostic {
    let garment = asked.of_another(|besides| besides.measures.iter().any(|own| own.name == name));
    let fault = match garment {
        Some(garment) => Diagnostic::error(format!(
            "`{name}` is a measure for a garment of the kind `{garment}`, and none is ordered"
        ))
        .help(format!("leave it out, or add a section [{garment}]")),
        None => Diagnostic::error(format!("`{name}` is not a measure")),
    };
    match meant {
        Some(kind) => fault.help(format!("Perhaps: {}: {}", kind.name, kind.taken)),
        None if garment.is_some() => fault,
        None => {
            let names: Vec<&str> = names(asked).collect();
            fault.note(format!("the measures are {}", names.join(", ")))
        }
    }
}

/// Whether a person can have this measure.
pub(super) fn fits(kind: &Kind, cm: f64) -> bool {
    kind.range.0 <= cm && cm <= kind.range.1
}
