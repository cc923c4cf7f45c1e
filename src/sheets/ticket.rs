//! The job ticket: what is made for whom, of what, from which measures, and what to mind.

use super::flow::{self, COLUMN};
use super::font::clean;
use super::marker;
use super::pdf::{self, Page, View};
use super::section::{Section, Table};
use super::words::{self, cm, metres, spaced};
use super::{Laid, Sheets};
use crate::drafting::Material;
use crate::order::measures::KINDS;
use crate::order::{Choice, HouseValue, Layout, Nap, Origin, Style};
use crate::pattern::{CheckRow, Ledger};

/// Greatest height of a lay's picture, in mm: of the cloth's, and of any other.
const PICTURE: f64 = 130.0;
const SMALL_PICTURE: f64 = 28.0;
/// From this width on an allowance is an inlay worth naming, in cm.
const INLAY: f64 = 1.5;

/// Writes the ticket as a PDF of one page of A4 or two.
pub fn write(sheets: &Sheets) -> Vec<u8> {
    let title = title(sheets);
    let drawings = flow::set(&title, &under_title(sheets), &title, &sections(sheets));
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

/// What stands under the title: garments, date, cloth.
pub fn under_title(sheets: &Sheets) -> Vec<String> {
    let order = sheets.order;
    let garments: Vec<String> = order
        .garments
        .iter()
        .map(|garment| spaced(&garment.block))
        .collect();
    let garments = words::capital(&garments.join(", "));
    vec![
        clean(&format!("{garments} · ordered {}", order.client.date)),
        clean(&order.cloth.name),
    ]
}

/// All that the ticket says; a section that has nothing to say is left out.
pub fn sections(sheets: &Sheets) -> Vec<Section> {
    let garments = &sheets.order.garments;
    let mut sections: Vec<Section> = garments
        .iter()
        .map(|garment| choices(&garment.block, &garment.style))
        .collect();
    sections.extend([
        measures(sheets),
        cloth(sheets),
        pieces(sheets),
        girths(&sheets.pattern.ledger),
        ledger(&sheets.pattern.ledger),
        fitting(sheets),
        cautions(),
        approval(),
    ]);
    sections.extend(sheets.lays.iter().map(|laid| lay(laid, sheets)));
    sections.retain(|section| !section.entries.is_empty());
    sections
}

/// A garment's choices in words.
fn choices(block: &str, style: &Style) -> Section {
    let mut section = Section::new(&words::capital(&spaced(block)));
    for (name, choice) in style {
        let value = match choice {
            Choice::Word(word) => spaced(word),
            Choice::Length(mm) => format!("{} cm", cm(*mm)),
            Choice::Number(number) => number.to_string(),
            Choice::Flag(true) => "yes".to_owned(),
            Choice::Flag(false) => "no".to_owned(),
        };
        section.named(&spaced(name), &value);
    }
    section
}

/// The body's measures in the order they are taken, and which of them were derived.
fn measures(sheets: &Sheets) -> Section {
    let mut section = Section::new("Measures of the body, cm");
    let mut table = Table::new(&[("", 0.67), ("", 1.0)]);
    let all = &sheets.order.measures.0;
    // Those of the table of measures; then any it does not know.
    let known = KINDS.iter().filter_map(|kind| all.get_key_value(kind.name));
    let unknown = all
        .iter()
        .filter(|(name, _)| KINDS.iter().all(|kind| kind.name != **name));
    for (name, measure) in known.chain(unknown) {
        let origin = match measure.origin {
            Origin::Taken => "taken",
            Origin::Derived => "derived",
        };
        table.row(&spaced(name), [&cm(measure.mm), origin]);
    }
    section.table(table);
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
    for (name, value) in &sheets.order.trimmings {
        section.named(&spaced(name), value);
    }
    section
}

/// The length to order and how it comes about.
fn to_order(laid: &Laid) -> String {
    let width = match laid.lay.layout {
        Layout::Doubled => 2.0 * laid.lay.cloth_width,
        Layout::Open => laid.lay.cloth_width,
    };
    let length = metres(laid.order_length.length);
    format!("{length} of {} cm ({})", cm(width), laid.order_length.how)
}

fn pieces(sheets: &Sheets) -> Section {
    let mut section = Section::new("Pieces");
    for pieces in sheets
        .pattern
        .pieces
        .chunk_by(|a, b| a.garment == b.garment)
    {
        let mut table = Table::new(&[("", 0.72), ("", 1.0)]);
        let garment = pieces.first().map_or("", |piece| &piece.garment);
        if sheets.order.garments.len() > 1 {
            table.heading = Some(words::capital(&spaced(garment)));
        }
        for piece in pieces {
            table.row(
                &piece.name,
                [words::material(piece.material), &words::count(piece.count)],
            );
        }
        section.table(table);
    }
    section
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
    let allowances = sheets.order.house.0.iter();
    let inlays: Vec<String> = allowances
        .filter_map(|(name, value)| Some((name.strip_prefix("allowance.")?, value)))
        .filter_map(|(name, value)| Some(format!("{} {}", spaced(name), inlay(value)?)))
        .collect();
    if !inlays.is_empty() {
        section.item(&format!(
            "Baste with the inlays left, cm: {}.",
            inlays.join(", ")
        ));
    }
    section.item("Trim the inlays only after the fitting.");
    section
}

/// An allowance wide enough to name, in words: `2.5`, `1.5 to 2.5`.
fn inlay(value: &HouseValue) -> Option<String> {
    let (least, most) = match value {
        HouseValue::Number(cm) => (*cm, *cm),
        HouseValue::Along(widths) => (
            widths.iter().copied().fold(f64::INFINITY, f64::min),
            widths.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        ),
        HouseValue::Word(_) => return None,
    };
    let words = if least == most {
        format!("{most}")
    } else {
        format!("{least} to {most}")
    };
    (most.is_finite() && most >= INLAY).then_some(words)
}

/// A picture of a lay.
fn lay(laid: &Laid, sheets: &Sheets) -> Section {
    let material = words::material(laid.material);
    let mut section = Section::new(&format!("Lay in {material}"));
    let height = if laid.material == Material::Cloth {
        PICTURE
    } else {
        SMALL_PICTURE
    };
    let picture = marker::picture(laid, sheets.pattern, COLUMN, height);
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
    section.signature("Client, and date");
    section.signature("Cutter, and date");
    section
}
