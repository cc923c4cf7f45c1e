//! A suit of three pieces drawn at random: a plausible body, choices that go together, corrections of the
//! figure; and the order for it, as it would be written.

use chalkstripe::order::choices::{Declared, Domain};
use chalkstripe::order::corrections::{CORRECTIONS, Measured};
use chalkstripe::order::likely::{Likely, NAMES};
use chalkstripe::order::{Choice, Style};
use chalkstripe::units::Unit;
use chalkstripe::workshop::Workshop;
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::fmt::Write;

const GARMENTS: [&str; 3] = ["jacket", "trousers", "waistcoat"];
/// Of a measure beside the required ones, how far it may be off what they say: this part of the way to where
/// it would be doubted.
const OFF: f64 = 0.5;
/// Of a coat's length below the waist so much lies above the longest vent: the way to the hip pockets, and
/// what a short coat is shorter by.
const ABOVE_VENTS: f64 = 8.5;

/// What a suit is made of, all of it from 0 to 1.
#[derive(Debug, Clone)]
pub(super) struct Suit {
    /// Height, chest, drop from chest to waist, seat and neck within what is seen.
    body: [f64; 5],
    /// Every other measure: taken, if more than a half, and how far off.
    measures: Vec<(f64, f64)>,
    /// Corrections: which, how much, and whether of one side.
    figure: Vec<(f64, f64, bool)>,
    /// A number for each choice: taken, if more than a third, and which value.
    style: Vec<(f64, f64)>,
}

pub(super) fn suits() -> impl Strategy<Value = Suit> {
    let part = || 0.0..1.0_f64;
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
    /// The order, as it would be written; with a folder of blocks to try, if any.
    pub(super) fn order(&self, blocks: Option<&str>) -> String {
        let mut text = blocks.map_or(String::new(), |folder| format!("blocks = {folder:?}\n"));
        text.push_str(
            "[client]\nname = \"Invented\"\n[cloth]\nname = \"worsted\"\nlayout = \"open\"\n[measures]\n",
        );
        let measures = self.measures();
        for (name, cm) in &measures {
            let _ = writeln!(text, "{name} = {cm:.1}");
        }
        let figure = self.figure();
        let wearer = Wearer::of(&measures, &figure);
        let mut parts = self.style.iter();
        for garment in GARMENTS {
            let _ = writeln!(text, "[{garment}]\n{}", style(&wearer, garment, &mut parts));
        }
        text.push_str("[figure]\n");
        for (name, value, one_side) in figure {
            let _ = match one_side {
                true => writeln!(text, "{name} = {{ right = {value:.2} }}"),
                false => writeln!(text, "{name} = {value:.2}"),
            };
        }
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

    /// Names of corrections, how much, and whether of the right side alone.
    fn figure(&self) -> Vec<(&'static str, f64, bool)> {
        let mut figure: Vec<(&'static str, f64, bool)> = Vec::new();
        for (which, part, one_side) in &self.figure {
            let c = &CORRECTIONS[(which * CORRECTIONS.len() as f64) as usize];
            if figure.iter().any(|(name, ..)| *name == c.name) {
                continue;
            }
            let part = if c.either_way {
                between(-0.6, 0.6, *part)
            } else {
                *part
            };
            let value = part * c.most;
            figure.push(match c.measured {
                Measured::Stage => (c.name, value.round(), false),
                _ => (c.name, value, c.sided && *one_side),
            });
        }
        figure
    }
}

/// What lengths that a client asks for must go with.
struct Wearer {
    seat: f64,
    knee: f64,
    thigh: f64,
    /// Of the coat, below the waist.
    skirt: f64,
}

impl Wearer {
    fn of(measures: &BTreeMap<&'static str, f64>, figure: &[(&'static str, f64, bool)]) -> Self {
        let corrected = |name: &str| {
            let found = figure.iter().find(|(key, ..)| *key == name);
            found.map_or(0.0, |(_, by, _)| *by)
        };
        let height = measures["height"];
        let nape_to_waist = measures.get("nape_to_waist").copied();
        let thigh = measures.get("thigh").copied();
        let likely = |name| Likely::of(measures).expected(name).map_or(0.0, |e| e.cm);
        let thigh = thigh.unwrap_or_else(|| likely("thigh"));
        Self {
            seat: measures["seat"],
            knee: measures
                .get("knee")
                .copied()
                .unwrap_or_else(|| likely("knee")),
            thigh: thigh + corrected("full_thighs"),
            skirt: 0.425 * height + corrected("coat_length")
                - nape_to_waist.unwrap_or(0.25 * height + 0.5),
        }
    }

    /// Between what a length lies on this body, beside what was chosen before, within what is ever asked for.
    fn wears(&self, name: &str, so_far: &Style) -> Option<(f64, f64)> {
        let chosen = |earlier: &str| match so_far.get(earlier) {
            Some(Choice::Length(mm)) => Some(mm / 10.0),
            _ => None,
        };
        match name {
            "vent_length" => Some((18.0, self.skirt - ABOVE_VENTS)),
            // As wide as the leg, or the leg as the knee.
            "knee" => Some((
                (0.35 * self.seat + 9.0)
                    .max(self.knee + 3.0)
                    .max(0.6 * self.thigh),
                (0.46 * self.seat + 9.0).min(self.thigh),
            )),
            "hem" => {
                let part = match so_far.get("leg") {
                    Some(Choice::Word(leg)) if leg == "wide" => 0.42,
                    _ => 0.36,
                };
                let knee = chosen("knee").unwrap_or(part * self.seat + 9.0);
                Some((0.85 * knee, knee + 4.0))
            }
            _ => None,
        }
    }
}

