//! What a measure that was not taken would tell of a client, and when too little is known of him.

use super::measures::KINDS;
use super::{Measure, Measures};
use crate::diagnostic::Diagnostic;
use crate::units::Unit;

/// Measures that were derived, and how far each may be off, in mm, before the garment shows it: common practice,
/// no source. Twice as far is a misfit.
const TOLERANCES: [(&str, f64); 8] = [
    ("fork_run", 35.0),
    ("thigh", 30.0),
    ("nape_to_waist", 20.0),
    ("shoulder_width", 30.0),
    ("half_back", 12.5),
    ("biceps", 25.0),
    ("sleeve", 20.0),
    ("inside_leg", 20.0),
];

/// Number of measures that a form marks, and that a warning asks for.
const ASKED: usize = 3;

/// Chest of the survey's average man, in mm. What is not known of a measure is taken to grow by the square of the
/// chest, beyond its share in the size, so that large men are asked first. That is a judgement: among the 400 men
/// of the survey the spread grows by the power 0.25, give or take as much, and powers from 0 to 2 name the worst
/// men equally well.
const AVERAGE_CHEST: f64 = 1057.0;

/// The figure that [`misfit`] must reach for a client to be doubted: that of the least known fifth of the 400. It
/// puts clients in order and is no share of them: of the men beyond it 35 in a hundred are a misfit, of all
/// men 24 (each by a model fitted on others, `cargo bench --bench fit -- --held-out`).
pub const DOUBT: f64 = 0.58;

/// Lists the measures that would tell most about a client, the first first: those by which the garments are
/// likeliest to be a misfit.
pub fn telling(measures: &Measures, garments: &[String]) -> Vec<&'static str> {
    let mut chances = chances(measures, garments);
    chances.sort_by(|a, b| b.1.total_cmp(&a.1));
    chances
        .into_iter()
        .take(ASKED)
        .map(|(name, _)| name)
        .collect()
}

/// Returns how little is known of a client for some garments, or for all, from 0 to 1: the chance that any measure
/// which was derived is off by more than twice its tolerance, as if each were off by itself. It is higher than the
/// share of misfits among such men; [`DOUBT`] says when it is too high.
pub fn misfit(measures: &Measures, garments: &[String]) -> f64 {
    let chances = chances(measures, garments);
    1.0 - chances
        .iter()
        .map(|(_, chance)| 1.0 - chance)
        .product::<f64>()
}

/// Warns of a client of whom too little is known, with the measures to ask for.
pub(super) fn doubt(measures: &Measures, garments: &[String], unit: Unit) -> Option<Diagnostic> {
    if misfit(measures, garments) < DOUBT {
        return None;
    }
    let told = telling(measures, garments).into_iter().filter_map(|name| {
        let measure = measures.0.get(name)?;
        let (mm, open) = (unit.show(measure.mm), unit.show(measure.open));
        Some(format!("{name} ({mm} is derived, ± {open})"))
    });
    let told: Vec<String> = told.collect();
    let message =
        "too little is known of this client: men of these measures differ much in the others";
    Some(Diagnostic::warning(message).help(format!("take first {}", told.join(", "))))
}

/// The derived measures of some garments, or of all, each with the chance that it is off by more than twice its
/// tolerance.
fn chances(measures: &Measures, garments: &[String]) -> Vec<(&'static str, f64)> {
    let chest = measures.mm("chest").unwrap_or(AVERAGE_CHEST);
    let grown = (chest / AVERAGE_CHEST).powi(2);
    let wanted = |name: &str| {
        let kind = KINDS.iter().find(|kind| kind.name == name);
        let by = |worn: &str| garments.iter().any(|garment| garment == worn);
        garments.is_empty() || kind.is_some_and(|kind| kind.garments.iter().any(|own| by(own)))
    };
    let open = |name: &str| {
        measures
            .0
            .get(name)
            .map_or(0.0, |measure: &Measure| measure.open)
    };
    TOLERANCES
        .iter()
        .filter(|(name, _)| wanted(name) && open(name) > 0.0)
        .map(|(name, tolerance)| (*name, beyond(2.0 * tolerance / (grown * open(name)))))
        .collect()
}

/// The chance that a normal number lies further off its mean than so many standard deviations: M. Abramowitz and
/// I. A. Stegun, Handbook of Mathematical Functions, 7.1.25, good to 0.00005.
fn beyond(deviations: f64) -> f64 {
    let x = deviations / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.47047 * x);
    t * (0.348_024_2 - t * (0.095_879_8 - t * 0.747_855_6)) * (-x * x).exp()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::derive::{FIGURE, complete};
    use crate::order::{House, Origin};
    use std::collections::BTreeMap;

    fn measures(more: &[(&'static str, f64)]) -> Measures {
        let mut taken = BTreeMap::from(FIGURE);
        taken.extend(more.iter().copied());
        let known = complete(&taken, &House::built_in().unwrap()).into_iter();
        let measure = |(name, found): (&str, crate::order::derive::Known)| {
            let origin = if taken.contains_key(name) {
                Origin::Taken
            } else {
                Origin::Derived
            };
            (
                name.to_owned(),
                Measure {
                    mm: 10.0 * found.cm,
                    origin,
                    open: 10.0 * found.open,
                },
            )
        };
        Measures(known.map(measure).collect())
    }

    #[test]
    fn a_normal_number_lies_within_two_deviations_as_tables_say() {
        assert!((beyond(1.0) - 0.3173).abs() < 1e-4);
        assert!((beyond(1.96) - 0.05).abs() < 1e-4);
    }

    #[test]
    fn what_tells_most_is_asked_first_and_not_again_once_it_was_taken() {
        let first = telling(&measures(&[]), &[]);
        assert_eq!(first.len(), ASKED);
        assert!(first.contains(&"inside_leg"), "{first:?}");
        let then = telling(&measures(&[("inside_leg", 81.0)]), &[]);
        assert!(!then.contains(&"inside_leg"), "{then:?}");
        let trousers = telling(&measures(&[]), &["trousers".to_owned()]);
        assert!(
            trousers
                .iter()
                .all(|name| ["fork_run", "inside_leg", "thigh"].contains(name)),
            "{trousers:?}"
        );
    }

    #[test]
    fn a_client_is_doubted_who_is_large_and_little_known() {
        let suit = ["jacket", "trousers"].map(str::to_owned);
        assert!(doubt(&measures(&[]), &suit, Unit::Cm).is_none());
        let large = [
            ("chest", 125.0),
            ("waist", 119.0),
            ("seat", 114.0),
            ("neck", 46.0),
        ];
        let told = doubt(&measures(&large), &suit, Unit::Cm).unwrap();
        assert!(told.help[0].contains("fork_run ("), "{told:?}");
        let mut known = large.to_vec();
        known.extend([
            ("inside_leg", 80.0),
            ("nape_to_waist", 46.0),
            ("sleeve", 63.0),
            ("half_back", 23.0),
        ]);
        assert!(doubt(&measures(&known), &suit, Unit::Cm).is_none());
    }
}
