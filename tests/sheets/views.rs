//! The made-up views are drawn from the draft itself.

use chalkstripe::drafting::Draft;
use chalkstripe::order::{self, Order, Source};
use chalkstripe::sheets::drawing::{Drawing, Ink};
use chalkstripe::sheets::{svg, views};
use chalkstripe::{geometry, job};
use std::path::Path;

const PLAIN: &str = include_str!("../../examples/plain-worsted.toml");
const CHECK: &str = include_str!("../../examples/check-side-vents.toml");

fn order(text: &str) -> Order {
    let source = Source::new("order.toml", text);
    order::parse("order", &source, Path::new("")).unwrap().order
}

fn jacket(text: &str) -> Draft {
    let drafts = job::draft(&order(text)).unwrap().drafts;
    drafts.into_iter().find(|d| d.garment == "jacket").unwrap()
}

/// Width of what is drawn, in cm of the garment.
fn width(view: &Drawing) -> f64 {
    let boxes = view.items.iter().map(|item| item.ink.bounds());
    boxes.reduce(|a, b| a.union(b)).unwrap().width() / 2.0
}

/// Rings that are drawn, each a button's edge.
fn buttons(view: &Drawing) -> usize {
    let round = |path: &kurbo::BezPath| {
        let size = kurbo::Shape::bounding_box(path);
        (size.width() - 4.0).abs() < 0.02 && (size.height() - 4.0).abs() < 0.02
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
        assert_eq!(buttons(&front), seen, "{fastening}");
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
        let drafts = job::draft(&order).unwrap().drafts;
        let files = views::files(&drafts, &order);
        assert_eq!(files, views::files(&drafts, &order));
        let sheet = views::sheet(&drafts, &order);
        let options = resvg::usvg::Options {
            dpi: 25.4,
            ..Default::default()
        };
        let tree = resvg::usvg::Tree::from_data(&svg::write(&sheet), &options).unwrap();
        assert!((f64::from(tree.size().width()) - sheet.width).abs() < 0.01);
        assert!((f64::from(tree.size().height()) - sheet.height).abs() < 0.01);
        assert!(files.iter().all(|file| file.bytes.len() > 1000));
    }
}

/// A waistcoat is as wide at the hem as its girth asks, and shows its buttons, welts and strap.
#[test]
fn a_waistcoat_is_seen_from_both_sides() {
    let text = include_str!("../../examples/three-piece.toml");
    let seen = |text: &str| {
        let drafts = job::draft(&order(text)).unwrap().drafts;
        let waistcoat = drafts
            .into_iter()
            .find(|d| d.garment == "waistcoat")
            .unwrap();
        [
            views::front(&waistcoat).unwrap(),
            views::back(&waistcoat).unwrap(),
        ]
    };
    let [front, back] = seen(text);
    let rings = |view: &Drawing| {
        let of_button = |item: &&chalkstripe::sheets::drawing::Item| match &item.ink {
            Ink::Stroke { path, .. } => {
                let size = kurbo::Shape::bounding_box(path);
                (size.width() - 3.0).abs() < 0.02 && (size.height() - 3.0).abs() < 0.02
            }
            _ => false,
        };
        view.items.iter().filter(of_button).count()
    };
    assert_eq!((rings(&front), rings(&back)), (6, 0));
    // A trunk is about 0.72 as deep as wide, and so 0.37 of its girth wide (common practice, no source).
    assert!((38.0..50.0).contains(&width(&front)), "{}", width(&front));
    let drawn = |text: &str| seen(text)[1].items.len();
    assert!(drawn(&with_strap(text, "buckle")) > drawn(&with_strap(text, "none")));
}

/// The order with that strap.
fn with_strap(text: &str, strap: &str) -> String {
    text.replace(
        "[waistcoat]\n",
        &format!("[waistcoat]\nstrap = \"{strap}\"\n"),
    )
}
