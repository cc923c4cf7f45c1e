//! Checking the measures: what is impossible, what is unlikely, and what was probably meant.

use super::asking::{self, Asked};
use super::derive::{Known, complete};
use super::file::{Free, Written};
use super::house::House;
use super::length::Unit;
use super::measures::{self, KINDS, Kind, kind};
use super::reading::Findings;
use super::slips;
use super::tape::{Body, Taken, Tape, fits, read, unit};
use super::words::repeated;
use super::{Measure, Measures, Origin};
use crate::diagnostic::Diagnostic;
use std::collections::BTreeMap;
use std::ops::Range;

/// Reads and checks the measures; derives those that were not taken. `header` is where the section begins, if
/// there is one, and `asked` has what the ordered garments ask for besides. The findings tell lengths in the house's
/// unit, or in that of the measures. The result is complete unless a fault was found.
pub(super) fn check(
    mut raw: Free<Written>,
    header: Option<Range<usize>>,
    house: Option<&House>,
    asked: &Asked,
    findings: &mut Findings,
) -> Measures {
    let unit = unit(&mut raw, findings);
    findings.unit = house.and_then(House::unit).unwrap_or(unit);
    let Tape {
        body,
        own,
        impossible,
        spoilt,
    } = read(raw, unit, asked, findings);
    let taken = body.iter().map(|(name, taken)| (*name, taken.cm)).collect();
    report_impossible(&impossible, &taken, unit, findings);
    let there =
        |k: &Kind| body.contains_key(k.name) || own.iter().any(|other| other.kind.name == k.name);
    let besides = asked.measures.iter().map(|wanted| wanted.kind());
    let all = KINDS.iter().copied().chain(besides);
    let told = |k: &Kind| spoilt.contains(&k.name) || findings.is_left_out("measures", k.name);
    let absent = all.filter(|k| k.required && !there(k) && !told(k));
    let absent: Vec<Kind> = absent.collect();
    report_missing(&absent, header, findings);
    contradictions(&body, findings);
    let lacking = |k: &Kind| k.required && !body.contains_key(k.name);
    let Some(house) = house.filter(|_| !KINDS.iter().any(lacking)) else {
        return Measures::default();
    };
    let known = complete(&taken, house);
    doubts(&body, &known, unit, findings);
    let measure = |(name, found): (&&'static str, &Known)| {
        let origin = if body.contains_key(*name) {
            Origin::Taken
        } else {
            Origin::Derived
        };
        (
            (*name).to_owned(),
            Measure {
                mm: found.cm * 10.0,
                origin,
                open: found.open * 10.0,
            },
        )
    };
    let mut measures = Measures(known.iter().map(measure).collect());
    of_the_blocks(&own, asked, &mut measures, findings);
    measures
}

/// Adds the measures of the blocks' own: as they were taken, with a warning where one is far from what it is derived to
/// be, and otherwise derived.
fn of_the_blocks(taken: &[Taken], asked: &Asked, measures: &mut Measures, findings: &mut Findings) {
    let mut derived = measures.clone();
    asking::complete(&mut derived, &asked.measures);
    for own in taken {
        let name = own.kind.name;
        let as_taken = Measure {
            mm: 10.0 * own.cm,
            origin: Origin::Taken,
            open: 0.0,
        };
        measures.0.insert(name.to_owned(), as_taken);
        if let (Some(most), Some(mm)) = (own.kind.tolerance, derived.mm(name))
            && (own.cm - mm / 10.0).abs() > most
        {
            let doubt = doubted(own, mm / 10.0, None, None, findings.unit);
            findings.at(own.place.clone(), doubt);
        }
    }
    asking::complete(measures, &asked.measures);
}

/// Reports the measures that no person can have: in one finding where all of them would do in the other unit,
/// else each in its own.
fn report_impossible(
    impossible: &[Taken],
    others: &BTreeMap<&'static str, f64>,
    unit: Unit,
    findings: &mut Findings,
) {
    let other = if unit == Unit::Cm {
        Unit::Inch
    } else {
        Unit::Cm
    };
    let in_other = |t: &Taken| fits(&t.kind, t.cm / unit.mm() * other.mm());
    // A unit that was forgotten spoils more than two.
    if impossible.len() > 2 && impossible.iter().all(in_other) {
        report_other_unit(impossible, unit, other, findings);
        return;
    }
    for taken in impossible {
        let fault = impossible_measure(taken, unit, findings);
        let fault = match meant_by(taken, impossible, others, unit) {
            Some(help) => fault.help(help),
            None => fault,
        };
        findings.at(taken.place.clone(), fault);
    }
}

