//! The sheets: one drawing, many outputs.
//!
//! [`piece`], [`marker`] and [`gallery`] make a [`drawing::Drawing`] of a piece, of a lay, of all
//! pieces; [`svg`], [`plot`] and [`pdf`] write one. [`paper_pattern`], [`ticket`] and [`report`]
//! make whole files, [`html`], [`preview`] and [`dxf`] some that are made on demand. Every writer is a pure function from values to bytes; [`all`] makes every
//! sheet of an order, and [`folder`] puts them where they belong.

pub mod cover;
pub mod drawing;
pub mod dxf;
pub mod flow;
pub mod folder;
pub mod font;
pub mod gallery;
pub mod html;
pub mod joints;
pub mod label;
pub mod lettering;
pub mod marker;
pub mod packing;
pub mod paper;
pub mod paper_pattern;
pub mod pdf;
pub mod piece;
pub mod plot;
pub mod preview;
pub mod report;
pub mod section;
pub mod svg;
pub mod ticket;
pub mod tiling;
pub mod travel;
pub mod words;

use crate::drafting::{Draft, Material};
use crate::lay::{Lay, OrderLength};
use crate::order::Order;
use crate::pattern::{Pattern, Piece};
pub use folder::write_all;
use tiling::{DoesNotFit, Setup};

/// A lay of the pieces that are cut from one material.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    /// The material.
    pub material: Material,
    /// Where they lie; a placement's `piece` is an index into the pattern's pieces.
    pub lay: Lay,
    /// What to order.
    pub order_length: OrderLength,
}

/// All that the sheets of one order show.
#[derive(Debug, Clone, Copy)]
pub struct Sheets<'a> {
    /// The order.
    pub order: &'a Order,
    /// The drafts of its garments.
    pub drafts: &'a [Draft],
    /// The pattern.
    pub pattern: &'a Pattern,
    /// The lays, the cloth's first.
    pub lays: &'a [Laid],
}

/// A finished sheet: the name of its file and what the file holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Such as `paper-a4.pdf`.
    pub file: String,
    /// The file.
    pub bytes: Vec<u8>,
}

/// Makes every sheet of an order: the paper pattern, a marker and a plot of each lay, all pieces
/// side by side, the ticket and the report.
pub fn all(sheets: &Sheets, setup: &Setup) -> Result<Vec<Sheet>, DoesNotFit> {
    let pieces: Vec<&Piece> = sheets.pattern.pieces.iter().collect();
    let (paper, rest) = rayon::join(
        || paper_pattern::write(&pieces, sheets.order, setup),
        || without_paper(sheets),
    );
    let mut finished = vec![Sheet {
        file: format!("paper-{}.pdf", setup.paper),
        bytes: paper?,
    }];
    finished.extend(rest);
    Ok(finished)
}

fn without_paper(sheets: &Sheets) -> Vec<Sheet> {
    let mut finished = Vec::new();
    let mut add = |file: String, bytes: Vec<u8>| finished.push(Sheet { file, bytes });
    for laid in sheets.lays {
        let marker = marker::draw(laid, sheets.pattern, sheets.order);
        let stem = lay_name(laid.material);
        add(format!("{stem}.svg"), svg::write(&marker));
        add(format!("{stem}.plt"), plot::long(&marker).bytes);
    }
    add(
        "pieces.svg".to_owned(),
        svg::write(&gallery::draw(sheets.pattern, sheets.order)),
    );
    add("ticket.pdf".to_owned(), ticket::write(sheets));
    add("report.json".to_owned(), report::write(sheets));
    finished
}

/// What may be made beside the usual sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Extra {
    /// The order as one page for a browser: `order.html`.
    Page,
    /// Small pictures of the pieces and of each lay: `pieces.png`, `lay.png`.
    Pictures,
    /// The pieces as DXF, a beta: `pieces.dxf`.
    Dxf,
}

/// Makes sheets beside the usual ones.
pub fn extras(sheets: &Sheets, wanted: &[Extra]) -> Vec<Sheet> {
    let mut finished = Vec::new();
    let mut add = |file: String, bytes: Vec<u8>| finished.push(Sheet { file, bytes });
    if wanted.contains(&Extra::Page) {
        add("order.html".to_owned(), html::write(sheets));
    }
    if wanted.contains(&Extra::Pictures) {
        let gallery = gallery::draw(sheets.pattern, sheets.order);
        add("pieces.png".to_owned(), preview::write(&gallery));
        for laid in sheets.lays {
            let marker = marker::draw(laid, sheets.pattern, sheets.order);
            add(
                format!("{}.png", lay_name(laid.material)),
                preview::write(&marker),
            );
        }
    }
    if wanted.contains(&Extra::Dxf) {
        add(
            "pieces.dxf".to_owned(),
            dxf::write(sheets.pattern, sheets.order),
        );
    }
    finished
}

/// Stem of the files of a lay: `lay` for the cloth, `lay-lining` and so on for the rest.
pub fn lay_name(material: Material) -> String {
    match material {
        Material::Cloth => "lay".to_owned(),
        other => format!("lay-{}", words::material(other).replace(' ', "-")),
    }
}
