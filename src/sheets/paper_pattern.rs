//! The paper pattern: a PDF to print, trim and glue, or to print in one piece on a roll.

use kurbo::{Affine, BezPath, Point, Rect, Vec2};

use super::cover::{self, Facts};
use super::drawing::{Drawing, segment};
use super::joints;
use super::packing::{self, Grid};
use super::paper::Paper;
use super::pdf::{self, Page, View};
use super::piece;
use super::tiling::{DoesNotFit, Plan, Setup, page_name};
use super::words;
use crate::order::Order;
use crate::pattern::Piece;

/// Writes pieces as a PDF at true scale: a first page with squares to measure and a map, then the
/// pages that hold anything, row by row. Each piece is drawn once.
pub fn write(pieces: &[&Piece], order: &Order, setup: &Setup) -> Result<Vec<u8>, DoesNotFit> {
    let plan = Plan::new(pieces, setup)?;
    let sheet = sheet(pieces, &plan, order);
    let joints = joints::draw(&plan);
    let print = setup.print(plan.page);
    let cover_size = match (plan.cover_inside, setup.paper) {
        (true, _) => cover::SIZE,
        (false, Paper::Sheet(_)) => (print.0.min(print.1), print.0.max(print.1)),
        (false, Paper::Roll(_)) => (print.0, cover::SIZE.1),
    };
    let cover = cover::draw(&facts(&plan, pieces, order, setup), cover_size);
    let frames: Vec<((usize, usize), Drawing)> = plan
        .used_pages()
        .enumerate()
        .map(|(i, at)| (at, joints::frame(&plan, at, i + 1, &sheet.title, setup)))
        .collect();
    let corner = Point::new(setup.margin, setup.margin);
    let mut pages = Vec::new();
    if !plan.cover_inside {
        let views = vec![View::at(&cover, corner)];
        let white = 2.0 * setup.margin;
        pages.push(Page {
            width: cover_size.0 + white,
            height: cover_size.1 + white,
            views,
        });
    }
    for ((column, row), frame) in &frames {
        let from = Vec2::new(
            *column as f64 * plan.grid.width,
            *row as f64 * plan.grid.height,
        );
        let place = Affine::translate(corner.to_vec2() - from);
        let window = Some(Rect::from_origin_size(corner, print));
        let mut views = vec![
            View {
                drawing: &sheet,
                place,
                window,
            },
            View {
                drawing: &joints,
                place,
                window,
            },
            View::at(frame, Point::ZERO),
        ];
        if plan.cover_inside && (*column, *row) == (0, 0) {
            views.push(View::at(&cover, corner));
        }
        pages.push(Page {
            width: plan.page.0,
            height: plan.page.1,
            views,
        });
    }
    Ok(pdf::write(&sheet.title, &pages))
}

/// The sheet of joined pages with the pieces on it; words keep off the joints.
fn sheet(pieces: &[&Piece], plan: &Plan, order: &Order) -> Drawing {
    let title = format!(
        "Paper pattern · {} {}",
        order.client.reference, order.client.name
    );
    let Grid {
        width,
        height,
        columns,
    } = plan.grid;
    let rows = plan.used.len();
    let mut sheet = Drawing::new(&title, columns as f64 * width, rows as f64 * height);
    let upright = (1..columns).map(|i| i as f64 * width);
    let level = (1..rows).map(|i| i as f64 * height);
    let joints: Vec<BezPath> = upright
        .map(|x| segment((x, 0.0), (x, sheet.height)))
        .chain(level.map(|y| segment((0.0, y), (sheet.width, y))))
        .collect();
    let grain = words::grain_ends(&order.cloth);
    for (i, (piece, place)) in pieces.iter().zip(&plan.places).enumerate() {
        let lines = words::on_piece(piece, order);
        sheet.part(i + 1, piece::draw(piece, *place, &lines, grain, &joints));
    }
    sheet
}

fn facts(plan: &Plan, pieces: &[&Piece], order: &Order, setup: &Setup) -> Facts {
    let lying = if plan.page.0 > plan.page.1 {
        "lying"
    } else {
        "upright"
    };
    let placed = pieces
        .iter()
        .zip(&plan.places)
        .map(|(piece, place)| *place * &piece.cut);
    let outlines: Vec<BezPath> = placed.collect();
    let listed = pieces.iter().zip(&outlines).map(|(piece, outline)| {
        let pages = pages_of(outline, &plan.grid);
        let count = words::count(piece.count);
        let count = count.trim_start_matches("cut ");
        (
            piece.name.clone(),
            format!("{}, {} · {count} · {pages}", piece.name, piece.garment),
        )
    });
    Facts {
        order: format!("{} · {}", order.client.reference, order.client.name),
        paper: match setup.paper {
            Paper::Roll(width) => format!("roll {width:.0} mm wide"),
            Paper::Sheet(_) => format!("{} {lying}", words::capital(&setup.paper.to_string())),
        },
        pages: plan.count(),
        grid: plan.grid,
        used: plan.used.clone(),
        pieces: listed.collect(),
        outlines,
    }
}

/// The first and last page of the block of pages a piece lies on.
fn pages_of(outline: &BezPath, grid: &Grid) -> String {
    let touched = packing::pages_touched(std::slice::from_ref(outline), grid);
    let at = || {
        let rows = touched.iter().enumerate();
        rows.flat_map(|(row, pages)| {
            let hit = pages.iter().enumerate().filter(|(_, hit)| **hit);
            hit.map(move |(column, _)| (column, row))
        })
    };
    let columns = || at().map(|at| at.0);
    let rows = || at().map(|at| at.1);
    match (columns().min(), rows().min(), columns().max(), rows().max()) {
        (Some(left), Some(top), Some(right), Some(foot)) if (left, top) == (right, foot) => {
            page_name(left, top)
        }
        (Some(left), Some(top), Some(right), Some(foot)) => {
            format!("{}–{}", page_name(left, top), page_name(right, foot))
        }
        _ => String::new(),
    }
}
