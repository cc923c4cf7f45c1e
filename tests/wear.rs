//! Garments of a workshop's own, made of others: numbers of their own, choices, words and scripts that they take, and
//! what is said where something is missing.
#![cfg(unix)]

use crate::program::{run, said, tells, told};
use std::fs;
use std::path::Path;
use tempfile::TempDir;

const ORDER: &str = "blocks = \"own\"\n[client]\nname = \"Invented\"\ndate = 2026-03-02\n[measures]\nheight = 176\n\
     chest = 100\nwaist = 88\nseat = 103\nneck = 40\n[cloth]\nname = \"worsted\"\n";

/// An ulster on the jacket: a word with a script of its own, a choice left out, one that is fixed, numbers.
const CHOICES: &str = "like = \"jacket\"\nwithout = [\"ticket_pocket\"]\n\
     [fastening]\ndefault = \"coat_three\"\nwithout = [\"one\", \"six_two\", \"four_two\"]\n\
     words.coat_three = \"three buttons, {spacing.ulster} apart\"\n\
     [lapel]\ndefault.fastening.coat_three = \"notch\"\n\
     [quarters]\nfixed = \"square\"\n";
const HOUSE: &str = "[ease]\nchest_classic = 18\njacket_waist = 16\n[spacing]\nulster = { is = 12.5, least = 10, most = 14 }\n";
const FASTENING: &str = "import \"jacket/fastenings/parts\" as parts;\n\
     fn stance(frame) {\n    let first = parts::fastens(frame, 3);\n    let apart = house.spacing.ulster;\n\
         #{ breaks: parts::breaks(first), buttons: [first, first.down(apart)], overlap: 3, last: first.down(apart + 1) }\n}\n\
     fn marks(piece, frame, stance, belly) { parts::single_row(piece, frame, stance, belly); }\n";
/// The jacket's ticket pocket reads the choice that the ulster leaves out.
const SMALL: &str = "fn draw(frame, back, forepart) {}\n";

fn workshop(files: &[(&str, &str)]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        let file = folder.path().join("own").join(name);
        fs::create_dir_all(file.parent().unwrap()).unwrap();
        fs::write(file, text).unwrap();
    }
    folder
}

fn ulster(changes: &[(&str, &str)]) -> TempDir {
    let choices = CHOICES.replace("without = [\"ticket_pocket\"]\n", "");
    let usual = [
        ("ulster/choices.toml", choices.as_str()),
        ("ulster/house.toml", HOUSE),
        ("ulster/fastenings/coat_three.rhai", FASTENING),
    ];
    let kept = usual
        .into_iter()
        .filter(|(name, _)| changes.iter().all(|(other, _)| other != name));
    workshop(&kept.chain(changes.iter().copied()).collect::<Vec<_>>())
}

/// What `check` says of an order for a garment of that workshop: the answer, and the faults.
fn checked(folder: &Path, order: &str) -> (String, String) {
    fs::write(folder.join("order.toml"), format!("{ORDER}{order}")).unwrap();
    let output = run(&["check", "order.toml"], folder);
    (said(&output), told(&output))
}

#[test]
fn a_garment_that_is_like_another_takes_its_choices_words_and_scripts() {
    let folder = ulster(&[]);
    let (answer, faults) = checked(folder.path(), "[ulster]\nlapel = \"peak\"\n[jacket]\n");
    assert!(faults.is_empty(), "{faults}");
    for part in [
        "fastening        coat_three",
        "ulster: chest          118 cm",
        "jacket: chest          111 cm",
    ] {
        assert!(answer.contains(part), "{part}: {answer}");
    }
    // What is fixed is not asked, and its words are gone.
    let listed = said(&run(
        &["blocks", "ulster", "--blocks", "own"],
        folder.path(),
    ));
    assert!(
        listed.contains("three buttons, 12.5 cm apart") && !listed.contains("quarters"),
        "{listed}"
    );
    assert!(
        listed.contains("18 cm over the body") && !listed.contains("six_two"),
        "{listed}"
    );
    let (_, refused) = checked(folder.path(), "[ulster]\nquarters = \"open\"\n");
    assert!(
        refused.contains("`quarters` is not a choice of the ulster"),
        "{refused}"
    );
}

