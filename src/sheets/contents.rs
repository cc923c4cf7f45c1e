//! What the ticket and the page say of an order: each section made of the order, its pattern and its
//! lays.

use super::Sheets;
use super::section::{Entry, Section, Table};
use super::words::{self, cm, metres, spaced};
use crate::draft::{Draft, Material};
use crate::lay::Laid;
use crate::order::choices::{Declared, Domain};
use crate::order::measures::KINDS;
use crate::order::words::shown;
use crate::order::{Choice, HouseValue, Layout, Order, Origin};
use crate::pattern::{CheckRow, Ledger};
use std::collections::{BTreeMap, BTreeSet};

/// Who signs.
pub(super) const SIGNED: [&str; 2] = [
    "Approved by the client as written here: name, date",
    "Cutter: name, date",
];

/// All that the order says in words and figures; a section that has nothing to say is left out.
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

/// Every garment's choices in words, in the order its block declares them.
pub(super) fn choices(sheets: &Sheets) -> Vec<Section> {
    let garments = sheets.order.garments.iter().enumerate();
    garments
        .map(|(i, garment)| {
            let mut section = Section::new(&words::capital(&spaced(&garment.block)));
            let declared: &[Declared] = sheets.choices.get(i).map_or(&[], |choices| &choices.0);
            let known = declared.iter().filter_map(|declared| {
                let choice = garment.style.get(&declared.name)?;
                Some((
                    declared.name.as_str(),
                    in_words(choice, Some(&declared.domain)),
                ))
            });
            let rest = garment
                .style
                .iter()
                .filter(|(name, _)| declared.iter().all(|declared| declared.name != **name))
                .map(|(name, choice)| (name.as_str(), in_words(choice, None)));
            for (name, value) in known.chain(rest) {
                section.named(&spaced(name), &value);
            }
            section
        })
        .collect()
}

/// A choice, with what its word means.
fn in_words(choice: &Choice, domain: Option<&Domain>) -> String {
    match (choice, domain) {
        (Choice::Word(word), Some(Domain::Word(words))) => {
            let meaning = words.iter().find(|(known, _)| known == word);
            match meaning.map(|(_, meaning)| meaning.as_str()) {
                Some(meaning) if !meaning.is_empty() => format!("{} – {meaning}", spaced(word)),
                _ => spaced(word),
            }
        }
        (Choice::Word(word), _) => spaced(word),
        (Choice::Length(mm), _) => format!("{} cm", cm(*mm)),
        (Choice::Number(number), _) => shown(*number),
        (Choice::Flag(true), _) => "yes".to_owned(),
        (Choice::Flag(false), _) => "no".to_owned(),
    }
}

