//! Writes what the ticket and the page say of an order, section by section, from the order, its pattern and its
//! lays.

use super::Sheets;
use super::proof::{girths, ledger};
use super::section::{Entry, Section, Table};
use super::words::{self, cm, metres, spaced};
use crate::draft::{Draft, Material};
use crate::lay::Laid;
use crate::order::choices::{Declared, Domain};
use crate::order::measures::KINDS;
use crate::order::phrase::Terms;
use crate::order::words::shown;
use crate::order::{Choice, HouseValue, Layout, Order, Origin};
use std::collections::{BTreeMap, BTreeSet};

/// The words under the lines to sign on.
pub(super) const SIGNED: [&str; 2] = [
    "Approved by the client as written here: name, date",
    "Cutter: name, date",
];

/// Writes every section of an order. Empty sections are left out.
pub(super) fn sections(sheets: &Sheets) -> Vec<Section> {
    let mut sections = choices(sheets);
    sections.extend([
        measures(sheets),
        girths(&sheets.pattern.ledger),
        cloth(sheets),
        pieces(sheets),
        fitting(sheets),
        cautions(),
        ledger(&sheets.pattern.ledger),
        approval(),
    ]);
    sections.retain(|section| !section.entries.is_empty());
    sections
}

/// Writes the choices of every garment, in the order in which its block declares them.
pub(super) fn choices(sheets: &Sheets) -> Vec<Section> {
    let terms = Terms {
        unit: sheets.order.unit,
        house: Some(&sheets.order.house),
    };
    let garments = sheets.order.garments.iter().enumerate();
    garments
        .map(|(i, garment)| {
            let mut section = Section::new(&words::capital(&spaced(&garment.block)));
            let declared: &[Declared] = sheets.choices.get(i).map_or(&[], |choices| &choices.0);
            let known = declared.iter().filter_map(|declared| {
                let choice = garment.style.get(&declared.name)?;
                Some((
                    declared.name.as_str(),
                    in_words(choice, Some(&declared.domain), &terms),
                ))
            });
            let rest = garment
                .style
                .iter()
                .filter(|(name, _)| declared.iter().all(|declared| declared.name != **name))
                .map(|(name, choice)| (name.as_str(), in_words(choice, None, &terms)));
            for (name, value) in known.chain(rest) {
                section.named(&spaced(name), &value);
            }
            section
        })
        .collect()
}

/// Writes a choice, with the meaning of its word.
fn in_words(choice: &Choice, domain: Option<&Domain>, terms: &Terms) -> String {
    match (choice, domain) {
        (Choice::Word(word), Some(Domain::Word(words))) => {
            let meaning = words.iter().find(|(known, _)| known == word);
            match meaning.map(|(_, meaning)| meaning.text(terms)) {
                Some(meaning) if !meaning.is_empty() => format!("{} – {meaning}", spaced(word)),
                _ => spaced(word),
            }
        }
        (Choice::Word(word), _) => spaced(word),
        (Choice::Length(mm), _) => terms.unit.show(*mm),
        (Choice::Number(number), _) => shown(*number),
        (Choice::Flag(true), _) => "yes".to_owned(),
        (Choice::Flag(false), _) => "no".to_owned(),
    }
}

/// Writes the measures of the body in the order of the tape, the taken ones before the derived.
pub(super) fn measures(sheets: &Sheets) -> Section {
    let mut section = Section::new("Measures of the body, cm");
    let all = &sheets.order.measures.0;
    for (origin, heading) in [
        (Origin::Taken, "Taken"),
        (Origin::Derived, "Derived (measure if in doubt)"),
    ] {
        // First the measures that the table knows, then any others.
        let known = KINDS.iter().filter_map(|kind| all.get_key_value(kind.name));
        let unknown = all
            .iter()
            .filter(|(name, _)| KINDS.iter().all(|kind| kind.name != **name));
        let mut table = Table::new(&[("", 1.0)]);
        table.heading = Some(heading.to_owned());
        for (name, measure) in known.chain(unknown) {
            if measure.origin == origin {
                table.row(&spaced(name), [&cm(measure.mm)]);
            }
        }
        section.table(table);
    }
    section
}

/// Writes what to order: lengths of cloth and lining, and the trimmings.
pub(super) fn cloth(sheets: &Sheets) -> Section {
    let mut section = Section::new("Cloth and trimmings");
    let cloth = &sheets.order.cloth;
    let mut facts = vec![
        cloth.name.clone(),
        format!("{} cm wide", cm(cloth.width)),
        format!("laid {}", cloth.layout.word()),
        words::lies(Material::Cloth, cloth.layout, sheets.order)
            .unwrap_or_default()
            .to_owned(),
        cloth.nap.words().to_owned(),
    ];
    if cloth.is_patterned() {
        let (across, along) = (cm(cloth.repeat_across), cm(cloth.repeat_along));
        facts.push(format!("repeat {across} cm across, {along} cm along"));
    }
    if !cloth.remnants.is_empty() {
        let pieces: Vec<String> = cloth.remnants.iter().map(|&mm| metres(mm)).collect();
        facts.push(format!("in stock {}", pieces.join(" and ")));
    }
    section.named("cloth", &facts.join(", "));
    for laid in sheets.lays {
        section.named(
            &format!("{} to order", words::material(laid.material)),
            &to_order(laid, sheets.order),
        );
    }
    for (of, amounts) in needs(sheets.drafts) {
        section.named(of, &amounts.join(", "));
    }
    for (name, value) in &sheets.order.trimmings {
        section.named(&spaced(name), value);
    }
    section
}

