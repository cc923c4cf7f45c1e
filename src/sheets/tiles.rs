//! The paper pattern: pieces packed on joined pages, and each page with what joins it.

use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape, Vec2};

use super::cover::{self, Facts};
use super::drawing::{Anchor, Drawing, Layer, Pen, Text, rectangle, segment};
use super::packing::{self, Grid};
use super::paper::Paper;
use super::pdf::{self, Page, View};
use super::piece::{self, GrainEnds};
use super::words;
use crate::order::Order;
use crate::pattern::Piece;

/// What the printer leaves white at each edge, and the strip pages share, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setup {
    /// The paper.
    pub paper: Paper,
    /// White at each edge of the page, in mm.
    pub margin: f64,
    /// Width of the strip that is glued, in mm.
    pub overlap: f64,
}

impl Setup {
    /// The paper with margins and overlap that suit any printer.
    pub fn new(paper: Paper) -> Self {
        Setup {
            paper,
            margin: 10.0,
            overlap: 10.0,
        }
    }
}

/// A piece that the paper cannot hold.
#[derive(Debug, Clone, PartialEq)]
pub struct DoesNotFit;

impl std::fmt::Display for DoesNotFit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("the pieces do not fit on any number of pages of this paper")
    }
}

impl std::error::Error for DoesNotFit {}

/// Longest page in mm: PDF readers stop at 14400 points, 5.08 m.
const LONGEST: f64 = 5000.0;
/// From this width and height of print on, the first page has room for pieces beside its own
/// squares and map.
const ROOMY: f64 = 380.0;
/// Most columns of pages that are tried.
const COLUMNS: usize = 9;
/// Longest side of a table the joined pages are laid out on, in mm, if it can be helped.
const TABLE: f64 = 2400.0;

/// The pages of a paper pattern, before they are drawn.
struct Plan {
    page: (f64, f64),
    grid: Grid,
    places: Vec<Affine>,
    /// Which pages hold anything, row by row.
    used: Vec<Vec<bool>>,
    /// Whether squares and map stand on the first page of the pattern.
    cover_inside: bool,
}

impl Plan {
    fn count(&self) -> usize {
        self.used.iter().flatten().filter(|used| **used).count()
    }

    fn is_used(&self, column: Option<usize>, row: Option<usize>) -> bool {
        let at = row
            .zip(column)
            .and_then(|(row, column)| self.used.get(row)?.get(column));
        at.copied().unwrap_or(false)
    }
}

