//! The paper pattern: a PDF to print, trim and glue, or to print in one piece on a roll.

use kurbo::{Affine, BezPath, Point, Rect, Vec2};

use super::cover::{self, Facts, Listed};
use super::drawing::{Drawing, Ink, rectangle, segment};
use super::fault::SheetFault;
use super::grid::{Grid, page_name};
use super::joints;
use super::label::{Lettering, Room};
use super::packing;
use super::paper::{Paper, Setup};
use super::pdf::{self, Page, View};
use super::piece::{self, Manner};
use super::tiling::Plan;
use super::words;
use crate::lay::Laid;
use crate::order::Order;
use crate::pattern::{Pattern, Piece};

/// Writes pieces as a PDF at true scale: a first page with squares to measure and a map, then the
/// pages that hold anything, row by row. Each piece is drawn once.
pub fn write(pieces: &[&Piece], order: &Order, setup: &Setup) -> Result<Vec<u8>, SheetFault> {
    let plan = Plan::new(pieces, setup)?;
    let sheet = sheet(pieces, &plan, order);
    let outlines = pieces.iter().zip(&plan.places);
    let shown = outlines.map(|(piece, place)| Shown {
        name: piece.name.clone(),
        words: format!(
            "{} · {}",
            piece.garment,
            words::cut(piece).trim_start_matches("cut ")
        ),
        outline: *place * &piece.cut,
    });
    let shown = shown.collect();
    Ok(pages(&plan, &sheet, shown, "Paper pattern", order, setup))
}

/// Writes lays as a PDF at true scale, one below the other: every cut of the pieces asked for, where
/// it lies on its material.
pub fn write_lays(
    pieces: &[&Piece],
    pattern: &Pattern,
    lays: &[Laid],
    order: &Order,
    setup: &Setup,
) -> Result<Vec<u8>, SheetFault> {
    let mut cuts = Vec::new();
    let (mut down, mut width) = (0.0, 0.0_f64);
    for laid in lays {
        let to_sheet = Affine::translate((0.0, down));
        for placement in &laid.lay.placements {
            let piece = pattern.pieces.get(placement.piece);
            let wanted = |piece: &&Piece| pieces.iter().any(|wanted| std::ptr::eq(*wanted, *piece));
            if let Some(piece) = piece.filter(wanted) {
                cuts.push((piece, placement, laid, to_sheet * placement.transform));
            }
        }
        if cuts.iter().any(|cut| std::ptr::eq(cut.2, laid)) {
            down += laid.lay.length + BETWEEN_LAYS;
            width = width.max(laid.lay.cloth_width);
        }
    }
    let placed: Vec<_> = cuts
        .iter()
        .map(|cut| piece::as_placed(cut.0, cut.1))
        .collect();
    let outlines: Vec<BezPath> = cuts
        .iter()
        .zip(&placed)
        .map(|(cut, placed)| cut.3 * &placed.cut)
        .collect();
    let plan = Plan::of_sheet(&outlines, width, setup)?;
    let mut sheet = blank(&plan, "Lay on paper", order);
    let joints = joint_lines(&plan);
    let manner = Manner::of(order, Lettering::PAPER);
    let mut shown = Vec::new();
    for (i, ((piece, placement, laid, place), down)) in cuts.iter().zip(&plan.places).enumerate() {
        let lines = words::on_cloth(piece, placement, laid.lay.layout, order);
        let place = *down * *place;
        let drawn = piece::draw(&placed[i], place, &lines, &manner, &joints);
        sheet.part(i + 1, drawn);
        shown.push(Shown {
            name: piece.name.clone(),
            words: format!("{} · {}", piece.garment, words::material(piece.material)),
            outline: place * &placed[i].cut,
        });
    }
    Ok(pages(&plan, &sheet, shown, "Lay on paper", order, setup))
}

/// Space between two lays printed one below the other, in mm.
const BETWEEN_LAYS: f64 = 30.0;

/// A piece where it lies on the sheet of joined pages, and what the first page says of it.
struct Shown {
    name: String,
    words: String,
    outline: BezPath,
}

