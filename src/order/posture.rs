//! Reading `[figure]` and the `[[fitting]]` records.

use super::alterations::{ALTERATIONS, Alteration};
use super::asking::Asked;
use super::besides::OwnCorrection;
use super::corrections::{CORRECTIONS, Correction, Measured, correction, keys, read};
use super::figure::{Amount, Figure, Fitting};
use super::file::Lines;
use super::reading::Findings;
use super::slope;
use super::text::{line, lines};
use super::words::{repeated, shown};
use crate::diagnostic::Diagnostic;
use crate::units::Unit;
use serde::Deserialize;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue, ValueDeserializer};

/// Reads `[figure]`: what it is corrected for, and its notes. `asked` has what the ordered garments ask for besides.
pub(super) fn figure(
    section: Option<Spanned<DeValue>>,
    asked: &Asked,
    findings: &mut Findings,
) -> (Figure, Vec<String>) {
    let mut figure = Figure::default();
    let mut notes = Vec::new();
    let mut sloping = None;
    let Some(table) = section.and_then(|s| findings.table("figure", s)) else {
        return (figure, notes);
    };
    for (key, value) in table.0 {
        let (place, name) = (key.span(), key.into_inner());
        if name == "notes" {
            notes = read_lines(value, findings);
            continue;
        }
        if name == slope::KEY {
            sloping = slope::read(&value, findings).map(|amount| (place, amount));
            continue;
        }
        let own = || asked.correction(&name);
        let Some((correction, way)) = correction(&name).map(|(c, way)| (*c, way)).or_else(own)
        else {
            findings.at(place, unknown(&name, asked));
            continue;
        };
        if figure.0.contains_key(correction.name) {
            findings.at(place, contradiction(&correction));
            continue;
        }
        if let Some(amount) = amount(value, &correction, &name, findings) {
            let (left, right) = (way * amount.left, way * amount.right);
            figure.add(correction.name, Amount { left, right });
        }
    }
    if let Some((place, amount)) = sloping {
        add_slope(&mut figure, amount, place, findings);
    }
    (figure, notes)
}

/// Says that a correction and its opposite are both given.
fn contradiction(correction: &Correction) -> Diagnostic {
    let both = [Some(correction.name), correction.opposite];
    let both: Vec<&str> = both.into_iter().flatten().collect();
    let message = format!("{} contradict each other", both.join(" and "));
    Diagnostic::error(message).help("give only one of them")
}

/// Adds the slope of a photograph to a figure whose shoulders are not described otherwise.
fn add_slope(figure: &mut Figure, amount: Amount, place: Range<usize>, findings: &mut Findings) {
    if figure.0.contains_key(slope::CORRECTION) {
        let message = format!(
            "{} and {} say the same twice",
            slope::KEY,
            slope::CORRECTION
        );
        findings.at(
            place,
            Diagnostic::error(message).help("give only one of them"),
        );
        return;
    }
    figure.add(slope::CORRECTION, amount);
}

fn unknown(name: &str, asked: &Asked) -> Diagnostic {
    let has = |own: &OwnCorrection| own.correction().way(name).is_some();
    let garment = asked.of_another(|besides| besides.corrections.iter().any(has));
    if let Some(garment) = garment {
        return Diagnostic::error(format!(
            "`{name}` is a correction for a garment of the kind `{garment}`, and none is ordered"
        ))
        .help(format!("leave it out, or add a section [{garment}]"));
    }
    let fault = Diagnostic::error(format!("`{name}` is not known in [figure]"));
    if let Some(meant) = CORRECTIONS.iter().find(|c| c.also.contains(&name)) {
        let other = meant
            .opposite
            .map(|o| format!(", or `{o}`"))
            .unwrap_or_default();
        return fault.help(format!("Perhaps: {}{other}: {}", meant.name, meant.about));
    }
    if ALTERATIONS.iter().any(|a| a.name == name) {
        return fault.help("it belongs in a [[fitting]]");
    }
    let mut names: Vec<&str> = keys().chain([slope::KEY]).collect();
    names.extend(asked.corrections.iter().flat_map(|own| own.keys()));
    fault
        .suggest(name, names.iter().copied())
        .note(format!("[figure] can have notes, {}", names.join(", ")))
}

