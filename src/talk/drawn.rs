//! Pictures of the garments as they would be made.

use crate::draft::Draft;
use crate::job::Drafted;
use crate::made_up::Facing;
use crate::order::Order;
use crate::sheets::drawing::Drawing;
use crate::sheets::in_cloth::InCloth;
use crate::sheets::{svg, views};
use kurbo::{Affine, Rect, Vec2};

/// The side from which a garment is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Seen {
    Front,
    Back,
    Inside,
}

impl Seen {
    /// Every side, in the order in which they are offered.
    pub(super) const ALL: [Self; 3] = [Self::Front, Self::Back, Self::Inside];
    /// The sides from which a garment is seen as it is worn.
    pub(super) const WORN: [Self; 2] = [Self::Front, Self::Back];

    /// Returns the word for it.
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
            Self::Inside => "inside",
        }
    }

    fn facing(self) -> Facing {
        match self {
            Self::Front => Facing::Front,
            Self::Back => Facing::Back,
            Self::Inside => Facing::Inside,
        }
    }
}

/// Pixels for a mm of a picture; the page scales it.
const PIXELS: f64 = 3.0;

/// The garments of an order, in its cloth where that is described.
pub(super) struct Suit<'a> {
    drafts: &'a [Draft],
    cloth: Option<InCloth<'a>>,
}

impl<'a> Suit<'a> {
    /// Takes up the garments of an order that is drafted.
    pub(super) fn new(order: &'a Order, drafted: &'a Drafted) -> Self {
        let drafts = &drafted.drafts;
        Self {
            drafts,
            cloth: InCloth::new(order, drafts, &drafted.pattern, &[]),
        }
    }

    /// Takes up the garments of a draft as lines alone.
    pub(super) fn in_lines(drafted: &'a Drafted) -> Self {
        Self {
            drafts: &drafted.drafts,
            cloth: None,
        }
    }

    /// Draws the garment at a place of the order.
    fn picture(&self, garment: usize, seen: Seen) -> Option<Drawing> {
        views::of_garment(self.drafts, garment, seen.facing(), self.cloth.as_ref())
    }

    /// Writes the picture of a garment for a page; `prefix` sets its names apart from those of others.
    pub(super) fn garment(&self, garment: &str, seen: Seen, prefix: &str) -> Option<String> {
        let place = self.drafts.iter().position(|own| own.garment == garment)?;
        self.picture(place, seen)
            .map(|drawing| inline(&drawing, prefix))
    }

    /// Writes one picture of all the garments side by side, all at one scale, hanging from one rail.
    pub(super) fn together(&self, seen: Seen, prefix: &str) -> Option<String> {
        let pictures = (0..self.drafts.len()).filter_map(|garment| self.picture(garment, seen));
        let mut sheet = Drawing::new(&format!("the suit, {}", seen.word()), 0.0, 0.0);
        for picture in pictures {
            let place = Affine::translate(Vec2::new(sheet.width, 0.0));
            sheet.items.extend(picture.placed(place));
            sheet.width += picture.width;
            sheet.height = sheet.height.max(picture.height);
        }
        (sheet.width > 0.0).then(|| inline(&sheet, prefix))
    }
}

/// Writes a drawing for a page, without what lies outside it.
pub(super) fn inline(drawing: &Drawing, prefix: &str) -> String {
    let page = Rect::new(0.0, 0.0, drawing.width, drawing.height);
    let mut seen = drawing.clone();
    seen.items.retain(|item| item.ink.bounds().overlaps(page));
    svg::inline(&seen, prefix, PIXELS * drawing.width)
}
