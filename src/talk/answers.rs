//! Writes an answer into the text of an order.

use super::questions::GARMENTS;
use super::reading::Reading;
use super::text;
use crate::order::alterations::ALTERATIONS;
use crate::order::choices::{Choices, Declared, DefaultChoice, Domain};
use crate::order::corrections::{Measured, correction};
use crate::order::fields::{Form, fields};
use crate::order::settling::DRAFTED;
use crate::order::{self, Choice, Style, length};
use crate::sheets::words::spaced;
use crate::units::Unit;
use toml_edit::Value;

/// What was said to a question.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Answer {
    /// This, as it was typed or chosen.
    Said(String),
    /// What the house usually does.
    AsTheHouseDoes,
    /// Nothing: the question is open again.
    Open,
}

/// The text of an order with an answer in it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Answered {
    /// The new text.
    pub text: String,
    /// Answers that have no meaning beside this one and were taken out, in words.
    pub dropped: Vec<String>,
}

/// Writes an answer to the question or field at a place: `jacket.lapel`, `cloth.width`, `garments.waistcoat`.
///
/// # Errors
/// Returns why it is no answer to that question, in words for the page.
pub(super) fn answered(reading: &Reading, at: &str, answer: &Answer) -> Result<Answered, String> {
    let text = &reading.source.text;
    let (section, key) = at.split_once('.').ok_or("there is no such question")?;
    let catalogue = &reading.workshop.catalogue;
    if section == GARMENTS {
        catalogue.choices(key).map_err(|fault| fault.message)?;
        let wanted = *answer == Answer::Said("yes".to_owned());
        return plain(text::have_section(text, key, wanted)?);
    }
    if !reading.garments().iter().any(|garment| garment == section) {
        return plain(field(reading, section, key, answer)?);
    }
    let choices = catalogue.choices(section).map_err(|fault| fault.message)?;
    let declared = choices.get(key).ok_or("there is no such choice")?;
    let mut style = reading.said(section);
    style.remove(key);
    let (choice, by_house) = match answer {
        Answer::Open => return plain(text::remove(text, (section, key))?),
        Answer::AsTheHouseDoes => (usual(declared, choices, &style), true),
        Answer::Said(said) => (Some(choice(declared, said, reading.unit())?), false),
    };
    let value = match &choice {
        None => Value::from(DRAFTED),
        Some(choice) => value(choice, reading.unit())?,
    };
    let new = text::set(text, (section, key), &value, by_house)?;
    style.extend(choice.map(|choice| (key.to_owned(), choice)));
    without_the_needless(new, section, choices, style)
}

/// Settles everything that is open in a garment, as the house does.
///
/// # Errors
/// Returns what is wrong where the text is not TOML.
pub(super) fn rest_by_house(reading: &Reading) -> Result<Answered, String> {
    let mut text = reading.source.text.clone();
    for garment in reading.garments() {
        let choices = reading.workshop.catalogue.choices(&garment);
        let choices = choices.map_err(|fault| fault.message)?;
        let mut style = reading.said(&garment);
        let made: Vec<String> = text::values(&text)
            .into_iter()
            .filter(|(section, ..)| *section == garment)
            .map(|(_, key, _)| key)
            .collect();
        choices.complete(&mut style);
        for declared in &choices.0 {
            if made.contains(&declared.name) || !declared.has_meaning(&style) {
                continue;
            }
            let value = match style.get(&declared.name) {
                None => Value::from(DRAFTED),
                Some(choice) => value(choice, reading.unit())?,
            };
            text = text::set(&text, (&garment, &declared.name), &value, true)?;
        }
    }
    plain(text)
}

/// Reads a choice as it was typed or chosen; a bare length is in the tailor's unit.
///
/// # Errors
/// Returns why it may not be chosen.
pub(super) fn choice(declared: &Declared, said: &str, unit: Unit) -> Result<Choice, String> {
    let said = said.trim();
    let value = match &declared.domain {
        Domain::Word(_) => toml::Value::String(said.to_owned()),
        Domain::Flag => toml::Value::Boolean(matches!(said, "yes" | "true")),
        Domain::Length(..) => toml::Value::Float(length::parse(said, unit)? / 10.0),
        Domain::Count(..) | Domain::Number(..) => {
            let number = said.replace(',', ".").parse();
            toml::Value::Float(number.map_err(|_| format!("`{said}` is not a number"))?)
        }
    };
    declared.domain.admit(&value, unit)
}

