//! The numbers that a block adds to the house, in a `house.toml` of its own: `overcoat/house.toml`.
//!
//! A number that the house has already is changed for that garment alone. Any other is new: only the scripts of the
//! garment, and of those that are like it, find it. `{ is = 160, least = 100, most = 250 }` says what is believed of
//! it; without that it is what is believed of the house's numbers of that name.

use super::choices::described;
use super::house::{House, HouseValue};
use super::house_agreed;
use super::house_bounds::{bounded_by, bounds};
use super::house_file::{number, own_to, plain};
use super::length::{Unit, parse};
use super::reading::{Entry, Findings};
use crate::diagnostic::{Diagnostic, Source};
use std::collections::BTreeMap;
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;
use toml::de::DeValue;
use toml::{Spanned, Value};

/// The numbers that the program's own blocks add.
const BUILT_IN: &[(&str, &str)] = &[("overcoat", include_str!("../../blocks/overcoat/house.toml"))];

/// The words of a corner, which a block may give to an allowance of its own.
const CORNERS: &[&str] = &["mitre", "square", "fold"];

/// Adds the numbers of a garment's block: the program's, and those of a folder.
///
/// # Errors
/// Returns everything that is wrong with a file.
pub(super) fn add(
    house: &mut House,
    garment: &str,
    folder: Option<&Path>,
) -> Result<(), Vec<Diagnostic>> {
    let built_in = BUILT_IN.iter().find(|(name, _)| *name == garment);
    if let Some((name, text)) = built_in {
        add_from(
            house,
            garment,
            &Source::new(format!("blocks/{name}/house.toml"), *text),
        )?;
    }
    let own = folder.map(|folder| folder.join(garment).join("house.toml"));
    match own.filter(|path| path.is_file()) {
        Some(path) => {
            let source = Source::read(&path).map_err(|fault| vec![fault])?;
            add_from(house, garment, &source)
        }
        None => Ok(()),
    }
}

fn add_from(house: &mut House, garment: &str, source: &Arc<Source>) -> Result<(), Vec<Diagnostic>> {
    let mut findings = Findings::new(source);
    if let Some(table) = findings.parse(&source.text) {
        let whole: Range<usize> = 0..source.text.len();
        let entries = findings.entries("house", Spanned::new(whole, DeValue::Table(table)));
        let mut changed = Vec::new();
        for new in numbers(entries) {
            match put(house, garment, &new) {
                Ok(()) => changed.push((format!("{garment}.{}", new.name), new.place)),
                Err(fault) => {
                    let fault = Diagnostic::error(format!("{}: {fault}", new.name));
                    findings.at(new.place, fault);
                }
            }
        }
        house_agreed::check(house, &changed, &mut findings);
    }
    match findings.failed() {
        true => Err(findings.in_order()),
        false => Ok(()),
    }
}

/// One number as a block's file has it.
struct New {
    name: String,
    place: Range<usize>,
    value: Option<Value>,
    least: Option<Value>,
    most: Option<Value>,
}

/// Puts together the value of each number and what is believed of it.
fn numbers(entries: Vec<Entry>) -> Vec<New> {
    let mut order = Vec::new();
    let mut found: BTreeMap<String, New> = BTreeMap::new();
    for entry in entries {
        let (name, part) = match entry.name.rsplit_once('.') {
            Some((name, part @ ("is" | "least" | "most"))) => (name.to_owned(), part.to_owned()),
            _ => (entry.name, String::new()),
        };
        let new = found.entry(name.clone()).or_insert_with(|| {
            order.push(name.clone());
            New {
                name,
                place: entry.place,
                value: None,
                least: None,
                most: None,
            }
        });
        match part.as_str() {
            "least" => new.least = Some(entry.value),
            "most" => new.most = Some(entry.value),
            _ => new.value = Some(entry.value),
        }
    }
    order.iter().filter_map(|name| found.remove(name)).collect()
}

