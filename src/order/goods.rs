//! What an order is made of: its cloths, its other materials, the words for the trimmings.

use super::cloths::{self, Against, Cloths};
use super::file::{self, Free, TRIMMINGS};
use super::look;
use super::material::Materials;
use super::materials::OfOrder;
use super::reading::Findings;
use super::sorting::Sections;
use super::text::line;
use crate::diagnostic::Diagnostic;
use std::collections::BTreeMap;
use std::ops::Range;

/// What is said of a material in a section of the order, with the place of its header.
type Said = (String, Range<usize>, OfOrder);

/// What an order is made of.
pub(super) struct Goods {
    /// The cloths.
    pub cloths: Cloths,
    /// Every material, as the order has it.
    pub materials: Materials,
    /// The words for the ticket.
    pub trimmings: BTreeMap<String, String>,
}

/// Checks what an order is made of. `ordered` are its garments, `said` is what it says of materials by their ids.
pub(super) fn check(
    sections: &mut Sections,
    ordered: &[&str],
    mut said: Vec<Said>,
    against: &Against,
    findings: &mut Findings,
) -> Option<Goods> {
    let catalogue = against.catalogue;
    let section = sections.0.remove("cloth");
    let asked = cloths::parted(section, ordered, catalogue, findings);
    let colours = sections.take("colours", findings);
    let (trimmings, lining) = trimmings(sections, findings);
    said.extend(lining);
    let mut materials = match catalogue.materials() {
        Ok(all) => all.of_order(against.house, said, findings),
        Err(faults) => {
            findings.all.extend(faults);
            return None;
        }
    };
    let read = cloths::read(asked, against, &materials, findings);
    let shown = read.iter().any(cloths::Read::is_described);
    if let Some(first) = read.first() {
        materials.put(first.cloth.material.clone());
    }
    let trims = look::trims(colours, shown, catalogue, &mut materials, findings);
    Some(Goods {
        cloths: cloths::looked(read, trims.as_ref(), findings)?,
        materials,
        trimmings,
    })
}

/// Reads the words for the ticket, and what is said of the body's lining besides.
fn trimmings(
    sections: &mut Sections,
    findings: &mut Findings,
) -> (BTreeMap<String, String>, Option<Said>) {
    let mut words = BTreeMap::new();
    let (lining, header): (file::Lining, _) = sections.take("lining", findings);
    let of_body = OfOrder {
        name: None,
        width: lining.width,
    };
    for (name, text) in [("lining", lining.body), ("sleeve lining", lining.sleeves)] {
        words.extend(
            text.and_then(|text| line(text, findings))
                .map(|text| (name.to_owned(), text)),
        );
    }
    let (raw, _): (Free<String>, _) = sections.take("trimmings", findings);
    for (key, text) in raw {
        if !TRIMMINGS.iter().any(|(name, _)| name == key.get_ref()) {
            let fault =
                Diagnostic::error(format!("`{}` is not known in [trimmings]", key.get_ref()));
            let names: Vec<&str> = TRIMMINGS.iter().map(|(name, _)| *name).collect();
            let fault = fault.suggest(key.get_ref(), names.iter().copied());
            findings.at(
                key.span(),
                fault.note(format!("[trimmings] can have {}", names.join(", "))),
            );
            continue;
        }
        words.extend(line(text, findings).map(|text| (key.get_ref().replace('_', " "), text)));
    }
    let of_body = header.map(|header| ("lining".to_owned(), header, of_body));
    (words, of_body)
}
