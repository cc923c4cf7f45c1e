//! The real program, given orders, houses and blocks that are beyond all measure or written in bad
//! faith: each is refused in words, with exit code 2, soon, and nothing is written.

use crate::program::{PLAIN, tells};
use chalkstripe::diagnostic::Source;
use chalkstripe::job;
use chalkstripe::order;
use chalkstripe::workshop::Workshop;
use proptest::prelude::*;
use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

/// Long enough for a busy machine, far too short for what has no end.
const PATIENCE: Duration = Duration::from_secs(60);

/// Cuts an order beside some files; it must be refused, and every text must be told.
fn refused(order: &str, files: &[(&str, &[u8])], told: &[&str]) {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("order.toml"), order).unwrap();
    for (name, bytes) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    let began = Instant::now();
    let output = Command::new(env!("CARGO_BIN_EXE_chalkstripe"))
        .args(["cut", "order.toml", "--rounds", "1"])
        .current_dir(folder.path())
        .output()
        .unwrap();
    let err = String::from_utf8_lossy(&output.stderr);
    let shown: String = err.chars().take(2000).collect();
    assert_eq!(output.status.code(), Some(2), "{told:?}: {shown}");
    for part in told {
        assert!(tells(&err, part), "{part:?} is not told:\n{shown}");
    }
    assert!(err.len() < 40_000, "{} bytes are told: {shown}", err.len());
    assert!(
        began.elapsed() < PATIENCE,
        "{told:?} took {:?}",
        began.elapsed()
    );
    assert!(
        !folder.path().join("out").exists(),
        "{told:?}: something was written"
    );
}

/// The plain order with a line of it replaced.
fn changed(old: &str, new: &str) -> String {
    let text = PLAIN.replacen(old, new, 1);
    assert_ne!(text, PLAIN, "{old} is not in the plain order");
    text
}

#[test]
fn numbers_of_the_house_beyond_belief_are_refused_where_they_stand() {
    for (name, value, told) in [
        (
            "cloth.width",
            "1e6",
            "1000000 cannot be right: it must be between 65 and 320",
        ),
        ("cloth.step", "0", "it must be between 1 and 1000"),
        ("cloth.step", "1e9", "1e9 cannot be right"),
        ("cloth.gap", "1e9", "it must be between 0 and 3"),
        ("cloth.selvedge", "75", "it must be between 0 and 6"),
        ("cloth.ends", "1e12", "it must be between 0 and 100"),
        ("cloth.shrinkage", "50", "it must be between 0 and 0.15"),
        ("cloth.ends", "nan", "NaN cannot be right"),
        ("ease.chest_classic", "500", "it must be between 0 and 50"),
        ("ease.hand", "1e9", "1e9 cannot be right"),
        ("ease.crown_padded", "50", "it must be between 0 and 0.2"),
        ("spacing.buttons_two", "1e9", "it must be between 1 and 30"),
        ("spacing.buttons_two", "0", "it must be between 1 and 30"),
        ("mitre.limit", "0", "it must be between 1 and 10"),
        ("wadding.natural", "-inf", "it must be between 0 and 4"),
        ("width.felt", "0", "it must be between 20 and 320"),
        ("trousers.waistband", "0", "it must be between 1 and 12"),
        ("allowance.seam", "1e300", "1e300 cannot be right"),
        ("allowance.scye", "\"5 m\"", "it must be between 0 and 15"),
        ("allowance.scye", "-1", "it must be between 0 and 15"),
        (
            "allowance.seat_seam",
            &format!("[{}1]", "1, ".repeat(5000)),
            "5001 numbers; 50",
        ),
        (
            "cloth.width",
            "99999999999999999999999",
            "far too large a number",
        ),
    ] {
        let text = format!("{PLAIN}\n[house]\n{name} = {value}\n");
        refused(&text, &[], &[told, "order.toml, line 40"]);
    }
}

