//! Keeps what is dear to make and seldom changes from answer to answer: palettes, and pictures of garments.

use super::seen::Seen;
use super::state::held;
use crate::job::Drafted;
use crate::order::{Look, Materials, Order};
use crate::sheets::drawing::Drawing;
use crate::sheets::in_cloth::{Palette, Worn};
use std::sync::{Arc, Mutex};

/// The most palettes that are kept: one for each garment of an order in cloths of their own, and one kept aside.
const MOST_PALETTES: usize = 6;

/// The most pictures that are kept: four garments, as they are now and as they were kept aside.
const MOST_PICTURES: usize = 8;

/// A palette with what it was made of.
struct Dyed {
    look: Look,
    materials: Materials,
    palette: Arc<Palette>,
}

/// All that the picture of a garment is made from.
pub(super) struct Sitting<'a> {
    /// The drafts of the order.
    pub drafted: &'a Arc<Drafted>,
    /// The place of the garment among them.
    pub garment: usize,
    /// The side from which it is seen.
    pub seen: Seen,
    /// Its cloth, where that is described.
    pub worn: Option<Worn>,
}

struct Pictured {
    drafted: Arc<Drafted>,
    garment: usize,
    seen: Seen,
    worn: Option<Worn>,
    drawing: Arc<Drawing>,
}

impl Pictured {
    fn is_of(&self, sitting: &Sitting) -> bool {
        let same_draft = || {
            Arc::ptr_eq(&self.drafted, sitting.drafted) && self.garment == sitting.garment
                || self.drafted.drafts.get(self.garment)
                    == sitting.drafted.drafts.get(sitting.garment)
        };
        self.seen == sitting.seen && self.worn == sitting.worn && same_draft()
    }
}

/// The palettes and pictures that were asked for last, the last one first.
#[derive(Default)]
pub(super) struct Pictures {
    palettes: Mutex<Vec<Dyed>>,
    pictures: Mutex<Vec<Pictured>>,
}

impl Pictures {
    /// Returns the materials of a look of an order, ready to be painted with.
    pub(super) fn palette(&self, order: &Order, look: &Look) -> Arc<Palette> {
        let mut kept = held(&self.palettes);
        let same = |known: &&Dyed| known.look == *look && known.materials == order.materials;
        if let Some(known) = kept.iter().find(same) {
            return known.palette.clone();
        }
        let palette = Arc::new(Palette::new(look, &order.materials));
        kept.truncate(MOST_PALETTES - 1);
        let dyed = Dyed {
            look: look.clone(),
            materials: order.materials.clone(),
            palette: palette.clone(),
        };
        kept.insert(0, dyed);
        palette
    }

    /// Returns the picture of a garment: the kept one if nothing that it is made from has changed, or else one that is
    /// drawn now. It is drawn without the lock, so that garments can be drawn side by side.
    pub(super) fn of(
        &self,
        sitting: Sitting,
        draw: impl FnOnce() -> Option<Drawing>,
    ) -> Option<Arc<Drawing>> {
        if let Some(known) = self.known(&sitting) {
            return Some(known);
        }
        let drawing = Arc::new(draw()?);
        let pictured = Pictured {
            drafted: sitting.drafted.clone(),
            garment: sitting.garment,
            seen: sitting.seen,
            worn: sitting.worn,
            drawing: drawing.clone(),
        };
        let mut kept = held(&self.pictures);
        kept.truncate(MOST_PICTURES - 1);
        kept.insert(0, pictured);
        Some(drawing)
    }

    /// Returns the kept picture of a garment, and puts it first.
    fn known(&self, sitting: &Sitting) -> Option<Arc<Drawing>> {
        let mut kept = held(&self.pictures);
        let place = kept.iter().position(|known| known.is_of(sitting))?;
        let known = kept.remove(place);
        let drawing = known.drawing.clone();
        kept.insert(0, known);
        Some(drawing)
    }
}
