//! After the baste: what a fitting moves on the coat already cut, the next order, the form for the tape.

use crate::program::{self, run};
use chalkstripe::diagnostic::Source;
use chalkstripe::order::{self, Order};
use chalkstripe::pattern::{MovedSeam, Moves, Room, moves};
use chalkstripe::units::Unit;
use chalkstripe::workshop::Workshop;
use chalkstripe::{job, order::measures::KINDS};
use std::path::Path;
use std::process::Output;

const FITTED: &str = include_str!("../examples/fitted-twice.toml");

/// All that the program says.
fn told(output: &Output) -> String {
    program::said(output) + program::told(output).as_str()
}

fn read(text: &str) -> Order {
    let source = Source::new("order.toml", text.to_owned());
    order::parse("order", &source, Path::new(""))
        .unwrap_or_else(|faults| panic!("{faults:#?}"))
        .order
}

/// What one fitting moves on the figure that the house drafts from, with the house's numbers `house`.
fn moved(fitting: &str, house: &str) -> Moves {
    let text = format!(
        "[client]\nname = \"Invented\"\n[measures]\nheight = 176\nchest = 100\nwaist = 88\nseat = 103\nneck = 40\n\
         [cloth]\nname = \"worsted\"\nlayout = \"open\"\n[jacket]\nvent = \"none\"\n[trousers]\n\
         [[fitting]]\ndate = 2026-02-17\n{fitting}\n[house]\n{house}"
    );
    let order = read(&text);
    let (before, after) = (
        job::draft(Workshop::embedded(), &order.after_fittings(0)).expect("the first cut"),
        job::draft(Workshop::embedded(), &order).expect("the draft after the fitting"),
    );
    moves(&order.house, &before.drafts, &before.pattern, &after.drafts).expect("a whole house")
}

fn seam<'a>(moves: &'a Moves, piece: &str, edge: &str) -> &'a MovedSeam {
    let pieces = moves.pieces.iter().filter(|p| p.piece == piece);
    let mut seams = pieces.flat_map(|p| &p.seams).filter(|s| s.edge == edge);
    seams
        .next()
        .unwrap_or_else(|| panic!("{edge} of {piece} does not move: {moves:#?}"))
}

#[test]
fn side_seams_are_let_out_as_far_as_their_inlay_goes() {
    // The house leaves 2.5 at the back's side seam, of which 1 is seam.
    let within = moved("let_out_side_seams = 0.8", "");
    let side = seam(&within, "back", "side seam");
    let words = side.in_words(Unit::Cm);
    assert!(
        words.ends_with("inlay leaves 1.5 cm: can be let out"),
        "{words}"
    );
    // Between the levels the new curve may stand out a little more.
    assert!((side.needs - 8.0).abs() < 1.0 && (side.leaves - 15.0).abs() < 0.1);
    // The cloth that was cut otherwise says otherwise.
    // Less was left, but there is more at the centre back: the back is laid further back.
    let less = "allowance.side_seam_back = 1.8";
    let laid_back = moved("let_out_side_seams = 1.2", less);
    assert!(laid_back.pieces.iter().all(|piece| piece.allowed()));
    let back = laid_back.pieces.iter().find(|piece| piece.piece == "back");
    assert!(
        back.and_then(|b| b.laid(Unit::Cm))
            .is_some_and(|laid| laid.contains("further back"))
    );
    // More than both have.
    let beyond = moved("let_out_side_seams = 2.5", less);
    let lacking = seam(&beyond, "back", "side seam");
    assert!(
        lacking
            .in_words(Unit::Cm)
            .ends_with("inlay leaves 0.8 cm: recut")
    );
    assert!((lacking.needs - 25.0).abs() < 3.0, "{lacking:?}");
    let taken_in = moved("take_in_side_seams = 0.8", "");
    let closer = seam(&taken_in, "back", "side seam");
    assert!(
        closer.needs < 1.0 && (closer.takes_in - 8.0).abs() < 1.2,
        "{closer:?}"
    );
    assert!(closer.in_words(Unit::Cm).ends_with("cm to take in"));
}

