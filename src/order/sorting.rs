//! Sorting what stands at the top of an order's file: sections, garments, materials.

use super::catalogue::Catalogue;
use super::materials::OfOrder;
use super::measures::{called, kind};
use super::reading::Findings;
use super::sections::{SECTIONS, called_here};
use super::style::Wanted;
use crate::diagnostic::Diagnostic;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The sections of the file that are not garments, each with the place of its header.
pub(super) struct Sections<'t>(pub BTreeMap<&'static str, (Range<usize>, Spanned<DeValue<'t>>)>);

impl Sections<'_> {
    /// Takes one section in its form; a section that is not there reads as empty.
    pub(super) fn take<T: DeserializeOwned + Default>(
        &mut self,
        name: &str,
        findings: &mut Findings,
    ) -> (T, Option<Range<usize>>) {
        match self.0.remove(name) {
            Some((header, value)) => (findings.section(name, value), Some(header)),
            None => (T::default(), None),
        }
    }
}

/// What stands at the top of a file.
pub(super) struct Sorted<'t> {
    /// The sections that are not garments.
    pub sections: Sections<'t>,
    /// The garments.
    pub wanted: Vec<Wanted<'t>>,
    /// What is said of materials, by their ids, each with the place of its header.
    pub goods: Vec<(String, Range<usize>, OfOrder)>,
}

/// Sorts what stands at the top of a file into sections, garments and materials; anything else is a fault.
pub(super) fn sorted<'t>(
    root: DeTable<'t>,
    catalogue: &Catalogue,
    findings: &mut Findings,
) -> Sorted<'t> {
    let garments: Vec<&str> = catalogue.garments().collect();
    let materials = catalogue.materials();
    let is_material = |key: &str| materials.as_ref().is_ok_and(|all| all.is_another(key));
    let (mut sections, mut wanted, mut goods) = (BTreeMap::new(), Vec::new(), Vec::new());
    for (key, value) in root {
        let (place, key) = (key.span(), key.into_inner());
        if let Some(section) = SECTIONS.iter().find(|s| **s == key) {
            sections.insert(*section, (place, value));
        } else if garments.contains(&key.as_ref()) {
            wanted.push((key.into_owned(), value));
        } else if is_material(&key) {
            let said = findings.section(&key, value);
            goods.push((key.into_owned(), place, said));
        } else {
            findings.misnamed |= value.get_ref().is_table();
            let others = materials.iter().flat_map(|all| all.all().skip(1));
            let mut names = garments.clone();
            names.extend(others.map(|material| material.id.as_str()));
            names.retain(|name| !SECTIONS.contains(name));
            findings.at(place, stranger(&key, value.get_ref(), &names));
        }
    }
    Sorted {
        sections: Sections(sections),
        wanted,
        goods,
    }
}

/// Makes the fault for an unknown section or value at the top of the file.
fn stranger(key: &str, value: &DeValue, garments: &[&str]) -> Diagnostic {
    let names: Vec<&str> = SECTIONS.iter().chain(garments).copied().collect();
    if value.is_table() {
        return Diagnostic::error(format!("there is no section [{key}]"))
            .suggest(called_here(key), names.iter().copied())
            .note(format!("the sections are {}", names.join(", ")));
    }
    let fault = Diagnostic::error(format!("`{key}` is not in any section"));
    if key == "unit" || kind(key).is_some() || called(key).is_some() {
        return fault.help("it belongs under [measures]");
    }
    fault.suggest(key, ["blocks"]).note(format!(
        "only `blocks` goes before the first section; the sections are {}",
        names.join(", ")
    ))
}
