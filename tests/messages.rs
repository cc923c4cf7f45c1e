//! The real program, given orders that used to be taken without a word, or refused with words that did not say
//! what is wrong: each is told where it stands, and what to write instead.

use crate::program::{PLAIN, run, said, tells, told};
use std::fs;
use std::path::Path;
use std::process::Output;

/// The plain order with a part of it replaced.
fn changed(old: &str, new: &str) -> String {
    let text = PLAIN.replacen(old, new, 1);
    assert_ne!(text, PLAIN, "{old} is not in the plain order");
    text
}

/// Runs `check` on an order of this text, alone in a folder.
fn check(text: &str) -> Output {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("order.toml"), text).unwrap();
    run(&["check", "order.toml"], folder.path())
}

/// It is refused in a message with a line and a caret that holds each of the texts and none of the others.
fn refused(text: &str, holds: &[&str], not: &[&str]) {
    let output = check(text);
    let err = told(&output);
    assert_eq!(output.status.code(), Some(2), "{holds:?}: {err}");
    for part in holds.iter().chain(&["order.toml, line ", "^"]) {
        assert!(tells(&err, part), "{part:?} is not told:\n{err}");
    }
    for part in not {
        assert!(!tells(&err, part), "{part:?} is told:\n{err}");
    }
}

#[test]
fn pens_are_whole_numbers_that_plotters_have() {
    for (pen, told) in [
        ("0", "0 cannot be right: it must be between 1 and 8"),
        ("9", "9 cannot be right: it must be between 1 and 8"),
        ("30", "30 cannot be right"),
        ("0.4", "a whole number from 1 to 8, not 0.4"),
        ("2.5", "a whole number from 1 to 8, not 2.5"),
        ("\"1\"", "it must be a number, not text"),
    ] {
        for name in ["cut_pen", "mark_pen", "letter_pen"] {
            refused(
                &format!("{PLAIN}\n[house.plot]\n{name} = {pen}\n"),
                &[told],
                &[],
            );
        }
    }
    let output = check(&format!("{PLAIN}\n[house]\nplot.cut_pen = 8\n"));
    assert!(output.status.success(), "{}", told(&output));
}

#[test]
fn numbers_of_the_house_that_no_garment_has_are_refused() {
    for (name, value, told) in [
        (
            "button.front",
            "50",
            "50 cannot be right: it must be between 0.5 and 5",
        ),
        ("button.cuff_thick", "4", "between 0.1 and 1.5"),
        (
            "collar.stand",
            "0",
            "0 cannot be right: it must be between 1.5 and 5",
        ),
        ("collar.fall", "30", "between 2.5 and 8"),
        ("pocket.jet", "0", "between 0.2 and 2"),
        ("lining.pleat", "40", "between 0 and 6"),
        ("canvas.slash", "90", "between 0 and 20"),
        ("tape.bridle_short", "30", "between 0 and 3"),
        ("waistcoat.shoulder_part", "7", "between 0.4 and 1"),
    ] {
        refused(
            &format!("{PLAIN}\n[house]\n{name} = {value}\n"),
            &[told, name],
            &["curve"],
        );
    }
}

/// A measure that the others contradict is named where the draft that follows from it does not hold.
#[test]
fn a_draft_that_fails_names_the_doubted_measures() {
    let text = changed("chest = 100", "chest = 165");
    let output = check(&text);
    let err = told(&output);
    assert_eq!(output.status.code(), Some(2), "{err}");
    assert!(
        tells(
            &err,
            "of the measures that were taken, check these first: chest: 165 cm, where the others say"
        ),
        "{err}"
    );
}

/// What the order changes of the house is named where the draft that follows from it does not hold.
#[test]
fn a_draft_that_fails_names_the_changed_numbers() {
    let text = format!(
        "{PLAIN}\n[house]\npocket.level = 20\ncollar.swing = 30\nease.chest_classic = 50\n"
    );
    let output = check(&text);
    let err = told(&output);
    assert_eq!(output.status.code(), Some(2), "{err}");
    assert!(
        tells(
            &err,
            "numbers of the house are changed: collar.swing = 30 (usually 12)"
        ),
        "{err}"
    );
    assert!(
        err.contains("ease.chest_classic = 50 (usually 11)"),
        "{err}"
    );
}

