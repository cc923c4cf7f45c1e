//! Reading what a file declares of one material.

use super::cloth::centimetres;
use super::colours::lining;
use super::file::{self, Lines, Written};
use super::material::{Bought, CLOTH, Material, Stuff, Worn};
use super::reading::Findings;
use super::sections::SECTIONS;
use super::text;
use super::{House, Layout, Nap};
use crate::diagnostic::Diagnostic;
use std::ops::Range;
use toml::Spanned;

/// The sections of every order that are those of materials.
const OF_MATERIALS: [&str; 2] = [CLOTH, "lining"];

/// The most letters of the name of a material.
const LONGEST: usize = 30;

/// The widths that are believed of a material that is laid, and of a tape, in cm.
const WIDTHS: (f64, f64) = (20.0, 320.0);
const TAPES: (f64, f64) = (0.1, 20.0);

const BOUGHT: [(&str, Bought); 3] = [
    ("laid", Bought::Laid),
    ("length", Bought::Length),
    ("count", Bought::Count),
];
const WORN: [(&str, Worn); 3] = [
    ("outside", Worn::Outside),
    ("inside", Worn::Inside),
    ("either", Worn::Either),
];

/// A material as a file declares it: only what differs from what was declared before.
#[derive(Debug, Default, serde::Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Raw {
    name: Option<Spanned<String>>,
    about: Option<Spanned<String>>,
    bought: Option<Spanned<String>>,
    width: Option<Spanned<Written>>,
    gap: Option<Spanned<Written>>,
    frays: Option<Spanned<Written>>,
    nap: Option<file::Nap>,
    layout: Option<file::Layout>,
    face: Option<Spanned<String>>,
    grain: Option<bool>,
    colour: Option<Spanned<Lines>>,
    sheen: Option<Spanned<f64>>,
    trimming: Option<Spanned<String>>,
}

/// Checks the name of a material.
pub(super) fn fit(id: &str, known: bool) -> Result<(), Diagnostic> {
    let letters = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
    let begins = id.starts_with(|c: char| c.is_ascii_lowercase());
    if !begins || !id.chars().all(letters) || id.len() > LONGEST {
        let fault = Diagnostic::error(format!("`{id}` cannot be the name of a material"));
        let help =
            format!("use at most {LONGEST} small letters, digits and underscores, as camel_hair");
        return Err(fault.help(help));
    }
    if !known && !OF_MATERIALS.contains(&id) && SECTIONS.contains(&id) {
        let fault = Diagnostic::error(format!("[{id}] is another section of an order"));
        return Err(fault.help("give the material another name"));
    }
    Ok(())
}

/// Returns what a material is before anything is said of it.
pub(super) fn bare(id: &str, rank: usize) -> Stuff {
    Stuff {
        id: id.to_owned(),
        name: id.replace('_', " "),
        about: String::new(),
        rank,
        garment: None,
        bought: Bought::Laid,
        face: Worn::Either,
        grain: true,
        width: 0.0,
        gap: None,
        frays: 0.0,
        nap: Nap::TwoWays,
        layout: Layout::Open,
        colour: None,
        sheen: 0.0,
        trimming: None,
        chosen: None,
    }
}

/// Reads a material over what was known of it; returns `None` where something is wrong that hides the rest.
pub(super) fn read(
    raw: Raw,
    mut known: Stuff,
    house: &House,
    header: Range<usize>,
    findings: &mut Findings,
) -> Option<Material> {
    if let Some(name) = raw.name {
        known.name = text::line(name, findings)?;
    }
    if let Some(about) = raw.about {
        known.about = text::line(about, findings)?;
    }
    if let Some(bought) = raw.bought {
        known.bought = word(&bought, &BOUGHT, findings)?;
        if known.id == CLOTH && known.bought != Bought::Laid {
            findings.at(
                bought.span(),
                Diagnostic::error("the cloth of a suit is laid"),
            );
        }
    }
    if let Some(face) = raw.face {
        known.face = word(&face, &WORN, findings)?;
    }
    let mut length = |name: &str, given: Option<Spanned<Written>>, most: f64| {
        given.map(|written| 10.0 * centimetres(name, &written, 0.0, most, findings))
    };
    known.gap = length("gap", raw.gap, 3.0).or(known.gap);
    known.frays = length("frays", raw.frays, 2.0).unwrap_or(known.frays);
    if let Some(raw) = &raw.width {
        known.width = 10.0 * width_of("width", raw, known.bought, findings);
    } else if let Some(cm) = house.number(&format!("width.{}", known.id)) {
        known.width = 10.0 * cm;
    }
    known.nap = raw.nap.map_or(known.nap, Nap::from);
    known.layout = raw.layout.map_or(known.layout, Layout::from);
    known.grain = raw.grain.unwrap_or(known.grain);
    if let Some(colour) = raw.colour {
        known.colour = Some(lining(&colour, findings)?);
    }
    if let Some(sheen) = raw.sheen {
        known.sheen = *sheen.get_ref();
        if !(0.0..=1.0).contains(&known.sheen) {
            findings.at(
                sheen.span(),
                Diagnostic::error("sheen is a number from 0 to 1"),
            );
        }
    }
    if let Some(trimming) = raw.trimming {
        known.trimming = Some(trimming_key(&trimming, findings)?);
    }
    if known.width <= 0.0 && known.bought == Bought::Laid && known.id != CLOTH {
        let fault = Diagnostic::error(format!("[{}] needs a width", known.id));
        let help = "width = 90 is the width in cm in which it is bought";
        findings.missing(Some(header), fault.help(help));
    }
    Some(Material::new(known))
}

/// Reads a width in cm, as is believed of what is bought so.
pub(super) fn width_of(
    name: &str,
    raw: &Spanned<Written>,
    bought: Bought,
    findings: &mut Findings,
) -> f64 {
    let (least, most) = match bought {
        Bought::Laid => WIDTHS,
        Bought::Length | Bought::Count => TAPES,
    };
    centimetres(name, raw, least, most, findings)
}

/// Returns the meaning of a word; one that is none of the list is noted at its place.
fn word<T: Copy>(raw: &Spanned<String>, words: &[(&str, T)], findings: &mut Findings) -> Option<T> {
    let said = raw.get_ref();
    if let Some((_, meaning)) = words.iter().find(|(word, _)| word == said) {
        return Some(*meaning);
    }
    let all: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
    let fault = Diagnostic::error(format!("`{said}` is not one of the words for this"));
    let fault = fault.suggest(said, all.iter().copied());
    findings.at(
        raw.span(),
        fault.note(format!("the words are {}", all.join(", "))),
    );
    None
}

fn trimming_key(raw: &Spanned<String>, findings: &mut Findings) -> Option<String> {
    let said = raw.get_ref();
    let known = || file::TRIMMINGS.iter().map(|(key, _)| *key);
    if known().any(|key| key == said) {
        return Some(said.clone());
    }
    let fault = Diagnostic::error(format!("`{said}` is not known in [trimmings]"));
    findings.at(raw.span(), fault.suggest(said, known()));
    None
}