/// Reports at the first of some measures that all of them seem to be in another unit.
fn report_other_unit(impossible: &[Taken], unit: Unit, other: Unit, findings: &mut Findings) {
    let Some(first) = impossible.iter().min_by_key(|t| t.place.start) else {
        return;
    };
    let names: Vec<&str> = impossible.iter().map(|t| t.kind.name).collect();
    let message = format!(
        "these cannot be a person's measures in {}: {}",
        unit.spoken(),
        names.join(", ")
    );
    let help = format!(
        "if they are in {}, start [measures] with unit = \"{}\"",
        other.spoken(),
        other.name()
    );
    findings.labelled(
        first.place.clone(),
        "the first of them",
        Diagnostic::error(message).help(help),
    );
}

/// Says that a measure is impossible, and what lies within belief.
fn impossible_measure(taken: &Taken, unit: Unit, findings: &Findings) -> Diagnostic {
    let (kind, told) = (taken.kind, findings.unit);
    let found = match told {
        // A number beyond all bounds is repeated as it is written.
        _ if !taken.cm.is_finite() => {
            format!("{} {}", findings.written(&taken.place), unit.name())
        }
        _ => repeated(taken.cm, told),
    };
    let (least, most) = (
        told.show(kind.range.0 * 10.0),
        told.show(kind.range.1 * 10.0),
    );
    let message = format!("{} of {found} is impossible", spoken(kind.name));
    Diagnostic::error(message).note(format!(
        "{} lies between {least} and {most}: {}",
        kind.name, kind.taken
    ))
}

/// Guesses what was meant by an impossible measure: another one in its place, or a common slip.
fn meant_by(
    taken: &Taken,
    impossible: &[Taken],
    others: &BTreeMap<&'static str, f64>,
    unit: Unit,
) -> Option<String> {
    // A slip is told by what a survey says of the measure, which it does of the program's alone.
    let kind = kind(taken.kind.name)?;
    let known = |t: &Taken| Some((measures::kind(t.kind.name)?.name, t.cm));
    let unfit = impossible.iter().filter_map(known);
    let mut all = others.iter().map(|(name, cm)| (*name, *cm)).chain(unfit);
    match all.find(|two| slips::exchanged((kind.name, taken.cm), *two, others)) {
        Some((other, _)) => Some(format!("were {} and {other} swapped?", kind.name)),
        None => slips::meant(kind.name, taken.cm, unit, others, |cm| fits(kind, cm)),
    }
}

/// Writes a measure's name as it stands in a sentence: `a nape to waist`.
fn spoken(name: &str) -> String {
    let article = if name.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {}", name.replace('_', " "))
}

fn report_missing(absent: &[Kind], header: Option<Range<usize>>, findings: &mut Findings) {
    if absent.is_empty() {
        return;
    }
    let names: Vec<&str> = absent.iter().map(|k| k.name).collect();
    let mut fault = Diagnostic::error(format!("[measures] needs {}", names.join(", ")));
    for kind in absent {
        fault = fault.help(format!("{}: {} ({})", kind.name, kind.taken, kind.term));
    }
    findings.missing(header, fault);
}

/// Reports pairs of measures that no body can have.
fn contradictions(body: &Body, findings: &mut Findings) {
    let unit = findings.unit;
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
            "the waist is below the armpits by at least",
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
        if b.cm + by <= a.cm && fits(&a.kind, b.cm) && fits(&b.kind, a.cm) {
            fault = fault.help("were the two swapped?");
        }
        findings.at(a.place.clone(), fault);
    }
}

