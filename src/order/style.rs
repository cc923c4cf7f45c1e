//! Checking the garments' sections against the choices their blocks declare.

use super::catalogue::Catalogue;
use super::choices::{Choices, Declared, DefaultChoice, Domain};
use super::phrase::Terms;
use super::reading::{Entry, Findings};
use super::settling::{DRAFTED, says_by_house};
use super::words::shown;
use super::{Choice, Garment, Measures, Settled, Style};
use crate::diagnostic::Diagnostic;
use std::collections::BTreeMap;
use std::ops::Range;
use toml::de::DeValue;
use toml::{Spanned, Value};

/// A garment's section: its name, and what stands below it.
pub(super) type Wanted<'t> = (String, Spanned<DeValue<'t>>);

/// How each choice was settled, by garment and name.
pub(super) type Settling = BTreeMap<(String, String), Settled>;

/// Checks the garments of the order, and completes each with the defaults of what was not chosen.
pub(super) fn check(
    wanted: Vec<Wanted>,
    catalogue: &Catalogue,
    measures: &Measures,
    terms: &Terms,
    findings: &mut Findings,
) -> (Vec<Garment>, Settling) {
    if wanted.is_empty() {
        let names: Vec<String> = catalogue.garments().map(|g| format!("[{g}]")).collect();
        let fault = Diagnostic::error("the order has no garment in it");
        findings.missing(
            None,
            fault.help(format!(
                "add a section {}, empty or with its choices",
                names.join(" or ")
            )),
        );
    }
    let (mut garments, mut settled) = (Vec::new(), Settling::new());
    for (block, value) in wanted {
        let entries = findings.entries(&block, value);
        match catalogue.choices(&block) {
            Ok(choices) => {
                settled.extend(settling(&block, choices, &entries, findings));
                decided(choices, &entries, measures, findings);
                garments.push(Garment {
                    style: style(&block, choices, entries, terms, findings),
                    block,
                });
            }
            Err(fault) => findings.all.push(fault),
        }
    }
    (garments, settled)
}

/// Tells of each choice that a garment's section makes how it was settled.
fn settling(
    block: &str,
    choices: &Choices,
    entries: &[Entry],
    findings: &Findings,
) -> Vec<((String, String), Settled)> {
    let how = |entry: &Entry| {
        let rest = findings.source.text.get(entry.place.end..);
        let rest = rest.and_then(|rest| rest.lines().next());
        let declared = choices.get(&entry.name);
        let drafted = declared.is_some_and(|declared| is_drafted(declared, &entry.value));
        match drafted || rest.is_some_and(says_by_house) {
            true => Settled::ByHouse,
            false => Settled::Said,
        }
    };
    let made = entries
        .iter()
        .filter(|entry| entry.value.as_str() != Some(""));
    made.map(|entry| ((block.to_owned(), entry.name.clone()), how(entry)))
        .collect()
}

/// Reports each choice that a measure decides which was taken.
fn decided(choices: &Choices, entries: &[Entry], measures: &Measures, findings: &mut Findings) {
    for entry in entries {
        let declared = choices.get(&entry.name);
        let Some(measure) = declared.and_then(|declared| declared.yields_to(measures)) else {
            continue;
        };
        let message = format!("{measure} was taken, which decides the {}", entry.name);
        let help = format!("leave out either {} or [measures] {measure}", entry.name);
        findings.at(entry.key.clone(), Diagnostic::error(message).help(help));
    }
}

/// Tells whether a value leaves to the block what it draws from the figure.
fn is_drafted(declared: &Declared, value: &Value) -> bool {
    declared.default == DefaultChoice::Drafted && value.as_str() == Some(DRAFTED)
}

fn style(
    block: &str,
    choices: &Choices,
    entries: Vec<Entry>,
    terms: &Terms,
    findings: &mut Findings,
) -> Style {
    let mut style = Style::new();
    let mut chosen = Vec::new();
    for Entry {
        name,
        key,
        place,
        value,
    } in entries
    {
        let Some(declared) = choices.get(&name) else {
            let names: Vec<&str> = choices.0.iter().map(|c| c.name.as_str()).collect();
            let fault = Diagnostic::error(format!("`{name}` is not a choice of the {block}"));
            let fault = fault.suggest(&name, names.iter().copied());
            findings.at(
                key,
                fault.note(format!("its choices are {}", names.join(", "))),
            );
            continue;
        };
        if is_drafted(declared, &value) {
            continue;
        }
        // The next order of a client leaves open what is asked anew.
        if value.as_str() == Some("") {
            findings.at(place, open(declared, terms));
            continue;
        }
        match declared.domain.admit(&value, terms.unit) {
            Ok(choice) => {
                style.insert(name, choice);
                chosen.push((declared, key));
            }
            Err(fault) => findings.at(place, refused(declared, &value, &fault, terms)),
        }
    }
    choices.complete(&mut style);
    for (declared, key) in chosen {
        needless(block, declared, &style, key, findings);
    }
    style
}

/// Makes the fault for a choice that is still open.
fn open(declared: &Declared, terms: &Terms) -> Diagnostic {
    let mut finding = Diagnostic::error(format!("{} is still to be chosen", declared.name));
    match &declared.domain {
        domain @ Domain::Word(_) => finding = meanings(domain, terms, finding),
        domain => {
            let about = declared.about.text(terms);
            finding = finding.note(format!("{about}: {}", domain.described(terms.unit)));
        }
    }
    finding.help("or delete the line, to have the usual")
}

/// Notes each word of a choice with what it means.
fn meanings(domain: &Domain, terms: &Terms, finding: Diagnostic) -> Diagnostic {
    let words = domain.words(terms).into_iter();
    words.fold(finding, |finding, (word, about)| {
        finding.note(match about.as_str() {
            "" => word.to_owned(),
            about => format!("{word}: {about}"),
        })
    })
}

fn refused(declared: &Declared, value: &Value, fault: &str, terms: &Terms) -> Diagnostic {
    let mut finding = Diagnostic::error(format!("{}: {fault}", declared.name));
    match (&declared.domain, value) {
        (Domain::Word(words), Value::String(found)) => {
            finding = finding.suggest(found, words.iter().map(|(w, _)| w.as_str()));
            meanings(&declared.domain, terms, finding)
        }
        (Domain::Length(least, most), Value::Integer(_) | Value::Float(_)) => {
            let number = value
                .as_float()
                .or(value.as_integer().map(|i| i as f64))
                .unwrap_or_default();
            let inches = (*least..=*most).contains(&(number * 2.54));
            let finding = finding.note(format!(
                "it is {}; numbers without a unit are cm here",
                declared.domain.described(terms.unit)
            ));
            if inches {
                finding.help(format!(
                    "if it is in inches, write \"{} in\"",
                    shown(number)
                ))
            } else {
                finding
            }
        }
        (domain, _) => {
            let about = declared.about.text(terms);
            finding.note(format!("{about}: {}", domain.described(terms.unit)))
        }
    }
}

/// Reports a choice that has no meaning beside another.
fn needless(
    block: &str,
    declared: &Declared,
    style: &Style,
    key: Range<usize>,
    findings: &mut Findings,
) {
    for (other, words) in &declared.only_with {
        let Some(Choice::Word(word)) = style.get(other) else {
            continue;
        };
        if !words.contains(word) {
            let message = format!(
                "{} does not apply to a {block} with {other} = \"{word}\"",
                declared.name
            );
            let help = format!(
                "leave it out, or choose {other} = \"{}\"",
                words.join("\" or \"")
            );
            findings.at(key.clone(), Diagnostic::error(message).help(help));
        }
    }
}
