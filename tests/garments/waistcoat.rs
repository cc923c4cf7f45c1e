//! The waistcoat under the jacket and over the trousers of the same suit, and against numbers that
//! nobody here made.

use chalkstripe::diagnostic::Source;
use chalkstripe::draft::Draft;
use chalkstripe::order::likely::expected;
use chalkstripe::order::{self, Order};
use chalkstripe::script::{self, Library};
use chalkstripe::{geometry, pattern};
use kurbo::{Point, Vec2};
use std::path::Path;

const INCH: f64 = 25.4;

/// An order for height, chest, waist, seat, neck in cm and the garments' sections.
fn order(figure: [f64; 5], garments: &str) -> Order {
    order_with(figure, "", garments)
}

/// The same, with lines of further measures.
fn order_with(figure: [f64; 5], measures: &str, garments: &str) -> Order {
    let [height, chest, waist, seat, neck] = figure;
    let text = format!(
        "[client]\nname = \"A Client\"\nreference = \"R-1\"\ndate = 2026-03-02\n\
         [measures]\nheight = {height}\nchest = {chest}\nwaist = {waist}\nseat = {seat}\nneck = {neck}\n{measures}\
         [cloth]\nname = \"grey worsted\"\nwidth = 150\n{garments}\n"
    );
    let source = Source::new("order.toml", text);
    let checked = order::parse("order", &source, Path::new("")).unwrap_or_else(|faults| {
        let faults: Vec<String> = faults.iter().map(|f| f.render(false)).collect();
        panic!("{}", faults.join("\n"))
    });
    checked.order
}

fn drafts(library: &Library, order: &Order) -> Vec<Draft> {
    let draft = |garment| script::draft(library, order, garment).unwrap_or_else(|f| panic!("{f}"));
    order.garments.iter().map(draft).collect()
}

/// Where a draft has the last point of that name.
fn point(draft: &Draft, name: &str) -> Point {
    let found = draft
        .points
        .iter()
        .rfind(|p| p.name.as_deref() == Some(name));
    found
        .unwrap_or_else(|| panic!("the {} has no point '{name}'", draft.garment))
        .at
}

/// Height, chest, waist, seat, neck in cm: slight, regular, athletic, stout, corpulent (invented).
const FIGURES: [[f64; 5]; 5] = [
    [170.0, 90.0, 75.0, 92.0, 36.5],
    [176.0, 100.0, 88.0, 103.0, 40.0],
    [186.0, 112.0, 90.0, 106.0, 42.0],
    [174.0, 116.0, 118.0, 117.0, 44.0],
    [178.0, 130.0, 136.0, 132.0, 47.0],
];

/// Every way the three garments of a suit meet: the V shows above the jacket's break, the sides cover
/// the seam of the trousers' waistband, and the whole suit is proven together.
#[test]
fn suits_of_three_hold_together() {
    let library = Library::embedded();
    let mut suits = 0;
    let mut failed = Vec::new();
    for (i, jacket) in [
        "one",
        "two",
        "three",
        "three_roll_two",
        "four_two",
        "six_two",
    ]
    .iter()
    .enumerate()
    {
        for (j, waistcoat) in ["five", "six", "double_six"].iter().enumerate() {
            for (k, rise) in ["low", "natural", "high"].iter().enumerate() {
                let opening = ["low", "classic", "high"][(i + j + k) % 3];
                let lapel = ["none", "notch", "shawl"][(i + k) % 3];
                let figure = FIGURES[(i + 2 * j + 3 * k) % 5];
                let text = format!(
                    "[jacket]\nfastening = \"{jacket}\"\n[waistcoat]\nfastening = \"{waistcoat}\"\nopening = \"{opening}\"\nlapel = \"{lapel}\"\n[trousers]\nrise = \"{rise}\""
                );
                let order = order(figure, &text);
                let drafts = drafts(&library, &order);
                suits += 1;
                let [jacket_draft, vest, trousers] = &drafts[..] else {
                    panic!("three garments")
                };
                let shown = point(jacket_draft, "break").y - point(vest, "foot of the V").y;
                if shown < 25.0 - 0.01 {
                    failed.push(format!(
                        "{text}: the V shows {shown:.1} mm above the jacket"
                    ));
                }
                let below = point(vest, "hem at the side").y - point(vest, "waist line").y;
                let seam = point(trousers, "waist").y;
                if below < seam + 10.0 - 0.01 {
                    failed.push(format!(
                        "{text}: the side ends {below:.1} below the waist, the waistband {seam:.1}"
                    ));
                }
                let scye = point(vest, "top of the side seam").y
                    - point(jacket_draft, "under-arm point").y;
                assert!(
                    (20.0..=30.0).contains(&scye),
                    "{text}: scye {scye:.1} lower"
                );
                if let Err(faults) = pattern::make(&order, &drafts) {
                    failed.push(format!("{figure:?} {text}: {faults:#?}"));
                }
            }
        }
    }
    println!("suits of three garments: {suits} proven");
    assert!(
        failed.is_empty(),
        "{} of {suits} failed: {}",
        failed.len(),
        failed.join("\n")
    );
}

