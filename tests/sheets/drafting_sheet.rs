//! The drafting sheet: its instructions suffice to chalk the draft by hand, its numbers can be read.

use crate::program::{self, told};
use crate::skipped::skipped_but_on_ci;
use chalkstripe::diagnostic::Source;
use chalkstripe::draft::{Construction, Draft, Makes, construction};
use chalkstripe::order::{self, Order};
use chalkstripe::sheets::drafting_sheet::{self, drafting_sheet};
use chalkstripe::units::Unit;
use chalkstripe::workshop::Workshop;
use chalkstripe::{geometry, job};
use kurbo::{Affine, Point, Rect, Vec2};
use std::path::Path;
use std::process::{Command, Output};

const EXAMPLES: [&str; 3] = [
    include_str!("../../examples/plain-worsted.toml"),
    include_str!("../../examples/check-side-vents.toml"),
    include_str!("../../examples/corpulent-inches.toml"),
];

fn order(text: &str) -> Order {
    let source = Source::new("order.toml", text);
    order::parse("order", &source, Path::new("")).unwrap().order
}

fn drafts(order: &Order) -> Vec<Draft> {
    job::draft(Workshop::embedded(), order).unwrap().drafts
}

/// How far one step may lead from its place, in mm. Lengths in cm are rounded to 0.1 mm and those in inches to a
/// sixteenth, directions to 0.01°.
fn within(unit: Unit) -> f64 {
    match unit {
        Unit::Cm => 0.2,
        Unit::Inch => 1.0,
    }
}

/// The direction of a word.
fn toward(way: &str) -> Vec2 {
    match way {
        "down" => Vec2::new(0.0, 1.0),
        "up" => Vec2::new(0.0, -1.0),
        "forward" => Vec2::new(1.0, 0.0),
        "back" => Vec2::new(-1.0, 0.0),
        other => panic!("no such way: {other}"),
    }
}

/// Where an instruction leads, read from its words alone; `None` for one that is not arithmetic.
fn followed(words: &str, unit: Unit, at: &dyn Fn(usize) -> Point) -> Option<Point> {
    let words = words.split(" (").next().unwrap();
    let number = |text: &str| text.trim().parse::<f64>().unwrap();
    let point = |text: &str| at(text.trim().parse().unwrap());
    let length = |text: &str| order::length::parse(text.trim(), unit).unwrap();
    let direction = |a: Point, b: Point| (b - a).normalize();
    let shift = |text: &str| -> Vec2 {
        let parts = text.split(" and ").map(|part| {
            let (d, way) = part.rsplit_once(' ').unwrap();
            toward(way) * length(d)
        });
        parts.fold(Vec2::ZERO, |sum, part| sum + part)
    };
    if words == "begin here" {
        return Some(Point::ZERO);
    }
    if let Some(rest) = words.strip_prefix("begin ") {
        return Some(Point::ZERO + shift(rest));
    }
    if let Some(same) = words.strip_prefix("same place as ") {
        return Some(point(same));
    }
    if let Some(rest) = words.strip_prefix("from ")
        && let Some((points, d)) = rest.split_once(", ")
    {
        if let Some((a, b)) = points.split_once(" toward ") {
            return Some(point(a) + direction(point(a), point(b)) * length(d));
        }
        if let Some((a, b)) = points.split_once(" away from ") {
            return Some(point(a) - direction(point(a), point(b)) * length(d));
        }
        if let Some((d, degrees)) = d.split_once(" at ") {
            let way = Vec2::from_angle(number(degrees.strip_suffix('°')?).to_radians());
            return Some(point(points) + way * length(d));
        }
        let (way, d) = d.split_once(' ')?;
        return Some(point(points) + toward(way) * length(d));
    }
    if let Some(rest) = words.strip_prefix("at ") {
        let (a, rest) = rest.split_once(", square to ")?;
        let (line, rest) = rest.split_once(" to the ")?;
        let (side, d) = rest.split_once(", ")?;
        let (from, to) = line.split_once('–')?;
        assert_eq!(a, from);
        let way = direction(point(from), point(to));
        let right = Vec2::new(-way.y, way.x) * length(d);
        return Some(point(a) + if side == "right" { right } else { -right });
    }
    if let Some(rest) = words.strip_prefix("between ") {
        let (points, part) = rest.split_once(", ")?;
        let (a, b) = points.split_once(" and ")?;
        let part = number(part.strip_suffix(" of the way")?);
        return Some(point(a).lerp(point(b), part));
    }
    if let Some(rest) = words.strip_prefix("plumb from ") {
        let (a, b) = rest.split_once(", on the level of ")?;
        return Some(Point::new(point(a).x, point(b).y));
    }
    if words.starts_with(|c: char| c.is_ascii_digit()) {
        if let Some((p, line)) = words.split_once(" mirrored about ") {
            let (a, b) = line.split_once('–')?;
            let over = Affine::reflect(point(a), point(b) - point(a));
            return Some(over * point(p));
        }
        let (p, rest) = words.split_once(" turned about ")?;
        let (about, degrees) = rest.split_once(" by ")?;
        let degrees = number(degrees.strip_suffix('°')?);
        return Some(Affine::rotate_about(degrees.to_radians(), point(about)) * point(p));
    }
    None
}

