//! The measures that a tailor takes: what each is, and how it is taken.
//!
//! The terms are those of ISO 8559-1 (2017), cited from memory.

use super::balance::{front_length, over_shoulder};

/// Measures known so far, in cm, looked up by name while another is predicted.
pub type Look<'a> = &'a dyn Fn(&str) -> f64;

/// One kind of measure: one of the program's, or of a block's own. Lengths in cm.
#[derive(Clone, Copy)]
pub struct Kind<'a> {
    /// Its key in the order.
    pub name: &'a str,
    /// The term of ISO 8559-1, or the trade's where the standard has none.
    pub term: &'a str,
    /// How the tape runs.
    pub taken: &'a str,
    /// What other people call it: for suggestions only.
    pub also: &'static [&'static str],
    /// Whether an order must give it. What is not given is derived (`derive.rs`).
    pub required: bool,
    /// The built-in garments that are drafted by it.
    pub garments: &'static [&'static str],
    /// The prediction of a length of style in words; its lengths are data, as in a
    /// [`Phrase`](super::phrase::Phrase). `None` for a measure of the body.
    pub rule: Option<&'a str>,
    /// Predicts a length of style where it was not chosen; `None` for a measure of the body.
    pub predict: Option<fn(Look) -> f64>,
    /// Least and greatest that a tape can show on a grown person or a well-grown boy.
    pub range: (f64, f64),
    /// Furthest from the prediction that passes without a warning, for a measure in which style has a say; `None`
    /// for a measure of the body, which is judged by the others.
    pub tolerance: Option<f64>,
}

/// Every measure of the program's, in the order they are taken and derived.
pub const KINDS: &[Kind<'static>] = &[
    Kind {
        name: "height",
        term: "stature",
        taken: "top of the head to the ground, without shoes",
        also: &["stature", "tall"],
        required: true,
        garments: &["jacket", "overcoat", "trousers", "waistcoat"],
        rule: None,
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
        garments: &["jacket", "overcoat", "waistcoat"],
        rule: None,
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
        garments: &["jacket", "overcoat", "trousers", "waistcoat"],
        rule: None,
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
        garments: &["jacket", "overcoat", "trousers", "waistcoat"],
        rule: None,
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
        garments: &["jacket", "overcoat", "waistcoat"],
        rule: None,
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
        garments: &["jacket", "overcoat", "waistcoat"],
        rule: None,
        predict: None,
        range: (13.0, 30.0),
        tolerance: None,
    },
    Kind {
        name: "shoulder_width",
        term: "shoulder width",
        taken: "shoulder point to shoulder point, over the back",
        also: &["shoulders", "shoulder", "point_to_point"],
        required: false,
        garments: &["jacket", "overcoat", "waistcoat"],
        rule: None,
        predict: None,
        range: (32.0, 64.0),
        tolerance: None,
    },
    Kind {
        name: "scye_depth",
        term: "scye depth",
        taken: "nape down the centre back to the level of the armpits",
        also: &["armhole", "armscye", "depth_of_scye"],
        required: false,
        garments: &["jacket", "overcoat", "waistcoat"],
        rule: None,
        predict: None,
        range: (15.0, 36.0),
        tolerance: None,
    },
    Kind {
        name: "nape_to_waist",
        term: "back neck point to waist",
        taken: "nape down the centre back to the natural waist",
        also: &["back_length", "back_waist_length", "natural_waist"],
        required: false,
        garments: &["jacket", "overcoat", "waistcoat"],
        rule: None,
        predict: None,
        range: (30.0, 60.0),
        tolerance: None,
    },
    Kind {
        name: "over_shoulder",
        term: "no standard term",
        taken: "centre back half way down to the armpits, over the shoulder point, plumb down to their level in front",
        also: &["over_the_shoulder", "slope"],
        required: false,
        garments: &["jacket", "overcoat", "waistcoat"],
        rule: Some(
            "the house's shoulder on this neck, shoulder_width and scye_depth, and the figure",
        ),
        predict: Some(over_shoulder),
        range: (28.0, 62.0),
        tolerance: Some(4.0),
    },
    Kind {
        name: "front_length",
        term: "back neck point to front waist",
        taken: "nape round the neck at its side, and plumb down over the chest to the natural waist",
        also: &["front_waist_length", "nape_to_front_waist", "balance"],
        required: false,
        garments: &["jacket", "overcoat", "waistcoat"],
        rule: Some("nape_to_waist, the way round the neck and {1.7 cm}, and the figure"),
        predict: Some(front_length),
        range: (38.0, 76.0),
        tolerance: Some(4.0),
    },
    Kind {
        name: "jacket_length",
        term: "no standard term",
        taken: "nape down the centre back to the hem as the client wants it",
        also: &["coat_length", "length"],
        required: false,
        garments: &["jacket"],
        rule: Some(
            "0.425 height; at least nape_to_waist + height / 8 + {5 cm}, so that it covers the seat",
        ),
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
        garments: &["jacket", "overcoat"],
        rule: None,
        predict: None,
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
        rule: None,
        predict: None,
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
        rule: None,
        predict: None,
        range: (52.0, 112.0),
        tolerance: None,
    },
    Kind {
        name: "fork_run",
        term: "total crotch length",
        taken: "natural waist in front, through the fork as loose as trousers sit, to the natural waist behind",
        also: &["crotch_length", "u_rise", "through_the_fork", "rise"],
        required: false,
        garments: &["trousers"],
        rule: None,
        predict: None,
        range: (46.0, 120.0),
        tolerance: None,
    },
    Kind {
        name: "wrist",
        term: "wrist girth",
        taken: "round the wrist bone",
        also: &["cuff"],
        required: false,
        garments: &["jacket", "overcoat"],
        rule: None,
        predict: None,
        range: (12.0, 26.0),
        tolerance: None,
    },
    Kind {
        name: "hand",
        term: "hand girth",
        taken: "round the knuckles, fingers together, without the thumb",
        also: &["knuckles"],
        required: false,
        garments: &["jacket", "overcoat"],
        rule: None,
        predict: None,
        range: (15.0, 33.0),
        tolerance: None,
    },
    Kind {
        name: "biceps",
        term: "upper arm girth",
        taken: "round the fullest part of the upper arm, the arm hanging",
        also: &["upper_arm", "bicep", "arm_girth"],
        required: false,
        garments: &["jacket", "overcoat", "waistcoat"],
        rule: None,
        predict: None,
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
        rule: None,
        predict: None,
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
        rule: None,
        predict: None,
        range: (26.0, 62.0),
        tolerance: None,
    },
];

/// Lists the measures to take for some garments, or for all where none is named or one is a workshop's own.
/// Those that every order must give are always among them.
pub fn wanted(garments: &[String]) -> Vec<&'static Kind<'static>> {
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
pub fn kind(name: &str) -> Option<&'static Kind<'static>> {
    KINDS.iter().find(|k| k.name == name)
}

/// Returns the kind that has this name elsewhere.
pub fn called(name: &str) -> Option<&'static Kind<'static>> {
    KINDS.iter().find(|k| k.also.contains(&name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_distinct() {
        for (i, k) in KINDS.iter().enumerate() {
            let mut later = KINDS.iter().skip(i + 1);
            assert!(
                later.all(|o| o.name != k.name && !k.also.contains(&o.name)),
                "{}",
                k.name
            );
            assert!(k.range.0 < k.range.1);
            assert_eq!(k.rule.is_some(), k.predict.is_some());
        }
    }
}
