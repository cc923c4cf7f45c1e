//! Measures that were not taken, derived from those that were.
//!
//! The house says what each is on its reference figure, as the trade has it. From there it changes as it does
//! among living men ([`Model::survey`]), whatever was taken, or by a rule of the house's own. What a survey's
//! landmarks say of levels is left aside: they are not the tailor's.

use super::house::{House, HouseValue};
use super::likely::{Likely, Model};
use super::measures::{KINDS, Kind};
use std::collections::BTreeMap;

/// The figure that the house drafts from, in cm; common practice, no source.
pub const FIGURE: [(&str, f64); 5] = [
    ("height", 176.0),
    ("chest", 100.0),
    ("waist", 88.0),
    ("seat", 103.0),
    ("neck", 40.0),
];

/// Numbers of a rule of the house's own: the value on the figure, and how much more for a cm of each of its
/// measures.
pub(super) const NUMBERS: usize = 1 + FIGURE.len();

/// A measure in cm, and how much of it is not known: the standard deviation of what it may be, 0 where it was
/// taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// The length or girth.
    pub cm: f64,
    /// Its standard deviation.
    pub open: f64,
}

impl Kind<'_> {
    /// Returns the name under which the house says how this measure is derived; `None` where the house does not.
    pub(super) fn derived(&self) -> Option<String> {
        let by_house = !self.required && self.predict.is_none();
        by_house.then(|| format!("derived.{}", self.name))
    }
}

/// Returns every measure: as taken, or derived to the nearest mm. One that was neither taken nor can be derived
/// is left out.
pub fn complete(
    taken: &BTreeMap<&'static str, f64>,
    house: &House,
) -> BTreeMap<&'static str, Known> {
    complete_by(Model::survey(), taken, house)
}

/// Returns every measure as [`complete`] does, by a given model of living men.
pub fn complete_by(
    men: &Model,
    taken: &BTreeMap<&'static str, f64>,
    house: &House,
) -> BTreeMap<&'static str, Known> {
    let model = trade(men, house);
    let likely = Likely::by(&model, taken);
    let mut known: BTreeMap<&'static str, Known> = BTreeMap::new();
    for kind in KINDS {
        let found = match taken.get(kind.name) {
            Some(cm) => Some(Known { cm: *cm, open: 0.0 }),
            None => kind
                .derived()
                .and_then(|name| derived(kind, house.values().get(&name)?, taken, &likely)),
        };
        known.extend(found.map(|one| (kind.name, one)));
    }
    // Lengths of style follow from the body's.
    for kind in KINDS {
        let look = |name: &str| known.get(name).map_or(0.0, |known| known.cm);
        if let (None, Some(predict)) = (known.get(kind.name), kind.predict) {
            let cm = to_the_mm(predict(&look));
            known.insert(kind.name, Known { cm, open: 0.0 });
        }
    }
    known
}

/// Derives one measure of the body.
fn derived(
    kind: &Kind,
    value: &HouseValue,
    taken: &BTreeMap<&'static str, f64>,
    likely: &Likely,
) -> Option<Known> {
    let expected = likely.expected(kind.name)?;
    let cm = match value {
        HouseValue::Along(rule) => by_rule(rule, taken)?,
        HouseValue::Number(_) => expected.cm,
        HouseValue::Word(_) => return None,
    };
    let (least, most) = kind.range;
    Some(Known {
        cm: to_the_mm(cm.clamp(least, most)),
        open: expected.deviation(),
    })
}

/// Works out a rule of the house's own.
fn by_rule(rule: &[f64], taken: &BTreeMap<&'static str, f64>) -> Option<f64> {
    let (first, slopes) = rule.split_first()?;
    FIGURE
        .iter()
        .zip(slopes)
        .try_fold(*first, |cm, ((name, usual), slope)| {
            Some(cm + slope * (taken.get(name)? - usual))
        })
}

/// Returns the model of living men, moved so that it expects of the reference figure what the house has for it.
fn trade(men: &Model, house: &House) -> Model {
    let figure = BTreeMap::from(FIGURE);
    let values = KINDS.iter().filter_map(|kind| {
        let cm = match house.values().get(&kind.derived()?)? {
            HouseValue::Number(cm) => *cm,
            HouseValue::Along(rule) => *rule.first()?,
            HouseValue::Word(_) => return None,
        };
        Some((kind.name, cm))
    });
    men.expecting(&values.collect(), &figure)
}

