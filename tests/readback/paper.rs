//! The pages of the paper pattern, joined by their rings, give every piece of the DXF at true scale.

use std::collections::BTreeMap;

use kurbo::Affine;

use super::geometry::{Lines, Run, along, apart, bounds, moved, onto};
use super::lays::blocks;
use super::orders::{ORDERS, Order, none};
use super::pdf::{self, At, Page, Places};
use crate::sheets::reader::{has, run};

/// How far a printed line may be from the piece's, in mm.
const NEAR: f64 = 0.3;

/// The pages that hold the pattern by their row and column, and the first, that holds what to measure.
fn pages<'a>(order: &Order, read: &'a [Page]) -> (BTreeMap<At, &'a Page>, Vec<&'a Page>) {
    let path = order.folder.join("paper-a4.pdf");
    let words = run("pdftotext", &["-raw", path.to_str().expect("a path"), "-"]);
    let mut placed = BTreeMap::new();
    let mut others = Vec::new();
    for (page, text) in read.iter().zip(words.split('\u{c}')) {
        match pdf::place_of(text) {
            Some(at) => assert!(
                placed.insert(at, page).is_none(),
                "{}: two pages at {at:?}",
                order.name
            ),
            None => others.push(page),
        }
    }
    (placed, others)
}

#[test]
fn joined_pages_give_every_piece_of_the_dxf() {
    if !has("pdftotext") {
        return;
    }
    let mut found = Vec::new();
    // The examples, of which one has uneven sides.
    for order in &ORDERS[..5] {
        let read = pdf::read(&order.folder.join("paper-a4.pdf"));
        let (pages, covers) = pages(order, &read);
        let mut fault = |what: String| found.push(format!("{}: {what}", order.name));
        let squares: Vec<f64> = covers.iter().flat_map(|page| page.squares()).collect();
        if !squares.iter().any(|side| (side - 100.0).abs() < 0.02) {
            fault(format!("no square of 100 mm to measure, but {squares:?}"));
        }
        if pages.len() < 20 || covers.len() > 2 {
            fault(format!(
                "{} pages name their place, {} do not",
                pages.len(),
                covers.len()
            ));
        }
        let (islands, worst) = pdf::joined(&pages);
        if worst > 0.05 {
            fault(format!("rings of pages that join lie {worst:.3} mm apart"));
        }
        let sheets: Vec<Joined> = islands
            .iter()
            .map(|island| Joined::new(&pages, island))
            .collect();
        for sheet in &sheets {
            if sheet.worst > 0.05 {
                fault(format!(
                    "a line of two pages lies {:.3} mm apart where they join",
                    sheet.worst
                ));
            }
        }
        let mut taken: Vec<Vec<bool>> = sheets
            .iter()
            .map(|sheet| vec![false; sheet.outlines.len()])
            .collect();
        for block in blocks(order) {
            let place = sheets.iter().enumerate().find_map(|(s, sheet)| {
                let free = (0..sheet.outlines.len()).filter(|o| !taken[s][*o]);
                let mut fit =
                    free.filter_map(|o| Some((s, o, laid_on(&block.cut, &sheet.outlines[o])?)));
                fit.next()
            });
            let Some((s, o, place)) = place else {
                fault(format!("{}: no such outline on the pages", block.name));
                continue;
            };
            taken[s][o] = true;
            let outline = along(&moved(&block.cut, place), 1.0);
            let lost = outline
                .iter()
                .filter(|point| sheets[s].cut.distance(**point) > NEAR)
                .count();
            if lost > 0 {
                fault(format!(
                    "{}: some {lost} mm of its line to cut are on no page",
                    block.name
                ));
            }
        }
        let spare = taken.iter().flatten().filter(|taken| !**taken).count();
        if spare > 0 {
            fault(format!(
                "{spare} outlines on the pages that are no piece of the DXF"
            ));
        }
    }
    none(found);
}

/// Pages joined to a sheet.
struct Joined {
    /// What shows of the lines to cut.
    cut: Lines,
    /// Closed lines to cut, each once.
    outlines: Vec<Run>,
    /// How far apart pages draw the same outline, in mm.
    worst: f64,
}

impl Joined {
    fn new(pages: &BTreeMap<At, &Page>, island: &Places) -> Self {
        let mut outlines: Vec<Run> = Vec::new();
        let mut worst: f64 = 0.0;
        for (at, place) in island {
            let closed = pages[at]
                .layer("cut")
                .iter()
                .filter(|stroke| stroke.run.len() > 3 && stroke.run.first() == stroke.run.last());
            for stroke in closed.filter(|stroke| !stroke.shown().is_empty()) {
                let run = moved(&stroke.run, Affine::translate(*place));
                let box_ = bounds(&run);
                let same = |known: &&Run| {
                    let other = bounds(known);
                    (other.size() - box_.size()).to_vec2().hypot() < 0.5
                        && other.center().distance(box_.center()) < 1.0
                };
                match outlines.iter().find(same) {
                    Some(known) => {
                        worst = worst.max(bounds(known).center().distance(box_.center()));
                    }
                    None => outlines.push(run),
                }
            }
        }
        let cut = Lines::new(&pdf::shown_on(pages, island, "cut"));
        Self {
            cut,
            outlines,
            worst,
        }
    }
}

/// The place of a piece on an outline of its shape, turned by quarters, never mirrored.
fn laid_on(piece: &Run, outline: &Run) -> Option<Affine> {
    let quarters = (0..4).map(|i| Affine::rotate(f64::from(i) * std::f64::consts::FRAC_PI_2));
    let place = |turn: Affine| Affine::translate(onto(&moved(piece, turn), outline)) * turn;
    quarters.map(place).find(|place| {
        let size = (bounds(&moved(piece, *place)).size() - bounds(outline).size()).to_vec2();
        size.hypot() < 0.5 && apart(&moved(piece, *place), outline) < NEAR
    })
}
