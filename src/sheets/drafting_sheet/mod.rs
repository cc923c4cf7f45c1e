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
use super::pdf;
use super::{font, svg, words};
use crate::draft::{Draft, construction};
use crate::order::Order;
use kurbo::{Affine, Vec2};
pub use moved::moved_sheet;
use page::heads;
pub use page::{PAGE, TURNED};

/// Draws the pages of a drafting sheet: the pieces to scale, then the instructions. The net edges of the
/// draft `against` are drawn under them in thin broken lines, to compare both drafts.
pub fn drafting_sheet(draft: &Draft, against: Option<&Draft>, order: &Order) -> Vec<Drawing> {
    let construction = construction(draft);
    let mut pages = pieces::pages(&construction, against, order.unit);
    pages.extend(written::pages(&construction, order.unit));
    heads(
        &mut pages,
        &format!("Drafting sheet · {}", draft.garment),
        order,
    );
    pages
}

/// Writes the pages of several garments as one PDF.
pub fn pages_as_pdf(garments: &[Vec<Drawing>], order: &Order) -> Vec<u8> {
    pdf::write_drawings(&title(order), garments.iter().flatten())
}

/// Writes the pages of several garments as one SVG, one row for each garment.
pub fn pages_as_svg(garments: &[Vec<Drawing>], order: &Order) -> Vec<u8> {
    let (mut width, mut height) = (0.0_f64, 0.0);
    let mut sheet = Drawing::new(&title(order), 0.0, 0.0);
    for pages in garments {
        let (mut x, mut tall) = (0.0, 0.0_f64);
        for page in pages {
            let corner = Vec2::new(x, height);
            sheet.items.extend(page.placed(Affine::translate(corner)));
            x += page.width;
            tall = tall.max(page.height);
        }
        width = width.max(x);
        height += tall;
    }
    (sheet.width, sheet.height) = (width, height);
    svg::write(&sheet)
}

/// Returns the numbers of the points on a page, so that a test can check that they can be read.
pub fn numbers(page: &Drawing) -> impl Iterator<Item = &Text> {
    page.layer(Layer::Labels)
        .filter_map(|item: &Item| match &item.ink {
            Ink::Text(text) => Some(text),
            _ => None,
        })
}

fn title(order: &Order) -> String {
    font::clean(&format!("Drafting sheet · {}", words::client(order)))
}
