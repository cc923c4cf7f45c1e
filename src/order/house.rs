//! The workshop's own numbers: the house file, and what a folder of blocks or an order changes.

use super::choices::{described, shown};
use super::length::{Unit, parse};
use super::{House, HouseValue};
use std::collections::BTreeMap;
use toml::Value;

/// The house file the program brings.
pub(super) const BUILT_IN: &str = include_str!("../../blocks/house.toml");

/// Sections whose numbers are all lengths, so that one with a unit of its own makes sense there.
const LENGTHS: &[&str] = &[
    "allowance.",
    "inlay.",
    "baste.",
    "print.",
    "spacing.",
    "wadding.",
    "trousers.",
];

/// Names that take words of their own.
const WORDS: &[(&str, &[&str])] = &[
    ("cloth.face", &["down", "up"]),
    ("drawing.notch", &["slit", "triangle"]),
    ("drawing.inlay_line", &["none", "drawn"]),
];

/// Least and most that is believed of the numbers whose names begin so, the narrower name first. A number
/// of the house file that none of them covers fails a test.
const BOUNDS: &[(&str, f64, f64)] = &[
    ("allowance.", 0.0, 15.0),
    ("inlay.", 0.0, 15.0),
    ("mitre.", 1.0, 10.0),
    ("print.", 0.0, 5.0),
    ("plot.", 1.0, 8.0),
    ("baste.", 0.0, 10.0),
    ("ease.crown", 0.0, 0.2),
    ("ease.hand", 0.0, 15.0),
    ("ease.biceps", 0.0, 20.0),
    ("ease.", 0.0, 50.0),
    ("wadding.", 0.0, 4.0),
    ("belly.cut", 0.0, 1.0),
    ("belly.rise", 0.0, 0.5),
    ("belly.hem", 0.0, 1.0),
    ("belly.", 0.0, 3.0),
    ("spacing.buttons", 1.0, 30.0),
    ("spacing.", 0.0, 15.0),
    ("button.front_thick", 0.1, 1.5),
    ("button.cuff_thick", 0.1, 1.5),
    ("button.", 0.5, 5.0),
    ("collar.stand", 1.5, 5.0),
    ("collar.fall", 2.5, 8.0),
    ("collar.swing", 2.0, 30.0),
    ("collar.turn", 0.1, 1.0),
    ("collar.over", -0.2, 1.0),
    ("collar.", 0.0, 1.5),
    ("pocket.level", 2.0, 20.0),
    ("pocket.bag", 5.0, 40.0),
    ("pocket.jet", 0.2, 2.0),
    ("pocket.", 1.0, 12.0),
    ("quarters.closed_hem", 3.0, 15.0),
    ("quarters.classic_hem", 6.0, 16.0),
    ("quarters.open_hem", 8.0, 18.0),
    ("quarters.", 0.0, 6.0),
    ("scye.front_pitch", 0.16, 0.32),
    ("cloth.width", 65.0, 320.0),
    ("cloth.selvedge", 0.0, 6.0),
    ("cloth.gap", 0.0, 3.0),
    ("cloth.ends", 0.0, 100.0),
    ("cloth.shrinkage", 0.0, 0.15),
    ("cloth.step", 1.0, 1000.0),
    ("grain.", 0.0, 22.5),
    ("lining.pleat", 0.0, 6.0),
    ("lining.rise", 0.0, 4.0),
    ("lining.hem_short", 0.5, 4.0),
    ("lining.jump", 0.5, 4.0),
    ("lining.", 0.0, 1.5),
    ("canvas.behind_roll", 0.0, 5.0),
    ("canvas.", 0.0, 20.0),
    ("tape.", 0.0, 3.0),
    ("trousers.side_back", 0.0, 2.0),
    ("trousers.pleat_place", -3.0, 3.0),
    ("trousers.waistband", 1.0, 12.0),
    ("trousers.fly", 2.0, 8.0),
    ("trousers.", 0.5, 40.0),
    ("waistcoat.shoulder_part", 0.4, 1.0),
    ("waistcoat.welt", 1.0, 6.0),
    ("waistcoat.strap", 0.5, 8.0),
    ("waistcoat.scye", 0.0, 8.0),
    ("waistcoat.", 0.0, 12.0),
    ("width.", 20.0, 320.0),
];

/// Names of numbers that only a whole one makes sense of begin so.
const WHOLE: &[&str] = &["plot."];

/// See [`BOUNDS`].
const MOST: f64 = 100.0;

/// The most numbers that one allowance may have along its edge.
const MOST_ALONG: usize = 50;

impl House {
    /// The house file the program brings, flattened.
    pub fn built_in() -> Result<Self, String> {
        let table: toml::Table = toml::from_str(BUILT_IN).map_err(|e| e.to_string())?;
        let mut house = BTreeMap::new();
        for (name, value) in flatten(table) {
            let value =
                plain(&value).ok_or(format!("house.toml: {name} is {}", described(&value)))?;
            house.insert(name, value);
        }
        Ok(Self(house))
    }

    /// One number, or `None` if there is none of that name or it runs along an edge.
    pub fn number(&self, name: &str) -> Option<f64> {
        match self.0.get(name) {
            Some(HouseValue::Number(n)) => Some(*n),
            _ => None,
        }
    }

