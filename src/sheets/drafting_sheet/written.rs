//! The pages on which the construction is written out, in columns.

use super::instructions::{Line as Instruction, lines};
use super::page::{BODY, FOOT, MARGIN, PAGE, STEP, TOP};
use crate::draft::Construction;
use crate::sheets::drawing::{Drawing, Layer, Text};
use crate::sheets::font;
use kurbo::{Point, Vec2};

const COLUMNS: usize = 3;
const GUTTER: f64 = 7.0;

/// The pages of instructions.
pub(super) fn pages(construction: &Construction) -> Vec<Drawing> {
    let width = (PAGE.0 - 2.0 * MARGIN - GUTTER * (COLUMNS - 1) as f64) / COLUMNS as f64;
    let mut rows: Vec<Row> = Vec::new();
    for line in lines(construction) {
        match line {
            Instruction::Heading(words) => rows.push(Row::Heading(words)),
            Instruction::Step(words) => rows.extend(wrapped(&words, width)),
            Instruction::Check(words) => {
                rows.extend(wrapped(&words, width));
                rows.push(Row::Space);
            }
        }
    }
    let deep = ((PAGE.1 - TOP - FOOT + 8.0) / STEP) as usize;
    let mut pages: Vec<Drawing> = Vec::new();
    let (mut column, mut row) = (COLUMNS, 0);
    for next in rows {
        // A heading stands before two of its lines at least.
        let needs = if matches!(next, Row::Heading(_)) {
            4
        } else {
            1
        };
        if row + needs > deep || column == COLUMNS {
            (column, row) = (column + 1, 0);
            if column >= COLUMNS {
                pages.push(page_of_words());
                column = 0;
            }
        }
        let Some(page) = pages.last_mut() else {
            continue;
        };
        let x = MARGIN + column as f64 * (width + GUTTER);
        let base = Point::new(x, TOP + 4.0 + row as f64 * STEP);
        match next {
            Row::Heading(words) => {
                let base = base + Vec2::new(0.0, 1.5);
                page.text(Layer::Page, Text::new(&words, base, 2.5).bold());
                row += 2;
            }
            Row::Words(words, indent) => {
                let base = base + Vec2::new(indent, 0.0);
                page.text(Layer::Page, Text::new(&words, base, BODY));
                row += 1;
            }
            Row::Space if row > 0 => row += 1,
            Row::Space => {}
        }
    }
    pages
}

/// A line of a page.
pub(super) enum Row {
    Heading(String),
    Words(String, f64),
    Space,
}

/// Lines of an instruction; all but the first stand in a little.
pub(super) fn wrapped(words: &str, width: f64) -> Vec<Row> {
    let indent = 4.0;
    let lines = font::wrap(&font::clean(words), BODY, false, width - indent);
    let rows = lines.into_iter().enumerate();
    rows.map(|(i, line)| Row::Words(line, if i == 0 { 0.0 } else { indent }))
        .collect()
}

fn page_of_words() -> Drawing {
    let mut page = Drawing::new("Instructions", PAGE.0, PAGE.1);
    let words = "Instructions, lengths in cm. Directions: 0° forward (from the centre back to the front), 90° down, \
                 180° back, 270° up; to the right is clockwise.";
    page.text(Layer::Page, Text::new(words, (MARGIN, 26.0), 2.2));
    page
}
