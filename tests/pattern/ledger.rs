//! Every proof of the ledger, with a draft spoilt so that it alone must fail.

use crate::pattern::drafts::{self, crown, panels, piece};
use crate::pattern::order;
use chalkstripe::draft::{Draft, DraftPiece, EdgeId, Mark, MarkId, MarkKind, PieceId, SeamLine};
use chalkstripe::geometry::{Knot, length, spline};
use chalkstripe::pattern::{FailedRow, PatternFault, make, measure};
use kurbo::{Affine, BezPath, PathEl, Point, Vec2};

/// What is said against a draft, by the proof that says it.
fn failures(draft: Draft) -> Vec<(&'static str, String)> {
    let Err(faults) = make(&order(), &[draft]) else {
        return Vec::new();
    };
    faults
        .into_iter()
        .map(|fault| {
            let said = fault.to_string();
            let PatternFault::Unproven(row) = fault else {
                panic!("{said}")
            };
            let proof = match row {
                FailedRow::Seam(_) => "seam",
                FailedRow::Join(_) => "join",
                FailedRow::Notch(_) => "notch",
                FailedRow::Girth(_) => "girth",
                FailedRow::Outline(_) => "outline",
                FailedRow::Curve(_) => "curve",
                FailedRow::Corner(_) => "corner",
                FailedRow::Bound(_) => "bound",
            };
            (proof, said)
        })
        .collect()
}

fn proofs(draft: Draft) -> Vec<&'static str> {
    let mut proofs: Vec<&str> = failures(draft)
        .into_iter()
        .map(|(proof, _)| proof)
        .collect();
    proofs.dedup();
    proofs
}

#[test]
fn a_seam_that_does_not_fit_is_named_with_both_lengths_and_its_step() {
    let mut draft = panels();
    (draft.seams[0].least, draft.seams[0].most) = (3.0, 6.0);
    let found = failures(draft);
    assert_eq!(found.len(), 1);
    for words in [
        "skirt/skirt.rhai:12",
        "side seam",
        "60.",
        "leaves 0 of ease",
        "0.3 to 0.6",
    ] {
        assert!(found[0].1.contains(words), "{} lacks {words}", found[0].1);
    }
}

/// The panel's hem is turned by 3° about the side seam: the hems no longer run on.
#[test]
fn a_hem_that_breaks_at_the_seam_is_found() {
    let mut draft = panels();
    let lift = 235.0 * 3_f64.to_radians().tan();
    draft.pieces[0].edges[2].path = drafts::line((235.0, 600.0), (0.0, 600.0 - lift));
    draft.pieces[0].edges[3].path = drafts::line((0.0, 600.0 - lift), (0.0, 0.0));
    let found = failures(draft.clone());
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(
        found[0]
            .1
            .contains("hem through the side seam breaks by 3.0°"),
        "{found:?}"
    );
    // Within 4° it would pass.
    draft.joins[1].most_degrees = 4.0;
    assert!(failures(draft).is_empty());
}

/// The break at a joint does not depend on where the second piece was drawn, or which way round.
#[test]
fn joins_place_a_piece_wherever_it_was_drawn() {
    for turn in [0.0, 0.7, 2.0] {
        for over in [Affine::IDENTITY, Affine::FLIP_Y] {
            let mut draft = panels();
            let moved = Affine::rotate(turn) * over * Affine::translate((300.0, -90.0));
            for edge in &mut draft.pieces[1].edges {
                edge.path = moved * edge.path.clone();
            }
            assert!(failures(draft).is_empty(), "turned by {turn}");
        }
    }
}

/// The hem runs on past the fold into a flap, which the joint does not ask about.
#[test]
fn a_vent_hangs_closed_along_its_folds() {
    let broken_by = |slope: f64, flap: f64| {
        let mut draft = panels();
        let drop = 235.0 * slope.to_radians().tan();
        for (piece, side) in draft.pieces.iter_mut().zip([1.0, -1.0]) {
            let at = |x: f64, y: f64| Point::new(if side > 0.0 { x } else { 700.0 - x }, y);
            piece.marks.push(Mark {
                name: "fold of the vent".into(),
                kind: MarkKind::Fold,
                side: None,
                path: piece.edges[1].path.clone(),
            });
            piece.edges[2].path = BezPath::from_vec(vec![
                PathEl::MoveTo(at(275.0, 600.0 + flap)),
                PathEl::LineTo(at(235.0, 600.0)),
                PathEl::LineTo(at(0.0, 600.0 + drop)),
            ]);
        }
        let fold = SeamLine::Mark(MarkId(0));
        (draft.joins[1].a.seam, draft.joins[1].b.seam) = (fold, fold);
        measure(&order(), &[draft]).unwrap().ledger.joins[1].clone()
    };
    assert!(broken_by(0.0, 0.0).ok && broken_by(0.0, 5.0).ok);
    let tilted = broken_by(5.0, 0.0);
    assert!(
        !tilted.ok && (tilted.break_degrees - 10.0).abs() < 0.1,
        "{tilted:?}"
    );
}

