//! The first page of a paper pattern: squares to measure, how to join, and the map of the pages.

use kurbo::{Affine, BezPath, Point, Rect, Vec2};

use super::drawing::{Anchor, Drawing, Layer, Pen, Text, rectangle, segment};
use super::font;
use super::packing::Grid;
use super::tiling::page_name;

/// The least room the first page's contents need, in mm: the print of A4 and of Letter.
pub const SIZE: (f64, f64) = (190.0, 255.0);

/// What the first page tells.
pub struct Facts {
    /// The order's reference and client.
    pub order: String,
    /// The paper, in words.
    pub paper: String,
    /// How many pages the pattern has.
    pub pages: usize,
    /// The pages' own areas as they join.
    pub grid: Grid,
    /// Which pages are there, row by row.
    pub used: Vec<Vec<bool>>,
    /// Name of every piece, and its line in the list.
    pub pieces: Vec<(String, String)>,
    /// Cut lines on the sheet of joined pages, in mm.
    pub outlines: Vec<BezPath>,
}

/// Space between the blocks of the page, in mm.
const GAP: f64 = 7.0;
/// Height of running words, in mm.
const BODY: f64 = 2.1;

/// Draws the first page's contents into that width and height.
pub fn draw(facts: &Facts, (width, height): (f64, f64)) -> Drawing {
    let mut page = Drawing::new("First page", width, height);
    let mut base = heading(&mut page, facts, width);
    base += GAP;
    square(
        &mut page,
        Point::new(0.5, base),
        100.0,
        10,
        "100 mm",
        "100 mm each way",
    );
    square(
        &mut page,
        Point::new(0.5, base + 100.0 + GAP),
        101.6,
        4,
        "4 in",
        "4 inches each way",
    );
    let foot = base + 100.0 + 101.6 + 2.0 * GAP;
    list(&mut page, facts, Rect::new(0.0, foot, width, height));
    let column = Rect::new(101.6 + 2.0 * GAP, base, width, height);
    let below = instructions(&mut page, column);
    map(
        &mut page,
        facts,
        Rect {
            y0: below + GAP,
            y1: foot - GAP,
            ..column
        },
    );
    page
}

fn heading(page: &mut Drawing, facts: &Facts, width: f64) -> f64 {
    let title = font::shorten(&font::clean(&facts.order), 4.5, true, width);
    page.text(Layer::Page, Text::new(&title, (0.0, 6.0), 4.5).bold());
    let pages = if facts.pages == 1 { "page" } else { "pages" };
    let line = format!(
        "Paper pattern, true scale · {} · {} {pages} of pattern in {} rows and {} columns",
        facts.paper,
        facts.pages,
        facts.used.len(),
        facts.grid.columns
    );
    page.text(
        Layer::Page,
        Text::new(&font::shorten(&line, 2.4, false, width), (0.0, 12.5), 2.4),
    );
    page.line(Layer::Page, segment((0.0, 16.0), (width, 16.0)), Pen::PAGE);
    16.0
}

/// A square to hold a rule to, with ticks along two sides.
fn square(page: &mut Drawing, corner: Point, side: f64, ticks: u32, name: &str, words: &str) {
    let frame = Rect::from_origin_size(corner, (side, side));
    page.line(Layer::Page, rectangle(frame), Pen::full(0.2));
    for i in 1..ticks {
        let along = side * f64::from(i) / f64::from(ticks);
        let (top, left) = (
            corner + Vec2::new(along, 0.0),
            corner + Vec2::new(0.0, along),
        );
        page.line(
            Layer::Page,
            segment(top, top + Vec2::new(0.0, 3.0)),
            Pen::full(0.15),
        );
        page.line(
            Layer::Page,
            segment(left, left + Vec2::new(3.0, 0.0)),
            Pen::full(0.15),
        );
    }
    let middle = frame.center();
    page.text(
        Layer::Page,
        Text::new(name, middle + Vec2::new(0.0, 1.0), 7.0)
            .anchor(Anchor::Middle)
            .bold(),
    );
    let lines = [words, "Measure it both ways before cutting."];
    for (i, line) in lines.into_iter().enumerate() {
        let at = middle + Vec2::new(0.0, 9.0 + 4.5 * i as f64);
        page.text(Layer::Page, Text::new(line, at, 2.4).anchor(Anchor::Middle));
    }
}

