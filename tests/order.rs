//! The real program, given orders that are wrong in every way we can think of.

use crate::program::{PLAIN, run, tells};
use chalkstripe::diagnostic::Source;
use chalkstripe::order::{self, Origin};
use proptest::prelude::*;
use std::fs;
use std::path::{Path, PathBuf};

fn examples() -> Vec<PathBuf> {
    let entries = fs::read_dir("examples").unwrap();
    let mut paths: Vec<PathBuf> = entries
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .collect();
    paths.sort();
    paths
}

/// Runs `check` on an order of this text; gives the exit code, the standard output and the error.
fn check(text: &str) -> (i32, String, String) {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("order.toml"), text).unwrap();
    let output = run(&["check", "order.toml"], folder.path());
    let names: Vec<_> = fs::read_dir(folder.path())
        .unwrap()
        .map(|e| e.unwrap().file_name())
        .collect();
    assert_eq!(names, ["order.toml"], "check wrote something");
    let told = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        output.status.code().unwrap(),
        told(output.stdout),
        told(output.stderr),
    )
}

/// The plain order with a line of it replaced.
fn changed(old: &str, new: &str) -> String {
    let text = PLAIN.replacen(old, new, 1);
    assert_ne!(text, PLAIN, "{old} is not in the plain order");
    text
}

/// The order is refused, and the error holds each of the texts.
fn refused(text: &str, told: &[&str]) {
    let (code, out, err) = check(text);
    assert_eq!((code, out.as_str()), (2, ""), "{err}");
    for part in told {
        assert!(tells(&err, part), "{part:?} is not told:\n{err}");
    }
}

#[test]
fn every_example_is_an_order_without_a_doubt() {
    assert!(examples().len() >= 3);
    for path in examples() {
        let output = run(&["check", path.to_str().unwrap()], Path::new("."));
        assert!(output.status.success(), "{path:?}");
        assert_eq!(String::from_utf8(output.stderr).unwrap(), "", "{path:?}");
        assert!(
            String::from_utf8(output.stdout)
                .unwrap()
                .contains("shoulder_width"),
            "{path:?}"
        );
    }
}

#[test]
fn a_folder_of_orders_is_read_in_order() {
    let output = run(&["check", "examples"], Path::new("."));
    let out = String::from_utf8(output.stdout).unwrap();
    let at: Vec<_> = examples()
        .iter()
        .map(|p| out.find(p.file_stem().unwrap().to_str().unwrap()).unwrap())
        .collect();
    assert!(at.is_sorted() && output.status.success());
}