/// Reads an amount, or one for each side.
fn amount(
    value: Spanned<DeValue>,
    correction: &Correction,
    name: &str,
    findings: &mut Findings,
) -> Option<Amount> {
    let place = value.span();
    let value = value.into_inner();
    let DeValue::Table(sides) = value else {
        return single(value, place, correction, name, findings).map(Amount::both);
    };
    if !correction.sided {
        let fault = Diagnostic::error(format!("{name} is the same on both sides"));
        findings.at(place, fault.help("give one number"));
        return None;
    }
    let mut amount = Amount::default();
    for (key, given) in sides {
        let at = given.span();
        match key.get_ref().as_ref() {
            "left" => amount.left = single(given.into_inner(), at, correction, name, findings)?,
            "right" => amount.right = single(given.into_inner(), at, correction, name, findings)?,
            other => {
                let fault = Diagnostic::error(format!("`{other}` is not a side"));
                findings.at(key.span(), fault.suggest(other, ["left", "right"]));
                return None;
            }
        }
    }
    Some(amount)
}

fn single(
    value: DeValue,
    place: Range<usize>,
    correction: &Correction,
    name: &str,
    findings: &mut Findings,
) -> Option<f64> {
    let cm = match &value {
        DeValue::String(text) => read(text, correction),
        DeValue::Integer(_) | DeValue::Float(_) => {
            f64::deserialize(ValueDeserializer::from(Spanned::new(place.clone(), value)))
                .map_err(|e| e.message().to_owned())
        }
        _ => Err("it needs a number".to_owned()),
    };
    let whole = |number: f64| {
        correction.measured != Measured::Stage || (number.fract() == 0.0 && number >= 0.0)
    };
    let fault = match cm {
        Ok(cm) if cm < 0.0 && !correction.either_way => {
            Diagnostic::error(format!("{name} cannot be negative"))
                .help("leave it out if there is none")
        }
        Ok(cm) if cm.abs() <= correction.most + 1e-9 && whole(cm) => return Some(cm),
        Ok(cm) if !whole(cm) => Diagnostic::error(format!("{name} is given in stages"))
            .help(format!("give a whole number from 0 to {}", correction.most)),
        Ok(cm) => Diagnostic::error(format!(
            "{name} = {} is too large",
            said(cm, correction, &findings.written(&place), findings.unit)
        ))
        .note(format!(
            "the most is {} ({})",
            most(correction, findings.unit),
            correction.about
        ))
        .help("a difference that large is a measure to be taken, not a correction"),
        Err(fault) => {
            let degrees = if matches!(correction.measured, Measured::Slope(_)) {
                ", \"4 deg\""
            } else {
                ""
            };
            let sides = if correction.sided {
                ", { left = 1, right = 0.5 }"
            } else {
                ""
            };
            Diagnostic::error(format!("{name}: {fault}")).help(format!(
                "give an amount such as 1.5, \"3/8 in\"{degrees}{sides}"
            ))
        }
    };
    findings.at(place, fault);
    None
}

/// Repeats an amount as it was written, and in the reader's unit where it was in another.
fn said(cm: f64, correction: &Correction, written: &str, unit: Unit) -> String {
    let is_text = written.starts_with(['"', '\'']);
    match correction.measured {
        Measured::Stage => shown(cm),
        _ if is_text => format!("{written}, which is {},", repeated(cm, unit)),
        _ if unit == Unit::Cm => repeated(cm, unit),
        _ => format!("{written} cm, which is {},", repeated(cm, unit)),
    }
}

/// Writes the most that a correction may be.
fn most(correction: &Correction, unit: Unit) -> String {
    match correction.measured {
        Measured::Stage => shown(correction.most),
        _ => unit.show(10.0 * correction.most),
    }
}

fn read_lines(value: Spanned<DeValue>, findings: &mut Findings) -> Vec<String> {
    let place = value.span();
    match Spanned::<Lines>::deserialize(ValueDeserializer::from(value)) {
        Ok(read) => lines(Some(read), findings),
        Err(_) => {
            findings.at(
                place,
                Diagnostic::error("notes are text or a list of texts"),
            );
            Vec::new()
        }
    }
}

