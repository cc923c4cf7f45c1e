//! The derived measures against tables and bodies that nobody here made.

use chalkstripe::order::{self, Severity, Source, measures};
use std::collections::BTreeMap;
use std::path::Path;

/// The five required measures and nothing else, in cm.
fn derived(
    height: f64,
    chest: f64,
    waist: f64,
    seat: f64,
    neck: f64,
) -> BTreeMap<&'static str, f64> {
    let figure = [
        ("height", height),
        ("chest", chest),
        ("waist", waist),
        ("seat", seat),
        ("neck", neck),
    ];
    measures::complete(&BTreeMap::from(figure))
}

/// W. D. F. Vincent, The Cutters' Practical Guide (London, 1898), Part 1, page 3, Scale of
/// Proportionate Measures, rows of 33 to 35 inches, the grown men of the scale: chest, waist, seat,
/// depth of scye, natural waist, half back, sleeve from the centre back, inside leg, height.
const SCALE: [[f64; 9]; 3] = [
    [33.0, 29.0, 34.0, 8.5, 16.0, 6.75, 30.0, 30.75, 65.0],
    [34.0, 30.0, 35.0, 8.625, 16.5, 6.875, 31.0, 31.5, 67.0],
    [35.0, 31.0, 36.0, 8.875, 16.5, 7.0, 31.5, 32.0, 67.5],
];

/// His men are slight and shorter in the waist; each bound is the furthest that any row is off,
/// rounded up to the eighth of an inch he measures in.
#[test]
fn derivations_agree_with_the_scale_of_1898() {
    for [chest, waist, seat, scye, nape, back, sleeve, leg, height] in SCALE {
        let [c, w, s, h] = [chest, waist, seat, height].map(|inches| inches * 2.54);
        let body = derived(h, c, w, s, 15.0 * 2.54);
        let from_centre = body["sleeve"] + body["shoulder_width"] / 2.0;
        for (name, cm, inches, eighths) in [
            ("scye_depth", body["scye_depth"], scye, 3.0),
            ("nape_to_waist", body["nape_to_waist"], nape, 5.0),
            ("half_back", body["half_back"], back, 2.0),
            ("sleeve from the centre back", from_centre, sleeve, 9.0),
            ("inside_leg", body["inside_leg"], leg, 8.0),
        ] {
            let off = cm / 2.54 - inches;
            assert!(
                off.abs() <= eighths / 8.0,
                "{name} on a chest of {chest}: {off:+.2} in"
            );
        }
    }
}

/// The same, Part 13, page 54: 'The average neck for the 36-inch breast is 15 3/4'.
#[test]
fn the_neck_of_the_36_breast_is_not_doubted() {
    let kind = measures::kind("neck").unwrap();
    let predicted = kind.predict.unwrap()(&|_| 36.0 * 2.54);
    assert!((predicted - 15.75 * 2.54).abs() < kind.tolerance);
}

/// The bodies of ANSUR II (2012 Anthropometric Survey of U.S. Army Personnel, NATICK/TR-15/007),
/// 400 men drawn at random, in cm and by our names; (~) marks an approximation of what a tailor
/// tapes. `None`, with a message, where the data is not beside the project.
fn bodies() -> Option<Vec<BTreeMap<&'static str, f64>>> {
    let path = Path::new("../shared/data/bodies/ansur2_men_sample400.csv");
    let Ok(text) = std::fs::read_to_string(path) else {
        eprintln!("SKIPPED: {} is not here", path.display());
        return None;
    };
    let mut lines = text.lines();
    let columns: Vec<&str> = lines.next().unwrap().split(',').collect();
    Some(lines.map(|line| body(&columns, line)).collect())
}

fn body(columns: &[&str], line: &str) -> BTreeMap<&'static str, f64> {
    let values: Vec<f64> = line
        .split(',')
        .map(|v| v.parse::<f64>().unwrap() / 10.0)
        .collect();
    let of = |name: &str| values[columns.iter().position(|c| *c == name).unwrap()];
    let waist_level = (of("tenthribheight") + of("iliocristaleheight")) / 2.0; // (~)
    let nape = of("cervicaleheight");
    let back = of("waistbacklength") / (nape - of("waistheightomphalion"));
    BTreeMap::from([
        ("height", of("stature")),
        ("chest", of("chestcircumference")),
        ("waist", 3.55 + 0.9238 * of("waistcircumference")), // (~)
        ("seat", of("buttockcircumference")),
        ("neck", of("neckcircumference")),
        ("half_back", of("interscyeii") / 2.0 - 2.8), // (~)
        ("shoulder_width", of("biacromialbreadth") + 4.5), // (~)
        ("scye_depth", nape - of("axillaheight") + 5.0), // (~)
        ("nape_to_waist", (nape - waist_level) * back), // (~)
        ("sleeve", of("sleeveoutseam") + 3.5),        // (~)
        ("outside_leg", waist_level),
        ("inside_leg", of("crotchheight")), // (~) the fork's room is not taken off
        ("wrist", of("wristcircumference")),
        ("hand", of("handcircumference")),
        ("biceps", of("bicepscircumferenceflexed")), // (~) flexed
        ("thigh", of("thighcircumference")),
        ("knee", 16.6 + 0.3701 * of("thighcircumference")), // (~)
    ])
}