/// Lists the needs for which no piece is drawn: for each kind, the purpose and the amount.
fn needs(drafts: &[Draft]) -> BTreeMap<&str, Vec<String>> {
    let mut kinds: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for need in drafts.iter().flat_map(|draft| &draft.needs) {
        let amount = match need.length {
            Some(mm) => format!("{} × {} cm", need.count, cm(mm)),
            None => need.count.to_string(),
        };
        let words = format!("{} {amount}", need.name);
        kinds.entry(&need.of).or_default().push(words);
    }
    kinds
}

/// Writes the length to order; for the cloth, also how it is reckoned.
fn to_order(laid: &Laid, order: &Order) -> String {
    let width = match laid.lay.layout {
        Layout::Doubled => 2.0 * laid.lay.cloth_width,
        Layout::Open => laid.lay.cloth_width,
    };
    let length = order.unit.cloth(laid.order_length.length);
    let words = format!("{length}, {} cm wide", cm(width));
    if laid.material == Material::Cloth {
        format!("{words} ({})", laid.order_length.how(order.unit))
    } else {
        match words::lies(laid.material, laid.lay.layout, order) {
            Some(face) => format!("{words}, laid {face}"),
            None => words,
        }
    }
}

/// Lists the pieces to cut, by garment and material.
pub(super) fn pieces(sheets: &Sheets) -> Section {
    let mut section = Section::new("Pieces to cut");
    let garments = sheets
        .pattern
        .pieces
        .chunk_by(|a, b| a.garment == b.garment);
    for pieces in garments {
        let mut by_material: BTreeMap<Material, Table> = BTreeMap::new();
        for piece in pieces {
            let table = by_material
                .entry(piece.material)
                .or_insert_with(|| Table::new(&[("", 1.0)]));
            table.heading = Some(format!(
                "{}, {}",
                words::capital(&spaced(&piece.garment)),
                words::material(piece.material)
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

/// Rewrites a section with each table as a sentence.
pub(super) fn running_on(section: Section) -> Section {
    let mut close = Section::new(&section.heading);
    for entry in &section.entries {
        if let Entry::Table(table) = entry {
            let row = |(name, values): &(String, Vec<String>)| match values.concat().as_str() {
                "1" => name.clone(),
                count => format!("{name} ({count})"),
            };
            let rows: Vec<String> = table.rows.iter().map(row).collect();
            let heading = table.heading.as_deref().unwrap_or_default();
            close.item(&format!("{heading}: {}.", rows.join("; ")));
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
    let house = &sheets.order.house;
    let mut inlays = Vec::new();
    let mut hems = Vec::new();
    for name in used {
        let allowance = house.values().get(&format!("allowance.{name}"));
        let seam = house.number(&format!("inlay.{name}"));
        let hem = house.word(&format!("corner.{name}")) == Some("fold");
        let list = if hem { &mut hems } else { &mut inlays };
        if let (Some(value), true) = (allowance, hem || seam.is_some()) {
            let beyond = seam.unwrap_or_default();
            list.extend(wider(value, beyond).map(|width| format!("{} {width}", spaced(name))));
        }
    }
    for (words, list) in [
        ("Inlays to let out, cm beyond the seam", inlays),
        ("Hems turned up, cm", hems),
    ] {
        if !list.is_empty() {
            section.item(&format!("{words}: {}.", list.join(", ")));
        }
    }
    section.item("Thread-mark notches, levels, folds, pockets and buttons. Baste on the seam lines with the inlays left in.");
    section.item("Trim the inlays only after the fitting.");
    section
}

/// Writes how much wider an allowance is than its seam, in cm: `2.5`, `0.5 to 1.5`. Returns `None` for one that is
/// no wider.
fn wider(value: &HouseValue, seam: f64) -> Option<String> {
    let widths = match value {
        HouseValue::Number(cm) => vec![*cm],
        HouseValue::Along(widths) => widths.clone(),
        HouseValue::Word(_) => return None,
    };
    let beyond = |width: f64| ((width - seam).max(0.0) * 100.0).round() / 100.0;
    let least = beyond(widths.iter().copied().fold(f64::INFINITY, f64::min));
    let most = beyond(widths.iter().copied().fold(0.0, f64::max));
    let words = if least == most {
        format!("{most}")
    } else {
        format!("{least} to {most}")
    };
    (most > 0.0).then_some(words)
}

/// Writes what to do before cutting good cloth.
pub(super) fn cautions() -> Section {
    let mut section = Section::new("Before cutting");
    for words in [
        "Measure the square on the first page of the paper pattern, or the 100 mm line of the lay.",
        "Shrink and press the cloth, check it for flaws, and measure its width and length.",
        "Cut a toile, or leave the inlays and baste, before cutting good cloth.",
        "Shears, rotary knives, steam and powered cutters can injure: follow the machine's manual and the local rules.",
        "The draft is a starting point for a trained cutter's eye; it does not replace a fitting.",
    ] {
        section.item(words);
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