#[test]
fn a_script_of_its_own_gets_the_one_that_it_stands_before() {
    let make =
        "import \"jacket/make\" as jacket;\nfn chosen() { jacket::chosen() + #{ sleeve: 3.0 } }\n";
    let folder = ulster(&[("ulster/make.rhai", make)]);
    let (answer, faults) = checked(folder.path(), "[ulster]\n");
    assert!(
        faults.is_empty() && answer.contains("all checks passed"),
        "{faults}{answer}"
    );
    // A garment like that one has the longer sleeve as well, and its own numbers before the ulster's.
    let more = [
        ("ulster/make.rhai", make),
        (
            "cape/choices.toml",
            "like = \"ulster\"\n[lapel]\nfixed = \"peak\"\n",
        ),
        ("cape/house.toml", "[ease]\nchest_classic = 21\n"),
    ];
    let both = ulster(&more);
    let (told_of_cape, found) = checked(both.path(), "[cape]\n");
    assert!(
        found.is_empty() && told_of_cape.contains("cape: chest            121 cm"),
        "{found}{told_of_cape}"
    );
}

#[test]
fn a_choice_that_is_missing_says_where_to_declare_it() {
    let folder = ulster(&[("ulster/choices.toml", CHOICES)]);
    let (_, faults) = checked(folder.path(), "[ulster]\n");
    assert!(
        tells(&faults, "declare [ticket_pocket] in ulster/choices.toml"),
        "{faults}"
    );
    assert!(
        faults.contains("style.ticket_pocket") && faults.contains("^"),
        "{faults}"
    );
    let own = [
        ("ulster/choices.toml", CHOICES),
        ("ulster/small_pieces.rhai", SMALL),
    ];
    let (_, still_missing) = checked(ulster(&own).path(), "[ulster]\n");
    assert!(
        tells(&still_missing, "declare [ticket_pocket]"),
        "the forepart asks for it as well: {still_missing}"
    );
}

#[test]
fn what_a_garment_is_like_must_be_there_and_come_to_an_end() {
    for (files, said) in [
        (
            &[("ulster/choices.toml", "like = \"jaket\"\n")][..],
            "the ulster is like `jaket`, and there is no such garment",
        ),
        (
            &[
                ("ulster/choices.toml", "like = \"cape\"\n"),
                ("cape/choices.toml", "like = \"ulster\"\n"),
            ],
            "which is like the other again",
        ),
    ] {
        let folder = workshop(files);
        let (_, faults) = checked(folder.path(), "[ulster]\n");
        assert!(
            tells(&faults, said) && faults.contains("choices.toml, line 1"),
            "{faults}"
        );
        // Other garments are made all the same.
        let (answer, found) = checked(folder.path(), "[waistcoat]\n");
        assert!(answer.contains("all checks passed"), "{found}");
    }
}

#[test]
fn a_number_of_one_garment_leaves_the_others_alone() {
    let folder = ulster(&[]);
    let order = "[ulster]\n[jacket]\n[house.ulster.ease]\nchest_classic = 20\n[house.jacket.spacing]\nlength = 3\n";
    let (answer, faults) = checked(folder.path(), order);
    assert!(faults.is_empty(), "{faults}");
    assert!(
        answer.contains("ulster: chest          120 cm")
            && answer.contains("jacket: chest          111 cm"),
        "{answer}"
    );
    for (house, said) in [
        (
            "[house]\nulster.spacing.ulster = 20",
            "20 cannot be right: it must be between 10 and 14",
        ),
        (
            "[house]\nulster.spacing.ulstre = 12",
            "the house has no number called `ulster.spacing.ulstre`",
        ),
        (
            "[house]\nspacing.ulster = 12",
            "the house has no number called `spacing.ulster`",
        ),
        (
            "[house]\nulster.cloth.gap = 1",
            "a number of the whole order",
        ),
        (
            "[house.ulster.collar]\nstand = 4.5\nfall = 3",
            "a fall of 3 does not cover a stand of 4.5",
        ),
        (
            "[house]\ninlay.shoulder_back = 2.5",
            "wider than the allowance of 2",
        ),
    ] {
        let (_, refused) = checked(folder.path(), &format!("[ulster]\n{house}\n"));
        assert!(
            tells(&refused, said) && refused.contains("order.toml, line 1"),
            "{house}: {refused}"
        );
    }
    let (passed, warned) = checked(
        folder.path(),
        "[ulster]\n[house]\nallowance.side_seam_front = 2\n",
    );
    assert!(
        tells(&warned, "(warning)") && tells(&warned, "seams of 2 and 1"),
        "{warned}"
    );
    assert!(passed.contains("all checks passed"), "{passed}");
}

