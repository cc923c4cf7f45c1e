//! The page of a drafting sheet: its size, what stands in its head and at its foot, and its scales.

use crate::order::Order;
use crate::sheets::drawing::{Anchor, Drawing, Layer, Pen, Text, segment};
use crate::sheets::marker::measured_line;
use crate::sheets::{font, words};
use crate::units::{INCH, Unit};
use kurbo::{Point, Rect, Size, Vec2};

/// Width and height of a page, A3 portrait, in mm.
pub const PAGE: (f64, f64) = (297.0, 420.0);
/// Width and height of the same page turned, landscape.
pub const TURNED: (f64, f64) = (PAGE.1, PAGE.0);
pub(super) const MARGIN: f64 = 12.0;
/// Kept free for the heading above and the measured bar below, in mm.
pub(super) const TOP: f64 = 34.0;
pub(super) const FOOT: f64 = 26.0;
/// Scales that are tried, as divisors: the first at which the pieces fit is taken. All are scales of rulers.
pub(super) const SCALES: [f64; 9] = [1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 8.0, 10.0, 20.0];
/// Height of a point's number, in mm.
pub(super) const NUMBER: f64 = 1.75;
/// Height of the capitals of the instructions, and the distance of their lines, in mm.
pub(super) const BODY: f64 = 1.9;
pub(super) const STEP: f64 = 3.7;

pub(super) const EDGE: Pen = Pen::full(0.4);
pub(super) const LINE: Pen = Pen::full(0.1).grey(0.45);
pub(super) const AGAINST: Pen = Pen::dashed(0.18, &[2.2, 1.2]).grey(0.35);

/// Writes the heads of all pages of a garment.
pub(super) fn heads(pages: &mut [Drawing], title: &str, order: &Order) {
    let whose = words::client(order);
    let count = pages.len();
    for (i, page) in pages.iter_mut().enumerate() {
        head(page, title, &whose, (i + 1, count));
    }
}

fn head(page: &mut Drawing, title: &str, whose: &str, (number, count): (usize, usize)) {
    let (right, foot) = (page.width - MARGIN, page.height - MARGIN);
    page.write(Text::new(title, (MARGIN, 17.0), 4.2).bold());
    let whose = font::shorten(whose, 2.6, false, 0.5 * (right - MARGIN));
    let end = Anchor::End;
    page.write(Text::new(&whose, (right, 17.0), 2.6).anchor(end));
    let numbered = format!("page {number} of {count}");
    page.write(Text::new(&numbered, (right, foot), 1.9).anchor(end));
    // Shorter than on other sheets: the page's number stands on the same line.
    let caution = format!(
        "{} Shears, rotary knives, steam and powered cutters can injure.",
        words::TOILE
    );
    page.write(Text::new(&caution, (MARGIN, foot), 1.9));
    let rule = segment((MARGIN, 20.0), (right, 20.0));
    page.line(Layer::Page, rule, Pen::PAGE);
}

/// Returns the part of a page that pieces are drawn in.
pub(super) fn room((width, height): (f64, f64)) -> Rect {
    Rect::new(MARGIN, TOP, width - MARGIN, height - FOOT)
}

/// Returns the way to turn the page at which the most is seen of parts of the draft, each of which is drawn in
/// the room inset by `free`, and the scale at which all fit.
pub(super) fn turned_for(
    bounds: impl Iterator<Item = Rect> + Clone,
    free: f64,
) -> ((f64, f64), f64) {
    let scale = |page: (f64, f64)| {
        let room = room(page).inset(-free);
        let scales = bounds.clone().map(|bounds| scale_for(bounds, room));
        scales.fold(1.0, f64::max)
    };
    let (portrait, landscape) = (scale(PAGE), scale(TURNED));
    if landscape < portrait {
        (TURNED, landscape)
    } else {
        (PAGE, portrait)
    }
}

