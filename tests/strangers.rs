//! A block of a user's own, with names that the program has never heard: what it declares its pieces, edges
//! and marks to be is enough for views and for advice after a fitting.

use crate::program::PLAIN;
use chalkstripe::diagnostic::Source;
use chalkstripe::draft::{Draft, MarkKind};
use chalkstripe::order::{self, Side};
use chalkstripe::pattern::{Change, Moves, Work, moves};
use chalkstripe::script::{Library, draft};
use chalkstripe::sheets::views;
use chalkstripe::units::Unit;
use chalkstripe::workshop::{Workshop, Workshops};
use chalkstripe::{job, pattern::MovedPiece};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use tempfile::TempDir;

/// The waistcoat's names, and those of a stranger.
const RENAMED: &[(&str, &str)] = &[
    ("waistcoat/", "stranger/"),
    ("board.piece(\"forepart\")", "board.piece(\"plastron\")"),
    (
        "piece(body, darted, \"back\")",
        "piece(body, darted, \"dorsal\")",
    ),
    ("\"V\"", "\"opening\""),
    ("\"front edge\"", "\"run down\""),
    ("\"cut away\"", "\"slope\""),
    ("\"side seam\"", "\"flank\""),
    ("\"hem\"", "\"foot\""),
    ("\"shoulder\"", "\"yoke\""),
    ("\"centre back\"", "\"spine\""),
    ("mark(\"dart\"", "mark(\"suppression\""),
    ("mark(\"waist line\"", "mark(\"girdle\""),
    ("mark(\"centre front\"", "mark(\"middle\""),
    ("mark(\"button\"", "mark(\"knob\""),
    ("\"buttonhole, left open\"", "\"slot, not used\""),
    ("mark(\"buttonhole\"", "mark(\"slot\""),
    ("mark(name + \" welt\"", "mark(name + \" slit\""),
    ("mark(\"strap\"", "mark(\"half belt\""),
    ("mark(\"lapel\"", "mark(\"revers\""),
];

fn blocks() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("blocks")
}

/// Copies a folder of scripts, with names replaced in them.
fn copied(from: &Path, to: &Path, renamed: &[(&str, &str)]) {
    fs::create_dir_all(to).expect("a folder");
    for entry in fs::read_dir(from).expect("the blocks") {
        let path = entry.expect("an entry").path();
        let name = path.file_name().expect("a name").to_string_lossy();
        if path.is_dir() {
            copied(&path, &to.join(&*name), renamed);
            continue;
        }
        let mut text = fs::read_to_string(&path).expect("a script");
        for (old, new) in renamed {
            text = text.replace(old, new);
        }
        let name = name.replace("waistcoat.rhai", "stranger.rhai");
        fs::write(to.join(name), text).expect("a copy");
    }
}

/// A folder with the stranger's block.
fn stranger() -> TempDir {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (from, to) = (blocks().join("waistcoat"), folder.path().join("stranger"));
    copied(&from, &to, RENAMED);
    folder
}

/// An order of garments on the figure that the house drafts from.
fn ordered(folder: &Path, garments: &str) -> String {
    format!(
        "blocks = {:?}\n[client]\nname = \"Invented\"\n[measures]\nheight = 176\nchest = 100\nwaist = 88\nseat = 103\n\
         neck = 40\n[cloth]\nname = \"worsted\"\nlayout = \"open\"\n{garments}\n",
        folder.display().to_string()
    )
}

fn read(text: &str) -> order::Order {
    let source = Source::new("order.toml", text.to_owned());
    order::parse("order", &source, Path::new(""))
        .unwrap_or_else(|faults| panic!("{faults:#?}"))
        .order
}

fn drafts(text: &str) -> Vec<Draft> {
    let order = read(text);
    job::draft(&workshop(&order), &order)
        .expect("it drafts")
        .drafts
}

/// The workshop whose blocks an order names.
fn workshop(order: &order::Order) -> Arc<Workshop> {
    let opened = Workshops::default().open(order.blocks.as_deref());
    opened.expect("a folder of blocks")
}

