//! The first page of a paper pattern: squares to measure, how to join, and the map of the pages.

use kurbo::{Affine, BezPath, Point, Rect, Vec2};

use super::drawing::{Anchor, Drawing, Layer, Pen, Text, rectangle, segment};
use super::font;
use super::grid::{Grid, page_name};
use crate::order::words::counted;

/// A piece as it is listed.
pub struct Listed {
    /// Its name.
    pub name: String,
    /// What else is said of it.
    pub words: String,
    /// The pages it lies on.
    pub pages: String,
}

/// Space between the blocks of the page, in mm.
const GAP: f64 = 7.0;
/// Height of running words, in mm, and the step from line to line.
const BODY: f64 = 2.1;
const STEP: f64 = 1.75 * BODY;
/// Height of the heading, side of the square in mm, width of the words on printing and joining.
const HEADING: f64 = 16.0;
const SQUARE: f64 = 100.0;
const WORDS: f64 = 74.0;
/// The least height of the map and of the words beside it, in mm.
const MAP: f64 = 88.0;
/// Width of a line in the list of pieces, in mm.
const LINE: f64 = 62.0;

/// The room the contents need beside pieces on a wide page, in mm: that of A4 and of Letter, longer
/// where many pieces are listed.
pub fn size(pieces: usize) -> (f64, f64) {
    let rows = pieces.div_ceil(3) as f64;
    (190.0, above_list() + MAP + GAP + rows * STEP)
}

/// What stands above the map.
fn above_list() -> f64 {
    HEADING + GAP + SQUARE + GAP
}

/// What the first page tells.
pub struct Facts {
    /// The order's reference and client.
    pub order: String,
    /// What is printed: `Paper pattern`.
    pub what: String,
    /// The paper, in words.
    pub paper: String,
    /// How the pages are joined, in words.
    pub join: String,
    /// How many pages the pattern has.
    pub pages: usize,
    /// Whether it has pages of its own; otherwise it stands among the pieces, in the room of [`size`].
    pub alone: bool,
    /// The pages' own areas as they join.
    pub grid: Grid,
    /// Which pages are there, row by row.
    pub used: Vec<Vec<bool>>,
    /// Height of the own areas of the last row's pages, in mm.
    pub last: f64,
    /// Every piece.
    pub pieces: Vec<Listed>,
    /// Cut lines on the sheet of joined pages, in mm.
    pub outlines: Vec<BezPath>,
}

/// Draws the first page's contents into that width and height; where the list of pieces is too long
/// for it, a second page holds the list.
pub fn draw(facts: &Facts, (width, height): (f64, f64)) -> Vec<Drawing> {
    let mut page = Drawing::new("First page", width, height);
    let top = heading(&mut page, facts, width) + GAP;
    square(
        &mut page,
        Point::new(0.5, top),
        SQUARE,
        10,
        "100 mm",
        "100 mm each way",
    );
    let beside = SQUARE + GAP;
    let inches = ((width - beside - 0.5) / 25.4).floor().clamp(2.0, 4.0);
    square(
        &mut page,
        Point::new(beside, top),
        25.4 * inches,
        inches as u32,
        &format!("{inches} in"),
        &format!("{inches} inches each way"),
    );
    let below = top + SQUARE + GAP;
    let left = height - below - MAP - GAP;
    let index = Index::within(&facts.pieces, width, left);
    // Where it has a page to itself a list need not be set smaller.
    let fits = !facts.alone || (index.scale == 1.0 && index.height() <= left + 1e-6);
    let foot = if fits {
        height - index.height()
    } else {
        height
    };
    instructions(&mut page, &facts.join, Rect::new(0.0, below, WORDS, foot));
    let room = Rect::new(WORDS + GAP, below, width, foot - GAP);
    map(&mut page, facts, room);
    if fits {
        index.draw(&mut page, &facts.pieces, Point::new(0.0, foot));
        return vec![page];
    }
    let mut second = Drawing::new("Pieces", width, height);
    let top = heading(&mut second, facts, width) + GAP;
    let words = Text::new("Pieces and the pages they lie on", (0.0, top + 2.6), 2.6);
    second.text(Layer::Page, words.bold());
    let top = top + 5.0;
    let index = Index::within(&facts.pieces, width, height - top);
    index.draw(&mut second, &facts.pieces, Point::new(0.0, top));
    vec![page, second]
}

