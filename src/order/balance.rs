//! Slope and balance by the tape: two measures over the shoulder, and what they say of the figure.
//!
//! Their lengths on a usual figure are those of the jacket's own lines without ease, so that a correction brings
//! the draft to what was taken. Common practice, no source; the first agrees with a scale of 1898, see
//! `tests/measures.rs`.

use super::figure::{Amount, Figure, Side};
use super::{Measures, Origin};

/// Looks up a measure by its name, in cm.
type Look<'a> = &'a dyn Fn(&str) -> f64;

/// Degrees by which the seam of a usual shoulder falls behind and in front.
const FALLS: (f64, f64) = (17.5, 20.0);

/// How far the back neck point lies from the nape, forward and up, in cm.
fn back_neck(m: Look) -> (f64, f64) {
    (m("neck") / 5.0 + 0.2, 2.2)
}

/// Returns the length over the shoulder on a usual figure, in cm: from the centre back, half way to the level of
/// the armpits, to the shoulder point, and plumb to that level.
pub(super) fn over_shoulder(m: Look) -> f64 {
    let (neck, up) = back_neck(m);
    let half = m("shoulder_width") / 2.0 + 0.2;
    let falls = (half - neck) * FALLS.0.to_radians().tan() - up;
    let behind = half.hypot(m("scye_depth") / 2.0 - falls);
    let seam = (half - neck) / FALLS.0.to_radians().cos() - 0.8;
    let front = m("scye_depth") - seam * FALLS.1.to_radians().sin() + 1.7;
    behind + front
}

/// Returns the length in front on a usual figure, in cm: from the nape round the neck, and plumb from the neck
/// point to the waist.
pub(super) fn front_length(m: Look) -> f64 {
    let (neck, up) = back_neck(m);
    let over_stomach = (0.16 * (m("waist") - m("chest") + 1.0)).clamp(0.0, 1.3);
    neck.hypot(up) + m("nape_to_waist") + 1.7 + over_stomach
}

/// Brings a figure and the two measures together: one that was taken corrects the figure, one that was not follows
/// from the figure's words.
pub(super) fn agree(measures: &mut Measures, figure: &mut Figure) {
    let usual = |taken: &Measures, of: fn(Look) -> f64| {
        of(&|name| taken.mm(name).unwrap_or_default() / 10.0)
    };
    let words = |seen: &Figure, name: &str| {
        let [left, right] = [Side::Left, Side::Right].map(|side| seen.cm(name, side));
        (left + right) / 2.0
    };
    let lifted = words(figure, "front_balance") + words(figure, "full_chest")
        - words(figure, "stooping") / 2.0
        - words(figure, "head_forward") / 4.0;
    let front = usual(measures, front_length) + lifted;
    let more = settled(measures, "front_length", front);
    add(figure, "front_balance", more);
    // A shoulder that slopes is lower behind and in front; one that the balance lifts, in front.
    let slopes = words(figure, "sloping_shoulders");
    let half = measures.mm("shoulder_width").unwrap_or_default() / 20.0;
    let depth = measures.mm("scye_depth").unwrap_or_default() / 20.0;
    let by = 1.0 + depth / half.hypot(depth).max(1.0);
    let over = usual(measures, over_shoulder) + lifted + more - by * slopes;
    let longer = settled(measures, "over_shoulder", over);
    add(figure, "sloping_shoulders", -longer / by);
}

/// Returns how much longer a measure was taken than a figure has it, in cm; one that was not taken is set to what
/// the figure has.
fn settled(measures: &mut Measures, name: &str, cm: f64) -> f64 {
    match measures.0.get_mut(name) {
        Some(measure) if measure.origin == Origin::Taken => measure.mm / 10.0 - cm,
        Some(measure) => {
            measure.mm = (10.0 * cm).round();
            0.0
        }
        None => 0.0,
    }
}

/// Adds to a correction of both sides, to the mm.
fn add(figure: &mut Figure, name: &'static str, cm: f64) {
    let cm = (10.0 * cm).round() / 10.0;
    if cm != 0.0 {
        figure.add(name, Amount::both(cm));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::Measure;

    fn hundred(taken: &[(&str, f64)]) -> Measures {
        let all = [
            ("chest", 100.0),
            ("waist", 88.0),
            ("neck", 40.0),
            ("shoulder_width", 45.5),
            ("scye_depth", 24.5),
            ("nape_to_waist", 44.5),
            ("over_shoulder", 0.0),
            ("front_length", 0.0),
        ];
        let measure = |(name, cm): (&str, f64)| {
            let own = taken.iter().find(|(own, _)| *own == name);
            let origin = if own.is_some() {
                Origin::Taken
            } else {
                Origin::Derived
            };
            let mm = 10.0 * own.map_or(cm, |(_, cm)| *cm);
            (
                name.to_owned(),
                Measure {
                    mm,
                    origin,
                    open: 0.0,
                },
            )
        };
        Measures(all.map(measure).into())
    }

    #[test]
    fn a_measure_and_the_words_say_the_same() {
        let mut sloping = Figure::default();
        sloping.add("sloping_shoulders", Amount::both(1.0));
        sloping.add("front_balance", Amount::both(-0.5));
        let mut measures = hundred(&[]);
        agree(&mut measures, &mut sloping.clone());
        let lengths =
            ["over_shoulder", "front_length"].map(|name| measures.mm(name).unwrap() / 10.0);
        let mut taken = hundred(&[("over_shoulder", lengths[0]), ("front_length", lengths[1])]);
        let mut figure = Figure::default();
        agree(&mut taken, &mut figure);
        for name in ["sloping_shoulders", "front_balance"] {
            let (seen, taped) = (sloping.cm(name, Side::Left), figure.cm(name, Side::Left));
            assert!((seen - taped).abs() < 0.11, "{name}: {seen} {taped}");
        }
    }

    #[test]
    fn a_usual_figure_is_not_corrected() {
        let mut measures = hundred(&[]);
        agree(&mut measures, &mut Figure::default());
        let over = measures.mm("over_shoulder").unwrap() / 10.0;
        let mut figure = Figure::default();
        agree(&mut hundred(&[("over_shoulder", over)]), &mut figure);
        assert_eq!(figure, Figure::default());
    }

    /// The line from the nape over the shoulder to the front of the scye rises and falls with the shoulder point, by the
    /// cosine of its angle with it: depth / hypot(half the shoulder's width, depth), both half way. It is also measured
    /// down from there, once in full.
    #[test]
    fn a_sloping_shoulder_takes_its_part_of_the_over_shoulder() {
        let over = |slope: f64| {
            let mut figure = Figure::default();
            figure.add("sloping_shoulders", Amount::both(slope));
            let mut measures = hundred(&[]);
            agree(&mut measures, &mut figure);
            measures.mm("over_shoulder").unwrap()
        };
        let (half, depth) = (45.5 / 2.0, 24.5 / 2.0);
        let by = 1.0 + depth / f64::hypot(half, depth);
        let fallen = over(0.0) - over(1.0);
        assert!((fallen - 10.0 * by).abs() <= 1.0, "{fallen} {by}");
    }
}