/// What a fitting moves.
fn moved(text: &str, fitting: &str) -> Moves {
    let order = read(&format!(
        "{text}[[fitting]]\ndate = 2026-02-17\n{fitting}\n"
    ));
    let workshop = workshop(&order);
    let before = job::draft(&workshop, &order.after_fittings(0)).expect("the first cut");
    let after = job::draft(&workshop, &order).expect("the draft after the fitting");
    moves(&order.house, &before.drafts, &before.pattern, &after.drafts).expect("a whole house")
}

/// What is told of a piece, without any name.
fn advice(piece: &MovedPiece) -> Vec<(Work, &'static str, i64)> {
    let marks = piece.marks.iter().map(|mark| match mark.change {
        Change::Moved(by) => (mark.work, "moved", (10.0 * by.hypot()).round() as i64),
        Change::New => (mark.work, "new", 0),
        Change::Gone => (mark.work, "gone", 0),
    });
    marks.collect()
}

#[test]
fn a_strangers_waistcoat_is_shown_as_ours_is() {
    let folder = stranger();
    for style in [
        "",
        "lapel = \"shawl\"",
        "lapel = \"notch\"\nstrap = \"buckle\"\nwelts = \"four\"",
        "fastening = \"double_six\"",
    ] {
        let ours = &drafts(&ordered(folder.path(), &format!("[waistcoat]\n{style}")))[0];
        let theirs = &drafts(&ordered(folder.path(), &format!("[stranger]\n{style}")))[0];
        for view in [views::front, views::back] {
            let (ours, theirs) = (view(ours).expect("a view"), view(theirs).expect("a view"));
            assert!(ours.items.len() > 15, "{}", ours.items.len());
            assert_eq!(ours.items, theirs.items, "{style}");
        }
        let names = |draft: &Draft| -> Vec<String> {
            draft
                .pieces
                .iter()
                .map(|piece| piece.name.clone())
                .collect()
        };
        assert!(names(theirs).contains(&"plastron".to_owned()));
        assert!(!names(theirs).contains(&"forepart".to_owned()));
    }
}

#[test]
fn a_strangers_waistcoat_gets_the_same_advice_after_a_fitting() {
    let folder = stranger();
    let mut told = 0;
    for fitting in [
        "lower_shoulder = 1",
        "lengthen_back_balance = 1",
        "pass_shoulder_back = 0.8",
    ] {
        let ours = moved(&ordered(folder.path(), "[waistcoat]"), fitting);
        let theirs = moved(&ordered(folder.path(), "[stranger]"), fitting);
        assert_eq!(ours.pieces.len(), theirs.pieces.len(), "{fitting}");
        for (ours, theirs) in ours.pieces.iter().zip(&theirs.pieces) {
            assert_eq!(advice(ours), advice(theirs), "{fitting}: {}", ours.piece);
            let seams = |piece: &MovedPiece| -> Vec<(i64, i64, bool)> {
                let mm = |mm: f64| (10.0 * mm).round() as i64;
                let all = piece.seams.iter();
                all.map(|s| (mm(s.needs), mm(s.takes_in), s.allowed()))
                    .collect()
            };
            assert_eq!(seams(ours), seams(theirs), "{fitting}: {}", ours.piece);
            told += ours.marks.len() + ours.seams.len();
            let words = theirs.carried(Unit::Cm).join("\n");
            assert!(
                !words.contains("welt") && !words.contains("button"),
                "{words}"
            );
        }
    }
    assert!(told > 5, "{told} things move in all");
}

/// The mouth of the side pocket under another name: it is printed, and nothing else changes.
#[test]
fn a_renamed_mark_changes_nothing_but_what_is_printed() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let parts = "trousers/side_pockets/slanted.rhai";
    let script = fs::read_to_string(blocks().join(parts)).expect("the script");
    let (old, new) = ("side pocket mouth", "gap");
    assert!(script.contains(&format!("\"{old}\"")));
    let to = folder.path().join(parts);
    fs::create_dir_all(to.parent().expect("a folder")).expect("a folder");
    fs::write(
        to,
        script.replace(&format!("\"{old}\""), &format!("\"{new}\"")),
    )
    .expect("a copy");
    let own = ordered(folder.path(), "[trousers]");
    let plain = own.split_once('\n').expect("its first line").1;
    let (theirs, ours) = (&drafts(&own)[0], &drafts(plain)[0]);
    assert_eq!(views::front(theirs), views::front(ours));
    assert_eq!(views::back(theirs), views::back(ours));
    let fitting = "let_out_waist = 2";
    let (theirs, ours) = (moved(&own, fitting), moved(plain, fitting));
    let words = |moves: &Moves| -> Vec<String> {
        let pieces = moves.pieces.iter();
        pieces.flat_map(|piece| piece.carried(Unit::Cm)).collect()
    };
    let renamed: Vec<String> = words(&ours)
        .iter()
        .map(|line| line.replace(old, new))
        .collect();
    assert_eq!(words(&theirs), renamed);
    let told =
        |line: &String| line.contains(new) && line.contains("cannot be moved once it is cut");
    assert!(renamed.iter().any(told), "{renamed:?}");
}

