//! Shows garments and lays in the cloth of the order, where it is described.
//!
//! What is seen is what is cut: the pattern lies on each piece as the lay puts that piece on the cloth, and as its
//! matches ask before there is a lay ([`Phases`]).

mod lines;
mod marker;
mod painter;
mod palette;
mod phase;
mod swatch;

use super::drawing::Drawing;
use crate::draft::Draft;
use crate::lay::Laid;
use crate::made_up::Facing;
use crate::order::Order;
use crate::pattern::Pattern;
pub use marker::lay;
use palette::Palette;
pub use phase::Phases;
pub use swatch::swatch;

/// The cloth of an order, with where each piece of its pattern lies on it.
#[derive(Debug)]
pub struct InCloth<'a> {
    palette: Palette,
    phases: Phases<'a>,
    drafts: &'a [Draft],
}

impl<'a> InCloth<'a> {
    /// Takes up the cloth of an order; `None` if it is not described. `lays` may be empty.
    pub fn new(
        order: &'a Order,
        drafts: &'a [Draft],
        pattern: &'a Pattern,
        lays: &'a [Laid],
    ) -> Option<Self> {
        let look = order.look.as_ref()?;
        Some(Self {
            palette: Palette::new(look, &order.materials),
            phases: Phases::new(order, drafts, pattern, lays),
            drafts,
        })
    }

    /// Draws a view of one of the order's garments, at `scale` of its size; `None` if it has none.
    pub fn view(&self, garment: usize, facing: Facing, scale: f64) -> Option<Drawing> {
        let draft = self.drafts.get(garment)?;
        let before = self.drafts.iter().take(garment);
        let first = before.map(|earlier| earlier.pieces.len()).sum();
        painter::view(draft, first, facing, scale, self)
    }
}