/// What is asked for is what is measured, square to the new seam, at every width.
#[test]
fn a_side_seam_moves_by_what_is_asked() {
    for by in [0.5, 1.2, 2.0, 2.5, 3.0] {
        let let_out = moved(
            &format!("let_out_side_seams = {by}"),
            "allowance.side_seam_back = 5",
        );
        let wider = seam(&let_out, "back", "side seam");
        assert!((wider.needs - 10.0 * by).abs() <= 0.5, "{by}: {wider:?}");
        let taken_in = moved(&format!("take_in_side_seams = {by}"), "");
        let closer = seam(&taken_in, "back", "side seam");
        assert!(
            (closer.takes_in - 10.0 * by).abs() <= 0.5,
            "{by}: {closer:?}"
        );
    }
}

fn carried(moves: &Moves, piece: &str) -> Vec<String> {
    let pieces = moves.pieces.iter().filter(|p| p.piece == piece);
    pieces.flat_map(|p| p.carried(Unit::Cm)).collect()
}

/// Notches, pockets and holes that lie elsewhere on the cloth are told, each with what it asks for.
#[test]
fn what_moves_on_a_piece_is_told() {
    // The sleeve turns in the scye: no seam moves, both pitches do.
    let pitched = moved("pitch_sleeves_forward = 0.7", "");
    assert!(
        pitched.pieces.iter().all(|piece| piece.seams.is_empty()),
        "{pitched:#?}"
    );
    let front = carried(&pitched, "forepart");
    assert_eq!(front, ["chalk again: front pitch notch 0.7 cm lower"]);
    let back = carried(&pitched, "back");
    assert!(
        back.len() == 1 && back[0].starts_with("chalk again: back pitch notch 0.7 cm higher"),
        "{back:?}"
    );
    // A back laid lower takes its waist with it.
    let lowered = moved("lengthen_back_balance = 1.5", "");
    let waist = carried(&lowered, "back");
    assert!(
        waist
            .iter()
            .any(|t| t.contains("side waist notch ") && t.contains("lower")),
        "{waist:?}"
    );
    // A wedge that is wider, where there was none and where there was one.
    let wedged = moved("take_in_belly_cut = 1", "");
    let wedge = carried(&wedged, "forepart");
    assert!(wedge.contains(&"belly cut: new".to_owned()), "{wedge:?}");
    assert!(seam(&wedged, "forepart", "hem").needs > 5.0);
    // The waist of the trousers moves its darts and its pockets.
    let widened = moved("let_out_waist = 3", "");
    let darts = carried(&widened, "under side");
    assert!(
        darts
            .iter()
            .any(|t| t.starts_with("dart 1: ") && t.ends_with("sew again, if it is not cut open")),
        "{darts:?}"
    );
    // Nothing is told of what only the new pattern turns over: the left side by itself.
    let one_sided = moved("pitch_sleeves_forward = { left = 0.7 }", "");
    assert_eq!(
        carried(&one_sided, "forepart, left"),
        ["chalk again: front pitch notch 0.7 cm lower"]
    );
    assert!(carried(&one_sided, "forepart, right").is_empty());
}

#[test]
fn hems_are_let_down_as_far_as_they_are_turned_up() {
    let let_down = moved("lengthen_sleeves = 1", "");
    let hem = seam(&let_down, "top sleeve", "hem");
    assert_eq!(hem.room, Room::Hem);
    assert_eq!(
        hem.in_words(Unit::Cm),
        "hem needs 1 cm, hem leaves 3 cm: can be let down"
    );
    let seams = let_down.pieces.iter().flat_map(|p| &p.seams);
    let others: Vec<&MovedSeam> = seams.filter(|s| s.edge != "hem").collect();
    // The bend of the elbow goes down with it.
    assert!(
        others.iter().all(|s| s.needs + s.takes_in < 4.0),
        "{others:#?}"
    );
    let too_far = moved("lengthen_sleeves = 3.5", "");
    let short = seam(&too_far, "top sleeve", "hem");
    assert!(!short.allowed(), "{}", short.in_words(Unit::Cm));
    // Nothing else of the sleeve lies elsewhere, and nothing of the body does.
    let pieces: Vec<&str> = too_far.pieces.iter().map(|p| p.piece.as_str()).collect();
    assert_eq!(pieces, ["top sleeve", "under sleeve"]);
}

