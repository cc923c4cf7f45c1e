//! The overcoat against the jacket that goes under it, against a book, and on living men.

use crate::bodies::dress_all;
use chalkstripe::diagnostic::Source;
use chalkstripe::draft::{Count, Draft, DraftPiece};
use chalkstripe::geometry::{length, point_at};
use chalkstripe::order::{self, Order};
use chalkstripe::pattern;
use chalkstripe::script::{Library, draft};
use kurbo::{BezPath, Point};
use std::path::Path;

/// Height, chest, waist, seat, neck in cm.
const REGULAR: [f64; 5] = [176.0, 100.0, 88.0, 103.0, 40.0];

fn order(figure: [f64; 5], garments: &str) -> Order {
    let [height, chest, waist, seat, neck] = figure;
    let text = format!(
        "[client]\nname = \"Invented\"\nreference = \"T-1\"\ndate = 2026-03-02\n\
         [measures]\nheight = {height}\nchest = {chest}\nwaist = {waist}\nseat = {seat}\nneck = {neck}\n\
         [cloth]\nname = \"overcoating\"\nwidth = 150\n{garments}\n"
    );
    match order::parse("order", &Source::new("order.toml", text), Path::new("")) {
        Ok(checked) => checked.order,
        Err(faults) => panic!("{garments}: {faults:#?}"),
    }
}

fn drafted(figure: [f64; 5], garment: &str, style: &str) -> Draft {
    let order = order(figure, &format!("[{garment}]\n{style}"));
    draft(&Library::embedded(), &order, &order.garments[0])
        .unwrap_or_else(|fault| panic!("{style}: {fault}"))
}

fn piece<'a>(draft: &'a Draft, name: &str) -> &'a DraftPiece {
    let found = draft.pieces.iter().find(|piece| piece.name == name);
    found.unwrap_or_else(|| panic!("no piece {name}"))
}

fn edge<'a>(piece: &'a DraftPiece, name: &str) -> &'a BezPath {
    let found = piece.edges.iter().find(|edge| edge.name == name);
    &found.unwrap_or_else(|| panic!("no edge {name}")).path
}

fn named(draft: &Draft, name: &str) -> Point {
    let found = draft
        .points
        .iter()
        .rev()
        .find(|point| point.name.as_deref() == Some(name));
    found.unwrap_or_else(|| panic!("no point {name}")).at
}

fn girth(draft: &Draft, name: &str) -> f64 {
    let found = draft.girths.iter().find(|girth| girth.name == name);
    found.unwrap_or_else(|| panic!("no girth {name}")).finished / 10.0
}

fn scye(draft: &Draft) -> f64 {
    ["back", "side body", "forepart"]
        .iter()
        .map(|name| length(edge(piece(draft, name), "scye")))
        .sum::<f64>()
        / 10.0
}

/// W. D. F. Vincent, Vincent's Systems of Cutting All Kinds of Tailor-Made Garments (London, about 1903): page 152, an
/// overcoat is half the chest and 6 inches wide on the chest line, with 1 1/2 inches taken out under the arm; page 136,
/// its hip pockets lie about 4 1/2 inches below the waist, and the ticket pocket on the level of the waist. His draft
/// holds its seams, a quarter of an inch on each edge of two seams and the centre back in the half.
#[test]
fn the_overcoat_beside_vincents_systems() {
    let inch = 2.54;
    let figure = [173.0, 36.0 * inch, 32.0 * inch, 37.0 * inch, 15.75 * inch];
    let coat = drafted(figure, "overcoat", "ticket_pocket = \"plain\"");
    let his = figure[1] / 2.0 + (6.0 - 1.5) * inch;
    let finished = his - 5.0 * 0.25 * inch;
    let ours = girth(&coat, "chest") / 2.0;
    println!("half the chest: {ours:.1} cm, his {finished:.1} finished, {his:.1} with seams");
    assert!(
        (finished - 0.5..=his).contains(&ours),
        "{ours} against {finished} to {his}"
    );
    let fore = piece(&coat, "forepart");
    let waist = named(&coat, "waist line").y;
    let level = |name: &str| {
        let mark = fore
            .marks
            .iter()
            .find(|mark| mark.name.starts_with(name))
            .expect("a mouth");
        let (back, front) = (
            point_at(&mark.path, 0.0),
            point_at(&mark.path, length(&mark.path)),
        );
        (back.midpoint(front).y - waist) / 10.0 / inch
    };
    let (hip, ticket) = (level("hip pocket"), level("ticket pocket"));
    println!(
        "below the waist: the hip pocket {hip:.2} in, his 4 1/2; the ticket pocket {ticket:.2}, his 0"
    );
    assert!(
        (hip - 4.5).abs() < 0.5 && ticket.abs() < 0.5,
        "{hip} and {ticket}"
    );
}

