//! Checking an order's file. One run finds everything that is missing, unknown, out of range or contradictory.

use super::asking::Asked;
use super::catalogue::Catalogue;
use super::cloths::Against;
use super::file;
use super::name::name_of;
use super::phrase::Terms;
use super::reading::Findings;
use super::sorting::{Sections, Sorted, sorted};
use super::text::{line, lines};
use super::{
    Client, Figure, Fitting, Garment, House, Measures, Order, balance, body, goods, posture, style,
    telling,
};
use crate::diagnostic::Source;
use crate::diagnostic::{Diagnostic, Place, nearest};
use crate::units::Unit;
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
    let sorted = sorted(root, &catalogue, findings);
    let order = made(name, sorted, &catalogue, folder, findings)?;
    Some(Order { blocks, ..order })
}

/// Checks what stands in the file of an order, whichever blocks it is made by.
fn made(
    name: &str,
    sorted: Sorted,
    catalogue: &Catalogue,
    folder: &Path,
    findings: &mut Findings,
) -> Option<Order> {
    let (mut sections, wanted) = (sorted.sections, sorted.wanted);
    let house = house(catalogue, sections.0.remove("house"), findings);
    let blocks: Vec<&str> = wanted.iter().map(|(block, _)| block.as_str()).collect();
    let (asked, in_two_ways) = catalogue.asked(&blocks);
    let (written, header_at) = sections.take("measures", findings);
    let measured = header_at.clone();
    for fault in in_two_ways {
        findings.missing(measured.clone(), Diagnostic::error(fault));
    }
    let mut measures = body::check(written, header_at, house.as_ref(), &asked, findings);
    let unit = findings.unit;
    let figure_section = sections.0.remove("figure").map(|(_, value)| value);
    let (mut figure, seen) = posture::figure(figure_section, &asked, findings);
    balance::agree(&mut measures, &mut figure);
    let mut lines = figure_lines(&figure, &asked, unit);
    lines.extend(seen);
    let (client, fittings) = fitted(&mut sections, name, &lines, findings);
    let goods = house.as_ref().and_then(|numbers| {
        let against = Against {
            catalogue,
            folder,
            house: numbers,
        };
        goods::check(&mut sections, &blocks, sorted.goods, &against, findings)
    });
    let terms = Terms {
        unit,
        house: house.as_ref(),
    };
    let own_corrections = asked.corrections.iter().map(|own| (*own).clone()).collect();
    let (garments, settled) = style::check(wanted, catalogue, &measures, &terms, findings);
    if let Some(place) = measured {
        let names = measured_as(&garments, catalogue);
        doubt(place, &measures, &names, findings);
    }
    let goods = goods?;
    Some(Order {
        name: name.to_owned(),
        client: client?,
        measures,
        figure,
        own_corrections,
        fittings,
        garments,
        settled,
        cloth: goods.cloths.cloth,
        look: goods.cloths.look,
        other_cloths: goods.cloths.others,
        materials: goods.materials,
        trimmings: goods.trimmings,
        unit,
        house: house?,
        blocks: None,
    })
}

/// Warns of a client of whom too little is known, at his measures.
fn doubt(place: Range<usize>, measures: &Measures, garments: &[String], findings: &mut Findings) {
    if let Some(doubt) = telling::doubt(measures, garments, findings.unit) {
        findings.at(place, doubt);
    }
}

/// Returns the garments of the program's that those of an order are measured as.
fn measured_as(garments: &[Garment], catalogue: &Catalogue) -> Vec<String> {
    let names: Vec<String> = garments
        .iter()
        .map(|garment| garment.block.clone())
        .collect();
    catalogue.measured_as(&names)
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

/// Returns what the ticket says of a figure.
fn figure_lines(figure: &Figure, asked: &Asked, unit: Unit) -> Vec<String> {
    let own = asked.corrections.iter().map(|one| one.correction());
    figure.lines(&own.collect::<Vec<_>>(), unit)
}

/// Checks the client and his fittings; `seen` is what the ticket says of his figure.
fn fitted(
    sections: &mut Sections,
    name: &str,
    seen: &[String],
    findings: &mut Findings,
) -> (Option<Client>, Vec<Fitting>) {
    let section = sections.0.remove("fitting").map(|(_, value)| value);
    let mut client = client(sections, name, findings);
    let ordered = client.as_ref().map(|client| client.date.as_str());
    let fittings = posture::fittings(section, ordered, findings);
    if let Some(client) = &mut client {
        client.notes.extend(said(seen, &fittings, findings.unit));
    }
    (client, fittings)
}

/// Lists what the ticket says of the figure and the fittings.
fn said(seen: &[String], fittings: &[Fitting], unit: Unit) -> Vec<String> {
    let seen = seen.iter().map(|line| format!("Figure: {line}"));
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
