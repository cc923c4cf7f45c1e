//! Writes what the ticket and the page say of an order, section by section, from the order, its pattern and its
//! lays.

use super::Sheets;
use super::proof::{girths, ledger};
use super::section::{Amount, Entry, Section, Table};
use super::settled::{choices, measures};
use super::words::{self, spaced};
use crate::draft::{Draft, Material};
use crate::lay::Laid;
use crate::order::{Bought, HouseValue, Layout, Order};
use crate::units::Unit;
use std::collections::{BTreeMap, BTreeSet};

/// The words under the lines to sign on.
pub(super) const SIGNED: [&str; 2] = [
    "Approved by the client as written here (* as the house does): name, date",
    "Cutter: name, date",
];

/// Writes every section of an order. Empty sections are left out.
pub(super) fn sections(sheets: &Sheets) -> Vec<Section> {
    let mut sections = vec![agreed(sheets.order)];
    sections.extend(choices(sheets));
    sections.extend([
        measures(sheets),
        girths(&sheets.pattern.ledger, sheets.order.unit),
        cloth(sheets),
        pieces(sheets),
        fitting(sheets),
        cautions(sheets.order.unit),
        ledger(&sheets.pattern.ledger, sheets.order.unit),
        approval(),
    ]);
    sections.retain(|section| !section.entries.is_empty());
    sections
}

/// Writes the cloth, the linings and the buttons that the client chooses, the first of what is talked of.
pub(super) fn agreed(order: &Order) -> Section {
    let mut section = Section::new("Cloth, lining, buttons");
    for cloth in order.cloths() {
        section.named(&cloth.material.name, &cloth.name);
    }
    let chosen = |asked: &dyn Fn(&str) -> bool| {
        let trimmings = order.trimmings.iter();
        trimmings
            .map(|(name, value)| (spaced(name), value))
            .filter(|(name, _)| asked(name))
            .collect::<Vec<_>>()
    };
    let lining = chosen(&|name| name.ends_with("lining"));
    let goods = order.materials.all();
    let goods = goods.filter_map(|material| Some((&material.name, material.chosen.as_ref()?)));
    let mut buttons = chosen(&|name| name.ends_with("buttons"));
    buttons.sort_by_key(|(name, _)| name.len());
    for (name, value) in lining {
        section.named(&name, value);
    }
    for (name, value) in goods {
        section.named(name, value);
    }
    let buttons = buttons.iter().map(|(name, value)| match name.as_str() {
        "buttons" => (*value).clone(),
        name => format!("{} {value}", name.trim_end_matches(" buttons")),
    });
    let buttons: Vec<String> = buttons.collect();
    if !buttons.is_empty() {
        section.named("buttons", &buttons.join("; "));
    }
    section
}

/// Writes what to buy: lengths of cloth and lining, and the trimmings, each once with what it is for.
pub(super) fn cloth(sheets: &Sheets) -> Section {
    let mut section = Section::new("To buy");
    let order = sheets.order;
    for laid in sheets.lays {
        let mut facts = vec![sum(laid, order.unit)];
        if let Some(cloth) = order.cloth_as(&laid.material) {
            facts.insert(0, cloth.name.clone());
        } else if let Some(named) = named_by_client(&laid.material, order) {
            facts.insert(0, named.clone());
        }
        facts.extend(laid_how(laid, order));
        section.amount(Amount::new(
            &laid.material.name,
            &to_order(laid, order.unit),
            &facts.join(" · "),
        ));
    }
    for (of, needed) in needs(sheets.drafts) {
        let (total, uses) = needed.in_words(order.unit);
        let facts = match declared(of, order) {
            Some(material) => of_declared(material, order, uses),
            None => uses,
        };
        section.amount(Amount::new(of, &total, &facts));
    }
    let of_lays: Vec<String> = order.materials.all().map(told_by).collect();
    for (name, value) in &order.trimmings {
        if !of_lays.contains(&spaced(name)) {
            section.amount(Amount::new(&spaced(name), value, ""));
        }
    }
    section
}

/// Finds the declared material that is bought as a need is named.
fn declared<'a>(of: &str, order: &'a Order) -> Option<&'a Material> {
    let material = order.materials.named(of)?;
    (material.bought != Bought::Laid).then_some(material)
}

/// Adds to what a declared material is for which it is, and how wide.
fn of_declared(material: &Material, order: &Order, uses: String) -> String {
    let mut facts: Vec<String> = named_by_client(material, order)
        .cloned()
        .into_iter()
        .collect();
    if material.width > 0.0 {
        facts.push(format!("{} wide", order.unit.show(material.width)));
    }
    facts.push(uses);
    facts.join(" · ")
}