#[test]
fn texts_and_numbers_of_an_order_beyond_belief_are_refused() {
    for (old, new, told) in [
        (
            "width = 150",
            "width = inf",
            "width: inf cm is outside 65 to 320 cm",
        ),
        ("width = 150", "width = 1e300", "width: 1e300 cm is outside"),
        (
            "chest = 100",
            "chest = 1e300",
            "chest of 1e300 cm is impossible",
        ),
        (
            "width = 150",
            "width = 99999999999999999999999",
            "far too large a number",
        ),
        (
            "fastening",
            "sleeve_buttons = 1e300\nfastening",
            "1e300 is outside 1 to 5",
        ),
        ("\"navy worsted, 310 g\"", "\"  \"", "it is empty"),
        (
            "\"navy worsted, 310 g\"",
            "\"a\\u0000b\"",
            "cannot be printed",
        ),
        ("Edmund Farrow", "A\\u202Eworraf", "cannot be printed"),
    ] {
        refused(&changed(old, new), &[], &[told, "order.toml, line "]);
    }
    let long = "x".repeat(100_000);
    refused(
        &changed("navy worsted, 310 g", &long),
        &[],
        &["at most 300 characters"],
    );
    let many = format!("notes = [{}", "\"x\", ".repeat(10_000));
    refused(
        &changed("notes = [", &many),
        &[],
        &["10001 lines are too many: the ticket has room for 40"],
    );
    refused(&format!("a = {}", "[".repeat(20_000)), &[], &["not TOML"]);
    refused(
        &format!("{PLAIN}[{}a]\n", "a.".repeat(5000)),
        &[],
        &["not TOML"],
    );
}

/// An order of a garment of its own.
fn smock() -> String {
    let (head, _) = PLAIN.split_once("[jacket]").unwrap();
    format!("blocks = \"ours\"\n{head}[smock]\n")
}

const CHOICES: &[u8] = b"[long]\nabout = \"long\"\nkind = \"flag\"\ndefault = true\n";

#[test]
fn folders_of_blocks_that_are_none_are_refused() {
    let choices = ("ours/smock/choices.toml", CHOICES);
    let script = "ours/smock/smock.rhai";
    let large = vec![b'/'; 2 << 20];
    refused(
        &smock(),
        &[choices, (script, &large)],
        &["smock.rhai", "1024 KiB"],
    );
    refused(
        &smock(),
        &[choices, (script, b"\xff\xfe\0")],
        &["smock.rhai", "UTF-8"],
    );
    refused(
        &smock(),
        &[choices, (script, b"")],
        &["puts no piece on the board"],
    );
    refused(
        &smock(),
        &[("ours/smock/choices.toml", b"[x"), (script, b"")],
        &["choices.toml, line 1"],
    );
    refused(
        &smock(),
        &[
            (
                "ours/smock/choices.toml",
                b"[long]\nabout = \"long\"\nkind = \"flg\"\n",
            ),
            (script, b""),
        ],
        &[
            "choices.toml, line 1",
            "the choices of the smock cannot be read",
            "flg",
        ],
    );
    let house = |text: &'static [u8]| [choices, ("ours/house.toml", text)];
    refused(&smock(), &house(b"[[["), &["house.toml, line 1"]);
    refused(
        &smock(),
        &house(b"[cloth]\ngap = 1e9\n"),
        &["house.toml, line 2", "between 0 and 3"],
    );
    refused(&smock(), &house(b"\xff\0"), &["house.toml", "UTF-8"]);
    if cfg!(unix) {
        let everything = format!("blocks = \"/\"\n{PLAIN}");
        refused(
            &everything,
            &[],
            &["`/` has no block in it", "order.toml, line 1"],
        );
    }
}

