//! The job ticket: what is made for whom, of what, from which measures, and what to mind.

use super::flow::{self, COLUMN, Section};
use super::marker;
use super::pdf::{self, Page, View};
use super::words::{self, cm, metres, spaced};
use super::{Laid, Sheets};
use crate::drafting::Material;
use crate::order::measures::KINDS;
use crate::order::{Choice, HouseValue, Layout, Nap, Origin, Style};
use crate::pattern::{CheckRow, Ledger};

/// Greatest height of a lay's picture, in mm.
const PICTURE: f64 = 150.0;
/// From this width on an allowance is an inlay worth naming, in cm.
const INLAY: f64 = 1.5;

/// Writes the ticket as a PDF of one page of A4 or two.
pub fn write(sheets: &Sheets) -> Vec<u8> {
    let client = &sheets.order.client;
    let title = format!("Job ticket · {} · {}", client.reference, client.name);
    let garments: Vec<String> = sheets
        .order
        .garments
        .iter()
        .map(|garment| spaced(&garment.block))
        .collect();
    let under = [
        format!(
            "{} · ordered {}",
            words::capital(&garments.join(", ")),
            client.date
        ),
        sheets.order.cloth.name.clone(),
    ];
    let mut sections = Vec::new();
    sections.extend(
        sheets
            .order
            .garments
            .iter()
            .map(|garment| choices(&garment.block, &garment.style)),
    );
    sections.push(measures(sheets));
    sections.push(cloth(sheets));
    sections.push(pieces(sheets));
    sections.push(girths(&sheets.pattern.ledger));
    sections.push(ledger(&sheets.pattern.ledger));
    sections.push(fitting(sheets));
    sections.push(cautions());
    sections.push(approval());
    sections.extend(sheets.lays.iter().map(|laid| lay(laid, sheets)));
    sections.retain(|section| !section.is_empty());
    let drawings = flow::set(&title, &under, &title, &sections);
    let pages: Vec<Page> = drawings
        .iter()
        .map(|drawing| Page {
            width: drawing.width,
            height: drawing.height,
            views: vec![View::at(drawing, (0.0, 0.0))],
        })
        .collect();
    pdf::write(&title, &pages)
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

/// The body's measures, with a mark at those that were derived.
fn measures(sheets: &Sheets) -> Section {
    let mut section = Section::new("Measures of the body, cm");
    let all = &sheets.order.measures.0;
    // In the order they are taken; then any the table does not know.
    let known = KINDS.iter().filter_map(|kind| all.get_key_value(kind.name));
    let unknown = all
        .iter()
        .filter(|(name, _)| KINDS.iter().all(|kind| kind.name != **name));
    for (name, measure) in known.chain(unknown) {
        let origin = match measure.origin {
            Origin::Taken => "taken",
            Origin::Derived => "derived",
        };
        section.row(&spaced(name), [(&cm(measure.mm), 58.0), (origin, COLUMN)]);
    }
    section
}

/// What to order: lengths of cloth and lining, and the trimmings in words.
fn cloth(sheets: &Sheets) -> Section {
    let mut section = Section::new("Cloth and trimmings");
    let cloth = &sheets.order.cloth;
    section.named("cloth", &cloth.name);
    let mut facts = vec![
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
    section.named("", &facts.join(", "));
    for laid in sheets.lays {
        order_of(&mut section, laid);
    }
    for (name, value) in &sheets.order.trimmings {
        section.named(&spaced(name), value);
    }
    section
}

fn order_of(section: &mut Section, laid: &Laid) {
    let name = words::material(laid.material);
    let name = if laid.material == Material::Cloth {
        "order"
    } else {
        name
    };
    let width = match laid.lay.layout {
        Layout::Doubled => 2.0 * laid.lay.cloth_width,
        Layout::Open => laid.lay.cloth_width,
    };
    let length = metres(laid.order_length.length);
    section.named(name, &format!("{length} of {} cm", cm(width)));
    section.named("", &laid.order_length.how);
    for notes in laid.lay.notes.chunk_by(|a, b| a == b) {
        let note = notes.first().map_or("", String::as_str);
        let times = if notes.len() > 1 {
            format!("{} times: ", notes.len())
        } else {
            String::new()
        };
        section.named("", &format!("{times}{note}"));
    }
}

fn pieces(sheets: &Sheets) -> Section {
    let mut section = Section::new("Pieces");
    let mut garment = "";
    for piece in &sheets.pattern.pieces {
        if piece.garment != garment {
            garment = &piece.garment;
            if sheets.order.garments.len() > 1 {
                section.sub(&words::capital(&spaced(garment)));
            }
        }
        let material = words::material(piece.material);
        section.row(
            &piece.name,
            [(material, 62.0), (&words::count(piece.count), COLUMN)],
        );
    }
    section
}

/// What the finished garments measure beside the body.
fn girths(ledger: &Ledger) -> Section {
    let mut section = Section::new("Finished girths, cm");
    if !ledger.girths.is_empty() {
        section.row("", [("finished", 47.0), ("body", 64.0), ("over", COLUMN)]);
    }
    for row in &ledger.girths {
        let (body, over) = if row.body_mm > 0.0 {
            (cm(row.body_mm), cm(row.finished_mm - row.body_mm))
        } else {
            (String::new(), String::new())
        };
        section.row(
            &spaced(&row.girth),
            [(&cm(row.finished_mm), 47.0), (&body, 64.0), (&over, COLUMN)],
        );
    }
    section
}

/// What was measured to prove the pattern: the seams one by one, the rest counted.
fn ledger(ledger: &Ledger) -> Section {
    let mut section = Section::new("Ledger: sewn seams, cm");
    if !ledger.seams.is_empty() {
        section.row("", [("one side", 54.0), ("other", 68.0), ("ease", COLUMN)]);
    }
    for row in &ledger.seams {
        let two = |mm: f64| format!("{:.2}", mm / 10.0 + 0.0);
        let (a, b, ease) = (two(row.a_mm), two(row.b_mm), two(row.ease_mm));
        section.row(&row.seam, [(&a, 54.0), (&b, 68.0), (&ease, COLUMN)]);
    }
    let held = |rows: &[CheckRow]| rows.iter().filter(|row| row.ok).count();
    let all = [
        (
            "joins run fair",
            ledger.joins.len(),
            ledger.joins.iter().filter(|row| row.ok).count(),
        ),
        ("notches meet", ledger.notches.len(), held(&ledger.notches)),
        (
            "outlines hold",
            ledger.outlines.len(),
            held(&ledger.outlines),
        ),
        ("curves are fair", ledger.curves.len(), held(&ledger.curves)),
    ];
    for (name, count, held) in all.into_iter().filter(|(_, count, _)| *count > 0) {
        section.row(name, [(&format!("{held} of {count}"), COLUMN)]);
    }
    section
}

/// What to look at before cutting and at the baste: notes, warnings, inlays.
fn fitting(sheets: &Sheets) -> Section {
    let mut section = Section::new("For the baste");
    for note in &sheets.order.client.notes {
        section.words(&format!("• {note}"));
    }
    for warning in sheets.drafts.iter().flat_map(|draft| &draft.warnings) {
        section.words(&format!("• {warning}"));
    }
    let inlays: Vec<String> = sheets
        .order
        .house
        .0
        .iter()
        .filter_map(|(name, value)| Some((name.strip_prefix("allowance.")?, value)))
        .filter_map(|(name, value)| Some(format!("{} {}", spaced(name), width(value)?)))
        .collect();
    if !inlays.is_empty() {
        section.words(&format!(
            "Baste with the inlays left, cm: {}.",
            inlays.join(", ")
        ));
    }
    section.words("Trim the inlays only after the fitting.");
    section
}

/// An allowance wide enough to name, in words: `2.5`, `1.5 to 2.5`.
fn width(value: &HouseValue) -> Option<String> {
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
    let mut section = Section::new(&format!("Lay in {}", words::material(laid.material)));
    section.picture(marker::picture(laid, sheets.pattern, COLUMN, PICTURE));
    section
}

fn cautions() -> Section {
    let mut section = Section::new("Before cutting");
    for words in [
        "• Measure the square on the first page of the paper pattern, or the 100 mm line of the lay.",
        "• Shrink and press the cloth, look it over for faults, and measure its width and length.",
        "• Cut a toile, or leave the inlays and baste, before cutting good cloth.",
        "• Shears, rotary knives, steam and powered cutters injure: follow the machine's manual and the local rules.",
        "• The draft is a beginning for a trained cutter's eye, not a replacement for a fitting.",
    ] {
        section.words(words);
    }
    section
}

fn approval() -> Section {
    let mut section = Section::new("Agreed");
    section.signature("Client, and date");
    section.signature("Cutter, and date");
    section
}
