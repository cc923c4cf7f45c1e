//! Where on a garment made up each alteration of a baste is seen, to be pressed on its picture.

use super::seen::Seen;
use crate::draft::{Draft, Form};

/// A place on the picture of a garment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    /// The correction that is altered there.
    pub correction: &'static str,
    /// Its place as shares of the garment's width and height as it is seen, from the left and from the top. One that
    /// is on both sides of the figure is given on the viewer's left.
    pub at: [f64; 2],
}

const fn spot(correction: &'static str, x: f64, y: f64) -> Spot {
    Spot {
        correction,
        at: [x, y],
    }
}

/// Of a coat, the sleeves hang beside it and take a fifth of its width on either side (judged on the drawings).
const COAT_FRONT: [Spot; 8] = [
    spot("sloping_shoulders", 0.2, 0.085),
    spot("shoulder_back", 0.3, 0.055),
    spot("front_balance", 0.4, 0.36),
    spot("side_seams", 0.25, 0.42),
    spot("belly_cut", 0.36, 0.66),
    spot("arms_forward", 0.12, 0.45),
    spot("long_arms", 0.07, 0.85),
    spot("coat_length", 0.32, 0.975),
];
const COAT_BACK: [Spot; 9] = [
    spot("collar_height", 0.5, 0.045),
    spot("sloping_shoulders", 0.2, 0.085),
    spot("back_balance", 0.5, 0.17),
    spot("drape", 0.32, 0.22),
    spot("side_seams", 0.27, 0.46),
    spot("hollow_back", 0.5, 0.48),
    spot("arms_forward", 0.12, 0.45),
    spot("long_arms", 0.07, 0.85),
    spot("coat_length", 0.36, 0.975),
];
const WAISTCOAT: [Spot; 2] = [
    spot("sloping_shoulders", 0.22, 0.03),
    spot("side_seams", 0.06, 0.72),
];
const TROUSERS_FRONT: [Spot; 3] = [
    spot("trouser_waist", 0.5, 0.02),
    spot("full_thighs", 0.24, 0.32),
    spot("trouser_length", 0.13, 0.975),
];
const TROUSERS_BACK: [Spot; 4] = [
    spot("trouser_waist", 0.5, 0.02),
    spot("trouser_seat", 0.38, 0.17),
    spot("prominent_seat", 0.5, 0.24),
    spot("trouser_length", 0.13, 0.975),
];

/// Lists the places of a garment as it is seen from a side; none for one whose form is not known.
pub(super) fn spots(draft: &Draft, seen: Seen) -> &'static [Spot] {
    let form = Form::of(draft).ok().flatten();
    match (form, seen) {
        (Some(Form::Coat), Seen::Front) => &COAT_FRONT,
        (Some(Form::Coat), Seen::Back) => &COAT_BACK,
        (Some(Form::Waistcoat), Seen::Front | Seen::Back) => &WAISTCOAT,
        (Some(Form::Trousers), Seen::Front) => &TROUSERS_FRONT,
        (Some(Form::Trousers), Seen::Back) => &TROUSERS_BACK,
        (_, Seen::Inside) | (None, _) => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::alterations::ALTERATIONS;

    #[test]
    fn every_alteration_has_a_place_and_every_place_an_alteration() {
        let all = [
            &COAT_FRONT[..],
            &COAT_BACK,
            &WAISTCOAT,
            &TROUSERS_FRONT,
            &TROUSERS_BACK,
        ]
        .concat();
        for altered in ALTERATIONS {
            let has = all.iter().any(|spot| spot.correction == altered.correction);
            assert!(has, "{}", altered.correction);
        }
        for spot in all {
            let mut known = ALTERATIONS.iter();
            assert!(known.any(|altered| altered.correction == spot.correction));
            assert!(spot.at.iter().all(|share| (0.0..=1.0).contains(share)));
            // Those beside the middle are given once, on the left.
            assert!(spot.at[0] <= 0.5, "{spot:?}");
        }
    }
}
