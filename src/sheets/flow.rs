//! Words set in columns on pages of A4, one after another.

use kurbo::{Affine, Point, Vec2};

use super::drawing::{Anchor, Drawing, Layer, Pen, Text, segment};
use super::font;
use super::section::{Entry, Section, Table};

/// Width and height of a page, in mm.
pub const PAGE: (f64, f64) = (210.0, 297.0);
/// White round the page, between columns, and kept for the foot, in mm.
const MARGIN: f64 = 14.0;
const BETWEEN: f64 = 9.0;
const FOOT: f64 = 8.0;
/// Columns on a page.
const COLUMNS: usize = 2;
/// Heights of capitals, in mm, and the step from line to line.
const BODY: f64 = 2.1;
const STEP: f64 = 3.9;
const HEADING: f64 = 2.6;
/// Where what is named begins, as a fraction of the column.
const NAMES: f64 = 0.38;

/// Width of a column, in mm.
pub const COLUMN: f64 = (PAGE.0 - 2.0 * MARGIN - (COLUMNS as f64 - 1.0) * BETWEEN) / COLUMNS as f64;

/// One line as it is set.
enum Row {
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
    fn height(&self) -> f64 {
        match self {
            Row::Heading(_) => STEP + 2.6,
            Row::Sub(_) => STEP + 0.8,
            Row::Cells(_) => STEP,
            Row::Picture(picture) => picture.height + 3.0,
            Row::Signature(_) => 16.0,
        }
    }
}

/// The rows of a section.
fn rows(section: &Section) -> Vec<Row> {
    let mut rows = vec![Row::Heading(section.heading.clone())];
    for entry in &section.entries {
        match entry {
            Entry::Words(words) => rows.extend(lines(words, 0.0)),
            Entry::List(items) => {
                for item in items {
                    let at = rows.len();
                    rows.extend(lines(item, 0.03));
                    if let Some(Row::Cells(cells)) = rows.get_mut(at) {
                        cells.push(("•".to_owned(), 0.0, Anchor::Start));
                    }
                }
            }
            Entry::Named(pairs) => {
                for (name, value) in pairs {
                    let at = rows.len();
                    rows.extend(lines(value, NAMES));
                    let name = font::shorten(name, BODY, false, NAMES * COLUMN - 2.0);
                    if let Some(Row::Cells(cells)) = rows.get_mut(at) {
                        cells.push((name, 0.0, Anchor::Start));
                    }
                }
            }
            Entry::Table(table) => table_rows(table, &mut rows),
            Entry::Picture(picture, _) => rows.push(Row::Picture(picture.clone())),
            Entry::Signature(words) => rows.push(Row::Signature(words.clone())),
        }
    }
    rows
}

/// Words broken into lines that begin at a fraction of the column; one line if there are none.
fn lines(words: &str, from: f64) -> Vec<Row> {
    let mut lines = font::wrap(words, BODY, false, (1.0 - from) * COLUMN);
    if lines.is_empty() {
        lines.push(String::new());
    }
    let cells = |line| Row::Cells(vec![(line, from * COLUMN, Anchor::Start)]);
    lines.into_iter().map(cells).collect()
}

fn table_rows(table: &Table, rows: &mut Vec<Row>) {
    if let Some(heading) = &table.heading {
        rows.push(Row::Sub(heading.clone()));
    }
    let ends = || table.columns.iter().map(|(_, end)| end * COLUMN);
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
        let cells = values.iter().cloned().zip(ends());
        let mut cells: Vec<_> = cells
            .map(|(value, end)| (value, end, Anchor::End))
            .collect();
        let room = cells
            .iter()
            .map(|(value, end, _)| end - font::length(value, BODY, false))
            .fold(COLUMN, f64::min);
        cells.push((
            font::shorten(name, BODY, false, room - 2.0),
            0.0,
            Anchor::Start,
        ));
        rows.push(Row::Cells(cells));
    }
}

