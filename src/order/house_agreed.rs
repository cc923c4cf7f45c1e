//! Numbers of the house that must go together: a change of one is held against the others.

use super::house::{House, HouseValue};
use super::reading::Findings;
use super::words::shown;
use crate::diagnostic::Diagnostic;
use std::ops::Range;

/// How much deeper than its stand a collar falls at least, in cm: less does not cover the seam to the neck (common
/// practice, no source).
const FALL_OVER_STAND: f64 = 0.3;

/// The narrowest seam that is sewn, in cm (common practice, no source).
const NARROWEST: f64 = 0.4;

/// By how much the seams of two edges may differ that are laid edge to edge and sewn, in cm (common practice, no
/// source).
const UNEVEN: f64 = 0.3;

/// The allowances of edges that are sewn to each other.
const SEWN: &[(&str, &str)] = &[
    ("shoulder_front", "shoulder_back"),
    ("side_seam_front", "side_seam_back"),
    ("crown", "scye"),
    ("front_edge", "facing_edge"),
    ("neck", "collar"),
    ("hindarm_top", "hindarm_under"),
    ("outside_leg", "outside_leg_back"),
    ("inside_leg", "inside_leg_back"),
];

/// Allowances of edges that are sewn to others of their own kind.
const ALIKE: &[&str] = &[
    "seam",
    "under_arm",
    "forearm",
    "collar_seam",
    "pocket_part",
    "front_fork",
    "waist",
    "waistband",
];

/// What does not go together.
struct Clash {
    /// The names of the numbers, as a block uses them.
    names: Vec<String>,
    said: String,
    help: String,
    refused: bool,
}

/// Notes, at the place of each number that was changed, with which others it does not go.
pub(super) fn check(house: &House, changed: &[(String, Range<usize>)], findings: &mut Findings) {
    let garments = changed.iter().filter_map(|(name, _)| house.split(name));
    let mut wearers: Vec<Option<&str>> = vec![None];
    for (garment, _) in garments {
        if !wearers.contains(&Some(garment)) {
            wearers.push(Some(garment));
        }
    }
    for wearer in wearers {
        let own = wearer.map(|garment| house.of(garment));
        let start = wearer.map_or(String::new(), |garment| format!("{garment}."));
        for clash in clashes(own.as_deref().unwrap_or(house)) {
            let named = |name: &str| {
                clash
                    .names
                    .iter()
                    .any(|other| format!("{start}{other}") == name)
            };
            let Some((_, place)) = changed.iter().find(|(name, _)| named(name)) else {
                continue;
            };
            let of = wearer.map_or(String::new(), |garment| format!(" of the {garment}"));
            let text = format!("{}{of}", clash.said);
            let finding = match clash.refused {
                true => Diagnostic::error(text),
                false => Diagnostic::warning(text),
            };
            findings.at(place.clone(), finding.help(clash.help));
        }
    }
}

fn clashes(house: &House) -> Vec<Clash> {
    let mut found: Vec<Clash> = collar(house).into_iter().collect();
    found.extend(inlays(house));
    let alike = ALIKE.iter().filter_map(|name| narrow(house, name));
    found.extend(alike);
    for (one, other) in SEWN {
        match narrow(house, one).or_else(|| narrow(house, other)) {
            Some(clash) => found.push(clash),
            None => found.extend(uneven(house, one, other)),
        }
    }
    found
}

fn collar(house: &House) -> Option<Clash> {
    let (stand, fall) = (house.number("collar.stand")?, house.number("collar.fall")?);
    (fall < stand + FALL_OVER_STAND).then(|| Clash {
        names: vec!["collar.stand".to_owned(), "collar.fall".to_owned()],
        said: format!(
            "a fall of {} does not cover a stand of {} in the collar",
            shown(fall),
            shown(stand)
        ),
        help: format!(
            "write collar.fall = {} or more, or collar.stand less",
            shown(stand + FALL_OVER_STAND)
        ),
        refused: true,
    })
}

/// Finds inlays whose seam is wider than all that is left of cloth there.
fn inlays(house: &House) -> Vec<Clash> {
    let of = |(name, value): (&String, &HouseValue)| {
        let key = name.strip_prefix("inlay.")?;
        let HouseValue::Number(seam) = value else {
            return None;
        };
        let least = narrowest(house, key)?;
        (*seam > least).then(|| Clash {
            names: vec![name.clone(), format!("allowance.{key}")],
            said: format!(
                "a seam of {} is wider than the allowance of {} that holds it, {key}",
                shown(*seam),
                shown(least)
            ),
            help: format!(
                "inlay.{key} says how much of allowance.{key} is seam: make it no more than that"
            ),
            refused: true,
        })
    };
    house.values().iter().filter_map(of).collect()
}

