//! The derived measures against tables and bodies that nobody here made.

use crate::bodies::fitted::fitted;
use crate::bodies::survey;
use crate::skipped::skipped;
use chalkstripe::diagnostic::{Severity, Source};
use chalkstripe::order::length::Unit;
use chalkstripe::order::likely::{self, COVARIANCE, Likely, MEAN, Model, NAMES};
use chalkstripe::order::{self, House, derive, slips};
use std::collections::BTreeMap;
use std::fmt::Write;
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
    let house = House::built_in().expect("the house file");
    let known = derive::complete(&BTreeMap::from(figure), &house).into_iter();
    known.map(|(name, known)| (name, known.cm)).collect()
}

/// W. D. F. Vincent, The Cutters' Practical Guide (London, 1898), Part 1, page 3, Scale of
/// Proportionate Measures, rows of 33 to 35 inches, the grown men of the scale: chest, waist, seat,
/// depth of scye, natural waist, half back, sleeve from the centre back, inside leg, height.
const SCALE: [[f64; 9]; 3] = [
    [33.0, 29.0, 34.0, 8.5, 16.0, 6.75, 30.0, 30.75, 65.0],
    [34.0, 30.0, 35.0, 8.625, 16.5, 6.875, 31.0, 31.5, 67.0],
    [35.0, 31.0, 36.0, 8.875, 16.5, 7.0, 31.5, 32.0, 67.5],
];

/// His men are lads of 16 to 19 years, who still grow; ours change with the chest as grown men of a survey do. On so
/// small a chest these have broader backs, lower arms and longer sleeves, so his values are right for a lad and ours
/// for a slight man. The survey's stand beside them, whose landmarks are not a tailor's: its inside leg is the crotch
/// height less 2 cm, its waist lies higher. Each bound is the furthest that any row is off, rounded up to the eighth
/// of an inch he measures in.
#[test]
fn derivations_agree_with_the_scale_of_1898() {
    for [chest, waist, seat, scye, nape, back, sleeve, leg, height] in SCALE {
        let [c, w, s, h] = [chest, waist, seat, height].map(|inches| inches * 2.54);
        let body = derived(h, c, w, s, 15.0 * 2.54);
        let known = BTreeMap::from([("height", h), ("chest", c), ("waist", w), ("seat", s)]);
        let survey = likely::expected(&known);
        let survey = |name: &str| survey[name].cm;
        let from_centre = |arm: f64, shoulders: f64| arm + shoulders / 2.0;
        let sleeves = [
            from_centre(body["sleeve"], body["shoulder_width"]),
            from_centre(survey("sleeve"), survey("shoulder_width")),
        ];
        for (name, [ours, its], his, eighths) in [
            (
                "scye_depth",
                [body["scye_depth"], survey("scye_depth")],
                scye,
                6.0,
            ),
            (
                "nape_to_waist",
                [body["nape_to_waist"], survey("nape_to_waist")],
                nape,
                5.0,
            ),
            (
                "half_back",
                [body["half_back"], survey("half_back")],
                back,
                4.0,
            ),
            ("sleeve from the centre back", sleeves, sleeve, 14.0),
            (
                "inside_leg",
                [body["inside_leg"], survey("inside_leg")],
                leg,
                8.0,
            ),
        ] {
            let said = format!(
                "{name} on a chest of {chest} in: his lad {his}, the survey's man {:.2}, ours {:.2}",
                its / 2.54,
                ours / 2.54
            );
            eprintln!("{said}");
            assert!((ours / 2.54 - his).abs() <= eighths / 8.0, "{said}");
        }
    }
}

/// The over-shoulder of the same scale. His tape is not described; ours runs from half way down to the armpits and
/// comes out within an inch and a quarter on his rows, and within an inch on the 36 of his sample (Vincent's Systems,
/// about 1903, Vests: 17).
#[test]
fn the_over_shoulder_agrees_with_the_scale_of_1898() {
    for (chest, waist, seat, height, his) in [
        (33.0, 29.0, 34.0, 65.0, 15.875),
        (34.0, 30.0, 35.0, 67.0, 16.25),
        (35.0, 31.0, 36.0, 67.5, 16.625),
        (36.0, 32.0, 37.0, 68.0, 17.0),
    ] {
        let [c, w, s, h] = [chest, waist, seat, height].map(|inches: f64| inches * 2.54);
        let ours = derived(h, c, w, s, 15.0 * 2.54)["over_shoulder"] / 2.54;
        eprintln!("over-shoulder on a chest of {chest}: his {his}, ours {ours:.2} in");
        assert!((ours - his).abs() <= 1.3, "{chest}: {ours:.2}, his {his}");
    }
}

