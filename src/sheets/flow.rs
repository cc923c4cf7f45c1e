//! Sets words and pictures on pages of A4, in columns, one spread of sections after another.

use std::ops::Range;

use kurbo::{Affine, Point, Rect, Vec2};

use super::drawing::{Anchor, Drawing, Layer, Pen, Text, rectangle, segment};
use super::font;
use super::rows::{self, Row, SIGNATURE};
use super::section::Section;

/// Width and height of a page, in mm.
pub const PAGE: (f64, f64) = (210.0, 297.0);
/// White round the page, in mm.
const MARGIN: f64 = 12.0;
/// Space between columns, in mm.
const BETWEEN: f64 = 6.0;
/// Height kept free for the foot, in mm.
const FOOT: f64 = 8.0;
/// Height of the band with a spread's heading, in mm.
const BAND: f64 = 7.0;
/// Width between the margins, in mm.
const WIDTH: f64 = PAGE.0 - 2.0 * MARGIN;
/// Greatest height of a section that is never broken over columns, in mm: a fifth of a page.
const WHOLE: f64 = 60.0;
/// Step by which the columns of a page are shortened until they are even, in mm.
const EVEN: f64 = 2.5;

/// The head of the first page.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Head {
    /// The kind of pages: `Job ticket`.
    pub kind: String,
    /// The title, at the left.
    pub title: String,
    /// The reference, at the right of the title.
    pub reference: String,
    /// Further lines: the words at the left, and those at the right.
    pub lines: Vec<(String, String)>,
}

/// Sections that begin on a new page.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// Words in the band at the head of the first page; none draw no band.
    pub heading: String,
    /// Pictures side by side across the top of the first page.
    pub pictures: Vec<Drawing>,
    /// Greatest height of the pictures, in mm.
    pub tall: f64,
    /// Number of columns.
    pub columns: usize,
    /// The sections that stand in the columns.
    pub sections: Vec<Section>,
    /// Lines to sign on, side by side at the foot of the last page.
    pub signatures: Vec<String>,
}

/// Returns the width of one of `columns` columns, in mm.
pub fn column_width(columns: usize) -> f64 {
    let columns = columns.max(1) as f64;
    (WIDTH - (columns - 1.0) * BETWEEN) / columns
}

/// Sets spreads one after another. Each begins at the top of a page and runs down columns and over pages. The
/// head stands on the first page, and every page has a foot with its number.
pub fn set(head: &Head, spreads: &[Spread]) -> Vec<Drawing> {
    let title = font::clean(&format!(
        "{} · {} · {}",
        head.kind, head.reference, head.title
    ));
    let mut pages: Vec<Drawing> = Vec::new();
    for spread in spreads {
        set_spread(&mut pages, head, &title, spread);
    }
    let count = pages.len();
    for (i, page) in pages.iter_mut().enumerate() {
        set_foot(page, &title, &format!("page {} of {count}", i + 1));
    }
    pages
}

/// Counts the pages that a spread takes under a head, or without one if it has no title.
pub fn pages(head: &Head, spread: &Spread) -> usize {
    let mut pages = Vec::new();
    if head.title.is_empty() {
        pages.push(Drawing::new("", PAGE.0, PAGE.1));
    }
    let before = pages.len();
    set_spread(&mut pages, head, "", spread);
    pages.len() - before
}

fn set_spread(pages: &mut Vec<Drawing>, head: &Head, title: &str, spread: &Spread) {
    let mut first = Drawing::new(title, PAGE.0, PAGE.1);
    let top = if pages.is_empty() {
        set_head(&mut first, head)
    } else {
        MARGIN
    };
    let top = set_band(&mut first, &spread.heading, top);
    let top = set_pictures(&mut first, spread, top);
    pages.push(first);
    let column = column_width(spread.columns);
    let sections: Vec<Vec<Row>> = spread
        .sections
        .iter()
        .map(|s| rows::of(s, column))
        .collect();
    let signed = if spread.signatures.is_empty() {
        0.0
    } else {
        SIGNATURE
    };
    let lowest = PAGE.1 - MARGIN - FOOT - signed;
    let fits = |bottom: f64| placed(&sections, top, bottom, spread.columns);
    let mut places = fits(lowest);
    if places.iter().all(|place| place.page == 0) {
        // The columns of a single page are made as even as possible.
        let mut bottom = lowest;
        while bottom - EVEN > top {
            bottom -= EVEN;
            let closer = fits(bottom);
            if closer.iter().any(|place| place.page > 0) {
                break;
            }
            places = closer;
        }
    }
    let before = pages.len() - 1;
    for (row, place) in sections.iter().flatten().zip(&places) {
        while pages.len() <= before + place.page {
            pages.push(Drawing::new(title, PAGE.0, PAGE.1));
        }
        let x = MARGIN + place.column as f64 * (column + BETWEEN);
        if let Some(page) = pages.get_mut(before + place.page) {
            rows::draw(page, row, Point::new(x, place.y), column);
        }
    }
    let each = column_width(spread.signatures.len());
    for (i, words) in spread.signatures.iter().enumerate() {
        let at = Point::new(MARGIN + i as f64 * (each + BETWEEN), lowest);
        if let Some(page) = pages.last_mut() {
            rows::draw(page, &Row::Signature(words.clone()), at, each);
        }
    }
}

