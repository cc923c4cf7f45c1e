//! Drafts and proves a garment on every figure, and counts what becomes of it.

use super::bodies::{BODIES, Body, REGULAR};
use super::ordered::ordered;
use super::picks::{Pick, pairs, values, written};
use crate::diagnostic::Diagnostic;
use crate::draft::Draft;
use crate::job::{self, JobFault};
use crate::order::corrections::{CORRECTIONS, Correction, Measured};
use crate::workshop::Workshop;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Of the figures each pick is tried on every third, each set of pairs on every fourth, in turn.
const ALONE: usize = 3;
const IN_PAIRS: usize = 4;

/// How a trial is watched and stopped.
pub struct Watch<'a> {
    /// Is told how many of how many drafts are done.
    pub progress: &'a (dyn Fn(usize, usize) + Sync),
    /// Ends the trial when it is set: what was tried so far is told.
    pub cancel: &'a AtomicBool,
}

/// What became of a garment that was tried.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trial {
    /// Drafts that were proven with one choice made.
    pub alone: usize,
    /// Drafts that were proven with all choices made, in pairs.
    pub in_pairs: usize,
    /// What was refused, by its reason without its numbers.
    pub refused: BTreeMap<String, Refused>,
    /// What failed, one for each fault without its numbers.
    pub failed: BTreeMap<String, Failed>,
    /// The corrections of the figure that change nothing of the garment.
    pub idle: Vec<String>,
    /// Scripts of one's own that lie there and that nothing asks for.
    pub unasked: Vec<String>,
    /// Whether it was stopped before all was tried.
    pub stopped: bool,
}

/// What was refused for one reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Refused {
    /// How often.
    pub times: usize,
    /// The fewest picks that are refused together, as an order writes them; empty where the figure alone is refused.
    pub picks: String,
    /// The figure that was refused first.
    pub body: Body,
    /// The reason as it was told for that figure.
    pub reason: String,
}

/// What failed in one way.
#[derive(Debug, Clone, PartialEq)]
pub struct Failed {
    /// How often.
    pub times: usize,
    /// The picks, as an order writes them.
    pub picks: String,
    /// The figure that failed first.
    pub body: Body,
    /// The faults as they are told for that figure.
    pub faults: Vec<Diagnostic>,
}

/// What became of one draft.
enum Outcome {
    Proven,
    Refused { picks: Vec<Pick>, reason: String },
    Failed { faults: Vec<Diagnostic> },
}

/// What became of one set of picks, and of those that were tried in its stead.
type Found = Vec<(Vec<Pick>, Outcome)>;

/// One draft that is tried.
struct Try {
    body: Body,
    picks: Vec<Pick>,
    paired: bool,
}

/// Tries a garment.
///
/// # Errors
/// Returns the fault of the garment's choices or of the house's numbers.
pub fn run(workshop: &Workshop, garment: &str, watch: &Watch) -> Result<Trial, Vec<Diagnostic>> {
    let choices = workshop
        .catalogue
        .choices(garment)
        .map_err(|fault| vec![fault])?;
    workshop.catalogue.house()?;
    let tries = tries(&values(choices));
    let own = workshop.catalogue.corrections_for(&[garment.to_owned()]);
    let known: Vec<&Correction> = CORRECTIONS.iter().chain(&own).collect();
    let (all, done) = (tries.len() + known.len(), AtomicUsize::new(0));
    let step = || (watch.progress)(done.fetch_add(1, Ordering::Relaxed) + 1, all);
    let outcomes: Vec<Option<Found>> = tries
        .par_iter()
        .map(|one| {
            if watch.cancel.load(Ordering::Relaxed) {
                return None;
            }
            let found = tried(workshop, garment, one);
            step();
            Some(found)
        })
        .collect();
    let mut trial = Trial {
        stopped: outcomes.iter().any(Option::is_none),
        ..Trial::default()
    };
    for (one, found) in tries.iter().zip(outcomes) {
        for (picks, outcome) in found.into_iter().flatten() {
            trial.count(one, &picks, outcome);
        }
    }
    if !trial.stopped {
        trial.idle = idle(workshop, garment, &known, &step);
        trial.unasked = workshop.library.unasked(garment);
    }
    Ok(trial)
}

/// Lists what is tried: every pick on the regular figure and on a part of the others, and all picks in pairs.
fn tries(values: &[Vec<Pick>]) -> Vec<Try> {
    let singles = values.iter().flatten().map(|pick| vec![pick.clone()]);
    let alone = std::iter::once(Vec::new()).chain(singles).enumerate();
    let mut tries = Vec::new();
    for (i, picks) in alone {
        let range = BODIES.iter().skip(i % ALONE).step_by(ALONE);
        let bodies = range.filter(|body| **body != REGULAR).chain([&REGULAR]);
        tries.extend(bodies.map(|body| Try {
            body: *body,
            picks: picks.clone(),
            paired: false,
        }));
    }
    for (i, picks) in pairs(values).into_iter().enumerate() {
        let bodies = BODIES.iter().skip(i % IN_PAIRS).step_by(IN_PAIRS);
        tries.extend(bodies.map(|body| Try {
            body: *body,
            picks: picks.clone(),
            paired: true,
        }));
    }
    tries
}

