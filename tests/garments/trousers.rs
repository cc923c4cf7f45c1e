//! Trousers over the whole range of waists and seats, proven by the ledger; and against numbers that
//! nobody here made.

use crate::samples::forks;
use chalkstripe::diagnostic::Source;
use chalkstripe::draft::Draft;
use chalkstripe::geometry::{length, nearest, point_at, tangent_at};
use chalkstripe::order::{self, Order};
use chalkstripe::pattern;
use chalkstripe::script::{self, Library};
use kurbo::BezPath;
use rayon::prelude::*;
use std::path::Path;

/// An order of trousers for measures in cm, with the lines of `[trousers]`. The chest is what waist
/// and seat predict.
fn order(height: f64, waist: f64, seat: f64, style: &str) -> Order {
    let chest = 0.57 * waist + 0.34 * seat + 20.5;
    let text = format!(
        "[client]\nname = \"A Client\"\nreference = \"R-1\"\ndate = 2026-03-02\n\
         [measures]\nheight = {height}\nchest = {chest}\nwaist = {waist}\nseat = {seat}\nneck = {}\n\
         [cloth]\nname = \"grey worsted\"\nwidth = 150\n[trousers]\n{style}\n",
        0.23 * chest + 16.0
    );
    let source = Source::new("order.toml", text);
    let checked = order::parse("order", &source, Path::new("")).unwrap_or_else(|faults| {
        let faults: Vec<String> = faults.iter().map(|f| f.render(false)).collect();
        panic!("{}", faults.join("\n"))
    });
    checked.order
}

fn draft(order: &Order) -> Draft {
    let drafted = script::draft(&Library::embedded(), order, &order.garments[0]);
    drafted.unwrap_or_else(|fault| panic!("{fault}"))
}

/// Styles that change what the waist, the seat and the leg are drafted from.
const STYLES: [&str; 6] = [
    "",
    "front = \"one_pleat\"\nrise = \"high\"\nleg = \"wide\"\nbottoms = \"turn_ups\"",
    "front = \"two_pleats\"\ntop = \"fishtail\"\nside_pockets = \"seam\"\ndress = \"left\"",
    "front = \"two_pleats\"\npleats = \"reverse\"\nrise = \"low\"\nside_pockets = \"frogmouth\"",
    "rise = \"low\"\nleg = \"tapered\"\ntop = \"belt_loops\"\nback_pocket = \"flapped\"\nback_pockets = \"both\"",
    "front = \"one_pleat\"\npleats = \"reverse\"\nleg = \"tapered\"\nfly = \"buttons\"\nknee_lining = \"front_and_back\"",
];

#[test]
fn waists_of_66_to_130_and_seats_of_84_to_136_are_proven() {
    let library = Library::embedded();
    let mut bodies = Vec::new();
    for seat in (84..=136).step_by(4).map(f64::from) {
        for waist in (66..=130).step_by(4).map(f64::from) {
            // Seats from a finger's breadth of belly overhang to an athlete's; nobody is built otherwise.
            if !(-10.0..=24.0).contains(&(seat - waist)) {
                continue;
            }
            for (i, style) in STYLES.iter().enumerate() {
                let height = [164.0, 176.0, 190.0][(bodies.len() + i) % 3];
                bodies.push((height, waist, seat, *style));
            }
        }
    }
    let fault = |&(height, waist, seat, style): &(f64, f64, f64, &str)| {
        let order = order(height, waist, seat, style);
        let proven = match script::draft(&library, &order, &order.garments[0]) {
            Ok(draft) => pattern::make(&order, &[draft]).map_err(|f| format!("{f:#?}")),
            Err(fault) => Err(fault.to_string()),
        };
        let fault = proven.err()?;
        Some(format!("[{height}, {waist}, {seat}] {style:?}]: {fault}"))
    };
    let failed: Vec<String> = bodies.par_iter().filter_map(fault).collect();
    let made = bodies.len();
    println!("trousers: {made} drafts over waists and seats");
    assert!(
        failed.is_empty(),
        "{} of {made} failed; the first: {}",
        failed.len(),
        failed.join("\n")
    );
}

#[test]
fn a_knee_that_cannot_be_worn_is_refused_with_the_reason() {
    let order = order(176.0, 88.0, 103.0, "knee = 36");
    let fault = script::draft(&Library::embedded(), &order, &order.garments[0]).unwrap_err();
    assert!(fault.refused, "{fault}");
    assert!(
        fault.message.contains("the knee itself measures"),
        "{fault}"
    );
}

#[test]
fn the_draft_is_the_same_every_time() {
    let order = order(176.0, 88.0, 103.0, STYLES[2]);
    assert_eq!(draft(&order), draft(&order));
}

/// By how many degrees a path turns in each centimetre, between two places in mm.
pub(super) fn bends(path: &BezPath, from: f64, to: f64) -> Vec<f64> {
    let steps = ((to - from) / 10.0).floor() as usize;
    let way = |i: usize| {
        tangent_at(path, (from + 10.0 * i as f64).min(length(path)))
            .atan2()
            .to_degrees()
    };
    let turned = |i: usize| (way(i) - way(i + 1) + 180.0).rem_euclid(360.0) - 180.0;
    (0..steps).map(turned).collect()
}

