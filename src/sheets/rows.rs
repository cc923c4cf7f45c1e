//! Makes and draws the rows of a page: headings, words in columns, pictures, and lines to sign on.

use kurbo::{Affine, Point, Vec2};

use super::drawing::{Anchor, Drawing, Pen, Text};
use super::font;
use super::section::{Amount, Entry, Section, Table};

/// Height of the capitals of plain words, in mm: type of 9 pt, which is read across a table.
const BODY: f64 = 2.3;
/// Distance from one line to the next, in mm.
const STEP: f64 = 4.05;
/// Height of the capitals of what is added in smaller letters, and the distance of its lines, in mm.
const NOTE: f64 = 1.8;
const NOTE_STEP: f64 = 3.15;
/// Height of the capitals of headings, in mm.
const HEADING: f64 = 2.8;
/// Width of the names beside values, as a share of the column.
const NAMES: f64 = 0.32;
/// Least width of the names beside values, in mm: longer words are rare among them.
const LEAST_NAMES: f64 = 25.0;
/// Height of the room for a line to sign on, in mm.
pub(super) const SIGNATURE: f64 = 16.0;

/// One row of a column.
pub(super) enum Row {
    Heading(String),
    /// A heading inside the section.
    Sub(String),
    /// Words side by side.
    Cells(Vec<Cell>),
    /// A line of what is added in smaller letters.
    Note(String),
    /// A little open space.
    Space,
    /// A drawing no wider than the column.
    Picture(Drawing),
    /// Open space above a line with words under it.
    Signature(String),
}

/// Words in a row.
pub(super) struct Cell {
    words: String,
    /// Their place in the column, in mm, and the end of the words that stands there.
    at: f64,
    anchor: Anchor,
    bold: bool,
}

impl Cell {
    /// Makes words that begin at a place.
    fn new(words: impl Into<String>, at: f64) -> Self {
        Self {
            words: words.into(),
            at,
            anchor: Anchor::Start,
            bold: false,
        }
    }

    /// Makes words that end at a place.
    fn ending(words: impl Into<String>, at: f64) -> Self {
        Self {
            anchor: Anchor::End,
            ..Self::new(words, at)
        }
    }

    fn bold(self) -> Self {
        Self { bold: true, ..self }
    }
}

impl Row {
    /// Returns the height in mm.
    pub(super) fn height(&self) -> f64 {
        match self {
            Self::Heading(_) => STEP + 3.0,
            Self::Sub(_) => STEP + 0.8,
            Self::Cells(_) => STEP,
            Self::Note(_) => NOTE_STEP,
            Self::Space => 0.6,
            Self::Picture(picture) => picture.height + 3.0,
            Self::Signature(_) => SIGNATURE,
        }
    }
}

/// Makes the rows of a section in a column of a width in mm.
pub(super) fn of(section: &Section, column: f64) -> Vec<Row> {
    let mut rows = vec![Row::Heading(section.heading.clone())];
    for entry in &section.entries {
        match entry {
            Entry::Words(words) => rows.extend(lines(words, 0.0, column)),
            Entry::List(items) => {
                for item in items {
                    let at = rows.len();
                    rows.extend(lines(item, 2.6, column));
                    if let Some(Row::Cells(cells)) = rows.get_mut(at) {
                        cells.insert(0, Cell::new("•", 0.0));
                    }
                    rows.push(Row::Space);
                }
            }
            Entry::Named(pairs) => {
                let from = (NAMES * column).max(LEAST_NAMES).min(0.5 * column);
                for (name, value) in pairs {
                    rows.extend(named(name, value, from, column));
                }
            }
            Entry::Amounts(amounts) => {
                for amount in amounts {
                    amount_rows(amount, column, &mut rows);
                }
            }
            Entry::Table(table) => table_rows(table, column, &mut rows),
            Entry::Picture(picture, _) => rows.push(Row::Picture(picture.clone())),
            Entry::Signature(words) => rows.push(Row::Signature(words.clone())),
        }
    }
    rows
}

/// Breaks words into lines that begin `from` mm from the left of the column. No words give one empty line.
fn lines(words: &str, from: f64, column: f64) -> Vec<Row> {
    let mut lines = font::wrap(words, BODY, false, column - from);
    if lines.is_empty() {
        lines.push(String::new());
    }
    let cells = |line| Row::Cells(vec![Cell::new(line, from)]);
    lines.into_iter().map(cells).collect()
}

