//! The real program asked about cloth: lengths by width and layout, cloth at hand, one lay of several
//! orders.

use crate::program::{self, said, told};
use std::path::{Path, PathBuf};
use std::process::Output;

fn run(arguments: &[&str], paths: &[&Path]) -> Output {
    let paths = paths.iter().map(|path| path.to_str().expect("a name"));
    let all: Vec<&str> = arguments.iter().copied().chain(paths).collect();
    program::run(&all, Path::new("."))
}

/// The trousers of the plain order, in the file `name` of a folder, for a client and on a cloth.
fn trousers(folder: &Path, name: &str, client: &str, cloth: &str) -> PathBuf {
    let order = program::trousers()
        .replace("Edmund Farrow", client)
        .replace("layout = \"doubled\"", cloth);
    let file = folder.join(name);
    std::fs::write(&file, order).unwrap();
    file
}

/// The pieces in a lay's drawing.
fn cuts(file: &Path) -> usize {
    let drawn = std::fs::read_to_string(file).unwrap();
    drawn.matches("<g id=\"cut-").count()
}

/// Metres in the column of a row of the table.
fn metres(table: &str, width: &str, column: usize) -> f64 {
    let row = table.lines().find(|line| line.trim().starts_with(width));
    let row = row.unwrap_or_else(|| panic!("no row for {width} in {table}"));
    let cells: Vec<&str> = row.trim()[width.len()..].split_whitespace().collect();
    cells[2 * column].parse().unwrap()
}

#[test]
fn a_table_by_width_and_layout_holds_what_the_trade_expects() {
    let folder = tempfile::tempdir().unwrap();
    let cloth = "layout = \"open\"\nrepeat_across = 8\nrepeat_along = 10";
    let order = trousers(folder.path(), "check.toml", "E. Farrow", cloth);
    let asked = run(&["cloth", "--rounds", "1"], &[&order]);
    assert!(asked.status.success(), "{}", told(&asked));
    let table = said(&asked);
    // Trousers at 150 cm: 1.3 to 1.4 m (common practice, no source); a check takes a repeat or two more.
    let (plain, matched) = (metres(&table, "150 cm", 0), metres(&table, "150 cm", 2));
    assert!((1.2..=1.5).contains(&plain), "{table}");
    assert!(matched >= plain && matched <= plain + 0.3, "{table}");
    // Wider cloth never needs more.
    for column in 0..4 {
        let lengths = ["140 cm", "145 cm", "150 cm", "155 cm"].map(|w| metres(&table, w, column));
        assert!(lengths.is_sorted_by(|a, b| a >= b), "{table}");
    }
    // The same again: the search is an amount of work, not of time.
    assert_eq!(table, said(&run(&["cloth", "--rounds", "1"], &[&order])));
}

#[test]
fn cloth_at_hand_is_enough_or_not_and_its_lay_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let order = trousers(
        folder.path(),
        "plain.toml",
        "E. Farrow",
        "layout = \"open\"",
    );
    let out = folder.path().join("out");
    let out_of = [
        "cloth",
        "--rounds",
        "1",
        "--out",
        out.to_str().unwrap(),
        "--have",
    ];
    let asked = |have: &str| said(&run(&[&out_of[..], &[have]].concat(), &[&order]));

    let enough = asked("1.7m");
    assert!(
        enough.starts_with("plain: yes, 1.70 m is enough"),
        "{enough}"
    );
    let whole = cuts(&out.join("plain/lay.svg"));
    assert!(whole > 10, "{whole} pieces");

    let short = asked("0.9m");
    assert!(
        short.starts_with("plain: no, 0.90 m is not enough"),
        "{short}"
    );

    // Each piece loses its ends and what it shrinks by.
    let pieces = asked("1.4m+70cm");
    assert!(
        pieces.starts_with("plain: yes, 1.40 m and 0.70 m are enough"),
        "{pieces}"
    );
    assert_eq!(cuts(&out.join("plain/lay.svg")), whole);
    let too_short = asked("60cm+60cm");
    assert!(
        too_short.contains("no, 0.60 m and 0.60 m are not enough"),
        "{too_short}"
    );
    assert!(
        too_short.contains("besides the pieces in stock: lay "),
        "{too_short}"
    );

    let nonsense = run(&["cloth", "--have", "3 yards of"], &[&order]);
    assert_eq!(nonsense.status.code(), Some(2));
}