/// How many points the words of a construction give, and how far the worst lands from its place:
/// each from the true places of the points it is made from, and all from nothing but words.
fn worst(construction: &Construction, unit: Unit) -> (usize, f64, f64) {
    let draft = &construction.draft;
    let place = |n: usize| draft.points[n - 1].at;
    let mut by_hand: Vec<Point> = Vec::new();
    let (mut read, mut single, mut chained) = (0, 0.0_f64, 0.0_f64);
    for point in &draft.points {
        let words = draft.instruction(Makes::Point(point.number), unit);
        let own = followed(&words, unit, &|n| {
            assert!(
                n < point.number,
                "{}: {words} leans on what comes later",
                point.number
            );
            by_hand[n - 1]
        });
        if let Some(found) = followed(&words, unit, &place) {
            read += 1;
            single = single.max(found.distance(point.at));
            chained = chained.max(own.unwrap().distance(point.at));
            assert!(
                found.distance(point.at) < within(unit),
                "{}: {words} leads to {found:?}, not {:?}",
                point.number,
                point.at
            );
        }
        by_hand.push(own.unwrap_or(point.at));
    }
    (read, single, chained)
}

#[test]
fn the_instructions_lead_where_the_draft_is() {
    for text in EXAMPLES {
        for draft in drafts(&order(text)) {
            let construction = construction(&draft);
            let (read, single, chained) = worst(&construction, Unit::Cm);
            let all = construction.draft.points.len();
            println!(
                "{}: {read} of {all} points by arithmetic, within {:.3} cm each, {:.3} cm one from another",
                draft.garment,
                single / 10.0,
                chained / 10.0
            );
            assert!(read * 4 > all * 3, "{read} of {all} points are arithmetic");
            assert!(
                chained < 0.5,
                "{chained} mm off when chalked from words alone"
            );
        }
    }
}

/// A cutter who follows the printed inches comes to every point as near as a chalk line is thick. The sixteenths
/// of many steps one from another add up to a little more.
#[test]
fn the_printed_inches_lead_where_the_draft_is() {
    let order = order(EXAMPLES[2]);
    assert_eq!(order.unit, Unit::Inch);
    for draft in drafts(&order) {
        let construction = construction(&draft);
        let (read, single, chained) = worst(&construction, order.unit);
        println!(
            "{}: {read} points, within {single:.2} mm each, {chained:.2} mm one from another",
            draft.garment
        );
        assert!(read * 4 > construction.draft.points.len() * 3);
        assert!(
            single < 1.5 && chained < 2.5,
            "{single} mm off each, {chained} mm off when chalked from words alone"
        );
    }
}

