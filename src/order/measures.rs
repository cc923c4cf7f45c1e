//! The measures that a tailor takes: what each is, how it is taken, and how it is predicted from the others.
//!
//! The terms are those of ISO 8559-1 (2017), cited from memory. The rules are common practice, no
//! source; the tests hold them against 400 men of ANSUR II (2012 Anthropometric Survey of U.S. Army
//! Personnel, NATICK/TR-15/007).

use std::collections::BTreeMap;

/// Measures known so far, in cm, looked up by name while another is predicted.
pub type Known<'a> = &'a dyn Fn(&str) -> f64;

/// One kind of measure. Lengths in cm.
pub struct Kind {
    /// Its key in the order.
    pub name: &'static str,
    /// The term of ISO 8559-1, or the trade's where the standard has none.
    pub term: &'static str,
    /// How the tape runs.
    pub taken: &'static str,
    /// What other people call it: for suggestions only.
    pub also: &'static [&'static str],
    /// Whether an order must give it. What is not given is predicted.
    pub required: bool,
    /// The built-in garments that are drafted by it.
    pub garments: &'static [&'static str],
    /// The prediction in words; its lengths are data, as in a [`Phrase`](super::phrase::Phrase).
    pub rule: &'static str,
    /// Predicts it where it was not taken, by the house's draft, from the measures before it in the table;
    /// `None` for one that must be taken. `likely.rs` models what living men have.
    pub predict: Option<fn(Known) -> f64>,
    /// Least and greatest that a tape can show on a grown person or a well-grown boy.
    pub range: (f64, f64),
    /// Furthest from the prediction that passes without a warning, for a measure in which style has a say; `None`
    /// for a measure of the body, which is judged by the others.
    pub tolerance: Option<f64>,
}

/// Predicts half of the back's width from the chest, in cm; less steeply for large chests, whose girth is not
/// in the back.
fn half_back(chest: f64) -> f64 {
    if chest <= 108.0 {
        chest / 5.0
    } else {
        21.6 + (chest - 108.0) / 8.0
    }
}

/// Predicts the depth of the scye from the chest, in cm; less steeply for large chests, whose arms sit no
/// lower.
fn scye_depth(chest: f64) -> f64 {
    let slope = if chest <= 110.0 {
        1.0 / 8.0
    } else {
        1.0 / 16.0
    };
    110.0 / 8.0 + 12.0 + (chest - 110.0) * slope
}