fn heading(page: &mut Drawing, facts: &Facts, width: f64) -> f64 {
    let title = font::shorten(&font::clean(&facts.order), 4.5, true, width);
    page.text(Layer::Page, Text::new(&title, (0.0, 6.0), 4.5).bold());
    let line = format!(
        "{}, true scale · {} · {} in {} rows and {} columns",
        facts.what,
        facts.paper,
        counted(facts.pages, "page"),
        facts.used.len(),
        facts.grid.columns
    );
    page.text(
        Layer::Page,
        Text::new(&font::shorten(&line, 2.4, false, width), (0.0, 12.5), 2.4),
    );
    page.line(
        Layer::Page,
        segment((0.0, HEADING), (width, HEADING)),
        Pen::PAGE,
    );
    HEADING
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

/// How to print, join and begin.
fn instructions(page: &mut Drawing, join: &str, column: Rect) {
    let steps = [
        (
            "Print",
            "At 100 %, unscaled, on one side. Measure both squares. If either is wrong, change the printer's setting and print again.",
        ),
        ("Join", join),
        (
            "Cut",
            "Heavy line: cut. Long dashes: seam. Short strokes in from the edge: notches. Cross with a ring: mark through. Dots and dashes: fold. Dots: a level. The arrow is the grain.",
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
            base += STEP;
        }
        base += 1.6;
    }
}

/// The list of pieces as it is set: a piece's words run on in a second line where one is too short for them.
struct Index {
    /// How large it is against its full size.
    scale: f64,
    /// The lines of each piece.
    lines: Vec<Vec<String>>,
    /// The column of each piece, and the row of its first line.
    places: Vec<(usize, usize)>,
    /// Width of a column, in mm.
    column: f64,
    /// Lines of the longest column.
    rows: usize,
}

impl Index {
    /// Sets the list in so many columns, at a scale.
    fn new(pieces: &[Listed], width: f64, columns: usize, scale: f64) -> Self {
        let column = width / columns as f64;
        let lines: Vec<Vec<String>> = pieces
            .iter()
            .map(|piece| piece.lines(column.min(WIDEST) - 6.0, scale * BODY))
            .collect();
        let all: usize = lines.iter().map(Vec::len).sum();
        let longest = lines.iter().map(Vec::len).max().unwrap_or_default();
        // As even as the columns come; one column holds all of them at the worst.
        let mut rows = all.div_ceil(columns).max(longest);
        loop {
            let places = in_columns(&lines, rows);
            if places.iter().all(|(column, _)| *column < columns) {
                return Self {
                    scale,
                    lines,
                    places,
                    column,
                    rows,
                };
            }
            rows += 1;
        }
    }

    /// Sets the list so wide and, if it can be, no higher than so much: in the most columns that leave every
    /// piece on one line, else in the most that there are, and smaller where it must be.
    fn within(pieces: &[Listed], width: f64, height: f64) -> Self {
        let most = ((width / LINE).floor() as usize).max(1);
        let fits = |index: &Self| index.height() <= height + 1e-6;
        let unbroken = |index: &Self| index.lines.iter().all(|lines| lines.len() == 1);
        let columns = (1..=most).rev();
        let mut tried = columns.map(|columns| Self::new(pieces, width, columns, 1.0));
        if let Some(index) = tried.find(|index| unbroken(index) && fits(index)) {
            return index;
        }
        let mut index = Self::new(pieces, width, most, 1.0);
        while !fits(&index) && index.scale > SMALLEST {
            index = Self::new(pieces, width, most, index.scale - 0.05);
        }
        index
    }

    fn height(&self) -> f64 {
        self.rows as f64 * STEP * self.scale
    }

    fn draw(&self, page: &mut Drawing, pieces: &[Listed], corner: Point) {
        let (step, height) = (STEP * self.scale, BODY * self.scale);
        for ((piece, lines), (column, row)) in pieces.iter().zip(&self.lines).zip(&self.places) {
            let x = corner.x + *column as f64 * self.column;
            let base = |line: usize| corner.y + (row + line + 1) as f64 * step - 0.3 * height;
            let end = (x + self.column.min(WIDEST) - 4.0, base(0));
            let pages = Text::new(&piece.pages, end, height).anchor(Anchor::End);
            page.text(Layer::Page, pages);
            for (i, line) in lines.iter().enumerate() {
                let indent = if i > 0 { INDENT } else { 0.0 };
                page.text(Layer::Page, Text::new(line, (x + indent, base(i)), height));
            }
        }
    }
}

impl Listed {
    /// What is said of the piece in lines no wider than so much beside its pages: in one, else the name and
    /// the rest by themselves, each broken where it must be.
    fn lines(&self, width: f64, height: f64) -> Vec<String> {
        let room = width - Text::new(&self.pages, (0.0, 0.0), height).length();
        let (name, words) = (font::clean(&self.name), font::clean(&self.words));
        let whole = format!("{name}, {words}");
        if font::length(&whole, height, false) <= room {
            return vec![whole];
        }
        let mut lines = font::wrap(&format!("{name},"), height, false, room - INDENT);
        lines.extend(font::wrap(&words, height, false, room - INDENT));
        lines
    }
}

/// A line of the list is no wider than this, in mm, so that its end is found from its beginning.
const WIDEST: f64 = 84.0;
/// How far a second line stands in, in mm, and the smallest scale of the list.
const INDENT: f64 = 2.5;
const SMALLEST: f64 = 0.4;

/// Where each piece begins in columns of so many rows; no piece is parted.
fn in_columns(lines: &[Vec<String>], rows: usize) -> Vec<(usize, usize)> {
    let (mut column, mut row) = (0, 0);
    let place = |lines: &Vec<String>| {
        if row + lines.len() > rows && row > 0 {
            (column, row) = (column + 1, 0);
        }
        let at = (column, row);
        row += lines.len();
        at
    };
    lines.iter().map(place).collect()
}

/// The pages as they join, with the pieces on them and each page's name.
fn map(page: &mut Drawing, facts: &Facts, room: Rect) {
    let Grid {
        width,
        height,
        columns,
    } = facts.grid;
    let above = facts.used.len().saturating_sub(1);
    let whole = (columns as f64 * width, above as f64 * height + facts.last);
    let scale = (room.width() / whole.0).min((room.height() - 5.0) / whole.1);
    if !scale.is_finite() || scale <= 0.0 {
        return;
    }
    page.text(
        Layer::Page,
        Text::new("Map of the pages", (room.x0, room.y0 + 2.6), 2.6).bold(),
    );
    let to_map = Affine::translate((room.x0, room.y0 + 5.0)) * Affine::scale(scale);
    let outlines: Vec<BezPath> = facts.outlines.iter().map(|o| to_map * o).collect();
    for outline in &outlines {
        page.fill(Layer::Page, outline.clone(), 0.88);
        page.line(Layer::Page, outline.clone(), Pen::full(0.2));
    }
    for (outline, piece) in outlines.iter().zip(&facts.pieces) {
        super::marker::name_in(page, &piece.name, outline, 1.5);
    }
    for (row, pages) in facts.used.iter().enumerate() {
        for (column, _) in pages.iter().enumerate().filter(|(_, used)| **used) {
            let corner = Point::new(column as f64 * width, row as f64 * height);
            let own = (width, if row < above { height } else { facts.last });
            let cell = to_map.transform_rect_bbox(Rect::from_origin_size(corner, own));
            page.line(Layer::Page, rectangle(cell), Pen::dashed(0.15, &[1.0, 0.6]));
            let height = (0.16 * cell.height().min(cell.width())).clamp(1.3, 2.4);
            let at = cell.origin() + Vec2::new(0.6, 1.4 * height);
            page.text(
                Layer::Page,
                Text::new(&page_name(column, row), at, height).bold(),
            );
        }
    }
}