/// Returns what the client chose of a material: what its own section says, or the trimming that tells it.
fn named_by_client<'a>(material: &'a Material, order: &'a Order) -> Option<&'a String> {
    let told = || order.trimmings.get(&told_by(material));
    material.chosen.as_ref().or_else(told)
}

/// Returns the name of the trimming that says which a material is.
fn told_by(material: &Material) -> String {
    spaced(material.trimming.as_ref().unwrap_or(&material.id))
}

/// What is needed of one thing for which no piece is drawn.
#[derive(Default)]
struct Needed<'a> {
    /// How many, and of which length in mm if they are cut to one, with the purpose.
    uses: Vec<(usize, Option<f64>, &'a str)>,
}

impl Needed<'_> {
    /// Writes the amount in all, and what each part of it is for.
    fn in_words(&self, unit: Unit) -> (String, String) {
        let mm: f64 = (self.uses.iter())
            .map(|(count, length, _)| *count as f64 * length.unwrap_or_default())
            .sum();
        let pieces = self.uses.iter().filter(|(_, length, _)| length.is_none());
        let pieces: usize = pieces.map(|(count, ..)| count).sum();
        let total = match (mm > 0.0, pieces) {
            (false, count) => count.to_string(),
            (true, 0) => words::bought(mm, unit),
            (true, count) => format!("{count} and {}", words::bought(mm, unit)),
        };
        let only = self.uses.len() == 1;
        let uses: Vec<String> = (self.uses.iter())
            .map(|(count, length, name)| match length {
                Some(long) if *count > 1 => format!("{name} {count} × {}", unit.show(*long)),
                Some(long) if !only => format!("{name} {}", unit.show(*long)),
                None if !only => format!("{name} {count}"),
                _ => (*name).to_owned(),
            })
            .collect();
        (total, uses.join(", "))
    }
}

/// Lists the needs for which no piece is drawn, by kind.
fn needs(drafts: &[Draft]) -> BTreeMap<&str, Needed<'_>> {
    let mut kinds: BTreeMap<&str, Needed> = BTreeMap::new();
    for need in drafts.iter().flat_map(|draft| &draft.needs) {
        let count = need.count as usize;
        let known = kinds.entry(&need.of).or_default();
        known.uses.push((count, need.length, &need.name));
    }
    kinds
}

/// Writes the length to order, and the width: `3.40 m of 150 cm`.
fn to_order(laid: &Laid, unit: Unit) -> String {
    let width = match laid.lay.layout {
        Layout::Doubled => 2.0 * laid.lay.cloth_width,
        Layout::Open => laid.lay.cloth_width,
    };
    let length = words::cloth(laid.order_length.length, unit);
    format!("{length} of {}", words::width(width, unit))
}

/// Writes how the length to order is made up, in one short line.
fn sum(laid: &Laid, unit: Unit) -> String {
    let lay = format!("lay {}", unit.show(laid.lay.length));
    if !laid.material.is_cloth() {
        return lay;
    }
    if laid.order_length.length <= 0.0 {
        return format!("{lay}, from the pieces in stock");
    }
    let parts = &laid.order_length;
    let rest = unit.show(parts.total - parts.lay);
    let shrinkage = if parts.shrinkage > 0.0 {
        " and shrinkage"
    } else {
        ""
    };
    let stock = if parts.stock {
        " beside the pieces in stock"
    } else {
        ""
    };
    let bought = unit.show(parts.lay);
    format!("lay {bought}{stock} + {rest} for ends{shrinkage}, rounded up")
}

/// Writes how a material is laid: which way its face lies, for the cloth also its repeat and what is in stock.
fn laid_how(laid: &Laid, order: &Order) -> Vec<String> {
    let unit = order.unit;
    let face = words::lies(&laid.material, laid.lay.layout, order);
    let mut facts = vec![match face {
        Some(face) => format!("{}, {face}", laid.lay.layout.word()),
        None => laid.lay.layout.word().to_owned(),
    }];
    let Some(cloth) = order.cloth_as(&laid.material) else {
        return facts;
    };
    facts.push(cloth.nap.words().to_owned());
    if cloth.is_patterned() {
        let (across, along) = (
            unit.show(cloth.repeat_across),
            unit.show(cloth.repeat_along),
        );
        facts.push(format!("repeat {across} across, {along} along"));
    }
    if !cloth.remnants.is_empty() {
        let pieces: Vec<String> = cloth.remnants.iter().map(|&mm| unit.cloth(mm)).collect();
        facts.push(format!("in stock {}", pieces.join(" and ")));
    }
    facts
}

