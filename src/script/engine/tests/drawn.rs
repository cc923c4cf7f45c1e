//! What scripts draw, and how both halves of a draft become one.

use super::{run, run_on};
use crate::draft::{Makes, Stretch};
use crate::order::{Amount, Figure};
use crate::units::Unit;

/// The right half is 1 cm longer, and its edges are drawn in another order.
#[test]
#[expect(
    clippy::too_many_lines,
    reason = "one draft is looked at from every side"
)]
fn two_halves_that_differ_are_one_draft() {
    let mut figure = Figure::default();
    let (left, right) = (0.0, 1.0);
    figure.add("sloping_shoulders", Amount { left, right });
    let both = run_on(
        figure,
        "let s = figure.sloping_shoulders; let a = board.point(0, 0, \"\"); let b = a.forward(20);\n\
         let c = b.down(30 + s); let d = a.down(30 + s); let p = board.piece(\"panel\").pairs(1);\n\
         if s > 0 { p.edge(\"top\", line(a, b), \"seam\"); }\n\
         p.edge(\"front\", line(b, c), \"seam\").edge(\"foot\", line(c, d), \"seam\");\n\
         p.edge(\"back\", line(d, a), \"seam\").grain(a, d);\n\
         if s == 0 { p.edge(\"top\", line(a, b), \"seam\"); }\n\
         let q = board.piece(\"facing\").pairs(1).edge(\"a\", curve([a.headed(0), b]), \"seam\");\n\
         q.edge(\"b\", line(b, a.down(30)), \"seam\").edge(\"c\", line(a.down(30), a), \"seam\").grain(a, a.down(30));\n\
         let t = board.piece(\"tab\").pairs(1).edge(\"a\", line(a, b), \"seam\");\n\
         t.edge(\"b\", line(b, a.down(9)), \"seam\").edge(\"c\", line(a.down(9), a), \"seam\").grain(a, a.down(9 + s));\n\
         p.matches(\"level\", a, q, a, \"both\"); board.sew(\"face\", q.run(\"b\"), q.run(\"b\"), 0, 1);\n\
         board.sew(\"turn\", q.run(\"a\"), q.run(\"c\"), 0, 20);\n\
         board.sew(\"centre\", p.run(\"back\"), p.run(\"back\"), 0, 2);\n\
         board.sew(\"ends\", p.run(\"top\"), p.run(\"foot\"), 0, 1);\n\
         board.need(\"tape\", \"linen\", 2, 30 + s); board.need(\"stay\", \"linen\", 2, 30 + s / 20);\n\
         board.need(\"tape\", \"silk\", 1, 30 + s); if s == 0 { board.need(\"loop\", \"silk\", 1, 4); }\n\
         board.bound(\"depth\", 30 + s, 10, 50); board.bound(\"width\", 20, 10, 40);\n\
         board.girth(\"chest\", 60 + 2 * s, 50, 60 + 2 * s); board.girth(\"hem\", 40, 0, 40);",
    )
    .expect("it drafts");
    let pieces: Vec<&str> = both.pieces.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(
        pieces,
        [
            "panel, right",
            "panel, left",
            "facing",
            "tab, right",
            "tab, left"
        ]
    );
    assert_eq!(both.differing(), ["panel", "tab"]);
    let met = both.matches.iter().map(|m| (m.piece.0, m.partner.0));
    assert_eq!(met.collect::<Vec<_>>(), [(0, 2), (1, 2)]);
    let seams: Vec<String> = both
        .seams
        .iter()
        .map(|seam| {
            let run = |of: &[Stretch]| {
                let piece = &both[of[0].piece];
                format!("{}: {}", piece.name, piece[of[0].edge].name)
            };
            format!("{}; {}; {}", seam.name, run(&seam.a), run(&seam.b))
        })
        .collect();
    assert_eq!(
        seams,
        [
            "face; facing: b; facing: b",
            "turn; facing: a; facing: c",
            "centre; panel, right: back; panel, left: back",
            "ends, right; panel, right: top; panel, right: foot",
            "ends, left; panel, left: top; panel, left: foot",
        ]
    );
    let needs: Vec<_> = both
        .needs
        .iter()
        .map(|n| (n.name.as_str(), n.of.as_str(), n.count, n.length))
        .collect();
    assert_eq!(
        needs,
        [
            ("tape, right", "linen", 1, Some(310.0)),
            ("tape, left", "linen", 1, Some(300.0)),
            ("stay", "linen", 2, Some(300.5)),
            ("tape", "silk", 1, Some(310.0)),
            ("loop", "silk", 1, Some(40.0)),
        ]
    );
    let bounds: Vec<_> = (both.bounds.iter())
        .map(|bound| (bound.name.as_str(), bound.found))
        .collect();
    let depths = [("depth", 310.0), ("width", 200.0), ("depth, left", 300.0)];
    assert_eq!(bounds, depths);
    let girths: Vec<_> = (both.girths.iter())
        .map(|girth| (girth.name.as_str(), girth.finished))
        .collect();
    assert_eq!(
        girths,
        [
            ("chest", 620.0),
            ("hem", 400.0),
            ("chest, twice the left half", 600.0),
        ]
    );
    // Every step of both halves is kept, under a number of its own.
    for (n, point) in both.points.iter().enumerate() {
        assert_eq!(point.number, n + 1);
    }
    for (n, curve) in both.curves.iter().enumerate() {
        assert_eq!(curve.number, n + 1);
    }
    let second = both.points.len() / 2 + 1;
    let third = both.instruction(Makes::Point(second + 3), Unit::Cm);
    assert_eq!(third, format!("from {second}, down 30"));
}

