//! What lies on the forepart: stitches and holes, pockets, buttons.

use super::Front;
use crate::draft::{DraftPiece, Mark, MarkKind, Material, Part, Role};
use crate::geometry;
use crate::made_up::hand::{Hand, along, closed};
use crate::made_up::trunk::marks;
use crate::made_up::{Line, Shade};
use crate::order::Side;
use kurbo::{Point, Shape};

/// A front button is a 32-line one, 20 mm (common practice, no source).
const BUTTON: f64 = 20.0;

/// Whether what is for a side, or for both, is on this one.
fn is_on(side: Option<Side>, left: bool) -> bool {
    let here = if left { Side::Left } else { Side::Right };
    side.is_none_or(|side| side == here)
}

impl Front<'_> {
    /// Stitches, holes, darts; buttons come last of all.
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
                hand.seen(along(&mark.path, 3.0).into_iter().map(kept), Line::Stitch);
            }
            MarkKind::Buttonhole | MarkKind::OpenButtonhole => {
                hand.line(&self.line(&mark.path), Line::Edge);
            }
            _ => {}
        }
    }

    /// Mouths, then what covers them: jets, welts, patches, flaps.
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
                hand.line(&outline, Line::Edge);
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
            hand.line(&outline, Line::Edge);
            for stitch in marks(piece, MarkKind::Stitching) {
                hand.line(&self.flat(&stitch.path), Line::Stitch);
            }
        }
    }

    /// How deep the jets are that bind a mouth: those that are folded along it.
    fn jets(&self, mouth: Point, left: bool) -> Option<f64> {
        let here = |jet: &&DraftPiece| is_on(jet.side, left);
        self.draft.of_part(Part::Jet).filter(here).find_map(|jet| {
            let fold = marks(jet, MarkKind::Fold).next()?;
            let folded = geometry::start(&fold.path)?;
            let seam = &jet.edge(Role::Seam)?.path;
            (folded.distance(mouth) < 1.0).then(|| geometry::nearest(seam, mouth).distance)
        })
    }

    /// A mouth with the jets that bind it, if there are any.
    fn mouth(&self, hand: &mut Hand, mark: &Mark, left: bool) {
        let (Some(a), Some(b)) = (geometry::start(&mark.path), geometry::end(&mark.path)) else {
            return;
        };
        let Some(deep) = self.jets(a, left) else {
            return;
        };
        let way = (b - a).normalize();
        let down = way.turn_90() * deep.clamp(3.0, 8.0);
        let mut outline = self.straight(a - down, b - down);
        outline.extend(self.straight(b - down, b + down));
        outline.extend(self.straight(b + down, a + down));
        outline.extend(self.straight(a + down, a - down));
        hand.shape(&outline, Shade::Face);
        hand.line(&outline, Line::Seam);
        hand.line(&self.straight(a, b), Line::Edge);
    }

    /// The buttons that are seen: not those inside, nor those under a lapel.
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
                // A button of the right forepart is seen through its hole in the left.
                if let Some(seen) = seen.filter(|seen| !self.on_lapel(at) && !lapel.contains(*seen))
                {
                    hand.side(left).button(seen, BUTTON, 1.0);
                }
            }
        }
    }
}
