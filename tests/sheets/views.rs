//! The made-up views are drawn from the draft itself.

use crate::program::PLAIN;
use chalkstripe::diagnostic::Source;
use chalkstripe::draft::Draft;
use chalkstripe::order::{self, Order};
use chalkstripe::sheets::drawing::{Drawing, Ink};
use chalkstripe::sheets::{svg, views};
use chalkstripe::workshop::Workshop;
use chalkstripe::{geometry, job, made_up};
use std::path::Path;

const CHECK: &str = include_str!("../../examples/check-side-vents.toml");

fn order(text: &str) -> Order {
    let source = Source::new("order.toml", text);
    order::parse("order", &source, Path::new("")).unwrap().order
}

fn jacket(text: &str) -> Draft {
    let drafts = job::draft(Workshop::embedded(), &order(text))
        .unwrap()
        .drafts;
    drafts.into_iter().find(|d| d.garment == "jacket").unwrap()
}

/// Width of what is drawn, in cm of the garment.
fn width(view: &Drawing) -> f64 {
    let boxes = view.items.iter().map(|item| item.ink.bounds());
    boxes.reduce(|a, b| a.union(b)).unwrap().width() / 2.0
}

/// Rings that are drawn, each a button's edge, so many mm of the sheet across.
fn rings(view: &Drawing, across: f64) -> usize {
    let round = |path: &kurbo::BezPath| {
        let size = kurbo::Shape::bounding_box(path);
        (size.width() - across).abs() < 0.02 && (size.height() - across).abs() < 0.02
    };
    let strokes = view.items.iter().filter(|item| match &item.ink {
        Ink::Stroke { path, .. } => round(path),
        _ => false,
    });
    strokes.count()
}

#[test]
fn a_larger_man_has_a_larger_coat() {
    let (small, large) = (
        jacket(PLAIN),
        jacket(&PLAIN.replace("chest = 100", "chest = 112")),
    );
    for draw in [views::front, views::back] {
        let (small, large) = (draw(&small).unwrap(), draw(&large).unwrap());
        assert!(width(&large) > width(&small) + 1.5);
        // A man's shoulders and arms: between 60 and 80 cm across (common practice, no source).
        assert!((60.0..80.0).contains(&width(&small)), "{}", width(&small));
    }
}

/// Each side has its own: nothing that is drawn on an even man's coat is missing from an uneven one's.
#[test]
fn a_man_whose_sides_differ_has_all_that_others_have() {
    let drawn = |slopes: &str| {
        let figure = format!("[figure]\nsloping_shoulders = {slopes}\n\n[cloth]");
        let view = views::front(&jacket(&CHECK.replace("[cloth]", &figure))).unwrap();
        (view.items.len(), rings(&view, 4.0))
    };
    let even = drawn("1");
    for slopes in ["{ right = 1 }", "{ left = 1 }", "{ left = 0.5, right = 1 }"] {
        assert_eq!(drawn(slopes), even, "{slopes}");
    }
}

#[test]
fn every_button_that_is_seen_is_drawn() {
    for (fastening, seen) in [
        ("one", 1),
        ("two", 2),
        ("three", 3),
        ("three_roll_two", 2),
        ("six_two", 6),
        ("four_two", 4),
    ] {
        let text = PLAIN.replace(
            "fastening = \"two\"",
            &format!("fastening = \"{fastening}\""),
        );
        let front = views::front(&jacket(&text)).unwrap();
        assert_eq!(rings(&front, 4.0), seen, "{fastening}");
    }
}

/// The view is a fifth of the garment: its height is the coat's length and the collar's stand.
#[test]
fn the_back_is_as_long_as_the_coat() {
    let draft = jacket(PLAIN);
    let back = draft
        .pieces
        .iter()
        .find(|piece| piece.name == "back")
        .unwrap();
    let edge = |name: &str| {
        &back
            .edges
            .iter()
            .find(|edge| edge.name == name)
            .unwrap()
            .path
    };
    let nape = geometry::start(edge("neck")).unwrap();
    let hem = geometry::end(edge("hem")).unwrap();
    let view = views::back(&draft).unwrap();
    let boxes = view.items.iter().map(|item| item.ink.bounds());
    let tall = 5.0 * boxes.reduce(|a, b| a.union(b)).unwrap().height();
    let long = hem.y - nape.y;
    assert!(
        (long + 25.0..long + 65.0).contains(&tall),
        "{tall} of {long}"
    );
}

#[test]
fn a_draft_that_is_none_of_ours_has_no_view() {
    assert_eq!(views::front(&Draft::default()), None);
    assert_eq!(views::back(&Draft::default()), None);
}

