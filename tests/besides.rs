//! Measures and corrections that a block declares for itself: where they appear, what is refused, what they change.
#![cfg(unix)]

use crate::program::{run, said, tells, told};
use std::fs;
use std::path::Path;
use tempfile::TempDir;

const BODY: &str = "[client]\nname = \"Invented\"\ndate = 2026-03-02\n[measures]\nheight = 176\n\
     chest = 100\nwaist = 88\nseat = 103\nneck = 40\n";
const CLOTH: &str = "[cloth]\nname = \"worsted\"\nlayout = \"open\"\n";

/// A smock that asks for its length, which is derived, for the girth of its hem, which must be taken, and for how far
/// the client stands on one leg.
const CHOICES: &str = "[cut]\nabout = \"its cut\"\nkind = \"word\"\ndefault = \"straight\"\nwords = { straight = \"\" }\n";
const MEASURES: &str = "[measures.smock_length]\nabout = \"nape to the hem of the smock\"\nalso = [\"smock\"]\n\
     least = 60\nmost = 140\nderived = { height = 0.5, plus = 1 }\ndoubt = 12\n\
     [measures.hem_girth]\nabout = \"round the knees, as wide as he strides\"\nleast = 80\nmost = 200\nrequired = true\n\
     [figure.stands_aslant]\nabout = \"lowers the hem on the side he leans to\"\nmost = 4\nopposite = \"stands_away\"\nsides = true\n\
     [figure.kneels]\nabout = \"how often he kneels, in stages\"\nmost = 3\nstages = true\n";
const SMOCK: &str = "let a = board.point(0, 0, \"nape\");\nlet long = m.smock_length + figure.stands_aslant;\n\
     let b = a.forward(m.hem_girth / 4);\nlet c = b.down(long);\n\
     board.piece(\"body\").pairs(1).edge(\"neck\", line(a, b), \"seam\").edge(\"side\", line(b, c), \"seam\")\n\
     .edge(\"hem\", line(c, a.down(long)), \"seam\").edge(\"centre\", line(a.down(long), a), \"seam\")\n\
     .grain(a.forward(5).down(5), a.forward(5).down(40));\nboard.girth(\"hem\", 4 * a.distance(b), 0, m.hem_girth);\n";

fn workshop() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let smock = folder.path().join("own/smock");
    fs::create_dir_all(&smock).unwrap();
    for (name, text) in [
        ("choices.toml", CHOICES),
        ("measures.toml", MEASURES),
        ("smock.rhai", SMOCK),
    ] {
        fs::write(smock.join(name), text).unwrap();
    }
    folder
}

/// What `check` says of an order: the answer, and the faults.
fn checked(folder: &Path, blocks: &str, measures: &str, rest: &str) -> (String, String) {
    let text = format!("{blocks}{BODY}{measures}\n{CLOTH}{rest}\n");
    fs::write(folder.join("order.toml"), text).unwrap();
    let output = run(&["check", "order.toml"], folder);
    (said(&output), told(&output))
}

/// The value in a row of the answer.
fn row<'a>(answer: &'a str, name: &str) -> Option<&'a str> {
    let mut rows = answer.lines().map(|line| line.split_whitespace());
    rows.find_map(|mut row| (row.next() == Some(name)).then(|| row.next())?)
}

const OWN: &str = "blocks = \"own\"\n";

#[test]
fn a_block_asks_for_measures_and_corrections_of_its_own() {
    let folder = workshop();
    let at = folder.path();
    let (answer, faults) = checked(
        at,
        OWN,
        "hem_girth = 120",
        "[smock]\n[figure]\nkneels = 2\n",
    );
    assert_eq!(row(&answer, "smock_length"), Some("89"), "{answer}{faults}");
    assert_eq!(row(&answer, "hem_girth"), Some("120"), "{answer}");
    assert!(answer.contains("derived: 0.5 height + 1 cm"), "{answer}");
    assert!(
        tells(&faults, "kneels: stage 2 changed nothing of the smock"),
        "{faults}"
    );
    // What it is drafted by changes it, in either direction and by side.
    let (by_side, silent) = checked(
        at,
        OWN,
        "hem_girth = 120\nsmock_length = \"38 in\"",
        "[smock]\n[figure]\nstands_away = { left = 1, right = 0 }\n",
    );
    assert!(silent.is_empty(), "{silent}");
    assert_eq!(row(&by_side, "smock_length"), Some("96.5"), "{by_side}");
    assert!(
        by_side.contains("2 pieces"),
        "a left and a right: {by_side}"
    );
    let cut = run(&["cut", "order.toml", "--out", "out", "--rounds", "1"], at);
    assert!(cut.status.success(), "{}", told(&cut));
    let sheets = at.join("out/order");
    let report = fs::read_to_string(sheets.join("report.json")).unwrap();
    assert!(report.contains("\"smock_length\""), "{report}");
    let ticket = fs::read_to_string(sheets.join("order.html")).unwrap();
    for part in ["smock length", "hem girth", "stands away: left 1 cm"] {
        assert!(ticket.contains(part), "{part} is not on the ticket");
    }
}

