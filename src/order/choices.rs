//! The style choices of each garment, as its block declares them in `choices.toml`.

use super::{Choice, Style};
use serde::Deserialize;
use std::collections::BTreeMap;

/// What the program itself brings: garment and text of its choices.
pub const BUILT_IN: &[(&str, &str)] = &[
    ("jacket", include_str!("../../blocks/jacket/choices.toml")),
    (
        "trousers",
        include_str!("../../blocks/trousers/choices.toml"),
    ),
    (
        "waistcoat",
        include_str!("../../blocks/waistcoat/choices.toml"),
    ),
];

/// Every style choice of one garment, in the order its block declares them.
#[derive(Debug, Clone, PartialEq)]
pub struct Choices(pub Vec<Declared>);

/// One style choice. Lengths in cm, as in the block's file.
#[derive(Debug, Clone, PartialEq)]
pub struct Declared {
    /// Its key in the order, and after `style.` in a script.
    pub name: String,
    /// What it decides, in one line.
    pub about: String,
    /// What may be chosen.
    pub domain: Domain,
    /// What is chosen when the order says nothing.
    pub default: DefaultChoice,
    /// Choices of the same garment it depends on: it has no meaning unless each of them is one of
    /// the words.
    pub only_with: BTreeMap<String, Vec<String>>,
}

/// What may be chosen.
#[derive(Debug, Clone, PartialEq)]
pub enum Domain {
    /// One of these words; each with what it means.
    Word(Vec<(String, String)>),
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

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    about: String,
    kind: Kind,
    default: toml::Value,
    #[serde(default)]
    words: toml::Table,
    least: Option<f64>,
    most: Option<f64>,
    #[serde(default)]
    only_with: BTreeMap<String, Vec<String>>,
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
    /// The choices that the tables of a `choices.toml` declare, or the name of one and what is
    /// wrong with it.
    pub fn declared(table: toml::Table) -> Result<Self, (String, String)> {
        let mut choices = Vec::new();
        for (name, value) in table {
            let entry = Entry::deserialize(value).map_err(|e| e.message().to_owned());
            match entry.and_then(|entry| entry.declare(&name)) {
                Ok(declared) => choices.push(declared),
                Err(fault) => return Err((name, fault)),
            }
        }
        let choices = Self(choices);
        choices.consistent()?;
        Ok(choices)
    }

    /// The choice of that name.
    pub fn get(&self, name: &str) -> Option<&Declared> {
        self.0.iter().find(|c| c.name == name)
    }