/// Rounds to the nearest mm; a half goes up, also where the conversion from inches left it slightly less.
fn to_the_mm(cm: f64) -> f64 {
    (cm * 10.0 + 1e-6).round() / 10.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::measures::kind;
    use toml::Value;

    fn completed(figure: [f64; 5], house: &House) -> BTreeMap<&'static str, Known> {
        let names = FIGURE.map(|(name, _)| name);
        complete(&names.into_iter().zip(figure).collect(), house)
    }

    #[test]
    fn the_hundred_comes_out_as_the_trade_has_it() {
        let known = completed(FIGURE.map(|(_, cm)| cm), &House::built_in().unwrap());
        let expected = [
            ("half_back", 20.0),
            ("shoulder_width", 45.5),
            ("scye_depth", 24.5),
            ("nape_to_waist", 44.5),
            ("jacket_length", 74.8),
            ("sleeve", 63.4),
            ("outside_leg", 108.2),
            ("inside_leg", 81.0),
            ("fork_run", 66.6),
            ("wrist", 17.5),
            ("biceps", 32.0),
        ];
        for (name, cm) in expected {
            assert!(
                (known[name].cm - cm).abs() < 1e-9,
                "{name}: {:?}",
                known[name]
            );
        }
        assert_eq!(known["chest"].open, 0.0);
        assert!(
            (1.5..2.5).contains(&known["biceps"].open),
            "{:?}",
            known["biceps"]
        );
    }

    /// Regressions on the survey: half back 1.5 + .036 height + .112 chest, outside leg .718 height - 17.1.
    #[test]
    fn a_larger_man_has_what_the_men_of_the_survey_have_more() {
        let house = House::built_in().unwrap();
        let usual = completed([176.0, 100.0, 88.0, 103.0, 40.0], &house);
        let stout = completed([176.0, 125.0, 119.0, 114.0, 46.0], &house);
        let tall = completed([190.0, 100.0, 88.0, 103.0, 40.0], &house);
        let more = |of: &BTreeMap<&'static str, Known>, name: &str| of[name].cm - usual[name].cm;
        assert!((1.5..3.5).contains(&more(&stout, "half_back")));
        assert!((8.5..11.0).contains(&more(&tall, "outside_leg")));
        assert!(more(&stout, "fork_run") > 7.0);
    }

    #[test]
    fn a_measure_that_was_taken_tells_of_the_others() {
        let house = House::built_in().unwrap();
        let figure = BTreeMap::from(FIGURE);
        let usual = complete(&figure, &house);
        let mut longer = figure.clone();
        longer.insert("inside_leg", 84.0);
        let longer = complete(&longer, &house);
        assert!(longer["outside_leg"].cm > usual["outside_leg"].cm + 1.0);
        assert!(longer["outside_leg"].open < usual["outside_leg"].open);
    }

    #[test]
    fn a_house_may_have_a_rule_of_its_own() {
        let mut house = House::built_in().unwrap();
        let rule = [20.0, 0.0, 0.2, 0.0, 0.0, 0.0].map(Value::Float).to_vec();
        house
            .change("derived.half_back", &Value::Array(rule))
            .unwrap();
        let known = completed([176.0, 110.0, 88.0, 103.0, 40.0], &house);
        assert!((known["half_back"].cm - 22.0).abs() < 1e-9);
        let short = Value::Array(vec![Value::Float(20.0); 3]);
        let fault = house.change("derived.half_back", &short).unwrap_err();
        assert!(fault.contains("6 numbers"), "{fault}");
    }

    #[test]
    fn what_is_derived_is_possible() {
        let house = House::built_in().unwrap();
        for figure in [
            [140.0, 71.0, 66.0, 74.0, 32.0],
            [200.0, 150.0, 155.0, 150.0, 52.0],
        ] {
            for (name, known) in completed(figure, &house) {
                let k = kind(name).unwrap();
                assert!(
                    k.range.0 <= known.cm && known.cm <= k.range.1,
                    "{name} {known:?}"
                );
            }
        }
    }
}
