//! Every cut line of every example held against its seam line, its house's allowances and its notches
//! by booleans of flattened polygons, which share no code with the curves the cut lines are made of.

use std::path::Path;

use chalkstripe::draft::{DraftEdge, DraftPiece};
use chalkstripe::job;
use chalkstripe::order::{House, HouseValue};
use chalkstripe::pattern::Piece;
use chalkstripe::workshop::Workshop;
use i_overlay::core::{fill_rule::FillRule, overlay_rule::OverlayRule};
use i_overlay::float::{simplify::SimplifyShape, single::SingleFloatOverlay};
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, ParamCurveArea, PathEl, Point, Shape, Vec2};

type Polygon = Vec<[f64; 2]>;

/// Curves are flattened to this, in mm.
const FLAT: f64 = 0.002;
/// What flattening leaves between two outlines that should be one, mm² for every mm of length.
const HAIR: f64 = 0.02;
/// Steps along an edge.
const STEPS: usize = 160;

fn polygon(path: &BezPath) -> Polygon {
    let mut corners: Polygon = Vec::new();
    kurbo::flatten(path, FLAT, |element| {
        if let PathEl::MoveTo(p) | PathEl::LineTo(p) = element {
            corners.push([p.x, p.y]);
        }
    });
    corners
}

fn signed_area(ring: &Polygon) -> f64 {
    let next = ring.iter().cycle().skip(1);
    let pairs = ring.iter().zip(next);
    pairs.map(|(a, b)| (a[0] * b[1] - b[0] * a[1]) / 2.0).sum()
}

fn area(shapes: &[Vec<Polygon>]) -> f64 {
    shapes.iter().flatten().map(signed_area).sum::<f64>().abs()
}

/// The area of `a` that lies outside all of `b`, mm².
fn outside(a: &[Polygon], b: &[Polygon]) -> f64 {
    // All one way round: rings that run against each other would undo each other where they overlap.
    let one_way = |polygons: &[Polygon]| -> Vec<Polygon> {
        let turned = polygons.iter().map(|ring| {
            let mut ring = ring.clone();
            if signed_area(&ring) < 0.0 {
                ring.reverse();
            }
            ring
        });
        turned.collect()
    };
    let (a, b) = (one_way(a), one_way(b));
    area(&a.overlay(&b, OverlayRule::Difference, FillRule::NonZero))
}

/// An edge as places with their direction, from its start to its end.
fn walk(edge: &BezPath) -> Vec<(Point, Vec2)> {
    let parts: Vec<_> = edge.segments().collect();
    let lengths: Vec<f64> = parts.iter().map(|part| part.arclen(1e-6)).collect();
    let whole: f64 = lengths.iter().sum();
    (0..=STEPS)
        .map(|i| {
            let mut left = whole * i as f64 / STEPS as f64;
            let mut at = 0;
            while at + 1 < parts.len() && left > lengths[at] {
                left -= lengths[at];
                at += 1;
            }
            let t = parts[at].inv_arclen(left.min(lengths[at]), 1e-6);
            let step = |d: f64| parts[at].eval((t + d).clamp(0.0, 1.0));
            (parts[at].eval(t), (step(1e-4) - step(-1e-4)).normalize())
        })
        .collect()
}

/// Least and greatest width of an edge's allowance, mm. A material that frays has as much more, but where it is cut net.
fn widths(edge: &DraftEdge, house: &House, frays: f64) -> (f64, f64) {
    let cm = match &house.values()[&format!("allowance.{}", edge.allowance)] {
        HouseValue::Number(cm) => vec![*cm],
        HouseValue::Along(all) => all.clone(),
        HouseValue::Word(_) => panic!("{} is a word", edge.allowance),
    };
    let least = cm.iter().copied().fold(f64::INFINITY, f64::min);
    let most = cm.iter().copied().fold(0.0, f64::max);
    let wider = |width: f64| {
        if width > 0.0 {
            10.0 * width + frays
        } else {
            0.0
        }
    };
    (wider(least), wider(most))
}

/// Rectangles from step to step along an edge, so wide.
fn strips(steps: &[(Point, Vec2)], out: f64, width: f64) -> Vec<Polygon> {
    let across = |(_, along): (Point, Vec2)| Vec2::new(-along.y, along.x) * (out * width);
    steps
        .windows(2)
        .map(|pair| {
            let (p, q) = (pair[0].0, pair[1].0);
            let corners = [p, q, q + across(pair[1]), p + across(pair[0])];
            corners.map(|c| [c.x, c.y]).to_vec()
        })
        .collect()
}

fn disc(at: Point, radius: f64) -> Polygon {
    let corner =
        |i: u32| at + Vec2::from_angle(f64::from(i) * std::f64::consts::TAU / 64.0) * radius;
    (0..64).map(|i| [corner(i).x, corner(i).y]).collect()
}

