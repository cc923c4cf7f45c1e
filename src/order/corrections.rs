//! The corrections of a draft for a client's figure.
//!
//! A correction is one operation on the draft (its file in `blocks/` says which) and one number, in
//! cm. Common practice of the trade, no source.

use super::length::{Unit, parse};

/// One thing the draft can be corrected for: one of the program's, or of a block's own.
#[derive(Debug, Clone, Copy)]
pub struct Correction<'a> {
    /// Its key in `[figure]`, and its name in the blocks.
    pub name: &'a str,
    /// The key that means the same turned round: `erect` for `stooping`.
    pub opposite: Option<&'a str>,
    /// What is seen or wanted.
    pub about: &'a str,
    /// The most that is believed, in cm (for stages, the last one), either way.
    pub most: f64,
    /// How it is measured.
    pub measured: Measured,
    /// Whether left and right may differ.
    pub sided: bool,
    /// Whether it may be negative. Some features of a figure are there or not, and have no opposite.
    pub either_way: bool,
    /// Other words for it: for suggestions only.
    pub also: &'static [&'static str],
}

/// How a correction is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measured {
    /// In cm.
    Length,
    /// In cm, or in degrees of so many cm each.
    Slope(f64),
    /// By stages, in whole numbers.
    Stage,
}

/// Makes a correction in cm that is the same on both sides.
const fn length(
    name: &'static str,
    opposite: Option<&'static str>,
    about: &'static str,
    most: f64,
    also: &'static [&'static str],
) -> Correction<'static> {
    Correction {
        name,
        opposite,
        about,
        most,
        measured: Measured::Length,
        sided: false,
        either_way: true,
        also,
    }
}

/// Makes a correction in cm of which left and right may differ.
const fn sided(
    name: &'static str,
    opposite: Option<&'static str>,
    about: &'static str,
    most: f64,
    also: &'static [&'static str],
) -> Correction<'static> {
    Correction {
        sided: true,
        ..length(name, opposite, about, most, also)
    }
}