/// Warns of measures far from what the others say.
fn doubts(body: &Body, known: &BTreeMap<&'static str, Known>, unit: Unit, findings: &mut Findings) {
    let lengths = body.iter().map(|(name, taken)| (*name, taken.cm)).collect();
    for doubt in slips::doubts(&lengths, unit) {
        if let Some(taken) = body.get(doubt.name) {
            let said = doubt.expected;
            let within = (said.least..=said.most).contains(&taken.cm);
            let range = (!within).then_some((said.least, said.most));
            let finding = doubted(taken, said.cm, range, doubt.slip, findings.unit);
            findings.at(taken.place.clone(), finding);
        }
    }
    // A measure in which style has a say is judged by its rule instead.
    for taken in body.values() {
        let Some(tolerance) = taken.kind.tolerance else {
            continue;
        };
        let look = |name: &str| known.get(name).map_or(0.0, |known| known.cm);
        let Some(predicted) = taken.kind.predict.map(|predict| predict(&look)) else {
            continue;
        };
        if (taken.cm - predicted).abs() > tolerance {
            let others = body
                .values()
                .filter(|t| t.kind.name != taken.kind.name)
                .map(|t| (t.kind.name, t.cm));
            let near = |cm: f64| (cm - predicted).abs() < tolerance / 2.0;
            let meant = slips::meant(taken.kind.name, taken.cm, unit, &others.collect(), near);
            let told = findings.unit;
            let finding = doubted(taken, predicted, None, meant, told).note(format!(
                "predicted as {}",
                taken.kind.rule_in(told).unwrap_or_default()
            ));
            findings.at(taken.place.clone(), finding);
        }
    }
}

fn doubted(
    taken: &Taken,
    predicted: f64,
    range: Option<(f64, f64)>,
    meant: Option<String>,
    unit: Unit,
) -> Diagnostic {
    let (name, shown) = (spoken(taken.kind.name), unit.show(taken.cm * 10.0));
    let range = range.map_or(String::new(), |(least, most)| {
        let (least, most) = (unit.show(least * 10.0), unit.show(most * 10.0));
        format!(", from {least} to {most}")
    });
    let message = format!(
        "{name} of {shown} does not go with the other measures: expected {}{range}",
        unit.show(predicted * 10.0)
    );
    let again = format!(
        "measure again ({}); if it is right, carry on",
        taken.kind.taken
    );
    Diagnostic::warning(message).help(meant.unwrap_or(again))
}

#[cfg(test)]
mod tests {
    use crate::diagnostic::{Diagnostic, Source};
    use std::path::Path;

    /// What is found in the plain order with these measures besides.
    fn found(measures: &str) -> Vec<Diagnostic> {
        let text = std::fs::read_to_string("examples/plain-worsted.toml").unwrap();
        let text = text.replacen("neck = 40", &format!("neck = 40\n{measures}"), 1);
        match crate::order::parse("x", &Source::new("x.toml", text), Path::new("")) {
            Ok(checked) => checked.warnings,
            Err(faults) => faults,
        }
    }

    #[test]
    fn an_exchange_is_suggested_only_where_it_would_put_both_right() {
        let told = |measures: &str| found(measures)[0].clone();
        let far = told("inside_leg = 108\noutside_leg = 81");
        assert!(far.message.contains("contradict") && far.help.join(" ").contains("swapped?"));
        // Either way the rise would be too short.
        for (inside, outside) in [(85, 90), (90, 85)] {
            let near = told(&format!("inside_leg = {inside}\noutside_leg = {outside}"));
            assert!(near.message.contains("contradict"), "{near:?}");
            assert!(near.help.is_empty(), "{near:?}");
        }
    }

    /// The rule gives 74.8.
    #[test]
    fn a_slip_is_named_for_a_length_of_style_only_where_it_leads_near_its_rule() {
        let told = |length: f64| {
            let found = found(&format!("jacket_length = {length}"));
            assert_eq!(found.len(), 1, "{found:?}");
            let measured = format!("a jacket length of {length} cm does not go with");
            assert!(found[0].message.starts_with(&measured), "{found:?}");
            found[0].help.join(" ")
        };
        assert!(told(57.4).contains("swapped? 75.4 cm"), "{}", told(57.4));
        assert!(told(95.0).starts_with("measure again"), "{}", told(95.0));
        assert!(found("jacket_length = 82").is_empty());
    }
}
