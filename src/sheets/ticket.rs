//! The job ticket: what is made for whom, of what, from which measures, and what to mind.

use super::drawing::Drawing;
use super::flow::{self, Head, Spread};
use super::font::clean;
use super::marker;
use super::pdf::{self, Page, View};
use super::section::{Entry, Section, Table};
use super::words::{self, cm, metres, spaced};
use super::{Laid, Sheets, views};
use crate::drafting::{Draft, Material};
use crate::order::choices::{Declared, Domain};
use crate::order::measures::KINDS;
use crate::order::{Choice, HouseValue, Layout, Nap, Origin};
use crate::pattern::{CheckRow, Ledger};
use std::collections::{BTreeMap, BTreeSet};

/// Greatest height of a lay in any material but cloth, in mm.
const SMALL_PICTURE: f64 = 24.0;
/// As many pages as a ticket should have.
const PAGES: usize = 2;
/// How close the pages may be set, the widest first: the first that keeps to the pages is
/// taken.
const SETTINGS: [Setting; 5] = [
    Setting::new(84.0, 105.0, true, false),
    Setting::new(84.0, 75.0, true, false),
    Setting::new(72.0, 75.0, true, true),
    Setting::new(60.0, 60.0, false, true),
    Setting::new(46.0, 0.0, false, true),
];

/// How the pages are set.
#[derive(Debug, Clone, Copy)]
struct Setting {
    /// Greatest height of the garments made up on the client's page, mm.
    made_up: f64,
    /// Greatest height of the cloth's lay, mm; without a picture if 0.
    picture: f64,
    /// Whether the lays in other materials are shown.
    all_lays: bool,
    /// Whether the pieces run on in sentences instead of standing in a table.
    pieces_run_on: bool,
}

impl Setting {
    const fn new(made_up: f64, picture: f64, all_lays: bool, pieces_run_on: bool) -> Self {
        Setting {
            made_up,
            picture,
            all_lays,
            pieces_run_on,
        }
    }
}

/// Columns of the first page and of the next.
const CHOICES: usize = 2;
const WORKROOM: usize = 3;

/// Writes the ticket as a PDF: a page for the client and the cutter to agree on, a page for the
/// workroom.
pub fn write(sheets: &Sheets) -> Vec<u8> {
    let title = title(sheets);
    let mut drawings = Vec::new();
    for setting in SETTINGS {
        drawings = flow::set(&head(sheets), &spreads(sheets, setting));
        if drawings.len() <= PAGES {
            break;
        }
    }
    let page = |drawing| Page {
        width: flow::PAGE.0,
        height: flow::PAGE.1,
        views: vec![View::at(drawing, (0.0, 0.0))],
    };
    pdf::write(&title, &drawings.iter().map(page).collect::<Vec<_>>())
}

/// The ticket's title: whose order it is.
pub fn title(sheets: &Sheets) -> String {
    let client = &sheets.order.client;
    clean(&format!(
        "Job ticket · {} · {}",
        client.reference, client.name
    ))
}

fn head(sheets: &Sheets) -> Head {
    let client = &sheets.order.client;
    let lines = under_title(sheets).into_iter();
    let mut at_right = vec![format!("ordered {}", client.date)].into_iter();
    Head {
        kind: "Job ticket".to_owned(),
        title: client.name.clone(),
        reference: client.reference.clone(),
        lines: lines
            .map(|line| (line, at_right.next().unwrap_or_default()))
            .collect(),
    }
}

/// What stands under the title: garments, cloth.
pub fn under_title(sheets: &Sheets) -> Vec<String> {
    let order = sheets.order;
    let garments: Vec<String> = order
        .garments
        .iter()
        .map(|garment| spaced(&garment.block))
        .collect();
    let garments = words::capital(&garments.join(", "));
    vec![clean(&garments), clean(&order.cloth.name)]
}