/// Makes a correction of what is there or not.
const fn one_way(correction: Correction<'static>) -> Correction<'static> {
    Correction {
        either_way: false,
        ..correction
    }
}

/// Every correction of the program's, from head to foot.
pub const CORRECTIONS: &[Correction<'static>] = &[
    Correction {
        // A degree lifts the nape by the half back (20) times its tangent.
        measured: Measured::Slope(0.35),
        ..length(
            "stooping",
            Some("erect"),
            "makes the back longer, and the front shorter by half as much",
            4.0,
            &["stoop", "stooped", "posture", "upright"],
        )
    },
    length(
        "back_balance",
        None,
        "makes the back longer from the shoulder down (shorter, if negative)",
        4.0,
        &["balance", "long_back"],
    ),
    length(
        "front_balance",
        None,
        "makes the front longer from the shoulder down (shorter, if negative)",
        4.0,
        &["long_front"],
    ),
    one_way(length(
        "head_forward",
        None,
        "how far the neck stands forward",
        3.0,
        &["forward_head", "neck_forward"],
    )),
    Correction {
        // A degree lowers the end of a shoulder seam of 15 by this much.
        measured: Measured::Slope(0.26),
        ..sided(
            "sloping_shoulders",
            Some("square_shoulders"),
            "how much lower than usual the shoulder's end is",
            3.0,
            &[
                "low_shoulder",
                "shoulder_drop",
                "sloping",
                "shoulders",
                "square",
            ],
        )
    },
    sided(
        "prominent_blades",
        Some("flat_blades"),
        "fullness over the shoulder blades, eased in at the shoulder seam",
        2.0,
        &["blades", "blade"],
    ),
    one_way(length(
        "round_back",
        None,
        "makes the back longer, opened at the centre",
        3.0,
        &["rounded_back"],
    )),
    one_way(length(
        "hollow_back",
        None,
        "takes in more at the centre back of the waist",
        2.0,
        &["sway_back", "hollow_waist"],
    )),
    length(
        "full_chest",
        Some("flat_chest"),
        "makes the front longer over the chest, with the neck further back",
        2.5,
        &["chest", "pigeon_chest", "hollow_chest"],
    ),
    Correction {
        measured: Measured::Stage,
        either_way: false,
        ..length(
            "corpulent",
            None,
            "how far the stomach stands out beyond what the waist shows, in stages",
            4.0,
            &["belly", "stomach", "stout"],
        )
    },
    length(
        "belly_cut",
        None,
        "makes the belly cut along the hip pocket wider than the waist asks for (narrower, if negative)",
        2.0,
        &["belly_wedge"],
    ),
    sided(
        "long_arms",
        Some("short_arms"),
        "makes the sleeves longer than measured",
        6.0,
        &["arm_length", "sleeves"],
    ),
    sided(
        "arms_forward",
        Some("arms_back"),
        "pitches the sleeve forward along the scye",
        1.5,
        &["pitch", "arm_pitch", "sleeve_pitch"],
    ),
    length(
        "prominent_seat",
        Some("flat_seat"),
        "makes the trousers longer over the seat",
        3.0,
        &["seat"],
    ),
    length(
        "full_thighs",
        None,
        "gives more room round the thigh, all round",
        5.0,
        &["thighs"],
    ),
    length(
        "bow_legs",
        Some("knock_knees"),
        "moves the knee of the trousers outward",
        2.5,
        &["bowed_legs", "knees"],
    ),
    one_way(sided(
        "high_hip",
        None,
        "how much higher the hip is: the trousers rise and the jacket is wider on that side",
        2.5,
        &["hip", "low_hip"],
    )),
    // The rest is seldom seen on the client and often at a baste.
    length(
        "side_seams",
        None,
        "lets out each side seam from the scye to the hem (takes in, if negative)",
        3.0,
        &["side_seam", "sides"],
    ),
    length(
        "shoulder_back",
        None,
        "moves the front of the shoulder back",
        2.0,
        &["crooken", "pass_shoulder"],
    ),
    length(
        "collar_height",
        None,
        "raises the collar at the back of the neck (lowers, if negative)",
        1.5,
        &["collar"],
    ),
    length(
        "drape",
        None,
        "gives more drape: each side wider across the blade",
        2.0,
        &["back_width"],
    ),
    length(
        "coat_length",
        None,
        "makes the jacket longer than measured (shorter, if negative)",
        8.0,
        &["length", "jacket_length"],
    ),
    length(
        "trouser_waist",
        None,
        "gives more round the waist of the trousers, at the seat seam and sides (less, if negative)",
        6.0,
        &["waist"],
    ),
    length(
        "trouser_seat",
        None,
        "gives more round the seat of the trousers (less, if negative)",
        6.0,
        &["seat_width"],
    ),
    sided(
        "trouser_length",
        None,
        "makes the trousers longer than measured (shorter, if negative)",
        8.0,
        &["leg_length"],
    ),
];

impl Correction<'_> {
    /// Tells which way a key of `[figure]` names it: 1, or -1 for the opposite; `None` for another's key.
    pub(super) fn way(&self, key: &str) -> Option<f64> {
        match self.name == key {
            true => Some(1.0),
            false => (self.opposite == Some(key)).then_some(-1.0),
        }
    }
}

/// Returns the correction of the program's that a key of `[figure]` names, with 1, or -1 for the opposite.
pub fn correction(key: &str) -> Option<(&'static Correction<'static>, f64)> {
    CORRECTIONS.iter().find_map(|c| Some((c, c.way(key)?)))
}

/// Lists every key of the program's that `[figure]` may have.
pub fn keys() -> impl Iterator<Item = &'static str> {
    CORRECTIONS
        .iter()
        .flat_map(|c| [Some(c.name), c.opposite].into_iter().flatten())
}

/// Reads an amount in cm: a length, or degrees for a slope.
///
/// # Errors
/// Returns what is wrong where the text is no length, or is in degrees and the correction is no slope.
pub fn read(text: &str, correction: &Correction) -> Result<f64, String> {
    let text = text.trim();
    let degrees = text
        .strip_suffix("degrees")
        .or_else(|| text.strip_suffix("deg"));
    match (
        degrees.or_else(|| text.strip_suffix('°')),
        correction.measured,
    ) {
        (Some(number), Measured::Slope(each)) => {
            let number: f64 = number
                .trim()
                .parse()
                .map_err(|_| "this is not a number of degrees")?;
            Ok(number * each)
        }
        (Some(_), _) => Err("this is a length, not an angle".into()),
        (None, _) => {
            let (sign, text) = match text.strip_prefix('-') {
                Some(rest) => (-1.0, rest),
                None => (1.0, text),
            };
            Ok(sign * parse(text, Unit::Cm)? / 10.0)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slopes_are_read_in_degrees_too() {
        let (stooping, _) = correction("stooping").unwrap();
        assert_eq!(read("1.5", stooping), Ok(1.5));
        assert_eq!(read("-15 mm", stooping), Ok(-1.5));
        assert!((read("4 deg", stooping).unwrap() - 1.4).abs() < 1e-9);
        assert!(read("4 deg", correction("drape").unwrap().0).is_err());
    }
}