/// A point said to be on a named curve is on it, that far from its start; a curve passes through
/// the points it is said to, in order.
#[test]
fn curves_pass_where_the_instructions_say() {
    for drafted in drafts(&order(EXAMPLES[0])) {
        let construction = construction(&drafted);
        let draft = &construction.draft;
        let mut through = 0;
        for curve in &draft.curves {
            let words = draft.instruction(Makes::Curve(curve.number), Unit::Cm);
            let Some(points) = words.strip_prefix("a curve through ") else {
                continue;
            };
            let mut last = -1.0;
            for knot in points.split(", ") {
                let number: usize = knot.split(' ').next().unwrap().parse().unwrap();
                let found = geometry::nearest(&curve.path, draft.points[number - 1].at);
                assert!(found.distance < 0.01, "{words}: {number} is off the curve");
                assert!(found.at > last, "{words}: {number} comes too late");
                last = found.at;
            }
            through += 1;
        }
        assert!(through > 10, "{through} curves");
        for point in &draft.points {
            let words = draft.instruction(Makes::Point(point.number), Unit::Cm);
            let Some((name, rest)) = words
                .strip_prefix("on the ")
                .and_then(|rest| rest.rsplit_once(", "))
            else {
                continue;
            };
            let named = |c: &&chalkstripe::draft::BoardCurve| c.name.as_deref() == Some(name);
            let (Some(curve), Some(d)) = (
                draft.curves.iter().find(named),
                rest.strip_suffix(" from its start"),
            ) else {
                continue;
            };
            let on = geometry::point_at(&curve.path, 10.0 * d.parse::<f64>().unwrap());
            assert!(on.distance(point.at) < within(Unit::Cm), "{words}");
        }
    }
}

/// Everything a piece is drawn by is in the list, and nothing stands there twice.
#[test]
fn the_construction_holds_what_is_needed_once() {
    for draft in drafts(&order(EXAMPLES[1])) {
        let construction = construction(&draft);
        assert_eq!(construction.sections.len(), draft.pieces.len());
        let kept = &construction.draft;
        assert!(kept.points.len() < draft.points.len());
        for (i, point) in kept.points.iter().enumerate() {
            assert_eq!(point.number, i + 1);
            let twin = kept.points[..i]
                .iter()
                .find(|p| p.at.distance(point.at) < 1e-4);
            assert!(twin.is_none(), "{} lies on {twin:?}", point.number);
        }
        for piece in &draft.as_drawn().pieces {
            for edge in &piece.edges {
                let known = kept.curves.iter().any(|curve| {
                    let middle = geometry::point_at(&edge.path, geometry::length(&edge.path) / 2.0);
                    geometry::nearest(&curve.path, middle).distance < 0.05
                });
                assert!(known, "{}: {} is drawn by nothing", piece.name, edge.name);
            }
        }
    }
}

/// The room a line of words takes, without its tails.
fn room(text: &chalkstripe::sheets::drawing::Text) -> Rect {
    let width = text.length();
    let left = text.at.x + text.offset(width);
    Rect::new(left, text.at.y - text.height, left + width, text.at.y)
}

#[test]
fn every_number_can_be_read() {
    for example in EXAMPLES {
        let order = order(example);
        for draft in drafts(&order) {
            let mut numbers = 0;
            for page in drafting_sheet(&draft, None, &order) {
                let rooms: Vec<(Rect, &str)> = drafting_sheet::numbers(&page)
                    .map(|text| (room(text), text.words.as_str()))
                    .collect();
                numbers += rooms.len();
                for (i, (a, first)) in rooms.iter().enumerate() {
                    assert!(a.height() > 1.5, "{first} is too small to print");
                    let sheet = Rect::new(5.0, 5.0, page.width - 5.0, page.height - 5.0);
                    assert!(sheet.contains_rect(*a), "{first} runs off the page");
                    for (b, second) in &rooms[i + 1..] {
                        let both = a.intersect(*b);
                        let over = both.width().max(0.0) * both.height().max(0.0);
                        assert!(
                            over < 0.15 * a.area().min(b.area()),
                            "{}: {first} and {second} lie on each other",
                            page.title
                        );
                    }
                }
            }
            assert!(numbers > 60, "{numbers} numbers");
        }
    }
}

