//! Texts in which lengths stand as data, to be written in the reader's unit.
//!
//! In a `choices.toml`, `{3.5 cm}` and `{1 3/8 in}` are lengths and `{ease.biceps}` is a length of the house. A
//! [`Phrase`] keeps them as numbers; [`Terms`] say in which unit and with which house it is written.

use super::House;
use super::length::parse;
use crate::units::Unit;

/// In what terms a text is written: the reader's unit, and the house whose lengths it names.
#[derive(Debug, Clone, Copy)]
pub struct Terms<'a> {
    /// The reader's unit.
    pub unit: Unit,
    /// The house. Without one, as where its file is at fault, the name of a length stands for the length.
    pub house: Option<&'a House>,
}

impl<'a> Terms<'a> {
    /// Returns the terms of a reader who has no order: the unit that the house prints in, or cm.
    pub fn of(house: &'a House) -> Self {
        let unit = house.unit().unwrap_or_default();
        let house = Some(house);
        Self { unit, house }
    }
}

/// A text with lengths in it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Phrase(Vec<Part>);

/// A part of a phrase.
#[derive(Debug, Clone, PartialEq)]
enum Part {
    Words(String),
    /// A length, in mm.
    Length(f64),
    /// The dotted name of a length of the house, and the garment that asks for it, if it may have one of its own.
    House(String, Option<String>),
}

impl Phrase {
    /// Reads a text with lengths in braces.
    ///
    /// # Errors
    /// Returns what is wrong with a brace: it is not closed, or holds neither a length with its unit nor a dotted
    /// name.
    pub fn read(text: &str) -> Result<Self, String> {
        let mut parts = Vec::new();
        let mut rest = text;
        while let Some((words, opened)) = rest.split_once('{') {
            let Some((inside, after)) = opened.split_once('}') else {
                return Err(format!("`{{{opened}` has no closing brace"));
            };
            parts.push(Part::Words(plain(words)?));
            parts.push(part(inside)?);
            rest = after;
        }
        parts.push(Part::Words(plain(rest)?));
        parts.retain(|part| *part != Part::Words(String::new()));
        Ok(Self(parts))
    }

    /// Tells whether there is nothing to write.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Writes the text in the reader's terms.
    pub fn text(&self, terms: &Terms) -> String {
        let part = |part: &Part| match part {
            Part::Words(words) => words.clone(),
            Part::Length(mm) => terms.unit.show(*mm),
            Part::House(name, garment) => {
                match terms.house.and_then(|house| asked(house, name, garment)) {
                    Some(cm) => terms.unit.show(10.0 * cm),
                    None => name.clone(),
                }
            }
        };
        self.0.iter().map(part).collect()
    }

    /// Says which garment it is written for: its lengths of the house are then that garment's.
    pub(super) fn worn_by(&mut self, wearer: &str) {
        for part in &mut self.0 {
            if let Part::House(_, garment) = part {
                *garment = Some(wearer.to_owned());
            }
        }
    }

    /// Returns the first name that is no number of a house.
    pub(super) fn stranger(&self, house: &House) -> Option<&str> {
        self.0.iter().find_map(|part| match part {
            Part::House(name, _) if house.number(name).is_none() => Some(name.as_str()),
            _ => None,
        })
    }
}

/// Returns a number of the house, or of the garment that asks for it.
fn asked(house: &House, name: &str, garment: &Option<String>) -> Option<f64> {
    match garment {
        Some(garment) => house.of(garment).number(name),
        None => house.number(name),
    }
}

/// Refuses a brace that closes nothing.
fn plain(words: &str) -> Result<String, String> {
    match words.contains('}') {
        true => Err(format!("`{words}` has a closing brace and no opening one")),
        false => Ok(words.to_owned()),
    }
}

fn part(inside: &str) -> Result<Part, String> {
    let named = |c: char| c.is_ascii_lowercase() || c == '_' || c == '.';
    if inside.contains('.') && inside.chars().all(named) {
        return Ok(Part::House(inside.to_owned(), None));
    }
    let fault = || {
        format!(
            "`{{{inside}}}` is neither a length with its unit, as in {{3.5 cm}}, nor a number of the house, as in {{ease.biceps}}"
        )
    };
    if !inside.ends_with(char::is_alphabetic) && !inside.ends_with('"') {
        return Err(fault());
    }
    parse(inside, Unit::Cm)
        .map(Part::Length)
        .map_err(|_| fault())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_written_in_the_readers_unit() {
        let house = House::built_in().unwrap();
        let phrase =
            Phrase::read("a step of {3.5 cm}, {1 3/8 in} high, {ease.biceps} of room").unwrap();
        let told = |unit| {
            let house = Some(&house);
            phrase.text(&Terms { unit, house })
        };
        assert_eq!(
            told(Unit::Cm),
            "a step of 3.5 cm, 3.5 cm high, 4 cm of room"
        );
        assert_eq!(
            told(Unit::Inch),
            "a step of 1 3/8 in, 1 3/8 in high, 1 5/8 in of room"
        );
        assert!(Phrase::read("").unwrap().is_empty());
    }

    #[test]
    fn a_bad_brace_is_told() {
        for (text, told) in [
            ("by {3.5}", "`{3.5}` is neither"),
            ("by {3.5 ells}", "`{3.5 ells}` is neither"),
            ("by {}", "`{}` is neither"),
            ("by {3.5 cm", "no closing brace"),
            ("by 3.5 cm}", "no opening one"),
        ] {
            let fault = Phrase::read(text).unwrap_err();
            assert!(fault.contains(told), "{fault}");
        }
        let house = House::built_in().unwrap();
        let phrase = Phrase::read("{ease.biceps} and {ease.bicpes}").unwrap();
        assert_eq!(phrase.stranger(&house), Some("ease.bicpes"));
    }
}