/// Sets a name at the left and its value beside it, each in as many lines as it needs.
fn named(name: &str, value: &str, from: f64, column: f64) -> Vec<Row> {
    let mut rows = lines(value, from, column);
    let names = font::wrap(name, BODY, true, from - 1.5);
    for (i, line) in names.into_iter().enumerate() {
        let cell = Cell::new(line, 0.0).bold();
        match rows.get_mut(i) {
            Some(Row::Cells(cells)) => cells.insert(0, cell),
            _ => rows.push(Row::Cells(vec![cell])),
        }
    }
    rows.push(Row::Space);
    rows
}

/// Sets a thing at the left, how much of it at the right, and what it is for below.
fn amount_rows(amount: &Amount, column: f64, rows: &mut Vec<Row>) {
    let much = font::shorten(&amount.amount, BODY, false, 0.75 * column);
    let room = column - font::length(&much, BODY, false) - 2.0;
    let names = font::wrap(&amount.name, BODY, true, room);
    for (i, line) in names.into_iter().enumerate() {
        let mut cells = vec![Cell::new(line, 0.0).bold()];
        if i == 0 {
            cells.push(Cell::ending(much.clone(), column));
        }
        rows.push(Row::Cells(cells));
    }
    let notes = font::wrap(&amount.note, NOTE, false, column);
    rows.extend(notes.into_iter().map(Row::Note));
    rows.push(Row::Space);
}

fn table_rows(table: &Table, column: f64, rows: &mut Vec<Row>) {
    if let Some(heading) = &table.heading {
        rows.push(Row::Sub(heading.clone()));
    }
    let ends = || table.columns.iter().map(|(_, end)| end * column);
    if table.columns.iter().any(|(head, _)| !head.is_empty()) {
        let heads = table.columns.iter().zip(ends());
        let heads = heads.map(|((head, _), end)| Cell::ending(*head, end));
        rows.push(Row::Cells(heads.collect()));
    }
    for (name, values) in &table.rows {
        let cells = values.iter().map(|value| font::clean(value)).zip(ends());
        let mut cells: Vec<Cell> = cells
            .filter(|(value, _)| !value.is_empty())
            .map(|(value, end)| Cell::ending(value, end))
            .collect();
        let room = cells
            .iter()
            .map(|cell| cell.at - font::length(&cell.words, BODY, false))
            .fold(column, f64::min);
        let mut names = font::wrap(name, BODY, false, room - 1.5).into_iter();
        cells.insert(0, Cell::new(names.next().unwrap_or_default(), 0.0));
        rows.push(Row::Cells(cells));
        rows.extend(names.map(|line| Row::Cells(vec![Cell::new(line, 0.0)])));
    }
}

/// Draws a row in its column.
pub(super) fn draw(page: &mut Drawing, row: &Row, at: Point, column: f64) {
    let base = at + Vec2::new(0.0, STEP - 0.9);
    match row {
        Row::Heading(words) => {
            page.write(Text::new(words, base, HEADING).bold());
            let y = base.y + 1.6;
            page.rule((at.x, y), (at.x + column, y), Pen::full(0.4));
        }
        Row::Sub(words) => {
            let base = base + Vec2::new(0.0, 0.8);
            let words = font::shorten(words, BODY, true, column);
            page.write(Text::new(&words, base, BODY).bold());
        }
        Row::Picture(picture) => {
            page.items
                .extend(picture.placed(Affine::translate(at.to_vec2() + Vec2::new(0.0, 2.0))));
        }
        Row::Cells(cells) => {
            for cell in cells {
                let text = Text::new(&cell.words, base + Vec2::new(cell.at, 0.0), BODY);
                let text = text.anchor(cell.anchor);
                page.write(if cell.bold { text.bold() } else { text });
            }
        }
        Row::Note(words) => {
            let foot = at + Vec2::new(0.0, NOTE_STEP - 0.8);
            page.write(Text::new(words, foot, NOTE));
        }
        Row::Space => {}
        Row::Signature(words) => {
            let y = at.y + SIGNATURE - 6.0;
            page.rule((at.x, y), (at.x + column, y), Pen::PAGE);
            let words = font::shorten(words, 1.8, false, column);
            page.write(Text::new(&words, (at.x, y + 3.4), 1.8));
        }
    }
}
