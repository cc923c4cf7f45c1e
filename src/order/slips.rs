//! Guesses at the slip of pen or tape behind a measure that cannot be right.
//!
//! Every common slip is tried on every measure. The one that leaves the likeliest body is reported, if it
//! explains the measure better than an unusual body does.

use super::length::Unit;
use super::likely::{DOUBT, Expected, Likely, Model, NAMES};
use std::collections::BTreeMap;

/// A measure that does not go with the others.
#[derive(Debug, Clone)]
pub struct Doubt {
    /// Which.
    pub name: &'static str,
    /// What the others say.
    pub expected: Expected,
    /// The slip that probably explains it, in words, if any does.
    pub slip: Option<String>,
}

/// A slip, by what it would put right.
#[derive(Debug, Clone)]
struct Slip {
    /// The measures as they were meant, cm.
    meant: Vec<(&'static str, f64)>,
    /// The question to ask of the user.
    words: String,
    /// How rare it is, in units of the model's surprise.
    seldom: f64,
}

/// Most standard deviations that a measure may be off once a slip has put it right.
const RIGHT: f64 = 2.8;
/// Cost of assuming an unusual body instead of a slip, in units of the model's surprise.
const SIMPLY_SO: f64 = 10.0;
/// A second slip is named with the first where it is less likely by no more than this, in units of the model's
/// surprise.
const AS_LIKELY: f64 = 4.0;
/// The most doubts that are reported; more come from one mistake that is not understood.
const MOST: usize = 6;

/// How many times as long as where the collar sits a neck is round its base: 43.4 against 39.7 cm, the means of
/// the 400 men of the survey.
const BASE: f64 = 1.093;
/// A neck of more standard deviations than this beyond what the others predict was probably taken round its
/// base. By the model this finds more than half of such measures, and doubts 6 in 1000 that are right.
const BASE_DOUBT: f64 = 2.25;

/// Finds the measures, in cm, that do not go with the others. Each is put right, or left out, before the next
/// is looked for.
pub fn doubts(taken: &BTreeMap<&'static str, f64>, unit: Unit) -> Vec<Doubt> {
    doubts_by(Model::survey(), taken, unit)
}

/// Finds the same by another model than the survey's.
pub fn doubts_by(model: &Model, taken: &BTreeMap<&'static str, f64>, unit: Unit) -> Vec<Doubt> {
    let mut body = taken.clone();
    let mut found = Vec::new();
    while found.len() < MOST {
        let likely = Likely::by(model, &body);
        let off = |name: &str| likely.deviation(name).map_or(0.0, f64::abs);
        let worst = body
            .keys()
            .copied()
            .max_by(|a, b| off(a).total_cmp(&off(b)));
        let Some(worst) = worst.filter(|name| off(name) > DOUBT) else {
            break;
        };
        let simply_so = likely.surprise() - off(worst).powi(2) + SIMPLY_SO;
        let slip = most_likely(model, &body, &likely, unit, simply_so);
        let named = match &slip {
            Some((slip, _)) => {
                let names = slip.meant.iter().map(|(name, _)| *name);
                names.max_by(|a, b| off(a).total_cmp(&off(b)))
            }
            None => Some(worst),
        };
        let Some((name, expected)) = named.and_then(|name| Some((name, likely.expected(name)?)))
        else {
            break;
        };
        found.push(Doubt {
            name,
            expected,
            slip: slip
                .as_ref()
                .map(|(best, other)| told(best, other.as_ref())),
        });
        match slip {
            Some((slip, _)) => body.extend(slip.meant),
            None => {
                body.remove(worst);
            }
        }
    }
    found.extend(base_of_neck(model, &body, unit).filter(|_| found.len() < MOST));
    found
}

/// Doubts a neck that nothing else makes doubtful, if it was probably taken round its base.
fn base_of_neck(model: &Model, body: &BTreeMap<&'static str, f64>, unit: Unit) -> Option<Doubt> {
    let name = "neck";
    let likely = Likely::by(model, body);
    let deviation = likely.deviation(name)?;
    let expected = likely.expected(name)?;
    let written = body.get(name)? * 10.0 / unit.mm();
    let base = |slip: &Slip| slip.words.contains("base of the neck");
    let slip = slips(name, written, unit).into_iter().find(base)?;
    (deviation > BASE_DOUBT).then_some(Doubt {
        name,
        expected,
        slip: Some(slip.words),
    })
}

/// Finds the slip that leaves the likeliest body, if its surprise is less than `simply_so`, and the next best,
/// if that is another kind of slip and hardly less likely.
fn most_likely(
    model: &Model,
    body: &BTreeMap<&'static str, f64>,
    likely: &Likely,
    unit: Unit,
    simply_so: f64,
) -> Option<(Slip, Option<Slip>)> {
    let single = body
        .iter()
        .flat_map(|(name, cm)| slips(name, cm * 10.0 / unit.mm(), unit));
    let mut tried: Vec<(f64, Slip)> = single
        .chain(exchanges(body))
        .map(|slip| (likely.surprise_with(&slip.meant) + slip.seldom, slip))
        .filter(|(surprise, _)| *surprise < simply_so)
        .collect();
    tried.sort_by(|a, b| a.0.total_cmp(&b.0));
    let right = |slip: &Slip| {
        let mut body = body.clone();
        body.extend(slip.meant.iter().copied());
        let corrected = Likely::by(model, &body);
        let off = |name: &str| corrected.deviation(name).map_or(0.0, f64::abs);
        slip.meant.iter().all(|(name, _)| off(name) < RIGHT)
    };
    best_two(tried.into_iter().filter(|(_, slip)| right(slip)))
}

/// Suggests the slip behind a measure that nobody can have. `others` are the measures that are possible; `fits`
/// tells whether a value is.
pub fn meant(
    name: &'static str,
    cm: f64,
    unit: Unit,
    others: &BTreeMap<&'static str, f64>,
    fits: impl Fn(f64) -> bool,
) -> Option<String> {
    let likely = Likely::of(others);
    let expected = likely.expected(name);
    // How far off a value is, in the model's surprise; without anything known, all values are alike.
    let off = |value: f64| match expected {
        Some(e) => (DOUBT * (value / e.cm).ln() / (e.most / e.cm).ln()).powi(2),
        None => 0.0,
    };
    let one = |slip: &Slip| slip.meant.first().map_or(0.0, |(_, meant)| *meant);
    let tried = slips(name, cm * 10.0 / unit.mm(), unit).into_iter();
    let mut tried: Vec<(f64, Slip)> = tried
        .filter(|slip| fits(one(slip)) && off(one(slip)) < DOUBT * DOUBT)
        .map(|slip| (off(one(&slip)) + slip.seldom, slip))
        .collect();
    tried.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (best, other) = best_two(tried.into_iter())?;
    Some(told(&best, other.as_ref()))
}

/// Returns the likeliest slip, and the next, if it is another kind of slip and hardly less likely.
fn best_two(mut tried: impl Iterator<Item = (f64, Slip)>) -> Option<(Slip, Option<Slip>)> {
    let (surprise, best) = tried.next()?;
    let kind = |slip: &Slip| slip.words.split(['?', ',', ':']).next().map(str::to_owned);
    let other = tried
        .take_while(|(other, _)| *other < surprise + AS_LIKELY)
        .map(|(_, slip)| slip)
        .find(|slip| kind(slip) != kind(&best));
    Some((best, other))
}

/// Writes the one or two slips that a message names.
fn told(best: &Slip, other: Option<&Slip>) -> String {
    match other {
        Some(other) => format!("{}; or: {}", best.words, other.words),
        None => best.words.clone(),
    }
}

/// Tells whether an impossible measure and another were exchanged: each fits the other's place. `others` are
/// the measures that are possible.
pub fn exchanged(
    one: (&'static str, f64),
    two: (&'static str, f64),
    others: &BTreeMap<&'static str, f64>,
) -> bool {
    let mut rest = others.clone();
    rest.retain(|name, _| *name != one.0 && *name != two.0);
    let likely = Likely::of(&rest);
    let fits = |name: &str, cm: f64| match likely.expected(name) {
        Some(e) => (e.least..=e.most).contains(&cm),
        None => false,
    };
    // A value only just beyond its own range was not meant for another measure.
    fits(one.0, two.1) && fits(two.0, one.1) && !fits(one.0, one.1)
}

/// Lists what a measure, written as a number in a unit, may have been meant to be.
fn slips(name: &'static str, written: f64, unit: Unit) -> Vec<Slip> {
    let mut found = Vec::new();
    let mut slip = |cm: f64, seldom: f64, words: String| {
        if cm.is_finite() && cm > 1.0 {
            found.push(Slip {
                meant: vec![(name, cm)],
                words,
                seldom,
            });
        }
    };
    let cm = |number: f64| number * unit.mm() / 10.0;
    let show = |number: f64| unit.show(number * unit.mm());
    let short = (written * 100.0).round() / 100.0;
    match unit {
        Unit::Cm => {
            let in_inches = format!("if it was taken in inches, write \"{short} in\"");
            slip(written * 2.54, 0.0, in_inches);
            let in_mm = format!("if it was taken in mm, write \"{short} mm\"");
            slip(written / 10.0, 1.0, in_mm);
            let metres = (short * 1e4).round() / 100.0;
            slip(
                written * 100.0,
                1.0,
                format!("if it is in metres, write {metres}"),
            );
        }
        Unit::Inch => {
            let in_cm = format!("if it was taken in cm, write \"{short} cm\"");
            slip(written, 0.0, in_cm);
            let point = show(written / 10.0);
            let moved = format!("is the decimal point in the wrong place? {point}");
            slip(cm(written / 10.0), 3.0, moved);
        }
    }
    if name == "neck" {
        let collar = show(written / BASE);
        let words = format!(
            "if it was taken round the base of the neck, take it where the shirt collar sits: about {collar}"
        );
        slip(cm(written / BASE), 2.0, words);
    }
    let point = show(written * 10.0);
    let moved = format!("is the decimal point in the wrong place? {point}");
    slip(cm(written * 10.0), 2.0, moved);
    if name == "half_back" {
        let words = format!("give half of the back: {}", show(written / 2.0));
        slip(cm(written / 2.0), 0.0, words);
    } else if !["height", "nape_to_waist", "scye_depth"].contains(&name) {
        let words = format!(
            "if this is half of the measure, give the whole: {}",
            show(written * 2.0)
        );
        slip(cm(written * 2.0), 2.0, words);
    }
    for (number, seldom, words) in digits(written) {
        slip(cm(number), seldom, format!("{words} {}", show(number)));
    }
    found
}

/// Lists the number with two digits exchanged, one more or one less.
fn digits(written: f64) -> Vec<(f64, f64, &'static str)> {
    let written_out = format!("{}", (written * 100.0).round() / 100.0);
    let digits: Vec<char> = written_out.chars().collect();
    let whole = digits.iter().take_while(|c| c.is_ascii_digit()).count();
    let mut found = Vec::new();
    let mut add = |changed: Vec<char>, seldom: f64, words: &'static str| {
        let text: String = changed.into_iter().collect();
        if text != *format!("{written}")
            && !text.starts_with('0')
            && let Ok(number) = text.parse::<f64>()
        {
            found.push((number, seldom, words));
        }
    };
    // Two digits side by side, or on both sides of the point.
    let places: Vec<usize> = (0..digits.len())
        .filter(|i| digits[*i].is_ascii_digit())
        .collect();
    for pair in places.windows(2) {
        if let [a, b] = pair
            && digits[*a] != digits[*b]
        {
            let mut digits = digits.clone();
            digits.swap(*a, *b);
            add(digits, 3.0, "were two digits swapped?");
        }
    }
    for at in 0..=whole {
        for digit in '0'..='9' {
            let mut digits = digits.clone();
            digits.insert(at, digit);
            add(digits, 5.0, "is a digit missing?");
        }
    }
    for at in 0..whole {
        let mut digits = digits.clone();
        digits.remove(at);
        add(digits, 6.0, "is there a digit too many?");
    }
    found
}

/// Tells whether two measures stand near each other on the form.
fn beside(a: &str, b: &str) -> bool {
    let place = |name: &str| NAMES.iter().position(|n| *n == name).unwrap_or_default();
    place(a).abs_diff(place(b)) <= 2
}

/// Lists every pair of measures exchanged.
fn exchanges(body: &BTreeMap<&'static str, f64>) -> Vec<Slip> {
    let known: Vec<(&'static str, f64)> = NAMES
        .iter()
        .filter_map(|name| Some((*name, *body.get(name)?)))
        .collect();
    let mut found = Vec::new();
    for (i, (a, a_cm)) in known.iter().enumerate() {
        for (b, b_cm) in known.iter().skip(i + 1) {
            found.push(Slip {
                meant: vec![(*a, *b_cm), (*b, *a_cm)],
                words: format!("were {a} and {b} swapped?"),
                seldom: if beside(a, b) { 2.0 } else { 8.0 },
            });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_neck_round_its_base_is_doubted() {
        let doubted = |neck: f64, unit| {
            let body = [
                ("height", 176.0),
                ("chest", 100.0),
                ("waist", 88.0),
                ("seat", 103.0),
                ("neck", neck),
            ];
            let mut doubts = doubts(&BTreeMap::from(body), unit).into_iter();
            doubts.next().and_then(|doubt| doubt.slip)
        };
        for neck in [37.0, 39.7, 40.0, 41.0] {
            assert_eq!(doubted(neck, Unit::Cm), None, "{neck}");
        }
        let told = doubted(43.7, Unit::Cm).unwrap();
        assert!(
            told.ends_with("where the shirt collar sits: about 40 cm"),
            "{told}"
        );
        let in_inches = doubted(43.7, Unit::Inch).unwrap();
        assert!(in_inches.ends_with("about 15 3/4 in"), "{in_inches}");
    }

    #[test]
    fn each_slip_is_told_with_what_was_meant() {
        let told = |name: &'static str, cm: f64, unit: Unit, right: f64| {
            let fits = |value: f64| (value - right).abs() < 0.15;
            meant(name, cm, unit, &BTreeMap::new(), fits).unwrap_or_default()
        };
        for (name, cm, unit, right, help) in [
            ("half_back", 44.0, Unit::Cm, 22.0, "half of the back: 22 cm"),
            ("waist", 44.0, Unit::Cm, 88.0, "give the whole: 88 cm"),
            ("waist", 880.0, Unit::Cm, 88.0, "write \"880 mm\""),
            ("waist", 8.8, Unit::Cm, 88.0, "in the wrong place? 88 cm"),
            ("waist", 0.88, Unit::Cm, 88.0, "write 88"),
            ("waist", 35.0, Unit::Cm, 88.9, "write \"35 in\""),
            (
                "waist",
                863.6,
                Unit::Inch,
                86.36,
                "in the wrong place? 34 in",
            ),
            ("waist", 228.6, Unit::Inch, 90.0, "write \"90 cm\""),
            (
                "neck",
                43.7,
                Unit::Cm,
                40.0,
                "where the shirt collar sits: about 40 cm",
            ),
        ] {
            let told = told(name, cm, unit, right);
            assert!(told.contains(help), "{name} {cm}: {told}");
        }
    }
}
