//! The lines of which pages are set: a heading, words in columns, a picture, a place to sign.

use kurbo::{Affine, Point, Vec2};

use super::drawing::{Anchor, Drawing, Layer, Pen, Text, segment};
use super::font;
use super::section::{Entry, Section, Table};

/// Heights of capitals, in mm, and the step from line to line.
const BODY: f64 = 2.05;
const STEP: f64 = 3.75;
const HEADING: f64 = 2.5;
/// Where what is named begins: a fraction of the column, and no less than so many mm.
const NAMES: f64 = 0.3;
const LEAST_NAMES: f64 = 25.0;
/// Room for a line to sign on, in mm.
pub(super) const SIGNATURE: f64 = 20.0;

/// One line as it is set.
pub(super) enum Row {
    Heading(String),
    /// A heading inside the section.
    Sub(String),
    /// Words with the place of each in the column, in mm, and which end of them stands there.
    Cells(Vec<(String, f64, Anchor)>),
    /// A drawing no wider than the column.
    Picture(Drawing),
    /// Open space, and a rule with words under it.
    Signature(String),
}

impl Row {
    /// In mm.
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

/// The rows of a section in a column of that width.
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

/// Words broken into lines that begin so far from the left of the column; one line if there are none.
fn lines(words: &str, from: f64, column: f64) -> Vec<Row> {
    let mut lines = font::wrap(&font::clean(words), BODY, false, column - from);
    if lines.is_empty() {
        lines.push(String::new());
    }
    let cells = |line| Row::Cells(vec![(line, from, Anchor::Start)]);
    lines.into_iter().map(cells).collect()
}

/// A name on the left and what it names beside it, each in as many lines as it takes.
fn named(name: &str, value: &str, from: f64, column: f64) -> Vec<Row> {
    let mut rows = lines(value, from, column);
    for (i, line) in font::wrap(&font::clean(name), BODY, false, from - 1.5)
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
        let name = font::shorten(&font::clean(name), BODY, false, room - 1.5);
        cells.insert(0, (name, 0.0, Anchor::Start));
        rows.push(Row::Cells(cells));
    }
}

/// Draws a row in its column.
pub(super) fn draw(page: &mut Drawing, row: &Row, at: Point, column: f64) {
    let base = at + Vec2::new(0.0, STEP - 0.9);
    match row {
        Row::Heading(words) => {
            page.text(Layer::Page, Text::new(words, base, HEADING).bold());
            let y = base.y + 1.5;
            page.line(
                Layer::Page,
                segment((at.x, y), (at.x + column, y)),
                Pen::full(0.12),
            );
        }
        Row::Sub(words) => {
            let base = base + Vec2::new(0.0, 0.8);
            let words = font::shorten(&font::clean(words), BODY, true, column);
            page.text(Layer::Page, Text::new(&words, base, BODY).bold());
        }
        Row::Picture(picture) => {
            page.items
                .extend(picture.placed(Affine::translate(at.to_vec2() + Vec2::new(0.0, 2.0))));
        }
        Row::Cells(cells) => {
            for (words, offset, anchor) in cells {
                let text = Text::new(words, base + Vec2::new(*offset, 0.0), BODY);
                page.text(Layer::Page, text.anchor(*anchor));
            }
        }
        Row::Signature(words) => {
            let y = at.y + SIGNATURE - 6.0;
            page.line(
                Layer::Page,
                segment((at.x, y), (at.x + column, y)),
                Pen::PAGE,
            );
            let words = font::shorten(&font::clean(words), 1.8, false, column);
            page.text(Layer::Page, Text::new(&words, (at.x, y + 3.4), 1.8));
        }
    }
}
