//! Pictures of the garments as they would be made.

use crate::draft::Draft;
use crate::order::Order;
use crate::sheets::drawing::Drawing;
use crate::sheets::{svg, views};

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

/// Writes a drawing for a page.
pub(super) fn inline(drawing: &Drawing, prefix: &str) -> String {
    svg::inline(drawing, prefix, PIXELS * drawing.width)
}
