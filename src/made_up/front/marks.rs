//! Draws what lies on the forepart: stitches, buttonholes, pockets and buttons.

use super::Front;
use crate::draft::{Mark, MarkKind, Part, Role};
use crate::geometry;
use crate::made_up::hand::{Hand, closed};
use crate::made_up::lines::{Found, mark, marks, pieces, sampled};
use crate::made_up::pockets;
use crate::made_up::shown::{Shade, Stroke};
use kurbo::{Point, Shape};
use std::cmp::Ordering;

/// A front button is a 32-line one, 20 mm (common practice, no source).
const BUTTON: f64 = 20.0;

impl Front<'_> {
    /// Whether a mark is on this side.
    fn is_here(&self, mark: &Mark) -> bool {
        mark.side.is_none_or(|side| side == self.side)
    }

    /// Draws a row of stitches or a buttonhole; buttons are drawn later, over everything else.
    pub(super) fn mark(&self, hand: &mut Hand, mark: &Mark) {
        if !self.is_here(mark) {
            return;
        }
        match mark.kind {
            MarkKind::Stitching => {
                let lapel = closed(&self.lapel_shape().unwrap_or_default());
                let kept = |p: Point| {
                    let placed = self.seen(p);
                    let kept = !self.on_lapel(p) || lapel.contains(placed.at);
                    (placed.seen && kept).then_some(placed.at)
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
    pub(super) fn pockets(&self, hand: &mut Hand) {
        for mark in marks(self.fore.piece, MarkKind::PocketMouth).filter(|mark| self.is_here(mark))
        {
            self.mouth(hand, mark);
        }
        for mark in marks(self.fore.piece, MarkKind::Welt).filter(|mark| self.is_here(mark)) {
            let shape = self.flat(&mark.path);
            hand.patches(
                &shape,
                Shade::Face,
                pockets::welt(self.draft, &mark.path, self.side, self.trunk),
            );
            hand.line(&shape, Stroke::Edge);
        }
        for part in [Part::Patch, Part::Flap] {
            // The pockets lower down come first: the flap of a ticket pocket may hang over the one below it.
            let mut laid: Vec<Found> = pieces(self.draft, part, self.side)
                .filter(|found| found.material.is_cloth())
                .collect();
            let level = |found: &Found| found.edge(Role::Top).map(|top| top.path.bounding_box().y0);
            laid.sort_by(|a, b| level(b).partial_cmp(&level(a)).unwrap_or(Ordering::Equal));
            for found in laid {
                self.laid_on(hand, found);
            }
        }
    }

    /// Draws a patch or a flap, which lies on the forepart.
    fn laid_on(&self, hand: &mut Hand, found: Found) {
        let path = geometry::joined(found.piece.edges.iter().map(|edge| &edge.path), 0.02);
        let shape = self.flat(&path);
        let seen = pockets::laid_on(found, self.side, self.trunk);
        hand.patches(&shape, Shade::Face, vec![seen]);
        hand.line(&shape, Stroke::Edge);
        for stitch in marks(found.piece, MarkKind::Stitching) {
            hand.line(&self.flat(&stitch.path), Stroke::Stitch);
        }
    }

    /// Returns the depth and the material of the jets that bind the mouth which starts at `mouth`; `None` where it has
    /// none.
    fn jets(&self, mouth: Point) -> Option<(f64, &str)> {
        pieces(self.draft, Part::Jet, self.side).find_map(|jet| {
            let fold = mark(jet.piece, MarkKind::Fold)?;
            let folded = geometry::start(&fold.path)?;
            let seam = &jet.edge(Role::Seam)?.path;
            let deep = || {
                (
                    geometry::nearest(seam, mouth).distance,
                    jet.piece.material.id.as_str(),
                )
            };
            (folded.distance(mouth) < 1.0).then(deep)
        })
    }

    /// Draws a mouth with the jets that bind it; without jets nothing of it is seen.
    fn mouth(&self, hand: &mut Hand, mark: &Mark) {
        let (Some(a), Some(b)) = (geometry::start(&mark.path), geometry::end(&mark.path)) else {
            return;
        };
        let Some((deep, of)) = self.jets(a) else {
            return;
        };
        let way = (b - a).normalize();
        // Jets are 5 mm deep as a rule; the limits keep the view legible whatever a block says.
        let down = way.turn_90() * deep.clamp(3.0, 8.0);
        let mut outline = self.straight(a - down, b - down);
        outline.extend(self.straight(b - down, b + down));
        outline.extend(self.straight(b + down, a + down));
        outline.extend(self.straight(a + down, a - down));
        hand.plain(&outline, Shade::Face, of);
        hand.line(&outline, Stroke::Seam);
        hand.line(&self.straight(a, b), Stroke::Edge);
    }

    /// Draws the buttons that are seen; an inner button, or one under a lapel, is not.
    pub(super) fn buttons(&self, hand: &mut Hand) {
        let lapel = closed(&self.lapel_shape().unwrap_or_default());
        for mark in marks(self.fore.piece, MarkKind::Button).filter(|mark| self.is_here(mark)) {
            let on = geometry::start(&mark.path).unwrap_or_default();
            let placed = self.trunk.front(on);
            if placed.seen && !self.on_lapel(on) && !lapel.contains(placed.at) {
                hand.button(placed.at, BUTTON, 1.0);
            }
        }
    }
}