/// A smock whose side waves, is refused or hangs straight; nothing of it is drafted by most corrections.
const SMOCK: &str = "let a = board.point(0, 0, \"nape\");\nlet b = a.forward(40 + figure.drape);\nlet c = b.down(80);\n\
     if style.cut == \"narrow\" { refuse(\"a narrow smock has no room for \" + size(m.chest) + \": write cut = \\\"straight\\\"\"); }\n\
     let side = if style.cut == \"wavy\" { curve([b.headed(60), b.down(40).headed(120), c.headed(60)]) } else { line(b, c) };\n\
     board.piece(\"body\").pairs(1).edge(\"neck\", line(a, b), \"seam\")\n    .edge(\"side\", side, \"seam\")\n\
     .edge(\"hem\", line(c, a.down(80)), \"seam\").edge(\"centre\", line(a.down(80), a), \"seam\")\n\
     .grain(a.forward(5).down(5), a.forward(5).down(40));\n";
const SMOCKS: &str = "[cut]\nabout = \"its cut\"\nkind = \"word\"\ndefault = \"straight\"\n\
     words = { straight = \"\", wavy = \"\", narrow = \"\" }\n";

#[test]
fn a_trial_tells_what_is_proven_refused_and_failed() {
    let files = [
        ("smock/choices.toml", SMOCKS),
        ("smock/smock.rhai", SMOCK),
        ("smock/cuts/wvay.rhai", "fn cut() {}\n"),
    ];
    let folder = workshop(&files);
    let output = run(
        &["try", "--blocks", "own", "smock", "--picture", "smock.svg"],
        folder.path(),
    );
    let (answer, faults) = (said(&output), told(&output));
    assert_eq!(output.status.code(), Some(2), "{answer}{faults}");
    for part in [
        "smock, on 16 figures",
        "for 1 reasons",
        "with cut = \"narrow\"",
        "a narrow smock has no room for",
        "in 1 ways",
        "with cut = \"wavy\"",
        "smock/cuts/wvay.rhai: is its word declared",
        "hollow_back",
    ] {
        assert!(answer.contains(part), "{part}: {answer}");
    }
    assert!(!answer.contains("drape"), "it is drafted by that: {answer}");
    // In a cutter's words, with the line that drew it.
    assert!(
        tells(&faults, "the side of the smock's body changes its bend")
            && faults.contains("from the hem"),
        "{faults}"
    );
    assert!(
        faults.contains("smock.rhai, line 7") && faults.contains("^^^"),
        "{faults}"
    );
    assert!(
        fs::read_to_string(folder.path().join("smock.svg"))
            .unwrap()
            .contains("<svg")
    );
    // The same trial tells the same.
    let again = run(&["try", "--blocks", "own", "smock"], folder.path());
    assert_eq!(said(&again), answer);
    let strange = run(&["try", "smokc", "--blocks", "own"], folder.path());
    assert!(
        tells(&told(&strange), "perhaps: smock"),
        "{}",
        told(&strange)
    );
}

#[test]
fn a_correction_that_no_garment_is_drafted_by_is_told() {
    let folder = workshop(&[("smock/choices.toml", SMOCKS), ("smock/smock.rhai", SMOCK)]);
    let (answer, faults) = checked(
        folder.path(),
        "[smock]\n[figure]\nhollow_back = 1\ndrape = 0.5\n",
    );
    assert!(answer.contains("all checks passed"), "{faults}");
    assert!(
        faults.contains("hollow back") && tells(&faults, "changed nothing of the smock"),
        "{faults}"
    );
    assert!(!faults.contains("drape"), "{faults}");
    // With a garment that is drafted by it nothing is said.
    let (_, found) = checked(
        folder.path(),
        "[smock]\n[jacket]\n[figure]\nhollow_back = 1\n",
    );
    assert!(!tells(&found, "changed nothing"), "{found}");
}

/// The files of the worked example for developers: an ulster, made of the overcoat by what is written there.
const ULSTER: [(&str, &str); 4] = [
    ("choices.toml", include_str!("ulster/choices.toml")),
    ("house.toml", include_str!("ulster/house.toml")),
    (
        "lengths/calf.rhai",
        include_str!("ulster/lengths/calf.rhai"),
    ),
    (
        "fastenings/chin.rhai",
        include_str!("ulster/fastenings/chin.rhai"),
    ),
];