/// Tries one. Where a set of pairs is refused, the fewest of its picks are found that are refused together, and the set
/// is tried without the first and without the last of them, so that all its other pairs are tried.
fn tried(workshop: &Workshop, garment: &str, one: &Try) -> Found {
    let mut found = Vec::new();
    let mut waiting = vec![one.picks.clone()];
    while let Some(picks) = waiting.pop() {
        let outcome = outcome(workshop, garment, one.body, &picks);
        let Outcome::Refused { reason, .. } = &outcome else {
            found.push((picks, outcome));
            continue;
        };
        let few = fewest(workshop, garment, one.body, &picks, &plain(reason));
        let mut ends: Vec<&Pick> = few.first().into_iter().chain(few.last()).collect();
        ends.dedup();
        if one.paired {
            let without = |end: &&Pick| picks.iter().filter(|pick| pick != end).cloned().collect();
            waiting.extend(ends.iter().map(without));
        }
        let reason = reason.clone();
        found.push((picks, Outcome::Refused { picks: few, reason }));
    }
    found
}

fn outcome(workshop: &Workshop, garment: &str, body: Body, picks: &[Pick]) -> Outcome {
    let order = match ordered(workshop, garment, body, picks, "") {
        Ok(order) => order,
        Err(faults) => {
            let reasons: Vec<String> = faults.into_iter().map(|fault| fault.message).collect();
            return Outcome::Refused {
                picks: Vec::new(),
                reason: reasons.join("; "),
            };
        }
    };
    match job::draft(workshop, &order) {
        Ok(_) => Outcome::Proven,
        Err(fault) => match refusal(&fault) {
            Some(reason) => Outcome::Refused {
                picks: Vec::new(),
                reason,
            },
            None => Outcome::Failed {
                faults: fault.diagnostics(&order, &workshop.library),
            },
        },
    }
}

/// Returns the reason of a fault by which a sound block refuses an order.
fn refusal(fault: &JobFault) -> Option<String> {
    match fault {
        JobFault::Block(faults) if faults.iter().all(|one| one.refused) => {
            let reasons: Vec<&str> = faults.iter().map(|one| one.message.as_str()).collect();
            Some(reasons.join("; "))
        }
        _ => None,
    }
}

/// Returns the fewest of some picks that are refused for the same reason, in their order.
fn fewest(workshop: &Workshop, garment: &str, body: Body, picks: &[Pick], why: &str) -> Vec<Pick> {
    let mut kept = picks.to_vec();
    for pick in picks {
        let without: Vec<Pick> = kept
            .iter()
            .filter(|other| *other != pick)
            .cloned()
            .collect();
        let still = outcome(workshop, garment, body, &without);
        if matches!(still, Outcome::Refused { reason, .. } if plain(&reason) == why) {
            kept = without;
        }
    }
    kept
}

impl Trial {
    fn count(&mut self, one: &Try, picks: &[Pick], outcome: Outcome) {
        match outcome {
            Outcome::Proven if one.paired => self.in_pairs += 1,
            Outcome::Proven => self.alone += 1,
            Outcome::Refused { picks: few, reason } => {
                let known = self
                    .refused
                    .entry(plain(&reason))
                    .or_insert_with(|| Refused {
                        times: 0,
                        picks: written(&few),
                        body: one.body,
                        reason,
                    });
                known.times += 1;
            }
            Outcome::Failed { faults } => {
                let first = faults.first().map_or("", |fault| fault.message.as_str());
                let known = self.failed.entry(plain(first)).or_insert_with(|| Failed {
                    times: 0,
                    picks: written(picks),
                    body: one.body,
                    faults: faults.clone(),
                });
                known.times += 1;
            }
        }
    }
}

/// Leaves out the numbers of a sentence, so that those that say the same of several figures are one.
fn plain(sentence: &str) -> String {
    let words = sentence.split(' ');
    let kept = words.filter(|word| !word.contains(|c: char| c.is_ascii_digit()));
    kept.collect::<Vec<&str>>().join(" ")
}

/// Finds the corrections with which the regular figure has the same garment as without.
fn idle(
    workshop: &Workshop,
    garment: &str,
    known: &[&Correction],
    step: &(dyn Fn() + Sync),
) -> Vec<String> {
    let drafts = |figure: &str| -> Option<Vec<Draft>> {
        let order = ordered(workshop, garment, REGULAR, &[], figure).ok()?;
        job::draft(workshop, &order)
            .ok()
            .map(|drafted| drafted.drafts)
    };
    let Some(usual) = drafts("") else {
        return Vec::new();
    };
    let same = |correction: &&&Correction| {
        let by = match correction.measured {
            Measured::Stage => 1.0,
            _ => (correction.most / 3.0).min(1.0),
        };
        let changed = drafts(&format!("{} = {by:.2}", correction.name));
        step();
        // One that the figure does not bear is read.
        changed.is_some_and(|changed| {
            let pieces = usual.iter().zip(&changed);
            pieces.clone().count() == changed.len() && pieces.into_iter().all(|(a, b)| alike(a, b))
        })
    };
    let found: Vec<&&Correction> = known.par_iter().filter(same).collect();
    let names = found.into_iter();
    names.map(|correction| correction.name.to_owned()).collect()
}

/// Tells whether the pieces of two drafts are the same.
fn alike(a: &Draft, b: &Draft) -> bool {
    a.pieces == b.pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reasons_that_differ_in_their_numbers_are_one() {
        assert_eq!(
            plain("a belt of 12.5 cm is wide: write 4 or less"),
            plain("a belt of 9 cm is wide: write 6.5 or less")
        );
    }

    #[test]
    fn a_trial_that_is_stopped_says_so() {
        let cancel = AtomicBool::new(true);
        let watch = Watch {
            progress: &|_, _| {},
            cancel: &cancel,
        };
        let trial = run(Workshop::embedded(), "waistcoat", &watch).unwrap();
        assert!(trial.stopped && trial.alone == 0);
    }
}
