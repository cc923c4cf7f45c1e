//! Suits of three pieces, in any style, on any plausible body, whatever it is corrected for: no piece
//! crosses itself, no curve has a kink, and the ledger balances, or the order is refused for a measure, a
//! correction or a choice that the refusal names.
//!
//! `CHALKSTRIPE_SUITS=3000 CHALKSTRIPE_SEED=7 cargo test --release --test outside any_suit -- --nocapture`
//! tries so many others and tells what was refused, by kind; `CHALKSTRIPE_BLOCKS=blocks` with it tries the
//! blocks of that folder without building anything, and `CHALKSTRIPE_FAILED=DIR` keeps there the orders that
//! failed.

use super::outcome::{Outcome, prove};
use super::suit::suits;
use crate::program::asked;
use chalkstripe::order::corrections;
use chalkstripe::order::measures::KINDS;
use chalkstripe::workshop::Workshop;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngSeed, TestRunner};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// So many suits are tried where nobody asks for more.
const SUITS: usize = 48;
const SEED: u64 = 20_261_125;

/// What a refusal is for: a choice that it says to write otherwise, a correction or a measure that it names.
fn kind(refusal: &str) -> Option<&'static str> {
    let words: Vec<String> = refusal
        .split(|c: char| c.is_whitespace() || ",;:().\"`".contains(c))
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    // A name, or its words in a sentence.
    let says = |name: &str| {
        let parts: Vec<&str> = name.split('_').collect();
        words.iter().any(|word| word == name) || words.windows(parts.len()).any(|run| run == parts)
    };
    let writes = |name: &str| words.windows(2).any(|pair| pair == [name, "="]);
    let catalogue = &Workshop::embedded().catalogue;
    let choices = catalogue
        .garments()
        .flat_map(|garment| &catalogue.choices(garment).expect("built in").0);
    if choices.into_iter().any(|choice| writes(&choice.name)) {
        Some("choice")
    } else if corrections::keys().any(says) {
        Some("figure")
    } else if KINDS.iter().any(|kind| says(kind.name)) {
        Some("measure")
    } else {
        None
    }
}

#[test]
fn any_suit_on_any_body_is_proven() {
    let seed = asked("CHALKSTRIPE_SEED").unwrap_or(SEED);
    let count = asked("CHALKSTRIPE_SUITS").map_or(SUITS, |n| n as usize);
    let blocks = std::env::var("CHALKSTRIPE_BLOCKS").ok();
    let mut runner = TestRunner::new(Config {
        rng_seed: RngSeed::Fixed(seed),
        ..Config::default()
    });
    let drawn = (0..count).map(|_| suits().new_tree(&mut runner).expect("a suit"));
    let texts: Vec<String> = drawn
        .map(|suit| suit.current().order(blocks.as_deref()))
        .collect();
    let outcomes: Vec<Outcome> = texts.par_iter().map(|text| prove(text)).collect();
    let (mut failed, mut refused) = (Vec::new(), BTreeMap::<String, usize>::new());
    for (text, outcome) in texts.iter().zip(outcomes) {
        match outcome {
            Outcome::Drafted => {}
            Outcome::Refused(why) => {
                let Some(kind) = kind(&why) else {
                    failed.push((text, format!("refused, and does not say for what: {why}")));
                    continue;
                };
                // Without its numbers.
                let why = why.replace(|c: char| c.is_ascii_digit() || c == '.', "");
                *refused.entry(format!("{kind}: {why}")).or_default() += 1;
            }
            Outcome::Failed(why) => failed.push((text, why)),
        }
    }
    let refusals: usize = refused.values().sum();
    println!(
        "{count} suits of seed {seed}: {refusals} refused, {} failed; {refused:#?}",
        failed.len()
    );
    println!("{:#?}", checks(&failed));
    keep(&failed);
    let told: Vec<String> = failed
        .iter()
        .take(12)
        .map(|(text, why)| format!("{text}\n{why}"))
        .collect();
    assert!(
        failed.is_empty(),
        "{} of {count} failed:\n{}",
        failed.len(),
        told.join("\n\n")
    );
    assert!(10 * refusals < count, "{refusals} of {count} refused");
}

/// How often each check of the ledger failed.
fn checks(failed: &[(&String, String)]) -> BTreeMap<String, usize> {
    let mut checks = BTreeMap::new();
    for line in failed.iter().flat_map(|(_, why)| why.lines()) {
        let line = line.replace(|c: char| c.is_ascii_digit(), "");
        *checks.entry(line).or_default() += 1;
    }
    checks
}

/// Keeps what failed where the environment asks for it.
fn keep(failed: &[(&String, String)]) {
    let Ok(folder) = std::env::var("CHALKSTRIPE_FAILED") else {
        return;
    };
    std::fs::create_dir_all(&folder).expect("a folder for what failed");
    for (i, (text, why)) in failed.iter().enumerate() {
        let told: String = why.lines().map(|line| format!("# {line}\n")).collect();
        std::fs::write(format!("{folder}/{i}.toml"), format!("{text}{told}"))
            .expect("an order that failed");
    }
}