/// Waistcoats alone on waists and seats over the whole range, chest as they predict it.
#[test]
fn waists_of_66_to_130_are_proven() {
    let library = Library::embedded();
    let styles = [
        "",
        "fastening = \"five\"\nlapel = \"shawl\"\nwelts = \"two\"\nopening = \"low\"",
        "fastening = \"double_six\"\nlapel = \"notch\"\nbottom = \"pointed\"",
    ];
    let (mut made, mut failed) = (0, Vec::new());
    for seat in (84..=136).step_by(4).map(f64::from) {
        for waist in (66..=130).step_by(4).map(f64::from) {
            if !(-10.0..=24.0).contains(&(seat - waist)) {
                continue;
            }
            let chest = 0.57 * waist + 0.34 * seat + 20.5;
            for style in styles {
                let height = [164.0, 176.0, 190.0][made % 3];
                let order = order(
                    [height, chest, waist, seat, 0.23 * chest + 16.0],
                    &format!("[waistcoat]\n{style}"),
                );
                made += 1;
                let proven = match script::draft(&library, &order, &order.garments[0]) {
                    Ok(draft) => pattern::make(&order, &[draft]).map_err(|f| format!("{f:#?}")),
                    Err(fault) => Err(fault.to_string()),
                };
                if let Err(fault) = proven {
                    failed.push(format!(
                        "[{height}, {chest}, {waist}, {seat}] {style:?}: {fault}"
                    ));
                }
            }
        }
    }
    println!("waistcoats: {made} drafts over waists and seats");
    assert!(
        failed.is_empty(),
        "{} of {made} failed; the first: {}",
        failed.len(),
        failed.join("\n")
    );
}

/// The draft of a waistcoat alone for inches of height, breast, waist, seat, neck.
fn in_inches(height: f64, breast: f64, waist: f64, seat: f64, neck: f64) -> (Order, Draft) {
    let order = order(
        [height, breast, waist, seat, neck].map(|inches| inches * 2.54),
        "[waistcoat]",
    );
    let draft = drafts(&Library::embedded(), &order).remove(0);
    (order, draft)
}

fn inches(mm: f64) -> f64 {
    mm / INCH
}

/// W. D. F. Vincent, Vincent's Systems of Cutting All Kinds of Tailor-Made Garments (London, about
/// 1903), Vests, the 36 breast (neck 15 3/4: The Cutters' Practical Guide, Part 13, page 54): depth of
/// scye 'usually equals one-sixth of breast plus 3 inches'; across chest B/4 - 1; front shoulder
/// B/4 + 3 1/2; over-shoulder B/3 + 5. His are measures of the body, to the front of the arm at the depth
/// of the scye; ours are read off the draft at that level. Men of a survey (ANSUR II, 2012) with this chest have the
/// scye deeper than his rule, which was made for slighter men; so have ours, whose backs are broader as well: both tell in the lengths below.
#[test]
fn proportions_of_the_36_breast() {
    let breast = 36.0;
    let (order, draft) = in_inches(68.0, breast, 32.0, 37.0, 15.75);
    let depth = order.measures.mm("scye_depth").unwrap();
    let nape = point(&draft, "nape");
    let (neck, back_neck) = (
        point(&draft, "front neck point"),
        point(&draft, "back neck point"),
    );
    let centre = point(&draft, "centre front");
    let fore = draft.pieces.iter().find(|p| p.name == "forepart").unwrap();
    let scye = &fore.edges.iter().find(|e| e.name == "scye").unwrap().path;
    let level = Point::new(0.0, nape.y + depth);
    let arm = geometry::line_crossings(scye, level, Vec2::new(1.0, 0.0))[0].point;
    let across = inches(centre.x - arm.x);
    let shoulder = inches(nape.distance(back_neck) + neck.distance(arm));
    let ends =
        ["back", "front"].map(|of| point(&draft, &format!("{of} shoulder of the waistcoat")));
    let over = inches(ends[0].distance(level) + ends[1].distance(arm));
    let known = [
        ("height", 68.0),
        ("chest", breast),
        ("waist", 32.0),
        ("seat", 37.0),
    ];
    let survey = expected(&known.map(|(name, inches)| (name, 2.54 * inches)).into());
    println!(
        "depth of scye: his {:.2}, the survey's {:.2}, ours {:.2}",
        breast / 6.0 + 3.0,
        survey["scye_depth"].cm / 2.54,
        inches(depth)
    );
    println!(
        "depth {:.2} across {across:.2} front shoulder {shoulder:.2} over-shoulder {over:.2}",
        inches(depth)
    );
    for (what, ours, his, least, most) in [
        (
            "depth of scye",
            inches(depth),
            breast / 6.0 + 3.0,
            -0.25,
            0.5,
        ),
        ("across chest", across, breast / 4.0 - 1.0, -0.6, 0.5),
        ("front shoulder", shoulder, breast / 4.0 + 3.5, 1.0, 1.7),
        ("over-shoulder", over, breast / 3.0 + 5.0, 2.5, 3.4),
    ] {
        let off = ours - his;
        assert!(
            (least..=most).contains(&off),
            "{what}: {ours:.2} in, his {his:.2}, off {off:+.2}"
        );
    }
}

