//! Checking an order's file. One run finds everything that is missing, unknown, out of range or contradictory.

use super::catalogue::Catalogue;
use super::file::{self, Free, TRIMMINGS};
use super::material::Materials;
use super::materials::OfOrder;
use super::measures::{called, kind};
use super::name::name_of;
use super::phrase::Terms;
use super::reading::Findings;
use super::sections::{SECTIONS, called_here};
use super::style::Wanted;
use super::text::{line, lines};
use super::{
    Client, Figure, Fitting, House, Order, balance, body, cloth, look, posture, style, telling,
};
use crate::diagnostic::Source;
use crate::diagnostic::{Diagnostic, Place, nearest};
use crate::units::Unit;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// An order that may be made, and what is worth a second look.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// The order.
    pub order: Order,
    /// Warnings, in the order of the file.
    pub warnings: Vec<Diagnostic>,
    /// Every text that is printed as it was written, with its place in the file, for whoever knows which
    /// letters the sheets have.
    pub texts: Vec<(String, Place)>,
}

/// Returns the catalogue of the blocks in a folder, or of the program's own where no folder is named.
pub type Open<'a> = &'a dyn Fn(Option<&Path>) -> Result<Arc<Catalogue>, Diagnostic>;

/// Reads and checks the file of one order, which is named after the file ([`name_of`]).
///
/// The blocks that it names are read for it alone. A run of many orders reads them once: see
/// [`crate::workshop::Workshops`].
///
/// # Errors
/// Returns every fault and warning that was found, where one of them is a fault.
pub fn read(path: &Path) -> Result<Checked, Vec<Diagnostic>> {
    let source = Source::read(path).map_err(|fault| vec![fault])?;
    let folder = path.parent().unwrap_or(Path::new(""));
    parse(&name_of(path), &source, folder)
}

/// Checks the text of one order. `name` becomes the order's name; a relative folder of blocks is looked for
/// in `folder`.
///
/// # Errors
/// Returns every fault and warning that was found, where one of them is a fault.
pub fn parse(name: &str, source: &Arc<Source>, folder: &Path) -> Result<Checked, Vec<Diagnostic>> {
    parse_with(name, source, folder, &|blocks| {
        Catalogue::open(blocks).map(Arc::new)
    })
}

/// Checks the text of an order as [`parse`] does, against the catalogue that `open` returns.
///
/// # Errors
/// Returns every fault and warning that was found, where one of them is a fault.
pub fn parse_with(
    name: &str,
    source: &Arc<Source>,
    folder: &Path,
    open: Open,
) -> Result<Checked, Vec<Diagnostic>> {
    if source.text.trim().is_empty() {
        let fault = Diagnostic::error(format!("`{}` is empty", source.name));
        return Err(vec![
            fault
                .in_file(source)
                .help("`chalkstripe new` writes a starter order"),
        ]);
    }
    let mut findings = Findings::new(source);
    let root = findings.parse(&source.text);
    let order = root.and_then(|root| order(name, root, folder, open, &mut findings));
    match order {
        Some(order) if !findings.failed() => Ok(Checked {
            order,
            texts: std::mem::take(&mut findings.texts),
            warnings: findings.in_order(),
        }),
        _ => Err(findings.in_order()),
    }
}

