//! Reading the measures and corrections of a block's own, in its `measures.toml`.

use super::besides::{Besides, Derived, OwnCorrection, OwnMeasure};
use super::corrections::{correction, keys};
use super::inheriting::liked_by;
use super::measures::{KINDS, kind};
use super::phrase::Phrase;
use super::reading::Findings;
use super::slope;
use super::words::shown;
use crate::diagnostic::{Diagnostic, Source};
use serde::Deserialize;
use std::fs;
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;
use toml::de::{DeTable, DeValue};
use toml::{Spanned, Value};

/// What the program's own blocks ask for besides.
const BUILT_IN: &[(&str, &str)] = &[(
    "overcoat",
    include_str!("../../blocks/overcoat/measures.toml"),
)];

/// A measure as a file has it.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Measure {
    about: String,
    also: Vec<String>,
    least: Option<f64>,
    most: Option<f64>,
    required: bool,
    derived: Option<Value>,
    otherwise: Option<String>,
    doubt: Option<f64>,
}

/// A correction as a file has it.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Correction {
    about: String,
    most: Option<f64>,
    stages: bool,
    opposite: Option<String>,
    sides: bool,
    negative: bool,
}

/// Reads what a line of garments asks for, the furthest first: each adds to those before it, or changes them.
///
/// # Errors
/// Returns everything that is wrong with the first file that has a fault.
pub(super) fn read(line: &[String], folder: Option<&Path>) -> Result<Besides, Vec<Diagnostic>> {
    let mut all = Besides::default();
    for garment in line {
        let own = folder.map(|folder| folder.join(garment));
        let choices = own.as_ref().map(|own| own.join("choices.toml"));
        // A file that says what its garment is like stands in the place of the program's garment.
        let whole = choices
            .and_then(|file| fs::read_to_string(file).ok())
            .is_some_and(|text| liked_by(&text).is_some());
        let built_in = BUILT_IN.iter().find(|(name, _)| name == garment && !whole);
        if let Some((name, text)) = built_in {
            let source = Source::new(format!("blocks/{name}/measures.toml"), *text);
            all.lay_over(declared(&source, &all)?);
        }
        let own = own.map(|own| own.join("measures.toml"));
        if let Some(file) = own.filter(|file| file.is_file()) {
            let source = Source::read(&file).map_err(|fault| vec![fault])?;
            all.lay_over(declared(&source, &all)?);
        }
    }
    Ok(all)
}

/// Reads one file, which may leave out what was declared before it.
fn declared(source: &Arc<Source>, before: &Besides) -> Result<Besides, Vec<Diagnostic>> {
    let mut findings = Findings::new(source);
    let mut besides = Besides::default();
    for (key, value) in findings.parse(&source.text).into_iter().flatten() {
        let name = key.get_ref().to_string();
        match name.as_str() {
            "measures" => each(&name, value, &mut findings, |name, one, findings| {
                let own = measure(name, findings.section(name, one))?;
                besides.measures.push(own);
                Ok(())
            }),
            "figure" => each(&name, value, &mut findings, |name, one, findings| {
                let own = own_correction(name, findings.section(name, one))?;
                besides.corrections.push(own);
                Ok(())
            }),
            "without" => besides.without = without(value, before, &mut findings),
            _ => {
                let fault = Diagnostic::error(format!("`{name}` is neither measures nor figure"));
                let help = "write [measures.a_name] or [figure.a_name], or without = [\"a_name\"]";
                findings.at(
                    key.span(),
                    fault.suggest(&name, ["measures", "figure"]).help(help),
                );
            }
        }
    }
    match findings.failed() {
        true => Err(findings.in_order()),
        false => Ok(besides),
    }
}

/// Reads the names that are left out; one that was not declared is told.
fn without(value: Spanned<DeValue>, before: &Besides, findings: &mut Findings) -> Vec<String> {
    let place = value.span();
    let names = value.into_inner();
    let Some(names) = names.as_array() else {
        let fault = Diagnostic::error("`without` is a list of names");
        findings.at(place, fault.help("write without = [\"coat_length\"]"));
        return Vec::new();
    };
    let mut without = Vec::new();
    for name in names {
        match name.get_ref().as_str() {
            Some(known) if before.declares(known) => without.push(known.to_owned()),
            _ => {
                let fault = "the garments that this one is like declare no measure or correction of this name";
                findings.at(name.span(), Diagnostic::error(fault));
            }
        }
    }
    without
}

