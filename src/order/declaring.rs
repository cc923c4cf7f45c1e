//! Reading the choices that a block declares in its `choices.toml`.

use super::Choice;
use super::House;
use super::Style;
use super::besides::Besides;
use super::choices::{Choices, Declared, DefaultChoice, Domain};
use super::phrase::Phrase;
use crate::units::Unit;
use serde::Deserialize;
use std::collections::BTreeMap;

/// The garments that the program brings, each with the text of its choices.
pub(super) const BUILT_IN: &[(&str, &str)] = &[
    ("jacket", include_str!("../../blocks/jacket/choices.toml")),
    (
        "overcoat",
        include_str!("../../blocks/overcoat/choices.toml"),
    ),
    (
        "trousers",
        include_str!("../../blocks/trousers/choices.toml"),
    ),
    (
        "waistcoat",
        include_str!("../../blocks/waistcoat/choices.toml"),
    ),
];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    about: String,
    kind: Kind,
    /// It may be left out of a choice that is fixed.
    default: Option<toml::Value>,
    #[serde(default)]
    words: toml::Table,
    least: Option<f64>,
    most: Option<f64>,
    #[serde(default)]
    only_with: BTreeMap<String, Vec<String>>,
    unless: Option<String>,
    /// What is chosen for every order, so that none chooses.
    fixed: Option<toml::Value>,
}

#[derive(Deserialize, Clone, Copy)]
#[serde(rename_all = "snake_case")]
enum Kind {
    Word,
    Length,
    Count,
    Number,
    Flag,
}

impl Choices {
    /// Reads the choices that the tables of a `choices.toml` declare.
    ///
    /// # Errors
    /// Returns the name of a choice and what is wrong with it.
    pub fn declared(table: toml::Table) -> Result<Self, (String, String)> {
        let (mut choices, mut settled) = (Vec::new(), Style::new());
        for (name, value) in table {
            let entry = Entry::deserialize(value).map_err(|e| e.message().to_owned());
            let declared = entry.and_then(|mut entry| {
                let fixed = entry.fixed.take();
                entry.default = entry.default.or_else(|| fixed.clone());
                let declared = entry.declare(&name)?;
                let fixed = fixed.map(|asked| declared.domain.admit(&asked, Unit::Cm));
                Ok((declared, fixed.transpose()?))
            });
            match declared {
                Ok((declared, None)) => choices.push(declared),
                Ok((_, Some(choice))) => {
                    settled.insert(name, choice);
                }
                Err(fault) => return Err((name, fault)),
            }
        }
        let choices = Self(ordered(choices), settled).settled();
        choices.consistent()?;
        Ok(choices)
    }

    /// Takes what is settled for every order out of the conditions and defaults of the other choices. A choice that
    /// has no meaning beside it goes.
    fn settled(mut self) -> Self {
        let settled = &self.1;
        let word = |other: &str| match settled.get(other) {
            Some(Choice::Word(word)) => Some(word),
            _ => None,
        };
        let idle = |declared: &Declared| {
            let mut needs = declared.only_with.iter();
            needs.any(|(other, words)| word(other).is_some_and(|word| !words.contains(word)))
        };
        self.0.retain(|declared| !idle(declared));
        for declared in &mut self.0 {
            declared.only_with.retain(|other, _| word(other).is_none());
            if let DefaultChoice::By(other, by) = &declared.default
                && let Some(choice) = word(other).and_then(|word| by.get(word))
            {
                declared.default = DefaultChoice::Fixed(choice.clone());
            }
        }
        self
    }

    /// Checks that each length that a text takes from the house is one of its numbers, and takes it from the
    /// garment's own where it has one.
    pub(super) fn known(&mut self, house: &House, garment: &str) -> Result<(), (String, String)> {
        let own = house.of(garment);
        for declared in &mut self.0 {
            let words = match &mut declared.domain {
                Domain::Word(words) => words.as_mut_slice(),
                _ => &mut [],
            };
            let words = words.iter_mut().map(|(_, text)| text);
            for text in std::iter::once(&mut declared.about).chain(words) {
                if let Some(name) = text.stranger(&own) {
                    let told = format!("`{{{name}}}` is not a number of the house");
                    return Err((declared.name.clone(), told));
                }
                text.worn_by(garment);
            }
        }
        Ok(())
    }

