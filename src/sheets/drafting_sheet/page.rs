//! The page of a drafting sheet: its size, what stands in its head and at its foot, and its scales.

use crate::order::Order;
use crate::sheets::drawing::{Anchor, Drawing, Layer, Pen, Text, segment};
use crate::sheets::font;
use crate::sheets::marker::measured_line;
use kurbo::{Point, Rect};

/// A3, upright, in mm.
pub const PAGE: (f64, f64) = (297.0, 420.0);
pub(super) const MARGIN: f64 = 12.0;
/// Below the heading and above the foot.
pub(super) const TOP: f64 = 34.0;
pub(super) const FOOT: f64 = 26.0;
/// So many times smaller than the draft; the first that fits.
pub(super) const SCALES: [f64; 8] = [1.0, 2.0, 2.5, 4.0, 5.0, 8.0, 10.0, 20.0];
/// Height of a point's number, in mm.
pub(super) const NUMBER: f64 = 1.75;
/// Height of the instructions' letters, and their lines' distance.
pub(super) const BODY: f64 = 1.9;
pub(super) const STEP: f64 = 3.7;

pub(super) const EDGE: Pen = Pen::full(0.4);
pub(super) const LINE: Pen = Pen::full(0.1).grey(0.45);
pub(super) const AGAINST: Pen = Pen::dashed(0.18, &[2.2, 1.2]).grey(0.35);

/// Heads every page of a garment.
pub(super) fn heads(pages: &mut [Drawing], title: &str, order: &Order) {
    let client = &order.client;
    let whose = format!("{} · {}", client.reference, client.name);
    let count = pages.len();
    for (i, page) in pages.iter_mut().enumerate() {
        head(page, title, &whose, (i + 1, count));
    }
}

fn head(page: &mut Drawing, title: &str, whose: &str, (number, count): (usize, usize)) {
    let width = PAGE.0 - 2.0 * MARGIN;
    page.text(Layer::Page, Text::new(title, (MARGIN, 17.0), 4.2).bold());
    let whose = font::shorten(&font::clean(whose), 2.6, false, 0.5 * width);
    let right = Point::new(PAGE.0 - MARGIN, 17.0);
    let end = Anchor::End;
    page.text(Layer::Page, Text::new(&whose, right, 2.6).anchor(end));
    let numbered = format!("page {number} of {count}");
    let below = Point::new(PAGE.0 - MARGIN, PAGE.1 - MARGIN);
    page.text(Layer::Page, Text::new(&numbered, below, 1.9).anchor(end));
    let rule = segment((MARGIN, 20.0), (PAGE.0 - MARGIN, 20.0));
    page.line(Layer::Page, rule, Pen::PAGE);
}

/// What a page shows and how large, with a bar to measure.
pub(super) fn below_head(page: &mut Drawing, heading: &str, scale: f64) {
    let heading = font::shorten(
        &font::clean(heading),
        2.6,
        false,
        PAGE.0 - 2.0 * MARGIN - 40.0,
    );
    page.text(Layer::Page, Text::new(&heading, (MARGIN, 26.0), 2.6));
    let words = format!("Scale 1:{scale}");
    let right = Point::new(PAGE.0 - MARGIN, 26.0);
    let end = Anchor::End;
    page.text(
        Layer::Page,
        Text::new(&words, right, 2.6).anchor(end).bold(),
    );
    let foot = Point::new(MARGIN, PAGE.1 - FOOT + 9.0);
    let words =
        "20 cm of the draft. Net, to the seam line; the numbers are those of the instructions.";
    measured_line(page, foot, 200.0 / scale, words);
    page.title = heading;
}

/// The first scale at which a part of the draft fits.
pub(super) fn scale_for(bounds: Rect, room: Rect) -> f64 {
    let fits = |scale: &&f64| {
        bounds.width() / **scale <= room.width() && bounds.height() / **scale <= room.height()
    };
    SCALES.iter().find(fits).copied().unwrap_or(50.0)
}
