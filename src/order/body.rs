//! Checking the measures: what is impossible, what is unlikely, and what was probably meant.

use super::choices::shown;
use super::diagnostic::{Diagnostic, nearest};
use super::file::{Free, Written};
use super::length::{Unit, parse};
use super::measures::{KINDS, Kind, called, complete, kind};
use super::reading::Findings;
use super::{Measure, Measures, Origin};
use std::collections::BTreeMap;
use std::ops::Range;

/// The three girths that predict each other.
const GIRTHS: [&str; 3] = ["chest", "waist", "seat"];

/// A measure as the order gives it.
struct Taken {
    kind: &'static Kind,
    cm: f64,
    place: Range<usize>,
}

type Body = BTreeMap<&'static str, Taken>;

/// What was read of the measures.
#[derive(Default)]
struct Tape {
    /// Those that can be.
    body: Body,
    /// Those that no person has.
    impossible: Vec<Taken>,
    /// Names that a fault was found about, so that they are not called missing as well.
    spoilt: Vec<&'static str>,
}

/// Reads and checks the measures; derives those that were not taken. `header` is where the section
/// begins, if there is one. The result is complete unless a fault was found.
pub fn check(
    mut raw: Free<Written>,
    header: Option<Range<usize>>,
    findings: &mut Findings,
) -> Measures {
    let unit = unit(&mut raw, findings);
    let Tape {
        body,
        impossible,
        spoilt,
    } = read(raw, unit, findings);
    report_impossible(&impossible, unit, findings);
    let absent = KINDS
        .iter()
        .filter(|k| k.required && !body.contains_key(k.name));
    let absent: Vec<&Kind> = absent.filter(|k| !spoilt.contains(&k.name)).collect();
    report_missing(&absent, header, findings);
    contradictions(&body, unit, findings);
    if KINDS
        .iter()
        .any(|k| k.required && !body.contains_key(k.name))
    {
        return Measures::default();
    }
    let known = complete(&body.iter().map(|(name, taken)| (*name, taken.cm)).collect());
    doubts(&body, &known, unit, findings);
    let measure = |(name, cm): (&&'static str, &f64)| {
        let origin = if body.contains_key(*name) {
            Origin::Taken
        } else {
            Origin::Derived
        };
        (
            (*name).to_owned(),
            Measure {
                mm: cm * 10.0,
                origin,
            },
        )
    };
    Measures(known.iter().map(measure).collect())
}

fn unit(raw: &mut Free<Written>, findings: &mut Findings) -> Unit {
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
                "",
                fault.note("it holds for every bare number in [measures]"),
            );
            Unit::Cm
        }
    }
}

fn read(raw: Free<Written>, unit: Unit, findings: &mut Findings) -> Tape {
    let mut tape = Tape::default();
    for (key, value) in raw {
        let Some(kind) = kind(key.get_ref()) else {
            let meant = meant(key.get_ref());
            findings.at(key.span(), "", unknown(key.get_ref(), meant));
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
                findings.at(place, "", fault.help(help));
                tape.spoilt.push(kind.name);
            }
        }
    }
    tape
}

/// The measure that was probably meant by a name that is none.
fn meant(name: &str) -> Option<&'static Kind> {
    called(&name.to_lowercase()).or_else(|| kind(nearest(name, KINDS.iter().map(|k| k.name))?))
}

fn unknown(name: &str, meant: Option<&Kind>) -> Diagnostic {
    let fault = Diagnostic::error(format!("`{name}` is not a measure"));
    match meant {
        Some(kind) => fault.help(format!("did you mean `{}`: {}?", kind.name, kind.taken)),
        None => {
            let names: Vec<&str> = KINDS.iter().map(|k| k.name).collect();
            fault.note(format!("the measures are {}", names.join(", ")))
        }
    }
}

