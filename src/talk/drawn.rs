//! Pictures of the garments as they would be made.

use super::pictures::{Pictures, Sitting};
use super::seen::Seen;
use super::spots::{Spot, spots};
use super::state::Talk;
use crate::job::Drafted;
use crate::order::{Look, Order};
use crate::sheets::drawing::Drawing;
use crate::sheets::in_cloth::InCloth;
use crate::sheets::words::spaced;
use crate::sheets::{svg, views};
use kurbo::{Affine, Rect, Vec2};
use rayon::prelude::*;
use std::fmt::Write;
use std::sync::Arc;

/// Pixels for a mm of a picture; the page scales it.
const PIXELS: f64 = 3.0;

/// The garments of an order, in its cloth where that is described.
pub(super) struct Suit<'a> {
    drafted: &'a Arc<Drafted>,
    cloth: Option<InCloth<'a>>,
    pictures: &'a Pictures,
}

impl<'a> Suit<'a> {
    /// Takes up the garments of an order that is drafted.
    pub(super) fn new(talk: &'a Talk, order: &'a Order, drafted: &'a Arc<Drafted>) -> Self {
        Self {
            drafted,
            cloth: in_cloth(talk, order, drafted),
            pictures: &talk.pictures,
        }
    }

    /// Takes up the garments of a draft as lines alone.
    pub(super) fn in_lines(talk: &'a Talk, drafted: &'a Arc<Drafted>) -> Self {
        Self {
            drafted,
            cloth: None,
            pictures: &talk.pictures,
        }
    }

    /// Draws the garment at a place of the order.
    fn picture(&self, garment: usize, seen: Seen) -> Option<Arc<Drawing>> {
        let cloth = self.cloth.as_ref();
        let sitting = Sitting {
            drafted: self.drafted,
            garment,
            seen,
            worn: cloth.and_then(|cloth| cloth.worn(garment)),
        };
        let drafts = &self.drafted.drafts;
        let draw = || views::of_garment(drafts, garment, seen.facing(), cloth);
        self.pictures.of(sitting, draw)
    }

    fn place(&self, garment: &str) -> Option<usize> {
        let mut drafts = self.drafted.drafts.iter();
        drafts.position(|own| own.garment == garment)
    }

    /// Writes the picture of a garment for a page; `prefix` sets its names apart from those of others.
    pub(super) fn garment(&self, garment: &str, seen: Seen, prefix: &str) -> Option<String> {
        self.picture(self.place(garment)?, seen)
            .map(|drawing| inline(&drawing, prefix))
    }

    /// Writes the picture of a garment with the places at which a baste alters it.
    pub(super) fn with_spots(&self, garment: &str, seen: Seen, prefix: &str) -> Option<String> {
        let place = self.place(garment)?;
        let picture = self.picture(place, seen)?;
        let spots = spots(self.drafted.drafts.get(place)?, seen);
        let mut written = inline(&picture, prefix);
        let end = written.rfind("</svg>")?;
        written.insert_str(end, &marked(&picture, spots, seen));
        Some(written)
    }

    /// Writes one picture of all the garments side by side, all at one scale, hanging from one rail.
    pub(super) fn together(&self, seen: Seen, prefix: &str) -> Option<String> {
        let garments = (0..self.drafted.drafts.len()).into_par_iter();
        let pictures: Vec<Option<Arc<Drawing>>> = garments
            .map(|garment| self.picture(garment, seen))
            .collect();
        let mut sheet = Drawing::new(&format!("the suit, {}", seen.word()), 0.0, 0.0);
        for picture in pictures.iter().flatten() {
            let place = Affine::translate(Vec2::new(sheet.width, 0.0));
            sheet.items.extend(picture.placed(place));
            sheet.width += picture.width;
            sheet.height = sheet.height.max(picture.height);
        }
        (sheet.width > 0.0).then(|| inline(&sheet, prefix))
    }
}

/// Radius of a place that can be pressed, mm of the picture.
const SPOT: f64 = 3.2;

/// Writes the places of a picture as rings; one that is on both sides of the figure once on each. The list of the
/// alterations has the same for whoever does not see them.
fn marked(picture: &Drawing, spots: &[Spot], seen: Seen) -> String {
    let (width, height) = (
        picture.width - 2.0 * views::MARGIN,
        picture.height - 2.0 * views::MARGIN,
    );
    let mut written = String::from("<g class=\"spots\" aria-hidden=\"true\">");
    for spot in spots {
        let [x, y] = spot.at;
        let middle = (x - 0.5).abs() < 1e-9;
        // Of the wearer; from the front his left is on the viewer's right.
        let (here, there) = match seen {
            Seen::Front => ("right", "left"),
            Seen::Back | Seen::Inside => ("left", "right"),
        };
        let both = [(x, here), (1.0 - x, there)];
        for (across, side) in &both[..if middle { 1 } else { 2 }] {
            let side = if middle { "" } else { side };
            let words = spaced(spot.correction);
            // Writing to a string cannot fail.
            let _ = write!(
                written,
                "<circle class=\"spot\" data-spot=\"{}\" data-side=\"{side}\" cx=\"{:.1}\" cy=\"{:.1}\" r=\"{SPOT}\"><title>{words}</title></circle>",
                spot.correction,
                views::MARGIN + across * width,
                views::MARGIN + y * height,
            );
        }
    }
    written.push_str("</g>");
    written
}

/// Takes up the cloth of an order, where it is described.
pub(super) fn in_cloth<'a>(
    talk: &Talk,
    order: &'a Order,
    drafted: &'a Drafted,
) -> Option<InCloth<'a>> {
    let (drafts, pattern) = (&drafted.drafts, &drafted.pattern);
    let palette = |look: &Look| talk.pictures.palette(order, look);
    InCloth::with(order, drafts, pattern, &[], &palette)
}

/// Writes a drawing for a page, without what lies outside it.
pub(super) fn inline(drawing: &Drawing, prefix: &str) -> String {
    let page = Rect::new(0.0, 0.0, drawing.width, drawing.height);
    let mut seen = drawing.clone();
    seen.items.retain(|item| item.ink.bounds().overlaps(page));
    svg::inline(&seen, prefix, PIXELS * drawing.width)
}
