//! Makes the sheets of an order, or of one lay alone.

use super::drawing::Drawing;
use super::earlier::{LAY_FILE, REPORT};
use super::fault::SheetFault;
use super::options::{Print, SheetOptions};
use super::plot::{Pens, Reach};
use super::sheet::{Made, Sheet, Sheets, lay_name};
use super::travel::Travel;
use super::{
    dxf, gallery, html, in_cloth, marker, paper_pattern, plot, preview, report, svg, ticket, views,
};
use crate::lay::Laid;
use crate::order::Order;
use crate::pattern::Pattern;
use crate::units::Unit;
use rayon::prelude::*;

/// Makes every sheet of an order: the paper pattern, a marker and a plot of each lay, all pieces
/// side by side, the ticket, the page for a browser, small pictures and the report.
///
/// # Errors
/// When no such piece exists, or when the pieces do not fit on the paper.
pub fn all(sheets: &Sheets, options: &SheetOptions) -> Result<Made, SheetFault> {
    let setup = options.setup(&sheets.order.house)?;
    let pieces = options.pieces(sheets.pattern)?;
    let paper = || match options.print {
        Print::Pieces => paper_pattern::write(&pieces, sheets.order, &setup),
        Print::Lay => {
            paper_pattern::write_lays(&pieces, sheets.pattern, sheets.lays, sheets.order, &setup)
        }
    };
    let (paper, (markers, rest)) = rayon::join(paper, || {
        rayon::join(
            || markers(sheets, options),
            || without_lays(sheets, options),
        )
    });
    let mut made = Made {
        sheets: vec![Sheet::new(format!("paper-{}.pdf", setup.paper), paper?)],
        travels: Vec::new(),
    };
    for (of_lay, travel) in markers {
        made.sheets.extend(of_lay);
        made.travels.push(travel);
    }
    made.sheets.extend(rest);
    let report = report::write(sheets, &made.travels, options);
    made.sheets.push(Sheet::new(REPORT, report));
    Ok(made)
}

/// Makes a marker, a plot and a picture of every lay.
fn markers(sheets: &Sheets, options: &SheetOptions) -> Vec<(Vec<Sheet>, Travel)> {
    let of_lay = |laid: &Laid| {
        let marker = marker::draw(laid, sheets.pattern, sheets.order);
        let (mut finished, travel) = marker_and_plot(&marker, laid, sheets.order, options.plot);
        let picture = format!("{}.png", lay_name(&laid.material));
        let seen = match sheets.cloth {
            Some(cloth) => {
                let pixels = preview::pixels_to_a_mm(&marker);
                &in_cloth::lay(&marker, laid, sheets.pattern, cloth, pixels)
            }
            None => &marker,
        };
        finished.push(Sheet::new(picture, preview::write(seen)));
        (finished, travel)
    };
    sheets.lays.par_iter().map(of_lay).collect()
}

/// Makes a lay's marker, and its plot in one or more files.
fn marker_and_plot(
    marker: &Drawing,
    laid: &Laid,
    order: &Order,
    reach: Reach,
) -> (Vec<Sheet>, Travel) {
    let (stem, pens) = (lay_name(&laid.material), Pens::of(&order.house));
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

/// Makes the file from which a later run improves lays that are written alone, one of each cloth.
pub fn lay_file(lays: &[Laid], pattern: &Pattern, told_in: Unit) -> Sheet {
    Sheet::new(LAY_FILE, report::lays_alone(lays, pattern, told_in))
}

/// Makes the sheets that show no lay of their own.
fn without_lays(sheets: &Sheets, options: &SheetOptions) -> Vec<Sheet> {
    let gallery = gallery::draw(sheets.pattern, sheets.order);
    let mut finished = vec![
        Sheet::new("pieces.svg", svg::write(&gallery)),
        Sheet::new("pieces.png", preview::sized(&gallery, gallery::PIXELS)),
        Sheet::new("ticket.pdf", ticket::write(sheets)),
        Sheet::new("order.html", html::write(sheets)),
    ];
    finished.extend(views::files(sheets.views, sheets.order));
    if options.dxf {
        let dxf = dxf::write(sheets.pattern, sheets.order);
        finished.push(Sheet::new("pieces.dxf", dxf));
    }
    finished
}