fn report_impossible(impossible: &[Taken], unit: Unit, findings: &mut Findings) {
    let other = if unit == Unit::Cm {
        Unit::Inch
    } else {
        Unit::Cm
    };
    let in_other = |t: &&Taken| fits(t.kind, t.cm / unit.mm() * other.mm());
    if impossible.len() > 2 && impossible.iter().filter(in_other).count() == impossible.len() {
        let Some(first) = impossible.iter().min_by_key(|t| t.place.start) else {
            return;
        };
        let names: Vec<&str> = impossible.iter().map(|t| t.kind.name).collect();
        let message = format!(
            "these cannot be measures of a person in {}: {}",
            unit.spoken(),
            names.join(", ")
        );
        let help = format!(
            "if they are in {}, begin [measures] with unit = \"{}\"",
            other.spoken(),
            other.name()
        );
        findings.at(
            first.place.clone(),
            "the first of them",
            Diagnostic::error(message).help(help),
        );
        return;
    }
    for taken in impossible {
        let kind = taken.kind;
        let found = match unit {
            Unit::Cm => format!("{} cm", shown(taken.cm)),
            Unit::Inch => unit.show(taken.cm * 10.0),
        };
        let (least, most) = (
            unit.show(kind.range.0 * 10.0),
            unit.show(kind.range.1 * 10.0),
        );
        let mut fault =
            Diagnostic::error(format!("{} of {found} is impossible", spoken(kind.name))).note(
                format!(
                    "{} lies between {least} and {most}: {}",
                    kind.name, kind.taken
                ),
            );
        if let Some(help) = slip(taken, unit, |cm| fits(kind, cm)) {
            fault = fault.help(help);
        }
        findings.at(taken.place.clone(), "", fault);
    }
}

/// A measure's name as it stands in a sentence: `a nape to waist`.
fn spoken(name: &str) -> String {
    let article = if name.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {}", name.replace('_', " "))
}

fn fits(kind: &Kind, cm: f64) -> bool {
    kind.range.0 <= cm && cm <= kind.range.1
}

/// What was probably meant: the first of the usual slips of the pen that makes the value likely.
fn slip(taken: &Taken, unit: Unit, likely: impl Fn(f64) -> bool) -> Option<String> {
    let name = taken.kind.name;
    let cm = taken.cm;
    let written = cm * 10.0 / unit.mm();
    let exchanged = (unit == Unit::Cm)
        .then(|| exchanged_digits(written))
        .flatten();
    let half = name == "half_back";
    let slips = [
        (
            Some(cm * 2.54),
            unit == Unit::Cm,
            format!("if it was taken in inches, write \"{} in\"", short(written)),
        ),
        (
            Some(cm / 2.54),
            unit == Unit::Inch,
            format!("if it was taken in cm, write \"{} cm\"", short(written)),
        ),
        (
            Some(cm / 10.0),
            unit == Unit::Cm,
            format!("if it was taken in mm, write \"{} mm\"", short(written)),
        ),
        (
            Some(cm * 10.0),
            true,
            format!("has the decimal point slipped? {}", unit.show(cm * 100.0)),
        ),
        (
            Some(cm * 100.0),
            unit == Unit::Cm,
            format!("if it is in metres, write {}", short(written * 100.0)),
        ),
        (
            Some(cm / 2.0),
            half,
            format!("half of the back is wanted: {}", unit.show(cm * 5.0)),
        ),
        (
            Some(cm * 2.0),
            !half,
            format!(
                "if it is half of the measure, write the whole: {}",
                unit.show(cm * 20.0)
            ),
        ),
        (
            exchanged,
            true,
            format!(
                "were two digits exchanged? {}",
                unit.show(exchanged.unwrap_or_default() * 10.0)
            ),
        ),
    ];
    let found = slips
        .into_iter()
        .find(|(cm, may, _)| *may && cm.is_some_and(&likely));
    found.map(|(_, _, help)| help)
}

fn short(number: f64) -> f64 {
    (number * 100.0).round() / 100.0
}

/// The last two digits before the point the other way round, if that makes another number.
fn exchanged_digits(number: f64) -> Option<f64> {
    let whole = number.trunc();
    let (tens, ones) = ((whole / 10.0).trunc() % 10.0, whole % 10.0);
    (tens != ones && number >= 10.0).then_some(number + 9.0 * (ones - tens))
}

fn report_missing(absent: &[&Kind], header: Option<Range<usize>>, findings: &mut Findings) {
    if absent.is_empty() {
        return;
    }
    let names: Vec<&str> = absent.iter().map(|k| k.name).collect();
    let mut fault = Diagnostic::error(format!("[measures] lacks {}", names.join(", ")));
    for kind in absent {
        fault = fault.help(format!("{}: {} ({})", kind.name, kind.taken, kind.term));
    }
    findings.missing(header, fault);
}

