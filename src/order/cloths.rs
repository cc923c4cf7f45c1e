//! Checking the cloths of an order: that of the suit, and those of single garments.

use super::catalogue::Catalogue;
use super::file;
use super::look::{self, Raw};
use super::material::Materials;
use super::reading::Findings;
use super::sections::called_here;
use super::types::OwnCloth;
use super::{Cloth, House, Look, cloth};
use crate::cloth::Trims;
use crate::diagnostic::Diagnostic;
use std::ops::Range;
use std::path::Path;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A section of the order that describes a cloth.
pub(super) struct Section<'t> {
    /// The garment whose own cloth it is; `None` for the suit's.
    pub garment: Option<String>,
    /// The place of its header.
    pub header: Option<Range<usize>>,
    value: Option<Spanned<DeValue<'t>>>,
}

impl Section<'_> {
    /// Returns its name in the file.
    fn name(&self) -> String {
        match &self.garment {
            Some(garment) => format!("cloth.{garment}"),
            None => "cloth".to_owned(),
        }
    }
}

/// What the cloths of an order are checked against.
pub(super) struct Against<'a> {
    pub catalogue: &'a Catalogue,
    /// The order's own folder.
    pub folder: &'a Path,
    pub house: &'a House,
}

/// A cloth that is read, before its look is.
pub(super) struct Read {
    garment: Option<String>,
    header: Option<Range<usize>>,
    described: Option<Raw>,
    pub cloth: Cloth,
}

impl Read {
    /// Tells whether the order describes it.
    pub(super) fn is_described(&self) -> bool {
        self.described.is_some()
    }
}

/// Parts the section of the cloth from those of the garments' own cloths within it. A section of a garment that
/// the order does not have is a fault. Where every garment has a cloth of its own and nothing is said of another, the
/// first garment's is the suit's.
pub(super) fn parted<'t>(
    section: Option<(Range<usize>, Spanned<DeValue<'t>>)>,
    ordered: &[&str],
    catalogue: &Catalogue,
    findings: &mut Findings,
) -> Vec<Section<'t>> {
    let suit = |header, value| Section {
        garment: None,
        header,
        value,
    };
    let Some((header, value)) = section else {
        return vec![suit(None, None)];
    };
    let place = value.span();
    let DeValue::Table(table) = value.into_inner() else {
        // It is refused as any other section that is none.
        let none = Spanned::new(place, DeValue::Boolean(false));
        return vec![suit(Some(header), Some(none))];
    };
    let (mut shared, mut own) = (DeTable::new(), Vec::new());
    for (key, entry) in table {
        let is_section = entry.get_ref().is_table() && key.get_ref() != "colours";
        if !is_section {
            shared.insert(key, entry);
            continue;
        }
        let name = key.get_ref().as_ref();
        match refused(name, ordered, catalogue) {
            Some(fault) => findings.at(key.span(), fault),
            None => own.push(Section {
                garment: Some(name.to_owned()),
                header: Some(key.span()),
                value: Some(entry),
            }),
        }
    }
    own.sort_by_key(|own_section: &Section| {
        let garment = own_section.garment.as_deref();
        ordered.iter().position(|name| Some(*name) == garment)
    });
    if shared.is_empty() && !own.is_empty() && own.len() == ordered.len() {
        return own;
    }
    let shared = Spanned::new(place, DeValue::Table(shared));
    own.insert(0, suit(Some(header), Some(shared)));
    own
}

/// Returns why a name cannot be that of a garment's own cloth.
fn refused(name: &str, ordered: &[&str], catalogue: &Catalogue) -> Option<Diagnostic> {
    if ordered.contains(&name) {
        return None;
    }
    if catalogue.garments().any(|garment| garment == name) {
        let fault = Diagnostic::error(format!(
            "[cloth.{name}] is the cloth of a garment that the order does not have"
        ));
        return Some(fault.help(format!(
            "write a section [{name}] too, or leave this one out"
        )));
    }
    let fault = Diagnostic::error(format!("`{name}` is no garment, and no key of [cloth]"));
    let fault = fault.suggest(called_here(name), ordered.iter().copied());
    Some(fault.note(format!(
        "the cloth of one garment alone is described in a section of its own, as [cloth.{}]",
        ordered.first().unwrap_or(&"trousers")
    )))
}

/// Reads the cloths. Of one with a fault nothing is returned.
pub(super) fn read(
    sections: Vec<Section>,
    against: &Against,
    materials: &Materials,
    findings: &mut Findings,
) -> Vec<Read> {
    let mut cloths = Vec::new();
    for (place, mut section) in sections.into_iter().enumerate() {
        let name = section.name();
        let mut raw: file::Cloth = match section.value.take() {
            Some(value) => findings.section(&name, value),
            None => file::Cloth::default(),
        };
        let (described, threads) =
            look::described(&mut raw, against.catalogue, against.folder, findings);
        // The first cloth is the suit's, whichever garments are of it.
        let material = match &section.garment {
            Some(garment) if place > 0 => materials.cloth().of_garment(garment),
            _ => materials.cloth().clone(),
        };
        let header = section.header.clone();
        let asked = cloth::Asked {
            section: &name,
            raw,
            header: header.clone(),
        };
        let read = cloth::check(asked, against.house, threads.as_ref(), material, findings);
        cloths.extend(read.map(|cloth| Read {
            garment: section.garment,
            header,
            described,
            cloth,
        }));
    }
    cloths
}

/// The cloths of an order with their looks.
pub(super) struct Cloths {
    /// That of the suit.
    pub cloth: Cloth,
    /// Its look, if it is described.
    pub look: Option<Look>,
    /// Those of single garments.
    pub others: Vec<OwnCloth>,
}

/// Gives the cloths that were read their looks. A garment whose cloth is not described, where another's is, is
/// doubted: it is drawn in lines beside it.
pub(super) fn looked(
    cloths: Vec<Read>,
    trims: Option<&Trims>,
    findings: &mut Findings,
) -> Option<Cloths> {
    let described = cloths
        .iter()
        .filter(|read| read.described.is_some())
        .count();
    let some = described > 0 && described < cloths.len();
    let mut looked = cloths.into_iter().map(|read| {
        if let (None, true, Some(header)) = (&read.described, some, read.header) {
            let doubt = Diagnostic::warning(format!(
                "the {} is not described, as another cloth of the order is: what is made of it is drawn in lines",
                read.cloth.material.name
            ));
            findings.at(header, doubt);
        }
        let look = look::of(read.described, &read.cloth, trims, findings);
        (read.garment, read.cloth, look)
    });
    let (_, cloth, look) = looked.next()?;
    let others = looked.map(|(garment, own, own_look)| OwnCloth {
        garments: garment.into_iter().collect(),
        cloth: own,
        look: own_look,
    });
    Some(Cloths {
        others: others.collect(),
        cloth,
        look,
    })
}