/// Finds an edge with too little cloth to sew.
fn narrow(house: &House, key: &str) -> Option<Clash> {
    let seam = seam(house, key)?;
    (seam < NARROWEST).then(|| Clash {
        names: vec![format!("allowance.{key}"), format!("inlay.{key}")],
        said: format!("a seam of {} cannot be sewn, {key}", shown(seam)),
        help: format!("it takes {} at the least", shown(NARROWEST)),
        refused: true,
    })
}

/// Finds two edges that do not lie edge to edge when they are sewn.
fn uneven(house: &House, one: &str, other: &str) -> Option<Clash> {
    let (a, b) = (seam(house, one)?, seam(house, other)?);
    // A seam that its allowance does not hold is told for itself.
    let held = |key: &str, seam: f64| narrowest(house, key).is_none_or(|least| seam <= least);
    if !held(one, a) || !held(other, b) {
        return None;
    }
    ((a - b).abs() > UNEVEN + 1e-9).then(|| Clash {
        names: [one, other].iter().flat_map(|key| [format!("allowance.{key}"), format!("inlay.{key}")]).collect(),
        said: format!("{one} and {other} are sewn to each other with seams of {} and {}", shown(a), shown(b)),
        help: format!("laid edge to edge they do not meet: let the seams agree, and say under [inlay] what of {one} or {other} is inlay"),
        refused: false,
    })
}

/// Returns the seam that an edge is sewn with: of an inlay what is seam, else its narrowest allowance.
fn seam(house: &House, key: &str) -> Option<f64> {
    house
        .number(&format!("inlay.{key}"))
        .or_else(|| narrowest(house, key))
}

fn narrowest(house: &House, key: &str) -> Option<f64> {
    match house.values().get(&format!("allowance.{key}"))? {
        HouseValue::Number(cm) => Some(*cm),
        HouseValue::Along(all) => all.iter().copied().reduce(f64::min),
        HouseValue::Word(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Source;
    use toml::Spanned;
    use toml::de::DeValue;

    #[test]
    fn the_house_that_the_program_brings_goes_together() {
        let clashes = clashes(&House::built_in().unwrap());
        assert!(clashes.is_empty(), "{}", clashes[0].said);
    }

    /// What is said of a change of the house.
    fn told(text: &str) -> Vec<(bool, String)> {
        let mut house = House::built_in().unwrap();
        house.wear([("coat".to_owned(), vec!["coat".to_owned()])].into());
        let source = Source::new("house.toml", text);
        let mut findings = Findings::new(&source);
        let table = findings.parse(&source.text).unwrap();
        let entries = findings.entries("house", Spanned::new(0..text.len(), DeValue::Table(table)));
        house.change_by(entries, &mut findings);
        let failed = findings.failed();
        let all = findings.in_order().into_iter();
        all.map(|finding| {
            (
                failed,
                format!("{} ({})", finding.message, finding.help.join(" ")),
            )
        })
        .collect()
    }

    #[test]
    fn numbers_that_do_not_go_together_are_told_where_they_are_changed() {
        for (text, refused, said) in [
            (
                "collar.stand = 5\ncollar.fall = 2.5",
                true,
                "a fall of 2.5 does not cover a stand of 5",
            ),
            (
                "coat.collar.stand = 4.5",
                true,
                "does not cover a stand of 4.5 in the collar of the coat",
            ),
            (
                "inlay.shoulder_back = 2.5",
                true,
                "a seam of 2.5 is wider than the allowance of 2",
            ),
            (
                "allowance.scye = 0.2",
                true,
                "a seam of 0.2 cannot be sewn, scye",
            ),
            (
                "allowance.side_seam_front = 2",
                false,
                "sewn to each other with seams of 2 and 1",
            ),
            ("inlay.hindarm_under = 0.5", false, "seams of 1 and 0.5"),
        ] {
            let all = told(text);
            assert_eq!(all.len(), 1, "{text}: {all:?}");
            assert_eq!(all[0].0, refused, "{text}");
            assert!(all[0].1.contains(said), "{text}: {}", all[0].1);
        }
        assert!(told("collar.stand = 3.5\ncollar.fall = 4.5\ncoat.collar.stand = 4").is_empty());
    }
}