#[test]
fn a_notch_two_millimetres_out_is_found_and_half_a_millimetre_is_not() {
    for (out, found) in [
        (0.5, vec![]),
        (-0.5, vec![]),
        (2.0, vec!["notch"]),
        (-2.0, vec!["notch"]),
    ] {
        let mut draft = panels();
        draft.pieces[1].notches[0].at += out;
        assert_eq!(proofs(draft), found, "{out}");
    }
}

/// Half way along a seam a notch fits as well from either end; the join tells which it is.
#[test]
fn one_notch_near_the_middle_is_not_excused_by_walking_the_other_way() {
    let mut draft = panels();
    let long = length(&draft.pieces[0].edges[1].path);
    draft.pieces[0].notches[0].at = 0.5 * long + 2.0;
    draft.pieces[1].notches[0].at = 0.5 * long - 2.0;
    assert_eq!(proofs(draft), ["notch"]);
}

/// One notch alone: where the second run is walked from the other end, the join at its end tells so.
#[test]
fn one_notch_is_met_from_whichever_end_its_run_is_walked() {
    let mut draft = panels();
    draft = crate::pattern::with_turned_round(draft, PieceId(1));
    assert!(failures(draft.clone()).is_empty());
    // Without a join the way that fits better is taken: 0.35 from one end is 0.65 from the other.
    draft.joins.clear();
    assert!(failures(draft.clone()).is_empty());
    draft.pieces[1].notches[0].at += 3.0;
    assert_eq!(proofs(draft), ["notch"]);
}

/// A notch at the very end of both runs bounds nothing, at the end of one it does.
#[test]
fn a_notch_at_the_end_of_its_run_makes_no_interval() {
    let rows = |out: f64| {
        let mut draft = panels();
        let long = length(&draft.pieces[0].edges[1].path);
        drafts::notch(&mut draft.pieces[0], "hem", "side", long);
        drafts::notch(&mut draft.pieces[1], "hem", "side", long - out);
        measure(&order(), &[draft]).unwrap().ledger.notches
    };
    assert_eq!(rows(0.0).len(), 2);
    let apart = rows(5.0);
    let missed = apart.iter().filter(|row| !row.ok).count();
    assert_eq!((apart.len(), missed), (3, 2), "{apart:?}");
}

#[test]
fn ease_may_lie_between_the_pitches_and_not_where_it_cannot_be_sewn() {
    // The run of either named from either end, as long as both are walks.
    let mut same = crown();
    same.seams[0].a[0].from = None;
    same.seams[0].a[0].to = None;
    assert!(failures(same).is_empty());
    // A pitch moved up the crown by 12 leaves 12 to be held below it, on 60: too much by 3. One moved
    // down by 3 asks the scye below it to be held against the sleeve.
    for out in [12.0, -3.0] {
        let mut draft = crown();
        draft.pieces[1].notches[0].at += out;
        let found = failures(draft);
        let is_three = |(proof, said): &(&str, String)| *proof == "notch" && said.contains("3 mm");
        assert!(!found.is_empty() && found.iter().all(is_three), "{found:?}");
    }
}

#[test]
fn runs_that_are_no_walks_are_said_to_be_none() {
    let mut draft = crown();
    draft.pieces[0].notches[0].name = "shoulder".into();
    let notches = &mut draft.pieces[1].notches;
    notches[0].name = "front pitch".into();
    notches[1].name = "shoulder".into();
    notches[1].at = 20.0;
    let found = failures(draft);
    assert!(
        found
            .iter()
            .any(|(_, said)| said.contains("are both runs walks")),
        "{found:?}"
    );
}

