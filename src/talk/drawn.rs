//! Pictures of the garments as they would be made.

use crate::draft::Draft;
use crate::order::Order;
use crate::sheets::drawing::Drawing;
use crate::sheets::{svg, views};
use kurbo::{Affine, Rect, Vec2};

/// The side from which a garment is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Seen {
    Front,
    Back,
}

impl Seen {
    /// Every side, in the order in which they are offered.
    pub(super) const ALL: [Self; 2] = [Seen::Front, Seen::Back];

    /// Returns the word for it.
    pub(super) fn word(self) -> &'static str {
        match self {
            Seen::Front => "front",
            Seen::Back => "back",
        }
    }
}

/// Pixels for a mm of a picture; the page scales it.
const PIXELS: f64 = 3.0;

/// Draws a garment of an order. Every picture of the page is made here.
fn picture(draft: &Draft, _order: &Order, seen: Seen) -> Option<Drawing> {
    match seen {
        Seen::Front => views::front(draft),
        Seen::Back => views::back(draft),
    }
}

/// Writes the picture of a garment for a page; `prefix` sets its names apart from those of others.
pub(super) fn garment(draft: &Draft, order: &Order, seen: Seen, prefix: &str) -> Option<String> {
    picture(draft, order, seen).map(|drawing| inline(&drawing, prefix))
}

/// Writes one picture of several garments side by side, all at one scale, hanging from one rail.
pub(super) fn together(
    drafts: &[&Draft],
    order: &Order,
    seen: Seen,
    prefix: &str,
) -> Option<String> {
    let pictures = drafts
        .iter()
        .filter_map(|draft| picture(draft, order, seen));
    let mut sheet = Drawing::new(&format!("the suit, {}", seen.word()), 0.0, 0.0);
    for picture in pictures {
        let place = Affine::translate(Vec2::new(sheet.width, 0.0));
        sheet.items.extend(picture.placed(place));
        sheet.width += picture.width;
        sheet.height = sheet.height.max(picture.height);
    }
    (sheet.width > 0.0).then(|| inline(&sheet, prefix))
}

/// Writes a drawing for a page, without what lies outside it.
pub(super) fn inline(drawing: &Drawing, prefix: &str) -> String {
    let page = Rect::new(0.0, 0.0, drawing.width, drawing.height);
    let mut seen = drawing.clone();
    seen.items.retain(|item| item.ink.bounds().overlaps(page));
    svg::inline(&seen, prefix, PIXELS * drawing.width)
}