#[test]
fn the_worked_example_for_developers_is_an_ulster() {
    let written = include_str!("../DEVELOPERS.md");
    let lines: usize = ULSTER.iter().map(|(_, text)| text.lines().count()).sum();
    assert!(lines < 80, "{lines} lines");
    for (name, text) in ULSTER {
        assert!(
            written.contains(text) && written.contains(&format!("`{name}`")),
            "{name} stands otherwise in DEVELOPERS.md"
        );
    }
    let files = ULSTER.map(|(name, text)| (format!("ulster/{name}"), text));
    let files: Vec<(&str, &str)> = files
        .iter()
        .map(|(name, text)| (name.as_str(), *text))
        .collect();
    let folder = workshop(&files);
    for style in [
        "",
        "belt = \"half\"\nback = \"whole\"\n",
        "lapel = \"peak\"\nlapel_width = 14\ntop_collar = \"velvet\"\n",
        "length = \"knee\"\nhip_pocket = \"welt\"\nshape = \"straight\"\n",
    ] {
        let (answer, faults) = checked(folder.path(), &format!("[ulster]\n{style}"));
        assert!(
            answer.contains("all checks passed") && faults.is_empty(),
            "{style}: {faults}"
        );
    }
    let (answer, _) = checked(folder.path(), "[ulster]\n");
    for part in [
        "fastening        chin",
        "length           calf",
        "ulster: chest          123 cm",
    ] {
        assert!(answer.contains(part), "{part}: {answer}");
    }
    // The measures to take for it are an overcoat's.
    let form = run(&["measures", "ulster", "--blocks", "own"], folder.path());
    let form = said(&form);
    assert!(
        form.contains("coat length") && !form.contains("inside leg"),
        "{form}"
    );
}

/// Who has only the program sees its scripts, and builds on them; what lies in a folder is not written over.
#[test]
fn the_programs_own_blocks_are_written_into_a_new_folder() {
    let folder = tempfile::tempdir().unwrap();
    let written = run(&["blocks", "--scripts", "program"], folder.path());
    assert!(written.status.success(), "{}", told(&written));
    let theirs = Path::new(env!("CARGO_MANIFEST_DIR")).join("blocks");
    for file in ["house.toml", "jacket/draw.rhai", "jacket/lapels/peak.rhai"] {
        let own = fs::read(folder.path().join("program").join(file)).unwrap();
        assert_eq!(own, fs::read(theirs.join(file)).unwrap(), "{file}");
    }
    let again = run(&["blocks", "--scripts", "program"], folder.path());
    assert_eq!(again.status.code(), Some(2));
    assert!(tells(&told(&again), "is not empty"), "{}", told(&again));
}

/// A choice that is fixed needs no default, and a measure of the garment that it is like may be left out.
#[test]
fn an_heir_fixes_a_choice_and_leaves_out_a_measure() {
    let own = "like = \"overcoat\"\n[rows]\nabout = \"rows of stitching\"\nkind = \"count\"\nleast = 0\nmost = 6\nfixed = 4\n";
    let files = [
        ("covert/choices.toml", own),
        ("covert/measures.toml", "without = [\"coat_length\"]\n"),
    ];
    let folder = workshop(&files);
    let (heard, faults) = checked(folder.path(), "[covert]\n");
    assert!(tells(&heard, "all checks passed"), "{heard}{faults}");
    // So does one that is like it.
    let own_folder = folder.path().join("own/short");
    fs::create_dir(&own_folder).unwrap();
    fs::write(own_folder.join("choices.toml"), "like = \"covert\"\n").unwrap();
    let (shown, wrong) = checked(folder.path(), "[short]\n");
    assert!(tells(&shown, "all checks passed"), "{shown}{wrong}");
    let chosen = run(&["blocks", "--blocks", "own", "covert"], folder.path());
    assert!(!tells(&said(&chosen), "rows"), "{}", said(&chosen));
    let long = ORDER.replace("neck = 40\n", "neck = 40\ncoat_length = 100\n");
    fs::write(folder.path().join("long.toml"), format!("{long}[covert]\n")).unwrap();
    let output = run(&["check", "long.toml"], folder.path());
    assert!(
        tells(
            &told(&output),
            "`coat_length` is a measure for a garment of the kind `overcoat`"
        ),
        "{}",
        told(&output)
    );
}