/// The ticket's pages: what is agreed with the client; then what the workroom needs.
fn spreads(sheets: &Sheets, setting: Setting) -> Vec<Spread> {
    let agreed = Spread {
        pictures: drawings(sheets),
        tall: setting.made_up,
        columns: CHOICES,
        sections: choices(sheets),
        signatures: SIGNED.map(str::to_owned).to_vec(),
    };
    let mut sections = vec![
        measures(sheets),
        girths(&sheets.pattern.ledger),
        cautions(),
        cloth(sheets),
        fitting(sheets),
        proof(&sheets.pattern.ledger),
        if setting.pieces_run_on {
            running_on(pieces(sheets))
        } else {
            pieces(sheets)
        },
    ];
    let column = flow::column_width(WORKROOM);
    for laid in sheets.lays {
        let height = match laid.material {
            Material::Cloth => setting.picture,
            _ if setting.all_lays => SMALL_PICTURE,
            _ => 0.0,
        };
        if height > 0.0 {
            sections.push(lay(laid, sheets, column, height));
        }
    }
    sections.retain(|section| !section.entries.is_empty());
    let workroom = Spread {
        pictures: Vec::new(),
        tall: 0.0,
        columns: WORKROOM,
        sections,
        signatures: Vec::new(),
    };
    vec![agreed, workroom]
}

/// Every garment made up, from the front and the back.
pub fn drawings(sheets: &Sheets) -> Vec<Drawing> {
    let of_garment = |draft| [views::front(draft), views::back(draft)];
    let drawn = sheets.drafts.iter().flat_map(of_garment).flatten();
    drawn
        .map(|view| Drawing {
            title: words::capital(&view.title),
            ..view
        })
        .collect()
}

/// Who signs.
const SIGNED: [&str; 2] = [
    "Approved by the client as written here: name, date",
    "Cutter: name, date",
];

/// All that the order says in words and figures; a section that has nothing to say is left out.
pub fn sections(sheets: &Sheets) -> Vec<Section> {
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
fn choices(sheets: &Sheets) -> Vec<Section> {
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
        (Choice::Number(number), _) => number.to_string(),
        (Choice::Flag(true), _) => "yes".to_owned(),
        (Choice::Flag(false), _) => "no".to_owned(),
    }
}

/// The body's measures in the order they are taken, those taken before those derived.
fn measures(sheets: &Sheets) -> Section {
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
fn cloth(sheets: &Sheets) -> Section {
    let mut section = Section::new("Cloth and trimmings");
    let cloth = &sheets.order.cloth;
    let mut facts = vec![
        cloth.name.clone(),
        format!("{} cm wide", cm(cloth.width)),
        match cloth.layout {
            Layout::Doubled => "laid doubled".to_owned(),
            Layout::Open => "laid open".to_owned(),
        },
        match cloth.nap {
            Nap::OneWay => "one way".to_owned(),
            Nap::TwoWays => "two ways".to_owned(),
        },
    ];
    if cloth.repeat_across > 0.0 || cloth.repeat_along > 0.0 {
        let (across, along) = (cm(cloth.repeat_across), cm(cloth.repeat_along));
        facts.push(format!("repeat {across} cm across, {along} cm along"));
    }
    section.named("cloth", &facts.join(", "));
    for laid in sheets.lays {
        section.named(
            &format!("{} to order", words::material(laid.material)),
            &to_order(laid),
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
fn to_order(laid: &Laid) -> String {
    let width = match laid.lay.layout {
        Layout::Doubled => 2.0 * laid.lay.cloth_width,
        Layout::Open => laid.lay.cloth_width,
    };
    let length = metres(laid.order_length.length);
    let words = format!("{length}, {} cm wide", cm(width));
    if laid.material == Material::Cloth {
        format!("{words} ({})", laid.order_length.how)
    } else {
        words
    }
}

/// What is cut, by what it is cut from.
fn pieces(sheets: &Sheets) -> Section {
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
            let count = words::count(piece.count);
            table.row(&piece.name, [count.trim_start_matches("cut ")]);
        }
        for (_, table) in by_material {
            section.table(table);
        }
    }
    section
}

/// The same section with each table as a sentence.
fn running_on(section: Section) -> Section {
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
fn girths(ledger: &Ledger) -> Section {
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
fn proof(ledger: &Ledger) -> Section {
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
fn fitting(sheets: &Sheets) -> Section {
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
        let allowance = house.0.get(&format!("allowance.{name}"));
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

/// A picture of a lay.
fn lay(laid: &Laid, sheets: &Sheets, column: f64, height: f64) -> Section {
    let material = words::material(laid.material);
    let mut section = Section::new(&format!("Lay in {material}"));
    let picture = marker::picture(laid, sheets.pattern, column, height);
    section.picture(picture, &format!("The pieces laid on the {material}"));
    section
}

fn cautions() -> Section {
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
