//! The style choices of each garment, as its block declares them in `choices.toml`.

use super::phrase::{Phrase, Terms};
use super::words::{repeated, shown};
use super::{Choice, Measures, Origin, Style};
use crate::units::Unit;
use std::collections::BTreeMap;

/// Every style choice of one garment, in the order its block declares them, and what its block has settled for
/// every order: a script reads that as it reads a choice, and no order makes it.
#[derive(Debug, Clone, PartialEq)]
pub struct Choices(pub Vec<Declared>, pub Style);

/// One style choice. Lengths in cm, as in the block's file.
#[derive(Debug, Clone, PartialEq)]
pub struct Declared {
    /// Its key in the order, and after `style.` in a script.
    pub name: String,
    /// What it decides, in one line.
    pub about: Phrase,
    /// What may be chosen.
    pub domain: Domain,
    /// What is chosen when the order says nothing.
    pub default: DefaultChoice,
    /// Choices of the same garment it depends on: it has no meaning unless each of them is one of
    /// the words.
    pub only_with: BTreeMap<String, Vec<String>>,
    /// A measure of the garment's own that decides it where it was taken.
    pub unless: Option<String>,
}

/// What may be chosen.
#[derive(Debug, Clone, PartialEq)]
pub enum Domain {
    /// One of these words; each with what it means.
    Word(Vec<(String, Phrase)>),
    /// A length between least and most, in cm.
    Length(f64, f64),
    /// A whole number between least and most.
    Count(f64, f64),
    /// A number between least and most.
    Number(f64, f64),
    /// Yes or no.
    Flag,
}

/// What is chosen when the order says nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum DefaultChoice {
    /// Always the same.
    Fixed(Choice),
    /// By the word of another choice.
    By(String, BTreeMap<String, Choice>),
    /// Left to the block, which draws it from the figure: written `default = "drafted"`.
    Drafted,
}

impl Choices {
    /// Returns the choice of that name.
    pub fn get(&self, name: &str) -> Option<&Declared> {
        self.0.iter().find(|c| c.name == name)
    }

    /// Completes a style with the defaults of what was not chosen. A choice that has no meaning
    /// beside the others is left out.
    pub fn complete(&self, style: &mut Style) {
        for (name, choice) in &self.1 {
            style.insert(name.clone(), choice.clone());
        }
        for declared in &self.0 {
            if style.contains_key(&declared.name) || !declared.has_meaning(style) {
                continue;
            }
            let value = match &declared.default {
                DefaultChoice::Fixed(choice) => Some(choice.clone()),
                DefaultChoice::By(other, by) => match style.get(other) {
                    Some(Choice::Word(word)) => by.get(word).cloned(),
                    _ => None,
                },
                DefaultChoice::Drafted => None,
            };
            style.extend(value.map(|v| (declared.name.clone(), v)));
        }
    }
}

impl Declared {
    /// Lists what may be written, the default, and what the choice depends on, in the reader's unit.
    pub fn notes(&self, unit: Unit) -> Vec<String> {
        let mut notes = Vec::new();
        if !matches!(self.domain, Domain::Word(_)) {
            notes.push(self.domain.described(unit));
        }
        notes.push(match &self.default {
            DefaultChoice::Fixed(choice) => format!("default {}", written(choice, unit)),
            DefaultChoice::By(other, by) => {
                let each = by
                    .iter()
                    .map(|(word, choice)| format!("{} with {word}", written(choice, unit)));
                format!(
                    "default by {other}: {}",
                    each.collect::<Vec<_>>().join(", ")
                )
            }
            DefaultChoice::Drafted => "default: as the block drafts it for the figure".to_owned(),
        });
        for (other, words) in &self.only_with {
            notes.push(format!("only with {other} = {}", words.join(" or ")));
        }
        if let Some(measure) = &self.unless {
            notes.push(format!("not where {measure} was taken"));
        }
        notes
    }

    /// Returns the measure that was taken and decides in its place, if there is one.
    pub fn yields_to(&self, measures: &Measures) -> Option<&str> {
        let name = self.unless.as_deref()?;
        let measure = measures.0.get(name)?;
        (measure.origin == Origin::Taken).then_some(name)
    }

    /// Tells whether its default or its meaning depends on another choice.
    pub(super) fn leans_on(&self, other: &str) -> bool {
        let default = match &self.default {
            DefaultChoice::By(by, _) => by == other,
            _ => false,
        };
        default || self.only_with.contains_key(other)
    }

