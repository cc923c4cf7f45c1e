//! The drafting sheet: the construction of a garment to scale with its points numbered, and as
//! numbered instructions, so that a cutter can chalk the same draft by hand and check one against
//! the other.

mod instructions;
mod labels;
mod moved;
mod page;
mod pieces;
mod show;
mod written;

use super::drawing::{Drawing, Ink, Item, Layer, Text};
use super::pdf::{self, Page, View};
use super::{font, svg};
use crate::draft::{Draft, construction};
use crate::order::Order;
use kurbo::{Affine, Vec2};
pub use moved::moved_sheet;
pub use page::PAGE;
use page::heads;

/// The sheet's pages: the pieces to scale, then the instructions. Of a draft `against` it, the net
/// edges are drawn in thin broken lines under the sheet's own.
pub fn drafting_sheet(draft: &Draft, against: Option<&Draft>, order: &Order) -> Vec<Drawing> {
    let construction = construction(draft);
    let mut pages = pieces::pages(&construction, against);
    pages.extend(written::pages(&construction));
    heads(
        &mut pages,
        &format!("Drafting sheet · {}", draft.garment),
        order,
    );
    pages
}

/// The pages of several garments as one PDF.
pub fn pages_as_pdf(garments: &[Vec<Drawing>], order: &Order) -> Vec<u8> {
    let page = |drawing| Page {
        width: PAGE.0,
        height: PAGE.1,
        views: vec![View::at(drawing, (0.0, 0.0))],
    };
    let pages: Vec<Page> = garments.iter().flatten().map(page).collect();
    pdf::write(&title(order), &pages)
}

/// The pages of several garments as one drawing, a garment a row.
pub fn pages_as_svg(garments: &[Vec<Drawing>], order: &Order) -> Vec<u8> {
    let wide = garments.iter().map(Vec::len).max().unwrap_or_default();
    let (width, height) = (wide as f64 * PAGE.0, garments.len() as f64 * PAGE.1);
    let mut sheet = Drawing::new(&title(order), width, height);
    for (row, pages) in garments.iter().enumerate() {
        for (column, page) in pages.iter().enumerate() {
            let corner = Vec2::new(column as f64 * PAGE.0, row as f64 * PAGE.1);
            sheet.items.extend(page.placed(Affine::translate(corner)));
        }
    }
    svg::write(&sheet)
}

/// The items of a page that stand for its points' numbers, for whoever checks that they can be read.
pub fn numbers(page: &Drawing) -> impl Iterator<Item = &Text> {
    page.layer(Layer::Labels)
        .filter_map(|item: &Item| match &item.ink {
            Ink::Text(text) => Some(text),
            _ => None,
        })
}

fn title(order: &Order) -> String {
    let client = &order.client;
    font::clean(&format!(
        "Drafting sheet · {} · {}",
        client.reference, client.name
    ))
}