/// Every measure, in the order they are taken and derived.
pub const KINDS: &[Kind] = &[
    Kind {
        name: "height",
        term: "stature",
        taken: "top of the head to the ground, without shoes",
        also: &["stature", "tall"],
        required: true,
        garments: &["jacket", "trousers", "waistcoat"],
        rule: "taken",
        predict: None,
        range: (130.0, 225.0),
        tolerance: None,
    },
    Kind {
        name: "chest",
        term: "chest girth",
        taken: "round the fullest part, over the shoulder blades and under the arms; arms down",
        also: &["breast", "bust"],
        required: true,
        garments: &["jacket", "waistcoat"],
        rule: "taken",
        predict: None,
        range: (68.0, 165.0),
        tolerance: None,
    },
    Kind {
        name: "waist",
        term: "waist girth",
        taken: "round the natural waist, between the lowest rib and the hip bone",
        also: &["belly"],
        required: true,
        garments: &["jacket", "trousers", "waistcoat"],
        rule: "taken",
        predict: None,
        range: (52.0, 175.0),
        tolerance: None,
    },
    Kind {
        name: "seat",
        term: "hip girth",
        taken: "round the fullest part of the seat, heels together",
        also: &["hip", "hips", "buttock"],
        required: true,
        garments: &["jacket", "trousers", "waistcoat"],
        rule: "taken",
        predict: None,
        range: (68.0, 175.0),
        tolerance: None,
    },
    Kind {
        name: "neck",
        term: "neck girth",
        taken: "round the neck where the shirt collar sits, not lower down where the neck meets the shoulders",
        also: &["collar"],
        required: true,
        garments: &["jacket", "waistcoat"],
        rule: "taken",
        predict: None,
        range: (28.0, 60.0),
        tolerance: None,
    },
    Kind {
        name: "half_back",
        term: "across back width, the half",
        taken: "centre back to where the arm joins the back, halfway down the scye",
        also: &["back_width", "across_back", "x_back"],
        required: false,
        garments: &["jacket", "waistcoat"],
        rule: "chest / 5; over a chest of {108 cm}, {21.6 cm} + (chest - {108 cm}) / 8",
        predict: Some(|m| half_back(m("chest"))),
        range: (13.0, 30.0),
        tolerance: None,
    },
    Kind {
        name: "shoulder_width",
        term: "shoulder width",
        taken: "shoulder point to shoulder point, over the back",
        also: &["shoulders", "shoulder", "point_to_point"],
        required: false,
        garments: &["jacket", "waistcoat"],
        rule: "2 half_back + {5.5 cm}",
        predict: Some(|m| 2.0 * m("half_back") + 5.5),
        range: (32.0, 64.0),
        tolerance: None,
    },
    Kind {
        name: "scye_depth",
        term: "scye depth",
        taken: "nape down the centre back to the level of the armpits",
        also: &["armhole", "armscye", "depth_of_scye"],
        required: false,
        garments: &["jacket", "waistcoat"],
        rule: "chest / 8 + {12 cm}; over a chest of {110 cm}, half of the increase",
        predict: Some(|m| scye_depth(m("chest"))),
        range: (15.0, 36.0),
        tolerance: None,
    },
    Kind {
        name: "nape_to_waist",
        term: "back neck point to waist",
        taken: "nape down the centre back to the natural waist",
        also: &["back_length", "back_waist_length", "natural_waist"],
        required: false,
        garments: &["jacket", "waistcoat"],
        rule: "height / 4 + {0.5 cm}",
        predict: Some(|m| m("height") / 4.0 + 0.5),
        range: (30.0, 60.0),
        tolerance: None,
    },
    Kind {
        name: "jacket_length",
        term: "no standard term",
        taken: "nape down the centre back to the hem as the client wants it",
        also: &["coat_length", "length"],
        required: false,
        garments: &["jacket"],
        rule: "0.425 height; at least nape_to_waist + height / 8 + {5 cm}, so that it covers the seat",
        predict: Some(|m| {
            let covers = m("nape_to_waist") + m("height") / 8.0 + 5.0;
            covers.max(0.425 * m("height"))
        }),
        range: (48.0, 105.0),
        tolerance: Some(8.0),
    },
    Kind {
        name: "sleeve",
        term: "arm length, to the hem",
        taken: "shoulder point over the bent elbow to the hem as the client wants it",
        also: &["sleeve_length", "arm", "arm_length"],
        required: false,
        garments: &["jacket"],
        rule: "0.36 height",
        predict: Some(|m| 0.36 * m("height")),
        range: (42.0, 86.0),
        tolerance: None,
    },
    Kind {
        name: "outside_leg",
        term: "outside leg length",
        taken: "natural waist down the side to the ground",
        also: &["outseam", "side", "side_length", "leg"],
        required: false,
        garments: &["trousers"],
        rule: "0.615 height",
        predict: Some(|m| 0.615 * m("height")),
        range: (72.0, 140.0),
        tolerance: None,
    },
    Kind {
        name: "inside_leg",
        term: "inside leg length",
        taken: "fork down the inside of the leg to the ground",
        also: &["inseam", "inleg"],
        required: false,
        garments: &["trousers"],
        rule: "0.46 height",
        predict: Some(|m| 0.46 * m("height")),
        range: (52.0, 112.0),
        tolerance: None,
    },
    Kind {
        name: "wrist",
        term: "wrist girth",
        taken: "round the wrist bone",
        also: &["cuff"],
        required: false,
        garments: &["jacket"],
        rule: "0.4 neck + {1.5 cm}",
        predict: Some(|m| 0.4 * m("neck") + 1.5),
        range: (12.0, 26.0),
        tolerance: None,
    },
    Kind {
        name: "hand",
        term: "hand girth",
        taken: "round the knuckles, fingers together, without the thumb",
        also: &["knuckles"],
        required: false,
        garments: &["jacket"],
        rule: "1.2 wrist",
        predict: Some(|m| 1.2 * m("wrist")),
        range: (15.0, 33.0),
        tolerance: None,
    },
    Kind {
        name: "biceps",
        term: "upper arm girth",
        taken: "round the fullest part of the upper arm, the arm hanging",
        also: &["upper_arm", "bicep", "arm_girth"],
        required: false,
        garments: &["jacket", "waistcoat"],
        rule: "0.32 chest",
        predict: Some(|m| 0.32 * m("chest")),
        range: (20.0, 62.0),
        tolerance: None,
    },
    Kind {
        name: "thigh",
        term: "thigh girth",
        taken: "round the leg close under the fork",
        also: &["upper_leg"],
        required: false,
        garments: &["trousers"],
        rule: "0.7 seat - {9 cm}",
        predict: Some(|m| 0.7 * m("seat") - 9.0),
        range: (38.0, 115.0),
        tolerance: None,
    },
    Kind {
        name: "knee",
        term: "knee girth",
        taken: "round the knee, leg straight",
        also: &["knee_girth"],
        required: false,
        garments: &["trousers"],
        rule: "seat / 4 + {14 cm}",
        predict: Some(|m| m("seat") / 4.0 + 14.0),
        range: (26.0, 62.0),
        tolerance: None,
    },
];