/// The body's measures in the order they are taken, those taken before those derived.
pub(super) fn measures(sheets: &Sheets) -> Section {
    let mut section = Section::new("Measures of the body, cm");
    let all = &sheets.order.measures.0;
    for (origin, heading) in [
        (Origin::Taken, "Taken"),
        (Origin::Derived, "Derived: measure if in doubt"),
    ] {
        // Those of the table of measures; then any it does not know.
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

/// What to order: lengths of cloth and lining, and the trimmings in words.
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
        facts.push(format!("at hand {}", pieces.join(" and ")));
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

/// What no piece is drawn for: of each kind, what it is for and how much of it.
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

/// The length to order; for the cloth, how it comes about.
fn to_order(laid: &Laid, order: &Order) -> String {
    let width = match laid.lay.layout {
        Layout::Doubled => 2.0 * laid.lay.cloth_width,
        Layout::Open => laid.lay.cloth_width,
    };
    let length = metres(laid.order_length.length);
    let words = format!("{length}, {} cm wide", cm(width));
    if laid.material == Material::Cloth {
        format!("{words} ({})", laid.order_length.how)
    } else {
        match words::lies(laid.material, laid.lay.layout, order) {
            Some(face) => format!("{words}, laid {face}"),
            None => words,
        }
    }
}

/// What is cut, by what it is cut from.
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

/// The same section with each table as a sentence.
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

/// What the finished garments measure beside the body.
pub(super) fn girths(ledger: &Ledger) -> Section {
    let mut section = Section::new("Finished girths, cm");
    for rows in ledger
        .girths
        .chunk_by(|a, b| garment_of(&a.girth).0 == garment_of(&b.girth).0)
    {
        let mut table = Table::new(&[("finished", 0.55), ("body", 0.75), ("over", 1.0)]);
        for row in rows {
            let (garment, name) = garment_of(&row.girth);
            table.heading = garment.map(words::capital);
            let (body, over) = if row.body_mm > 0.0 {
                (cm(row.body_mm), cm(row.finished_mm - row.body_mm))
            } else {
                (String::new(), String::new())
            };
            table.row(&spaced(name), [&cm(row.finished_mm), &body, &over]);
        }
        section.table(table);
    }
    section
}

/// The garment that a row of the ledger begins with, if it names one, and the rest.
fn garment_of(row: &str) -> (Option<&str>, &str) {
    row.split_once(": ")
        .map_or((None, row), |(garment, name)| (Some(garment), name))
}

/// What was measured to prove the pattern, counted.
pub(super) fn proof(ledger: &Ledger) -> Section {
    let mut section = Section::new("Proof of the pattern");
    let counts = [
        (ledger.seams.len(), "seams"),
        (ledger.joins.len(), "joins"),
        (ledger.girths.len(), "girths"),
        (ledger.notches.len(), "notches"),
        (ledger.outlines.len(), "outlines"),
        (ledger.curves.len(), "curves"),
    ];
    let counts: Vec<String> = counts
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| format!("{count} {what}"))
        .collect();
    let failed = ledger.failed().len();
    if !counts.is_empty() {
        let outcome = if failed == 0 {
            "all hold".to_owned()
        } else {
            format!("{failed} do not hold")
        };
        let counts = counts.join(", ");
        section.words(&format!(
            "{counts} measured: {outcome}. Row by row in order.html."
        ));
    }
    section
}

/// What was measured to prove the pattern: the seams one by one, the rest counted.
fn ledger(ledger: &Ledger) -> Section {
    let mut section = Section::new("Ledger: sewn seams, cm");
    for rows in ledger
        .seams
        .chunk_by(|a, b| garment_of(&a.seam).0 == garment_of(&b.seam).0)
    {
        let mut table = Table::new(&[("one side", 0.66), ("other", 0.82), ("ease", 1.0)]);
        for row in rows {
            let (garment, name) = garment_of(&row.seam);
            table.heading = garment.map(words::capital);
            let cm = |mm: f64| format!("{:.2}", (mm * 10.0).round() / 100.0 + 0.0);
            table.row(name, [&cm(row.a_mm), &cm(row.b_mm), &cm(row.ease_mm)]);
        }
        section.table(table);
    }
    let held = |rows: &[CheckRow]| rows.iter().filter(|row| row.ok).count();
    let joins = ledger.joins.iter().filter(|row| row.ok).count();
    let mut counts = Table::new(&[("", 1.0)]);
    for (name, held, count) in [
        ("joins run fair", joins, ledger.joins.len()),
        ("notches meet", held(&ledger.notches), ledger.notches.len()),
        (
            "outlines hold",
            held(&ledger.outlines),
            ledger.outlines.len(),
        ),
        ("curves are fair", held(&ledger.curves), ledger.curves.len()),
    ] {
        if count > 0 {
            counts.row(name, [&format!("{held} of {count}")]);
        }
    }
    section.table(counts);
    section
}

/// What to look at before cutting and at the baste: notes, warnings, inlays.
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
    section.item("Mark through with thread: notches, levels, folds, pockets, buttons. Baste on the seam lines with the inlays left in.");
    section.item("Trim the inlays only after the fitting.");
    section
}

/// How much wider an allowance is than its seam, in words: `2.5`, `0.5 to 1.5`.
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

pub(super) fn cautions() -> Section {
    let mut section = Section::new("Before cutting");
    for words in [
        "Measure the square on the first page of the paper pattern, or the 100 mm line of the lay.",
        "Shrink and press the cloth, look it over for faults, and measure its width and length.",
        "Cut a toile, or leave the inlays and baste, before cutting good cloth.",
        "Shears, rotary knives, steam and powered cutters injure: follow the machine's manual and the local rules.",
        "The draft is a beginning for a trained cutter's eye, not a replacement for a fitting.",
    ] {
        section.item(words);
    }
    section
}

fn approval() -> Section {
    let mut section = Section::new("Agreed");
    for words in SIGNED {
        section.signature(words);
    }
    section
}
