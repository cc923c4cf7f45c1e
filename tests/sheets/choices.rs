//! `blocks`: every choice is listed, and drawn from a real draft.

use crate::skipped::skipped_but_on_ci;
use chalkstripe::order::choices::{Choices, Domain};
use chalkstripe::pictures::pictures;
use chalkstripe::sheets::drawing::{Drawing, Ink};
use chalkstripe::sheets::svg;
use chalkstripe::sheets::views::choices::files;
use chalkstripe::workshop::Workshop;
use kurbo::Point;
use std::path::Path;
use std::process::{Command, Output};

fn blocks(arguments: &[&str], folder: &Path) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_chalkstripe"));
    let command = command.arg("blocks").args(arguments).current_dir(folder);
    command.output().expect("the program runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn choices(garment: &str) -> &'static Choices {
    Workshop::embedded().catalogue.choices(garment).unwrap()
}

#[test]
fn every_choice_and_word_is_listed() {
    let listed = blocks(&[], Path::new("."));
    assert!(listed.status.success());
    let told = text(&listed.stdout);
    assert!(!told.contains('\u{1b}'), "bold in a pipe");
    let terms = Workshop::embedded().catalogue.terms();
    for garment in Workshop::embedded().catalogue.garments() {
        assert!(told.contains(&format!("[{garment}]")));
        for choice in &choices(garment).0 {
            let entry = format!("{}  {}", choice.name, choice.about.text(&terms));
            assert!(told.contains(&entry), "no {entry}");
            if let domain @ Domain::Word(_) = &choice.domain {
                for (word, about) in domain.words(&terms) {
                    let found = told.lines().any(|line| {
                        line.trim_start().starts_with(word) && line.ends_with(about.as_str())
                    });
                    assert!(found, "{garment}: no {word}: {about}");
                }
            }
        }
    }
    let one = text(&blocks(&["jacket", "vent_length"], Path::new(".")).stdout);
    assert!(one.contains("a length from 18 to 27 cm"), "{one}");
    assert!(one.contains("only with vent = centre or side"), "{one}");
    assert!(!one.contains("lapel_width"), "{one}");
}

#[test]
fn what_is_not_there_is_told() {
    for (arguments, part) in [
        (&["jackett"][..], "Perhaps: jacket"),
        (&["jacket", "lapell"], "Perhaps: lapel"),
        (&["--blocks", "nowhere"], "no folder"),
    ] {
        let output = blocks(arguments, Path::new("."));
        assert_eq!(output.status.code(), Some(2));
        let told = text(&output.stderr);
        assert!(told.contains(part), "{told}");
    }
}

/// Every way to choose has a picture that another program can read, or the reason why the reference
/// figure cannot have it; and no choice is without at least one.
#[test]
fn every_way_to_choose_is_drawn() {
    let options = resvg::usvg::Options {
        dpi: 25.4,
        ..Default::default()
    };
    for garment in Workshop::embedded().catalogue.garments() {
        let pictured = pictures(Workshop::embedded(), None, garment, None).unwrap();
        assert_eq!(pictured.len(), choices(garment).0.len());
        let mut drawn = 0;
        for of in &pictured {
            let name = &of.choice.name;
            if let Domain::Word(words) = &of.choice.domain {
                let ways: Vec<&String> = of.ways.iter().map(|way| &way.name).collect();
                assert_eq!(ways, words.iter().map(|(word, _)| word).collect::<Vec<_>>());
            }
            let pictures: Vec<_> = of.ways.iter().flat_map(|way| &way.picture).collect();
            assert!(!pictures.is_empty(), "{garment}: {name} has no picture");
            for picture in &pictures {
                assert!(picture.width > 20.0 && picture.height > 20.0, "{name}");
                let tree = resvg::usvg::Tree::from_data(&svg::write(picture), &options).unwrap();
                assert!((f64::from(tree.size().width()) - picture.width).abs() < 0.01);
            }
            // Of a number that the figure can have there is a least and a most, and lines to see.
            if !matches!(of.choice.domain, Domain::Word(_) | Domain::Flag) {
                assert!(pictures.len() >= 2, "{garment}: {name} has one picture");
                for picture in &pictures {
                    assert!(
                        !lines(picture).is_empty(),
                        "{garment}: {name}: a word alone"
                    );
                }
            }
            // The first two differ, unless only one can be had.
            if let [first, second, ..] = pictures.as_slice() {
                assert!(first != second, "{garment}: {name} shows no difference");
            }
            for reason in of.ways.iter().filter_map(|way| way.picture.as_ref().err()) {
                assert!(
                    reason.len() > 20,
                    "{garment}: {name}: {reason:?} says little"
                );
            }
            drawn += pictures.len();
        }
        println!("{garment}: {drawn} pictures of {} choices", pictured.len());
    }
}

