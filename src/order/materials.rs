//! Reading the materials that a house and its blocks declare, and what an order changes of them.

use super::cloth::centimetres;
use super::colours::lining;
use super::file::{self, Lines, Written};
use super::material::{Bought, CLOTH, Material, Materials, Stuff, Worn};
use super::reading::Findings;
use super::sections::SECTIONS;
use super::text;
use super::{House, Layout, Nap};
use crate::diagnostic::{Diagnostic, Source};
use std::collections::BTreeMap;
use std::fs;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use toml::Spanned;

/// The file of materials in a folder of blocks, and in a garment's folder within it.
const FILE: &str = "materials.toml";

/// The materials that the program brings.
const BUILT_IN: &str = include_str!("../../blocks/materials.toml");

/// The sections of every order that are those of materials.
const OF_MATERIALS: [&str; 2] = [CLOTH, "lining"];

/// The most materials of one house.
const MOST: usize = 60;

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
struct Raw {
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

impl Materials {
    /// Returns the materials that the program brings.
    ///
    /// # Errors
    /// Returns everything that is wrong with their file.
    pub fn built_in(house: &House) -> Result<Self, Vec<Diagnostic>> {
        Self::read(None, house)
    }

    /// Reads the materials that the program brings, with those of a folder of blocks and of the garments' folders
    /// within it. One of a name that is known changes what it says of it.
    ///
    /// # Errors
    /// Returns everything that is wrong in the first file that has a fault.
    pub(super) fn read(folder: Option<&Path>, house: &House) -> Result<Self, Vec<Diagnostic>> {
        let mut sources = vec![Source::new("blocks/materials.toml", BUILT_IN)];
        let own = folder.into_iter().flat_map(own_files);
        for file in own {
            sources.push(Source::read(&file).map_err(|fault| vec![fault])?);
        }
        let mut all: Option<Self> = None;
        for source in &sources {
            let mut findings = Findings::new(source);
            declare(source, house, &mut all, &mut findings);
            if findings.failed() {
                return Err(findings.in_order());
            }
        }
        // The program's own file declares the cloth first.
        all.ok_or_else(|| {
            vec![Diagnostic::error(
                "no cloth is declared among the materials",
            )]
        })
    }

    /// Takes up what an order says of its materials: their widths in its house, and its sections of them.
    pub(super) fn of_order(
        &self,
        house: &House,
        sections: Vec<(String, Range<usize>, OfOrder)>,
        findings: &mut Findings,
    ) -> Self {
        let mut own = self.clone();
        for material in own.others_mut() {
            let number = house.number(&format!("width.{}", material.id));
            let said = sections.iter().find(|(id, ..)| *id == material.id);
            let said = said.map(|(.., said)| said);
            let width = said.and_then(|said| said.width.as_ref());
            let width = match width {
                Some(raw) => Some(width_of("width", raw, material.bought, findings)),
                None => number,
            };
            let chosen = said
                .and_then(|said| said.name.clone())
                .and_then(|name| text::line(name, findings));
            if width.is_some() || chosen.is_some() {
                material.change(|known| {
                    known.width = width.map_or(known.width, |cm| 10.0 * cm);
                    known.chosen = chosen;
                });
            }
        }
        own
    }
}

/// What an order says of a material, in a section of its name.
#[derive(Debug, Default, serde::Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct OfOrder {
    /// Which it is.
    pub name: Option<Spanned<String>>,
    /// The width in which it is bought.
    pub width: Option<Spanned<Written>>,
}

/// Lists the files of materials in a folder of blocks, the folder's own first.
fn own_files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut within: Vec<PathBuf> = entries.map(|entry| entry.path().join(FILE)).collect();
    within.sort();
    within.insert(0, folder.join(FILE));
    within.retain(|file| file.is_file());
    within
}

/// Adds the materials that a file declares.
fn declare(
    source: &Arc<Source>,
    house: &House,
    all: &mut Option<Materials>,
    findings: &mut Findings,
) {
    let Some(table) = findings.parse(&source.text) else {
        return;
    };
    let mut entries: Vec<_> = table.into_iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    for (key, value) in entries {
        let id = key.get_ref().as_ref();
        let before = all.as_ref().and_then(|all| all.named(id)).cloned();
        if let Err(fault) = fit(id, before.is_some()) {
            findings.at(key.span(), fault);
            continue;
        }
        let rank = all.as_ref().map_or(0, |all| all.all().count());
        if rank == MOST {
            let fault = Diagnostic::error(format!("a house has at most {MOST} materials"));
            findings.at(key.span(), fault);
            return;
        }
        let raw: Raw = findings.section(id, value);
        let base = before.map_or_else(|| bare(id, rank), |known| (*known).clone());
        let Some(material) = read(raw, base, house, key.span(), findings) else {
            continue;
        };
        match all {
            Some(all) => all.put(material),
            None => *all = Some(Materials::of(material)),
        }
    }
}