/// Pairs that no body can have.
fn contradictions(body: &Body, unit: Unit, findings: &mut Findings) {
    let pairs = [
        (
            "inside_leg",
            "outside_leg",
            12.0,
            "the rise between them is at least",
        ),
        (
            "scye_depth",
            "nape_to_waist",
            6.0,
            "the waist lies below the armpits by at least",
        ),
        (
            "nape_to_waist",
            "jacket_length",
            8.0,
            "a jacket is longer than the waist by at least",
        ),
        (
            "outside_leg",
            "height",
            30.0,
            "the body above the waist is at least",
        ),
    ];
    for (less, more, by, why) in pairs {
        let (Some(a), Some(b)) = (body.get(less), body.get(more)) else {
            continue;
        };
        if a.cm + by <= b.cm {
            continue;
        }
        let message = format!(
            "{less} {} and {more} {} contradict each other",
            unit.show(a.cm * 10.0),
            unit.show(b.cm * 10.0)
        );
        let mut fault = Diagnostic::error(message).note(format!("{why} {}", unit.show(by * 10.0)));
        if b.cm + by <= a.cm && fits(a.kind, b.cm) && fits(b.kind, a.cm) {
            fault = fault.help("have the two been exchanged?");
        }
        findings.at(a.place.clone(), "", fault);
    }
}

/// How far a taken measure is from its prediction, in tolerances, and the prediction in cm.
fn deviation(kind: &Kind, cm: f64, known: &BTreeMap<&str, f64>) -> Option<(f64, f64)> {
    let predicted = kind.predict?(&|name| known.get(name).copied().unwrap_or_default());
    Some(((cm - predicted).abs() / kind.tolerance, predicted))
}

/// Warns of measures far from what the others predict. Of the three girths that predict each
/// other only the furthest is named, since one slip moves all three.
fn doubts(body: &Body, known: &BTreeMap<&'static str, f64>, unit: Unit, findings: &mut Findings) {
    let far = |t: &Taken| deviation(t.kind, t.cm, known).filter(|(by, _)| *by > 1.0);
    let doubted = body
        .values()
        .filter_map(|t| far(t).map(|(by, predicted)| (t, by, predicted)));
    let (girths, others): (Vec<_>, Vec<_>) =
        doubted.partition(|(t, ..)| GIRTHS.contains(&t.kind.name));
    let worst = girths.into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
    for (taken, _, predicted) in worst.into_iter().chain(others) {
        let (name, shown) = (spoken(taken.kind.name), unit.show(taken.cm * 10.0));
        let message = format!(
            "{name} of {shown} is far from what the other measures predict: {}",
            unit.show(predicted * 10.0)
        );
        let mut doubt =
            Diagnostic::warning(message).note(format!("predicted in cm as {}", taken.kind.rule));
        let close = |cm: f64| (cm - predicted).abs() < taken.kind.tolerance / 2.0;
        let meant = exchanged_girths(taken.kind.name, known).or_else(|| slip(taken, unit, close));
        doubt = doubt.help(meant.unwrap_or_else(|| {
            format!(
                "take it again ({}); if it is right, go on",
                taken.kind.taken
            )
        }));
        findings.at(taken.place.clone(), "", doubt);
    }
}

/// Whether exchanging two of the girths makes all three likely.
fn exchanged_girths(name: &str, known: &BTreeMap<&'static str, f64>) -> Option<String> {
    let worst = |known: &BTreeMap<&'static str, f64>| {
        let by = |name: &&str| deviation(kind(name)?, *known.get(name)?, known).map(|(by, _)| by);
        GIRTHS.iter().filter_map(by).fold(0.0, f64::max)
    };
    let others = GIRTHS
        .iter()
        .filter(|other| **other != name && GIRTHS.contains(&name));
    others.into_iter().find_map(|other| {
        let mut exchanged = known.clone();
        let (a, b) = (*known.get(name)?, *known.get(other)?);
        exchanged.extend(GIRTHS.iter().filter(|n| **n == name).map(|n| (*n, b)));
        exchanged.insert(other, a);
        (worst(&exchanged) < 0.5).then(|| format!("have {name} and {other} been exchanged?"))
    })
}