#[test]
fn a_point_remembers_its_step() {
    let draft = run("let a = board.point(0, 0, \"nape\").called(\"nape\");\n\
         let b = a.down(m.chest / 8 + 12, \"depth of scye\");\n\
         b.forward(house.ease.chest_classic / 2);")
    .expect("it drafts");
    assert_eq!(draft.points.len(), 3);
    assert_eq!(draft.points[0].name.as_deref(), Some("nape"));
    let instruction = |n| draft.instruction(Makes::Point(n), Unit::Cm);
    assert_eq!(instruction(2), "from 1, down 24.5 (depth of scye)");
    assert_eq!(draft.steps[1].source, "own/own.rhai:2");
    assert_eq!(instruction(3), "from 2, forward 5.5");
    assert_eq!(draft.points[2].at, kurbo::Point::new(55.0, 245.0));
}

#[test]
fn angles_come_from_what_a_cutter_measures() {
    let draft = run("let a = board.point(0, 0, \"\");\n\
         a.forward(opens(3, 3)); a.forward(opens(-1, 1)); a.forward(leans(2, 4)); a.forward(leans(0, 4));")
    .expect("it drafts");
    let along = |n: usize| (draft.points[n].at.x * 1e6).round() / 1e6;
    assert_eq!([1, 2, 3, 4].map(along), [450.0, -450.0, 300.0, 0.0]);
    for (script, said) in [
        ("opens(1, 0)", "a wedge that is 0 long has no angle"),
        ("leans(5, 4)", "a line of 4.00 cannot lean by 5.00"),
    ] {
        let fault = run(&format!("board.point({script}, 0, \"\");")).expect_err(script);
        assert!(fault.message.contains(said), "{fault}");
    }
}

#[test]
fn a_curve_leaves_its_start_and_arrives_at_its_end() {
    let draft = run(
        "let a = board.point(0, 0, \"\"); let b = a.forward(10).down(10);\n\
         let c = curve([a.headed(20), b.headed(75)]);\n\
         a.forward(c.leaves); a.forward(c.arrives); a.forward(c.reversed.leaves + 180);",
    )
    .expect("it drafts");
    let along = |n: usize| (draft.points[n].at.x * 1e3).round() / 1e3;
    assert_eq!([3, 4, 5].map(along), [200.0, 750.0, 750.0]);
}

#[test]
fn a_trial_that_is_kept_begins_where_it_lies() {
    let draft = run("let a = board.point(0, 0, \"\"); let kept = a;\n\
         board.solve(0, 5, 2, |x| { kept = a.down(x); x });\n\
         kept.forward(1); line(kept, a);")
    .expect("it drafts");
    let instruction = |n| draft.instruction(Makes::Point(n), Unit::Cm);
    let points: Vec<String> = (1..=draft.points.len()).map(instruction).collect();
    assert_eq!(
        points[..3],
        ["begin here", "begin 2 down", "from 2, forward 1"]
    );
    let line = draft.instruction(Makes::Curve(1), Unit::Cm);
    assert_eq!(line, format!("straight from {} to 1", points.len()));
}

#[test]
fn whole_numbers_divide_like_any_others() {
    let draft = run("board.point(10 / 4, 0, \"\");").expect("it drafts");
    assert_eq!(draft.points[0].at.x, 25.0);
}

#[test]
fn solving_finds_the_length_and_leaves_no_trials() {
    let draft = run("let a = board.point(0, 0, \"\");\n\
         let d = board.solve(0, 50, 13, |x| a.distance(a.down(5).forward(x)));\n\
         a.forward(d);")
    .expect("it drafts");
    assert_eq!(draft.points.len(), 2);
    assert!(
        (draft.points[1].at.x - 120.0).abs() < 1e-4,
        "5, 12 and 13 make a right angle"
    );
}