#[test]
fn girths_and_darts_are_held_to_their_limits() {
    let mut other_girth = panels();
    other_girth.girths[0].finished = 944.0;
    assert_eq!(proofs(other_girth.clone()), ["girth"]);
    other_girth.girths[0].finished = 931.0;
    assert_eq!(proofs(other_girth), ["girth"]);
    let mut draft = panels();
    draft.darts[0].legs.1 = 91.2;
    let found = failures(draft);
    assert!(
        found.len() == 1 && found[0].1.contains("waist dart"),
        "{found:?}"
    );
}

#[test]
fn a_gap_between_edges_and_a_crossing_are_found() {
    let mut gaping = panels();
    gaping.pieces[0].edges[3].path = drafts::line((0.05, 600.0), (0.0, 0.0));
    let gaps = failures(gaping);
    assert!(
        gaps.iter()
            .any(|(_, said)| said.contains("widest gap between edges, mm: 0.05")),
        "{gaps:?}"
    );
    let mut draft = panels();
    // The fold runs out across the side seam and back.
    draft.pieces[0].edges[3].path = BezPath::from_vec(vec![
        PathEl::MoveTo(Point::new(0.0, 600.0)),
        PathEl::LineTo(Point::new(300.0, 300.0)),
        PathEl::LineTo(Point::new(0.0, 0.0)),
    ]);
    let found = failures(draft);
    assert!(
        found
            .iter()
            .any(|(_, said)| said.contains("crossings of the seam line: 2.00")),
        "{found:?}"
    );
    assert!(
        found
            .iter()
            .any(|(proof, said)| *proof == "curve" && said.contains("90.0°")),
        "{found:?}"
    );
}

#[test]
fn kinks_and_wiggles_are_found() {
    let mut wiggling = panels();
    wiggling.pieces[0].edges[1].turns = 0;
    let wiggles = failures(wiggling);
    assert!(
        wiggles.len() == 1 && wiggles[0].1.contains("changes its bend once"),
        "{wiggles:?}"
    );

    let kinked = |degrees: f64| {
        let lean = Vec2::from_angle(degrees.to_radians());
        let mut draft = panels();
        let mut path = spline(&[
            Knot::toward(Point::ZERO, Vec2::new(1.0, 0.4)),
            Knot::toward(Point::new(100.0, 0.0), Vec2::new(1.0, -0.4)),
        ]);
        let end = Vec2::new(1.0, -0.4);
        let end = Vec2::new(
            end.x * lean.x - end.y * lean.y,
            end.x * lean.y + end.y * lean.x,
        );
        let rest = spline(&[
            Knot::toward(Point::new(100.0, 0.0), end),
            Knot::new(Point::new(200.0, -120.0)),
        ]);
        path.extend(rest.segments().map(|s| s.as_path_el()));
        draft.pieces.push(piece(
            "odd",
            vec![
                drafts::edge("upper", path, "seam"),
                drafts::edge(
                    "right",
                    drafts::line((200.0, -120.0), (200.0, 80.0)),
                    "seam",
                ),
                drafts::edge("lower", drafts::line((200.0, 80.0), (0.0, 80.0)), "seam"),
                drafts::edge("left", drafts::line((0.0, 80.0), (0.0, 0.0)), "seam"),
            ],
        ));
        failures(draft)
    };
    assert!(kinked(-0.5).is_empty(), "{:?}", kinked(-0.5));
    let found = kinked(-2.0);
    assert!(
        found.len() == 1
            && found[0].1.contains("the upper of the")
            && found[0].1.contains("breaks by"),
        "{found:?}"
    );
}

#[test]
fn a_length_beyond_its_bounds_is_named_with_both() {
    for (found, told) in [
        (399.0, "39.9 cm cannot be right: 40 to 90 is possible"),
        (901.0, "90.1 cm cannot be right: 40 to 90 is possible"),
    ] {
        let mut draft = panels();
        draft.bounds[0].found = found;
        let failed = failures(draft);
        assert!(
            failed.len() == 1
                && failed[0].0 == "bound"
                && failed[0]
                    .1
                    .starts_with("skirt/skirt.rhai:22: skirt: length of")
                && failed[0].1.contains(told),
            "{failed:?}"
        );
    }
    for found in [400.0, 900.0] {
        let mut draft = panels();
        draft.bounds[0].found = found;
        assert!(failures(draft).is_empty(), "{found}");
    }
}