/// Whether a choice contradicts one made before it.
fn contradicts(garment: &str, name: &str, value: &Choice, so_far: &Style) -> bool {
    let is = |earlier: &str, words: &[&str]| match so_far.get(earlier) {
        Some(Choice::Word(word)) => words.contains(&word.as_str()),
        _ => false,
    };
    let Choice::Word(word) = value else {
        return false;
    };
    match (garment, name, word.as_str()) {
        ("jacket", "quarters", "square") => false,
        ("jacket", "quarters", _) => is("fastening", &["six_two", "four_two"]),
        ("trousers", "side_pockets", "slanted" | "frogmouth") => is("braid", &["one", "two"]),
        ("trousers", "bottoms", "turn_ups") if is("braid", &["one", "two"]) => true,
        ("waistcoat", "fastening", "five" | "six" | "double_six")
        | ("waistcoat", "lapel", "notch") => is("opening", &["dress"]),
        ("waistcoat", "back", "backless") => is("welts", &["four"]) || is("strap", &["none"]),
        ("jacket", "collar", "two_piece") => is("lapel", &["shawl"]),
        ("jacket", "ticket_pocket", "overlapping") => is("hip_pocket", &["jetted", "patch"]),
        ("trousers", "bottoms", "turn_ups") => match (so_far.get("knee"), so_far.get("hem")) {
            (Some(Choice::Length(knee)), Some(Choice::Length(hem))) => *hem < 0.95 * knee,
            (None, None) => false,
            // One of them alone narrows or widens the leg, no one knows how much.
            _ => true,
        },
        _ => false,
    }
}

/// Some of a garment's choices, as an order writes them; those that have no meaning beside the others, or
/// contradict them, are left out.
fn style<'a>(
    wearer: &Wearer,
    garment: &str,
    parts: &mut impl Iterator<Item = &'a (f64, f64)>,
) -> String {
    let choices = Workshop::embedded()
        .catalogue
        .choices(garment)
        .expect("the built-in choices");
    let (mut style, mut text) = (Style::new(), String::new());
    for declared in &choices.0 {
        let (take, part) = *parts.next().expect("a number for each choice");
        let mut so_far = style.clone();
        choices.complete(&mut so_far);
        // Lengths are asked for seldom.
        let seldom = matches!(declared.domain, Domain::Length(..));
        if take < if seldom { 0.8 } else { 0.35 } || !declared.has_meaning(&so_far) {
            continue;
        }
        let Some(value) = value(wearer, declared, part, &so_far) else {
            continue;
        };
        let read = toml::from_str::<toml::Table>(&format!("v = {value}")).expect("a value");
        let admitted = declared.domain.admit(&read["v"], Unit::Cm);
        if let Ok(choice) = admitted
            && !contradicts(garment, &declared.name, &choice, &so_far)
        {
            style.insert(declared.name.clone(), choice);
            let _ = writeln!(text, "{} = {}", declared.name, read["v"]);
        }
    }
    text
}

/// One of a choice's values, as an order writes it; none where the body wears none of them.
fn value(wearer: &Wearer, declared: &Declared, part: f64, so_far: &Style) -> Option<String> {
    Some(match &declared.domain {
        Domain::Word(words) => {
            let at = (part * words.len() as f64) as usize;
            format!("\"{}\"", words[at].0)
        }
        Domain::Length(least, most) => {
            let worn = wearer.wears(&declared.name, so_far);
            let (least, most) = worn.map_or((*least, *most), |(l, m)| (least.max(l), most.min(m)));
            if least > most {
                return None;
            }
            format!("{:.1}", between(least, most, part))
        }
        Domain::Number(least, most) => format!("{:.1}", between(*least, *most, part)),
        Domain::Count(least, most) => format!("{:.0}", between(*least, *most, part)),
        Domain::Flag => (part > 0.5).to_string(),
    })
}