/// Reads each table of a section; what is wrong with one is told at its name.
fn each(
    section: &str,
    value: Spanned<DeValue>,
    findings: &mut Findings,
    mut read: impl FnMut(&str, Spanned<DeValue>, &mut Findings) -> Result<(), String>,
) {
    let table: Option<(DeTable, Range<usize>)> = findings.table(section, value);
    for (key, one) in table.into_iter().flat_map(|(table, _)| table) {
        let name = key.get_ref().to_string();
        if let Err(fault) = read(&name, one, findings) {
            findings.at(key.span(), Diagnostic::error(format!("{name}: {fault}")));
        }
    }
}

/// Refuses a name that no key of an order can have.
fn plain(name: &str) -> Result<(), String> {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
    match name.starts_with(|c: char| c.is_ascii_lowercase()) && name.chars().all(plain) {
        true => Ok(()),
        false => Err("a name has small letters, digits and _, and begins with a letter".to_owned()),
    }
}

fn measure(name: &str, raw: Measure) -> Result<OwnMeasure, String> {
    plain(name)?;
    if kind(name).is_some() || name == "unit" {
        return Err("every order has a key of that name: give it another".to_owned());
    }
    if raw.about.is_empty() {
        return Err("needs `about`, which says how the tape runs".to_owned());
    }
    let range = match (raw.least, raw.most) {
        (Some(least), Some(most)) if 0.0 < least && least < most => (least, most),
        _ => return Err("needs `least` and `most` in cm, the smaller first".to_owned()),
    };
    let derived = derived(raw.derived.as_ref(), raw.required)?;
    if let Derived::Drafted = derived
        && !raw.required
        && raw.otherwise.is_none()
    {
        return Err("needs `otherwise`, which says what is drafted where it was not taken".into());
    }
    let rule = raw.otherwise.or_else(|| in_words(&derived));
    if let Some(rule) = &rule {
        Phrase::read(rule)?;
    }
    Ok(OwnMeasure {
        name: name.to_owned(),
        about: raw.about,
        also: raw.also,
        range,
        required: raw.required,
        derived,
        rule,
        doubt: raw.doubt,
    })
}

/// Reads how a measure is derived: `"drafted"`, or `{ height = 0.6, plus = 2 }`.
fn derived(value: Option<&Value>, required: bool) -> Result<Derived, String> {
    let written =
        "write derived = { height = 0.6, plus = 2 }, derived = \"drafted\", or required = true";
    let table = match value {
        None if required => return Ok(Derived::Drafted),
        Some(Value::String(word)) if word == "drafted" => return Ok(Derived::Drafted),
        Some(Value::Table(table)) => table,
        _ => return Err(format!("how is it derived? {written}")),
    };
    let (mut plus, mut parts) = (0.0, Vec::new());
    for (of, part) in table {
        let number = part
            .as_float()
            .or(part.as_integer().map(|whole| whole as f64));
        let Some(number) = number.filter(|number| number.is_finite()) else {
            return Err(format!("derived: {of} needs a number; {written}"));
        };
        match of.as_str() {
            "plus" => plus = number,
            of if kind(of).is_some() => parts.push((of.to_owned(), number)),
            of => {
                let names = KINDS.iter().map(|kind| kind.name);
                let meant = crate::diagnostic::nearest(of, names);
                let meant = meant.map_or(String::new(), |meant| format!(". Perhaps: {meant}"));
                return Err(format!(
                    "derived: `{of}` is not a measure of every order{meant}"
                ));
            }
        }
    }
    Ok(Derived::Sum(plus, parts))
}

/// Says a sum in words, its length as data: `0.6 height + {2 cm}`.
fn in_words(derived: &Derived) -> Option<String> {
    let Derived::Sum(plus, parts) = derived else {
        return None;
    };
    let parts = parts
        .iter()
        .map(|(name, part)| format!("{} {name}", shown(*part)));
    let plus = (*plus != 0.0).then(|| format!("{{{plus} cm}}"));
    Some(parts.chain(plus).collect::<Vec<_>>().join(" + "))
}