/// Reads the `[[fitting]]` records, in order; `ordered` is the day of the order, if it has one.
pub(super) fn fittings(
    section: Option<Spanned<DeValue>>,
    ordered: Option<&str>,
    findings: &mut Findings,
) -> Vec<Fitting> {
    let Some(section) = section else {
        return Vec::new();
    };
    let whole = section.span();
    let DeValue::Array(records) = section.into_inner() else {
        let fault = Diagnostic::error("each fitting is a record of its own");
        findings.at(whole, fault.help("write [[fitting]], in double brackets"));
        return Vec::new();
    };
    let mut fittings: Vec<Fitting> = Vec::new();
    for record in records {
        let place = record.span();
        let DeValue::Table(table) = record.into_inner() else {
            continue;
        };
        let found = fitting(table, place.clone(), findings);
        // Days in this form sort as text.
        let day = Some(found.date.as_str()).filter(|day| !day.is_empty());
        let early = day
            .zip(ordered)
            .filter(|(day, ordered)| day < ordered && found.earlier.is_none());
        if let Some((held, dated)) = early {
            let fault = Diagnostic::error(format!(
                "the fitting of {held} is before the order, which is dated {dated}"
            ));
            let help = "correct the date; or, if it was a fitting of an earlier order that this one follows, name that order: order = \"its reference\"";
            findings.at(place.clone(), fault.help(help));
        }
        if fittings
            .last()
            .is_some_and(|before| found.date < before.date)
            && !found.date.is_empty()
        {
            let doubt = Diagnostic::warning(format!(
                "the fitting of {} comes after a later one",
                found.date
            ));
            let help =
                "put the fittings in the order of their dates: each is drafted on those above it";
            findings.at(place, doubt.help(help));
        }
        fittings.push(found);
    }
    fittings
}

fn fitting(table: DeTable, place: Range<usize>, findings: &mut Findings) -> Fitting {
    let mut fitting = Fitting::default();
    let mut dated = false;
    for (key, value) in table {
        let (at, name) = (key.span(), key.into_inner());
        match name.as_ref() {
            "date" => {
                dated = true;
                let span = value.span();
                match Spanned::<toml::Value>::deserialize(ValueDeserializer::from(value)) {
                    Ok(date) => fitting.date = findings.day(&date).unwrap_or_default(),
                    Err(_) => findings.at(span, Diagnostic::error("this is not a date")),
                }
            }
            "notes" => fitting.notes = read_lines(value, findings),
            "order" => {
                let span = value.span();
                match Spanned::<String>::deserialize(ValueDeserializer::from(value)) {
                    Ok(text) => fitting.earlier = line(text, findings),
                    Err(_) => {
                        let fault = Diagnostic::error("`order` must be the reference of an order");
                        findings.at(span, fault.help("write it in quotes"));
                    }
                }
            }
            other => match ALTERATIONS.iter().find(|a| a.name == other) {
                Some(alteration) => {
                    let amount = altered(alteration, value, at, &fitting, findings);
                    fitting
                        .alterations
                        .extend(amount.map(|amount| (alteration.name, amount)));
                }
                None => findings.at(at, not_known(other)),
            },
        }
    }
    if !dated {
        findings.at(
            place,
            Diagnostic::error("a [[fitting]] needs its date").help("date = 2026-03-02"),
        );
    }
    fitting
}

fn not_known(name: &str) -> Diagnostic {
    let names: Vec<&str> = ALTERATIONS.iter().map(|a| a.name).collect();
    let fault = Diagnostic::error(format!("`{name}` is not known in a [[fitting]]"));
    fault.suggest(name, names.iter().copied()).note(format!(
        "a fitting can have date, order, notes, {}",
        names.join(", ")
    ))
}

/// Reads the amount of an alteration. An alteration with a contrary is never negative, nor written beside its
/// contrary for the same side.
fn altered(
    alteration: &Alteration,
    value: Spanned<DeValue>,
    key: Range<usize>,
    fitting: &Fitting,
    findings: &mut Findings,
) -> Option<Amount> {
    let place = value.span();
    let (correction, _) = correction(alteration.correction)?;
    let amount = amount(value, correction, alteration.name, findings)?;
    let contrary = ALTERATIONS
        .iter()
        .find(|other| other.correction == alteration.correction && other.way != alteration.way)?;
    if amount.left < 0.0 || amount.right < 0.0 {
        let fault = Diagnostic::error(format!("{} cannot be negative", alteration.name));
        let help = format!("its opposite is {}", contrary.name);
        findings.at(place, fault.help(help));
        return None;
    }
    let both = |other: &Amount| {
        (other.left != 0.0 && amount.left != 0.0) || (other.right != 0.0 && amount.right != 0.0)
    };
    let said = fitting.alterations.iter();
    if let Some((other, _)) = said
        .into_iter()
        .find(|(name, other)| *name == contrary.name && both(other))
    {
        let fault = Diagnostic::error(format!(
            "{} and {other} contradict each other in one fitting",
            alteration.name
        ));
        findings.at(key, fault.help("give the difference of the two, once"));
        return None;
    }
    Some(amount)
}
