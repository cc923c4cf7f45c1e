//! Writes the job ticket: what is made for whom, from which cloth and measures, and what to mind.

use super::contents::{
    SIGNED, agreed, cautions, choices, cloth, fitting, measures, pieces, running_on,
};
use super::drawing::Drawing;
use super::flow::{self, Head, Spread};
use super::font::tidy;
use super::marker;
use super::pdf;
use super::proof::{girths, proof};
use super::section::Section;
use super::words::{self, spaced};
use super::{Sheets, views};
use crate::draft::Material;
use crate::lay::Laid;

/// Greatest height of the picture of a lay in any material but cloth, in mm.
const SMALL_PICTURE: f64 = 24.0;
/// Number of pages that a ticket should have: one for the client, one for the workroom.
const PAGES: usize = 2;
/// The settings that are tried, the widest first. The first with which the ticket keeps to its pages is taken,
/// or the last.
const SETTINGS: [Setting; 6] = [
    Setting::new(84.0, 105.0, true, Listed::InTables),
    Setting::new(84.0, 75.0, true, Listed::InTables),
    Setting::new(72.0, 75.0, true, Listed::InSentences),
    Setting::new(60.0, 60.0, false, Listed::InSentences),
    Setting::new(46.0, 0.0, false, Listed::InSentences),
    Setting::new(40.0, 0.0, false, Listed::Counted),
];

/// A way to set the pages.
#[derive(Debug, Clone, Copy)]
struct Setting {
    /// Greatest height of the pictures of the garments on the client's page, in mm.
    made_up: f64,
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
    const fn new(made_up: f64, picture: f64, all_lays: bool, pieces: Listed) -> Self {
        Setting {
            made_up,
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
    let mut drawings = Vec::new();
    for setting in SETTINGS {
        drawings = flow::set(&head(sheets), &spreads(sheets, setting));
        if drawings.len() <= PAGES {
            break;
        }
    }
    pdf::write_drawings(&title(sheets), &drawings)
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
    vec![tidy(&garments), tidy(&order.cloth.name)]
}

/// Makes the ticket's spreads: what is agreed with the client, then what the workroom needs.
fn spreads(sheets: &Sheets, setting: Setting) -> Vec<Spread> {
    let unit = sheets.order.unit;
    let mut talked_of = vec![agreed(sheets.order)];
    talked_of.extend(choices(sheets));
    let agreed = Spread {
        heading: String::new(),
        pictures: drawings(sheets),
        tall: setting.made_up,
        columns: CHOICES,
        sections: talked_of,
        signatures: SIGNED.map(str::to_owned).to_vec(),
    };
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
        heading: format!("For the workroom · {}", words::client(sheets.order)),
        pictures: Vec::new(),
        tall: 0.0,
        columns: WORKROOM,
        sections,
        signatures: Vec::new(),
    };
    vec![agreed, workroom]
}

/// Draws every garment made up, from the front and the back.
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
    let material = words::material(laid.material);
    let mut section = Section::new(&format!("Lay in {material}"));
    let picture = marker::picture(laid, sheets.pattern, column, height);
    section.picture(picture, &format!("The pieces laid on the {material}"));
    section
}
