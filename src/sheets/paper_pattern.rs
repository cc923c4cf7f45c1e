//! Writes the paper pattern: a PDF to print, trim and glue, or to print in one piece on a roll.

use kurbo::{Affine, BezPath, Point, Rect};

use super::cover::{self, Facts, Listed};
use super::drawing::{Drawing, Ink, rectangle, segment};
use super::fault::SheetFault;
use super::grid::{Grid, page_name, used_pages};
use super::joints;
use super::label::{Lettering, Room};
use super::paper::{Paper, Printed, Setup};
use super::pdf::{self, Page, PlacedDrawing};
use super::piece::{self, Manner};
use super::projector;
use super::tiling::Plan;
use super::touched;
use super::words;
use crate::lay::Laid;
use crate::order::Order;
use crate::pattern::{Pattern, Piece};
use crate::units::decimal;

/// Writes pieces as a PDF at true scale: a first page with squares to measure and a map, then the pages that
/// hold anything, row by row. Each piece is drawn once.
///
/// # Errors
/// When the pieces need too many pages or fit on no number of them.
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

/// Writes lays as a PDF at true scale, one below the other: every copy of the pieces asked for, where it
/// lies on its material.
///
/// # Errors
/// When the lays need too many pages.
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
            let wanted = |cut: &&Piece| pieces.iter().any(|wanted| std::ptr::eq(*wanted, *cut));
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
    for (i, ((piece, placement, laid, place), onto)) in cuts.iter().zip(&plan.places).enumerate() {
        let lines = words::on_cloth(piece, placement, laid.lay.layout, order);
        let place = *onto * *place;
        let drawn = piece::draw(&placed[i], place, &lines, &manner, &joints);
        sheet.part(i + 1, drawn);
        shown.push(Shown {
            name: piece.name.clone(),
            words: format!("{} · {}", piece.garment, &piece.material.name),
            outline: place * &placed[i].cut,
        });
    }
    Ok(pages(&plan, &sheet, shown, "Lay on paper", order, setup))
}

/// Space between two lays printed one below the other, in mm.
const BETWEEN_LAYS: f64 = 30.0;

/// A piece on the sheet of joined pages, and what the first page says of it.
struct Shown {
    name: String,
    words: String,
    outline: BezPath,
}

/// A pattern spread over pages, ready to be cut into them.
struct Joined<'a> {
    plan: &'a Plan,
    setup: &'a Setup,
    /// The pieces on the sheet of joined pages.
    sheet: &'a Drawing,
    /// Width and height of the first page's own contents, in mm.
    cover: (f64, f64),
}

impl Joined<'_> {
    /// Returns the upper left corner of what a page prints, in mm.
    fn corner(&self) -> Point {
        Point::new(self.setup.margin, self.setup.margin)
    }

    /// Returns the part of a page that is printed.
    fn window(&self, row: usize) -> Rect {
        Rect::from_origin_size(self.corner(), self.setup.print(self.plan.page_in(row)))
    }

    /// Maps the sheet of joined pages to a page.
    fn to_page(&self, page: (usize, usize)) -> Affine {
        Affine::translate(self.corner() - self.plan.grid.corner(page))
    }

    /// Whether a page of the pattern also holds the first page's contents.
    fn has_cover(&self, page: (usize, usize)) -> bool {
        self.plan.cover_inside && page == (0, 0)
    }

    /// Draws what a page has of its own where its pieces leave room.
    fn frame(&self, number: usize, page: (usize, usize)) -> Drawing {
        let window = self.window(page.1);
        let mut room = Room::new(&rectangle(window), []);
        if self.has_cover(page) {
            room.take(Rect::from_origin_size(self.corner(), self.cover));
        }
        for item in self.sheet.placed(self.to_page(page)) {
            match &item.ink {
                ink if ink.bounds().inset(0.5).intersect(window).is_zero_area() => {}
                Ink::Stroke { path, .. } | Ink::Fill { path, .. } => room.occupy(path),
                Ink::Text(text) => room.occupy(&text.outline()),
                Ink::Painted(painted) => room.occupy(&rectangle(painted.place)),
            }
        }
        joints::frame(
            self.plan,
            page,
            number,
            &self.sheet.title,
            self.setup,
            &room,
        )
    }
}

/// Writes a sheet as one page for a projector.
fn projected(plan: &Plan, sheet: &Drawing) -> Vec<u8> {
    let grid = projector::grid(&sheet.title, plan.page);
    let bold = sheet.clone().bolder(projector::BOLDER);
    let whole = |drawing| PlacedDrawing::at(drawing, Point::ZERO);
    let page = Page {
        width: plan.page.0,
        height: plan.page.1,
        drawings: vec![whole(&grid), whole(&bold)],
    };
    pdf::write(&sheet.title, &[page])
}

