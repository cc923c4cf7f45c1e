//! Writes the instructions on pages, in columns.

use super::instructions::{Instruction, lines};
use super::page::{BODY, FOOT, MARGIN, PAGE, STEP, TOP};
use crate::draft::Construction;
use crate::sheets::drawing::{Drawing, Text};
use crate::sheets::font;
use crate::units::Unit;
use kurbo::{Point, Vec2};

const COLUMNS: usize = 3;
const GUTTER: f64 = 7.0;
/// Indent of further lines of an instruction, in mm.
pub(super) const INDENT: f64 = 4.0;

/// Writes the pages of instructions.
pub(super) fn pages(construction: &Construction, unit: Unit) -> Vec<Drawing> {
    let width = (PAGE.0 - 2.0 * MARGIN - GUTTER * (COLUMNS - 1) as f64) / COLUMNS as f64;
    let mut rows: Vec<SetLine> = Vec::new();
    for line in lines(construction, unit) {
        match line {
            Instruction::Heading(words) => rows.push(SetLine::Heading(words)),
            Instruction::Step(words) => rows.extend(wrapped(&words, width)),
            Instruction::Check(words) => {
                rows.extend(wrapped(&words, width));
                rows.push(SetLine::Space);
            }
        }
    }
    let deep = ((PAGE.1 - TOP - FOOT + 8.0) / STEP) as usize;
    let mut pages: Vec<Drawing> = Vec::new();
    let (mut column, mut row) = (COLUMNS, 0);
    for next in rows {
        // A heading is kept together with two of its lines.
        let needs = if matches!(next, SetLine::Heading(_)) {
            4
        } else {
            1
        };
        if row + needs > deep || column == COLUMNS {
            (column, row) = (column + 1, 0);
            if column >= COLUMNS {
                pages.push(page_of_words(unit));
                column = 0;
            }
        }
        let Some(page) = pages.last_mut() else {
            continue;
        };
        let x = MARGIN + column as f64 * (width + GUTTER);
        let base = Point::new(x, TOP + 4.0 + row as f64 * STEP);
        match next {
            SetLine::Heading(words) => {
                let base = base + Vec2::new(0.0, 1.5);
                page.write(Text::new(&words, base, 2.5).bold());
                row += 2;
            }
            SetLine::Words(words, indent) => {
                let base = base + Vec2::new(indent, 0.0);
                page.write(Text::new(&words, base, BODY));
                row += 1;
            }
            SetLine::Space if row > 0 => row += 1,
            SetLine::Space => {}
        }
    }
    pages
}

/// One line of a column.
enum SetLine {
    Heading(String),
    Words(String, f64),
    Space,
}

/// Breaks an instruction into lines. All but the first are indented.
fn wrapped(words: &str, width: f64) -> Vec<SetLine> {
    let lines = font::wrap(words, BODY, false, width - INDENT);
    let rows = lines.into_iter().enumerate();
    rows.map(|(i, line)| SetLine::Words(line, if i == 0 { 0.0 } else { INDENT }))
        .collect()
}

fn page_of_words(unit: Unit) -> Drawing {
    let mut page = Drawing::new("Instructions", PAGE.0, PAGE.1);
    let words = format!(
        "Instructions, lengths in {}. Directions: 0° forward (from the centre back to the front), 90° down, \
         180° back, 270° up; to the right is clockwise.",
        unit.spoken()
    );
    page.write(Text::new(&words, (MARGIN, 26.0), 2.2));
    page
}