#[test]
fn what_no_ordered_garment_asks_for_is_refused_with_what_was_meant() {
    let folder = workshop();
    let at = folder.path();
    for (measures, rest, parts) in [
        (
            "",
            "[smock]",
            &["[measures] needs hem_girth", "as wide as he strides"][..],
        ),
        (
            "hem_girth = 120\nsmok_length = 90",
            "[smock]",
            &["`smok_length` is not a measure", "Perhaps: smock_length"],
        ),
        (
            "hem_girth = 120\nsmock = 90",
            "[smock]",
            &["Perhaps: smock_length"],
        ),
        (
            "hem_girth = 300",
            "[smock]",
            &[
                "a hem girth of 300 cm is impossible",
                "between 80 cm and 200 cm",
            ],
        ),
        (
            "smock_length = 90",
            "[waistcoat]",
            &["for a garment of the kind `smock`", "add a section [smock]"],
        ),
        (
            "",
            "[waistcoat]\n[figure]\nkneels = 1",
            &["`kneels` is a correction for a garment of the kind `smock`"],
        ),
        (
            "hem_girth = 120",
            "[smock]\n[figure]\nknels = 1",
            &["`knels` is not known in [figure]", "kneels"],
        ),
        (
            "hem_girth = 120",
            "[smock]\n[figure]\nkneels = 4",
            &["kneels = 4 is too large"],
        ),
        (
            "hem_girth = 120",
            "[smock]\n[figure]\nkneels = 1.5",
            &["kneels is given in stages"],
        ),
        (
            "hem_girth = 120",
            "[smock]\n[figure]\nstands_away = 1\nstands_aslant = 1",
            &["stands_aslant and stands_away contradict each other"],
        ),
    ] {
        let (_, faults) = checked(at, OWN, measures, rest);
        for part in parts {
            assert!(tells(&faults, part), "{measures} {rest}: {faults}");
        }
        assert!(faults.contains("order.toml, line"), "{faults}");
    }
    let (answer, doubt) = checked(at, OWN, "hem_girth = 120\nsmock_length = 110", "[smock]");
    assert!(
        answer.contains("proven") || answer.contains("all checks passed"),
        "{doubt}"
    );
    assert!(
        tells(
            &doubt,
            "a smock length of 110 cm does not go with the other measures: expected 89 cm"
        ),
        "{doubt}"
    );
}

#[test]
fn they_stand_in_the_schema_the_starter_and_the_form() {
    let folder = workshop();
    let at = folder.path();
    let schema = said(&run(&["schema", "--blocks", "own"], at));
    for part in [
        "\"hem_girth\"",
        "80 cm to 200 cm",
        "\"stands_away\"",
        "at most 3 stages",
    ] {
        assert!(schema.contains(part), "{part}");
    }
    let starter = said(&run(&["new", "--blocks", "own"], at));
    for part in [
        "\nhem_girth = 140",
        "# smock_length = 89",
        "(smock); else 0.5 height + 1 cm",
        "# stands_aslant = 0",
        "or stands_away",
        "# coat_length = 115",
    ] {
        assert!(starter.contains(part), "{part}: {starter}");
    }
    let form = said(&run(&["measures", "smock", "--blocks", "own"], at));
    assert!(
        form.contains("hem girth") && form.contains("23* "),
        "{form}"
    );
    // The trial and the pictures give it what must be taken.
    let tried = run(&["try", "smock", "--blocks", "own"], at);
    assert_eq!(tried.status.code(), Some(0), "{}", told(&tried));
    assert!(said(&tried).contains("kneels"), "{}", said(&tried));
    assert!(!said(&tried).contains("stands_aslant"), "{}", said(&tried));
    let file = at.join("own/smock/measures.toml");
    fs::write(&file, MEASURES.replace("least = 60", "least = 600")).unwrap();
    let (_, faults) = checked(at, OWN, "hem_girth = 120", "[smock]");
    assert!(
        tells(&faults, "smock_length: needs `least` and `most`")
            && faults.contains("measures.toml, line 1"),
        "{faults}"
    );
}

/// An overcoat as long as it was taken over a jacket, in the place of the choice of its length.
#[test]
fn an_overcoat_is_as_long_as_it_was_taken() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let (answer, faults) = checked(at, "", "coat_length = 112", "[overcoat]");
    assert!(faults.is_empty(), "{faults}");
    assert_eq!(row(&answer, "coat_length"), Some("112"), "{answer}");
    assert!(!answer.contains("\n  length "), "{answer}");
    let (by_choice, _) = checked(at, "", "", "[overcoat]");
    assert!(
        by_choice.contains("\n  length           knee"),
        "{by_choice}"
    );
    let (_, twice) = checked(at, "", "coat_length = 112", "[overcoat]\nlength = \"long\"");
    assert!(
        tells(&twice, "coat_length was taken, which decides the length"),
        "{twice}"
    );
    let (_, short) = checked(at, "", "coat_length = 80", "[overcoat]");
    assert!(
        tells(&short, "does not cover the jacket") && tells(&short, "write coat_length = "),
        "{short}"
    );
    let (_, none) = checked(at, "", "coat_length = 80", "[jacket]");
    assert!(
        tells(&none, "for a garment of the kind `overcoat`")
            && tells(&none, "Perhaps: jacket_length"),
        "{none}"
    );
}