fn put(house: &mut House, garment: &str, new: &New) -> Result<(), String> {
    if !new.name.contains('.') {
        return Err("a number stands in a section, as [ease]".to_owned());
    }
    own_to(garment, &new.name)?;
    let Some(value) = &new.value else {
        return Err("its value is missing: write { is = 5, least = 4, most = 6 }".to_owned());
    };
    let whole = format!("{garment}.{}", new.name);
    let own_bounds = match (&new.least, &new.most) {
        (None, None) => None,
        (least, most) => {
            let limit = |bound: &Option<Value>| bound.as_ref().and_then(number);
            match (limit(least), limit(most)) {
                (Some(least), Some(most)) if least <= most => Some((least, most)),
                _ => return Err("needs `least` and `most`, the smaller first".to_owned()),
            }
        }
    };
    if house.known(&whole).is_some() && own_bounds.is_none() {
        return house.change(&whole, value);
    }
    let corner = new.name.starts_with("corner.");
    let value = match value {
        Value::String(word) if corner && CORNERS.contains(&word.as_str()) => {
            HouseValue::Word(word.clone())
        }
        _ if corner => return Err(format!("it must be one of {}", CORNERS.join(", "))),
        Value::String(text) => HouseValue::Number(parse(text, Unit::Cm)? / 10.0),
        value => plain(value).ok_or_else(|| format!("it cannot be {}", described(value)))?,
    };
    bounded_by(
        &new.name,
        &value,
        own_bounds.unwrap_or_else(|| bounds(&new.name)),
    )?;
    house.add(&whole, value, own_bounds);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn house() -> House {
        let mut house = House::built_in().unwrap();
        let line = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect();
        let lines = [
            ("jacket".to_owned(), line(&["jacket"])),
            ("coat".to_owned(), line(&["jacket", "coat"])),
            ("cape".to_owned(), line(&["jacket", "coat", "cape"])),
        ];
        house.wear(lines.into());
        house
    }

    fn added(house: &mut House, text: &str) -> Result<(), String> {
        let source = Source::new("coat/house.toml", text);
        add_from(house, "coat", &source).map_err(|faults| faults[0].message.clone())
    }

    #[test]
    fn a_garments_numbers_are_its_own_and_of_those_like_it() {
        let mut house = house();
        let text = "[ease]\nchest_classic = 20\n[skirt]\nsweep = { is = 160, least = 100, most = 250 }\n\
                    [allowance]\ncoat_hem = 5.5\n[corner]\ncoat_hem = \"fold\"\n";
        added(&mut house, text).unwrap();
        let number = |garment: &str, name: &str| house.of(garment).number(name);
        assert_eq!(number("coat", "ease.chest_classic"), Some(20.0));
        assert_eq!(number("jacket", "ease.chest_classic"), Some(11.0));
        assert_eq!(number("cape", "skirt.sweep"), Some(160.0));
        assert_eq!(number("jacket", "skirt.sweep"), None);
        assert_eq!(house.of("coat").word("corner.coat_hem"), Some("fold"));
        let value = |whole: i64| Value::Integer(whole);
        assert_eq!(house.change("coat.skirt.sweep", &value(170)), Ok(()));
        assert!(house.change("coat.skirt.sweep", &value(90)).is_err());
        assert!(house.change("coat.ease.chest_classic", &value(51)).is_err());
        // A garment's own, also where no block says it yet.
        assert_eq!(house.change("cape.collar.stand", &value(4)), Ok(()));
        assert_eq!(house.of("cape").number("collar.stand"), Some(4.0));
        assert_eq!(house.of("coat").number("collar.stand"), Some(3.0));
    }

    #[test]
    fn faults_of_a_blocks_numbers_are_told() {
        for (text, told) in [
            ("sweep = 4", "a number stands in a section"),
            (
                "[skirt]\nsweep = { least = 1, most = 2 }",
                "its value is missing",
            ),
            (
                "[skirt]\nsweep = { is = 4, least = 5, most = 2 }",
                "the smaller first",
            ),
            (
                "[skirt]\nsweep = { is = 4, least = 5, most = 9 }",
                "must be between 5 and 9",
            ),
            ("[ease]\nchest_classic = 90", "must be between 0 and 50"),
            ("[cloth]\ngap = 1", "a number of the whole order"),
            (
                "[corner]\ncoat_hem = \"round\"",
                "one of mitre, square, fold",
            ),
            ("[skirt]\nsweep = true", "it cannot be true or false"),
        ] {
            let fault = added(&mut house(), text).unwrap_err();
            assert!(fault.contains(told), "{text}: {fault}");
        }
    }
}