/// Lists the pieces to cut, by garment and material.
pub(super) fn pieces(sheets: &Sheets) -> Section {
    let mut section = Section::new("Pieces to cut");
    let garments = sheets
        .pattern
        .pieces
        .chunk_by(|a, b| a.garment == b.garment);
    for pieces in garments {
        let mut by_material: BTreeMap<&Material, Table> = BTreeMap::new();
        for piece in pieces {
            let table = by_material
                .entry(&piece.material)
                .or_insert_with(|| Table::new(&[("", 1.0)]));
            table.heading = Some(format!(
                "{}, {}",
                words::capital(&spaced(&piece.garment)),
                &piece.material.name
            ));
            let count = words::cut(piece);
            let name = format!("{}{}", piece.name, words::on_the_bias(piece));
            table.row(&name, [count.trim_start_matches("cut ")]);
        }
        for (_, table) in by_material {
            section.table(table);
        }
    }
    section
}

/// Rewrites a section with each table as a sentence, its rows grouped by their values.
pub(super) fn running_on(section: Section) -> Section {
    let mut close = Section::new(&section.heading);
    for entry in &section.entries {
        if let Entry::Table(table) = entry {
            let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
            for (name, values) in &table.rows {
                let count = values.concat();
                match groups.iter_mut().find(|(known, _)| *known == count) {
                    Some((_, names)) => names.push(name),
                    None => groups.push((count, vec![name])),
                }
            }
            let groups: Vec<String> = (groups.iter())
                .map(|(count, names)| format!("{count}: {}", names.join(", ")))
                .collect();
            let heading = table.heading.as_deref().unwrap_or_default();
            close.amount(Amount::new(heading, "", &groups.join("; ")));
        }
    }
    close
}

/// Writes what to mind before cutting and at the baste: notes, warnings, inlays.
pub(super) fn fitting(sheets: &Sheets) -> Section {
    let mut section = Section::new("For the baste");
    for note in &sheets.order.client.notes {
        section.item(note);
    }
    let (house, unit) = (&sheets.order.house, sheets.order.unit);
    for warning in sheets.drafts.iter().flat_map(|draft| &draft.warnings) {
        section.item(warning);
    }
    let used: BTreeSet<&str> = sheets
        .drafts
        .iter()
        .flat_map(|draft| &draft.pieces)
        .flat_map(|piece| &piece.edges)
        .map(|edge| edge.allowance.as_str())
        .collect();
    let mut inlays = Vec::new();
    let mut hems = Vec::new();
    for name in used {
        let allowance = house.values().get(&format!("allowance.{name}"));
        let seam = house.number(&format!("inlay.{name}"));
        let hem = house.word(&format!("corner.{name}")) == Some("fold");
        let list = if hem { &mut hems } else { &mut inlays };
        if let (Some(value), true) = (allowance, hem || seam.is_some()) {
            let beyond = seam.unwrap_or_default();
            list.extend(
                wider(value, beyond, unit).map(|width| format!("{} {width}", spaced(name))),
            );
        }
    }
    for (words, list) in [
        ("Inlays to let out, beyond the seam", inlays),
        ("Hems turned up", hems),
    ] {
        if !list.is_empty() {
            let (list, unit) = (list.join(", "), unit.spoken());
            section.item(&format!("{words}, in {unit}: {list}."));
        }
    }
    section.item("Thread-mark notches, levels, folds, pockets and buttons. Baste on the seam lines with the inlays left in.");
    section.item("Trim the inlays only after the fitting.");
    section
}

/// Writes how much wider an allowance is than its seam, both in cm, as a number of a unit: `2.5`, `0.5 to 1.5`.
/// Returns `None` for one that is no wider.
fn wider(value: &HouseValue, seam: f64, unit: Unit) -> Option<String> {
    let widths = match value {
        HouseValue::Number(cm) => vec![*cm],
        HouseValue::Along(widths) => widths.clone(),
        HouseValue::Word(_) => return None,
    };
    let beyond = |width: f64| 10.0 * (width - seam).max(0.0);
    let least = beyond(widths.iter().copied().fold(f64::INFINITY, f64::min));
    let most = beyond(widths.iter().copied().fold(0.0, f64::max));
    let (least, most) = (unit.number(least), unit.number(most));
    let words = if least == most {
        most.clone()
    } else {
        format!("{least} to {most}")
    };
    (most != "0").then_some(words)
}

/// Writes what to do before cutting good cloth.
pub(super) fn cautions(unit: Unit) -> Section {
    let mut section = Section::new("Before cutting");
    let line = super::marker::test_line(unit).1;
    section.item(&format!(
        "Measure the squares on the first page of the paper pattern, or the {line} line of the lay."
    ));
    for item in [
        "Shrink and press the cloth, check it for flaws, and measure its width and length.",
        words::TOILE,
        words::SHARP,
        words::STARTING_POINT,
    ] {
        section.item(item);
    }
    section
}

/// Writes the lines to sign on.
fn approval() -> Section {
    let mut section = Section::new("Agreed");
    for words in SIGNED {
        section.signature(words);
    }
    section
}
