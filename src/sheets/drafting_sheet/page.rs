//! The page of a drafting sheet: its size, what stands in its head and at its foot, and its scales.

use crate::order::Order;
use crate::sheets::drawing::{Anchor, Drawing, Layer, Pen, Text, segment};
use crate::sheets::marker::measured_line;
use crate::sheets::{font, words};
use kurbo::{Point, Rect, Size, Vec2};

/// Width and height of a page, A3 upright, in mm.
pub const PAGE: (f64, f64) = (297.0, 420.0);
pub(super) const MARGIN: f64 = 12.0;
/// Kept free for the heading above and the measured bar below, in mm.
pub(super) const TOP: f64 = 34.0;
pub(super) const FOOT: f64 = 26.0;
/// The part of a page that pieces are drawn in.
pub(super) const ROOM: Rect = Rect::new(MARGIN, TOP, PAGE.0 - MARGIN, PAGE.1 - FOOT);
/// Scales that are tried, as divisors: the first at which the pieces fit is taken. All are scales of rulers.
pub(super) const SCALES: [f64; 8] = [1.0, 2.0, 2.5, 4.0, 5.0, 8.0, 10.0, 20.0];
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
    let width = PAGE.0 - 2.0 * MARGIN;
    page.write(Text::new(title, (MARGIN, 17.0), 4.2).bold());
    let whose = font::shorten(whose, 2.6, false, 0.5 * width);
    let right = Point::new(PAGE.0 - MARGIN, 17.0);
    let end = Anchor::End;
    page.write(Text::new(&whose, right, 2.6).anchor(end));
    let numbered = format!("page {number} of {count}");
    let below = Point::new(PAGE.0 - MARGIN, PAGE.1 - MARGIN);
    page.write(Text::new(&numbered, below, 1.9).anchor(end));
    let rule = segment((MARGIN, 20.0), (PAGE.0 - MARGIN, 20.0));
    page.line(Layer::Page, rule, Pen::PAGE);
}

/// Writes what a page shows, its scale, and a bar to measure the print by.
pub(super) fn below_head(page: &mut Drawing, heading: &str, scale: f64) {
    let heading = font::shorten(heading, 2.6, false, PAGE.0 - 2.0 * MARGIN - 40.0);
    page.write(Text::new(&heading, (MARGIN, 26.0), 2.6));
    let words = format!("Scale 1:{scale}");
    let right = Point::new(PAGE.0 - MARGIN, 26.0);
    let end = Anchor::End;
    page.write(Text::new(&words, right, 2.6).anchor(end).bold());
    let foot = Point::new(MARGIN, PAGE.1 - FOOT + 9.0);
    let words =
        "20 cm of the draft. Net, to the seam line; the numbers are those of the instructions.";
    measured_line(page, foot, 200.0 / scale, words);
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
        Shelves {
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
