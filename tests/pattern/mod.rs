//! The pattern stage from outside: cut lines, notches, and a ledger that can say no.

mod drafts;
mod house;
mod ledger;

use chalkstripe::draft::{Draft, DraftPiece, EdgeId, PieceId, SeamLine};
use chalkstripe::geometry::{
    area, area_outside, flattened, is_one_region, line_crossings, reversed,
};
use chalkstripe::order::Order;
use chalkstripe::pattern::{PatternFault, make, measure};
use drafts::{crown, edge, line, panels, piece};
use kurbo::{Affine, Point, Shape, Vec2};
use proptest::prelude::*;
use std::path::Path;

/// The order of an example: for its house.
pub(crate) fn order() -> Order {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/plain-worsted.toml");
    chalkstripe::order::read(&path).expect("a good order").order
}

/// The same piece with its edges walked the other way round.
pub(crate) fn turned_round(piece: &DraftPiece) -> DraftPiece {
    let mut back = piece.clone();
    back.edges.reverse();
    for edge in &mut back.edges {
        edge.path = reversed(&edge.path);
    }
    for notch in &mut back.notches {
        notch.edge = turned_edge(piece, notch.edge);
        notch.at = chalkstripe::geometry::length(&back.edges[notch.edge.0].path) - notch.at;
    }
    back
}

/// Where an edge of a piece stands once the edges are walked the other way round.
fn turned_edge(piece: &DraftPiece, edge: EdgeId) -> EdgeId {
    EdgeId(piece.edges.len() - 1 - edge.0)
}

/// A draft with one of its pieces walked the other way round.
pub(crate) fn with_turned_round(mut draft: Draft, piece: PieceId) -> Draft {
    let turned = |edge: &mut EdgeId| *edge = turned_edge(&draft.pieces[piece.0], *edge);
    for seam in &mut draft.seams {
        let stretches = seam.a.iter_mut().chain(&mut seam.b);
        let own = stretches.filter(|stretch| stretch.piece == piece);
        own.for_each(|stretch| turned(&mut stretch.edge));
    }
    for join in &mut draft.joins {
        for own in [&mut join.a, &mut join.b] {
            if own.piece == piece {
                turned(&mut own.edge);
                if let SeamLine::Edge(edge) = &mut own.seam {
                    turned(edge);
                }
            }
        }
    }
    draft.pieces[piece.0] = turned_round(&draft.pieces[piece.0]);
    draft
}

#[test]
fn drafts_that_fit_are_proven() {
    let pattern = make(&order(), &[panels(), crown()]).unwrap();
    assert_eq!(pattern.pieces.len(), 4);
    let ledger = &pattern.ledger;
    assert_eq!(
        (ledger.seams.len(), ledger.joins.len(), ledger.girths.len()),
        (2, 2, 1)
    );
    // Start, hip, end; start, two pitches, end.
    assert_eq!(ledger.notches.len(), 2 + 3);
    assert!((ledger.seams[1].ease_mm - 30.0).abs() < 0.01);
    assert!(ledger.failed().is_empty() && !ledger.curves.is_empty());
}

#[test]
fn the_hem_is_as_deep_as_the_house_says_and_lies_on_what_is_above_it() {
    let pattern = make(&order(), &[panels()]).unwrap();
    let front = &pattern.pieces[0];
    assert!((front.bounds().y1 - 645.0).abs() < 1e-6);
    // The fold of the panel is cut net, the waist and the side are not.
    let top = line_crossings(&front.cut, Point::new(90.0, 300.0), Vec2::new(0.0, -1.0));
    assert!(top.iter().any(|c| (c.point.y + 10.0).abs() < 1e-6));
    assert!(front.bounds().x0.abs() < 1e-6);
    let fold = Affine::reflect((0.0, 600.0), (1.0, 0.0));
    for depth in [2.0, 15.0, 30.0, 44.0] {
        let edge = |y: f64| {
            let found = line_crossings(&front.cut, Point::new(50.0, y), Vec2::new(1.0, 0.0));
            found.into_iter().find(|c| c.b > 0.0).unwrap().point
        };
        assert!((fold * edge(600.0 + depth)).distance(edge(600.0 - depth)) < 1e-3);
    }
}

#[test]
fn a_notch_lies_straight_across_its_seam() {
    let pattern = make(&order(), &[panels()]).unwrap();
    for (piece, width) in pattern.pieces.iter().zip([25.0, 10.0]) {
        let notch = &piece.notches[0];
        assert!((notch.seam.distance(notch.cut) - width).abs() < 0.01);
        assert!((notch.cut + notch.inward * width).distance(notch.seam) < 0.01);
        assert!(piece.cut.contains(notch.cut + notch.inward));
        assert!(!piece.cut.contains(notch.cut - notch.inward));
    }
}

#[test]
fn it_does_not_matter_which_way_the_edges_run() {
    let draft = panels();
    let back = with_turned_round(draft.clone(), PieceId(0));
    let back = with_turned_round(back, PieceId(1));
    let (one, two) = (
        make(&order(), &[draft]).unwrap(),
        make(&order(), &[back]).unwrap(),
    );
    for (a, b) in one.pieces.iter().zip(&two.pieces) {
        let (a_cut, b_cut) = (flattened(&a.cut, 0.005), flattened(&b.cut, 0.005));
        assert!(area_outside(&a_cut, &b_cut) + area_outside(&b_cut, &a_cut) < 3.0);
        assert!(a.notches[0].cut.distance(b.notches[0].cut) < 0.01);
    }
    assert!((one.ledger.joins[0].break_degrees - two.ledger.joins[0].break_degrees).abs() < 1e-6);
}