/// Mean and standard deviation, in cm, of what the survey measured less what we derive from the
/// five required measures.
fn differences(bodies: &[BTreeMap<&'static str, f64>], name: &str) -> (f64, f64) {
    let off = bodies.iter().map(|b| {
        b[name] - derived(b["height"], b["chest"], b["waist"], b["seat"], b["neck"])[name]
    });
    let off: Vec<f64> = off.collect();
    let mean = off.iter().sum::<f64>() / off.len() as f64;
    let variance = off.iter().map(|o| (o - mean).powi(2)).sum::<f64>() / off.len() as f64;
    (mean, variance.sqrt())
}

/// What each derivation is worth: the mean difference must lie this near to a stated one, and the
/// spread stay below the stated spread. Soldiers are broader in the chest than the back and the
/// depth of scye follow; their crotch height is longer than a tailor's inside leg by the fork's
/// room; their biceps were measured flexed.
#[test]
fn derivations_against_four_hundred_men() {
    let Some(bodies) = bodies() else { return };
    assert_eq!(bodies.len(), 400);
    for (name, mean, spread) in [
        ("half_back", -1.3, 1.3),
        ("shoulder_width", -1.4, 2.5),
        ("scye_depth", -1.3, 1.5),
        ("nape_to_waist", -0.3, 2.3),
        ("sleeve", -0.3, 1.9),
        ("outside_leg", 1.1, 2.1),
        ("inside_leg", 3.9, 2.5),
        ("wrist", 0.2, 0.9),
        ("hand", 0.4, 1.1),
        ("biceps", 1.9, 2.2),
        ("thigh", 0.0, 2.0),
        ("knee", 0.1, 0.8),
    ] {
        let (found, deviation) = differences(&bodies, name);
        eprintln!(
            "{name}: survey less ours {found:+.2} cm on average, standard deviation {deviation:.2}"
        );
        assert!(
            (found - mean).abs() <= 0.2,
            "{name}: mean {found:.2}, stated {mean}"
        );
        assert!(
            deviation <= spread,
            "{name}: deviation {deviation:.2}, stated {spread}"
        );
    }
}

fn findings(body: &BTreeMap<&'static str, f64>) -> Vec<order::Diagnostic> {
    let mut text =
        String::from("[client]\nname = \"x\"\n[cloth]\nname = \"x\"\n[jacket]\n[measures]\n");
    for (name, cm) in body {
        text.push_str(&format!("{name} = {cm}\n"));
    }
    match order::parse("x", &Source::new("x.toml", text), Path::new("")) {
        Ok(checked) => checked.warnings,
        Err(faults) => faults,
    }
}

/// A tailor should not be told that living men are unlikely: no man is impossible, and of all
/// that was measured on the 400, less than one in a hundred is doubted.
#[test]
fn living_men_are_seldom_doubted_and_never_refused() {
    let Some(bodies) = bodies() else { return };
    let mut doubts = 0;
    for body in &bodies {
        for finding in findings(body) {
            assert_eq!(finding.severity, Severity::Warning, "{finding:?}");
            eprintln!("{}", finding.message);
            doubts += 1;
        }
    }
    let share = f64::from(doubts) / (bodies.len() * 16) as f64;
    eprintln!(
        "{doubts} doubts, {:.2} % of the measures that can be doubted",
        100.0 * share
    );
    assert!(share < 0.01);
}

/// The tape read from the wrong end, inches for cm, two measures exchanged: the slips that would
/// ruin a suit must be noticed on nearly every man.
#[test]
fn slips_on_living_men_are_noticed() {
    let Some(bodies) = bodies() else { return };
    let noticed = |slip: &dyn Fn(&mut BTreeMap<&'static str, f64>)| {
        let slipped = bodies.iter().map(|body| {
            let mut body = body.clone();
            slip(&mut body);
            findings(&body)
        });
        slipped.filter(|found| !found.is_empty()).count()
    };
    let exchange = |body: &mut BTreeMap<&'static str, f64>, a: &'static str, b: &'static str| {
        let (first, second) = (body[a], body[b]);
        body.extend([(a, second), (b, first)]);
    };
    assert_eq!(noticed(&|b| *b.get_mut("chest").unwrap() /= 2.54), 400);
    assert_eq!(noticed(&|b| *b.get_mut("neck").unwrap() *= 2.54), 400);
    assert_eq!(noticed(&|b| exchange(b, "inside_leg", "outside_leg")), 400);
    assert_eq!(noticed(&|b| exchange(b, "neck", "wrist")), 400);
    assert_eq!(noticed(&|b| exchange(b, "thigh", "knee")), 400);
    let seats = noticed(&|b| exchange(b, "waist", "seat"));
    // Where waist and seat are near each other, exchanging them changes little.
    eprintln!("waist and seat exchanged: noticed on {seats} of 400");
    assert!(seats >= 320);
}
