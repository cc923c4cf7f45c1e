//! Draws the first page of a paper pattern: squares to measure, how to join the pages, and a map of them.

use kurbo::{Affine, BezPath, Point, Rect, Size, Vec2};

use super::drawing::{Anchor, Drawing, Layer, Pen, Text, rectangle};
use super::font;
use super::grid::{Grid, page_name, used_pages};
use super::words::{SHARP, STARTING_POINT, TOILE};
use crate::order::words::counted;

/// A piece in the list of pieces.
pub struct Listed {
    /// Its name.
    pub name: String,
    /// Its garment, and how many are cut or of what.
    pub words: String,
    /// The pages it lies on.
    pub pages: String,
}

/// Space between the blocks of the page, in mm.
const GAP: f64 = 7.0;
/// Height of running words, in mm, and the step from line to line.
const BODY: f64 = 2.1;
const STEP: f64 = 1.75 * BODY;
/// Height of the heading, in mm.
const HEADING: f64 = 16.0;
/// Side of the square to measure, in mm.
const SQUARE: f64 = 100.0;
/// Width of the words on printing and joining, in mm.
const WORDS: f64 = 74.0;
/// Least height of the map and of the words beside it, in mm.
const MAP: f64 = 88.0;
/// Least width of a column in the list of pieces, in mm: three fit on A4.
const LINE: f64 = 62.0;

/// Returns the width and height, in mm, that the contents take when they share a wide page with pieces. The
/// width is that which both A4 and Letter print; the height grows with the list of pieces.
pub fn size(pieces: usize) -> (f64, f64) {
    let rows = pieces.div_ceil(3) as f64;
    (190.0, above_list() + MAP + GAP + rows * STEP)
}

/// Returns the height of what stands above the map.
fn above_list() -> f64 {
    HEADING + GAP + SQUARE + GAP
}

/// The facts that the first page tells.
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
    /// Whether it has pages of its own. Otherwise it stands among the pieces, in the room of [`size`].
    pub alone: bool,
    /// The own areas of the pages as they join.
    pub grid: Grid,
    /// Which pages hold anything, row by row.
    pub used: Vec<Vec<bool>>,
    /// Height of the own areas of the last row's pages, in mm.
    pub last: f64,
    /// Every piece.
    pub pieces: Vec<Listed>,
    /// Cut lines on the sheet of joined pages, in mm.
    pub outlines: Vec<BezPath>,
}

/// Draws the first page's contents into a width and height. If the list of pieces is too long for it, a second
/// page holds the list.
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
    // A list that can have a page of its own is not set smaller.
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
    let start = heading(&mut second, facts, width) + GAP;
    let words = Text::new("Pieces and the pages they lie on", (0.0, start + 2.6), 2.6);
    second.write(words.bold());
    let start = start + 5.0;
    let full = Index::within(&facts.pieces, width, height - start);
    full.draw(&mut second, &facts.pieces, Point::new(0.0, start));
    vec![page, second]
}

fn heading(page: &mut Drawing, facts: &Facts, width: f64) -> f64 {
    let title = font::shorten(&facts.order, 4.5, true, width);
    page.write(Text::new(&title, (0.0, 6.0), 4.5).bold());
    let line = format!(
        "{}, true scale · {} · {} in {} and {}",
        facts.what,
        facts.paper,
        counted(facts.pages, "page"),
        counted(facts.used.len(), "row"),
        counted(facts.grid.columns, "column")
    );
    page.write(Text::new(
        &font::shorten(&line, 2.4, false, width),
        (0.0, 12.5),
        2.4,
    ));
    page.rule((0.0, HEADING), (width, HEADING), Pen::PAGE);
    HEADING
}

/// Draws a square to hold a ruler to, with ticks along two sides.
fn square(page: &mut Drawing, corner: Point, side: f64, ticks: u32, name: &str, words: &str) {
    let frame = Rect::from_origin_size(corner, (side, side));
    page.line(Layer::Page, rectangle(frame), Pen::full(0.2));
    for i in 1..ticks {
        let along = side * f64::from(i) / f64::from(ticks);
        let (top, left) = (
            corner + Vec2::new(along, 0.0),
            corner + Vec2::new(0.0, along),
        );
        page.rule(top, top + Vec2::new(0.0, 3.0), Pen::full(0.15));
        page.rule(left, left + Vec2::new(3.0, 0.0), Pen::full(0.15));
    }
    let middle = frame.center();
    page.write(
        Text::new(name, middle + Vec2::new(0.0, 1.0), 7.0)
            .anchor(Anchor::Middle)
            .bold(),
    );
    let lines = [words, "Measure it both ways before you cut."];
    for (i, line) in lines.into_iter().enumerate() {
        let at = middle + Vec2::new(0.0, 9.0 + 4.5 * i as f64);
        page.write(Text::new(line, at, 2.4).anchor(Anchor::Middle));
    }
}