#[test]
fn a_good_order_is_reported_beside_a_bad_one() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("bad.toml"), "").unwrap();
    fs::write(folder.path().join("good.toml"), PLAIN).unwrap();
    let output = run(&["check", "bad.toml", "good.toml"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    assert!(
        String::from_utf8(output.stdout)
            .unwrap()
            .contains("Edmund Farrow")
    );
    assert!(
        String::from_utf8(output.stderr)
            .unwrap()
            .contains("`bad.toml` is empty")
    );
}

#[test]
fn slips_in_keys_are_told_with_place_and_the_nearest_word() {
    refused(
        &changed("chest =", "chset ="),
        &[
            "order.toml, line 11",
            "^^^^^",
            "`chset` is not a measure",
            "Perhaps: chest",
        ],
    );
    refused(&changed("chest =", "breast ="), &["Perhaps: chest"]);
    refused(
        &changed("[jacket]", "[jaket]"),
        &["there is no section [jaket]", "Perhaps: jacket"],
    );
    refused(
        &changed("fastening", "fastning"),
        &[
            "`fastning` is not a choice of the jacket",
            "Perhaps: fastening",
        ],
    );
    refused(
        &changed("\"centre\"", "\"center\""),
        &["`center` is not one of its words", "Perhaps: centre"],
    );
    refused(
        &changed("width =", "widht ="),
        &["`widht` is not known in [cloth]", "Perhaps: width"],
    );
    refused(
        &changed("\"two_ways\"", "\"two_way\""),
        &["Perhaps: two_ways"],
    );
    refused(&changed("thread =", "threads ="), &["Perhaps: thread"]);
    refused(&changed("sleeves =", "sleeve ="), &["Perhaps: sleeves"]);
    refused(
        &changed("[client]", "unit = \"in\"\n[client]"),
        &["`unit` is not in any section", "[measures]"],
    );
    refused(
        &format!("{PLAIN}[house]\nallowance.scie = 1\n"),
        &["Perhaps: allowance.scye"],
    );
    refused(
        &format!("{PLAIN}[house.corner]\ndefault = \"mitred\"\n"),
        &["fold, mitre, square"],
    );
    refused(
        &format!("blocks = \"nowhere\"\n{PLAIN}"),
        &["there is no folder of blocks", "order.toml, line 1"],
    );
}

#[test]
fn what_is_missing_is_told() {
    refused(
        &changed("neck = 40", ""),
        &["[measures] needs neck", "neck girth"],
    );
    refused(
        &changed("name = \"Edmund Farrow\"", ""),
        &["[client] needs a name"],
    );
    refused(
        &changed("name = \"navy worsted, 310 g\"", ""),
        &["[cloth] needs a name"],
    );
    let (nothing, _) = PLAIN.split_once("[jacket]").unwrap();
    refused(
        nothing,
        &[
            "no garment in it",
            "[jacket] or [overcoat] or [trousers] or [waistcoat]",
        ],
    );
    refused(
        "[client]\nname = \"x\"\n",
        &[
            "needs height, chest, waist, seat, neck",
            "[cloth] needs a name",
            "no garment in it",
        ],
    );
}

#[test]
fn impossible_measures_are_told_with_the_slip_that_made_them() {
    refused(
        &changed("chest = 100", "chest = 39.5"),
        &["a chest of 39.5 cm is impossible", "write \"39.5 in\""],
    );
    refused(
        &changed("chest = 100", "chest = 1000"),
        &["write \"1000 mm\""],
    );
    refused(
        &changed("neck = 40", "neck = 4.0"),
        &["decimal point in the wrong place? 40 cm"],
    );
    refused(
        &changed("neck = 40", "neck = -40"),
        &["a neck of -40 cm is impossible"],
    );
    refused(
        &changed("neck = 40", "neck = \"15 elbows\""),
        &["`elbows` is not a unit"],
    );
    refused(&changed("neck = 40", "neck = nan"), &["impossible"]);
    refused(&changed("neck = 40", "neck = [40]"), &["not a list"]);
    refused(
        &changed("neck = 40", "neck = 40\nhalf_back = 40"),
        &["give half of the back: 20 cm"],
    );
    refused(
        &changed("neck = 40", "neck = 40\ninside_leg = 108\noutside_leg = 81"),
        &["contradict", "swapped?"],
    );
    refused(
        &changed("height", "unit = \"in\"\nheight"),
        &["start [measures] with unit = \"cm\""],
    );
    refused(
        &changed("height", "unit = \"inches\"\nheight"),
        &["\"cm\" or \"in\""],
    );
}

#[test]
fn unlikely_measures_are_doubted_with_their_prediction_and_let_pass() {
    let doubted = |text: &str, told: &[&str]| {
        let checked = order::parse("x", &Source::new("x.toml", text), Path::new("")).unwrap();
        let shown: Vec<String> = checked.warnings.iter().map(|w| w.render(false)).collect();
        assert_eq!(shown.len(), 1, "{shown:?}");
        for part in told {
            assert!(
                shown[0].contains("(warning)") && tells(&shown[0], part),
                "{part:?} is not told:\n{}",
                shown[0]
            );
        }
    };
    doubted(
        &changed("neck = 40", "neck = 40\nnape_to_waist = 54.4"),
        &["expected 43.6 cm, from ", "swapped? 45.4 cm"],
    );
    doubted(
        &changed("neck = 40", "neck = 40\nsleeve = 75"),
        &["expected 63 cm, from ", "measure again"],
    );
    doubted(
        &changed("waist = 88", "waist = 122"),
        &["a waist of 122 cm"],
    );
    let swapped =
        PLAIN
            .replacen("waist = 88", "waist = 103", 1)
            .replacen("seat = 103", "seat = 88", 1);
    doubted(&swapped, &["were waist and seat swapped?"]);
}

#[test]
fn values_out_of_range_and_contradictions_are_told() {
    refused(
        &changed("width = 150", "width = 58"),
        &["outside 65 to 320 cm", "write \"58 in\""],
    );
    refused(
        &changed("width = 150", "width = 150\nshrinkage = 3"),
        &["write \"3 %\""],
    );
    refused(
        &changed("fastening", "lapel_width = 3.5\nfastening"),
        &["3.5 cm is outside 7 to 11 cm", "write \"3.5 in\""],
    );
    refused(
        &changed("fastening", "sleeve_buttons = 2.5\nfastening"),
        &["a whole number"],
    );
    refused(
        &changed("fastening", "sleeve_buttons = \"four\"\nfastening"),
        &["a whole number from 1 to 5, not text"],
    );
    refused(
        &changed("vent = \"centre\"", "vent = \"none\"\nvent_length = 24"),
        &["does not apply", "vent = \"none\""],
    );
    refused(
        &changed("date = 2026-03-02", "date = \"yesterday\""),
        &["year-month-day"],
    );
    refused(
        &changed("date = 2026-03-02", "date = 02.03.2026"),
        &["does not start with the year", "year-month-day"],
    );
    refused(
        &changed("height = 176", "height = 0176"),
        &["starts with a nought", "height = 176"],
    );
    refused(
        &changed("height = 176", "height = 1e400"),
        &["far too large a number"],
    );
    refused(
        &changed("width = 150", "width = 150\nrepeat_along = 0.01"),
        &["repeat_along", "a repeat this small", "leave it out"],
    );
    refused(
        &changed("date = 2026-03-02", "date = 2026-02-30"),
        &["there is no 30 February in 2026", "order.toml, line 6"],
    );
    refused(
        &changed("\"Edmund Farrow\"", "\"Edmund\\u0007Farrow\""),
        &["cannot be printed"],
    );
    refused(&changed("\"Edmund Farrow\"", "\"  \""), &["it is empty"]);
}

#[test]
fn every_fault_is_told_in_one_run_in_the_order_of_the_file() {
    let text = changed("chest =", "chset =")
        .replace("\"centre\"", "\"center\"")
        .replace("widht", "width");
    let text = text
        .replace("width", "widht")
        .replace("date = 2026", "date = tomorrow-2026");
    let (_, _, err) = check(&text);
    let at: Vec<_> = ["tomorrow", "chset", "widht", "center"]
        .iter()
        .map(|w| err.find(w).unwrap())
        .collect();
    assert!(at.is_sorted(), "{err}");
    assert_eq!(err.matches(".toml, line ").count(), 4, "{err}");
}

/// What is there and cannot be read is told as that, and not called missing besides.
#[test]
fn a_value_of_the_wrong_kind_is_told_once() {
    for (old, new) in [
        ("chest = 100", "chest = [100, 101]"),
        ("waist = 88", "waist = true"),
        ("\"Edmund Farrow\"", "5"),
        ("\"navy worsted, 310 g\"", "310"),
    ] {
        let (code, _, err) = check(&changed(old, new));
        let once = err.matches(".toml, line ").count() == 1 && err.contains("this must be");
        assert!(code == 2 && once, "{err}");
    }
}

#[test]
fn fittings_out_of_the_order_of_their_dates_are_doubted() {
    let fitting = |date: &str| format!("[[fitting]]\ndate = {date}\nlower_shoulder = 0.2\n");
    let both = |a: &str, b: &str| check(&format!("{PLAIN}\n{}{}", fitting(a), fitting(b)));
    let (code, _, err) = both("2026-03-10", "2026-03-09");
    let told = "the fitting of 2026-03-09 comes after a later one";
    assert!(code == 0 && tells(&err, told), "{err}");
    let (good, _, silent) = both("2026-03-09", "2026-03-10");
    assert_eq!((good, silent.as_str()), (0, ""));
}

#[test]
fn a_slip_of_syntax_is_told_with_what_to_write() {
    refused(
        &changed("chest = 100", "chest = 39 1/2 in"),
        &["order.toml, line 11", "chest = \"39 1/2 in\""],
    );
    refused(&changed("chest = 100", "chest = 39,5"), &["chest = 39.5"]);
    refused(&changed("\"centre\"", "centre"), &["vent = \"centre\""]);
    refused(
        &changed("neck = 40", "neck = 40\nneck = 41"),
        &["this is here a second time"],
    );
    refused(
        &format!("{PLAIN}\n[jacket]\nvent = \"none\"\n"),
        &["move what is below to the first [jacket]"],
    );
    refused(
        &changed("\"centre\"", "“centre”"),
        &["write straight quotes: vent = \"centre\""],
    );
    refused(
        &changed("chest = 100", "chest = 100 // over a shirt"),
        &["a comment starts with #: chest = 100 # over a shirt"],
    );
    refused(&changed("[jacket]", "[jacket"), &["order.toml, line "]);
    refused(
        &changed("\"Edmund Farrow\"", "\"Edmund Farrow"),
        &["order.toml, line 4"],
    );
}

#[test]
fn what_is_no_order_is_refused_by_name() {
    refused("", &["`order.toml` is empty", "chalkstripe new"]);
    refused("  \n\n", &["`order.toml` is empty"]);
    refused(
        &"{{{ ] = \n".repeat(500),
        &["more errors of form", "is this an order at all?"],
    );
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    fs::write(here.join("junk.toml"), [0_u8, 159, 146, 150, 255]).unwrap();
    let large = fs::File::create(here.join("large.toml")).unwrap();
    large.set_len(50 << 20).unwrap();
    fs::create_dir(here.join("empty")).unwrap();
    // As an editor saves it that does not know of UTF-8.
    let latin: Vec<u8> = PLAIN.replace("Edmund", "J?rg").into_bytes();
    let latin = latin.into_iter().map(|b| if b == b'?' { 0xf6 } else { b });
    fs::write(here.join("latin.toml"), latin.collect::<Vec<u8>>()).unwrap();
    let wide = PLAIN.encode_utf16().flat_map(u16::to_le_bytes);
    let wide: Vec<u8> = [0xff, 0xfe].into_iter().chain(wide).collect();
    fs::write(here.join("wide.toml"), wide).unwrap();
    fs::copy("blocks/house.toml", here.join("house.toml")).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink("nowhere.toml", here.join("gone.toml")).unwrap();
    for (name, told) in [
        ("junk.toml", "is not a text file"),
        ("latin.toml", "latin.toml, line 4"),
        ("wide.toml", "saved as UTF-16"),
        ("house.toml", "this is not an order"),
        ("large.toml", "too large to be read: 51200 KiB"),
        ("largo.toml", "Perhaps: large.toml"),
        #[cfg(unix)]
        ("gone.toml", "is a link to a file that does not exist"),
        ("nowhere/a.toml", "there is no folder `nowhere` either"),
        ("empty", "has no order (.toml) in it"),
        ("/dev/null", "is not a plain file"),
    ] {
        let output = run(&["check", name], here);
        let err = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{name}: {err}");
        assert!(
            output.stdout.is_empty() && tells(&err, told),
            "{name}: {err}"
        );
    }
}

#[test]
fn a_starter_order_is_written_once_and_is_an_order() {
    let folder = tempfile::tempdir().unwrap();
    let new = |name: &str| run(&["new", name], folder.path());
    assert!(new("mine.toml").status.success());
    let text = fs::read_to_string(folder.path().join("mine.toml")).unwrap();
    let (code, _, err) = check(&text);
    assert_eq!((code, err.as_str()), (0, ""));
    let again = new("mine.toml");
    assert_eq!(again.status.code(), Some(2));
    assert!(
        String::from_utf8(again.stderr)
            .unwrap()
            .to_lowercase()
            .contains("use a new name")
    );
    // A file where a folder should be cannot be written into, by anyone.
    for (name, told) in [
        ("mine.toml", "there is already something with that name"),
        (
            "mine.toml/other.toml",
            "there is a file where the folder should be",
        ),
        ("nowhere/other.toml", "its folder does not exist"),
    ] {
        let output = new(name);
        let refusal = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{refusal}");
        assert!(
            tells(&refusal, told) && !refusal.contains("os error"),
            "{refusal}"
        );
    }
    let printed = run(&["new"], folder.path());
    assert_eq!(String::from_utf8(printed.stdout).unwrap(), text);
}

#[test]
fn inches_and_centimetres_give_the_same_body() {
    let parse = |text: &str| {
        order::parse("x", &Source::new("x.toml", text), Path::new(""))
            .unwrap()
            .order
    };
    let cm = parse(&changed(
        "height = 176\nchest = 100",
        "height = 177.8\nchest = 101.6",
    ));
    let inches = PLAIN
        .replace(
            "height = 176\nchest = 100",
            "unit = \"in\"\nheight = \"5 ft 10\"\nchest = 40",
        )
        .replace("waist = 88", "waist = \"88 cm\"")
        .replace("seat = 103", "seat = \"1030 mm\"")
        .replace("neck = 40", "neck = \"40 cm\"");
    let inches = parse(&inches);
    for (name, measure) in &cm.measures.0 {
        let other = inches.measures.0[name];
        assert!(
            (measure.mm - other.mm).abs() < 1e-6 && measure.origin == other.origin,
            "{name}"
        );
    }
    assert_eq!(cm.measures.0["half_back"].origin, Origin::Derived);
    assert_eq!(cm.measures.0["chest"].origin, Origin::Taken);
}

#[test]
fn a_workshops_own_folder_adds_words_garments_and_numbers() {
    let folder = tempfile::tempdir().unwrap();
    let put = |path: &str, text: &str| {
        let path = folder.path().join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    };
    put(
        "ours/jacket/choices.toml",
        "[lapel]\nwords.swallow = \"a long, low notch\"\n",
    );
    put(
        "ours/smock/choices.toml",
        "[pockets]\nabout = \"how many\"\nkind = \"count\"\ndefault = 2\nleast = 0\nmost = 4\n",
    );
    put("ours/house.toml", "[allowance]\nside_seam_back = 3.5\n");
    let text = format!(
        "blocks = \"ours\"\n{}",
        changed("fastening", "lapel = \"swallow\"\nfastening")
    ) + "[smock]\npockets = 3\n";
    put("a.toml", &text);
    let checked = order::read(&folder.path().join("a.toml")).unwrap();
    assert_eq!(checked.order.garments.len(), 3);
    assert_eq!(
        checked.order.house.number("allowance.side_seam_back"),
        Some(3.5)
    );
    put("ours/house.toml", "[allowance]\nside_seam_bakc = 3.5\n");
    let output = run(&["check", "a.toml"], folder.path());
    let err = String::from_utf8(output.stderr).unwrap();
    assert!(
        output.status.code() == Some(2) && err.contains("house.toml, line 2"),
        "{err}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Whatever is done to an order, it is read or refused, and every finding can be shown.
    #[test]
    fn no_text_is_fatal(at in 0..PLAIN.len(), cut in 0_usize..40, put in "\\PC{0,12}|[\\[\\]={}\"'#\n0-9.-]{0,12}") {
        let start = (0..=at).rev().find(|&i| PLAIN.is_char_boundary(i)).unwrap();
        let end = (start + cut).min(PLAIN.len());
        let end = (end..=PLAIN.len()).find(|&i| PLAIN.is_char_boundary(i)).unwrap();
        let text = format!("{}{put}{}", &PLAIN[..start], &PLAIN[end..]);
        let findings = match order::parse("x", &Source::new("x.toml", text), Path::new("")) {
            Ok(checked) => checked.warnings,
            Err(faults) => {
                prop_assert!(!faults.is_empty());
                faults
            }
        };
        for finding in findings {
            prop_assert!(!finding.render(false).is_empty());
        }
    }
}

/// Slips as they are made at a cutting table; each is told with what to write instead.
#[test]
fn a_tailors_slips_are_understood() {
    for (old, new, told) in [
        ("chest = 100", "chest = 100,5", "chest = 100.5"),
        ("chest = 100", "chest = 1OO", "needs quotes"),
        ("chest = 100", "chest = 100\nchest = 102", "give it once"),
        (
            "waist = 88",
            "waist: 88",
            "put an = between a name and its value: waist = 88",
        ),
        ("waist = 88", "waist 88", "waist = 88"),
        ("height = 176", "height = 1.76", "in metres, write 176"),
        ("neck = 40", "neck = 15 3/4", "neck = \"15 3/4\""),
        ("neck = 40", "collar = 40", "Perhaps: neck"),
        ("seat = 103", "hips = 103", "Perhaps: seat"),
        ("width = 150", "width = 1.5", "in metres, write 150"),
        (
            "date = 2026-03-02",
            "date = 02.03.2026",
            "date = 2026-03-02",
        ),
        (
            "fastening = \"two\"",
            "fastening = two",
            "fastening = \"two\"",
        ),
        ("fastening = \"two\"", "lapel = \"peaked\"", "Perhaps: peak"),
        ("fastening = \"two\"", "lapels = \"peak\"", "Perhaps: lapel"),
        ("vent = \"centre\"", "vent = \"center\"", "Perhaps: centre"),
        (
            "\"side_adjusters\"",
            "\"side adjusters\"",
            "Perhaps: side_adjusters",
        ),
        ("\"side_adjusters\"", "\"braces\"", "Perhaps: brace_buttons"),
        ("[trousers]", "[trouser]", "Perhaps: trousers"),
        ("[jacket]", "[coat]", "Perhaps: jacket"),
        ("[jacket]", "[jacket", "close the bracket: [jacket]"),
        ("\"navy horn\"", "\"navy horn", "close the quotes"),
        ("[measures]", "[Measures]", "Perhaps: measures"),
    ] {
        refused(&changed(old, new), &[told]);
    }
    // What follows from a slip is not told as well.
    for (old, new) in [
        ("date = 2026-03-02", "date = 02.03.2026"),
        ("waist = 88", "waist: 88"),
        ("[measures]", "[Measures]"),
    ] {
        let source = Source::new("order.toml", changed(old, new));
        let faults = order::parse("order", &source, Path::new("")).unwrap_err();
        assert_eq!(faults.len(), 1, "{new}: {faults:#?}");
    }
}