/// What a block says of itself wrongly is refused where it says it.
#[test]
fn what_does_not_resolve_is_a_fault_with_its_line() {
    let head = PLAIN.split_once("[jacket]").expect("the order").0;
    let square = "let a = board.point(0, 0, \"\"); let b = a.forward(20); let c = b.down(20); let d = a.down(20);\n\
         let p = board.piece(\"panel\").edge(\"yoke\", line(a, b), \"seam\").edge(\"right\", line(b, c), \"seam\")\n\
         .edge(\"foot\", line(c, d), \"seam\").edge(\"left\", line(d, a), \"seam\").grain(a, d);\n";
    for (script, told) in [
        (
            "p.mark(\"slit\", \"pocket_moth\", line(a, c));",
            "perhaps 'pocket_mouth'",
        ),
        (
            "p.mark(\"slit\", \"dart\", line(a, c), \"lift\");",
            "perhaps 'left'",
        ),
        ("p.seen_as(\"forpart\");", "perhaps 'forepart'"),
        (
            "p.seen_as(\"flap\", #{ tip: \"yoke\" });",
            "a 'flap' has no role 'tip'",
        ),
        (
            "p.seen_as(\"flap\", #{ top: \"yolk\" });",
            "the panel has no edge 'yolk'",
        ),
        ("p.seen_as(\"flap\");", "a 'flap' needs the role 'top'"),
        ("p.plays(\"top\", \"yoke\");", "say first what the panel is"),
        ("p.part_of(\"yoke\", \"fot\");", "perhaps 'foot'"),
        ("p.part_of(\"yoke\", \"yoke\");", "a part of itself"),
        ("board.page(\"All\", [\"pannel\"]);", "perhaps 'panel'"),
        ("board.page(\"All\", [4]);", "a page needs pieces"),
        (
            "p.notch(\"n\", \"yolk\", 3);",
            "the panel has no edge 'yolk'; there are yoke, right",
        ),
        ("p.turns(\"yolk\", 1);", "the panel has no edge 'yolk'"),
        ("p.turns_in(\"yolk\");", "the panel has no edge 'yolk'"),
        ("p.on_bias(\"yolk\");", "the panel has no edge 'yolk'"),
        ("p.curve(\"yolk\");", "the panel has no edge 'yolk'"),
        (
            "board.sew(\"seam\", p.run(\"left\"), p.run(\"yolk\"), 0, 1);",
            "the panel has no edge 'yolk'",
        ),
        ("p.run(\"yolk\", 0, 4);", "the panel has no edge 'yolk'"),
        (
            "board.sew(\"seam\", p.run(\"left\"), p.run(\"left\"), 0, 1, \"lift\");",
            "perhaps 'left'",
        ),
        (
            "board.join(\"j\", p, \"yolk\", p, \"yoke\", [\"left\", \"left\"], 3);",
            "the panel has no edge 'yolk'",
        ),
        (
            "board.join(\"j\", p, \"yoke\", p, \"yoke\", [\"left\", \"lift\"], 3);",
            "the panel has no edge 'lift'; perhaps 'left'",
        ),
        (
            "p.matches(\"m\", a, p, b, \"both\", \"lift\");",
            "perhaps 'left'",
        ),
        (
            "p.seen_as(\"top_sleeve\", #{ crown: \"yoke\", forearm: \"left\", hindarm: \"right\", hem: \"foot\", elbow: \"e\" });",
            "has no notch 'e'",
        ),
        (
            "p.seen_as(\"under_sleeve\", #{ crown: \"yoke\", forearm: \"left\", hindarm: \"right\", hem: \"foot\" });",
            "no piece as 'forepart': a coat is shown whole or not at all",
        ),
        (
            "p.seen_as(\"side_body\", #{ scye: \"yoke\", front_seam: \"right\", side_seam: \"left\", hem: \"foot\" });\n\
             board.piece(\"other\").edge(\"a\", line(a, b), \"seam\").edge(\"b\", line(b, c), \"seam\").edge(\"c\", line(c, a), \"seam\").grain(a, d)\n\
             .seen_as(\"forepart\", #{ shoulder: \"a\", neck: \"a\", front_edge: \"a\", hem: \"a\", side_seam: \"b\", scye: \"c\" });",
            "the other is seen as 'forepart' of a coat and lacks an edge with the role 'gorge'",
        ),
    ] {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let own = folder.path().join("panel");
        fs::create_dir(&own).expect("a folder");
        fs::write(own.join("panel.rhai"), format!("{square}{script}")).expect("a script");
        let choices = "[long]\nabout = \"long\"\nkind = \"flag\"\ndefault = true\n";
        fs::write(own.join("choices.toml"), choices).expect("choices");
        let text = format!(
            "blocks = {:?}\n{head}[panel]\n",
            folder.path().display().to_string()
        );
        let order = read(&text);
        let library = Library::with_folder(folder.path()).expect("a library");
        let fault = draft(&library, &order, &order.garments[0]).expect_err(script);
        assert!(fault.message.contains(told), "{script}\n{fault}");
        assert!(fault.file.ends_with("panel.rhai"), "{fault}");
        let line = fault.line.expect("the line");
        assert!(line > square.lines().count(), "{script}\n{fault}");
    }
}