/// Scripts may not read, write, wait or run on; what they may not do has no name in them.
#[test]
fn blocks_cannot_reach_out_or_run_on() {
    for (script, told) in [
        ("import \"../../../etc/passwd\" as s;", "there is no block"),
        ("import \"/etc/passwd\" as s;", "there is no block"),
        ("import \"smock/smock\" as s;", "imports itself"),
        ("import \"smock/b\" as b;", "imports itself"),
        ("sleep(1000);", "sleep"),
        ("let f = open_file(\"x\");", "open_file"),
        ("eval(\"1\");", "eval"),
        ("loop { }", "runs too long"),
        ("let s = \"ab\"; loop { s += s; }", "too large"),
        ("let a = [1]; loop { a += a; }", "too large"),
        ("fn f(x) { f(x + 1) } f(0);", "too deep"),
        (&"(".repeat(5000), "maximum complexity"),
    ] {
        let files = [
            ("ours/smock/choices.toml", CHOICES),
            ("ours/smock/smock.rhai", script.as_bytes()),
            ("ours/smock/b.rhai", b"import \"smock/c\" as c;"),
            ("ours/smock/c.rhai", b"import \"smock/b\" as b;"),
        ];
        refused(&smock(), &files, &[told, "smock.rhai"]);
    }
}

/// A lapel of one's own whose helper has the name of another's, or of a word: the engine would call
/// one for the other, and draw a coat that nobody meant.
#[test]
fn functions_that_would_be_taken_for_others_are_refused_where_they_stand() {
    let notch = include_str!("../blocks/jacket/lapels/notch.rhai");
    let line = notch.lines().count() + 1;
    let order = format!("blocks = \"ours\"\n{PLAIN}");
    let with = |function: &str| format!("{notch}{function}\n");
    for (function, told) in [
        (
            "fn side_seam(a, b, c) { a } fn never(a) { side_seam(a, 1, 2) }",
            "`side_seam` is a function of blocks/jacket/back.rhai:",
        ),
        (
            "fn forward(d) { d } fn never(d) { forward(d) }",
            "`forward` is a word of the board",
        ),
    ] {
        let script = with(function);
        let place = format!("notch.rhai, line {line}:");
        let files = [("ours/jacket/lapels/notch.rhai", script.as_bytes())];
        refused(&order, &files, &[told, &place, "another name", function]);
    }
}

/// Pieces that each are within bounds, and together are not.
#[test]
fn lays_and_patterns_beyond_belief_are_refused() {
    let square = |pieces: u32, count: &str| {
        format!(
            "for i in 0..{pieces} {{ let a = board.point(0, 0, \"\"); let b = a.forward(68); let c = b.down(375);\n\
             let d = a.down(375); board.piece(`p${{i}}`).{count}.edge(\"a\", line(a, b), \"none\")\n\
             .edge(\"b\", line(b, c), \"none\").edge(\"c\", line(c, d), \"none\").edge(\"d\", line(d, a), \"none\").grain(a, d); }}"
        )
    };
    let open = smock().replace("\"doubled\"", "\"open\"");
    for (script, told) in [
        (square(1, "pairs(50)"), "m, and 50 m is the most"),
        (
            square(26, "alike(1)"),
            "pages of this paper; 1000 is the most",
        ),
    ] {
        let files = [
            ("ours/smock/choices.toml", CHOICES),
            ("ours/smock/smock.rhai", script.as_bytes()),
        ];
        refused(&open, &files, &[told]);
    }
}

/// Runs a text as a block; it drafts or is refused.
fn block(script: &str) {
    let folder = tempfile::tempdir().unwrap();
    let ours = folder.path().join("ours/smock");
    fs::create_dir_all(&ours).unwrap();
    fs::write(ours.join("choices.toml"), CHOICES).unwrap();
    fs::write(ours.join("smock.rhai"), script).unwrap();
    let source = Source::new("order.toml", smock());
    let checked = order::parse("order", &source, folder.path()).unwrap();
    let workshop = Workshop::open(checked.order.blocks.as_deref().unwrap()).unwrap();
    if let Err(fault) = job::draft(&workshop, &checked.order) {
        let faults = fault.diagnostics(&checked.order, &workshop.library);
        assert!(faults.iter().all(|told| !told.render(false).is_empty()));
    }
}