/// Vincent, The Cutters' Practical Guide (London, 1898), Part 1, page 3, Scale of Proportionate
/// Measures, rows of 33 to 35: breast, waist, seat, depth of scye, natural waist, vest length, height.
/// The length runs from the nape round the neck to the point of the front. Page 10: the waist made up
/// to measure and 2.
#[test]
fn lengths_and_waists_of_the_scale_of_1898() {
    for [breast, waist, seat, depth, natural, long, height] in [
        [33.0, 29.0, 34.0, 8.5, 16.0, 23.0, 65.0],
        [34.0, 30.0, 35.0, 8.625, 16.5, 23.5, 67.0],
        [35.0, 31.0, 36.0, 8.875, 16.5, 24.0, 67.5],
    ] {
        let figure = [height, breast, waist, seat, 15.0].map(|inches| inches * 2.54);
        let order = order_with(
            figure,
            &format!(
                "scye_depth = {}\nnape_to_waist = {}\n",
                depth * 2.54,
                natural * 2.54
            ),
            "[waistcoat]",
        );
        let draft = drafts(&Library::embedded(), &order).remove(0);
        let round = inches(
            point(&draft, "nape").distance(point(&draft, "back neck point"))
                + point(&draft, "front neck point").distance(point(&draft, "point of the front")),
        );
        println!("breast {breast}: vest length {round:.2} in, his {long}");
        assert!(
            (round - long).abs() <= 0.75,
            "breast {breast}: {round:.2} in, his {long}"
        );
        let pattern = pattern::make(&order, &[draft]).unwrap();
        let made = |girth: &&pattern::GirthRow| girth.girth == "waistcoat: waist";
        let made = pattern.ledger.girths.iter().find(made).unwrap();
        let over = inches(made.finished_mm) - waist;
        assert!(
            (over - 2.0).abs() <= 0.25,
            "breast {breast}: waist {over:+.2} in over the body"
        );
    }
}

/// The front ends 7 to 9 cm below the natural waist (common practice, no source) whatever the rise, on
/// figures without a stomach.
#[test]
fn points_end_seven_to_nine_below_the_waist() {
    for rise in ["low", "natural", "high"] {
        for figure in &FIGURES[..3] {
            let order = order(
                *figure,
                &format!("[waistcoat]\n[trousers]\nrise = \"{rise}\""),
            );
            let vest = &drafts(&Library::embedded(), &order)[0];
            let below = point(vest, "point of the front").y - point(vest, "waist line").y;
            assert!(
                (70.0..=90.0).contains(&below),
                "{rise} {figure:?}: {below:.1}"
            );
        }
    }
}