/// usvg reads the size back, and the same order gives the same bytes.
#[test]
fn the_sheet_is_read_back() {
    for text in [PLAIN, CHECK] {
        let order = order(text);
        let drafts = job::draft(Workshop::embedded(), &order).unwrap().drafts;
        let seen = views::of_order(&drafts, None);
        let files = views::files(&seen, &order);
        assert_eq!(files, views::files(&seen, &order));
        let sheet = views::sheet(&seen, &order);
        let options = resvg::usvg::Options {
            dpi: 25.4,
            ..Default::default()
        };
        let tree = resvg::usvg::Tree::from_data(&svg::write(&sheet), &options).unwrap();
        assert!((f64::from(tree.size().width()) - sheet.width).abs() < 0.01);
        assert!((f64::from(tree.size().height()) - sheet.height).abs() < 0.01);
        assert!(!files.is_empty() && files.iter().all(|file| file.bytes.len() > 1000));
    }
}

/// A waistcoat is as wide at the hem as its girth asks, and shows its buttons, welts and strap.
#[test]
fn a_waistcoat_is_seen_from_both_sides() {
    let three_piece = include_str!("../../examples/three-piece.toml");
    let seen = |text: &str| {
        let drafts = job::draft(Workshop::embedded(), &order(text))
            .unwrap()
            .drafts;
        let waistcoat = drafts
            .into_iter()
            .find(|d| d.garment == "waistcoat")
            .unwrap();
        [
            views::front(&waistcoat).unwrap(),
            views::back(&waistcoat).unwrap(),
        ]
    };
    let [front, back] = seen(three_piece);
    assert_eq!((rings(&front, 3.0), rings(&back, 3.0)), (6, 0));
    // A trunk is about 0.72 as deep as wide, and so 0.37 of its girth wide (common practice, no source).
    assert!((38.0..50.0).contains(&width(&front)), "{}", width(&front));
    let drawn = |text: &str| seen(text)[1].items.len();
    assert!(drawn(&with_strap(three_piece, "buckle")) > drawn(&with_strap(three_piece, "none")));
}

/// The order with that strap.
fn with_strap(text: &str, strap: &str) -> String {
    text.replace(
        "[waistcoat]\n",
        &format!("[waistcoat]\nstrap = \"{strap}\"\n"),
    )
}

/// Trousers are as long as the side from waistband to hem, and show where they differ: buttons, loops.
#[test]
fn trousers_are_seen_from_both_sides() {
    let seen = |text: &str| {
        let drafts = job::draft(Workshop::embedded(), &order(text))
            .unwrap()
            .drafts;
        let trousers = drafts.into_iter().find(|d| d.garment == "trousers");
        let trousers = trousers.unwrap();
        let top = trousers.pieces.iter().find(|p| p.name == "top side");
        let outside = top.unwrap().edges.iter().find(|e| e.name == "outside leg");
        let long = geometry::length(&outside.unwrap().path);
        let views = [
            views::front(&trousers).unwrap(),
            views::back(&trousers).unwrap(),
        ];
        (views, long)
    };
    let top = |word: &str| PLAIN.replace("top = \"side_adjusters\"", &format!("top = \"{word}\""));
    let ([front, back], long) = seen(PLAIN);
    for view in [&front, &back] {
        let boxes = view.items.iter().map(|item| item.ink.bounds());
        let tall = 5.0 * boxes.reduce(|a, b| a.union(b)).unwrap().height();
        assert!(
            (long + 20.0..long + 90.0).contains(&tall),
            "{tall} of {long}"
        );
    }
    // Hips are about 0.72 as deep as wide, and so 0.37 of their girth: 110 cm with its ease (common
    // practice, no source).
    assert!((37.0..43.0).contains(&width(&front)), "{}", width(&front));
    let ([braced, _], _) = seen(&top("brace_buttons"));
    assert_eq!((rings(&front, 3.0), rings(&braced, 3.0)), (0, 4));
    // Each loop is a shape and its outline: of eight, two more are on the back than of six.
    let drawn = |loops: usize| {
        let text =
            top("belt_loops").replace("[trousers]\n", &format!("[trousers]\nloops = {loops}\n"));
        seen(&text).0.map(|view| view.items.len())
    };
    let (six, eight) = (drawn(6), drawn(8));
    assert_eq!(eight[0] + eight[1], six[0] + six[1] + 4);
}

/// The fly's facing is a piece of the left alone, and shows there by its stitches.
#[test]
fn the_fly_is_stitched_down_on_the_left_alone() {
    let drafts = job::draft(Workshop::embedded(), &order(PLAIN))
        .unwrap()
        .drafts;
    let trousers = drafts.iter().find(|d| d.garment == "trousers").unwrap();
    let shown = made_up::view(trousers, made_up::Facing::Front).unwrap();
    let stitched = shown.iter().filter_map(|shown| match shown {
        made_up::Shown::Line(points, made_up::Stroke::Stitch) => Some(points),
        _ => None,
    });
    let stitched: Vec<_> = stitched.collect();
    assert_eq!(stitched.len(), 1);
    // The wearer's left is on the right of who looks on; the stitches end in the middle, at the fork.
    let furthest = stitched[0].iter().map(|p| p.x).fold(f64::MIN, f64::max);
    let nearest = stitched[0].iter().map(|p| p.x).fold(f64::MAX, f64::min);
    assert!((30.0..60.0).contains(&furthest), "{furthest}");
    assert!((-5.0..5.0).contains(&nearest), "{nearest}");
}
