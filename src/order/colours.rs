//! Reading colours: of threads and of trimmings.

use super::file::{self, Lines};
use super::material::Materials;
use super::reading::Findings;
use crate::cloth::{Buttons, Colour, Lined, Make, Trims};
use crate::diagnostic::{Diagnostic, Source};
use std::collections::BTreeMap;
use std::ops::Range;
use std::path::Path;
use toml::Spanned;
use toml::de::DeValue;

/// Colours of CSS that cloth has, for suggestions.
const CSS: [&str; 28] = [
    "black",
    "white",
    "grey",
    "gray",
    "silver",
    "navy",
    "midnightblue",
    "steelblue",
    "slategrey",
    "lightgrey",
    "darkgrey",
    "brown",
    "sienna",
    "tan",
    "beige",
    "ivory",
    "cream",
    "maroon",
    "crimson",
    "olive",
    "darkgreen",
    "forestgreen",
    "teal",
    "gold",
    "goldenrod",
    "plum",
    "purple",
    "lavender",
];

/// The file of colours in a folder of blocks.
const FILE: &str = "colours.toml";

/// The keys of `[colours]` that are no materials.
const BESIDE: [&str; 3] = ["buttons", "buttonholes", "stitching"];

/// Reads the colours of buttons and threads: the program's, with the changes of a folder of blocks. Those that the
/// files say of materials are taken up by these.
///
/// # Errors
/// Returns everything that is wrong in the folder's file.
pub(super) fn trims(
    folder: Option<&Path>,
    materials: &mut Materials,
) -> Result<Trims, Vec<Diagnostic>> {
    let text = include_str!("../../blocks/colours.toml");
    let mut trims = BARE;
    let mut sources = vec![Source::new("blocks/colours.toml", text)];
    let own = folder
        .map(|folder| folder.join(FILE))
        .filter(|own| own.is_file());
    if let Some(own) = own {
        sources.push(Source::read(&own).map_err(|fault| vec![fault])?);
    }
    for source in &sources {
        let mut findings = Findings::new(source);
        if let Some(table) = findings.parse(&source.text) {
            let whole = Spanned::new(0..source.text.len(), DeValue::Table(table));
            let raw: file::Colours = findings.section("colours", whole);
            trims = check(raw, &trims, materials, &mut findings);
        }
        if findings.failed() {
            return Err(findings.in_order());
        }
    }
    Ok(trims)
}

/// What the program's own file says anew.
const BARE: Trims = Trims {
    buttons: Buttons {
        make: Make::Horn,
        colour: None,
    },
    buttonholes: None,
    stitching: None,
};

/// Checks the colours that a file says; those of buttons and threads that are left out are as in `usual`, those of
/// materials as these have them.
pub(super) fn check(
    mut raw: file::Colours,
    usual: &Trims,
    materials: &mut Materials,
    findings: &mut Findings,
) -> Trims {
    let mut beside = BTreeMap::new();
    raw.retain(|key, value| {
        let key = key.get_ref();
        let is_beside = BESIDE.contains(&key.as_str());
        if is_beside {
            beside.insert(key.clone(), value.clone());
        }
        !is_beside
    });
    coloured(raw, &BESIDE, materials, findings);
    let mut one = |key: &str| {
        let said = beside.get(key)?;
        let [colour] = said.get_ref().0.as_slice() else {
            let fault = Diagnostic::error(format!("{key} have one colour"));
            findings.at(said.span(), fault.help("write \"navy\""));
            return None;
        };
        named(colour, said.span(), findings)
    };
    let (buttonholes, stitching) = (one("buttonholes"), one("stitching"));
    let buttons = beside
        .get("buttons")
        .and_then(|said| buttons(said, findings));
    Trims {
        buttons: buttons.unwrap_or(usual.buttons),
        buttonholes: buttonholes.or(usual.buttonholes),
        stitching: stitching.or(usual.stitching),
    }
}

/// Reads the colours of materials by their names, over those they have. Other names are left to the caller, who
/// gives the words that may stand beside them.
fn coloured(
    raw: BTreeMap<file::Key, Spanned<Lines>>,
    beside: &[&str],
    materials: &mut Materials,
    findings: &mut Findings,
) {
    for (key, value) in raw {
        let id = key.get_ref();
        let known: Vec<String> = colourable(materials)
            .chain(beside.iter().map(|word| (*word).to_owned()))
            .collect();
        let mut others = materials.others_mut();
        let found = others.find(|material| material.id == *id && material.colour.is_some());
        let Some(material) = found else {
            let fault = Diagnostic::error(format!("`{id}` is not known in [colours]"));
            let fault = fault.suggest(id, known.iter().map(String::as_str));
            findings.at(
                key.span(),
                fault.note(format!("[colours] can have {}", known.join(", "))),
            );
            continue;
        };
        if let Some(colour) = lining(&value, findings) {
            material.change(|own| own.colour = Some(colour));
        }
    }
}