/// The length to the last button from the V is divided evenly, and no button stands off the edge.
#[test]
fn buttons_stand_evenly_behind_the_edge() {
    for (fastening, number) in [("five", 5), ("six", 6)] {
        let order = order(
            FIGURES[1],
            &format!("[waistcoat]\nfastening = \"{fastening}\""),
        );
        let vest = &drafts(&Library::embedded(), &order)[0];
        let fore = vest.pieces.iter().find(|p| p.name == "forepart").unwrap();
        let edge = &fore
            .edges
            .iter()
            .find(|e| e.name == "front edge")
            .unwrap()
            .path;
        let buttons: Vec<Point> = fore
            .marks
            .iter()
            .filter(|m| m.name == "button")
            .map(|m| geometry::start(&m.path).unwrap())
            .collect();
        assert_eq!(buttons.len(), number);
        let apart: Vec<f64> = buttons.windows(2).map(|w| w[1].y - w[0].y).collect();
        assert!(
            apart
                .iter()
                .all(|a| (a - apart[0]).abs() < 0.01 && *a > 30.0),
            "{apart:?}"
        );
        for button in buttons {
            let off = (geometry::nearest(edge, button).point - button).hypot();
            assert!((14.0..=16.0).contains(&off), "{off:.1} behind the edge");
        }
    }
}

/// Common practice of the trade, no source: a backless waistcoat ends in a strap of 4 to 8 cm at the shoulder, its
/// scye runs down to 6 to 8 above the waist, and it is held round the waist by a strap with a buckle.
#[test]
fn a_backless_waistcoat_is_held_by_two_straps() {
    let library = Library::embedded();
    let dress = "opening = \"dress\"\nback = \"backless\"\n";
    for figure in FIGURES {
        for lapel in ["", "lapel = \"shawl\"\nlapel_width = 4.5\n"] {
            let order = order(figure, &format!("[waistcoat]\n{dress}{lapel}"));
            let drafts = drafts(&library, &order);
            let pattern = pattern::make(&order, &drafts);
            let pattern = pattern.unwrap_or_else(|faults| panic!("{figure:?}: {faults:#?}"));
            let draft = &drafts[0];
            let has = |name: &str| pattern.pieces.iter().any(|piece| piece.name == name);
            assert!(has("neck strap") && has("waist strap") && has("buckle strap"));
            assert!(!has("back") && !has("back lining"));
            let needs: Vec<&str> = draft.needs.iter().map(|need| need.of.as_str()).collect();
            assert!(needs.contains(&"buckle, 40 mm"), "{needs:?}");
            let wide = point(draft, "end of the neck strap") - point(draft, "front neck point");
            assert!((39.0..82.0).contains(&wide.hypot()), "{figure:?}: {wide:?}");
            let side = point(draft, "top of the side seam");
            let above = (point(draft, "waist line").y - side.y) / 10.0;
            assert!((6.0..8.0).contains(&above), "{figure:?}: {above}");
        }
    }
    for (style, said) in [
        ("strap = \"none\"\n", "leave strap out"),
        ("welts = \"four\"\n", "write welts = \"two\""),
        (
            "lapel = \"shawl\"\nlapel_width = 8\n",
            "hides the strap of a backless waistcoat: write lapel_width = ",
        ),
    ] {
        let order = order(FIGURES[0], &format!("[waistcoat]\n{dress}{style}"));
        let fault = script::draft(&library, &order, &order.garments[0]).expect_err(style);
        assert!(fault.refused && fault.message.contains(said), "{fault}");
    }
}

/// Moulds stand in the place of the buttons, and one piece of the material is large enough for all covers of a size.
#[test]
fn covered_buttons_ask_for_moulds_and_for_what_covers_them() {
    let library = Library::embedded();
    let text = "[jacket]\nfastening = \"one\"\ncovered_buttons = \"silk\"\n[waistcoat]\ncovered_buttons = \"self\"\n";
    let order = order(FIGURES[1], text);
    let drafts = drafts(&library, &order);
    let pattern = pattern::make(&order, &drafts).unwrap_or_else(|faults| panic!("{faults:#?}"));
    for (name, material, number, button) in [
        ("covers of the front buttons", "silk", 2.0, 20.0),
        ("covers of the cuff buttons", "silk", 9.0, 15.0),
        ("covers of the buttons", "cloth", 7.0, 15.0),
    ] {
        let piece = pattern.pieces.iter().find(|piece| piece.name == name);
        let piece = piece.unwrap_or_else(|| panic!("no {name}"));
        assert_eq!(piece.material.id, material, "{name}");
        let side: f64 = 2.0 * button + 6.0;
        let area = kurbo::Shape::area(&piece.seam).abs();
        assert!(area > number * side * side - 1.0, "{name}: {area}");
        assert!(area < (number + 4.0) * side * side, "{name}: {area}");
    }
    let needs = drafts.iter().flat_map(|draft| &draft.needs);
    let moulds = needs.filter(|need| need.of.starts_with("mould for a covered button"));
    assert_eq!(moulds.count(), 3);
}