    /// Tells whether every choice that this one depends on has one of the words it needs.
    pub fn has_meaning(&self, style: &Style) -> bool {
        let needs = self.only_with.iter();
        needs
            .into_iter()
            .all(|(other, words)| match style.get(other) {
                Some(Choice::Word(word)) => words.contains(word),
                _ => false,
            })
    }
}

/// Writes a choice as it is shown, a length in the reader's unit.
fn written(choice: &Choice, unit: Unit) -> String {
    match choice {
        Choice::Word(word) => word.clone(),
        Choice::Length(mm) => unit.show(*mm),
        Choice::Number(number) => shown(*number),
        Choice::Flag(flag) => flag.to_string(),
    }
}

impl Domain {
    /// Returns the words, each with what it means, in the reader's terms; of another domain none.
    pub fn words(&self, terms: &Terms) -> Vec<(&str, String)> {
        let words = match self {
            Self::Word(words) => words.as_slice(),
            _ => &[],
        };
        words
            .iter()
            .map(|(word, about)| (word.as_str(), about.text(terms)))
            .collect()
    }

    /// Reads a value of the file as a choice; a bare length is in cm. A fault is told in `unit`.
    ///
    /// # Errors
    /// Returns what is wrong with a value that may not be chosen.
    pub fn admit(&self, value: &toml::Value, unit: Unit) -> Result<Choice, String> {
        use super::length::parse;
        let number = value
            .as_float()
            .or_else(|| value.as_integer().map(|i| i as f64));
        match (self, value, number) {
            (Self::Word(words), toml::Value::String(word), _) => {
                let known = words.iter().any(|(w, _)| w == word);
                known
                    .then(|| Choice::Word(word.clone()))
                    .ok_or(format!("`{word}` is not one of its words"))
            }
            (Self::Flag, toml::Value::Boolean(flag), _) => Ok(Choice::Flag(*flag)),
            (Self::Length(least, most), toml::Value::String(text), _) => {
                let cm = parse(text, Unit::Cm)? / 10.0;
                length_within(cm, *least, *most, unit).map(|cm| Choice::Length(cm * 10.0))
            }
            (Self::Length(least, most), _, Some(cm)) => {
                length_within(cm, *least, *most, unit).map(|cm| Choice::Length(cm * 10.0))
            }
            (Self::Count(..), _, Some(n)) if n.fract() != 0.0 => Err("it is a whole number".into()),
            (Self::Count(least, most) | Self::Number(least, most), _, Some(n)) => {
                within(n, *least, *most).map(Choice::Number)
            }
            _ => Err(format!(
                "it is {}, not {}",
                self.described(unit),
                described(value)
            )),
        }
    }

    /// Says what may be written: `a length from 7 to 11 cm`, or `from 2 3/4 to 4 3/8 in`, each end within the
    /// bounds.
    pub fn described(&self, unit: Unit) -> String {
        match self {
            Self::Word(words) => {
                let words: Vec<&str> = words.iter().map(|(w, _)| w.as_str()).collect();
                format!("one of the words {}", words.join(", "))
            }
            Self::Length(least, most) => {
                let [least, most] = ends(*least, *most, unit);
                format!("a length from {least} to {most}")
            }
            Self::Count(least, most) => format!("a whole number from {least} to {most}"),
            Self::Number(least, most) => format!("a number from {least} to {most}"),
            Self::Flag => "true or false".into(),
        }
    }
}

/// Writes the ends of a range in cm as numbers that lie in it, the last with its unit.
fn ends(least: f64, most: f64, unit: Unit) -> [String; 2] {
    let (least, most) = (unit.at_least(10.0 * least), unit.at_most(10.0 * most));
    [unit.number(least), unit.show(most)]
}

fn within(value: f64, least: f64, most: f64) -> Result<f64, String> {
    if (least..=most).contains(&value) {
        return Ok(value);
    }
    Err(format!("{} is outside {least} to {most}", shown(value)))
}

/// Admits a length in cm that lies in a range of cm.
fn length_within(cm: f64, least: f64, most: f64, unit: Unit) -> Result<f64, String> {
    if (least..=most).contains(&cm) {
        return Ok(cm);
    }
    let found = repeated(cm, unit);
    let [least, most] = ends(least, most, unit);
    Err(format!("{found} is outside {least} to {most}"))
}

/// Says what kind of value a file holds: `a number`.
pub fn described(value: &toml::Value) -> &'static str {
    match value {
        toml::Value::String(_) => "text",
        toml::Value::Integer(_) | toml::Value::Float(_) => "a number",
        toml::Value::Boolean(_) => "true or false",
        toml::Value::Datetime(_) => "a date",
        toml::Value::Array(_) => "a list",
        toml::Value::Table(_) => "a table",
    }
}