/// Nobody is asked to take again what was never taken.
#[test]
fn derived_measures_are_not_to_be_taken_again() {
    let (head, rest) = PLAIN.split_once("[jacket]").unwrap();
    let (_, trousers) = rest.split_once("[trousers]").unwrap();
    let trousers = format!("{head}[trousers]{trousers}").replace("seat = 103", "seat = 172");
    let derived = told(&check(&trousers));
    assert!(
        derived.contains("measure seat again; outside_leg and inside_leg were derived, not measured: measure them"),
        "{derived}"
    );
    assert!(
        derived.contains("check these first: seat: 172 cm"),
        "{derived}"
    );
    let taken = trousers.replace("neck = 40", "neck = 40\noutside_leg = 106\ninside_leg = 80");
    let taken = told(&check(&taken));
    assert!(
        taken.contains("measure outside_leg, inside_leg and seat again"),
        "{taken}"
    );
}

#[test]
fn a_folder_without_a_block_is_refused_with_what_it_holds() {
    let order = format!("blocks = \"ours\"\n{PLAIN}");
    let tried = |names: &[&str], arguments: &[&str]| {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("ours")).unwrap();
        for name in names {
            let path = folder.path().join("ours").join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            match name.ends_with('/') {
                true => fs::create_dir(&path).unwrap(),
                false => fs::write(&path, "").unwrap(),
            }
        }
        fs::write(folder.path().join("order.toml"), &order).unwrap();
        let output = run(arguments, folder.path());
        (output.status.code(), told(&output))
    };
    let check = ["check", "order.toml"];
    let refuses = |names: &[&str], arguments: &[&str], parts: &[&str]| {
        let (code, err) = tried(names, arguments);
        assert_eq!(code, Some(2), "{err}");
        for part in parts {
            assert!(tells(&err, part), "{part}: {err}");
        }
    };
    let holds_nothing = [
        "order.toml, line 1",
        "^",
        "ours` has no block in it",
        "no folder in it",
        "jacket, overcoat, trousers, waistcoat",
    ];
    refuses(&[], &check, &holds_nothing);
    let holds_others = [
        "has no block in it",
        "ts folders are jaket, vest",
        "`jaket` (perhaps: jacket)",
        "`vest` (perhaps: waistcoat)",
    ];
    refuses(&["jaket/jacket.rhai", "vest/"], &check, &holds_others);
    let blocks = ["blocks", "--blocks", "ours"];
    refuses(&["jaket/"], &blocks, &["(perhaps: jacket)"]);
    // Beside a garment's folder a misspelt one is doubted, and one that is something else is not.
    let (code, err) = tried(&["jacket/", "trowsers/"], &check);
    assert_eq!(code, Some(0), "{err}");
    assert!(
        err.contains("warning") && err.contains("`trowsers` (perhaps: trousers)"),
        "{err}"
    );
    for good in [&["jacket/", "shared/parts.rhai"][..], &["house.toml"]] {
        assert_eq!(tried(good, &check), (Some(0), String::new()), "{good:?}");
    }
}

#[test]
fn what_contradicts_itself_in_one_fitting_is_refused() {
    let fitting = |said: &str| format!("{PLAIN}\n[[fitting]]\ndate = 2026-03-20\n{said}\n");
    for (one, other) in [
        ("lengthen_coat", "shorten_coat"),
        ("let_out_waist", "take_in_waist"),
        ("lower_collar", "raise_collar"),
        ("more_drape", "less_drape"),
        ("pitch_sleeves_forward", "pitch_sleeves_back"),
        ("let_out_belly_cut", "take_in_belly_cut"),
        ("lower_shoulder", "raise_shoulder"),
    ] {
        for text in [
            format!("{one} = 0.5\n{other} = 0.3"),
            format!("{other} = 0.3\n{one} = 0.5"),
        ] {
            refused(
                &fitting(&text),
                &[one, other, "contradict each other in one fitting"],
                &[],
            );
        }
    }
    refused(
        &fitting("lengthen_coat = -1"),
        &["cannot be negative", "its opposite is shorten_coat"],
        &[],
    );
    // What is said of different sides, or at different fittings, does not.
    for good in [
        "lengthen_sleeves = { left = 1, right = 0 }\nshorten_sleeves = { left = 0, right = 0.5 }",
        "lengthen_coat = 1\nshorten_coat = 0",
        "lengthen_coat = 1\n[[fitting]]\ndate = 2026-03-27\nshorten_coat = 0.5",
        "let_out_thighs = -0.5",
    ] {
        let output = check(&fitting(good));
        assert!(output.status.success(), "{good}: {}", told(&output));
    }
}