/// Checks the name of a material.
fn fit(id: &str, known: bool) -> Result<(), Diagnostic> {
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
fn bare(id: &str, rank: usize) -> Stuff {
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
fn read(
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
fn width_of(name: &str, raw: &Spanned<Written>, bought: Bought, findings: &mut Findings) -> f64 {
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

/// Reads the colours of materials by their names, over those they have. Other names are left to the caller, who
/// gives the words that may stand beside them.
pub(super) fn coloured(
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

#[cfg(test)]
mod tests {
    use super::*;

    fn read_in(files: &[(&str, &str)]) -> Result<Materials, Vec<Diagnostic>> {
        let folder = tempfile::tempdir().unwrap();
        for (file, text) in files {
            let path = folder.path().join(file);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
        Materials::read(Some(folder.path()), &House::built_in().unwrap())
    }

    #[test]
    fn the_cloth_comes_first_and_each_is_found_by_its_words() {
        let all = Materials::built_in(&House::built_in().unwrap()).unwrap();
        assert!(all.cloth().is_cloth() && all.cloth().rank == 0);
        let sleeves = all.named("sleeve lining").unwrap();
        assert_eq!(
            (sleeves.id.as_str(), sleeves.width),
            ("sleeve_lining", 1400.0)
        );
        assert_eq!(format!("{sleeves:?}"), "SleeveLining");
        assert!(!all.named("felt").unwrap().grain && !all.named("felt").unwrap().has_face());
        let ids: Vec<&str> = all.all().map(|m| m.id.as_str()).collect();
        assert!(ids.starts_with(&["cloth", "lining", "sleeve_lining", "canvas", "felt"]));
        let own = all.cloth().of_garment("trousers");
        assert!(own.is_cloth() && own != *all.cloth() && own > *all.cloth());
        assert!(own < *all.named("lining").unwrap());
    }

    #[test]
    fn a_house_and_its_blocks_add_materials_and_change_them() {
        let all = read_in(&[
            (
                "materials.toml",
                "[velvet]\nwidth = 112\nnap = \"one_way\"\n[silk]\nfrays = 0.3\n",
            ),
            (
                "overcoat/materials.toml",
                "[fur]\nname = \"fur felt\"\nwidth = 60\ngrain = false\n",
            ),
        ])
        .unwrap();
        let velvet = all.named("velvet").unwrap();
        assert_eq!((velvet.width, velvet.nap), (1120.0, Nap::OneWay));
        let silk = all.named("silk").unwrap();
        assert_eq!(
            (silk.frays, silk.width, silk.face),
            (3.0, 1100.0, Worn::Outside)
        );
        assert_eq!(all.named("fur").unwrap().name, "fur felt");
    }

    #[test]
    fn what_is_wrong_with_a_material_is_told_where_it_stands() {
        for (text, told) in [
            ("[velvet]\nnap = \"one_way\"\n", "[velvet] needs a width"),
            ("\n[velvet]\nwidth = 1.1\n", "outside 20 to 320"),
            (
                "\n[velvet]\nwidt = 112\n",
                "`widt` is not known in [velvet]",
            ),
            (
                "\n[velvet]\nface = \"out\"\n",
                "the words are outside, inside, either",
            ),
            ("\n[Velvet]\nwidth = 112\n", "`Velvet` cannot be the name"),
            ("\n[house]\nwidth = 112\n", "another section"),
            ("\n[silk]\ncolour = \"blak\"\n", "Perhaps: black"),
            ("\n[silk]\ntrimming = \"buttns\"\n", "Perhaps: buttons"),
            (
                "\n[cloth]\nbought = \"length\"\n",
                "the cloth of a suit is laid",
            ),
        ] {
            let faults = read_in(&[("materials.toml", text)]).unwrap_err();
            let shown: String = faults.iter().map(|fault| fault.render(false)).collect();
            assert!(
                shown.contains(told) && shown.contains("materials.toml, line "),
                "{text}{shown}"
            );
        }
    }
}
