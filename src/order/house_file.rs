//! Reading the house file, and the changes that a folder of blocks or an order makes to it.

use super::choices::described;
use super::derive::NUMBERS;
use super::house::{House, HouseValue};
use super::house_agreed;
use super::house_bounds::{bounded, bounded_by, bounds, is_whole};
use super::length::{Unit, parse};
use super::measures::{KINDS, Kind};
use super::reading::{Entry, Findings};
use crate::diagnostic::Diagnostic;
use std::collections::BTreeMap;
use toml::Value;

/// The house file the program brings.
pub(super) const BUILT_IN: &str = include_str!("../../blocks/house.toml");

/// Sections whose numbers are all lengths, and may so be written with a unit.
const LENGTHS: &[&str] = &[
    "allowance.",
    "inlay.",
    "baste.",
    "print.",
    "spacing.",
    "wadding.",
    "trousers.",
    "derived.",
];

/// Sections whose numbers are of the whole order, and so not of one garment.
const WHOLE_ORDER: &[&str] = &[
    "cloth.", "derived.", "drawing.", "plot.", "print.", "width.",
];

/// Names that take words of their own.
const WORDS: &[(&str, &[&str])] = &[
    ("cloth.face", &["down", "up"]),
    ("drawing.notch", &["slit", "triangle"]),
    ("drawing.inlay_line", &["none", "drawn"]),
    ("print.unit", &["as_measured", "cm", "in"]),
];

impl House {
    /// Returns the numbers of the house file that the program brings.
    ///
    /// # Errors
    /// Returns what is wrong with the file: a value of no known form, a number out of its bounds, or one that
    /// the program works with and the file does not hold.
    pub fn built_in() -> Result<Self, String> {
        Self::read(BUILT_IN).map_err(|fault| format!("house.toml: {fault}"))
    }

    /// Reads a whole house file.
    fn read(text: &str) -> Result<Self, String> {
        let table: toml::Table = toml::from_str(text).map_err(|e| e.to_string())?;
        let mut values = BTreeMap::new();
        for (name, value) in flatten(table) {
            let value = plain(&value).ok_or(format!("{name} is {}", described(&value)))?;
            bounded(&name, &value).map_err(|fault| format!("{name}: {fault}"))?;
            values.insert(name, value);
        }
        let house = Self::new(values).map_err(|name| format!("{name} is missing"))?;
        if let Some((name, _)) = WORDS.iter().find(|(name, _)| house.word(name).is_none()) {
            return Err(format!("{name} is missing"));
        }
        let mut derived = KINDS.iter().filter_map(Kind::derived);
        match derived.find(|name| house.number(name).is_none()) {
            Some(name) => Err(format!("{name} is missing")),
            None => Ok(house),
        }
    }

    /// Changes the numbers that entries name. What cannot be changed is noted where it stands.
    pub(super) fn change_by(&mut self, entries: Vec<Entry>, findings: &mut Findings) {
        let mut changed = Vec::new();
        for Entry {
            name,
            key,
            place,
            value,
        } in entries
        {
            if self.known(&name).is_none() {
                findings.at(key, self.stranger(&name));
            } else if let Err(fault) = self.change(&name, &value) {
                findings.at(place, Diagnostic::error(format!("{name}: {fault}")));
            } else {
                changed.push((name, place));
            }
        }
        house_agreed::check(self, &changed, findings);
    }

    /// Makes the fault for a name that is no number of the house, nor of a garment.
    pub(super) fn stranger(&self, name: &str) -> Diagnostic {
        let fault = Diagnostic::error(format!("the house has no number called `{name}`"));
        let Some((garment, _)) = self.split(name) else {
            return fault.suggest(name, self.values().keys().map(String::as_str));
        };
        let house = self.of(garment);
        let known = house.values().keys();
        let known: Vec<String> = known.map(|plain| format!("{garment}.{plain}")).collect();
        fault
            .suggest(name, known.iter().map(String::as_str))
            .help(format!(
                "a number that only the {garment} has is added in {garment}/house.toml, in a folder of blocks"
            ))
    }