/// Writes the pieces as a PDF to print, trim and glue: a first page with squares to measure and a
/// map, then the pages that hold anything, row by row. Each piece is drawn once.
pub fn write(pieces: &[&Piece], order: &Order, setup: &Setup) -> Result<Vec<u8>, DoesNotFit> {
    let outlines: Vec<BezPath> = pieces.iter().map(|piece| piece.cut.clone()).collect();
    let plan = plan(&outlines, setup).ok_or(DoesNotFit)?;
    let title = format!(
        "Paper pattern · {} {}",
        order.client.reference, order.client.name
    );
    let mut sheet = Drawing::new(&title, 0.0, 0.0);
    for (i, (piece, place)) in pieces.iter().zip(&plan.places).enumerate() {
        let lines = words::on_piece(piece, order);
        sheet.part(i + 1, piece::draw(piece, *place, &lines, GrainEnds::Both));
    }
    let placed: Vec<BezPath> = outlines
        .iter()
        .zip(&plan.places)
        .map(|(outline, place)| *place * outline)
        .collect();
    let print = (
        plan.page.0 - 2.0 * setup.margin,
        plan.page.1 - 2.0 * setup.margin,
    );
    let facts = facts(&plan, pieces, &placed, order, setup);
    let cover_size = if plan.cover_inside {
        cover::SIZE
    } else {
        upright(setup, print)
    };
    let cover = cover::draw(&facts, cover_size);
    let joints = draw_joints(&plan);
    let frames: Vec<(usize, usize, Drawing)> = used_pages(&plan)
        .enumerate()
        .map(|(i, (column, row))| (column, row, frame(&plan, column, row, i + 1, &title, setup)))
        .collect();
    let corner = Point::new(setup.margin, setup.margin);
    let mut pages = Vec::new();
    if !plan.cover_inside {
        let (width, height) = (
            cover_size.0 + 2.0 * setup.margin,
            cover_size.1 + 2.0 * setup.margin,
        );
        pages.push(Page {
            width,
            height,
            views: vec![View::at(&cover, corner)],
        });
    }
    for (column, row, frame) in &frames {
        let from = Vec2::new(
            *column as f64 * plan.grid.width,
            *row as f64 * plan.grid.height,
        );
        let seen = Rect::from_origin_size(corner, (print.0, print.1));
        let mut views: Vec<View> = [&sheet, &joints]
            .map(|drawing| View {
                drawing,
                place: Affine::translate(corner.to_vec2() - from),
                window: Some(seen),
            })
            .to_vec();
        views.push(View::at(frame, Point::ZERO));
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

fn upright(setup: &Setup, print: (f64, f64)) -> (f64, f64) {
    match setup.paper {
        Paper::Sheet(_) => (print.0.min(print.1), print.0.max(print.1)),
        Paper::Roll(_) => (print.0, cover::SIZE.1),
    }
}

/// Name of a page: its row as a letter, its column as a number.
pub fn page_name(column: usize, row: usize) -> String {
    let mut letters = String::new();
    let mut rest = row + 1;
    while rest > 0 {
        rest -= 1;
        letters.insert(0, char::from(b'A' + (rest % 26) as u8));
        rest /= 26;
    }
    format!("{letters}{}", column + 1)
}

fn used_pages(plan: &Plan) -> impl Iterator<Item = (usize, usize)> {
    let rows = plan.used.iter().enumerate();
    rows.flat_map(|(row, pages)| {
        pages
            .iter()
            .enumerate()
            .filter(|(_, used)| **used)
            .map(move |(column, _)| (column, row))
    })
}

/// Chooses upright or lying pages and how many columns: the fewest pages, then what lies on a table.
fn plan(outlines: &[BezPath], setup: &Setup) -> Option<Plan> {
    if let Paper::Roll(width) = setup.paper {
        return roll_plan(outlines, width, setup);
    }
    let Paper::Sheet(size) = setup.paper else {
        return None;
    };
    let (short, long) = size.upright();
    let mut plans = Vec::new();
    for page in [(short, long), (long, short)] {
        let print = (page.0 - 2.0 * setup.margin, page.1 - 2.0 * setup.margin);
        let cover_inside = print.0.min(print.1) >= ROOMY;
        for columns in 1..=COLUMNS {
            let grid = Grid {
                width: print.0 - setup.overlap,
                height: print.1 - setup.overlap,
                columns,
            };
            if columns > 1 && columns as f64 * grid.width > TABLE {
                break;
            }
            plans.push((page, grid, cover_inside));
        }
    }
    use rayon::prelude::*;
    let plans: Vec<Plan> = plans
        .into_par_iter()
        .filter_map(|(page, grid, cover_inside)| {
            let free = if cover_inside {
                cover::SIZE
            } else {
                (0.0, 0.0)
            };
            finish(outlines, page, grid, free, cover_inside)
        })
        .collect();
    plans.into_iter().min_by_key(|plan| {
        let rows = plan.used.len() as f64 * plan.grid.height;
        let wide = plan.grid.columns as f64 * plan.grid.width;
        (plan.count(), rows.max(wide) as u64)
    })
}

fn finish(
    outlines: &[BezPath],
    page: (f64, f64),
    grid: Grid,
    free: (f64, f64),
    cover_inside: bool,
) -> Option<Plan> {
    let places = packing::pack(outlines, &grid, free)?;
    let placed: Vec<BezPath> = outlines
        .iter()
        .zip(&places)
        .map(|(outline, place)| *place * outline)
        .collect();
    let mut used = packing::pages_touched(&placed, &grid);
    if cover_inside {
        if used.is_empty() {
            used.push(vec![false; grid.columns]);
        }
        if let Some(first) = used.first_mut().and_then(|row| row.first_mut()) {
            *first = true;
        }
    }
    Some(Plan {
        page,
        grid,
        places,
        used,
        cover_inside,
    })
}

/// One strip of paper as long as needed; pieces wider than the roll run over several strips.
fn roll_plan(outlines: &[BezPath], width: f64, setup: &Setup) -> Option<Plan> {
    let print = width - 2.0 * setup.margin;
    let cover_inside = print >= ROOMY;
    let free = if cover_inside {
        cover::SIZE
    } else {
        (0.0, 0.0)
    };
    (1..=COLUMNS).find_map(|columns| {
        // One column needs no strip to glue. A row as high as the packing goes is one page.
        let wide = if columns == 1 {
            print
        } else {
            print - setup.overlap
        };
        let endless = Grid {
            width: wide,
            height: 1e5,
            columns,
        };
        let places = packing::pack(outlines, &endless, free)?;
        let placed: Vec<BezPath> = outlines
            .iter()
            .zip(&places)
            .map(|(outline, place)| *place * outline)
            .collect();
        let length = packing::bounds(&placed).y1.max(free.1) + 2.0;
        let most = LONGEST - 2.0 * setup.margin;
        let (height, page) = if length <= most {
            // The last row of a single page has no strip to glue below it.
            (length, length + 2.0 * setup.margin)
        } else {
            (most - setup.overlap, LONGEST)
        };
        let grid = Grid {
            width: wide,
            height,
            columns,
        };
        let mut used = packing::pages_touched(&placed, &grid);
        if cover_inside && let Some(first) = used.first_mut().and_then(|row| row.first_mut()) {
            *first = true;
        }
        Some(Plan {
            page: (width, page),
            grid,
            places,
            used,
            cover_inside,
        })
    })
}

fn facts(
    plan: &Plan,
    pieces: &[&Piece],
    placed: &[BezPath],
    order: &Order,
    setup: &Setup,
) -> Facts {
    let rows = plan.used.len();
    Facts {
        order_title: format!("{} · {}", order.client.reference, order.client.name),
        paper: match setup.paper {
            Paper::Roll(width) => format!("Roll {width:.0} mm wide"),
            Paper::Sheet(_) if plan.page.0 > plan.page.1 => {
                format!("{} lying", setup.paper).to_uppercase()
            }
            Paper::Sheet(_) => format!("{} upright", setup.paper),
        },
        pages: plan.count(),
        columns: plan.grid.columns,
        rows,
        pieces: pieces
            .iter()
            .map(|piece| (piece.garment.clone(), piece.name.clone()))
            .collect(),
        outlines: placed.to_vec(),
        page: (plan.grid.width, plan.grid.height),
        used: plan.used.clone(),
    }
}

/// Joints between pages, on the sheet of joined pages: lines, ticks and marks that two pages share.
fn draw_joints(plan: &Plan) -> Drawing {
    let mut sheet = Drawing::new("", 0.0, 0.0);
    let Grid { width, height, .. } = plan.grid;
    for (column, row) in used_pages(plan) {
        let corner = Point::new(column as f64 * width, row as f64 * height);
        if plan.is_used(Some(column + 1), Some(row)) {
            joint(
                &mut sheet,
                corner + Vec2::new(width, 0.0),
                Vec2::new(0.0, 1.0),
                height,
            );
        }
        if plan.is_used(Some(column), Some(row + 1)) {
            joint(
                &mut sheet,
                corner + Vec2::new(0.0, height),
                Vec2::new(1.0, 0.0),
                width,
            );
        }
    }
    sheet
}

/// One joint: a line to trim or glue to, a tick every 10 mm, and two rings with a cross, so that a
/// millimetre amiss is seen.
fn joint(sheet: &mut Drawing, from: Point, along: Vec2, length: f64) {
    let across = Vec2::new(-along.y, along.x);
    sheet.line(
        Layer::Page,
        segment(from, from + along * length),
        Pen::dashed(0.2, &[3.0, 1.5]),
    );
    let ticks = (length / 10.0).floor() as u32;
    for i in 1..=ticks {
        let at = from + along * (f64::from(i) * 10.0);
        let half = if i % 5 == 0 { 2.5 } else { 1.2 };
        sheet.line(
            Layer::Page,
            segment(at - across * half, at + across * half),
            Pen::full(0.15),
        );
    }
    let marks = if length > 600.0 { 4 } else { 2 };
    for i in 0..marks {
        let at = from + along * (length * (2.0 * f64::from(i) + 1.0) / (2.0 * f64::from(marks)));
        sheet.line(
            Layer::Page,
            Circle::new(at, 3.5).to_path(0.01),
            Pen::full(0.2),
        );
        for arm in [along + across, along - across] {
            let arm = arm * 4.0;
            sheet.line(Layer::Page, segment(at - arm, at + arm), Pen::full(0.15));
        }
    }
}

/// What a page has of its own: its frame, its name, where its neighbours join, whose it is.
fn frame(
    plan: &Plan,
    column: usize,
    row: usize,
    number: usize,
    title: &str,
    setup: &Setup,
) -> Drawing {
    let (width, height) = plan.page;
    let mut page = Drawing::new(title, width, height);
    let m = setup.margin;
    let print = Rect::new(m, m, width - m, height - m);
    let core = Rect::from_origin_size((m, m), (plan.grid.width, plan.grid.height));
    page.line(Layer::Page, rectangle(print), Pen::PAGE.grey(0.6));
    let name = page_name(column, row);
    page.text(
        Layer::Page,
        Text::new(&name, (m + 6.0, m + 12.0), 6.0).bold().grey(0.35),
    );
    let neighbour = |column: Option<usize>, row: Option<usize>| {
        let name = column.zip(row).map(|(column, row)| page_name(column, row));
        name.filter(|_| plan.is_used(column, row))
    };
    let (left, right) = (column.checked_sub(1), Some(column + 1));
    let (above, below) = (row.checked_sub(1), Some(row + 1));
    let (here, level) = (Some(column), Some(row));
    // Side, its middle on the page's own area, the way out of the page, and what is done there.
    let sides = [
        (
            neighbour(left, level),
            Point::new(core.x0, core.center().y),
            Vec2::new(-1.0, 0.0),
            true,
        ),
        (
            neighbour(right, level),
            Point::new(core.x1, core.center().y),
            Vec2::new(1.0, 0.0),
            false,
        ),
        (
            neighbour(here, above),
            Point::new(core.center().x, core.y0),
            Vec2::new(0.0, -1.0),
            true,
        ),
        (
            neighbour(here, below),
            Point::new(core.center().x, core.y1),
            Vec2::new(0.0, 1.0),
            false,
        ),
    ];
    for (name, middle, out, trimmed) in sides {
        if let Some(name) = name {
            arrow_to(&mut page, &name, middle, out);
            join_words(&mut page, &name, middle, out, trimmed, setup.overlap);
        }
    }
    let foot = format!(
        "{title} · page {name}, {number} of {} · print at 100 %, unscaled",
        plan.count()
    );
    let foot = super::font::shorten(&super::font::clean(&foot), 2.0, false, width - 2.0 * m);
    page.text(Layer::Page, Text::new(&foot, (m, height - m + 4.0), 2.0));
    page
}

/// An arrow just inside a joint, with the neighbour's name.
fn arrow_to(page: &mut Drawing, name: &str, middle: Point, out: Vec2) {
    let across = Vec2::new(-out.y, out.x);
    let tip = middle - out * 4.0;
    let mut head = BezPath::new();
    head.move_to(tip);
    head.line_to(tip - out * 3.5 + across * 1.8);
    head.line_to(tip - out * 3.5 - across * 1.8);
    head.close_path();
    page.fill(Layer::Page, head, 0.35);
    let at = tip - out * 6.0;
    let (anchor, at) = match (out.x, out.y) {
        (-1.0, _) => (Anchor::Start, at + Vec2::new(1.0, 1.3)),
        (1.0, _) => (Anchor::End, at + Vec2::new(-1.0, 1.3)),
        (_, y) => (
            Anchor::Middle,
            at + Vec2::new(0.0, if y < 0.0 { 3.4 } else { -0.8 }),
        ),
    };
    page.text(
        Layer::Page,
        Text::new(name, at, 2.6).anchor(anchor).grey(0.35),
    );
}

/// What to do at a joint, along it: trim this page, or glue its strip under the neighbour.
fn join_words(page: &mut Drawing, name: &str, middle: Point, out: Vec2, trimmed: bool, strip: f64) {
    let across = Vec2::new(-out.y, out.x);
    let place = middle + across * 32.0;
    // Words stand in the strip that is glued, or just inside the line that is trimmed.
    let (words, centre) = if trimmed {
        (
            format!("trim to this line, lay on {name}"),
            place - out * 2.6,
        )
    } else {
        (
            format!("glue {name} on this strip"),
            place + out * (strip / 2.0),
        )
    };
    let degrees = if out.x == 0.0 { 0.0 } else { -90.0 };
    let down = if out.x == 0.0 {
        Vec2::new(0.0, 0.8)
    } else {
        Vec2::new(0.8, 0.0)
    };
    let text = Text::new(&words, centre + down, 1.7);
    page.text(
        Layer::Page,
        text.anchor(Anchor::Middle).turned(degrees).grey(0.35),
    );
}