    /// Checks that each measure that decides in the place of a choice is one that the garment asks for. What a measure
    /// decided that the garment leaves out is chosen.
    pub(super) fn yielding(&mut self, besides: &Besides) -> Result<(), (String, String)> {
        for declared in &mut self.0 {
            let Some(measure) = &declared.unless else {
                continue;
            };
            if besides.measures.iter().any(|own| own.name == *measure) {
                continue;
            }
            if besides.without.contains(measure) {
                declared.unless = None;
            } else {
                let told = format!("`{measure}` is not a measure of its measures.toml");
                return Err((declared.name.clone(), told));
            }
        }
        Ok(())
    }

    /// Checks that each default and condition depends on an earlier choice of words, and names its words.
    fn consistent(&self) -> Result<(), (String, String)> {
        for (i, declared) in self.0.iter().enumerate() {
            let earlier = self.0.get(..i).unwrap_or_default();
            let mut leans: Vec<(&String, Vec<&String>)> = declared
                .only_with
                .iter()
                .map(|(o, w)| (o, w.iter().collect()))
                .collect();
            if let DefaultChoice::By(other, by) = &declared.default {
                leans.push((other, by.keys().collect()));
            }
            for (other, named) in leans {
                let fault = |text: String| Err((declared.name.clone(), text));
                let Some(Domain::Word(words)) =
                    earlier.iter().find(|c| c.name == *other).map(|c| &c.domain)
                else {
                    return fault(format!(
                        "`{other}` is not a choice of a word declared before it"
                    ));
                };
                if let Some(stranger) = named.iter().find(|n| words.iter().all(|(w, _)| w != **n)) {
                    return fault(format!("`{stranger}` is not a word of `{other}`"));
                }
            }
            if let DefaultChoice::By(other, by) = &declared.default
                && let Some(Domain::Word(words)) = self.get(other).map(|c| &c.domain)
                && let Some((missing, _)) = words.iter().find(|(w, _)| !by.contains_key(w))
            {
                return Err((
                    declared.name.clone(),
                    format!("no default for {other} = `{missing}`"),
                ));
            }
        }
        Ok(())
    }
}

/// Puts each choice behind those that it leans on, and otherwise as they were declared: a garment that is like another
/// declares its own choices last, and a choice that it has taken may come to lean on one of them.
fn ordered(mut choices: Vec<Declared>) -> Vec<Declared> {
    let mut ordered: Vec<Declared> = Vec::new();
    while !choices.is_empty() {
        let waits = |declared: &Declared| {
            let mut waiting = choices.iter().filter(|other| other.name != declared.name);
            waiting.any(|other| declared.leans_on(&other.name))
        };
        // Where they lean on each other the first one comes first, and its fault is told.
        let next = choices.iter().position(|declared| !waits(declared));
        ordered.push(choices.remove(next.unwrap_or_default()));
    }
    ordered
}

/// Adds choices to those of a table. Where a choice is in both, its words are added and the rest of
/// it is changed.
pub(super) fn merge(table: &mut toml::Table, changes: toml::Table) {
    for (name, change) in changes {
        match (table.get_mut(&name), change) {
            (Some(toml::Value::Table(old)), toml::Value::Table(change)) => merge(old, change),
            (_, change) => {
                table.insert(name, change);
            }
        }
    }
}

impl Entry {
    fn declare(self, name: &str) -> Result<Declared, String> {
        let bounds = || match (self.least, self.most) {
            (Some(least), Some(most)) if least <= most => Ok((least, most)),
            _ => Err("needs `least` and `most`, the smaller first".to_owned()),
        };
        let domain = match self.kind {
            Kind::Word if self.words.is_empty() => return Err("needs a table of `words`".into()),
            Kind::Word => Domain::Word(words(&self.words)?),
            Kind::Length => bounds().map(|(l, m)| Domain::Length(l, m))?,
            Kind::Count => bounds().map(|(l, m)| Domain::Count(l, m))?,
            Kind::Number => bounds().map(|(l, m)| Domain::Number(l, m))?,
            Kind::Flag => Domain::Flag,
        };
        let default = self
            .default
            .as_ref()
            .ok_or("needs a `default`, or `fixed`")?;
        let default = match default {
            toml::Value::Table(table) => default_by(&domain, table)?,
            toml::Value::String(word)
                if word == "drafted" && matches!(domain, Domain::Length(..)) =>
            {
                DefaultChoice::Drafted
            }
            value => DefaultChoice::Fixed(domain.admit(value, Unit::Cm)?),
        };
        Ok(Declared {
            name: name.to_owned(),
            about: Phrase::read(&self.about)?,
            domain,
            default,
            only_with: self.only_with,
            unless: self.unless,
        })
    }
}