/// The same, Part 13, page 54: 'The average neck for the 36-inch breast is 15 3/4'.
#[test]
fn the_neck_of_the_36_breast_is_not_doubted() {
    let known = BTreeMap::from([("chest", 36.0 * 2.54)]);
    let neck = Likely::of(&known).expected("neck").unwrap();
    let his = 15.75 * 2.54;
    assert!(neck.least < his && his < neck.most, "{neck:?}");
}

/// The men of the sample, in cm and by our names, as `bodies/survey.rs` maps them. `None`, with a message,
/// where the data is not beside the project.
fn bodies() -> Option<Vec<survey::Body>> {
    let path = Path::new(survey::SAMPLE);
    if !path.exists() {
        skipped(&format!(
            "{} is not here: the survey is no part of a clone",
            path.display()
        ));
        return None;
    }
    let men = survey::men(path).expect("the sample reads");
    Some(men.into_iter().map(|man| man.body).collect())
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
/// spread stay below the stated spread. The means are those of the levels: the trade's value at the reference figure
/// against what the survey's landmarks give there (crotch height is longer than a tailor's inside leg by the fork's
/// room; biceps were measured flexed; its waist lies higher). The spreads are what five measures leave open.
#[test]
fn derivations_against_four_hundred_men() {
    let Some(bodies) = bodies() else { return };
    assert_eq!(bodies.len(), 400);
    let mut wrong = false;
    for (name, mean, spread) in [
        ("half_back", -0.8, 1.2),
        ("shoulder_width", 0.4, 1.5),
        ("scye_depth", -0.8, 1.5),
        ("nape_to_waist", -0.9, 2.2),
        ("sleeve", -0.4, 1.9),
        ("outside_leg", 1.4, 2.0),
        ("inside_leg", 4.0, 2.4),
        ("fork_run", 2.8, 3.4),
        ("wrist", 0.0, 0.7),
        ("hand", 0.2, 0.9),
        ("biceps", 3.0, 2.1),
        ("thigh", -0.1, 2.0),
        ("knee", 0.2, 0.8),
    ] {
        let (found, deviation) = differences(&bodies, name);
        wrong |= (found - mean).abs() > 0.2 || deviation > spread;
        eprintln!(
            "{name}: survey less ours {found:+.2} cm on average, stated {mean}; standard deviation {deviation:.2}, at \
             most {spread}"
        );
    }
    assert!(!wrong, "one lies further off than is stated");
}

fn findings(body: &BTreeMap<&'static str, f64>) -> Vec<chalkstripe::diagnostic::Diagnostic> {
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

/// Slips are named as well on men whom the model has not seen: it is fitted on one half of the sample, drawn
/// at random, and the slips are made on the other.
#[test]
fn slips_of_men_held_out_are_named() {
    let Some(bodies) = bodies() else { return };
    let mut men: Vec<&survey::Body> = bodies.iter().collect();
    // Knuth's generator, as in `bodies/survey.rs`; the order it gives is the same every time.
    let mut state = 20_261_125_u64;
    for i in (1..men.len()).rev() {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        men.swap(i, (state >> 33) as usize % (i + 1));
    }
    let (held, seen) = men.split_at(men.len() / 2);
    let half = fitted(seen);
    let (mut with_half, mut with_all, mut made) = (0, 0, 0);
    for (done, told, _, slip) in SLIPS {
        let (name, words) = told.split_once(" = ").unwrap();
        let named = |model: &Model, body: &survey::Body| {
            slips::doubts_by(model, body, Unit::Cm).iter().any(|doubt| {
                let said = doubt.slip.as_deref().unwrap_or_default();
                (doubt.name == name || said.contains(name)) && said.contains(words)
            })
        };
        let slipped = held.iter().filter_map(|body| slipped(body, slip));
        let slipped: Vec<survey::Body> = slipped.collect();
        let count = |model| slipped.iter().filter(|body| named(model, body)).count();
        let (by_half, by_all) = (count(&half), count(Model::survey()));
        let part = |n: usize| 100.0 * n as f64 / slipped.len() as f64;
        eprintln!(
            "{done}: held out {:.0} %, seen {:.0} %",
            part(by_half),
            part(by_all)
        );
        with_half += by_half;
        with_all += by_all;
        made += slipped.len();
    }
    // Nobody's measures are doubted more often by the half that has not seen him.
    let doubted = |model: &Model| {
        let doubts = held
            .iter()
            .map(|body| slips::doubts_by(model, body, Unit::Cm).len());
        doubts.sum::<usize>()
    };
    eprintln!(
        "in all, of {made}: held out {with_half}, seen {with_all}; doubts of {} men as they are: {} and {}",
        held.len(),
        doubted(&half),
        doubted(Model::survey())
    );
    assert!(
        with_half * 100 >= 97 * with_all,
        "{with_half} of {with_all}"
    );
    assert!(doubted(&half) * 100 < held.len() * 16, "{}", doubted(&half));
}

/// A man after a slip; `None` where it changes nothing, as two like digits exchanged do.
fn slipped(body: &survey::Body, slip: fn(&mut survey::Body)) -> Option<survey::Body> {
    let written =
        |man: &survey::Body| -> Vec<String> { man.values().map(|cm| format!("{cm:.1}")).collect() };
    let mut with = body.clone();
    slip(&mut with);
    (written(&with) != written(body)).then_some(with)
}

/// The model is what the sample gives: means and covariances of the logarithms, the crotch height less the
/// room of the fork. Where it differs, the tables that would be right are printed.
#[test]
fn the_model_is_fitted_on_the_sample() {
    let Some(bodies) = bodies() else { return };
    let count = bodies.len() as f64;
    let model = fitted(&bodies.iter().collect::<Vec<_>>());
    let (mut off, mut tables) = (0.0_f64, format!("{:.4?}\n", model.mean));
    for (i, (name, mean)) in NAMES.iter().zip(model.mean).enumerate() {
        off = off.max((mean - MEAN[i]).abs() * 1e4);
        let fitted = model.covariance[i].iter().take(i + 1);
        for (covariance, stated) in fitted.zip(COVARIANCE[i]) {
            let covariance = 1e4 * covariance;
            off = off.max((covariance - stated).abs() * 100.0);
            let _ = write!(tables, "{covariance:.2}, ");
        }
        let _ = writeln!(tables, "// {name}");
    }
    assert!(off < 0.6, "in the last place {off:.2}\n{tables}");
    // What the others leave open of each measure.
    for name in NAMES {
        let residuals: Vec<f64> = bodies
            .iter()
            .map(|body| {
                let mut others = body.clone();
                others.insert("inside_leg", body["inside_leg"] - 2.0);
                let expected = Likely::of(&others).expected(name).unwrap();
                others[name] / expected.cm - 1.0
            })
            .collect();
        let deviation = (residuals.iter().map(|r| r * r).sum::<f64>() / count).sqrt();
        let expected = Likely::of(&bodies[0]).expected(name).unwrap();
        let stated = (expected.most / expected.cm).ln() / likely::DOUBT;
        eprintln!(
            "{name}: residual {:.1} %, stated {:.1} %",
            100.0 * deviation,
            100.0 * stated
        );
        assert!(deviation < stated, "{name}");
    }
}

/// The brief of the house's reference figure, and the men of a scale of 1898, are nobody to doubt.
#[test]
fn tailors_scales_are_not_doubted() {
    let hundred = [
        ("height", 176.0),
        ("chest", 100.0),
        ("waist", 88.0),
        ("seat", 103.0),
        ("neck", 40.0),
        ("half_back", 20.0),
        ("shoulder_width", 45.5),
        ("scye_depth", 24.5),
        ("nape_to_waist", 44.5),
        ("sleeve", 63.5),
        ("outside_leg", 108.0),
        ("inside_leg", 81.0),
        ("wrist", 17.5),
    ];
    let doubted = findings(&BTreeMap::from(hundred));
    assert!(doubted.is_empty(), "{doubted:?}");
    for [chest, waist, seat, scye, nape, back, _, leg, height] in SCALE {
        let inches = [
            ("height", height),
            ("chest", chest),
            ("waist", waist),
            ("seat", seat),
            ("neck", 0.17 * chest + 9.2),
            ("half_back", back),
            ("scye_depth", scye),
            ("nape_to_waist", nape),
            ("inside_leg", leg),
        ];
        let found = findings(&inches.map(|(name, inches)| (name, inches * 2.54)).into());
        assert!(found.is_empty(), "{chest}: {found:?}");
    }
}

type Slip = (&'static str, &'static str, usize, fn(&mut survey::Body));

/// The digits of a measure as written to the mm, after a change.
fn rewritten(body: &mut survey::Body, name: &'static str, change: impl Fn(&mut Vec<char>)) {
    let mut digits: Vec<char> = format!("{:.1}", body[name]).chars().collect();
    change(&mut digits);
    let text: String = digits.into_iter().collect();
    body.insert(name, text.parse().unwrap());
}

fn exchange(body: &mut survey::Body, a: &'static str, b: &'static str) {
    let (first, second) = (body[a], body[b]);
    body.extend([(a, second), (b, first)]);
}

/// Twenty slips that tapes and pens make: what is done, what must be told, and of a hundred men (whom it changes) on how many
/// it is, at the least.
const SLIPS: [Slip; 20] = [
    ("the chest in inches", "chest = inches", 100, |b| {
        *b.get_mut("chest").unwrap() /= 2.54;
    }),
    ("the waist in inches", "waist = inches", 100, |b| {
        *b.get_mut("waist").unwrap() /= 2.54;
    }),
    ("the sleeve in inches", "sleeve = inches", 100, |b| {
        *b.get_mut("sleeve").unwrap() /= 2.54;
    }),
    (
        "the inside leg in inches",
        "inside_leg = inches",
        100,
        |b| *b.get_mut("inside_leg").unwrap() /= 2.54,
    ),
    ("the thigh in inches", "thigh = inches", 100, |b| {
        *b.get_mut("thigh").unwrap() /= 2.54;
    }),
    ("the neck in mm", "neck = in mm", 98, |b| {
        *b.get_mut("neck").unwrap() *= 10.0;
    }),
    ("the height in metres", "height = in metres", 100, |b| {
        *b.get_mut("height").unwrap() /= 100.0;
    }),
    (
        "the whole back for half of it",
        "half_back = half of the back",
        98,
        |b| *b.get_mut("half_back").unwrap() *= 2.0,
    ),
    ("half of the seat", "seat = half of the measure", 98, |b| {
        *b.get_mut("seat").unwrap() /= 2.0;
    }),
    (
        "the point of the neck slipped",
        "neck = decimal point",
        98,
        |b| *b.get_mut("neck").unwrap() /= 10.0,
    ),
    (
        "two digits of the height exchanged",
        "height = digits swapped",
        90,
        |b| rewritten(b, "height", |d| d.swap(1, 2)),
    ),
    (
        "two digits of the sleeve exchanged",
        "sleeve = digits swapped",
        86,
        |b| rewritten(b, "sleeve", |d| d.swap(0, 1)),
    ),
    (
        "two digits of the outside leg exchanged",
        "outside_leg = digits swapped",
        90,
        |b| rewritten(b, "outside_leg", |d| d.swap(1, 2)),
    ),
    (
        "a digit of the chest dropped",
        "chest = digit missing",
        97,
        |b| {
            rewritten(b, "chest", |d| {
                d.remove(1);
            });
        },
    ),
    (
        "a digit of the waist dropped",
        "waist = digit missing",
        94,
        |b| {
            rewritten(b, "waist", |d| {
                d.remove(0);
            });
        },
    ),
    (
        "waist and seat exchanged",
        "waist = waist and seat swapped",
        80,
        |b| exchange(b, "waist", "seat"),
    ),
    ("thigh and knee exchanged", "thigh = swapped?", 100, |b| {
        exchange(b, "thigh", "knee");
    }),
    (
        "neck and wrist exchanged",
        "neck = neck and wrist swapped",
        100,
        |b| exchange(b, "neck", "wrist"),
    ),
    (
        "wrist and hand exchanged",
        "wrist = wrist and hand swapped",
        97,
        |b| exchange(b, "wrist", "hand"),
    ),
    (
        "inside and outside leg exchanged",
        "inside_leg = swapped?",
        100,
        |b| exchange(b, "inside_leg", "outside_leg"),
    ),
];

/// Each slip is named as what it is on most of a hundred men, and the measure with it.
#[test]
fn twenty_slips_are_named() {
    let Some(bodies) = bodies() else { return };
    let mut poor = Vec::new();
    for (done, told, least, slip) in SLIPS {
        let (name, words) = told.split_once(" = ").unwrap();
        let (mut made, mut noticed, mut named, mut missed) = (0, 0, 0, String::new());
        let men = bodies.iter().filter_map(|body| slipped(body, slip));
        for body in men.step_by(4) {
            made += 1;
            let found = findings(&body);
            noticed += usize::from(!found.is_empty());
            let said = |finding: &chalkstripe::diagnostic::Diagnostic| {
                let all = format!("{} {}", finding.message, finding.help.join(" "));
                let of = finding.message.contains(&name.replace('_', " ")) || all.contains(name);
                (of && all.contains(words), all)
            };
            match found.iter().map(said).find(|(right, _)| *right) {
                Some(_) => named += 1,
                None => {
                    missed = format!(
                        "{name} = {:.1}: {:?}",
                        body[name],
                        found.iter().map(said).collect::<Vec<_>>()
                    );
                }
            }
        }
        eprintln!("{done}: noticed {noticed}, named {named} of {made}; {missed}");
        if 100 * named < least * made {
            poor.push(done);
        }
    }
    assert!(poor.is_empty(), "{poor:?}");
}