/// The page is well-formed, names every file's word, and another run gives the same bytes.
#[test]
fn the_page_of_pictures_is_whole() {
    let pictured = pictures(Workshop::embedded(), None, "jacket", Some("lapel")).unwrap();
    let written = files("jacket", &pictured);
    let page = text(&written[0].bytes);
    assert_eq!(written[0].file, "jacket.html");
    assert!(
        written
            .iter()
            .any(|file| file.file == "jacket-lapel-notch.svg")
    );
    for part in [
        "<strong>notch</strong>",
        "<strong>peak</strong>",
        "default by fastening",
    ] {
        assert!(page.contains(part), "no {part}");
    }
    let folder = tempfile::tempdir().unwrap();
    let output = blocks(
        &["jacket", "lapel", "--pictures", "pictures"],
        folder.path(),
    );
    assert!(output.status.success(), "{}", text(&output.stderr));
    let kept = std::fs::read(folder.path().join("pictures/jacket.html")).unwrap();
    assert!(kept == written[0].bytes);
    let Ok(xml) = Command::new("python3")
        .args([
            "-c",
            "import sys, xml.dom.minidom as x; x.parse(sys.argv[1])",
        ])
        .arg(folder.path().join("pictures/jacket.html"))
        .output()
    else {
        skipped_but_on_ci("python3 is not installed");
        return;
    };
    assert!(xml.status.success(), "{}", text(&xml.stderr));
}

/// Points of a picture's lines, in mm of the sheet.
fn lines(picture: &Drawing) -> Vec<Point> {
    let mut points = Vec::new();
    for item in &picture.items {
        if let Ink::Stroke { path, .. } = &item.ink {
            kurbo::flatten(path, 0.05, |element| points.extend(element.end_point()));
        }
    }
    points
}

/// A sprung vent laps further under and flares: it can be told from a plain one at arm's length.
#[test]
fn a_sprung_vent_looks_sprung() {
    let pictured = pictures(Workshop::embedded(), None, "jacket", Some("vent")).unwrap();
    let lines = |name: &str| {
        let mut ways = pictured[0].ways.iter();
        let way = ways.find(|way| way.name == name).expect("a vent");
        lines(way.picture.as_ref().unwrap())
    };
    for (plain, sprung) in [("side", "sprung_side"), ("centre", "sprung_centre")] {
        let (plain, sprung) = (lines(plain), lines(sprung));
        let apart = |p: &Point| {
            plain
                .iter()
                .map(|q| p.distance(*q))
                .fold(f64::MAX, f64::min)
        };
        let most = sprung.iter().map(apart).fold(0.0, f64::max);
        println!("a line of the sprung vent is {most:.1} mm from any of the plain one");
        assert!(most > 1.5, "{most}");
    }
}

/// With an order, the words are drawn on its client, as he chose for the rest, in his cloth: a picture of the check
/// holds a raster, and a misspelt choice is refused.
#[test]
fn an_order_is_drawn_in_its_own_cloth() {
    let folder = tempfile::tempdir().unwrap();
    let order = std::env::current_dir()
        .unwrap()
        .join("examples/check-side-vents.toml");
    let order = order.to_str().unwrap();
    let drawn = |arguments: &[&str]| {
        let output = blocks(&[arguments, &["--order", order]].concat(), folder.path());
        (
            output.status.code(),
            [text(&output.stdout), text(&output.stderr)].concat(),
        )
    };
    let (code, told) = drawn(&["jacket", "lapel_width", "--pictures", "his"]);
    assert_eq!(code, Some(0), "{told}");
    let read = |file: &str| std::fs::read_to_string(folder.path().join("his").join(file)).unwrap();
    let page = read("jacket.html");
    assert!(page.contains("data:image/png;base64,") && page.contains("lapel_width"));
    assert_eq!(drawn(&["jacket", "lapell", "--pictures", "his"]).0, Some(2));
    assert_eq!(
        drawn(&["jacket"]).0,
        Some(2),
        "an order is asked for without pictures"
    );
}