/// Lists the materials that have colours of their own.
pub(super) fn colourable(materials: &Materials) -> impl Iterator<Item = String> {
    let coloured = materials.all().filter(|m| m.colour.is_some());
    coloured.map(|material| material.id.clone())
}

/// Reads a colour; what is none is noted at its place.
pub(super) fn of(raw: &Spanned<String>, findings: &mut Findings) -> Option<Colour> {
    named(raw.get_ref(), raw.span(), findings)
}

fn named(text: &str, place: Range<usize>, findings: &mut Findings) -> Option<Colour> {
    let colour = Colour::parse(text);
    if colour.is_none() {
        let fault = Diagnostic::error(format!("`{text}` is not a colour"));
        let fault = fault.suggest(&text.to_lowercase(), CSS);
        findings.at(
            place,
            fault.note("a colour is hex, as \"#2a3550\", or a name of CSS, as \"navy\""),
        );
    }
    colour
}

/// Reads the colours of a lining or another plain material: a ground, and perhaps a stripe.
pub(super) fn lining(raw: &Spanned<Lines>, findings: &mut Findings) -> Option<Lined> {
    let (ground, stripe) = match raw.get_ref().0.as_slice() {
        [ground] => (ground, None),
        [ground, stripe] => (ground, Some(stripe)),
        _ => {
            let fault = Diagnostic::error("a material has one colour, or a ground and a stripe");
            findings.at(
                raw.span(),
                fault.help("write \"ivory\", or [\"ivory\", \"navy\"]"),
            );
            return None;
        }
    };
    let ground = named(ground, raw.span(), findings)?;
    let stripe = match stripe {
        Some(stripe) => Some(named(stripe, raw.span(), findings)?),
        None => None,
    };
    Some(Lined { ground, stripe })
}

fn buttons(raw: &Spanned<Lines>, findings: &mut Findings) -> Option<Buttons> {
    let words: Vec<&str> = Make::WORDS.iter().map(|(word, _)| *word).collect();
    let (make, colour) = match raw.get_ref().0.as_slice() {
        [make] => (make, None),
        [make, colour] => (make, Some(colour)),
        _ => {
            let fault =
                Diagnostic::error("buttons have what they are made of, and perhaps a colour");
            findings.at(
                raw.span(),
                fault.help("write \"horn\", or [\"horn\", \"#4a3628\"]"),
            );
            return None;
        }
    };
    let Some(made) = Make::of(make) else {
        let fault = Diagnostic::error(format!("buttons are not made of `{make}` here"));
        let fault = fault.suggest(make, words.iter().copied());
        findings.at(
            raw.span(),
            fault.note(format!("the makes are {}", words.join(", "))),
        );
        return None;
    };
    let colour = match colour {
        Some(colour) => Some(named(colour, raw.span(), findings)?),
        None => None,
    };
    Some(Buttons { make: made, colour })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_workshop_has_colours_of_its_own() {
        let read = |folder: Option<&Path>| {
            let house = super::super::House::built_in().unwrap();
            let mut materials = Materials::built_in(&house).unwrap();
            trims(folder, &mut materials).map(|trims| (trims, materials))
        };
        let colour = |materials: &Materials, id: &str| materials.named(id).unwrap().colour;
        let (_, usual) = read(None).unwrap();
        assert!(colour(&usual, "sleeve_lining").unwrap().stripe.is_some());
        let folder = tempfile::tempdir().unwrap();
        let written = |text: &str| {
            std::fs::write(folder.path().join(FILE), text).unwrap();
            read(Some(folder.path()))
        };
        let (own, materials) =
            written("lining = \"navy\"\nsilk = \"plum\"\nbuttons = [\"horn\", \"black\"]\n")
                .unwrap();
        assert_eq!(
            colour(&materials, "lining").unwrap().ground,
            Colour([0, 0, 128])
        );
        assert_ne!(colour(&materials, "silk"), colour(&usual, "silk"));
        assert_eq!(own.buttons.colour, Some(Colour([0, 0, 0])));
        assert_eq!(colour(&materials, "felt"), colour(&usual, "felt"));
        for (text, told) in [
            ("lining = \"nayv\"", "`nayv` is not a colour"),
            (
                "lining = [\"red\", \"blue\", \"green\"]",
                "a ground and a stripe",
            ),
            ("stitching = [\"red\", \"blue\"]", "one colour"),
            ("buttons = \"brass\"", "not made of `brass`"),
            ("button = \"horn\"", "`button` is not known"),
            ("cloth = \"navy\"", "`cloth` is not known"),
        ] {
            let faults = written(&format!("\n{text}\n")).unwrap_err();
            let fault = faults[0].render(false);
            assert!(
                fault.contains(told) && fault.contains("colours.toml, line 2"),
                "{fault}"
            );
        }
    }
}