#[test]
fn a_fitting_before_its_order_is_refused_unless_it_names_another() {
    let fitting = |said: &str| format!("{PLAIN}\n[[fitting]]\n{said}\nlengthen_coat = 1\n");
    refused(
        &fitting("date = 2026-03-01"),
        &[
            "the fitting of 2026-03-01 is before the order, which is dated 2026-03-02",
            "order = ",
        ],
        &[],
    );
    for good in ["date = 2026-03-02", "date = 2025-03-01\norder = \"F-88\""] {
        let output = check(&fitting(good));
        assert!(output.status.success(), "{good}: {}", told(&output));
    }
}

/// A client's next order follows the fittings of the one before, which were before it.
#[test]
fn the_next_order_says_which_order_was_fitted() {
    let folder = tempfile::tempdir().unwrap();
    let old = format!("{PLAIN}\n[[fitting]]\ndate = 2026-03-20\nlengthen_coat = 1\n");
    fs::write(folder.path().join("old.toml"), old).unwrap();
    let made = run(&["next", "old.toml", "new.toml"], folder.path());
    assert!(made.status.success(), "{}", told(&made));
    let text = fs::read_to_string(folder.path().join("new.toml")).unwrap();
    assert!(text.contains("[[fitting]]\norder = \"F-101\""), "{text}");
    let dated = text.replace("# date = 2026-01-31", "date = 2026-09-01");
    assert_ne!(dated, text);
    fs::write(folder.path().join("new.toml"), dated).unwrap();
    let err = told(&run(&["check", "new.toml"], folder.path()));
    assert!(
        err.contains("still to be chosen") && !err.contains("was before the order"),
        "{err}"
    );
}

#[test]
fn names_that_nobody_sees_are_empty() {
    for unseen in [
        "\u{200b}\u{200b}",
        "\u{2060}",
        "\u{feff} \u{ad}",
        "\u{3164}\u{2800}",
        "\\u200B\\u00A0",
    ] {
        for old in ["Edmund Farrow", "F-101", "navy worsted, 310 g", "navy horn"] {
            refused(&changed(old, unseen), &["invisible characters"], &[]);
        }
    }
    // A note of nothing is left out, and what stands round a name is not part of it.
    let without_note = changed(
        "First order. Baste for a fitting before the inlays are trimmed.",
        "\u{200b}",
    );
    assert!(check(&without_note).status.success());
    let text = changed("Edmund Farrow", "\u{200b} Edmund Farrow\u{feff}");
    let out = said(&check(&text));
    assert!(out.starts_with("order — Edmund Farrow, F-101\n"), "{out:?}");
    // A file without a name that is seen.
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("\u{200b}.toml"), PLAIN).unwrap();
    let unnamed = said(&run(&["check", "\u{200b}.toml"], folder.path()));
    assert!(unnamed.starts_with("order — "), "{unnamed:?}");
}