fn run(arguments: &[&str], folder: &Path) -> Output {
    program::run(&[&["draft"], arguments].concat(), folder)
}

/// Poppler finds the instructions in the PDF, usvg the size of the SVG, and both are the same again.
#[test]
fn the_sheet_is_written_and_read_back() {
    let folder = tempfile::tempdir().unwrap();
    let hostile = EXAMPLES[0].replace("Edmund Farrow", "Ødön <b>&amp; \\\"Żółć\\\"</b> 🧵");
    std::fs::write(folder.path().join("order.toml"), hostile).unwrap();
    for out in ["once", "again"] {
        let output = run(&["order.toml", "--out", out], folder.path());
        assert!(output.status.success(), "{}", told(&output));
        // The one letter that the sheets lack is told, and nothing else.
        let told = told(&output);
        let begins =
            "order.toml, line 4 (warning): the sheets cannot print `🧵`: ◊ is printed instead";
        assert!(told.starts_with(begins), "{told}");
        assert_eq!(told.matches("(warning)").count(), 1, "{told}");
    }
    let file = |out: &str, name: &str| {
        std::fs::read(folder.path().join(out).join("order").join(name)).unwrap()
    };
    for name in ["drafting-sheet.pdf", "drafting-sheet.svg"] {
        assert!(file("once", name) == file("again", name), "{name} differs");
    }
    let options = resvg::usvg::Options {
        dpi: 25.4,
        ..Default::default()
    };
    let tree = resvg::usvg::Tree::from_data(&file("once", "drafting-sheet.svg"), &options).unwrap();
    let (width, height) = (tree.size().width(), tree.size().height());
    assert!(
        width % 297.0 < 0.01 && height % 420.0 < 0.01,
        "{width} by {height}"
    );
    let pdf = folder.path().join("once/order/drafting-sheet.pdf");
    let Ok(text) = Command::new("pdftotext")
        .args(["-layout"])
        .arg(&pdf)
        .arg("-")
        .output()
    else {
        skipped_but_on_ci("pdftotext is not installed");
        return;
    };
    let text = String::from_utf8_lossy(&text.stdout).into_owned();
    for words in [
        "2: from 1, down 25.5 (depth of scye and 1 cm) · chest line",
        "Scale 1:2.5",
        "Ødön <b>&amp; \"Żółć\"</b>",
        "20 cm of the draft",
    ] {
        assert!(text.contains(words), "no {words:?} in\n{text}");
    }
}

#[test]
fn one_garment_alone_and_none_that_is_not_ordered() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("order.toml"), EXAMPLES[0]).unwrap();
    let output = run(&["order.toml", "--garment", "trowsers"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    for part in ["no trowsers", "Perhaps: trousers", "jacket"] {
        assert!(told(&output).contains(part), "{}", told(&output));
    }
    assert!(!folder.path().join("out").exists());
    let drawn = run(&["order.toml", "--garment", "trousers"], folder.path());
    assert!(drawn.status.success(), "{}", told(&drawn));
    assert!(folder.path().join("out/order/drafting-sheet.pdf").exists());
}

/// A draft against another shows both.
#[test]
fn another_draft_is_drawn_under_it() {
    let first = order(EXAMPLES[0]);
    let second = order(&EXAMPLES[0].replace("chest = 100", "chest = 104"));
    let (a, b) = (drafts(&first), drafts(&second));
    let alone = drafting_sheet(&a[0], None, &first);
    let both = drafting_sheet(&a[0], Some(&b[0]), &first);
    assert_eq!(alone.len(), both.len());
    let edges: usize = ["back", "side body", "forepart"]
        .iter()
        .flat_map(|name| b[0].pieces.iter().find(|piece| piece.name == *name))
        .map(|piece| piece.edges.len())
        .sum();
    assert_eq!(both[0].items.len(), alone[0].items.len() + edges);
}