    /// Changes one number. An allowance may become a list along its edge, or one number again; anything else
    /// keeps its form.
    ///
    /// # Errors
    /// Returns why the number cannot be changed so: there is none of that name, or the value has another form or is
    /// out of its bounds.
    pub fn change(&mut self, whole: &str, value: &Value) -> Result<(), String> {
        let Some(old) = self.known(whole) else {
            return Err("the house has no number of that name".into());
        };
        let old = &old;
        let name = match self.split(whole) {
            Some((garment, plain)) => own_to(garment, plain)?,
            None => whole,
        };
        let is_length =
            LENGTHS.iter().any(|s| name.starts_with(s)) && !matches!(old, HouseValue::Word(_));
        let new = match (value, is_length) {
            (Value::String(text), true) => HouseValue::Number(parse(text, Unit::Cm)? / 10.0),
            _ => plain(value).ok_or_else(|| format!("it cannot be {}", described(value)))?,
        };
        let allowance = name.starts_with("allowance.");
        let is_derived = name.starts_with("derived.");
        match (&new, old) {
            (HouseValue::Number(_), HouseValue::Number(_))
            | (HouseValue::Along(_), HouseValue::Along(_)) => {}
            (HouseValue::Number(_), HouseValue::Along(_))
            | (HouseValue::Along(_), HouseValue::Number(_))
                if allowance || is_derived => {}
            (HouseValue::Word(word), HouseValue::Word(_)) => self.admits(name, word)?,
            (_, old) => {
                let form = match old {
                    HouseValue::Number(_) => "a number",
                    HouseValue::Along(_) => "a list of numbers",
                    HouseValue::Word(_) => "a word",
                };
                return Err(format!("it must be {form}, not {}", described(value)));
            }
        }
        if let (HouseValue::Along(rule), true) = (&new, is_derived)
            && rule.len() != NUMBERS
        {
            return Err(format!(
                "a rule of the house's own has {NUMBERS} numbers: the measure on the reference figure, and how much \
                 more for a cm of height, chest, waist, seat and neck"
            ));
        }
        bounded_by(name, &new, self.bounds(whole))?;
        self.put(whole, new);
        Ok(())
    }

    /// Returns the least and the most that a number of that name may be changed to.
    pub fn bounds(&self, name: &str) -> (f64, f64) {
        let plain = self.split(name).map_or(name, |(_, plain)| plain);
        self.own_bounds(name).unwrap_or_else(|| bounds(plain))
    }

    /// Tells whether a number of that name must be whole.
    pub fn is_whole(&self, name: &str) -> bool {
        is_whole(self.split(name).map_or(name, |(_, plain)| plain))
    }

    /// Checks that a word is one that its name takes, or that its section uses already.
    fn admits(&self, name: &str, word: &str) -> Result<(), String> {
        if let Some((_, words)) = WORDS.iter().find(|(known, _)| *known == name) {
            return if words.contains(&word) {
                Ok(())
            } else {
                Err(format!("it must be one of {}", words.join(", ")))
            };
        }
        let section = name.split_once('.').map_or(name, |(section, _)| section);
        let same = self
            .values()
            .iter()
            .filter(|(n, _)| n.split_once('.').is_some_and(|(s, _)| s == section));
        let words: std::collections::BTreeSet<&str> = same
            .filter_map(|(_, v)| match v {
                HouseValue::Word(w) => Some(w.as_str()),
                _ => None,
            })
            .collect();
        if words.contains(word) {
            return Ok(());
        }
        let words: Vec<&str> = words.into_iter().collect();
        Err(format!("it must be one of {}", words.join(", ")))
    }
}

/// Returns the name of a number that a garment may have for its own.
///
/// # Errors
/// Returns why it may not: the number is one of the whole order.
pub(super) fn own_to<'n>(garment: &str, plain: &'n str) -> Result<&'n str, String> {
    match WHOLE_ORDER
        .iter()
        .find(|section| plain.starts_with(**section))
    {
        None => Ok(plain),
        Some(_) => Err(format!(
            "{plain} is a number of the whole order: write it without `{garment}.`"
        )),
    }
}

/// Lists the values of nested tables by dotted name.
pub(super) fn flatten(table: toml::Table) -> Vec<(String, Value)> {
    let mut flat = Vec::new();
    for (name, value) in table {
        match value {
            Value::Table(inner) => {
                let inner = flatten(inner).into_iter();
                flat.extend(inner.map(|(below, own)| (format!("{name}.{below}"), own)));
            }
            value => flat.push((name, value)),
        }
    }
    flat
}

pub(super) fn number(value: &Value) -> Option<f64> {
    value
        .as_float()
        .or_else(|| value.as_integer().map(|i| i as f64))
}

