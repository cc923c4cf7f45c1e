//! Suits of three pieces, in any style, on any plausible body, whatever it is corrected for: no piece
//! crosses itself, no curve has a kink, and the ledger balances, or there is a reason.
//!
//! `CHALKSTRIPE_SUITS=2000 cargo test --release --test bodies any_suit -- --nocapture` tries so many others.

use crate::survey::{Outcome, prove};
use chalkstripe::order::choices::Domain;
use chalkstripe::order::corrections::{CORRECTIONS, Measured};
use chalkstripe::order::likely::{Likely, NAMES};
use chalkstripe::order::{Catalogue, Style};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngSeed, TestRunner};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::fmt::Write;

const GARMENTS: [&str; 3] = ["jacket", "trousers", "waistcoat"];
/// So many suits are tried where nobody asks for more.
const SUITS: usize = 48;
/// Of a measure beside the required ones, how far it may be off what they say: this part of the way to where
/// it would be doubted.
const OFF: f64 = 0.5;

/// What a suit is made of, all of it from 0 to 1.
#[derive(Debug, Clone)]
struct Suit {
    /// Height, chest, drop from chest to waist, seat and neck within what is seen.
    body: [f64; 5],
    /// Every other measure: taken, if more than a half, and how far off.
    measures: Vec<(f64, f64)>,
    /// Corrections: which, how much, and whether of one side.
    figure: Vec<(f64, f64, bool)>,
    /// A number for each choice: taken, if more than a third, and which value.
    style: Vec<(f64, f64)>,
}

fn suits() -> impl Strategy<Value = Suit> {
    let part = || 0.0..1.0f64;
    let pairs = |n: usize| prop::collection::vec((part(), part()), n);
    (
        [part(), part(), part(), part(), part()],
        pairs(NAMES.len()),
        prop::collection::vec((part(), part(), any::<bool>()), 0..5),
        pairs(120),
    )
        .prop_map(|(body, measures, figure, style)| Suit {
            body,
            measures,
            figure,
            style,
        })
}

fn between(least: f64, most: f64, part: f64) -> f64 {
    least + (most - least) * part
}

impl Suit {
    /// The order, as it would be written.
    fn order(&self) -> String {
        let mut text = String::from(
            "[client]\nname = \"Invented\"\n[cloth]\nname = \"worsted\"\nlayout = \"open\"\n",
        );
        let _ = writeln!(text, "[measures]");
        for (name, cm) in self.measures() {
            let _ = writeln!(text, "{name} = {cm:.1}");
        }
        let mut parts = self.style.iter();
        for garment in GARMENTS {
            let _ = writeln!(text, "[{garment}]\n{}", style(garment, &mut parts));
        }
        text.push_str(&self.figure());
        text
    }

    fn measures(&self) -> BTreeMap<&'static str, f64> {
        let [height, chest, drop, seat, neck] = self.body;
        let chest = between(86.0, 130.0, chest);
        let waist = chest - between(-8.0, 17.0, drop);
        let mut taken = BTreeMap::from([
            ("height", between(160.0, 200.0, height)),
            ("chest", chest),
            ("waist", waist),
            (
                "seat",
                0.26 * chest + 0.45 * waist + 33.3 + between(-4.0, 5.0, seat),
            ),
            ("neck", 0.23 * chest + 16.5 + between(-1.5, 1.5, neck)),
        ]);
        for (name, (take, off)) in NAMES.iter().zip(&self.measures) {
            if *take > 0.5
                && !taken.contains_key(name)
                && let Some(expected) = Likely::of(&taken).expected(name)
            {
                let far = between(-OFF, OFF, *off) * (expected.most / expected.cm).ln();
                taken.insert(name, expected.cm * far.exp());
            }
        }
        taken
    }

    fn figure(&self) -> String {
        let mut text = String::from("[figure]\n");
        let mut named = Vec::new();
        for (which, part, one_side) in &self.figure {
            let c = &CORRECTIONS[(which * CORRECTIONS.len() as f64) as usize];
            if named.contains(&c.name) {
                continue;
            }
            named.push(c.name);
            let part = if c.either_way() {
                between(-0.6, 0.6, *part)
            } else {
                *part
            };
            let _ = match c.measured {
                Measured::Stage => writeln!(text, "{} = {}", c.name, (part * c.most).round()),
                _ if c.sided && *one_side => {
                    writeln!(text, "{} = {{ right = {:.2} }}", c.name, part * c.most)
                }
                _ => writeln!(text, "{} = {:.2}", c.name, part * c.most),
            };
        }
        text
    }
}

