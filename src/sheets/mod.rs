//! The sheets: one drawing, many outputs.
//!
//! [`piece`], [`marker`] and [`gallery`] make a [`drawing::Drawing`] of a piece, of a lay, of all
//! pieces; [`svg`], [`plot`] and [`pdf`] write one. [`paper_pattern`], [`ticket`] and [`report`]
//! make whole files, and so do [`html`], [`preview`] and [`dxf`]. Every writer is a pure function from
//! values to bytes; [`all`] makes every sheet of an order as its [`Wishes`] ask, and [`folder`] puts
//! them where they belong.

mod contents;
pub mod cover;
pub mod drafting_sheet;
pub mod drawing;
pub mod dxf;
pub mod earlier;
pub mod flow;
pub mod folder;
pub mod font;
pub mod gallery;
pub mod html;
pub mod joints;
pub mod label;
pub mod lettering;
pub mod mark;
pub mod marker;
pub mod measures_form;
pub mod packing;
pub mod paper;
pub mod paper_pattern;
pub mod pdf;
pub mod piece;
pub mod plot;
pub mod preview;
pub mod report;
mod rows;
pub mod section;
pub mod svg;
pub mod ticket;
pub mod tiling;
pub mod travel;
pub mod views;
pub mod wishes;
pub mod words;

use crate::draft::{Draft, Material};
use crate::lay::Laid;
use crate::order::Order;
use crate::order::choices::Choices;
use crate::pattern::Pattern;
use drawing::Drawing;
use earlier::{LAY_FILE, REPORT};
pub use folder::write_all;
use plot::{Pens, Reach};
use rayon::prelude::*;
use wishes::{Print, Refusal, Wishes};

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
    /// What each garment's choices are and mean, in the order's order.
    pub choices: &'a [Choices],
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
/// side by side, the ticket, the page for a browser, small pictures and the report.
///
/// # Errors
/// When what is asked for does not go together with the order or the paper.
pub fn all(sheets: &Sheets, wishes: &Wishes) -> Result<Made, Refusal> {
    let setup = wishes.setup(&sheets.order.house)?;
    let pieces = wishes.pieces(sheets.pattern)?;
    let paper = || match wishes.print {
        Print::Pieces => paper_pattern::write(&pieces, sheets.order, &setup),
        Print::Lay => {
            paper_pattern::write_lays(&pieces, sheets.pattern, sheets.lays, sheets.order, &setup)
        }
    };
    let (paper, (markers, rest)) = rayon::join(paper, || {
        rayon::join(|| markers(sheets, wishes), || without_lays(sheets, wishes))
    });
    let mut made = Made {
        sheets: vec![Sheet::new(format!("paper-{}.pdf", setup.paper), paper?)],
        travels: Vec::new(),
    };
    for (sheets, travel) in markers {
        made.sheets.extend(sheets);
        made.travels.push(travel);
    }
    made.sheets.extend(rest);
    let report = report::write(sheets, &made.travels, wishes);
    made.sheets.push(Sheet::new(REPORT, report));
    Ok(made)
}

/// All sheets of an order, and what is worth telling of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// The sheets.
    pub sheets: Vec<Sheet>,
    /// How far the plotter's pen travels raised over each lay, in the lays' order.
    pub travels: Vec<Travel>,
}

/// How far a plotter's pen travels raised, in mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Travel {
    /// In the order written.
    pub written: f64,
    /// In the order drawn.
    pub drawn: f64,
}

/// The names of some sheets' files, as they are told.
pub fn names(sheets: &[Sheet]) -> String {
    let names: Vec<&str> = sheets.iter().map(|sheet| sheet.file.as_str()).collect();
    names.join(", ")
}

impl Sheet {
    fn new(file: impl Into<String>, bytes: Vec<u8>) -> Self {
        Sheet {
            file: file.into(),
            bytes,
        }
    }
}

/// Every lay as a marker, a plot and a picture.
fn markers(sheets: &Sheets, wishes: &Wishes) -> Vec<(Vec<Sheet>, Travel)> {
    let of_lay = |laid: &Laid| {
        let marker = marker::draw(laid, sheets.pattern, sheets.order);
        let (mut finished, travel) = marker_and_plot(&marker, laid, sheets.order, wishes.plot);
        let picture = format!("{}.png", lay_name(laid.material));
        finished.push(Sheet::new(picture, preview::write(&marker)));
        (finished, travel)
    };
    sheets.lays.par_iter().map(of_lay).collect()
}

/// A lay's marker, and its plot in one or more files.
fn marker_and_plot(
    marker: &Drawing,
    laid: &Laid,
    order: &Order,
    reach: Reach,
) -> (Vec<Sheet>, Travel) {
    let (stem, pens) = (lay_name(laid.material), Pens::of(&order.house));
    let mut finished = vec![Sheet::new(format!("{stem}.svg"), svg::write(marker))];
    let plots = match reach {
        Reach::Long => vec![(format!("{stem}.plt"), plot::write(marker, pens))],
        Reach::Short => plot::frames(marker, pens)
            .into_iter()
            .map(|frame| (format!("{stem}-{}.plt", frame.name), frame.plot))
            .collect(),
    };
    let mut travel = Travel::default();
    for (file, plot) in plots {
        travel.written += plot.travel.written;
        travel.drawn += plot.travel.drawn;
        finished.push(Sheet::new(file, plot.bytes));
    }
    (finished, travel)
}

/// Makes the sheets of a lay alone: its marker and its plot.
pub fn lay_alone(laid: &Laid, pattern: &Pattern, order: &Order, reach: Reach) -> Vec<Sheet> {
    let marker = marker::draw(laid, pattern, order);
    marker_and_plot(&marker, laid, order, reach).0
}

/// Makes the file from which a later run goes on with a lay that is written alone.
pub fn lay_file(laid: &Laid, pattern: &Pattern) -> Sheet {
    Sheet::new(LAY_FILE, report::lay_alone(laid, pattern))
}

fn without_lays(sheets: &Sheets, wishes: &Wishes) -> Vec<Sheet> {
    let gallery = gallery::draw(sheets.pattern, sheets.order);
    let mut finished = vec![
        Sheet::new("pieces.svg", svg::write(&gallery)),
        Sheet::new("pieces.png", preview::sized(&gallery, gallery::PIXELS)),
        Sheet::new("ticket.pdf", ticket::write(sheets)),
        Sheet::new("order.html", html::write(sheets)),
    ];
    finished.extend(views::files(sheets.drafts, sheets.order));
    if wishes.dxf {
        let dxf = dxf::write(sheets.pattern, sheets.order);
        finished.push(Sheet::new("pieces.dxf", dxf));
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