/// Length over the back that the shoulder's inlay does not have comes from the hem: the new back is laid
/// lower on the old one.
#[test]
fn a_piece_is_laid_where_the_cloth_allows_it() {
    let found = moved("lengthen_back_balance = 1.5", "");
    let back = found
        .pieces
        .iter()
        .find(|p| p.piece == "back")
        .expect("the back moves");
    assert!(back.allowed(), "{back:#?}");
    assert!((5.0..=15.5).contains(&back.shift.y), "{:?}", back.shift);
    assert!(seam(&found, "back", "hem").needs > 5.0);
    // With hems too short for that, it has to be cut again, and is laid as it was drafted.
    let short_hems = moved("lengthen_back_balance = 1.5", "allowance.jacket_hem = 2");
    let recut = short_hems
        .pieces
        .iter()
        .find(|p| p.piece == "back")
        .expect("the back moves");
    assert!(!recut.allowed() && recut.shift.hypot() < 0.1, "{recut:#?}");
}

/// A side that a fitting finds to differ is compared with its own side of the pair that was cut.
#[test]
fn a_fitting_of_one_side_moves_that_side() {
    let found = moved("lengthen_sleeves = { left = 1, right = 0 }", "");
    let pieces: Vec<&str> = found.pieces.iter().map(|p| p.piece.as_str()).collect();
    assert_eq!(pieces, ["top sleeve, left", "under sleeve, left"]);
    assert!((seam(&found, "top sleeve, left", "hem").needs - 10.0).abs() < 0.5);
    assert!(found.new.is_empty(), "{:?}", found.new);
}

#[test]
fn the_sheet_and_the_terminal_tell_what_moves() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("one.toml"), FITTED).expect("an order");
    let output = run(&["draft", "one.toml", "--against", "0"], folder.path());
    let said = told(&output);
    assert!(output.status.success(), "{said}");
    for words in [
        "After the fitting of 2026-02-26, compared with the first cut",
        "side seam needs 0.5 cm, inlay leaves 1.5 cm: can be let out",
        "back, left",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let pdf = std::fs::read(folder.path().join("out/one/drafting-sheet.pdf")).expect("the sheet");
    assert!(pdf.starts_with(b"%PDF"));
    let svg = std::fs::read_to_string(folder.path().join("out/one/drafting-sheet.svg"))
        .expect("the sheet");
    assert!(svg.len() > 100_000);
    for (number, advice) in [
        ("2", "use --against 0 (the first cut) to 1"),
        ("9", "use --against 0 (the first cut) to 1"),
    ] {
        let refused = run(&["draft", "one.toml", "--against", number], folder.path());
        assert_eq!(refused.status.code(), Some(2));
        assert!(program::tells(&told(&refused), advice));
    }
    let unfitted = FITTED
        .split("[[fitting]]")
        .next()
        .expect("a head")
        .to_owned()
        + "[cloth]\nname = \"worsted\"\nlayout = \"open\"\n[jacket]\n";
    std::fs::write(folder.path().join("two.toml"), unfitted).expect("an order");
    let nothing_to_compare = run(&["draft", "two.toml", "--against", "0"], folder.path());
    assert!(
        program::tells(&told(&nothing_to_compare), "no fitting to compare"),
        "{}",
        told(&nothing_to_compare)
    );
}

