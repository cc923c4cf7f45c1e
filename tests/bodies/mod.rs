//! Living men: each is drafted and proven, or refused with a reason.

pub(crate) mod fitted;
mod others;
mod outcome;
mod reading;
mod suit;
mod suits;
pub(crate) mod survey;

use crate::skipped::skipped;
use outcome::Outcome;
use rayon::prelude::*;
use std::path::Path;
use survey::Man;

/// The sample, or `None` with a message where the data is not beside the project.
fn sample() -> Option<Vec<Man>> {
    if !Path::new(survey::SAMPLE).exists() {
        skipped(&format!(
            "{} is not here: the survey is no part of a clone (name its file to the bench `bodies`)",
            survey::SAMPLE
        ));
        return None;
    }
    Some(survey::men(Path::new(survey::SAMPLE)).expect("the sample reads"))
}

/// Drafts and proves some garments for every man of the sample: none fails, and fewer than one in a hundred is refused.
pub(crate) fn dress_all(garments: &str) {
    if let Some(men) = sample() {
        all_are_proven(&men, 1, |man| outcome::dressed(man, None, garments));
    }
}

/// No man of the sample fails, and fewer than one in a hundred is refused.
#[test]
fn every_man_of_the_sample_is_drafted() {
    if let Some(men) = sample() {
        all_are_drafted(&men, 1);
    }
}

/// Nor do men who are not in it: one in eight of those that the benchmark makes of them.
#[test]
fn other_men_are_drafted() {
    if let Some(men) = sample() {
        let others: Vec<Man> = others::others(&men)
            .into_iter()
            .skip(3)
            .step_by(8)
            .collect();
        all_are_drafted(&others, 1);
    }
}

/// Nor men at the ends of what men are.
#[test]
fn extreme_men_are_drafted() {
    // Some of these have no rise for their seat, or thighs beyond any trousers.
    all_are_drafted(&others::extremes(120, 20_261_128), 4);
}

/// Drafts and proves suits: none fails, and fewer than so many of a hundred are refused.
fn all_are_drafted(men: &[Man], refusals: usize) {
    all_are_proven(men, refusals, |man| outcome::suit(man, None));
}

/// Proves what each man is drafted: none fails, and fewer than so many of a hundred are refused.
fn all_are_proven(men: &[Man], refusals: usize, draft: impl Fn(&Man) -> Outcome + Sync) {
    let (mut refused, mut failed) = (Vec::new(), Vec::new());
    for outcome in men.par_iter().map(&draft).collect::<Vec<Outcome>>() {
        match outcome {
            Outcome::Drafted => {}
            Outcome::Refused(why) => refused.push(why),
            Outcome::Failed(why) => failed.push(why),
        }
    }
    println!(
        "{} men: {} refused, {} failed",
        men.len(),
        refused.len(),
        failed.len()
    );
    assert!(
        failed.is_empty(),
        "{} failed, the first: {}",
        failed.len(),
        failed[0]
    );
    assert!(
        refused.len() * 100 < refusals * men.len(),
        "{} refused: {refused:#?}",
        refused.len()
    );
}