fn own_correction(name: &str, raw: Correction) -> Result<OwnCorrection, String> {
    let opposite = raw.opposite;
    for key in [Some(name), opposite.as_deref()].into_iter().flatten() {
        plain(key)?;
        if correction(key).is_some() || ["notes", slope::KEY].contains(&key) {
            let known: Vec<&str> = keys().collect();
            let taken = "every order has a key of that name: give it another. Those are";
            return Err(format!("{taken} {}", known.join(", ")));
        }
    }
    if raw.about.is_empty() {
        return Err("needs `about`, which says what is seen or wanted".to_owned());
    }
    let Some(most) = raw.most.filter(|most| *most > 0.0) else {
        return Err("needs `most`: in cm, or the last stage".to_owned());
    };
    if raw.stages && (most.fract() != 0.0 || raw.negative || opposite.is_some()) {
        return Err("stages are whole numbers from 0, without an opposite".to_owned());
    }
    if raw.stages && raw.sides {
        return Err("stages are the same on both sides".to_owned());
    }
    Ok(OwnCorrection {
        name: name.to_owned(),
        either_way: raw.negative || opposite.is_some(),
        opposite,
        about: raw.about,
        most,
        stages: raw.stages,
        sided: raw.sides,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Besides, String> {
        let source = Source::new("coat/measures.toml", text);
        declared(&source, &Besides::default()).map_err(|faults| {
            let all: Vec<String> = faults.into_iter().map(|fault| fault.message).collect();
            all.join("; ")
        })
    }

    #[test]
    fn a_measure_is_derived_from_those_that_every_order_has() {
        let text = "[measures.skirt]\nabout = \"waist to hem\"\nleast = 20\nmost = 90\n\
                    derived = { height = 0.6, nape_to_waist = -1, plus = 2 }\n\
                    [figure.full_calves]\nabout = \"more\"\nmost = 3\nopposite = \"thin_calves\"\nsides = true\n";
        let besides = read(text).unwrap();
        let look = |name: &str| if name == "height" { 180.0 } else { 46.0 };
        assert_eq!(besides.measures[0].derive(&look), Some(64.0));
        assert_eq!(
            besides.measures[0].rule.as_deref(),
            Some("0.6 height + -1 nape_to_waist + {2 cm}")
        );
        let seen = besides.corrections[0].correction();
        assert!(seen.sided && seen.either_way && seen.way("thin_calves") == Some(-1.0));
        let mut changed = besides.clone();
        let other = text.replace("waist to hem", "waist to knee");
        changed.lay_over(read(&other).unwrap());
        assert_eq!(changed.measures.len(), 1);
        assert_eq!(changed.measures[0].about, "waist to knee");
        let heir = Source::new(
            "cape/measures.toml",
            "without = [\"skirt\", \"full_calves\"]\n",
        );
        changed.lay_over(declared(&heir, &besides).unwrap());
        assert!(changed.measures.is_empty() && changed.corrections.is_empty());
        let misspelt = Source::new("cape/measures.toml", "without = [\"skrit\"]\n");
        assert!(
            declared(&misspelt, &besides).unwrap_err()[0]
                .message
                .contains("declare no measure")
        );
    }

    #[test]
    fn faults_of_a_file_are_told() {
        let measure = "[measures.skirt]\nabout = \"a\"\nleast = 20\nmost = 90\n";
        let seen = "[figure.full_calves]\nabout = \"a\"\nmost = 3\n";
        for (text, told) in [
            ("[measure.a]\n".to_owned(), "neither measures nor figure"),
            (measure.to_owned(), "how is it derived?"),
            (
                format!("{measure}derived = \"drafted\"\n"),
                "needs `otherwise`",
            ),
            (
                format!("{measure}derived = {{ hieght = 0.6 }}\n"),
                "Perhaps: height",
            ),
            (
                measure.replace("least = 20", ""),
                "needs `least` and `most`",
            ),
            (measure.replace("skirt", "chest"), "every order has a key"),
            (measure.replace("skirt", "\"a b\""), "small letters"),
            (format!("{measure}abuot = \"a\"\n"), "abuot"),
            (
                seen.replace("full_calves", "drape"),
                "every order has a key",
            ),
            (seen.replace("most = 3\n", ""), "needs `most`"),
            (
                format!("{seen}stages = true\nnegative = true\n"),
                "stages are whole numbers",
            ),
        ] {
            let fault = read(&text).expect_err(&text);
            assert!(fault.contains(told), "{text}: {fault}");
        }
    }
}