/// Writes the first page and the pages of the sheet as a PDF.
fn pages(
    plan: &Plan,
    sheet: &Drawing,
    shown: Vec<Shown>,
    what: &str,
    order: &Order,
    setup: &Setup,
) -> Vec<u8> {
    if setup.paper == Paper::Projector {
        return projected(plan, sheet);
    }
    let print = setup.print(plan.page);
    let cover = match (plan.cover_inside, setup.paper) {
        (true, _) => cover::size(shown.len()),
        (false, Paper::Pages(_)) => (print.0.min(print.1), print.0.max(print.1)),
        (false, Paper::Roll(_) | Paper::Projector) => (print.0, cover::size(shown.len()).1),
    };
    let covers = cover::draw(&facts(plan, shown, what, order, setup), cover);
    let joined = Joined {
        plan,
        setup,
        sheet,
        cover,
    };
    let corner = joined.corner();
    let mut pages = Vec::new();
    if !plan.cover_inside {
        let white = 2.0 * setup.margin;
        pages.extend(covers.iter().map(|drawing| Page {
            width: cover.0 + white,
            height: cover.1 + white,
            drawings: vec![PlacedDrawing::at(drawing, corner)],
        }));
    }
    let used: Vec<(usize, usize)> = plan.used_pages().collect();
    let numbered = used.iter().enumerate();
    let frames: Vec<Drawing> = numbered.map(|(i, &at)| joined.frame(i + 1, at)).collect();
    let joints = joints::draw(plan, setup.margin);
    for (&at, frame) in used.iter().zip(&frames) {
        let seen = |drawing| PlacedDrawing {
            drawing,
            place: joined.to_page(at),
            window: Some(joined.window(at.1)),
        };
        let mut drawings = vec![
            seen(sheet),
            seen(&joints),
            PlacedDrawing::at(frame, Point::ZERO),
        ];
        if joined.has_cover(at) {
            drawings.extend(covers.iter().map(|own| PlacedDrawing::at(own, corner)));
        }
        let (width, height) = plan.page_in(at.1);
        pages.push(Page {
            width,
            height,
            drawings,
        });
    }
    for page in &mut pages {
        let size = match setup.paper {
            // The last page of a roll may be shorter than wide, and runs through the printer as the others do.
            Paper::Roll(width) => (width, f64::INFINITY),
            _ => (page.width, page.height),
        };
        page.enlarge(setup.printed.enlarges(size));
    }
    pdf::write(&sheet.title, &pages)
}

/// Returns an empty sheet of joined pages.
fn blank(plan: &Plan, what: &str, order: &Order) -> Drawing {
    let title = format!("{what} · {} {}", order.client.reference, order.client.name);
    let size = plan.grid.size(plan.used.len());
    Drawing::new(&title, size.width, size.height)
}

/// Returns lines along every joint, which words keep off.
fn joint_lines(plan: &Plan) -> Vec<BezPath> {
    let (grid, rows) = (plan.grid, plan.used.len());
    let size = grid.size(rows);
    let upright = (1..grid.columns).map(|column| grid.corner((column, 0)));
    let level = (1..rows).map(|row| grid.corner((0, row)));
    upright
        .map(|top| segment(top, (top.x, size.height)))
        .chain(level.map(|left| segment(left, (size.width, left.y))))
        .collect()
}

/// Draws the pieces on the sheet of joined pages. Their words keep off the joints.
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
    let turned = if plan.page.0 > plan.page.1 {
        "landscape"
    } else {
        "portrait"
    };
    let listed = shown.iter().map(|piece| Listed {
        name: piece.name.clone(),
        words: piece.words.clone(),
        pages: pages_of(&piece.outline, &plan.grid),
    });
    Facts {
        order: words::client(order),
        what: what.to_owned(),
        paper: match setup.paper {
            Paper::Roll(width) => format!("roll {} wide", order.unit.show(width)),
            Paper::Pages(_) | Paper::Projector => {
                format!("{}, {turned}", words::capital(&setup.paper.to_string()))
            }
        },
        join: format!("{}{}", made_good(setup), joints::how_to_join()),
        pages: plan.count(),
        alone: !plan.cover_inside,
        grid: plan.grid,
        used: plan.used.clone(),
        last: plan.own(plan.used.len().saturating_sub(1), setup.margin).1,
        pieces: listed.collect(),
        outlines: shown.into_iter().map(|piece| piece.outline).collect(),
    }
}

/// Names the first and the last page of the block of pages that a piece lies on.
fn pages_of(outline: &BezPath, grid: &Grid) -> String {
    let touched = touched::pages_touched(std::slice::from_ref(outline), grid);
    let columns = || used_pages(&touched).map(|at| at.0);
    let rows = || used_pages(&touched).map(|at| at.1);
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

/// Says that the pages are scaled for a printer that is not true.
fn made_good(setup: &Setup) -> String {
    if setup.printed == Printed::TRUE {
        return String::new();
    }
    format!(
        "For a printer that made the square {} by {} mm. Measure it again: it must now be 100 mm each way. ",
        decimal(setup.printed.across, 2),
        decimal(setup.printed.down, 2)
    )
}
