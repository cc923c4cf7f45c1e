//! Writes the job ticket: what is made for whom, from which cloth and measures, and what to mind.

use super::Sheets;
use super::contents::{self, SIGNED, cautions, cloth, fitting, pieces, running_on};
use super::drawing::Drawing;
use super::flow::{self, Head, Spread};
use super::font::tidy;
use super::marker;
use super::pdf;
use super::proof::{girths, proof};
use super::section::Section;
use super::settled::{choices, measures};
use super::words::{self, spaced};
use crate::lay::Laid;

/// Greatest height of the picture of a lay in any material but cloth, in mm.
const SMALL_PICTURE: f64 = 24.0;
/// Greatest heights of the pictures of the garments that are tried, in mm. The first at which the client's
/// part keeps to one page is taken, or the last.
const MADE_UP: [f64; 8] = [84.0, 72.0, 60.0, 50.0, 40.0, 32.0, 24.0, 18.0];
/// The settings of the workroom's part that are tried, the widest first. The first at which it keeps to one page
/// is taken, or the last.
const SETTINGS: [Setting; 7] = [
    Setting::new(105.0, true, Listed::InTables),
    Setting::new(75.0, true, Listed::InTables),
    Setting::new(75.0, true, Listed::InSentences),
    Setting::new(60.0, false, Listed::InSentences),
    Setting::new(0.0, false, Listed::InSentences),
    Setting::new(75.0, false, Listed::Counted),
    Setting::new(0.0, false, Listed::Counted),
];

/// A way to set the workroom's part.
#[derive(Debug, Clone, Copy)]
struct Setting {
    /// Greatest height of the picture of the cloth's lay, in mm; 0 leaves it out.
    picture: f64,
    /// Whether the lays in other materials are shown.
    all_lays: bool,
    /// The form of the list of pieces.
    pieces: Listed,
}

/// The form of a list of pieces.
#[derive(Debug, Clone, Copy)]
enum Listed {
    InTables,
    InSentences,
    Counted,
}

impl Setting {
    const fn new(picture: f64, all_lays: bool, pieces: Listed) -> Self {
        Self {
            picture,
            all_lays,
            pieces,
        }
    }
}

/// Columns of the client's page, wide enough for the meanings of the choices.
const CHOICES: usize = 2;
/// Columns of the workroom's page.
const WORKROOM: usize = 3;

/// Writes the ticket as a PDF: a page for the client and the cutter to agree on, a page for the
/// workroom.
pub fn write(sheets: &Sheets) -> Vec<u8> {
    let head = head(sheets);
    let client = MADE_UP.map(|tall| client(sheets, tall));
    let workroom = SETTINGS.map(|setting| workroom(sheets, setting));
    // The workroom's part has no head of its own, so that it stands on its pages as after the client's.
    let empty = Head::default();
    let spreads = [on_one_page(&client, &head), on_one_page(&workroom, &empty)];
    let spreads: Vec<Spread> = spreads.into_iter().flatten().cloned().collect();
    pdf::write_drawings(&title(sheets), &flow::set(&head, &spreads))
}

/// Writes what is agreed as a PDF for the client: what the workroom needs is left out.
pub fn agreed(sheets: &Sheets) -> Vec<u8> {
    let head = Head {
        kind: "Agreed".to_owned(),
        ..head(sheets)
    };
    let client = MADE_UP.map(|tall| client(sheets, tall));
    let spreads: Vec<Spread> = on_one_page(&client, &head).into_iter().cloned().collect();
    let title = tidy(&format!("Agreed · {}", words::client(sheets.order)));
    pdf::write_drawings(&title, &flow::set(&head, &spreads))
}

/// Writes the sections of what is agreed with the client, in the order in which it is talked of.
pub fn agreed_sections(sheets: &Sheets) -> Vec<Section> {
    let mut sections = vec![contents::agreed(sheets.order)];
    sections.extend(choices(sheets));
    sections
}

/// Returns the first of some spreads that keeps to one page under a head, or the last.
fn on_one_page<'a>(tried: &'a [Spread], head: &Head) -> Option<&'a Spread> {
    let mut spreads = tried.iter();
    let fits = spreads.find(|spread| flow::pages(head, spread) == 1);
    fits.or(tried.last())
}

/// Returns the ticket's title, which says whose order it is.
pub fn title(sheets: &Sheets) -> String {
    tidy(&format!("Job ticket · {}", words::client(sheets.order)))
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

/// Returns the lines under the title: the garments and the cloth.
pub fn under_title(sheets: &Sheets) -> Vec<String> {
    let order = sheets.order;
    let garments: Vec<String> = order
        .garments
        .iter()
        .map(|garment| spaced(&garment.block))
        .collect();
    let garments = words::capital(&garments.join(", "));
    let cloths: Vec<&str> = order.cloths().map(|cloth| cloth.name.as_str()).collect();
    vec![tidy(&garments), tidy(&cloths.join(" · "))]
}

/// Makes what is agreed with the client, with pictures of a height.
fn client(sheets: &Sheets, tall: f64) -> Spread {
    Spread {
        heading: String::new(),
        pictures: drawings(sheets),
        tall,
        columns: CHOICES,
        sections: agreed_sections(sheets),
        signatures: SIGNED.map(str::to_owned).to_vec(),
    }
}

/// Makes what the workroom needs.
fn workroom(sheets: &Sheets, setting: Setting) -> Spread {
    let unit = sheets.order.unit;
    let mut sections = vec![
        measures(sheets),
        girths(&sheets.pattern.ledger, unit),
        cloth(sheets),
        fitting(sheets),
        cautions(unit),
        proof(&sheets.pattern.ledger),
        match setting.pieces {
            Listed::InTables => pieces(sheets),
            Listed::InSentences => running_on(pieces(sheets)),
            Listed::Counted => counted(sheets),
        },
    ];
    let column = flow::column_width(WORKROOM);
    for laid in sheets.lays {
        let height = match laid.material.is_cloth() {
            true => setting.picture,
            false if setting.all_lays => SMALL_PICTURE,
            false => 0.0,
        };
        if height > 0.0 {
            sections.push(lay(laid, sheets, column, height));
        }
    }
    sections.retain(|section| !section.entries.is_empty());
    Spread {
        heading: format!("For the workroom · {}", words::client(sheets.order)),
        pictures: Vec::new(),
        tall: 0.0,
        columns: WORKROOM,
        sections,
        signatures: Vec::new(),
    }
}

/// Returns the view of every garment made up, from the front and the back.
pub fn drawings(sheets: &Sheets) -> Vec<Drawing> {
    let drawn = sheets.views.iter().flat_map(|views| &views.worn);
    drawn
        .map(|view| Drawing {
            title: words::capital(&view.title),
            ..view.clone()
        })
        .collect()
}

/// Says how many pieces there are.
fn counted(sheets: &Sheets) -> Section {
    let mut section = Section::new("Pieces to cut");
    let count = sheets.pattern.pieces.len();
    section.words(&format!(
        "{count} pieces of the pattern, listed in order.html."
    ));
    section
}

/// Makes the section with the picture of a lay.
fn lay(laid: &Laid, sheets: &Sheets, column: f64, height: f64) -> Section {
    let material = &laid.material.name;
    let mut section = Section::new(&format!("Lay in {material}"));
    let picture = marker::picture(laid, sheets.pattern, column, height);
    section.picture(picture, &format!("The pieces laid on the {material}"));
    section
}
