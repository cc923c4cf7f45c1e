//! A tailor who writes inches reads inches: advice that he follows is accepted, and nothing that the program
//! prints for him is in cm.

use crate::program::{run, said, told};
use chalkstripe::diagnostic::Source;
use chalkstripe::workshop::Workshop;
use chalkstripe::{job, order};
use std::fs;
use std::path::Path;

/// The example that is written in inches.
const CORPULENT: &str = include_str!("../examples/corpulent-inches.toml");

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
        ("jacket", "vent_length", "\"10 1/2 in\"", "vent = \"side\""),
        ("jacket", "jacket_length", "21", ""),
        ("trousers", "knee", "\"14 1/2 in\"", ""),
        ("trousers", "hem", "\"12 in\"", "knee = \"20 in\""),
        ("trousers", "hem", "\"23 1/2 in\"", "knee = \"17 in\""),
    ] {
        for house in ["", "[house]\nprint.unit = \"cm\"\n"] {
            let written = |asked: &str| {
                let line = format!("{name} = {asked}");
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

/// Says what each command that a tailor runs tells of an order, on either stream.
fn all_told(text: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    fs::write(folder.join("oakes.toml"), text).unwrap();
    let fitted = format!(
        "{text}\n[[fitting]]\ndate = 2026-04-01\nlet_out_side_seams = \"3/8 in\"\nlower_shoulder = {{ left = 0, right = 0.5 }}\n"
    );
    fs::write(folder.join("fitted.toml"), fitted).unwrap();
    let mut all = String::new();
    for command in [
        &["check", "oakes.toml"][..],
        &["cloth", "oakes.toml", "--rounds", "1"],
        &["cloth", "oakes.toml", "--rounds", "1", "--have", "2yd"],
        &["cloth", "oakes.toml", "--rounds", "1", "--have", "9yd"],
        &["cut", "oakes.toml", "--rounds", "1"],
        &["draft", "fitted.toml", "--against", "0"],
        &["lay", "oakes.toml", "--seconds", "1"],
    ] {
        let output = run(command, folder);
        all += &format!("{command:?}\n{}{}", said(&output), told(&output));
    }
    all
}

/// Whether a word stands in a text by itself, as a unit does.
fn stands(text: &str, unit: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric())
        .any(|word| word == unit)
}

#[test]
fn an_order_in_inches_is_told_in_inches_and_yards() {
    let all = all_told(CORPULENT);
    for unit in ["cm", "mm", "m"] {
        let line = all.lines().find(|line| stands(line, unit));
        assert_eq!(line, None, "{unit} is told:\n{all}");
    }
    for holds in [
        "measures, in inches",
        "  chest                  46",
        " yd (lay ",
        ", rounded up to 1/4 yd",
        "is not enough by ",
        "  54 in ",
    ] {
        assert!(all.contains(holds), "{holds:?} is not told:\n{all}");
    }
    assert!(!all.contains("shrinkage 0"), "{all}");
}

#[test]
fn the_house_decides_for_an_order_in_inches() {
    let all = all_told(&CORPULENT.replace(
        "[house.allowance]",
        "[house.print]\nunit = \"cm\"\n[house.allowance]",
    ));
    let line = all.lines().find(|line| stands(line, "yd"));
    assert_eq!(line, None, "yards are told:\n{all}");
    let inches = |told: &&str| {
        let words: Vec<&str> = told.split([' ', ',', ')', ';']).collect();
        let number = |word: &str| word.ends_with(|c: char| c.is_ascii_digit());
        words.windows(2).any(|two| number(two[0]) && two[1] == "in")
    };
    assert_eq!(all.lines().find(inches), None, "inches are told:\n{all}");
    for holds in [
        "measures, in cm",
        "  chest               116.8",
        " m (lay ",
        ", rounded up to 10 cm",
        "  140 cm ",
    ] {
        assert!(all.contains(holds), "{holds:?} is not told:\n{all}");
    }
}

#[test]
fn a_neck_round_its_base_is_asked_about() {
    let text = order(&[], "jacket", &[], "").replace("neck = 15.5", "neck = 17.2");
    let source = Source::new("order.toml", text);
    let checked = order::parse("order", &source, Path::new("")).unwrap();
    let told = checked.warnings.iter().flat_map(|warning| &warning.help);
    let told: Vec<&String> = told.collect();
    assert!(
        told.iter()
            .any(|told| told.ends_with("where the shirt collar sits: about 15 3/4 in")),
        "{told:?}"
    );
}

#[test]
fn lengths_in_the_texts_of_choices_are_data() {
    let own = tempfile::tempdir().unwrap();
    let file = own.path().join("jacket/choices.toml");
    fs::create_dir_all(file.parent().unwrap()).unwrap();
    let listed = |text: &str, unit: &str| {
        fs::write(&file, format!("[lapel]\nwords.notch = \"{text}\"\n")).unwrap();
        let house = format!("print.unit = \"{unit}\"\n");
        fs::write(own.path().join("house.toml"), house).unwrap();
        let folder = own.path().to_str().unwrap();
        run(
            &["blocks", "jacket", "lapel", "--blocks", folder],
            own.path(),
        )
    };
    for (unit, holds) in [
        ("cm", "a step of 3.5 cm, room 4 cm"),
        ("in", "a step of 1 3/8 in, room 1 5/8 in"),
    ] {
        let output = listed("a step of {3.5 cm}, room {ease.biceps}", unit);
        assert!(said(&output).contains(holds), "{}", said(&output));
    }
    for (text, holds) in [
        ("a step of {3.5}", "`{3.5}` is neither"),
        ("room {ease.bicpes}", "`{ease.bicpes}` is not a number"),
    ] {
        let output = listed(text, "cm");
        let told = told(&output);
        assert!(!output.status.success() && told.contains(holds), "{told}");
        assert!(told.contains("choices.toml, line 2"), "{told}");
    }
}

#[test]
fn own_blocks_are_in_a_new_order_and_its_measures() {
    let own = tempfile::tempdir().unwrap();
    let smock = own.path().join("ours/smock");
    fs::create_dir_all(&smock).unwrap();
    let choices = "[collar]\nabout = \"Its collar\"\nkind = \"flag\"\ndefault = false\n";
    fs::write(smock.join("choices.toml"), choices).unwrap();
    fs::write(smock.join("smock.rhai"), "").unwrap();
    let output = run(&["new", "order.toml", "--blocks", "ours"], own.path());
    assert!(output.status.success(), "{}", told(&output));
    let text = fs::read_to_string(own.path().join("order.toml")).unwrap();
    assert!(text.contains("\nblocks = \"ours\""), "{text}");
    assert!(text.contains("[smock]"), "{text}");
    let form = run(&["measures", "smock", "--blocks", "ours"], own.path());
    assert!(form.status.success(), "{}", told(&form));
    let unknown = run(&["measures", "smock"], own.path());
    assert!(!unknown.status.success());
}