/// Returns what the house usually does beside the choices that were made; `None` for what is drawn from the
/// figure.
fn usual(declared: &Declared, choices: &Choices, said: &Style) -> Option<Choice> {
    if declared.default == DefaultChoice::Drafted {
        return None;
    }
    let mut style = said.clone();
    choices.complete(&mut style);
    style.get(&declared.name).cloned()
}

/// Takes out the answers that have no meaning beside the others any more.
fn without_the_needless(
    mut text: String,
    garment: &str,
    choices: &Choices,
    mut said: Style,
) -> Result<Answered, String> {
    let mut dropped = Vec::new();
    loop {
        let mut style = said.clone();
        choices.complete(&mut style);
        let needless = |declared: &&Declared| {
            said.contains_key(&declared.name) && !declared.has_meaning(&style)
        };
        let Some(declared) = choices.0.iter().find(needless) else {
            break;
        };
        said.remove(&declared.name);
        text = text::remove(&text, (garment, &declared.name))?;
        dropped.push(spaced(&declared.name));
    }
    // What is drawn from the figure is no part of a style.
    let mut style = said;
    choices.complete(&mut style);
    for declared in &choices.0 {
        let there = text::get(&text, (garment, &declared.name)).as_deref() == Some(DRAFTED);
        if there && !declared.has_meaning(&style) {
            text = text::remove(&text, (garment, &declared.name))?;
        }
    }
    Ok(Answered { text, dropped })
}

fn field(reading: &Reading, section: &str, key: &str, answer: &Answer) -> Result<String, String> {
    let text = &reading.source.text;
    let unit = (section, key) == ("measures", "unit");
    let known = fields(section, &reading.garments(), &reading.workshop.catalogue);
    let known = known.iter().find(|field| field.key == key);
    let form = known.map(|field| field.form);
    let form = form
        .or(unit.then_some(Form::Words(&["cm", "in"])))
        .filter(|_| section != "fitting")
        .ok_or("there is no such field")?;
    let said = match answer {
        Answer::Said(said) if !said.trim().is_empty() => said.trim(),
        Answer::AsTheHouseDoes => order::settling::BY_HOUSE,
        _ => return text::remove(text, (section, key)),
    };
    let value = match form {
        Form::Lines => text::lines(said),
        Form::Words(words) if !words.contains(&said) => {
            return Err(format!("`{said}` is not one of {}", words.join(", ")));
        }
        Form::Length => amount(&in_unit(reading.unit(), (section, key), said)),
        Form::Price | Form::Number(..) => amount(said),
        Form::Colours => said
            .parse()
            .map_err(|_| "write { n = \"navy\", w = \"ivory\" }")?,
        _ => Value::from(said),
    };
    text::set(text, (section, key), &value, false)
}

/// Returns a number as an order must have it that was typed in the tailor's unit. `[measures]` are in that; elsewhere a
/// bare number is in cm, so that inches are named.
pub(super) fn in_unit(unit: Unit, (section, key): (&str, &str), said: &str) -> String {
    let other = section == "measures" || key == "shrinkage" || is_by_stages(key);
    let bare = |c: char| c.is_numeric() || " ./,-−⁄".contains(c);
    match unit {
        Unit::Inch if !other && said.chars().all(bare) => format!("{said} in"),
        _ => said.to_owned(),
    }
}

/// Tells whether a field is a correction, or an alteration of one, that is given in stages.
fn is_by_stages(key: &str) -> bool {
    let altered = ALTERATIONS.iter().find(|altered| altered.name == key);
    let key = altered.map_or(key, |altered| altered.correction);
    correction(key).is_some_and(|(correction, _)| correction.measured == Measured::Stage)
}

/// Returns a length as an order has it: a number as one, anything else as text.
pub(super) fn amount(said: &str) -> Value {
    let plain = said.replace(',', ".");
    match (plain.parse::<i64>(), plain.parse::<f64>()) {
        (Ok(whole), _) => Value::from(whole),
        (_, Ok(number)) if number.is_finite() => Value::from(number),
        _ => Value::from(said),
    }
}

fn value(choice: &Choice, unit: Unit) -> Result<Value, String> {
    let written = order::written(choice, unit);
    written
        .parse()
        .map_err(|_| format!("`{written}` cannot be written"))
}

fn plain(text: String) -> Result<Answered, String> {
    Ok(Answered {
        text,
        dropped: Vec::new(),
    })
}