/// The sections of the file that are not garments, each with the place of its header.
struct Sections<'t>(BTreeMap<&'static str, (Range<usize>, Spanned<DeValue<'t>>)>);

impl Sections<'_> {
    /// Takes one section in its form; a section that is not there reads as empty.
    fn take<T: DeserializeOwned + Default>(
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

fn order(
    name: &str,
    mut root: DeTable,
    folder: &Path,
    open: Open,
    findings: &mut Findings,
) -> Option<Order> {
    let keys = root.keys().map(|key| key.get_ref().as_ref());
    if !findings.failed() && !is_an_order(keys) {
        let fault = Diagnostic::error("this is not an order: it has no [client] and no [measures]");
        let fault = fault.help("is this the right file? `chalkstripe new` writes a starter order");
        findings.all.push(fault.in_file(&findings.source));
        return None;
    }
    let own = root
        .remove("blocks")
        .and_then(|value| own_blocks(value, folder, open, findings));
    let (blocks, catalogue) = match own {
        Some((blocks, catalogue)) => (Some(blocks), catalogue),
        None => (None, open(None).ok()?),
    };
    let Sorted {
        mut sections,
        wanted,
        goods,
    } = sorted(root, &catalogue, findings);
    let house = house(&catalogue, sections.0.remove("house"), findings);
    let (written, header_at) = sections.take("measures", findings);
    let measured = header_at.clone();
    let mut measures = body::check(written, header_at, house.as_ref(), findings);
    let unit = findings.unit;
    let figure_section = sections.0.remove("figure").map(|(_, value)| value);
    let (mut figure, seen) = posture::figure(figure_section, findings);
    balance::agree(&mut measures, &mut figure);
    let fitting_section = sections.0.remove("fitting").map(|(_, value)| value);
    let mut client = client(&mut sections, name, findings);
    let ordered = client.as_ref().map(|client| client.date.as_str());
    let fittings = posture::fittings(fitting_section, ordered, findings);
    if let Some(client) = &mut client {
        client.notes.extend(said(&figure, seen, &fittings, unit));
    }
    let (mut raw, header): (file::Cloth, _) = sections.take("cloth", findings);
    let colours = sections.take("colours", findings);
    let (described, threads) = look::described(&mut raw, &catalogue, folder, findings);
    let (trimmings, lining) = trimmings(&mut sections, findings);
    let mut materials = materials(&catalogue, house.as_ref(), goods, lining, findings);
    let numbers = house.as_ref().zip(materials.as_ref());
    let cloth = numbers.and_then(|(house, materials)| {
        cloth::check(
            raw,
            header,
            house,
            threads.as_ref(),
            materials.cloth(),
            findings,
        )
    });
    if let (Some(materials), Some(cloth)) = (&mut materials, &cloth) {
        materials.put(cloth.material.clone());
    }
    let look = materials.as_mut().and_then(|materials| {
        look::check(
            described,
            cloth.as_ref(),
            colours,
            &catalogue,
            materials,
            findings,
        )
    });
    let terms = Terms {
        unit,
        house: house.as_ref(),
    };
    let (garments, settled) = style::check(wanted, &catalogue, &terms, findings);
    if let (Some(place), Some(doubt)) = (measured, telling::doubt(&measures, &garments, unit)) {
        findings.at(place, doubt);
    }
    Some(Order {
        name: name.to_owned(),
        client: client?,
        measures,
        figure,
        fittings,
        garments,
        settled,
        cloth: cloth?,
        look,
        materials: materials?,
        trimmings,
        unit,
        house: house?,
        blocks,
    })
}

/// What stands at the top of a file.
struct Sorted<'t> {
    sections: Sections<'t>,
    /// The garments.
    wanted: Vec<Wanted<'t>>,
    /// What is said of materials, by their ids, each with the place of its header.
    goods: Vec<(String, Range<usize>, OfOrder)>,
}

/// Sorts what stands at the top of a file into sections, garments and materials; anything else is a fault.
fn sorted<'t>(root: DeTable<'t>, catalogue: &Catalogue, findings: &mut Findings) -> Sorted<'t> {
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
            let goods = materials.iter().flat_map(|all| all.all().skip(1));
            let mut names = garments.clone();
            names.extend(goods.map(|material| material.id.as_str()));
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

/// Tells whether a file with these keys at its top may be meant as an order: it has a section that every order
/// must have, perhaps misspelt, or it is empty.
fn is_an_order<'k>(keys: impl Iterator<Item = &'k str>) -> bool {
    let mut keys = keys.peekable();
    keys.peek().is_none() || keys.any(|key| nearest(key, ["client", "measures"]).is_some())
}