/// Cloth that would do for plain hems and not for turn-ups is told so.
#[test]
fn what_would_do_instead_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let plain = trousers(folder.path(), "plain.toml", "A", "layout = \"open\"");
    let text = std::fs::read_to_string(&plain).unwrap();
    let turned = folder.path().join("turned.toml");
    std::fs::write(&turned, format!("{text}bottoms = \"turn_ups\"\n")).unwrap();
    let asked = |file: &Path, have: &str| {
        let output = run(&["cloth", "--rounds", "1", "--have", have], &[file]);
        assert_eq!(output.status.code(), Some(0), "{}", told(&output));
        said(&output)
    };
    // … = 136.3 cm, rounded up …
    let needs = |file: &Path| -> f64 {
        let told = asked(file, "3m");
        let (before, _) = told.split_once(" cm, rounded").expect(&told);
        before.rsplit(' ').next().unwrap().parse().expect(&told)
    };
    let between = (needs(&plain) + needs(&turned)) / 2.0;
    let told = asked(&turned, &format!("{between}cm"));
    assert!(told.contains("is not enough"), "{told}");
    assert!(told.contains("without turn-ups"), "{told}");
}

#[test]
fn remnants_of_an_order_are_used_before_cloth_is_ordered() {
    let folder = tempfile::tempdir().unwrap();
    let cloth = "layout = \"open\"\nremnants = [140, 70]";
    let order = trousers(folder.path(), "remnants.toml", "E. Farrow", cloth);
    let asked = said(&run(&["cloth", "--rounds", "1"], &[&order]));
    assert!(
        asked.contains("Cloth: order 0.00 m (the pieces in stock are enough)"),
        "{asked}"
    );
    // The table says what to order where nothing is at hand.
    assert!(metres(&asked, "150 cm", 0) > 1.0, "{asked}");

    let wrong = trousers(
        folder.path(),
        "wrong.toml",
        "E. Farrow",
        "remnants = [130, 3]",
    );
    let refused = run(&["cloth"], &[&wrong]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(told(&refused).contains("remnants: 3 cm is outside 10 to 2000 cm"));
}

#[test]
fn two_orders_of_one_cloth_lie_in_one_lay() {
    let folder = tempfile::tempdir().unwrap();
    let open = "layout = \"open\"";
    let one = trousers(folder.path(), "one.toml", "Anselm Pike", open);
    let two = trousers(folder.path(), "two.toml", "Bertram Lowe", open);
    let out = folder.path().join("out");
    let lay = ["lay", "--seconds", "1", "--out", out.to_str().unwrap()];
    let together = run(&[&lay[..], &["--together"]].concat(), &[&one, &two]);
    assert!(together.status.success(), "{}", told(&together));
    let drawn = std::fs::read_to_string(out.join("one+two/lay.svg")).unwrap();
    assert!(
        drawn.contains("Anselm Pike, Bertram Lowe"),
        "nothing says whose they are"
    );
    let on_table = [&lay[..], &["--together", "--table", "1.6m"]].concat();
    let sections = run(&on_table, &[&one, &two]);
    assert!(sections.status.success(), "{}", told(&sections));
    let file = std::fs::read_to_string(out.join("one+two/lay.json")).unwrap();
    let facts: serde_json::Value = serde_json::from_str(&file).unwrap();
    let notes = facts["lay"]["notes"].as_array().unwrap().iter();
    let mut divided = notes.filter_map(|note| note.as_str()?.strip_prefix("laid in "));
    assert!(
        divided
            .next()
            .unwrap()
            .contains(" sections, cut straight across")
    );
    let placements = facts["lay"]["placements"].as_array().unwrap();
    let mut turns: Vec<u64> = (placements.iter())
        .map(|placement| placement["cut_no"].as_u64().unwrap())
        .collect();
    turns.sort_unstable();
    assert!(turns.iter().copied().eq(1..=placements.len() as u64));
    let short = run(&[&lay[..], &["--table", "90cm"]].concat(), &[&one]);
    assert_eq!(short.status.code(), Some(2));
    assert!(
        told(&short).contains("and the table only 90 cm"),
        "{}",
        told(&short)
    );
    assert!(run(&lay, &[&one]).status.success());
    let alone = cuts(&out.join("one/lay.svg"));
    assert_eq!(cuts(&out.join("one+two/lay.svg")), 2 * alone);
    assert!(out.join("one+two/lay.plt").exists());

    let other = trousers(folder.path(), "other.toml", "Cecil Moor", "width = 140");
    let other_text = std::fs::read_to_string(&other)
        .unwrap()
        .replacen("width = 150\n", "", 1);
    std::fs::write(&other, other_text).unwrap();
    let refused = run(&[&lay[..], &["--together"]].concat(), &[&one, &other]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(told(&refused).contains("`one` and `other` are not of the same cloth"));
}

/// What two orders have in stock of one cloth is used for both; a length that both name is one piece.
#[test]
fn remnants_of_orders_laid_together_are_used_once() {
    let folder = tempfile::tempdir().unwrap();
    let cloth = |pieces: &str| format!("layout = \"open\"\nremnants = [{pieces}]");
    let one = trousers(folder.path(), "one.toml", "Anselm Pike", &cloth("140, 90"));
    let two = trousers(folder.path(), "two.toml", "Bertram Lowe", &cloth("90, 120"));
    let out = folder.path().join("out");
    let lay = ["lay", "--together", "--seconds", "1", "--out"];
    let lay = [&lay[..], &[out.to_str().unwrap()]].concat();
    let together = run(&lay, &[&one, &two]);
    assert!(together.status.success(), "{}", told(&together));
    let file = std::fs::read_to_string(out.join("one+two/lay.json")).unwrap();
    let facts: serde_json::Value = serde_json::from_str(&file).unwrap();
    let notes = facts["lay"]["notes"].as_array().unwrap().iter();
    let at_hand = notes.filter(|note| {
        note.as_str()
            .is_some_and(|note| note.contains("of the cloth in stock lies from"))
    });
    assert_eq!(at_hand.count(), 3, "{facts}");
}

#[test]
fn many_orders_get_a_line_each() {
    let folder = tempfile::tempdir().unwrap();
    for (name, client) in [("a.toml", "Anselm Pike"), ("b.toml", "Bertram Lowe")] {
        trousers(folder.path(), name, client, "layout = \"open\"");
    }
    let rail = run(&["cloth", "--rounds", "1"], &[folder.path()]);
    assert!(rail.status.success(), "{}", told(&rail));
    let lines: Vec<String> = said(&rail).lines().map(str::to_owned).collect();
    assert!(lines[0].starts_with("a: cloth 1."), "{lines:?}");
    assert!(lines[1].starts_with("b: cloth 1."), "{lines:?}");
    assert!(lines[2].starts_with("2 orders in "), "{lines:?}");
}

/// What `cut` orders for the order in a file, mm, searched for so long or as it is by default.
fn cut(order: &Path, rounds: &[&str]) -> f64 {
    let out = order.with_extension("cut");
    let cut = ["cut", "--out", out.to_str().unwrap()];
    let output = run(&[&cut[..], rounds].concat(), &[order]);
    assert!(output.status.success(), "{}", told(&output));
    let report = out.join(order.file_stem().unwrap()).join("report.json");
    let report: serde_json::Value =
        serde_json::from_slice(&std::fs::read(report).unwrap()).unwrap();
    report["cloth"]["order_length_mm"].as_f64().unwrap()
}

/// What `cloth` says is ordered, mm: by its first line, and by the row of its own width, if it is in the table
/// in this column.
fn said_to_order(order: &Path, rounds: &[&str], cell: Option<(&str, usize)>) -> Vec<f64> {
    let output = run(&[&["cloth"], rounds].concat(), &[order]);
    assert!(output.status.success(), "{}", told(&output));
    let text = said(&output);
    let (_, line) = text.split_once("Cloth: order ").expect(&text);
    let first = line.split(' ').next().unwrap().parse::<f64>().unwrap();
    let row = cell.map(|(width, column)| metres(&text, width, column));
    [Some(first), row]
        .into_iter()
        .flatten()
        .map(|m| m * 1000.0)
        .collect()
}

/// `cut` never orders more than `cloth` said, and what `cut` orders `cloth --have` calls enough.
fn assert_promises_kept(order: &Path, rounds: [&[&str]; 2], cell: Option<(&str, usize)>) {
    let ordered = cut(order, rounds[1]);
    for said in said_to_order(order, rounds[0], cell) {
        assert!(
            ordered <= said + 0.1,
            "{}: cut orders {ordered} mm, cloth said {said} mm",
            order.display()
        );
    }
    let have = format!("{ordered}mm");
    let output = run(&[&["cloth", "--have", &have], rounds[1]].concat(), &[order]);
    let text = said(&output);
    assert!(
        text.contains(": yes, "),
        "cut orders {ordered} mm; {text}{}",
        told(&output)
    );
}

#[test]
fn what_cloth_says_cut_keeps() {
    let folder = tempfile::tempdir().unwrap();
    let check = "repeat_across = 8\nrepeat_along = 10";
    let variants = [
        (
            "doubled.toml",
            "layout = \"doubled\"".to_owned(),
            ("150 cm", 1),
        ),
        ("open.toml", "layout = \"open\"".to_owned(), ("150 cm", 0)),
        (
            "check.toml",
            format!("layout = \"open\"\n{check}"),
            ("150 cm", 2),
        ),
        (
            "stripe.toml",
            "layout = \"open\"\nrepeat_across = 2".to_owned(),
            ("150 cm", 2),
        ),
        (
            "shrinks.toml",
            "layout = \"doubled\"\nshrinkage = \"3 %\"\nselvedge = 1.5".to_owned(),
            ("150 cm", 1),
        ),
    ];
    for (name, cloth, cell) in variants {
        let order = trousers(folder.path(), name, "E. Farrow", &cloth);
        assert_promises_kept(&order, [&[], &[]], Some(cell));
    }
    // On cloth narrower than any in the table, and wider.
    for (name, width) in [("narrow.toml", "width = 136"), ("wide.toml", "width = 156")] {
        let order = trousers(folder.path(), name, "E. Farrow", "layout = \"open\"");
        let text = std::fs::read_to_string(&order).unwrap();
        std::fs::write(&order, text.replace("width = 150", width)).unwrap();
        let row = format!("{} cm", &width[8..]);
        assert_promises_kept(&order, [&[], &[]], Some((&row, 0)));
    }
}

#[test]
fn what_cloth_says_of_the_examples_cut_keeps() {
    let folder = tempfile::tempdir().unwrap();
    for entry in std::fs::read_dir("examples").unwrap() {
        let example = entry.unwrap().path();
        if example.extension().is_none_or(|ending| ending != "toml") {
            continue;
        }
        let order = folder.path().join(example.file_name().unwrap());
        std::fs::copy(&example, &order).unwrap();
        assert_promises_kept(&order, [&["--rounds", "3"], &["--rounds", "9"]], None);
    }
}

/// With the searches that the commands make unless told otherwise.
#[test]
fn what_cut_lays_a_check_in_is_enough() {
    let folder = tempfile::tempdir().unwrap();
    let order = folder.path().join("check.toml");
    std::fs::copy("examples/check-side-vents.toml", &order).unwrap();
    assert_promises_kept(&order, [&["--rounds", "15"], &[]], None);
}

/// Who buys what is missing has enough.
#[test]
fn how_much_is_missing_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let order = trousers(folder.path(), "plain.toml", "A", "layout = \"open\"");
    let asked = |have: &str| {
        let arguments = ["cloth", "--rounds", "4", "--have", have];
        said(&run(&arguments, &[&order]))
    };
    let missing = |text: &str| -> f64 {
        let (_, by) = text.split_once("not enough by ").expect(text);
        by.split(" cm").next().unwrap().parse().unwrap()
    };
    let short = asked("120cm");
    let missing_of_it = missing(&short);
    let enough = asked(&format!("{}cm", 120.0 + missing_of_it));
    assert!(enough.contains(": yes, "), "{enough}, after {short}");
    let pieces = asked("60cm+60cm");
    assert!(missing(&pieces) > 10.0, "{pieces}");
}