/// Some of a garment's choices, as an order writes them; those that have no meaning beside the others are
/// left out.
fn style<'a>(garment: &str, parts: &mut impl Iterator<Item = &'a (f64, f64)>) -> String {
    let choices = Catalogue::default()
        .choices(garment)
        .expect("the built-in choices");
    let (mut style, mut text) = (Style::new(), String::new());
    for declared in &choices.0 {
        let (take, part) = *parts.next().expect("a number for each choice");
        let value = match &declared.domain {
            Domain::Word(words) => {
                let at = (part * words.len() as f64) as usize;
                format!("\"{}\"", words[at].0)
            }
            Domain::Length(least, most) | Domain::Number(least, most) => {
                format!("{:.1}", between(*least, *most, part))
            }
            Domain::Count(least, most) => format!("{:.0}", between(*least, *most, part)),
            Domain::Flag => (part > 0.5).to_string(),
        };
        let mut so_far = style.clone();
        choices.complete(&mut so_far);
        // Lengths that a client asks for contradict each other easily.
        let seldom = matches!(declared.domain, Domain::Length(..));
        if take < if seldom { 0.8 } else { 0.35 } || !declared.has_meaning(&so_far) {
            continue;
        }
        let read = toml::from_str::<toml::Table>(&format!("v = {value}")).expect("a value");
        if let Ok(value) = declared.domain.admit(&read["v"]) {
            style.insert(declared.name.clone(), value);
            let _ = writeln!(text, "{} = {}", declared.name, read["v"]);
        }
    }
    text
}

#[test]
fn any_suit_on_any_body_is_proven() {
    let asked = std::env::var("CHALKSTRIPE_SUITS")
        .ok()
        .and_then(|n| n.parse().ok());
    let mut runner = TestRunner::new(Config {
        rng_seed: RngSeed::Fixed(20_261_125 + asked.unwrap_or(0) as u64),
        ..Config::default()
    });
    let texts: Vec<String> = (0..asked.unwrap_or(SUITS))
        .map(|_| {
            suits()
                .new_tree(&mut runner)
                .expect("a suit")
                .current()
                .order()
        })
        .collect();
    let outcomes: Vec<Outcome> = texts.par_iter().map(|text| prove(text)).collect();
    let (mut failed, mut refused) = (Vec::new(), BTreeMap::<String, usize>::new());
    for (text, outcome) in texts.iter().zip(outcomes) {
        match outcome {
            Outcome::Drafted => {}
            Outcome::Refused(why) => {
                // Without its numbers.
                let why = why.replace(|c: char| c.is_ascii_digit() || c == '.', "");
                *refused.entry(why).or_default() += 1;
            }
            Outcome::Failed(why) => failed.push(format!("{text}\n{why}")),
        }
    }
    let count: usize = refused.values().sum();
    println!(
        "{} suits: {count} refused, {} failed; {refused:#?}",
        texts.len(),
        failed.len()
    );
    let lines = failed.iter().flat_map(|text| text.lines());
    let mut checks = BTreeMap::<String, usize>::new();
    for line in lines.filter(|line| line.contains(".rhai")) {
        let line = line.replace(|c: char| c.is_ascii_digit(), "");
        *checks.entry(line).or_default() += 1;
    }
    println!("{checks:#?}");
    let first = failed[..failed.len().min(12)].join("\n\n");
    assert!(
        failed.is_empty(),
        "{} of {} failed:\n{first}",
        failed.len(),
        texts.len()
    );
    assert!(
        2 * count < texts.len(),
        "{count} of {} refused",
        texts.len()
    );
}
