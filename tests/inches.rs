//! A tailor who writes inches reads inches: advice that he follows is accepted, and nothing that the program
//! prints for him is in cm.

use chalkstripe::diagnostic::Source;
use chalkstripe::workshop::Workshop;
use chalkstripe::{job, order};
use std::path::Path;

/// The measures of the order that the advice is for, one line for each, in inches.
const MEASURES: [&str; 6] = [
    "unit = \"in\"",
    "height = 69",
    "chest = 40",
    "waist = 34",
    "seat = 41",
    "neck = 15.5",
];

/// Writes an order with lines added to its measures and its garment, and what is beside them.
fn order(measures: &[String], garment: &str, lines: &[String], house: &str) -> String {
    let measures: Vec<&str> = (MEASURES.iter().copied())
        .chain(measures.iter().map(String::as_str))
        .collect();
    format!(
        "[client]\nname = \"Invented\"\n[measures]\n{}\n[cloth]\nname = \"worsted\"\n[{garment}]\n{}\n{house}",
        measures.join("\n"),
        lines.join("\n")
    )
}

/// Returns why an order cannot be drafted, or nothing.
fn refused(text: &str) -> Option<String> {
    let source = Source::new("order.toml", text);
    let checked = order::parse("order", &source, Path::new("")).unwrap();
    let drafted = job::draft(Workshop::embedded(), &checked.order);
    drafted.err().map(|fault| fault.to_string())
}

/// Returns what a refusal tells to write for a name: the value after `name = `.
fn advice(told: &str, name: &str) -> String {
    let (_, after) = told.split_once(&format!("{name} = ")).unwrap();
    let value = after.split(" or ").next().unwrap();
    value.to_owned()
}

#[test]
fn advice_that_is_followed_is_accepted() {
    for (garment, name, value, beside) in [
        ("jacket", "vent_length", "\"13 in\"", "vent = \"side\""),
        ("jacket", "jacket_length", "21", ""),
        ("trousers", "knee", "\"14 1/2 in\"", ""),
        ("trousers", "knee", "\"32 in\"", ""),
        ("trousers", "hem", "\"11 1/2 in\"", ""),
        ("trousers", "hem", "\"23 1/2 in\"", "knee = \"17 in\""),
    ] {
        for house in ["", "[house]\nprint.unit = \"cm\"\n"] {
            let written = |value: &str| {
                let line = format!("{name} = {value}");
                let (mut measures, mut lines) = (Vec::new(), vec![beside.to_owned()]);
                match name {
                    "jacket_length" => measures.push(line),
                    _ => lines.push(line),
                }
                order(&measures, garment, &lines, house)
            };
            let told = refused(&written(value));
            let told = told.unwrap_or_else(|| panic!("{name} = {value} is accepted"));
            let advised = advice(&told, name);
            assert_eq!(told.contains(" cm"), !house.is_empty(), "{told}");
            assert_eq!(told.contains(" in\""), house.is_empty(), "{told}");
            assert_eq!(refused(&written(&advised)), None, "{told}");
        }
    }
}