/// Lists the measures to take for some garments, or for all where none is named or one is a workshop's own.
/// Those that every order must give are always among them.
pub fn wanted(garments: &[String]) -> Vec<&'static Kind> {
    let known = |name: &String| KINDS.iter().any(|k| k.garments.contains(&name.as_str()));
    let all = garments.is_empty() || !garments.iter().all(known);
    let by = |kind: &Kind| {
        garments
            .iter()
            .any(|name| kind.garments.contains(&name.as_str()))
    };
    KINDS
        .iter()
        .filter(|kind| all || kind.required || by(kind))
        .collect()
}

/// Returns the kind of that name.
pub fn kind(name: &str) -> Option<&'static Kind> {
    KINDS.iter().find(|k| k.name == name)
}

/// Returns every measure in cm: as taken, or derived to the nearest mm from those before it. One that was
/// neither taken nor can be predicted is left out.
pub fn complete(taken: &BTreeMap<&'static str, f64>) -> BTreeMap<&'static str, f64> {
    let mut known = BTreeMap::new();
    for kind in KINDS {
        let look = |name: &str| known.get(name).copied().unwrap_or_default();
        let derived = || kind.predict.map(|predict| to_the_mm(predict(&look)));
        if let Some(cm) = taken.get(kind.name).copied().or_else(derived) {
            known.insert(kind.name, cm);
        }
    }
    known
}

/// Rounds to the nearest mm; a half goes up, also where the conversion from inches left it slightly less.
fn to_the_mm(cm: f64) -> f64 {
    (cm * 10.0 + 1e-6).round() / 10.0
}

/// Returns the kind that has this name elsewhere.
pub fn called(name: &str) -> Option<&'static Kind> {
    KINDS.iter().find(|k| k.also.contains(&name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hundred_comes_out_as_the_house_draws_it() {
        let figure = [
            ("height", 176.0),
            ("chest", 100.0),
            ("waist", 88.0),
            ("seat", 103.0),
            ("neck", 40.0),
        ];
        let known = complete(&BTreeMap::from(figure));
        let expected = [
            ("half_back", 20.0),
            ("shoulder_width", 45.5),
            ("scye_depth", 24.5),
            ("nape_to_waist", 44.5),
            ("jacket_length", 74.8),
            ("sleeve", 63.4),
            ("outside_leg", 108.2),
            ("inside_leg", 81.0),
            ("wrist", 17.5),
        ];
        for (name, cm) in expected {
            assert!((known[name] - cm).abs() < 1e-9, "{name}: {}", known[name]);
        }
    }

    #[test]
    fn rules_are_continuous_where_they_flatten() {
        assert!((half_back(108.0) - half_back(108.000001)).abs() < 1e-5);
        assert!((scye_depth(110.0) - scye_depth(110.000001)).abs() < 1e-5);
        assert!((scye_depth(100.0) - 24.5).abs() < 1e-9);
    }

    #[test]
    fn names_are_distinct_and_every_prediction_falls_in_range() {
        for (i, k) in KINDS.iter().enumerate() {
            assert!(
                KINDS
                    .iter()
                    .skip(i + 1)
                    .all(|o| o.name != k.name && !k.also.contains(&o.name))
            );
            assert!(k.range.0 < k.range.1);
            assert!(k.required || k.predict.is_some());
        }
        let small = [
            ("height", 140.0),
            ("chest", 71.0),
            ("waist", 66.0),
            ("seat", 74.0),
            ("neck", 32.0),
        ];
        let large = [
            ("height", 200.0),
            ("chest", 150.0),
            ("waist", 155.0),
            ("seat", 150.0),
            ("neck", 52.0),
        ];
        for figure in [small, large] {
            for (name, cm) in complete(&BTreeMap::from(figure)) {
                let k = kind(name).unwrap();
                assert!(k.range.0 <= cm && cm <= k.range.1, "{name} {cm}");
            }
        }
    }
}
