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
use crate::order::{Look, Order, Side};
use crate::pattern::Pattern;
use kurbo::{Affine, Rect};
pub use marker::lay;
pub use palette::Palette;
pub use phase::Phases;
use std::sync::Arc;
pub use swatch::swatch;

/// All that the picture of a garment in its cloth depends on beside its draft.
#[derive(Debug, Clone)]
pub struct Worn {
    palette: Arc<Palette>,
    /// Where each of its pieces lies on the cloth, in the middle of the body and on either side.
    laid: Vec<[Affine; 3]>,
}

impl PartialEq for Worn {
    /// Tells whether the pieces lie alike on the very same palette.
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.palette, &other.palette) && self.laid == other.laid
    }
}

/// The cloth of an order, with where each piece of its pattern lies on it.
#[derive(Debug)]
pub struct InCloth<'a> {
    /// Of each garment, if its cloth is described.
    palettes: Vec<Option<Arc<Palette>>>,
    phases: Phases<'a>,
    drafts: &'a [Draft],
}

impl<'a> InCloth<'a> {
    /// Takes up the cloths of an order; `None` if none is described. `lays` may be empty.
    pub fn new(
        order: &'a Order,
        drafts: &'a [Draft],
        pattern: &'a Pattern,
        lays: &'a [Laid],
    ) -> Option<Self> {
        let materials = &order.materials;
        let make = |look: &Look| Arc::new(Palette::new(look, materials));
        Self::with(order, drafts, pattern, lays, &make)
    }

    /// Takes up the cloth of an order whose palettes are at hand: they are dearer than all the rest.
    pub fn with(
        order: &'a Order,
        drafts: &'a [Draft],
        pattern: &'a Pattern,
        lays: &'a [Laid],
        make: &dyn Fn(&Look) -> Arc<Palette>,
    ) -> Option<Self> {
        let mut known: Vec<(&Look, Arc<Palette>)> = Vec::new();
        let mut palette = |draft: &Draft| {
            let look = order.look_of(&draft.garment)?;
            if let Some((_, palette)) = known.iter().find(|(other, _)| std::ptr::eq(*other, look)) {
                return Some(palette.clone());
            }
            let palette = make(look);
            known.push((look, palette.clone()));
            Some(palette)
        };
        let palettes: Vec<_> = drafts.iter().map(&mut palette).collect();
        palettes.iter().any(Option::is_some).then_some(())?;
        Some(Self {
            palettes,
            phases: Phases::new(order, drafts, pattern, lays),
            drafts,
        })
    }

    /// Draws a view of one of the order's garments, at `scale` of its size; `None` if it has none.
    pub fn view(&self, garment: usize, facing: Facing, scale: f64) -> Option<Drawing> {
        self.seen(garment, facing, scale, None)
    }

    /// Draws the part of a view that lies in a window, in mm of the sheet: x from the middle of the figure, y down
    /// from the nape. Nothing else is painted.
    pub fn part(
        &self,
        garment: usize,
        facing: Facing,
        scale: f64,
        window: Rect,
    ) -> Option<Drawing> {
        self.seen(garment, facing, scale, Some(window))
    }

    /// Returns how a garment is worn, if its cloth is described: the same for two of the same draft tells that they look
    /// the same.
    pub fn worn(&self, garment: usize) -> Option<Worn> {
        let palette = self.palettes.get(garment)?.clone()?;
        let first = self.first_piece(garment);
        let pieces = first..first + self.drafts.get(garment)?.pieces.len();
        let sides = [None, Some(Side::Left), Some(Side::Right)];
        let laid = pieces.map(|piece| sides.map(|side| self.phases.of(piece, side)));
        Some(Worn {
            palette,
            laid: laid.collect(),
        })
    }

    /// Returns the place in the pattern of a garment's first piece.
    fn first_piece(&self, garment: usize) -> usize {
        let before = self.drafts.iter().take(garment);
        before.map(|earlier| earlier.pieces.len()).sum()
    }

    fn seen(
        &self,
        garment: usize,
        facing: Facing,
        scale: f64,
        window: Option<Rect>,
    ) -> Option<Drawing> {
        let draft = self.drafts.get(garment)?;
        let first = self.first_piece(garment);
        let palette = self.palettes.get(garment)?.as_ref()?;
        let seen = (facing, scale, window);
        painter::view(draft, first, seen, palette, &self.phases)
    }

    /// Tells whether the cloth of a garment is described.
    pub fn shows(&self, garment: usize) -> bool {
        matches!(self.palettes.get(garment), Some(Some(_)))
    }

    /// Returns the palette of a cloth that is laid, if it is described.
    fn of_lay(&self, laid: &Laid) -> Option<&Palette> {
        let own = |draft: &Draft| self.phases.is_of(&draft.garment, &laid.material);
        let garment = self.drafts.iter().position(own)?;
        self.palettes.get(garment)?.as_deref()
    }
}