/// Common practice of the trade, no source: over a jacket the scye is 1.5 to 2.5 lower and its round larger, each
/// shoulder up to 1.5 longer, the sleeve about 3 wider flat and 1.5 longer; the collar covers the jacket's; to the
/// knee on the regular figure it is 105 long, and 150 to 180 round its hem.
#[test]
fn the_overcoat_goes_over_the_jacket() {
    let (coat, jacket) = (
        drafted(REGULAR, "overcoat", ""),
        drafted(REGULAR, "jacket", ""),
    );
    let lower = (named(&coat, "under-arm point").y - named(&jacket, "under-arm point").y) / 10.0;
    let shoulder = |draft: &Draft| length(edge(piece(draft, "back"), "shoulder")) / 10.0;
    let collar = |draft: &Draft| length(edge(piece(draft, "under-collar"), "centre back")) / 10.0;
    let hem: f64 = ["back", "side body", "forepart"]
        .iter()
        .map(|name| length(edge(piece(&coat, name), "hem")))
        .sum();
    let sleeve = |draft: &Draft| {
        let under = piece(draft, "top sleeve");
        let bottom = under
            .edges
            .iter()
            .find(|edge| edge.name == "hem")
            .expect("a hem");
        (point_at(&bottom.path, 0.0).y - named(draft, "level of the crown").y) / 10.0
    };
    let long = length(edge(piece(&coat, "back"), "centre back")) / 10.0;
    let fold = coat.pieces[0]
        .marks
        .iter()
        .find(|mark| mark.name.starts_with("fold of the vent"))
        .expect("a vent");
    let long = long + length(&fold.path) / 10.0;
    for (what, found, range) in [
        ("scye lower", lower, 1.5..2.5),
        ("scye rounder", scye(&coat) - scye(&jacket), 4.0..9.0),
        (
            "shoulder longer",
            shoulder(&coat) - shoulder(&jacket),
            0.3..1.5,
        ),
        (
            "biceps wider",
            girth(&coat, "biceps") - girth(&jacket, "biceps"),
            5.0..7.0,
        ),
        (
            "cuff wider",
            girth(&coat, "cuff") - girth(&jacket, "cuff"),
            3.5..5.5,
        ),
        ("sleeve longer", sleeve(&coat) - sleeve(&jacket), 1.3..1.8),
        ("collar deeper", collar(&coat) - collar(&jacket), 2.0..4.0),
        ("length", long, 104.0..107.0),
        ("round the hem", 2.0 * hem / 10.0, 148.0..182.0),
        (
            "chest over the jacket's",
            girth(&coat, "chest") - girth(&jacket, "chest"),
            7.0..12.0,
        ),
    ] {
        println!("{what}: {found:.1} cm");
        assert!(
            range.contains(&found),
            "{what}: {found:.1} is not {range:?}"
        );
    }
}

#[test]
fn a_back_in_one_piece_is_cut_whole() {
    let order = order(REGULAR, "[overcoat]\nback = \"whole\"\nbelt = \"half\"\n");
    let coat = draft(&Library::embedded(), &order, &order.garments[0]).expect("it drafts");
    let half = piece(&coat, "back").clone();
    let made = pattern::make(&order, &[coat]).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let cut = |name: &str| {
        made.pieces
            .iter()
            .find(|piece| piece.name == name)
            .expect("a piece")
    };
    for name in ["back", "half belt"] {
        assert_eq!(cut(name).count, Count::Alike(1), "{name}");
        assert!(cut(name).fold.is_some(), "{name}");
    }
    let twice = 2.0
        * kurbo::Shape::area(&chalkstripe::geometry::joined(
            half.edges.iter().map(|edge| &edge.path),
            0.01,
        ))
        .abs();
    let whole = kurbo::Shape::area(&cut("back").seam).abs();
    assert!((whole - twice).abs() < 1.0, "{whole} against {twice}");
    assert_eq!(cut("half belt lining").material.id, "lining");
}

/// What does not go together is refused with words that say what to write.
#[test]
fn contradictions_of_an_overcoat_are_refused() {
    for (style, said) in [
        (
            "back = \"whole\"\nvent = \"centre\"",
            "a whole back has no seam for a vent: write vent = \"none\"",
        ),
        (
            "hip_pocket = \"welt\"\nticket_pocket = \"plain\"",
            "write hip_pocket = \"flapped\"",
        ),
        (
            "back = \"whole\"\n[figure]\nstooping = 1",
            "write back = \"seamed\"",
        ),
        (
            "back = \"whole\"\n[figure]\nsloping_shoulders = { right = 1 }",
            "the sides of this figure differ",
        ),
        (
            "hip_pocket = \"welt\"\n[figure]\nbelly_cut = 1",
            "write hip_pocket = \"flapped\"",
        ),
    ] {
        let order = order(REGULAR, &format!("[overcoat]\n{style}"));
        let fault = draft(&Library::embedded(), &order, &order.garments[0]).expect_err(style);
        assert!(
            fault.refused && fault.message.contains(said),
            "{style}: {fault}"
        );
    }
}

/// The men of the survey in an overcoat, single-breasted, with a fly and double-breasted: nobody fails.
#[test]
fn every_man_of_the_sample_has_his_overcoat() {
    let styles = [
        "",
        "fastening = \"fly\"\nhip_pocket = \"welt\"\n",
        "fastening = \"six_four\"\nback = \"whole\"\n",
    ];
    for style in styles {
        dress_all(&format!("[overcoat]\n{style}"));
    }
}