/// Opens the folder of blocks that an order names; a fault of the folder is noted at its name.
fn own_blocks(
    value: Spanned<DeValue>,
    folder: &Path,
    open: Open,
    findings: &mut Findings,
) -> Option<(PathBuf, Arc<Catalogue>)> {
    let Some(text) = value.get_ref().as_str() else {
        let fault = Diagnostic::error("`blocks` names a folder, in quotes");
        findings.at(value.span(), fault);
        return None;
    };
    let path = folder.join(text);
    match open(Some(&path)) {
        Ok(catalogue) => {
            if let Some(doubt) = catalogue.doubt() {
                findings.at(value.span(), doubt.clone());
            }
            Some((path, catalogue))
        }
        Err(fault) => {
            findings.at(value.span(), fault);
            None
        }
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

/// Returns the catalogue's house with the changes of the order.
fn house(
    catalogue: &Catalogue,
    section: Option<(Range<usize>, Spanned<DeValue>)>,
    findings: &mut Findings,
) -> Option<House> {
    let mut house = match catalogue.house() {
        Ok(house) => house.clone(),
        Err(faults) => {
            findings.all.extend(faults);
            return None;
        }
    };
    if let Some((_, value)) = section {
        let entries = findings.entries("house", value);
        house.change_by(entries, findings);
    }
    Some(house)
}

/// Lists what the ticket says of the figure and the fittings.
fn said(figure: &Figure, notes: Vec<String>, fittings: &[Fitting], unit: Unit) -> Vec<String> {
    let seen = figure.lines(unit).into_iter().chain(notes);
    let seen = seen.map(|line| format!("Figure: {line}"));
    let altered = |fitting: &Fitting| {
        let lines = fitting.lines(unit).join("; ");
        match &fitting.earlier {
            None => format!("Fitting of {}: {lines}", fitting.date),
            Some(order) => format!("Fitting of {} ({order}): {lines}", fitting.date),
        }
    };
    seen.chain(fittings.iter().map(altered)).collect()
}

fn client(sections: &mut Sections, name: &str, findings: &mut Findings) -> Option<Client> {
    let (raw, header): (file::Client, _) = sections.take("client", findings);
    let notes = lines(raw.notes, findings);
    let date = raw
        .date
        .and_then(|date| findings.day(&date))
        .unwrap_or_default();
    let reference = raw
        .reference
        .and_then(|r| line(r, findings))
        .unwrap_or_else(|| findings.named_by_its_file(name));
    let Some(client) = raw.name else {
        if findings.is_left_out("client", "name") {
            return None;
        }
        let fault = Diagnostic::error("[client] needs a name");
        findings.missing(header, fault.help("name = \"…\" is printed on every sheet"));
        return None;
    };
    Some(Client {
        name: line(client, findings)?,
        reference,
        date,
        notes,
    })
}

/// Returns the materials as the order has them. `lining` is what `[lining]` says of the body's.
fn materials(
    catalogue: &Catalogue,
    house: Option<&House>,
    mut goods: Vec<(String, Range<usize>, OfOrder)>,
    (lining, header): (OfOrder, Option<Range<usize>>),
    findings: &mut Findings,
) -> Option<Materials> {
    match catalogue.materials() {
        Ok(all) => {
            goods.extend(header.map(|header| ("lining".to_owned(), header, lining)));
            Some(all.of_order(house?, goods, findings))
        }
        Err(faults) => {
            findings.all.extend(faults);
            None
        }
    }
}

/// Reads the words for the ticket, and what is said of the body's lining besides.
fn trimmings(
    sections: &mut Sections,
    findings: &mut Findings,
) -> (BTreeMap<String, String>, (OfOrder, Option<Range<usize>>)) {
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
    (words, (of_body, header))
}