/// Where the name of a proof or a match says a side, the script declares it: the name is only printed.
#[test]
fn what_is_called_left_or_right_declares_that_side() {
    let names = |name: &str, side: &str| {
        let mut words = name.split(|c: char| !c.is_alphanumeric());
        words.any(|word| word == side)
    };
    let folder = tempfile::tempdir().expect("a temporary folder");
    let own = |garments: &str| {
        let own = ordered(folder.path(), garments);
        own.split_once('\n').expect("its first line").1.to_owned()
    };
    let mut declared = 0;
    for garments in [
        "[jacket]\nvent = \"centre\"\nlining = \"full\"\nticket_pocket = \"plain\"\nbreast_pocket = \"welt\"",
        "[jacket]\nvent = \"centre\"\nlining = \"half\"\nbreast_pocket = \"patch\"",
        "[jacket]\nlining = \"quarter\"\nhip_pocket = \"flapped\"",
        "[trousers]\ndress = \"left\"\nbottoms = \"plain\"",
        "[trousers]\ndress = \"right\"\nbottoms = \"turn_ups\"\nfly = \"buttons\"",
        "[trousers]\ndress = \"none\"",
    ] {
        let draft = &drafts(&own(garments))[0];
        let seams = draft.seams.iter().map(|seam| (&seam.name, seam.side));
        let joins = draft.joins.iter().map(|join| (&join.name, join.side));
        let matches = draft.matches.iter().map(|m| (&m.name, m.side));
        for (name, side) in seams.chain(joins).chain(matches) {
            for hand in [Side::Left, Side::Right] {
                let says = names(name, hand.word());
                assert_eq!(says, side == Some(hand), "{garments}: {name}");
            }
            declared += usize::from(side.is_some());
        }
    }
    assert!(declared > 40, "{declared} declare a side");
}

/// The developers' list is that of the program.
#[test]
fn the_developers_list_every_kind_part_and_role() {
    use chalkstripe::draft::{Part, Role};
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md"));
    let text = text.expect("the developers' file");
    let kinds = MarkKind::ALL.iter().map(|kind| kind.word());
    let parts = Part::ALL.iter().map(|part| part.word());
    let roles = Role::ALL.iter().map(|role| role.word());
    for word in kinds.chain(parts).chain(roles) {
        assert!(text.contains(&format!("`{word}`")), "{word} is not listed");
    }
}