/// Writes what a page shows, its scale, and a bar to measure the print by.
pub(super) fn below_head(page: &mut Drawing, heading: &str, scale: f64, unit: Unit) {
    let edge = page.width - MARGIN;
    let heading = font::shorten(heading, 2.6, false, edge - MARGIN - 40.0);
    page.write(Text::new(&heading, (MARGIN, 26.0), 2.6));
    let ratio = format!("Scale 1:{scale}");
    let end = Anchor::End;
    page.write(Text::new(&ratio, (edge, 26.0), 2.6).anchor(end).bold());
    let foot = Point::new(MARGIN, page.height - FOOT + 7.0);
    let (long, name) = match unit {
        Unit::Cm => (200.0, "20 cm"),
        Unit::Inch => (8.0 * INCH, "8 in"),
    };
    measured_line(page, foot, long / scale, "");
    let words = format!(
        "{name} of the draft. Net, to the seam line; the numbers are those of the instructions."
    );
    let beside = foot.x + long / scale + 4.0;
    let lines = font::wrap(&words, 2.2, false, edge - beside);
    let first = foot.y + 1.1 - 1.8 * (lines.len().saturating_sub(1)) as f64;
    for (i, line) in lines.iter().enumerate() {
        page.write(Text::new(line, (beside, first + 3.6 * i as f64), 2.2));
    }
    page.title = heading;
}

/// Returns the first scale at which a part of the draft fits into a room.
pub(super) fn scale_for(bounds: Rect, room: Rect) -> f64 {
    let fits = |scale: &&f64| {
        bounds.width() / **scale <= room.width() && bounds.height() / **scale <= room.height()
    };
    SCALES.iter().find(fits).copied().unwrap_or(50.0)
}

/// The places of pieces that stand side by side in rows, page after page.
pub(super) struct Shelves {
    /// Where the next piece has its upper left corner.
    pub(super) corner: Point,
    first: Point,
    room: Rect,
    tall: f64,
}

impl Shelves {
    /// Space between pieces, in mm: the numbers of their points stand in it.
    const GAP: f64 = 14.0;
    /// Space for the names over the pieces of a further row, in mm.
    const NAME: f64 = 6.0;

    /// Begins at the head of a room; the first piece stands `inset` from its corner.
    pub(super) fn new(room: Rect, inset: Vec2) -> Self {
        let first = room.origin() + inset;
        Self {
            corner: first,
            first,
            room,
            tall: 0.0,
        }
    }

    /// Moves on to the next row, or to the next page, where a piece would stand out of the room. Returns
    /// whether a page begins.
    pub(super) fn make_room(&mut self, size: Size) -> bool {
        let right = self.room.x1 - (self.first.x - self.room.x0);
        if self.corner.x + size.width > right && self.corner.x > self.first.x {
            let next = self.corner.y + self.tall + Self::GAP + Self::NAME;
            (self.corner, self.tall) = (Point::new(self.first.x, next), 0.0);
        }
        let is_full = self.corner.y + size.height > self.room.y1;
        if is_full {
            (self.corner, self.tall) = (self.first, 0.0);
        }
        is_full
    }

    /// Moves on past a piece; the name above it is `name` mm long.
    pub(super) fn fill(&mut self, size: Size, name: f64) {
        self.corner.x += size.width.max(name) + Self::GAP;
        self.tall = self.tall.max(size.height);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wide_draft_turns_the_page() {
        let wide = Rect::new(0.0, 0.0, 780.0, 300.0);
        assert_eq!(turned_for(std::iter::once(wide), 6.0), (TURNED, 2.5));
        let tall = Rect::new(0.0, 0.0, 300.0, 780.0);
        assert_eq!(turned_for(std::iter::once(tall), 6.0), (PAGE, 2.5));
    }

    #[test]
    fn the_words_beside_the_bar_keep_to_the_page() {
        for unit in [Unit::Cm, Unit::Inch] {
            let mut page = Drawing::new("", PAGE.0, PAGE.1);
            below_head(&mut page, "Collar", 1.0, unit);
            for item in &page.items {
                let bounds = item.ink.bounds();
                assert!(bounds.x1 <= PAGE.0 - MARGIN + 0.5, "{item:?}");
            }
        }
    }
}
