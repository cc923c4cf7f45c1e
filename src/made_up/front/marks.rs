//! Draws what lies on the forepart: stitches, buttonholes, pockets and buttons.

use super::Front;
use crate::draft::{DraftPiece, Mark, MarkKind, Material, Part, Role};
use crate::geometry;
use crate::made_up::hand::{Hand, closed};
use crate::made_up::shown::{Shade, Stroke};
use crate::made_up::trunk::{marks, sampled};
use crate::order::Side;
use kurbo::{Point, Shape};

/// A front button is a 32-line one, 20 mm (common practice, no source).
const BUTTON: f64 = 20.0;

/// Whether something that belongs to `side`, or to both sides if that is `None`, is on this side.
fn is_on(side: Option<Side>, left: bool) -> bool {
    let here = if left { Side::Left } else { Side::Right };
    side.is_none_or(|side| side == here)
}

impl Front<'_> {
    /// Draws a row of stitches or a buttonhole; buttons are drawn later, over everything else.
    pub(super) fn mark(&self, hand: &mut Hand, mark: &Mark, left: bool) {
        if !is_on(mark.side, left) {
            return;
        }
        match mark.kind {
            MarkKind::Stitching => {
                let lapel = closed(&self.lapel_shape().unwrap_or_default());
                let kept = |p: Point| {
                    let seen = self.seen(p)?;
                    (!self.on_lapel(p) || lapel.contains(seen)).then_some(seen)
                };
                hand.seen(sampled(&mark.path).map(kept), Stroke::Stitch);
            }
            MarkKind::Buttonhole | MarkKind::OpenButtonhole => {
                hand.line(&self.line(&mark.path), Stroke::Hole);
            }
            _ => {}
        }
    }

    /// Draws the mouths of pockets, then the welts, patches and flaps that cover them.
    pub(super) fn pockets(&self, hand: &mut Hand, left: bool) {
        let own = self.marks(left).iter();
        for mark in own.filter(|mark| is_on(mark.side, left)) {
            if mark.kind == MarkKind::PocketMouth {
                self.mouth(hand, mark, left);
            }
        }
        let own = self.marks(left).iter();
        for mark in own.filter(|mark| is_on(mark.side, left)) {
            if mark.kind == MarkKind::Welt {
                let outline = self.flat(&mark.path);
                hand.shape(&outline, Shade::Face);
                hand.line(&outline, Stroke::Edge);
            }
        }
        let laid = |piece: &&DraftPiece| {
            piece.material == Material::Cloth
                && (piece.is_part(Part::Flap) || piece.is_part(Part::Patch))
                && is_on(piece.side, left)
        };
        for piece in self.draft.pieces.iter().filter(laid) {
            let path = geometry::joined(piece.edges.iter().map(|edge| &edge.path), 0.02);
            let outline = self.flat(&path);
            hand.shape(&outline, Shade::Face);
            hand.line(&outline, Stroke::Edge);
            for stitch in marks(piece, MarkKind::Stitching) {
                hand.line(&self.flat(&stitch.path), Stroke::Stitch);
            }
        }
    }

    /// Returns the depth of the jets that bind the mouth which starts at `mouth`; `None` where it has none.
    fn jets(&self, mouth: Point, left: bool) -> Option<f64> {
        let here = |jet: &&DraftPiece| is_on(jet.side, left);
        self.draft.of_part(Part::Jet).filter(here).find_map(|jet| {
            let fold = marks(jet, MarkKind::Fold).next()?;
            let folded = geometry::start(&fold.path)?;
            let seam = &jet.edge(Role::Seam)?.path;
            (folded.distance(mouth) < 1.0).then(|| geometry::nearest(seam, mouth).distance)
        })
    }

    /// Draws a mouth with the jets that bind it; without jets nothing of it is seen.
    fn mouth(&self, hand: &mut Hand, mark: &Mark, left: bool) {
        let (Some(a), Some(b)) = (geometry::start(&mark.path), geometry::end(&mark.path)) else {
            return;
        };
        let Some(deep) = self.jets(a, left) else {
            return;
        };
        let way = (b - a).normalize();
        // Jets are 5 mm deep as a rule; the limits keep the view legible whatever a block says.
        let down = way.turn_90() * deep.clamp(3.0, 8.0);
        let mut outline = self.straight(a - down, b - down);
        outline.extend(self.straight(b - down, b + down));
        outline.extend(self.straight(b + down, a + down));
        outline.extend(self.straight(a + down, a - down));
        hand.shape(&outline, Shade::Face);
        hand.line(&outline, Stroke::Seam);
        hand.line(&self.straight(a, b), Stroke::Edge);
    }

    /// Draws the buttons that are seen; an inner button, or one under a lapel, is not.
    pub(super) fn buttons(&self, hand: &mut Hand) {
        let lapel = closed(&self.lapel_shape().unwrap_or_default());
        for left in [true, false] {
            let buttons = self
                .marks(left)
                .iter()
                .filter(|mark| mark.kind == MarkKind::Button && is_on(mark.side, left));
            for mark in buttons {
                let at = geometry::start(&mark.path).unwrap_or_default();
                let seen = self.trunk.front(at);
                // A button on the right forepart shows through its hole in the left one.
                if let Some(seen) = seen.filter(|seen| !self.on_lapel(at) && !lapel.contains(*seen))
                {
                    hand.half(left).button(seen, BUTTON, 1.0);
                }
            }
        }
    }
}
