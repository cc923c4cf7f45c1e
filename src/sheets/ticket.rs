//! The job ticket: what is made for whom, of what, from which measures, and what to mind.

use super::contents::{
    SIGNED, cautions, choices, cloth, fitting, girths, measures, pieces, proof, running_on,
};
use super::drawing::Drawing;
use super::flow::{self, Head, Spread};
use super::font::tidy;
use super::marker;
use super::pdf::{self, Page, View};
use super::section::Section;
use super::words::{self, spaced};
use super::{Sheets, views};
use crate::draft::Material;
use crate::lay::Laid;

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
    tidy(&format!(
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
    vec![tidy(&garments), tidy(&order.cloth.name)]
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

/// A picture of a lay.
fn lay(laid: &Laid, sheets: &Sheets, column: f64, height: f64) -> Section {
    let material = words::material(laid.material);
    let mut section = Section::new(&format!("Lay in {material}"));
    let picture = marker::picture(laid, sheets.pattern, column, height);
    section.picture(picture, &format!("The pieces laid on the {material}"));
    section
}