/// How to print, join and begin; the y below the last line.
fn instructions(page: &mut Drawing, column: Rect) -> f64 {
    let steps = [
        (
            "Print",
            "At 100 %, unscaled. Measure both squares. If either is wrong, change the printer's setting and print again.",
        ),
        (
            "Join",
            "Trim each page at the dashed lines on its left and top. Lay it on the glue strip of its neighbour until the rings close and the ticks run through; then glue. The map shows what goes where.",
        ),
        (
            "Cut",
            "Heavy line: cut. Long dashes: seam. Short strokes in from the edge: notches. The arrow is the grain.",
        ),
        (
            "Mind",
            "Cut a toile, or leave the inlays and baste, before cutting good cloth. Shears, rotary knives, steam and powered cutters injure: follow the machine's manual and the local rules. The draft is a beginning for a trained cutter's eye, not a replacement for a fitting.",
        ),
    ];
    let mut base = column.y0 + 2.6;
    for (head, body) in steps {
        page.text(Layer::Page, Text::new(head, (column.x0, base), 2.6).bold());
        base += 1.7 * BODY + 0.8;
        for line in font::wrap(body, BODY, false, column.width()) {
            page.text(Layer::Page, Text::new(&line, (column.x0, base), BODY));
            base += 1.75 * BODY;
        }
        base += 1.6;
    }
    base - 1.75 * BODY
}

/// The pieces with the pages they lie on, in columns as far as there is room.
fn list(page: &mut Drawing, facts: &Facts, room: Rect) {
    let leading = 1.75 * BODY;
    let rows = ((room.height() - 3.0) / leading).floor().max(0.0) as usize;
    let columns = ((room.width() / 62.0).floor() as usize).max(1);
    let width = room.width() / columns as f64;
    let lines: Vec<&str> = facts.pieces.iter().map(|piece| piece.1.as_str()).collect();
    let shown = if lines.len() > rows * columns {
        (rows * columns).saturating_sub(1)
    } else {
        lines.len()
    };
    let more = format!("and {} more", lines.len() - shown);
    let rest = (shown < lines.len()).then_some(more.as_str());
    for (i, line) in lines.into_iter().take(shown).chain(rest).enumerate() {
        let (column, row) = (i / rows.max(1), i % rows.max(1));
        let at = Point::new(
            room.x0 + column as f64 * width,
            room.y0 + (row + 1) as f64 * leading,
        );
        let line = font::shorten(&font::clean(line), BODY, false, width - 3.0);
        page.text(Layer::Page, Text::new(&line, at, BODY));
    }
}

/// The pages as they join, with the pieces on them and each page's name.
fn map(page: &mut Drawing, facts: &Facts, room: Rect) {
    let Grid {
        width,
        height,
        columns,
    } = facts.grid;
    let whole = (columns as f64 * width, facts.used.len() as f64 * height);
    let scale = (room.width() / whole.0).min((room.height() - 5.0) / whole.1);
    if !scale.is_finite() || scale <= 0.0 {
        return;
    }
    page.text(
        Layer::Page,
        Text::new("Map of the pages", (room.x0, room.y0 + 2.6), 2.6).bold(),
    );
    let to_map = Affine::translate((room.x0, room.y0 + 5.0)) * Affine::scale(scale);
    for (row, pages) in facts.used.iter().enumerate() {
        for (column, _) in pages.iter().enumerate().filter(|(_, used)| **used) {
            let corner = Point::new(column as f64 * width, row as f64 * height);
            let cell = to_map.transform_rect_bbox(Rect::from_origin_size(corner, (width, height)));
            page.line(Layer::Page, rectangle(cell), Pen::full(0.12));
            let height = (0.22 * cell.height().min(cell.width())).clamp(1.2, 4.0);
            let name = Text::new(
                &page_name(column, row),
                cell.center() + Vec2::new(0.0, height / 2.0),
                height,
            );
            page.text(Layer::Page, name.anchor(Anchor::Middle).grey(0.45));
        }
    }
    for (outline, (name, _)) in facts.outlines.iter().zip(&facts.pieces) {
        let outline = to_map * outline;
        super::marker::name_in(page, name, &outline, 1.4);
        page.line(Layer::Page, outline, Pen::full(0.3));
    }
}