/// Letters that the sheets lack are told with their place, and the page for a browser has them.
#[test]
fn letters_that_cannot_be_printed_are_told_and_the_page_has_them() {
    let (head, rest) = PLAIN.split_once("[jacket]").unwrap();
    let (_, trousers) = rest.split_once("[trousers]").unwrap();
    let text = format!("{head}[trousers]{trousers}")
        .replace("Edmund Farrow", "דוד 李")
        .replace("navy worsted", "紺 worsted");
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("order.toml"), &text).unwrap();
    let output = run(
        &["cut", "order.toml", "--rounds", "1", "--paper", "a0"],
        folder.path(),
    );
    let err = told(&output);
    assert!(output.status.success(), "{err}");
    for part in [
        "order.toml, line 4",
        "cannot print `ד`, `ו`, `李`: ◊ is printed instead",
        "order.toml, line 17",
        "cannot print `紺`",
    ] {
        assert!(tells(&err, part), "{part}: {err}");
    }
    let out = folder.path().join("out/order");
    let page = fs::read_to_string(out.join("order.html")).unwrap();
    let report = fs::read_to_string(out.join("report.json")).unwrap();
    let lay = fs::read_to_string(out.join("lay.svg")).unwrap();
    assert!(!page.contains('◊'), "the page has a sign for a letter");
    assert!(page.contains("<h1>Job ticket · F-101 · דוד 李</h1>") && page.contains("紺 worsted"));
    assert!(
        lay.contains("<title>Lay in cloth · F-101 דוד 李</title>"),
        "{}",
        &lay[..600]
    );
    assert!(report.contains("דוד 李"));
    if let Ok(ticket) = std::process::Command::new("pdftotext")
        .arg(out.join("ticket.pdf"))
        .arg("-")
        .output()
    {
        let ticket = String::from_utf8_lossy(&ticket.stdout).into_owned();
        assert!(
            ticket.contains("◊ ◊") && ticket.contains("◊ worsted"),
            "{ticket}"
        );
    }
    // What the sheets have is not doubted.
    let printable = check(&changed("Edmund Farrow", "Żółć Ωμέγα Иван Åse"));
    assert_eq!(told(&printable), "");
}

#[test]
fn days_that_are_none_are_told_as_such() {
    for (day, told) in [
        ("2026-02-30", "there is no 30 February in 2026"),
        ("\"2026-02-30\"", "there is no 30 February in 2026"),
        ("2026-04-31 # a day", "there is no 31 April in 2026"),
        ("2026-13-01", "there is no month 13"),
        ("2026-3-2", "2026-03-02"),
        ("2026/03/02", "2026-03-02"),
        ("0206-03-02", "the year 206 cannot be right"),
    ] {
        refused(
            &changed("2026-03-02", day),
            &[told],
            &["does not start with the year"],
        );
    }
    refused(
        &changed("2026-03-02", "2.3.2026"),
        &["does not start with the year"],
        &[],
    );
    let fitting = format!("{PLAIN}\n[[fitting]]\ndate = 2026-02-30\n");
    refused(
        &fitting,
        &["there is no 30 February in 2026"],
        &["lacks its date"],
    );
}

#[test]
fn numbers_are_told_as_they_are_written_and_rounded_where_they_are_reckoned() {
    refused(
        &changed("chest = 100", "chest = 1e308"),
        &["a chest of 1e308 cm is impossible"],
        &["inf"],
    );
    refused(
        &changed("height = 176", "unit = \"in\"\nheight = 1e308"),
        &["1e308 in"],
        &["inf "],
    );
    let sloping = format!("{PLAIN}\n[figure]\nsloping_shoulders = \"45 deg\"\n");
    refused(
        &sloping,
        &["sloping_shoulders = \"45 deg\", which is 11.7 cm, is too large"],
        &["11.700"],
    );
    let unrounded = format!("{PLAIN}\n[figure]\nsloping_shoulders = 3.3000000000000003\n");
    refused(
        &unrounded,
        &["sloping_shoulders = 3.3 cm is too large"],
        &["of 3.300"],
    );
    refused(
        &changed("width = 150", "width = 59.055118110236"),
        &["write \"59.06 in\""],
        &["59.0551181102362 in"],
    );
    refused(
        &changed("width = 150", "width = \"0.333 ft\""),
        &["width: 10.15 cm is outside"],
        &["if it is in"],
    );
}