#[test]
fn what_the_house_lacks_is_said_for_every_edge() {
    let mut draft = panels();
    draft.pieces[0].edges[0].allowance = "jacket_hen".into();
    draft.pieces[1].edges[1].allowance = "nothing_like_it".into();
    let faults = measure(&order(), &[draft]).unwrap_err();
    let said: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert_eq!(said.len(), 2, "{said:?}");
    assert!(
        said[0].contains("waist of the skirt's front") && said[0].contains("'jacket_hem'"),
        "{said:?}"
    );
    assert!(
        said[1].contains("side of the skirt's back") && said[1].contains("house file"),
        "{said:?}"
    );
}

#[test]
fn a_draft_that_cannot_be_measured_is_refused() {
    type Spoil = fn(&mut Draft);
    let cases: [(Spoil, &str); 3] = [
        // The fold does not run to the side seam.
        (
            |d| d.joins[0].a.edge = EdgeId(3),
            "skirt/skirt.rhai:12: the join 'waist through the side seam': the fold and the side of the front do not meet",
        ),
        (
            |d| {
                d.pieces[0].edges.clear();
                d.pieces[0].notches.clear();
            },
            "the skirt's front has no edges",
        ),
        (|d| d.pieces[0].edges[0].path.truncate(1), "no length"),
    ];
    for (spoil, words) in cases {
        let mut draft = panels();
        spoil(&mut draft);
        let faults = measure(&order(), &[draft]).unwrap_err();
        assert!(
            faults
                .iter()
                .all(|f| matches!(f, PatternFault::Draft { .. })),
            "{faults:?}"
        );
        assert!(
            faults[0].to_string().contains(words),
            "{} lacks {words}",
            faults[0]
        );
    }
}

/// Every piece of every garment of every example, checked by a boolean that shares no code with the
/// offsets: one region, which holds the whole seam line.
#[test]
fn the_cut_lines_of_the_examples_hold_their_seam_lines() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut seen = 0;
    for file in std::fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "toml") {
            continue;
        }
        let order = chalkstripe::order::read(&path).unwrap().order;
        let library = chalkstripe::script::Library::embedded();
        for garment in &order.garments {
            let draft = chalkstripe::script::draft(&library, &order, garment).unwrap();
            // The outlines alone: whether the garment's seams fit is its block's own test.
            let without_seams = Draft {
                seams: vec![],
                joins: vec![],
                ..draft
            };
            let pattern = measure(&order, &[without_seams]).unwrap();
            for piece in &pattern.pieces {
                let name = format!("{}: {} {}", path.display(), piece.garment, piece.name);
                let (seam, cut) = (flattened(&piece.seam, 0.005), flattened(&piece.cut, 0.005));
                assert!(is_one_region(&piece.cut), "{name}");
                assert!(area_outside(&seam, &cut) < 5.0, "{name}");
                assert!(piece.area() > area(&seam).abs() - 1.0, "{name}");
                // Curves were kept: a rebuilt outline is all lines.
                let lines = piece.cut.segments().count() == flattened(&piece.cut, 0.005).len();
                let straight = piece
                    .seam
                    .segments()
                    .all(|s| matches!(s, kurbo::PathSeg::Line(_)));
                assert!(straight || !lines, "{name} was rebuilt");
                seen += 1;
            }
            let outlines = pattern.ledger.outlines.iter().filter(|row| !row.ok);
            let failed: Vec<_> = outlines.collect();
            assert!(failed.is_empty(), "{}: {failed:?}", path.display());
        }
    }
    assert!(seen > 10, "the examples drafted {seen} pieces");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    /// A four-sided panel of any lean, hem mirrored: the cut line holds the seam line, keeps every
    /// allowance, and nothing of it crosses.
    #[test]
    fn any_panel_is_cut_soundly(
        top in 80.0..300.0_f64, bottom in 80.0..400.0_f64, shift in -120.0..120.0_f64,
        drop in -40.0..40.0_f64, hip in -30.0..30.0_f64,
        keys in prop::sample::subsequence(vec!["seam", "side_seam_back", "neck", "none", "centre_back", "seat_seam"], 3),
    ) {
        let side = chalkstripe::geometry::spline(&[
            (top, 0.0), ((top + bottom + shift) / 2.0 + hip, 260.0), (bottom + shift, 600.0 + drop),
        ].map(|p| chalkstripe::geometry::Knot::new(p.into())));
        let mut panel = piece("panel", vec![
            edge("top", line((0.0, 0.0), (top, 0.0)), keys[0]),
            edge("side", side, keys[1]),
            edge("hem", line((bottom + shift, 600.0 + drop), (shift, 600.0)), "jacket_hem"),
            edge("other", line((shift, 600.0), (0.0, 0.0)), keys[2]),
        ]);
        panel.edges[1].turns = 1;
        let draft = Draft {
            pieces: vec![panel], seams: vec![], joins: vec![], girths: vec![], darts: vec![], ..panels()
        };
        let pattern = measure(&order(), &[draft]).unwrap();
        let failed = pattern.ledger.failed();
        prop_assert!(failed.is_empty(), "{failed:?}");
        let cut = flattened(&pattern.pieces[0].cut, 0.005);
        prop_assert!(area_outside(&flattened(&pattern.pieces[0].seam, 0.005), &cut) < 2.0);
    }
}
