//! Words set in columns on pages of A4, one after another.

use kurbo::{Affine, Point, Vec2};

use super::drawing::{Anchor, Drawing, Layer, Pen, Text, segment};
use super::font;

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

/// Width of a column, in mm.
pub const COLUMN: f64 = (PAGE.0 - 2.0 * MARGIN - (COLUMNS as f64 - 1.0) * BETWEEN) / COLUMNS as f64;

/// A section: a heading and its rows, kept together at their beginning.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Section {
    rows: Vec<Row>,
}

/// One line of a section.
#[derive(Debug, Clone, PartialEq)]
enum Row {
    Heading(String),
    /// Cells with the place of each in the column, in mm; those after the first may be set to the
    /// right of their place.
    Cells(Vec<(String, f64, Anchor)>),
    Line(String),
    /// A heading inside the section.
    Sub(String),
    /// A drawing no wider than the column.
    Picture(Drawing),
    /// Open space in mm, and a rule with words under it to write on.
    Signature(String),
}

impl Row {
    fn height(&self) -> f64 {
        match self {
            Row::Heading(_) => STEP + 2.6,
            Row::Cells(_) | Row::Line(_) => STEP,
            Row::Sub(_) => STEP + 0.8,
            Row::Picture(picture) => picture.height + 3.0,
            Row::Signature(_) => 16.0,
        }
    }
}

impl Section {
    /// A section that so far has only its heading.
    pub fn new(heading: &str) -> Self {
        Section {
            rows: vec![Row::Heading(font::clean(heading))],
        }
    }

    /// Adds a sentence or more, broken into lines.
    pub fn words(&mut self, words: &str) {
        let lines = font::wrap(&font::clean(words), BODY, false, COLUMN);
        self.rows.extend(lines.into_iter().map(Row::Line));
    }

    /// Adds a heading inside the section.
    pub fn sub(&mut self, heading: &str) {
        self.rows.push(Row::Sub(font::clean(heading)));
    }

    /// Adds a picture no wider than [`COLUMN`].
    pub fn picture(&mut self, picture: Drawing) {
        self.rows.push(Row::Picture(picture));
    }

    /// Adds a name at the left and what it is after it, broken into lines under itself.
    pub fn named(&mut self, name: &str, value: &str) {
        let indent = 0.38 * COLUMN;
        let name = font::shorten(&font::clean(name), BODY, false, indent - 2.0);
        let mut lines = font::wrap(&font::clean(value), BODY, false, COLUMN - indent).into_iter();
        let first = lines.next().unwrap_or_default();
        self.rows.push(Row::Cells(vec![
            (name, 0.0, Anchor::Start),
            (first, indent, Anchor::Start),
        ]));
        let more = lines.map(|line| Row::Cells(vec![(line, indent, Anchor::Start)]));
        self.rows.extend(more);
    }

    /// Adds a row of a table: a name, cut short where it must be, and values that end at the given
    /// places of the column, in mm.
    pub fn row<const N: usize>(&mut self, name: &str, values: [(&str, f64); N]) {
        let widest = values
            .iter()
            .map(|(value, end)| end - font::length(value, BODY, false))
            .fold(COLUMN, f64::min);
        let name = font::shorten(&font::clean(name), BODY, false, widest - 2.0);
        let mut cells = vec![(name, 0.0, Anchor::Start)];
        cells.extend(values.map(|(value, end)| (font::clean(value), end, Anchor::End)));
        self.rows.push(Row::Cells(cells));
    }

    /// Whether it has nothing but its heading.
    pub fn is_empty(&self) -> bool {
        self.rows.len() < 2
    }

    /// Adds a line to sign on, with what is signed under it.
    pub fn signature(&mut self, words: &str) {
        self.rows.push(Row::Signature(font::clean(words)));
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
        for (i, row) in section.rows.iter().enumerate() {
            // A heading keeps two rows with it.
            let together: f64 = section
                .rows
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
        Row::Line(words) => page.text(Layer::Page, Text::new(words, base, BODY)),
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
        for i in 0..300 {
            section.row(&format!("row {i}"), [("1", 50.0), ("2", COLUMN)]);
        }
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