/// The hem goes up a step on its way to the fold.
#[test]
fn a_corner_that_turns_inward_is_found_unless_it_is_meant() {
    let stepped = |meant: bool| {
        let mut draft = panels();
        let edges = &mut draft.pieces[0].edges;
        edges[2].path = drafts::line((235.0, 600.0), (100.0, 600.0));
        let mut step = drafts::edge("step", drafts::line((100.0, 600.0), (100.0, 560.0)), "seam");
        step.turns_in = meant;
        let hem = drafts::edge(
            "upper hem",
            drafts::line((100.0, 560.0), (0.0, 560.0)),
            "seam",
        );
        edges[3].path = drafts::line((0.0, 560.0), (0.0, 0.0));
        edges.splice(3..3, [step, hem]);
        failures(draft)
    };
    let found = stepped(false);
    assert!(
        found.len() == 1
            && found[0].0 == "corner"
            && found[0]
                .1
                .contains("front: between step and upper hem the outline turns inward by 90.0°"),
        "{found:?}"
    );
    assert!(stepped(true).is_empty(), "{:?}", stepped(true));
}

/// It turns inward whichever way round the piece is walked.
#[test]
fn a_corner_turns_inward_on_a_piece_that_was_turned_over() {
    for over in [Affine::IDENTITY, Affine::FLIP_X, Affine::rotate(1.0)] {
        let mut draft = panels();
        let edges = &mut draft.pieces[0].edges;
        edges[2].path = drafts::line((235.0, 600.0), (100.0, 450.0));
        let rest = drafts::line((100.0, 450.0), (0.0, 600.0));
        edges.insert(3, drafts::edge("hem behind", rest, "seam"));
        for edge in edges.iter_mut() {
            edge.path.apply_affine(over);
        }
        draft.joins.pop();
        let found = failures(draft);
        assert!(
            found.len() == 1 && found[0].0 == "corner" && found[0].1.contains("by 104.3°"),
            "{found:?}"
        );
    }
}

/// Everything that is wrong is said at once, in the ledger's order.
#[test]
fn every_failure_is_listed() {
    let mut draft = panels();
    draft.seams[0].least = 0.3;
    draft.joins[0].most_degrees = 1.0;
    draft.pieces[1].notches[0].at += 4.0;
    draft.girths[0].within = 1.0;
    draft.darts[0].legs.0 = 80.0;
    draft.pieces[1].edges[1].turns = 0;
    draft.bounds[0].most = 500.0;
    assert_eq!(
        proofs(draft),
        [
            "seam", "join", "notch", "girth", "outline", "curve", "bound"
        ]
    );
}

/// A grain is drawn the way the piece hangs, or round the body, and on the bias at 45 degrees to its edge.
#[test]
fn a_grain_that_runs_upwards_or_off_the_bias_is_found() {
    let with = |change: &dyn Fn(&mut DraftPiece)| {
        let mut draft = panels();
        change(&mut draft.pieces[0]);
        failures(draft)
    };
    let from = Point::new(100.0, 300.0);
    let runs = |piece: &mut DraftPiece, degrees: f64| {
        piece.grain = (from, from + 80.0 * Vec2::from_angle(degrees.to_radians()));
    };
    let upwards = with(&|piece| runs(piece, -90.0));
    assert_eq!(upwards.len(), 1, "{upwards:?}");
    assert!(upwards[0].1.contains("grain from down"), "{upwards:?}");
    // Worn the other way up it is right, and round the body a mouth may rise.
    let hung = with(&|piece| {
        runs(piece, -90.0);
        piece.down = Vec2::new(0.0, -1.0);
    });
    assert!(hung.is_empty(), "{hung:?}");
    assert!(with(&|piece| runs(piece, -20.0)).is_empty());
    assert_eq!(with(&|piece| runs(piece, -45.0)).len(), 1);

    // The waist is level.
    let on_bias = |degrees: f64| {
        with(&|piece| {
            runs(piece, degrees);
            piece.bias = Some(EdgeId(0));
        })
    };
    assert!(on_bias(45.0).is_empty() && on_bias(135.0).is_empty());
    let off = on_bias(54.3);
    assert_eq!(off.len(), 1, "{off:?}");
    assert!(off[0].1.contains("off the bias of the waist"), "{off:?}");
}