/// The position of a row.
struct Position {
    /// The page, counted from the spread's first.
    page: usize,
    column: usize,
    y: f64,
}

/// Longest entry that is never broken over columns, in rows.
const UNBROKEN: usize = 8;

/// Tells whether a row is the first of an entry, which open space ends.
fn opens(rows: &[Row], at: usize) -> bool {
    let before = at.checked_sub(1).and_then(|before| rows.get(before));
    matches!(before, Some(Row::Space))
}

/// Counts the rows of the entry that begins some rows and is kept together.
fn entry(rows: &[Row]) -> usize {
    let end = rows.iter().position(|row| matches!(row, Row::Space));
    end.filter(|end| *end <= UNBROKEN).unwrap_or(1).max(1)
}

/// Finds the position of every row of the sections in turn. The columns of the first page begin at `top`; all
/// columns end at `bottom` at the latest.
fn placed(sections: &[Vec<Row>], top: f64, bottom: f64, columns: usize) -> Vec<Position> {
    let mut places = Vec::new();
    let (mut page, mut column, mut y) = (0, 0, top);
    let mut column_top = top;
    for rows in sections {
        if y > column_top {
            y += 2.5;
        }
        let high = |range: Range<usize>| -> f64 {
            rows.get(range)
                .unwrap_or_default()
                .iter()
                .map(Row::height)
                .sum()
        };
        let all = high(0..rows.len());
        for (i, row) in rows.iter().enumerate() {
            // A heading is kept together with two rows, or with all of a short section.
            let together = match (i, row) {
                (0, _) if all <= WHOLE && all <= bottom - column_top => all,
                (0, _) => high(0..rows.len().min(3)),
                (_, Row::Sub(_)) => high(i..rows.len().min(i + 2)),
                _ if opens(rows, i) => high(i..i + entry(&rows[i..])),
                _ => row.height(),
            };
            if y + together > bottom + 1e-6 && y > column_top {
                column += 1;
                if column == columns {
                    (page, column) = (page + 1, 0);
                    column_top = MARGIN;
                }
                y = column_top;
            }
            places.push(Position { page, column, y });
            y += row.height();
        }
    }
    places
}

/// Sets the head of the first page and returns the y at which the page goes on.
fn set_head(page: &mut Drawing, head: &Head) -> f64 {
    let right = PAGE.0 - MARGIN;
    let mut base = MARGIN + 1.6;
    let kind = Text::new(&head.kind, (MARGIN, base), 2.0).grey(0.35);
    page.write(kind);
    base += 9.0;
    let reference = font::shorten(&head.reference, 5.0, true, 0.4 * WIDTH);
    let reference_text = Text::new(&reference, (right, base), 5.0)
        .bold()
        .anchor(Anchor::End);
    let title_room = WIDTH - reference_text.length() - 6.0;
    page.write(reference_text);
    let title = font::shorten(&head.title, 5.0, true, title_room);
    page.write(Text::new(&title, (MARGIN, base), 5.0).bold());
    base += 1.6;
    for (left, at_right) in &head.lines {
        base += 4.4;
        let at_right = font::shorten(at_right, 2.3, false, 0.4 * WIDTH);
        let beside = Text::new(&at_right, (right, base), 2.3).anchor(Anchor::End);
        let room = WIDTH - beside.length() - 6.0;
        page.write(beside);
        let left = font::shorten(left, 2.3, false, room);
        page.write(Text::new(&left, (MARGIN, base), 2.3));
    }
    base += 3.0;
    for (down, pen) in [(0.0, Pen::full(0.6)), (1.2, Pen::full(0.15))] {
        let rule = segment((MARGIN, base + down), (right, base + down));
        page.line(Layer::Page, rule, pen);
    }
    base + 4.0
}

/// Sets a grey band with the spread's heading and returns the y at which the page goes on.
fn set_band(page: &mut Drawing, heading: &str, top: f64) -> f64 {
    if heading.is_empty() {
        return top;
    }
    let band = Rect::new(MARGIN, top, PAGE.0 - MARGIN, top + BAND);
    page.fill(Layer::Page, rectangle(band), 0.88);
    let words = font::shorten(heading, 2.6, true, WIDTH - 6.0);
    let base = Point::new(MARGIN + 3.0, top + 0.5 * BAND + 1.3);
    page.write(Text::new(&words, base, 2.6).bold());
    top + BAND + 4.0
}