/// Sets sections one after another, down columns and over pages, under a title that stands on the
/// first page; every page bears a foot with its number.
pub fn set(title: &str, under_title: &[String], foot: &str, sections: &[Section]) -> Vec<Drawing> {
    let mut pages = vec![Drawing::new(title, PAGE.0, PAGE.1)];
    let mut top = MARGIN;
    if let Some(page) = pages.first_mut() {
        top = set_title(page, title, under_title);
    }
    let bottom = PAGE.1 - MARGIN - FOOT;
    let (mut column, mut y) = (0, top);
    for section in sections {
        if y > top {
            y += 2.5;
        }
        let rows = rows(section);
        for (i, row) in rows.iter().enumerate() {
            // A heading keeps two rows with it.
            let together: f64 = rows
                .iter()
                .skip(i)
                .take(if i == 0 { 3 } else { 1 })
                .map(Row::height)
                .sum();
            if y + together > bottom {
                column += 1;
                if column == COLUMNS {
                    pages.push(Drawing::new(title, PAGE.0, PAGE.1));
                    (column, top) = (0, MARGIN);
                }
                y = top;
            }
            let x = MARGIN + column as f64 * (COLUMN + BETWEEN);
            if let Some(page) = pages.last_mut() {
                set_row(page, row, Point::new(x, y));
            }
            y += row.height();
        }
    }
    let count = pages.len();
    for (i, page) in pages.iter_mut().enumerate() {
        set_foot(page, &format!("{foot} · page {} of {count}", i + 1));
    }
    pages
}

fn set_title(page: &mut Drawing, title: &str, under_title: &[String]) -> f64 {
    let width = PAGE.0 - 2.0 * MARGIN;
    let mut base = MARGIN + 5.0;
    let title = font::shorten(&font::clean(title), 5.0, true, width);
    page.text(Layer::Page, Text::new(&title, (MARGIN, base), 5.0).bold());
    base += 2.0;
    for line in under_title {
        base += 4.6;
        let line = font::shorten(&font::clean(line), 2.4, false, width);
        page.text(Layer::Page, Text::new(&line, (MARGIN, base), 2.4));
    }
    base += 3.0;
    page.line(
        Layer::Page,
        segment((MARGIN, base), (PAGE.0 - MARGIN, base)),
        Pen::PAGE,
    );
    base + 3.0
}

fn set_row(page: &mut Drawing, row: &Row, at: Point) {
    let base = at + Vec2::new(0.0, STEP - 0.9);
    match row {
        Row::Heading(words) => {
            page.text(Layer::Page, Text::new(words, base, HEADING).bold());
            let y = base.y + 1.5;
            page.line(
                Layer::Page,
                segment((at.x, y), (at.x + COLUMN, y)),
                Pen::full(0.12),
            );
        }
        Row::Sub(words) => {
            let base = base + Vec2::new(0.0, 0.8);
            page.text(Layer::Page, Text::new(words, base, BODY).bold());
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
            let y = at.y + 11.0;
            page.line(
                Layer::Page,
                segment((at.x, y), (at.x + COLUMN, y)),
                Pen::PAGE,
            );
            page.text(Layer::Page, Text::new(words, (at.x, y + 3.4), 1.8));
        }
    }
}

fn set_foot(page: &mut Drawing, words: &str) {
    let y = PAGE.1 - MARGIN;
    page.line(
        Layer::Page,
        segment((MARGIN, y - 4.0), (PAGE.0 - MARGIN, y - 4.0)),
        Pen::full(0.12),
    );
    let words = font::shorten(&font::clean(words), 1.8, false, PAGE.0 - 2.0 * MARGIN);
    page.text(Layer::Page, Text::new(&words, (MARGIN, y), 1.8));
}

#[cfg(test)]
mod tests {
    use super::super::drawing::Ink;
    use super::*;

    #[test]
    fn sections_run_over_columns_and_pages_and_lose_nothing() {
        let mut section = Section::new("Rows");
        let mut table = Table::new(&[("one", 0.6), ("two", 1.0)]);
        for i in 0..300 {
            table.row(&format!("row {i}"), ["1", "2"]);
        }
        section.table(table);
        let pages = set("Title", &[], "foot", &[section]);
        let words: Vec<&str> = pages
            .iter()
            .flat_map(|page| &page.items)
            .filter_map(|item| {
                if let Ink::Text(text) = &item.ink {
                    Some(text.words.as_str())
                } else {
                    None
                }
            })
            .collect();
        for i in 0..300 {
            assert!(words.contains(&format!("row {i}").as_str()), "row {i}");
        }
        assert_eq!(pages.len(), 3);
        for item in pages.iter().flat_map(|page| &page.items) {
            let bounds = item.ink.bounds();
            assert!(
                bounds.x0 > 5.0 && bounds.x1 < PAGE.0 - 5.0 && bounds.y1 < PAGE.1 - 5.0,
                "{item:?}"
            );
        }
    }
}