fn check(drafted: &DraftPiece, piece: &Piece, house: &House) {
    let name = format!("{} {}", piece.garment, piece.name);
    let (seam, cut) = (polygon(&piece.seam), polygon(&piece.cut));
    let round = piece.cut.perimeter(0.01);
    let hair = HAIR * round;

    // One plain region that holds the seam line's.
    let plain = cut.simplify_shape(FillRule::NonZero);
    assert!(
        plain.len() == 1 && plain[0].len() == 1,
        "{name} crosses itself"
    );
    assert!(
        (area(&plain) - piece.cut.area().abs()).abs() < hair,
        "{name}"
    );
    let bare = outside(std::slice::from_ref(&seam), std::slice::from_ref(&cut));
    assert!(
        bare < hair,
        "{name}: {bare} mm² of it lie outside its cut line"
    );

    // Nowhere narrower than the least allowance of its edge, nowhere wider than the greatest.
    let frays = drafted.material.frays;
    let out = -piece.seam.area().signum();
    let mut most = vec![seam];
    for (i, edge) in drafted.edges.iter().enumerate() {
        let steps = walk(&edge.path);
        let (least, greatest) = widths(edge, house, frays);
        let next = widths(&drafted.edges[(i + 1) % drafted.edges.len()], house, frays).1;
        if least > 0.0 {
            // Corners that turn inwards trim the ends of the strip.
            let before = &drafted.edges[(i + drafted.edges.len() - 1) % drafted.edges.len()];
            let reach = 2.0 * greatest.max(next).max(widths(before, house, frays).1);
            let (from, to) = (steps[0].0, steps[STEPS].0);
            let inner: Vec<_> = steps
                .iter()
                .copied()
                .filter(|(p, _)| p.distance(from) > reach && p.distance(to) > reach)
                .collect();
            if inner.len() > 1 {
                let narrow = outside(
                    &strips(&inner, out, least - 0.02),
                    std::slice::from_ref(&cut),
                );
                assert!(
                    narrow < hair,
                    "{name}, {}: {narrow} mm² of {least} mm are missing",
                    edge.name
                );
            }
        }
        most.extend(strips(&steps, out, greatest + 0.02));
        // A mitre runs no further than four widths, a fold no further than twice its depth.
        most.push(disc(steps[STEPS].0, 4.0 * greatest.max(next) + 0.1));
    }
    let wide = outside(&[cut], &most);
    assert!(
        wide < hair,
        "{name}: {wide} mm² lie outside every allowance"
    );
    check_notches(piece, &name);
    check_inlays(piece, &name);
}

fn off(path: &BezPath, point: Point) -> f64 {
    let nearest = path
        .segments()
        .map(|part| kurbo::ParamCurveNearest::nearest(&part, point, 1e-6).distance_sq);
    nearest.fold(f64::INFINITY, f64::min).sqrt()
}

fn check_notches(piece: &Piece, name: &str) {
    for notch in &piece.notches {
        let what = format!("{name}, notch {}", notch.name);
        assert!(
            off(&piece.cut, notch.cut) < 0.02,
            "{what} is off the cut line"
        );
        assert!(
            off(&piece.seam, notch.seam) < 0.02,
            "{what} is off the seam line"
        );
        let across = notch.seam - notch.cut;
        if across.hypot() > 0.5 {
            let turned = across.normalize().cross(notch.inward).abs();
            assert!(
                turned < 0.02,
                "{what} does not run straight to the seam line"
            );
        }
        for cut in [
            chalkstripe::sheets::piece::NotchCut::Slit,
            chalkstripe::sheets::piece::NotchCut::Triangle,
        ] {
            let drawn = chalkstripe::sheets::piece::cut_notch(notch, cut);
            let deepest = drawn.segments().flat_map(|part| [part.start(), part.end()]);
            let deepest = deepest.map(|p| p.distance(notch.cut)).fold(0.0, f64::max);
            if across.hypot() > 1.5 {
                assert!(
                    deepest <= (across.hypot() - 1.4).max(1.0),
                    "{what} reaches the seam line"
                );
            }
        }
    }
}

fn check_inlays(piece: &Piece, name: &str) {
    for line in &piece.inlays {
        let (first, last) = (line.segments().next().unwrap().start(), {
            line.segments().last().unwrap().end()
        });
        for end in [first, last] {
            let held = off(&piece.cut, end).min(off(&piece.seam, end));
            assert!(held < 0.05, "{name}: an inlay's line ends in the open");
        }
        for part in line.segments() {
            let middle = part.eval(0.5);
            let inside = piece.cut.winding(middle) != 0 && piece.seam.winding(middle) == 0;
            assert!(
                inside || off(&piece.cut, middle) < 0.05 || off(&piece.seam, middle) < 0.05,
                "{name}: an inlay's line leaves the allowance at {middle:?}"
            );
        }
    }
}

#[test]
fn every_piece_of_every_example_has_its_allowances() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let (mut checked, mut notches, mut inlays) = (0, 0, 0);
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "toml") {
            continue;
        }
        let order = chalkstripe::order::read(&path).expect("a good order").order;
        let made = job::draft(Workshop::embedded(), &order).expect("a proven pattern");
        let before = made.drafts.iter().flat_map(|draft| &draft.pieces);
        for (drafted, piece) in before.zip(&made.pattern.pieces) {
            assert_eq!(drafted.name, piece.name);
            if drafted.opens.is_some() {
                // It is drafted as one half and cut whole: its cut line is not that of its own edges alone.
                let parts = drafted.edges.iter().flat_map(|edge| edge.path.segments());
                let half: f64 = parts.map(|part| part.signed_area()).sum();
                assert!(
                    (piece.seam.area().abs() - 2.0 * half.abs()).abs() < 1.0,
                    "{} is not twice its half",
                    piece.name
                );
                continue;
            }
            check(drafted, piece, &order.house.of(&piece.garment));
            checked += 1;
            notches += piece.notches.len();
            inlays += piece.inlays.len();
        }
    }
    println!("{checked} pieces, {notches} notches, {inlays} inlays");
    assert!(checked > 80 && notches > 50 && inlays > 20);
}