/// Sets the spread's pictures in a row, all at one scale, and returns the y at which the page goes on.
fn set_pictures(page: &mut Drawing, spread: &Spread, top: f64) -> f64 {
    let (wide, tall) = spread
        .pictures
        .iter()
        .fold((0.0, 0.0_f64), |(w, h), p| (w + p.width, h.max(p.height)));
    let count = spread.pictures.len() as f64;
    let scale = ((WIDTH - (count - 1.0) * BETWEEN) / wide).min(spread.tall / tall);
    if !scale.is_finite() || scale <= 0.0 {
        return top;
    }
    let between = (WIDTH - scale * wide) / count;
    let mut x = MARGIN + between / 2.0;
    for picture in &spread.pictures {
        let small = picture.scaled(scale);
        let at = Vec2::new(x, top + scale * (tall - picture.height));
        page.items.extend(small.placed(Affine::translate(at)));
        let middle = x + small.width / 2.0;
        let words = font::shorten(&picture.title, 2.0, false, small.width + between);
        let caption = Text::new(&words, (middle, top + scale * tall + 4.0), 2.0);
        page.write(caption.anchor(Anchor::Middle).grey(0.35));
        x += small.width + between;
    }
    top + scale * tall + 9.0
}

fn set_foot(page: &mut Drawing, title: &str, number: &str) {
    let y = PAGE.1 - MARGIN;
    let right = PAGE.0 - MARGIN;
    page.rule((MARGIN, y - 4.0), (right, y - 4.0), Pen::full(0.12));
    let number = Text::new(number, (right, y), 1.8).anchor(Anchor::End);
    let room = WIDTH - number.length() - 6.0;
    page.write(number);
    let title = font::shorten(title, 1.8, false, room);
    page.write(Text::new(&title, (MARGIN, y), 1.8));
}

#[cfg(test)]
mod tests {
    use super::super::drawing::Ink;
    use super::super::section::Table;
    use super::*;

    fn head() -> Head {
        Head {
            kind: "Job ticket".into(),
            title: "Title".into(),
            reference: "R-1".into(),
            lines: vec![("left".into(), "right".into())],
        }
    }

    fn spread(columns: usize, sections: Vec<Section>) -> Spread {
        Spread {
            heading: String::new(),
            pictures: Vec::new(),
            tall: 80.0,
            columns,
            sections,
            signatures: vec!["Client, and date".into()],
        }
    }

    fn rows_of(count: usize) -> Section {
        let mut section = Section::new("Rows");
        let mut table = Table::new(&[("one", 0.6), ("two", 1.0)]);
        for i in 0..count {
            table.row(&format!("row {i}"), ["1", "2"]);
        }
        section.table(table);
        section
    }

    fn texts(pages: &[Drawing]) -> Vec<&Text> {
        let items = pages.iter().flat_map(|page| &page.items);
        let texts = items.filter_map(|item| match &item.ink {
            Ink::Text(text) => Some(text),
            _ => None,
        });
        texts.collect()
    }

    #[test]
    fn sections_run_over_columns_and_pages_and_lose_nothing() {
        let pages = set(&head(), &[spread(2, vec![rows_of(300)])]);
        let texts = texts(&pages);
        for i in 0..300 {
            let row = format!("row {i}");
            assert_eq!(texts.iter().filter(|t| t.words == row).count(), 1, "{row}");
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

    #[test]
    fn the_columns_of_a_page_are_even_and_no_words_lie_on_others() {
        let sections = (0..7).map(|i| rows_of(3 + i)).collect();
        let pages = set(&head(), &[spread(3, sections)]);
        assert_eq!(pages.len(), 1);
        let texts = texts(&pages);
        let foot = |left: f64, right: f64| {
            let column = texts.iter().filter(|t| (left..right).contains(&t.at.x));
            let body = column.filter(|t| t.words.starts_with("row"));
            body.map(|t| t.at.y).fold(0.0, f64::max)
        };
        let feet = [foot(10.0, 60.0), foot(70.0, 130.0), foot(130.0, 190.0)];
        assert!(feet.iter().all(|y| *y > 60.0 && *y < 200.0), "{feet:?}");
        for (i, a) in texts.iter().enumerate() {
            for b in &texts[..i] {
                let (a, b) = (Ink::Text((*a).clone()), Ink::Text((*b).clone()));
                let shared = a.bounds().inset(-0.5).intersect(b.bounds().inset(-0.5));
                assert!(shared.is_zero_area(), "{a:?} {b:?}");
            }
        }
    }
}