    /// Completes a style with the defaults of what was not chosen. A choice that has no meaning
    /// beside the others is left out.
    pub fn complete(&self, style: &mut Style) {
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

    /// A default or condition may lean on an earlier word choice only, and must name its words.
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

impl Declared {
    /// What else there is to say of it: what may be written, the default, what it depends on.
    pub fn notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        if !matches!(self.domain, Domain::Word(_)) {
            notes.push(self.domain.described());
        }
        notes.push(match &self.default {
            DefaultChoice::Fixed(choice) => format!("default {}", written(choice)),
            DefaultChoice::By(other, by) => {
                let each = by
                    .iter()
                    .map(|(word, choice)| format!("{} with {word}", written(choice)));
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
        notes
    }

    /// Whether every choice that this one depends on has one of the words it needs.
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

/// A choice as an order writes it; a bare length is in cm.
fn written(choice: &Choice) -> String {
    match choice {
        Choice::Word(word) => word.clone(),
        Choice::Length(mm) => format!("{} cm", shown(mm / 10.0)),
        Choice::Number(number) => shown(*number),
        Choice::Flag(flag) => flag.to_string(),
    }
}

/// Adds choices to those of a table. Where a choice is in both, its words are added and the rest of
/// it is changed.
pub fn merge(table: &mut toml::Table, changes: toml::Table) {
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
        let default = match &self.default {
            toml::Value::Table(table) => default_by(&domain, table)?,
            toml::Value::String(word)
                if word == "drafted" && matches!(domain, Domain::Length(..)) =>
            {
                DefaultChoice::Drafted
            }
            value => DefaultChoice::Fixed(domain.admit(value)?),
        };
        Ok(Declared {
            name: name.to_owned(),
            about: self.about,
            domain,
            default,
            only_with: self.only_with,
        })
    }
}

fn words(table: &toml::Table) -> Result<Vec<(String, String)>, String> {
    let line = |(word, about): (&String, &toml::Value)| match about.as_str() {
        Some(about) => Ok((word.clone(), about.to_owned())),
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
                .map(|(word, value)| Ok((word.clone(), domain.admit(value)?)));
            Ok(DefaultChoice::By(
                other.clone(),
                values.collect::<Result<_, String>>()?,
            ))
        }
        _ => Err("a default by another choice is written { other = { word = value, … } }".into()),
    }
}

impl Domain {
    /// A value of the file as a choice, or what is wrong with it. A bare length is in cm.
    pub fn admit(&self, value: &toml::Value) -> Result<Choice, String> {
        use super::length::{Unit, parse};
        let number = value
            .as_float()
            .or_else(|| value.as_integer().map(|i| i as f64));
        match (self, value, number) {
            (Domain::Word(words), toml::Value::String(word), _) => {
                let known = words.iter().any(|(w, _)| w == word);
                known
                    .then(|| Choice::Word(word.clone()))
                    .ok_or(format!("`{word}` is not one of its words"))
            }
            (Domain::Flag, toml::Value::Boolean(flag), _) => Ok(Choice::Flag(*flag)),
            (Domain::Length(least, most), toml::Value::String(text), _) => {
                let cm = parse(text, Unit::Cm)? / 10.0;
                within(cm, *least, *most, " cm").map(|cm| Choice::Length(cm * 10.0))
            }
            (Domain::Length(least, most), _, Some(cm)) => {
                within(cm, *least, *most, " cm").map(|cm| Choice::Length(cm * 10.0))
            }
            (Domain::Count(..), _, Some(n)) if n.fract() != 0.0 => {
                Err("it is a whole number".into())
            }
            (Domain::Count(least, most) | Domain::Number(least, most), _, Some(n)) => {
                within(n, *least, *most, "").map(Choice::Number)
            }
            _ => Err(format!(
                "it is {}, not {}",
                self.described(),
                described(value)
            )),
        }
    }

    /// What may be written, in words: `a length from 7 to 11 cm`.
    pub fn described(&self) -> String {
        match self {
            Domain::Word(words) => {
                let words: Vec<&str> = words.iter().map(|(w, _)| w.as_str()).collect();
                format!("one of the words {}", words.join(", "))
            }
            Domain::Length(least, most) => format!("a length from {least} to {most} cm"),
            Domain::Count(least, most) => format!("a whole number from {least} to {most}"),
            Domain::Number(least, most) => format!("a number from {least} to {most}"),
            Domain::Flag => "true or false".into(),
        }
    }
}

fn within(value: f64, least: f64, most: f64, unit: &str) -> Result<f64, String> {
    if (least..=most).contains(&value) {
        return Ok(value);
    }
    Err(format!(
        "{}{unit} is outside {least} to {most}{unit}",
        shown(value)
    ))
}

/// A number as it is repeated to who wrote it: to the hundredth, and never as a row of zeros.
pub fn shown(number: f64) -> String {
    if number.abs() < 1e9 {
        format!("{}", (number * 100.0).round() / 100.0)
    } else {
        format!("{number:e}")
    }
}

/// A value of a file, in words: `a number`.
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

#[cfg(test)]
mod tests {
    use super::*;

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
        for (garment, text) in BUILT_IN {
            let choices = read(text).unwrap_or_else(|fault| panic!("{garment}: {fault:?}"));
            let mut style = Style::new();
            choices.complete(&mut style);
            // What is left to the block has no default here; everything else that has a meaning has.
            let chosen = choices
                .0
                .iter()
                .filter(|c| c.has_meaning(&style) && c.default != DefaultChoice::Drafted);
            assert_eq!(
                style.len(),
                chosen.count(),
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
        let mut style = Style::from([("collar".to_owned(), Choice::Word("stiff".into()))]);
        choices.complete(&mut style);
        assert_eq!(style.get("stand"), None);
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
            ("soft = 3,", "soft = 13,", "13 cm is outside 2 to 6 cm"),
        ] {
            let changed = COLLAR.replacen(old, new, 1);
            assert_ne!(changed, COLLAR);
            let (_, fault) = read(&changed).unwrap_err();
            assert!(fault.contains(told), "{fault}");
        }
    }
}