/// The first page and the pages of the sheet.
fn pages(
    plan: &Plan,
    sheet: &Drawing,
    shown: Vec<Shown>,
    what: &str,
    order: &Order,
    setup: &Setup,
) -> Vec<u8> {
    let joints = joints::draw(plan, setup.margin);
    let print = setup.print(plan.page);
    let cover_size = match (plan.cover_inside, setup.paper) {
        (true, _) => cover::size(shown.len()),
        (false, Paper::Sheet(_)) => (print.0.min(print.1), print.0.max(print.1)),
        (false, Paper::Roll(_)) => (print.0, cover::size(shown.len()).1),
    };
    let covers = cover::draw(&facts(plan, shown, what, order, setup), cover_size);
    let corner = Point::new(setup.margin, setup.margin);
    let window_in = |row: usize| Rect::from_origin_size(corner, setup.print(plan.page_in(row)));
    let to_page = |(column, row): (usize, usize)| {
        let from = Vec2::new(
            column as f64 * plan.grid.width,
            row as f64 * plan.grid.height,
        );
        Affine::translate(corner.to_vec2() - from)
    };
    let frames: Vec<((usize, usize), Drawing)> = plan
        .used_pages()
        .enumerate()
        .map(|(i, at)| {
            let window = window_in(at.1);
            let mut room = Room::new(&rectangle(window), []);
            if plan.cover_inside && at == (0, 0) {
                let covered = Rect::from_origin_size(corner, cover_size);
                room.occupy(&rectangle(covered));
                room.occupy(&segment(covered.origin(), (covered.x1, covered.y1)));
            }
            for item in sheet.placed(to_page(at)) {
                match &item.ink {
                    ink if ink.bounds().inset(0.5).intersect(window).is_zero_area() => {}
                    Ink::Stroke { path, .. } | Ink::Fill { path, .. } => room.occupy(path),
                    Ink::Text(text) => room.occupy(&text.outline()),
                }
            }
            (
                at,
                joints::frame(plan, at, i + 1, &sheet.title, setup, &room),
            )
        })
        .collect();
    let mut pages = Vec::new();
    if !plan.cover_inside {
        let white = 2.0 * setup.margin;
        pages.extend(covers.iter().map(|cover| Page {
            width: cover_size.0 + white,
            height: cover_size.1 + white,
            views: vec![View::at(cover, corner)],
        }));
    }
    for ((column, row), frame) in &frames {
        let place = to_page((*column, *row));
        let window = Some(window_in(*row));
        let mut views = vec![
            View {
                drawing: sheet,
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
            views.extend(covers.iter().map(|cover| View::at(cover, corner)));
        }
        pages.push(Page {
            width: plan.page_in(*row).0,
            height: plan.page_in(*row).1,
            views,
        });
    }
    pdf::write(&sheet.title, &pages)
}

/// An empty sheet of joined pages.
fn blank(plan: &Plan, what: &str, order: &Order) -> Drawing {
    let title = format!("{what} · {} {}", order.client.reference, order.client.name);
    let Grid {
        width,
        height,
        columns,
    } = plan.grid;
    let rows = plan.used.len();
    Drawing::new(&title, columns as f64 * width, rows as f64 * height)
}

/// Lines along every joint, which words keep off.
fn joint_lines(plan: &Plan) -> Vec<BezPath> {
    let Grid {
        width,
        height,
        columns,
    } = plan.grid;
    let rows = plan.used.len();
    let (wide, tall) = (columns as f64 * width, rows as f64 * height);
    let upright = (1..columns).map(|i| i as f64 * width);
    let level = (1..rows).map(|i| i as f64 * height);
    upright
        .map(|x| segment((x, 0.0), (x, tall)))
        .chain(level.map(|y| segment((0.0, y), (wide, y))))
        .collect()
}

/// The sheet of joined pages with the pieces on it; words keep off the joints.
fn sheet(pieces: &[&Piece], plan: &Plan, order: &Order) -> Drawing {
    let mut sheet = blank(plan, "Paper pattern", order);
    let joints = joint_lines(plan);
    let manner = Manner::of(order, Lettering::PAPER);
    for (i, (piece, place)) in pieces.iter().zip(&plan.places).enumerate() {
        let lines = words::on_piece(piece, order);
        sheet.part(i + 1, piece::draw(piece, *place, &lines, &manner, &joints));
    }
    sheet
}

fn facts(plan: &Plan, shown: Vec<Shown>, what: &str, order: &Order, setup: &Setup) -> Facts {
    let lying = if plan.page.0 > plan.page.1 {
        "lying"
    } else {
        "upright"
    };
    let listed = shown.iter().map(|piece| Listed {
        name: piece.name.clone(),
        words: piece.words.clone(),
        pages: pages_of(&piece.outline, &plan.grid),
    });
    Facts {
        order: format!("{} · {}", order.client.reference, order.client.name),
        what: what.to_owned(),
        paper: match setup.paper {
            Paper::Roll(width) => format!("roll {width:.0} mm wide"),
            Paper::Sheet(_) => format!("{} {lying}", words::capital(&setup.paper.to_string())),
        },
        join: joints::how_to_join(),
        pages: plan.count(),
        alone: !plan.cover_inside,
        grid: plan.grid,
        used: plan.used.clone(),
        last: plan.own(plan.used.len().saturating_sub(1), setup.margin).1,
        pieces: listed.collect(),
        outlines: shown.into_iter().map(|piece| piece.outline).collect(),
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