    /// One word, or `None` if no word has that name.
    pub fn word(&self, name: &str) -> Option<&str> {
        match self.0.get(name) {
            Some(HouseValue::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// Changes one number, or says why it cannot be. An allowance may run along its edge or not,
    /// whatever the house file has; anything else keeps its form.
    pub fn change(&mut self, name: &str, value: &Value) -> Result<(), String> {
        let Some(old) = self.0.get(name) else {
            return Err("the house has no number of that name".into());
        };
        let new = match (value, LENGTHS.iter().any(|s| name.starts_with(s))) {
            (Value::String(text), true) => HouseValue::Number(parse(text, Unit::Cm)? / 10.0),
            _ => plain(value).ok_or_else(|| format!("it cannot be {}", described(value)))?,
        };
        let allowance = name.starts_with("allowance.");
        let numbers = match (&new, old) {
            (HouseValue::Number(n), HouseValue::Number(_)) => vec![*n],
            (HouseValue::Number(n), HouseValue::Along(_)) if allowance => vec![*n],
            (HouseValue::Along(all), HouseValue::Along(_)) => all.clone(),
            (HouseValue::Along(all), HouseValue::Number(_)) if allowance => all.clone(),
            (HouseValue::Word(word), HouseValue::Word(_)) => {
                self.admits(name, word)?;
                Vec::new()
            }
            (_, HouseValue::Number(_)) => {
                return Err(format!("it is a number, not {}", described(value)));
            }
            (_, HouseValue::Along(_)) => {
                return Err(format!("it is a list of numbers, not {}", described(value)));
            }
            (_, HouseValue::Word(_)) => {
                return Err(format!("it is a word, not {}", described(value)));
            }
        };
        if numbers.len() > MOST_ALONG {
            return Err(format!(
                "it has {} numbers, where {MOST_ALONG} are the most",
                numbers.len()
            ));
        }
        let (least, most) = self.bounds(name);
        if let Some(part) = numbers.iter().find(|n| n.fract() != 0.0 && n.is_finite())
            && self.is_whole(name)
        {
            let part = shown(*part);
            return Err(format!(
                "it is a whole number from {least} to {most}, not {part}"
            ));
        }
        if let Some(stray) = numbers.iter().find(|n| !(least..=most).contains(*n)) {
            let stray = shown(*stray);
            return Err(format!(
                "{stray} is not believed: it lies between {least} and {most}"
            ));
        }
        self.0.insert(name.to_owned(), new);
        Ok(())
    }

    /// The least and the most that a number of that name may be changed to.
    pub fn bounds(&self, name: &str) -> (f64, f64) {
        if let Some((_, least, most)) = BOUNDS.iter().find(|(start, ..)| name.starts_with(start)) {
            return (*least, *most);
        }
        (0.0, MOST)
    }

    /// Whether a number of that name must be whole.
    pub fn is_whole(&self, name: &str) -> bool {
        WHOLE.iter().any(|start| name.starts_with(start))
    }

    /// A word must be one that its name takes, or its section uses already.
    fn admits(&self, name: &str, word: &str) -> Result<(), String> {
        if let Some((_, words)) = WORDS.iter().find(|(known, _)| *known == name) {
            return if words.contains(&word) {
                Ok(())
            } else {
                Err(format!("it is one of the words {}", words.join(", ")))
            };
        }
        let section = name.split_once('.').map_or(name, |(section, _)| section);
        let same = self
            .0
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
        Err(format!("it is one of the words {}", words.join(", ")))
    }
}

/// The values of nested tables by dotted name.
pub(super) fn flatten(table: toml::Table) -> Vec<(String, Value)> {
    let mut flat = Vec::new();
    for (name, value) in table {
        match value {
            Value::Table(inner) => {
                let inner = flatten(inner).into_iter();
                flat.extend(inner.map(|(below, value)| (format!("{name}.{below}"), value)));
            }
            value => flat.push((name, value)),
        }
    }
    flat
}

fn number(value: &Value) -> Option<f64> {
    value
        .as_float()
        .or_else(|| value.as_integer().map(|i| i as f64))
}

fn plain(value: &Value) -> Option<HouseValue> {
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
            matches!(house.0.get("allowance.seat_seam"), Some(HouseValue::Along(v)) if v.first() == Some(&4.0))
        );
    }

    #[test]
    fn what_the_program_brings_is_believed() {
        let house = House::built_in().unwrap();
        for (name, value) in &house.0 {
            let (least, most) = house.bounds(name);
            let numbers = match value {
                HouseValue::Number(n) => std::slice::from_ref(n),
                HouseValue::Along(all) => all,
                HouseValue::Word(_) => continue,
            };
            assert!(numbers.iter().all(|n| (least..=most).contains(n)), "{name}");
            let covered = BOUNDS.iter().any(|(start, ..)| name.starts_with(start));
            assert!(covered, "{name}: nothing says what is believed of it");
            let whole = numbers.iter().all(|n| n.fract() == 0.0);
            assert!(whole || !house.is_whole(name), "{name}");
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
