//! What lies on the forepart: stitches and holes, pockets, buttons.

use super::Front;
use crate::drafting::{Count, DraftPiece, Mark, MarkKind, Material};
use crate::geometry;
use crate::order::Side;
use crate::sheets::views::hand::{EDGE, Hand, SEAM, STITCH, along, closed};
use crate::sheets::views::trunk::{marks, piece};
use kurbo::{Point, Shape, Vec2};

/// A front button is a 32-line one, 20 mm (common practice, no source).
const BUTTON: f64 = 20.0;

/// Whether a mark is on this side of the coat.
fn is_for(mark: &Mark, left: bool) -> bool {
    let here = if left { Side::Left } else { Side::Right };
    mark.side.is_none_or(|side| side == here)
}

impl Front<'_> {
    /// Stitches, holes, darts; buttons come last of all.
    pub(super) fn mark(&self, hand: &mut Hand, mark: &Mark, left: bool) {
        if !is_for(mark, left) {
            return;
        }
        match mark.kind {
            MarkKind::Stitching => {
                let lapel = closed(&self.lapel_shape().unwrap_or_default());
                let kept = |p: Point| {
                    let seen = self.seen(p)?;
                    (!self.on_lapel(p) || lapel.contains(seen)).then_some(seen)
                };
                hand.seen(along(&mark.path, 3.0).into_iter().map(kept), STITCH);
            }
            MarkKind::Buttonhole | MarkKind::OpenButtonhole => {
                hand.line(&self.line(&mark.path), EDGE);
            }
            _ => {}
        }
    }

    /// Mouths, then what covers them: jets, welts, patches, flaps.
    pub(super) fn pockets(&self, hand: &mut Hand, left: bool) {
        let own = self.marks(left).iter();
        for mark in own.filter(|mark| is_for(mark, left)) {
            if mark.kind == MarkKind::PocketMouth {
                self.mouth(hand, mark);
            }
        }
        let own = self.marks(left).iter();
        for mark in own.filter(|mark| is_for(mark, left)) {
            if mark.kind == MarkKind::Welt {
                let outline = self.flat(&mark.path);
                hand.shape(&outline, 1.0);
                hand.line(&outline, EDGE);
            }
        }
        // Where the sides differ, the right one's stand for both.
        let whole = |piece: &DraftPiece| !piece.name.ends_with(", right");
        let laid = |piece: &&DraftPiece| {
            let name = piece.name.trim_end_matches(", right");
            piece.material == Material::Cloth && (name.ends_with("flap") || name.ends_with("patch"))
        };
        for piece in self.draft.pieces.iter().filter(laid) {
            let here = match piece.count {
                Count::Alike(_) if whole(piece) => left == piece.name.contains("breast"),
                _ => true,
            };
            if here {
                let path = geometry::joined(piece.edges.iter().map(|edge| &edge.path), 0.02);
                let outline = self.flat(&path);
                hand.shape(&outline, 1.0);
                hand.line(&outline, EDGE);
                for stitch in marks(piece, MarkKind::Stitching) {
                    hand.line(&self.flat(&stitch.path), STITCH);
                }
            }
        }
    }

    /// A mouth with the jets that bind it, if there are any.
    fn mouth(&self, hand: &mut Hand, mark: &Mark) {
        let first = mark.name.split(' ').next().unwrap_or_default();
        let jet = format!("{first} jet");
        let Some(jet) = piece(self.draft, &jet) else {
            return;
        };
        let deep = jet.edges.first().map_or(5.0, |seam| {
            let fold = geometry::start(&mark.path).unwrap_or_default();
            geometry::nearest(&seam.path, fold).distance
        });
        let (Some(a), Some(b)) = (geometry::start(&mark.path), geometry::end(&mark.path)) else {
            return;
        };
        let way = (b - a).normalize();
        let down = Vec2::new(-way.y, way.x) * deep.clamp(3.0, 8.0);
        let mut outline = self.straight(a - down, b - down);
        outline.extend(self.straight(b - down, b + down));
        outline.extend(self.straight(b + down, a + down));
        outline.extend(self.straight(a + down, a - down));
        hand.shape(&outline, 1.0);
        hand.line(&outline, SEAM);
        hand.line(&self.straight(a, b), EDGE);
    }

    /// The buttons that are seen: not those inside, nor those under a lapel.
    pub(super) fn buttons(&self, hand: &mut Hand) {
        let lapel = closed(&self.lapel_shape().unwrap_or_default());
        for left in [true, false] {
            let buttons = self
                .marks(left)
                .iter()
                .filter(|mark| mark.kind == MarkKind::Button && is_for(mark, left));
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