/// The next order keeps the body and asks the style: complete once each empty choice is made, and then
/// the same man on the same draft.
#[test]
fn the_next_order_keeps_the_man_and_asks_the_style() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path();
    std::fs::write(path.join("old.toml"), FITTED).expect("an order");
    let output = run(&["next", "old.toml", "new.toml"], path);
    assert!(output.status.success(), "{}", told(&output));
    let text = std::fs::read_to_string(path.join("new.toml")).expect("the next order");

    let checked = run(&["check", "new.toml"], path);
    let said = told(&checked);
    assert_eq!(checked.status.code(), Some(2));
    for name in ["fastening", "lapel", "vent", "front", "top"] {
        assert!(
            said.contains(&format!("{name} is still to be chosen")),
            "{said}"
        );
    }
    assert!(
        !said.contains("shoulder is still"),
        "what was not chosen last time is not asked"
    );

    let chosen: Vec<String> = text.lines().map(answered).collect();
    let (old, new) = (read(FITTED), read(&chosen.join("\n")));
    assert_eq!(new.measures, old.measures);
    assert_eq!(new.figure, old.figure);
    // Each fitting says which order it was made on: it was before this one.
    let kept = |fitting: &order::Fitting| order::Fitting {
        earlier: Some(old.client.reference.clone()),
        ..fitting.clone()
    };
    let kept: Vec<order::Fitting> = old.fittings.iter().map(kept).collect();
    assert_eq!(new.fittings, kept);
    assert_eq!(new.garments, old.garments);
    assert_eq!(new.client.name, old.client.name);
    assert_eq!(new.client.date, "");

    // What is there stays.
    let again = run(&["next", "old.toml", "new.toml"], path);
    assert_eq!(again.status.code(), Some(2));
    assert!(program::tells(&told(&again), "use a new name"));
    assert_eq!(
        std::fs::read_to_string(path.join("new.toml")).expect("it"),
        text
    );
    // Without a name it is printed.
    assert!(told(&run(&["next", "old.toml"], path)).contains("[measures]\nunit = \"cm\""));
}

/// A line of the next order with what was chosen last time put in where it is empty.
fn answered(line: &str) -> String {
    match line.split_once(" = \"\" ") {
        Some((key, _)) if key.starts_with('#') => line.to_owned(),
        Some(("name", _)) => "name = \"another cloth\"".to_owned(),
        Some((key, comment)) => {
            let last = comment
                .split_once("last time ")
                .map_or("", |(_, last)| last);
            format!(
                "{key} = {}",
                last.split("; usual").next().unwrap_or_default()
            )
        }
        None => line.to_owned(),
    }
}

#[test]
fn every_example_has_a_next_order() {
    let folder = tempfile::tempdir().expect("a folder");
    for entry in std::fs::read_dir("examples").expect("the examples") {
        let path = std::fs::canonicalize(entry.expect("an entry").path()).expect("a path");
        if path.extension().is_none_or(|ending| ending != "toml") {
            continue;
        }
        let output = run(&["next", path.to_str().expect("a name")], folder.path());
        assert!(output.status.success(), "{}", told(&output));
        let text = String::from_utf8(output.stdout).expect("text");
        let chosen: Vec<String> = text.lines().map(answered).collect();
        let old = std::fs::read_to_string(&path).expect("the order");
        let (old, new) = (read(&old), read(&chosen.join("\n")));
        assert_eq!(new.measures, old.measures, "{}", path.display());
        assert_eq!(new.garments, old.garments, "{}", path.display());
        assert_eq!(new.house, old.house, "{}", path.display());
    }
}

#[test]
fn the_form_has_every_measure_of_its_garments() {
    let folder = tempfile::tempdir().expect("a folder");
    let all = told(&run(&["measures"], folder.path()));
    for kind in KINDS {
        assert!(
            all.contains(kind.taken) && all.contains(kind.term),
            "{}",
            kind.name
        );
    }
    let trousers = told(&run(&["measures", "trousers"], folder.path()));
    assert!(trousers.contains("inside leg") && trousers.contains("chest"));
    assert!(!trousers.contains("sleeve") && !trousers.contains("nape"));
    let misspelt = run(&["measures", "trouser"], folder.path());
    assert_eq!(misspelt.status.code(), Some(2));
    assert!(program::tells(&told(&misspelt), "Perhaps: trousers"));
    std::fs::write(folder.path().join("one.toml"), FITTED).expect("an order");
    let known = told(&run(&["measures", "--order", "one.toml"], folder.path()));
    assert!(
        known.contains("taken: 102 cm") && known.contains("Ambrose Pellworm"),
        "{known}"
    );

    let output = run(&["measures", "--pdf", "form.pdf"], folder.path());
    assert!(output.status.success(), "{}", told(&output));
    assert!(
        std::fs::read(folder.path().join("form.pdf"))
            .expect("a page")
            .starts_with(b"%PDF")
    );
    // An order is not taken for a form.
    assert_eq!(
        run(&["measures", "--pdf", "one.toml"], folder.path())
            .status
            .code(),
        Some(2)
    );
    assert_eq!(
        std::fs::read_to_string(folder.path().join("one.toml")).expect("it"),
        FITTED
    );
}