fn words(table: &toml::Table) -> Result<Vec<(String, Phrase)>, String> {
    let line = |(word, about): (&String, &toml::Value)| match about.as_str() {
        Some(about) => Ok((word.clone(), Phrase::read(about)?)),
        None => Err(format!("the word `{word}` needs a line that explains it")),
    };
    table.iter().map(line).collect()
}

fn default_by(domain: &Domain, table: &toml::Table) -> Result<DefaultChoice, String> {
    let mut entries = table.iter();
    match (entries.next(), entries.next()) {
        (Some((other, toml::Value::Table(by))), None) => {
            let values = by
                .iter()
                .map(|(word, value)| Ok((word.clone(), domain.admit(value, Unit::Cm)?)));
            Ok(DefaultChoice::By(
                other.clone(),
                values.collect::<Result<_, String>>()?,
            ))
        }
        _ => Err("a default by another choice is written { other = { word = value, … } }".into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::{Catalogue, Choice, Style};

    const COLLAR: &str = r#"
        [collar]
        about = "the collar"
        kind = "word"
        default = "soft"
        words = { soft = "without stiffening", stiff = "with it" }
        [stand]
        about = "its stand"
        kind = "length"
        default = { collar = { soft = 3, stiff = 4.5 } }
        least = 2
        most = 6
        only_with = { collar = ["soft"] }
    "#;

    fn read(text: &str) -> Result<Choices, (String, String)> {
        Choices::declared(toml::from_str(text).unwrap())
    }

    #[test]
    fn what_the_program_brings_is_consistent() {
        let catalogue = Catalogue::embedded();
        for garment in catalogue.garments() {
            let choices = catalogue.choices(garment);
            let choices = choices.unwrap_or_else(|fault| panic!("{garment}: {fault:?}"));
            let mut style = Style::new();
            choices.complete(&mut style);
            // What is left to the block has no default here; everything else that has a meaning has.
            let chosen = choices
                .0
                .iter()
                .filter(|c| c.has_meaning(&style) && c.default != DefaultChoice::Drafted);
            assert_eq!(
                style.len(),
                chosen.count() + choices.1.len(),
                "{garment}: a choice has no default"
            );
        }
    }

    #[test]
    fn a_default_follows_another_choice_and_falls_silent_with_it() {
        let choices = read(COLLAR).unwrap();
        let mut style = Style::new();
        choices.complete(&mut style);
        assert_eq!(style.get("stand"), Some(&Choice::Length(30.0)));
        let mut worded = Style::from([("collar".to_owned(), Choice::Word("stiff".into()))]);
        choices.complete(&mut worded);
        assert_eq!(worded.get("stand"), None);
    }

    #[test]
    fn a_workshop_adds_a_word_and_changes_a_default() {
        let mut table = toml::from_str(COLLAR).unwrap();
        let own = r#"
            [collar]
            default = "tall"
            words.tall = "up to the ears"
            [stand]
            default = 5
        "#;
        merge(&mut table, toml::from_str(own).unwrap());
        let choices = Choices::declared(table).unwrap();
        let collar = choices.get("collar").unwrap();
        assert_eq!(
            collar.default,
            DefaultChoice::Fixed(Choice::Word("tall".into()))
        );
        assert!(matches!(&collar.domain, Domain::Word(words) if words.len() == 3));
    }

    #[test]
    fn faults_in_a_declaration_are_told() {
        for (old, new, told) in [
            (
                "default = \"soft\"",
                "default = \"limp\"",
                "`limp` is not one of its words",
            ),
            ("kind = \"word\"", "kind = \"wrd\"", "unknown variant `wrd`"),
            (
                "about = \"its stand\"",
                "abuot = \"its stand\"",
                "unknown field `abuot`",
            ),
            ("stiff = 4.5", "", "no default for collar = `stiff`"),
            (
                "collar = [\"soft\"]",
                "collar = [\"limp\"]",
                "`limp` is not a word of `collar`",
            ),
            (
                "collar = [\"soft\"]",
                "lapel = [\"soft\"]",
                "`lapel` is not a choice",
            ),
            ("least = 2", "least = 9", "the smaller first"),
            (
                "without stiffening",
                "{3 ells} high",
                "`{3 ells}` is neither",
            ),
            ("\"its stand\"", "\"{3 cm high\"", "no closing brace"),
            ("soft = 3,", "soft = 13,", "13 cm is outside 2 to 6 cm"),
        ] {
            let changed = COLLAR.replacen(old, new, 1);
            assert_ne!(changed, COLLAR);
            let (_, fault) = read(&changed).unwrap_err();
            assert!(fault.contains(told), "{fault}");
        }
    }
}
