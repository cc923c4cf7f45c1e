//! Makes and draws the rows of a page: headings, words in columns, pictures, and lines to sign on.

use kurbo::{Affine, Point, Vec2};

use super::drawing::{Anchor, Drawing, Pen, Text};
use super::font;
use super::section::{Entry, Section, Table};

/// Height of the capitals of plain words, in mm.
const BODY: f64 = 2.05;
/// Distance from one line to the next, in mm.
const STEP: f64 = 3.75;
/// Height of the capitals of headings, in mm.
const HEADING: f64 = 2.5;
/// Width of the names beside values, as a share of the column.
const NAMES: f64 = 0.3;
/// Least width of the names beside values, in mm: longer words are rare among them.
const LEAST_NAMES: f64 = 25.0;
/// Height of the room for a line to sign on, in mm.
pub(super) const SIGNATURE: f64 = 20.0;

/// One row of a column.
pub(super) enum Row {
    Heading(String),
    /// A heading inside the section.
    Sub(String),
    /// Words, each with its place in the column, in mm, and the end of the words that stands there.
    Cells(Vec<(String, f64, Anchor)>),
    /// A drawing no wider than the column.
    Picture(Drawing),
    /// Open space above a line with words under it.
    Signature(String),
}

impl Row {
    /// Returns the height in mm.
    pub(super) fn height(&self) -> f64 {
        match self {
            Row::Heading(_) => STEP + 2.6,
            Row::Sub(_) => STEP + 0.8,
            Row::Cells(_) => STEP,
            Row::Picture(picture) => picture.height + 3.0,
            Row::Signature(_) => SIGNATURE,
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
                        cells.insert(0, ("•".to_owned(), 0.0, Anchor::Start));
                    }
                }
            }
            Entry::Named(pairs) => {
                let from = (NAMES * column).max(LEAST_NAMES).min(0.5 * column);
                for (name, value) in pairs {
                    rows.extend(named(name, value, from, column));
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
    let cells = |line| Row::Cells(vec![(line, from, Anchor::Start)]);
    lines.into_iter().map(cells).collect()
}

/// Sets a name at the left and its value beside it, each in as many lines as it needs.
fn named(name: &str, value: &str, from: f64, column: f64) -> Vec<Row> {
    let mut rows = lines(value, from, column);
    for (i, line) in font::wrap(name, BODY, false, from - 1.5)
        .into_iter()
        .enumerate()
    {
        let cell = (line, 0.0, Anchor::Start);
        match rows.get_mut(i) {
            Some(Row::Cells(cells)) => cells.insert(0, cell),
            _ => rows.push(Row::Cells(vec![cell])),
        }
    }
    rows
}

fn table_rows(table: &Table, column: f64, rows: &mut Vec<Row>) {
    if let Some(heading) = &table.heading {
        rows.push(Row::Sub(heading.clone()));
    }
    let ends = || table.columns.iter().map(|(_, end)| end * column);
    if table.columns.iter().any(|(head, _)| !head.is_empty()) {
        let heads = table.columns.iter().map(|(head, _)| (*head).to_owned());
        rows.push(Row::Cells(
            heads
                .zip(ends())
                .map(|(head, end)| (head, end, Anchor::End))
                .collect(),
        ));
    }
    for (name, values) in &table.rows {
        let cells = values.iter().map(|value| font::clean(value)).zip(ends());
        let mut cells: Vec<_> = cells
            .filter(|(value, _)| !value.is_empty())
            .map(|(value, end)| (value, end, Anchor::End))
            .collect();
        let room = cells
            .iter()
            .map(|(value, end, _)| end - font::length(value, BODY, false))
            .fold(column, f64::min);
        let name = font::shorten(name, BODY, false, room - 1.5);
        cells.insert(0, (name, 0.0, Anchor::Start));
        rows.push(Row::Cells(cells));
    }
}

/// Draws a row in its column.
pub(super) fn draw(page: &mut Drawing, row: &Row, at: Point, column: f64) {
    let base = at + Vec2::new(0.0, STEP - 0.9);
    match row {
        Row::Heading(words) => {
            page.write(Text::new(words, base, HEADING).bold());
            let y = base.y + 1.5;
            page.rule((at.x, y), (at.x + column, y), Pen::full(0.12));
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
            for (words, offset, anchor) in cells {
                let text = Text::new(words, base + Vec2::new(*offset, 0.0), BODY);
                page.write(text.anchor(*anchor));
            }
        }
        Row::Signature(words) => {
            let y = at.y + SIGNATURE - 6.0;
            page.rule((at.x, y), (at.x + column, y), Pen::PAGE);
            let words = font::shorten(words, 1.8, false, column);
            page.write(Text::new(&words, (at.x, y + 3.4), 1.8));
        }
    }
}