/// A block in many small words, so that chance puts them together anew.
const SQUARE: &str = "let a = board . point ( 0 , 0 , \"\" ) ; let b = a . forward ( 20 ) ; let c = b . down ( 30 ) ; \
    let d = a . down ( 30 ) ; let p = board . piece ( \"p\" ) ; p . edge ( \"top\" , line ( a , b ) , \"seam\" ) ; \
    p . edge ( \"side\" , curve ( [ b . headed ( 90 ) , c ] ) , \"seam\" ) ; p . edge ( \"hem\" , line ( c , d ) , \"seam\" ) ; \
    p . edge ( \"back\" , line ( d , a ) , \"seam\" ) ; p . notch ( \"n\" , \"top\" , 5 ) ; p . grain ( a , d ) ; \
    board . sew ( \"s\" , p . run ( \"top\" ) , p . run ( \"hem\" ) , 0 , 0.1 ) ; p . mark ( \"m\" , \"drill\" , a ) ; \
    let e = board . solve ( 0 , 50 , 13 , | x | a . distance ( b . down ( x ) ) ) ; let f = line ( a , c ) . meets ( line ( b , d ) ) ;";

#[test]
fn the_square_is_a_draft() {
    block(SQUARE);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    /// Words of a block left out, doubled, exchanged or with other numbers: no panic, no hang.
    #[test]
    fn no_block_is_fatal(
        changes in prop::collection::vec((0_usize..200, 0_usize..200, 0_u8..4), 1..5),
        number in prop_oneof![Just("-1"), Just("0"), Just("1e300"), Just("0.0/0.0"), Just("1e-12"), Just("9999999999"), Just("[]"), Just("\"\"")],
    ) {
        let mut words: Vec<&str> = SQUARE.split(' ').collect();
        for (i, j, how) in changes {
            let (i, j) = (i % words.len(), j % words.len());
            match how {
                0 => { words.remove(i); }
                1 => words.insert(i, words[j]),
                2 => words.swap(i, j),
                _ => match words.iter().skip(i).position(|w| w.starts_with(|c: char| c.is_ascii_digit())) {
                    Some(at) => words[i + at] = number,
                    None => words.push(number),
                },
            }
        }
        block(&words.join(" "));
    }

    /// Any number in any place of the house, and any measure at the ends of its range: the pattern
    /// is made and proven, or refused in words.
    #[test]
    fn no_house_or_figure_is_fatal(
        number in 0_usize..500,
        part in prop_oneof![Just(0.0), Just(1.0), 0.0..1.0_f64, Just(-3.0), Just(1e9), Just(f64::NAN)],
        figure in prop::collection::vec((0_usize..100, prop::bool::ANY), 0..4),
    ) {
        let plain = order::parse("x", &Source::new("x.toml", PLAIN), Path::new("")).unwrap().order;
        let names: Vec<&String> = plain.house.values().keys().filter(|name| plain.house.number(name).is_some()).collect();
        let name = names[number % names.len()];
        let (least, most) = plain.house.bounds(name);
        let mut text = PLAIN.to_owned();
        for (which, high) in figure {
            let kind = &order::measures::KINDS[which % order::measures::KINDS.len()];
            let cm = if high { kind.range.1 } else { kind.range.0 };
            let line = format!("{} = {cm}", kind.name);
            text = match text.lines().find(|written| written.starts_with(&format!("{} =", kind.name))).map(str::to_owned) {
                Some(old) => text.replacen(&old, &line, 1),
                None => text.replacen("neck =", &format!("{line}\nneck ="), 1),
            };
        }
        text.push_str(&format!("[house]\n{name} = {}\n", least + part * (most - least)));
        let findings = match order::parse("x", &Source::new("x.toml", text), Path::new("")) {
            Ok(checked) => match job::draft(Workshop::embedded(), &checked.order) {
                Ok(_) => Vec::new(),
                Err(fault) => fault.diagnostics(&checked.order, &Workshop::embedded().library),
            },
            Err(faults) => faults,
        };
        prop_assert!(findings.iter().all(|fault| !fault.render(false).is_empty()));
    }
}