/// Front and seat seam make one hollow when the inside leg is closed: it bends one way (no hook), never
/// runs straight on between the two places where it begins to turn (no flat), and nowhere turns sharply.
#[test]
fn the_fork_is_a_fair_hollow() {
    let mut worst = (f64::INFINITY, 0.0_f64);
    for [height, waist, seat] in [
        [164.0, 66.0, 86.0],
        [182.0, 76.0, 94.0],
        [176.0, 88.0, 103.0],
        [190.0, 90.0, 112.0],
        [174.0, 118.0, 116.0],
        [172.0, 130.0, 132.0],
    ] {
        for style in STYLES {
            if style.contains("dress") {
                continue; // two top sides: the plain ones stand for them
            }
            let closed = forks::Closed::of(&draft(&order(height, waist, seat, style)));
            let (front, seat_seam) = closed.fork();
            let bent = |path, from, to| bends(path, from, to);
            let ahead = bent(&front, length(&front) - 110.0, length(&front));
            let behind = bent(&seat_seam, 0.0, 240.0);
            let whole: Vec<f64> = ahead.into_iter().chain(behind).collect();
            // The first and the last centimetre of the turn are only partly in it.
            let first = whole.iter().position(|b| b.abs() > 0.3).expect("it turns") + 1;
            let last = whole.iter().rposition(|b| b.abs() > 0.3).expect("it turns") - 1;
            for bend in &whole[first..=last] {
                assert!(
                    (1.0..=12.0).contains(bend),
                    "{height} {waist} {seat} {style:?}: {whole:.1?}"
                );
                worst = (worst.0.min(*bend), worst.1.max(*bend));
            }
            assert!(
                whole.iter().all(|b| *b > -0.05),
                "{height} {waist} {seat} {style:?}: {whole:.1?}"
            );
            // The seat seam stays clear of the front.
            let half = point_at(&seat_seam, 120.0);
            assert!(nearest(&front, half).distance > 50.0);
        }
    }
    println!(
        "the fork turns by {:.1} to {:.1} degrees a centimetre",
        worst.0, worst.1
    );
}

/// Where a draft has the last point of that name.
fn point(draft: &Draft, name: &str) -> kurbo::Point {
    let found = draft
        .points
        .iter()
        .rfind(|p| p.name.as_deref() == Some(name));
    found.unwrap_or_else(|| panic!("no point '{name}'")).at
}

/// W. D. F. Vincent, Vincent's Systems of Cutting All Kinds of Tailor-Made Garments (London, about
/// 1903), Trousers, sample measures: side 44, leg 32, waist 30, seat 36, knee 18, bottom 17. The same, The
/// Cutters' Practical Guide (London, 1898), Part 13, page 64: knee 2 inches above half the leg, the
/// underside raised 4 above the top of the fronts (for braces: our fishtail), the seat made up to
/// measure and 2, the waist to measure and 1.
#[test]
fn trousers_of_vincents_sample() {
    let inch = 25.4;
    let text = "[client]\nname = \"A Client\"\n[measures]\nunit = \"in\"\nheight = 69\nchest = 36\nwaist = 30\nseat = 36\n\
         neck = 15.75\noutside_leg = 44\ninside_leg = 32\n[cloth]\nname = \"x\"\n\
         [trousers]\nknee = \"18 in\"\nhem = \"17 in\"\ntop = \"fishtail\"\nleg = \"wide\"\n";
    let source = Source::new("order.toml", text);
    let order = match order::parse("order", &source, Path::new("")) {
        Ok(checked) => checked.order,
        Err(faults) => panic!("{faults:#?}"),
    };
    let draft = draft(&order);
    let [fork, knee, hem] =
        ["fork line", "knee line", "hem line"].map(|name| point(&draft, name).y);
    let leg = (hem - fork) / inch;
    assert!((leg - 32.0).abs() < 0.01, "leg {leg:.2} in");
    let above_half = ((fork + hem) / 2.0 - knee) / inch;
    assert!(
        (above_half - 2.0).abs() < 0.05,
        "knee {above_half:.2} in above half the leg"
    );

    let points = 60.0;
    let raised = (point(&draft, "centre front").y - point(&draft, "centre back").y + points) / inch;
    println!("the back of the fishtail is raised {raised:.2} in above the fronts, his 4");
    assert!((raised - 4.0).abs() <= 0.5, "raised {raised:.2} in");

    let pattern = pattern::make(&order, &[draft]).unwrap();
    let finished = |name: &str| {
        let row = pattern
            .ledger
            .girths
            .iter()
            .find(|g| g.girth == format!("trousers: {name}"));
        row.unwrap().finished_mm / inch
    };
    for (name, his, least, most) in [
        ("knee", 18.0, -0.02, 0.02),
        ("hem", 17.0, -0.02, 0.02),
        // A wide leg has a little more at the seat.
        ("seat", 36.0 + 2.0, -0.25, 1.0),
        // Ours sits closer, held by its band and adjusters; his hung from braces.
        ("waist", 30.0 + 1.0, -0.75, 0.25),
    ] {
        let off = finished(name) - his;
        println!("{name} {:.2} in, his {his}", finished(name));
        assert!(
            (least..=most).contains(&off),
            "{name}: {:.2} in, his {his}, off {off:+.2}",
            finished(name)
        );
    }
}
