//! Reading the materials that a house and its blocks declare, and what an order changes of them.

use super::House;
use super::file::Written;
use super::material::Materials;
use super::material_file::{Raw, bare, fit, read, width_of};
use super::reading::Findings;
use super::text;
use crate::diagnostic::{Diagnostic, Source};
use std::fs;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use toml::Spanned;

/// The file of materials in a folder of blocks, and in a garment's folder within it.
const FILE: &str = "materials.toml";

/// The materials that the program brings.
const BUILT_IN: &str = include_str!("../../blocks/materials.toml");

/// The most materials of one house.
const MOST: usize = 60;

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

#[cfg(test)]
mod tests {
    use super::super::material::Worn;
    use super::*;
    use crate::order::Nap;

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
            ("[plush]\nnap = \"one_way\"\n", "[plush] needs a width"),
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
            (
                "\n[abcdefghijklmnopqrstuvwxyz_abcde]\nwidth = 112\n",
                "use at most 30 small letters",
            ),
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
                shown.to_lowercase().contains(&told.to_lowercase())
                    && shown.contains("materials.toml, line "),
                "{text}{shown}"
            );
        }
    }
}