/// Writes how to print, join and begin.
fn instructions(page: &mut Drawing, join: &str, column: Rect) {
    let mind = format!("{TOILE} {SHARP} {STARTING_POINT}");
    let steps = [
        (
            "Print",
            "Print at 100 %, not \"fit to page\", single-sided. Measure both squares. If either is wrong, change the printer's settings and print again.",
        ),
        ("Join", join),
        (
            "Cut",
            "Heavy line: cut. Long dashes: seam. Short strokes in from the edge: notches. Cross with a ring: thread-mark. Dots and dashes: fold. Dots: a level. The arrow is the grain.",
        ),
        ("Mind", mind.as_str()),
    ];
    let mut base = column.y0 + 2.6;
    for (head, body) in steps {
        page.write(Text::new(head, (column.x0, base), 2.6).bold());
        base += 1.7 * BODY + 0.8;
        for line in font::wrap(body, BODY, false, column.width()) {
            page.write(Text::new(&line, (column.x0, base), BODY));
            base += STEP;
        }
        base += 1.6;
    }
}

/// The list of pieces as it is set. The words on a piece take several lines where one is too short.
struct Index {
    /// Its size as a share of its full size.
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
    /// Sets the list in columns, at a scale.
    fn new(pieces: &[Listed], width: f64, columns: usize, scale: f64) -> Self {
        let column = width / columns as f64;
        let lines: Vec<Vec<String>> = pieces
            .iter()
            .map(|piece| piece.lines(column.min(WIDEST) - 6.0, scale * BODY))
            .collect();
        let all: usize = lines.iter().map(Vec::len).sum();
        let longest = lines.iter().map(Vec::len).max().unwrap_or_default();
        // The fewest rows that suffice make the columns most even. One column could hold all lines.
        let mut rows = all.div_ceil(columns).max(longest);
        loop {
            let places = in_columns(&lines, rows);
            if places.iter().all(|(at, _)| *at < columns) {
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

    /// Sets the list in a width and, if possible, a height. It takes the most columns that leave every piece on
    /// one line, else the most columns that fit, in smaller letters if needed.
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
            page.write(pages);
            for (i, line) in lines.iter().enumerate() {
                let indent = if i > 0 { INDENT } else { 0.0 };
                page.write(Text::new(line, (x + indent, base(i)), height));
            }
        }
    }
}

impl Listed {
    /// Writes the words on a piece in lines no wider than `width` together with its pages: in one line, else
    /// the name and the other words in lines of their own.
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

/// Greatest width of a line of the list, in mm, so that the eye finds the pages that belong to a name.
const WIDEST: f64 = 84.0;
/// Indent of further lines, in mm.
const INDENT: f64 = 2.5;
/// Smallest scale of the list: its capitals are then 0.8 mm high, which can just be read.
const SMALLEST: f64 = 0.4;

/// Returns the column and row at which each piece begins. The lines of a piece stay in one column.
fn in_columns(lines: &[Vec<String>], rows: usize) -> Vec<(usize, usize)> {
    let (mut column, mut row) = (0, 0);
    let place = |own: &Vec<String>| {
        if row + own.len() > rows && row > 0 {
            (column, row) = (column + 1, 0);
        }
        let at = (column, row);
        row += own.len();
        at
    };
    lines.iter().map(place).collect()
}

/// Draws the map: the pages as they join, with their names, and the pieces on them.
fn map(page: &mut Drawing, facts: &Facts, room: Rect) {
    let grid = &facts.grid;
    let above = facts.used.len().saturating_sub(1);
    let whole = grid.size(above) + Size::new(0.0, facts.last);
    let scale = (room.width() / whole.width).min((room.height() - 5.0) / whole.height);
    if !scale.is_finite() || scale <= 0.0 {
        return;
    }
    page.write(Text::new("Map of the pages", (room.x0, room.y0 + 2.6), 2.6).bold());
    let to_map = Affine::translate((room.x0, room.y0 + 5.0)) * Affine::scale(scale);
    let outlines: Vec<BezPath> = facts.outlines.iter().map(|o| to_map * o).collect();
    for outline in &outlines {
        page.fill(Layer::Page, outline.clone(), 0.88);
        page.line(Layer::Page, outline.clone(), Pen::full(0.2));
    }
    for (outline, piece) in outlines.iter().zip(&facts.pieces) {
        super::marker::name_in(page, &piece.name, outline, 1.5);
    }
    for (column, row) in used_pages(&facts.used) {
        let tall = if row < above { grid.height } else { facts.last };
        let own = Rect::from_origin_size(grid.corner((column, row)), (grid.width, tall));
        let cell = to_map.transform_rect_bbox(own);
        page.line(Layer::Page, rectangle(cell), Pen::dashed(0.15, &[1.0, 0.6]));
        let height = (0.16 * cell.height().min(cell.width())).clamp(1.3, 2.4);
        let at = cell.origin() + Vec2::new(0.6, 1.4 * height);
        page.write(Text::new(&page_name(column, row), at, height).bold());
    }
}