pub(super) fn plain(value: &Value) -> Option<HouseValue> {
    match value {
        Value::String(word) => Some(HouseValue::Word(word.clone())),
        Value::Array(all) if !all.is_empty() => all
            .iter()
            .map(number)
            .collect::<Option<Vec<f64>>>()
            .map(HouseValue::Along),
        value => number(value).map(HouseValue::Number),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_house_file_is_flat_and_typed() {
        let house = House::built_in().unwrap();
        assert_eq!(house.number("allowance.scye"), Some(1.0));
        assert_eq!(house.word("corner.jacket_hem"), Some("fold"));
        assert!(
            matches!(house.values().get("allowance.seat_seam"), Some(HouseValue::Along(v)) if v.first() == Some(&4.0))
        );
    }

    #[test]
    fn what_is_believed_of_every_number_is_said() {
        for (name, value) in House::built_in().unwrap().values() {
            let covered = super::super::house_bounds::covers(name);
            let word = matches!(value, HouseValue::Word(_));
            assert!(
                covered || word,
                "{name}: nothing says what is believed of it"
            );
        }
    }

    #[test]
    fn a_file_that_lacks_something_or_is_not_believed_is_refused() {
        for (old, new, fault) in [
            ("gap = 0.3 ", "gpa = 0.3 ", "cloth.gap is missing"),
            ("gap = 0.3 ", "gap = 9.0 ", "cloth.gap: 9 cannot be right"),
            ("gap = 0.3 ", "gap = \"wide\" ", "cloth.gap is missing"),
            (
                "face = \"down\"",
                "fcae = \"down\"",
                "cloth.face is missing",
            ),
            (
                "cut_pen = 1",
                "cut_pen = 1.5",
                "plot.cut_pen: it must be a whole",
            ),
            ("gap = 0.3 ", "gap = true ", "cloth.gap is true or false"),
        ] {
            let changed = BUILT_IN.replacen(old, new, 1);
            assert_ne!(changed, BUILT_IN);
            let told = House::read(&changed).unwrap_err();
            assert!(told.starts_with(fault), "{told}");
        }
    }

    #[test]
    fn a_change_keeps_to_the_form_of_what_it_changes() {
        let mut house = House::built_in().unwrap();
        let mut change = |name: &str, value: Value| house.change(name, &value);
        assert_eq!(
            change("allowance.side_seam_back", Value::Integer(3)),
            Ok(())
        );
        assert_eq!(
            change("allowance.scye", Value::String("3/8 in".into())),
            Ok(())
        );
        assert_eq!(change("allowance.seat_seam", Value::Float(2.0)), Ok(()));
        assert_eq!(
            change("corner.default", Value::String("square".into())),
            Ok(())
        );
        assert_eq!(
            change("drawing.notch", Value::String("triangle".into())),
            Ok(())
        );
        for (name, value) in [
            ("allowance.side_seam_bakc", Value::Integer(3)),
            ("allowance.scye", Value::Boolean(true)),
            ("allowance.scye", Value::Float(-1.0)),
            ("allowance.scye", Value::Float(f64::NAN)),
            ("allowance.scye", Value::Integer(100)),
            ("allowance.scye", Value::Array(vec![])),
            ("corner.default", Value::String("round".into())),
            ("corner.default", Value::Integer(1)),
            ("drawing.notch", Value::String("drawn".into())),
            ("cloth.face", Value::String("sideways".into())),
            ("cloth.step", Value::Array(vec![Value::Integer(1)])),
            ("cloth.step", Value::Integer(0)),
            ("cloth.step_yards", Value::Float(0.3)),
            ("cloth.step_yards", Value::Integer(0)),
            ("cloth.gap", Value::Float(1e9)),
            ("cloth.ends", Value::Float(f64::INFINITY)),
            ("ease.hand", Value::Float(1e9)),
            ("spacing.buttons_two", Value::Integer(0)),
            ("mitre.limit", Value::Float(0.5)),
            ("plot.cut_pen", Value::Integer(0)),
            ("plot.cut_pen", Value::Integer(9)),
            ("plot.mark_pen", Value::Float(2.5)),
            ("button.front", Value::Integer(50)),
            ("collar.stand", Value::Integer(0)),
            ("allowance.scye", Value::Array(vec![Value::Integer(1); 51])),
        ] {
            assert!(change(name, value.clone()).is_err(), "{name} = {value}");
        }
        assert_eq!(house.number("allowance.side_seam_back"), Some(3.0));
        assert!((house.number("allowance.scye").unwrap() - 0.9525).abs() < 1e-9);
    }
}