/// A folder that cannot be written into is told before the work: at once, and nothing is searched for.
#[test]
fn a_folder_that_takes_nothing_is_told_before_any_work() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("order.toml"), PLAIN).unwrap();
    fs::write(folder.path().join("file"), "").unwrap();
    for arguments in [
        &["cut", "order.toml", "--rounds", "100000", "--out", "file"][..],
        &[
            "cut",
            "order.toml",
            "--rounds",
            "100000",
            "--out",
            "file/below",
        ],
        &["lay", "order.toml", "--seconds", "3600", "--out", "file"],
        &[
            "lay",
            "order.toml",
            "order.toml",
            "--together",
            "--seconds",
            "3600",
            "--out",
            "file",
        ],
        &["draft", "order.toml", "--out", "file"],
        &[
            "cloth",
            "order.toml",
            "--have",
            "3m",
            "--rounds",
            "100000",
            "--out",
            "file",
        ],
        &["blocks", "--pictures", "file"],
    ] {
        let began = std::time::Instant::now();
        let output = run(arguments, folder.path());
        let err = told(&output);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {err}");
        assert!(
            err.contains("cannot be written: there is a file where the folder should be"),
            "{err}"
        );
        // Searches of an hour, on however busy a machine.
        assert!(began.elapsed().as_secs() < 120, "{arguments:?}");
        assert_eq!(said(&output), "", "{arguments:?}");
    }
    assert_eq!(names(folder.path()), ["file", "order.toml"]);
    // The order's own folder may be what stands in the way.
    fs::create_dir(folder.path().join("out")).unwrap();
    fs::write(folder.path().join("out/order"), "").unwrap();
    let output = run(&["cut", "order.toml", "--rounds", "100000"], folder.path());
    assert!(
        tells(&told(&output), "the sheets cannot be written"),
        "{}",
        told(&output)
    );
    assert_eq!(names(&folder.path().join("out")), ["order"]);
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn the_columns_of_the_measures_have_heads() {
    let out = said(&check(PLAIN));
    let lines: Vec<&str> = out.lines().collect();
    let head = lines
        .iter()
        .position(|line| line.contains("origin"))
        .expect("a head");
    assert_eq!(lines[head - 1], "measures, in cm");
    for word in ["length", "expected", "origin"] {
        assert!(lines[head].contains(word), "{}", lines[head]);
    }
    // Each head ends where its column does.
    let ends = |line: &str, word: &str| {
        line.find(word)
            .map(|at| line[..at].chars().count() + word.chars().count())
    };
    let chest = lines[head + 2];
    assert!(chest.contains("chest"), "{chest}");
    assert_eq!(ends(lines[head], "length"), ends(chest, "100"));
    assert_eq!(ends(lines[head], "expected"), ends(chest, "93 to 120"));
}

/// A garment's order lists the measures that it is drafted by.
#[test]
fn only_the_measures_of_the_garments_are_listed() {
    let out = said(&check(&crate::program::trousers()));
    assert!(out.contains("\n  inside_leg "), "{out}");
    for other in ["half_back", "sleeve", "biceps", "jacket_length"] {
        assert!(!out.contains(&format!("\n  {other} ")), "{other}: {out}");
    }
    assert!(out.contains("; every outline and curve\n"), "{out}");
}

/// The index of a paper pattern names every piece in full, on whatever paper.
#[test]
fn the_index_of_the_paper_is_not_cut_short() {
    let (head, rest) = include_str!("../examples/fitted-twice.toml")
        .split_once("[trousers]")
        .unwrap();
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("order.toml"),
        format!("{head}[trousers]{rest}"),
    )
    .unwrap();
    for paper in ["a4", "a1", "roll:914mm"] {
        let output = run(
            &["cut", "order.toml", "--rounds", "1", "--paper", paper],
            folder.path(),
        );
        assert!(output.status.success(), "{}", told(&output));
        let pdf = folder
            .path()
            .join(format!("out/order/paper-{}.pdf", paper.replace(':', "-")));
        let Ok(read) = std::process::Command::new("pdftotext")
            .args(["-f", "1", "-l", "2", "-raw"])
            .arg(&pdf)
            .arg("-")
            .output()
        else {
            eprintln!("skipped: pdftotext is not installed");
            return;
        };
        let text = String::from_utf8_lossy(&read.stdout).into_owned();
        assert!(!text.is_empty() && !text.contains('…'), "{paper}: {text}");
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for name in [
            "waistband canvas, right, trousers · 1, right side",
            "inside pocket bearer, right, jacket · 1, right side",
            "side pocket bearer, trousers · 1 pair",
        ] {
            assert!(whole(&flat, name), "{paper}: {name} is not in\n{flat}");
        }
    }
}

/// Whether the words of a line stand in a text one after another, with nothing or a piece's pages between.
fn whole(text: &str, line: &str) -> bool {
    let words: Vec<&str> = line.split(' ').collect();
    let all: Vec<&str> = text.split(' ').collect();
    all.windows(words.len() + 1).any(|found| {
        let mut words = words.iter().peekable();
        for part in found {
            if words.peek() == Some(&part) {
                words.next();
            }
        }
        words.next().is_none()
    })
}
