//! Draws the jacket from behind.

use super::hand::{Hand, smooth};
use super::shown::{Shade, Stroke};
use super::sleeve::{Hang, Sleeve};
use super::trunk::{LEVELS, Trunk, continued, edge, laid, piece, sampled, vent_lines};
use crate::draft::{Draft, DraftPiece, Part, Role};
use crate::geometry;
use kurbo::{BezPath, Point, Vec2};

/// Draws the back; `None` if the draft lacks a part of a jacket.
pub(super) fn draw(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let trunk = Trunk::new(draft)?;
    let back = piece(draft, Part::Back)?;
    let side = piece(draft, Part::SideBody)?;
    let view = Back {
        draft,
        trunk: &trunk,
        back,
        side,
    };
    view.half(&mut hand.half(false))?;
    view.half(hand)?;
    view.middle(hand)?;
    view.sleeve(&mut hand.half(false))?;
    view.sleeve(hand)?;
    view.collar(hand);
    Some(())
}

/// The pieces that the back view is drawn from.
struct Back<'a> {
    draft: &'a Draft,
    trunk: &'a Trunk,
    back: &'a DraftPiece,
    side: &'a DraftPiece,
}

/// Width of the cloth that laps under at a vent, mm, at its top and at the hem.
#[derive(Clone, Copy)]
struct Underlap {
    top: f64,
    foot: f64,
}

impl Back<'_> {
    /// Returns the points of a path on the back as they are seen.
    fn flat(&self, path: &BezPath) -> Vec<Point> {
        laid(path, |p| self.trunk.back(p))
    }

    /// Returns the fold of a piece's vent.
    fn fold(&self, piece: &DraftPiece) -> Option<BezPath> {
        vent_lines(piece).next().map(|mark| mark.path.clone())
    }

    /// Returns the scye from the shoulder down, as far as it is seen from behind.
    fn scye(&self) -> Option<Vec<Point>> {
        let mut scye = self.flat(edge(self.back, Role::Scye)?);
        let onward = edge(self.side, Role::Scye)?;
        scye.extend(laid(onward, |p| self.trunk.side_from_back(p)));
        Some(scye)
    }

    /// Draws one half of the body.
    fn half(&self, hand: &mut Hand) -> Option<()> {
        let neck = self.flat(edge(self.back, Role::Neck)?);
        let shoulder = self.flat(edge(self.back, Role::Shoulder)?);
        let scye = self.scye()?;
        let arm = scye.last().copied()?;
        let hem = self.hem()?;
        let foot = hem.first().copied()?;
        let mut silhouette = vec![arm];
        let mut y = self.trunk.chest + 12.0;
        while y < foot.y {
            silhouette.push(Point::new(self.trunk.half_seen(y), y));
            y += LEVELS;
        }
        let mut body = neck;
        body.extend(&shoulder);
        body.extend(&scye);
        body.extend(&silhouette);
        body.extend(&hem);
        hand.shape(&body, Shade::Face);
        hand.line(&shoulder, Stroke::Outline);
        hand.line(&silhouette, Stroke::Outline);
        hand.line(&hem, Stroke::Outline);
        let seam = edge(self.back, Role::SideSeam)?;
        hand.seen(sampled(seam).map(|p| self.trunk.back(p)), Stroke::Seam);
        if let Some(lap) = self.underlap(self.side, Role::SideVent) {
            let fold = self.flat(&self.fold(self.back)?);
            self.vent(hand, &fold, lap, -1.0);
        }
        Some(())
    }

    /// Returns the hem from the side to the centre back.
    fn hem(&self) -> Option<Vec<Point>> {
        let foot = |piece: &DraftPiece, seam: Role, fold: bool| {
            let path = if fold {
                self.fold(piece)
            } else {
                edge(piece, seam).cloned()
            }?;
            [geometry::start(&path)?, geometry::end(&path)?]
                .into_iter()
                .max_by(|a, b| a.y.total_cmp(&b.y))
        };
        let at_side = edge(self.back, Role::SideVent).is_some();
        let at_centre = edge(self.back, Role::CentreVent).is_some();
        let centre = Point::new(0.0, foot(self.back, Role::CentreBack, at_centre)?.y);
        let seam = self.trunk.back(foot(self.back, Role::SideSeam, at_side)?)?;
        let mut side = laid(edge(self.side, Role::Hem)?, |p| {
            self.trunk.side_from_back(p)
        });
        side.sort_by(|a, b| a.x.total_cmp(&b.x));
        let mut hem = smooth(&[centre, seam.midpoint(centre) + Vec2::new(0.0, 0.5), seam]);
        // Towards the side the hem is seen almost edge-on, so that its fall hardly shows.
        let onward = continued(seam, &side).into_iter();
        hem.extend(onward.map(|p| Point::new(p.x, seam.y + 0.3 * (p.y - seam.y))));
        let foot = hem.last().copied()?;
        hem.push(Point::new(self.trunk.half_seen(foot.y).max(foot.x), foot.y));
        hem.reverse();
        Some(hem)
    }

    /// Draws a vent: its edge, the strip of underlap that shows where the vent hangs open, and in dashes the
    /// edge of the underlap behind it. `out` is 1 or -1, the direction of x in which the underlap lies.
    fn vent(&self, hand: &mut Hand, fold: &[Point], lap: Underlap, out: f64) {
        let (Some(top), Some(foot)) = (fold.first(), fold.last()) else {
            return;
        };
        hand.line(fold, Stroke::Edge);
        let part = |p: &Point| (p.y - top.y) / (foot.y - top.y).max(1.0);
        // A strip of it shows that widens to the hem, more where the underlap flares (9 mm judged by eye).
        let open = 9.0 + (lap.foot - lap.top).max(0.0);
        let under: Vec<Point> = fold
            .iter()
            .map(|p| *p - Vec2::new(out * open * part(p), 1.5 * part(p)))
            .collect();
        let mut strip = fold.to_vec();
        strip.extend(under.iter().rev());
        hand.shape(&strip, Shade::Lap);
        hand.line(&under, Stroke::Seam);
        let hidden =
            |p: &Point| *p + Vec2::new(out * (lap.top + (lap.foot - lap.top) * part(p)), 0.0);
        let edge: Vec<Point> = fold
            .iter()
            .map(hidden)
            .skip_while(|p| p.y < top.y + 9.0)
            .collect();
        hand.line(&edge, Stroke::Hidden);
        // A slanted row of stitches holds the top of the vent.
        hand.line(&[*top, *top + Vec2::new(out * 9.0, 9.0)], Stroke::Seam);
    }

    /// Measures what laps under at a vent: the width from its fold to the edge of its piece.
    fn underlap(&self, piece: &DraftPiece, vent: Role) -> Option<Underlap> {
        let (fold, edge) = (self.fold(piece)?, edge(piece, vent)?);
        let ends = |path: &BezPath| {
            let (a, b) = (geometry::start(path)?, geometry::end(path)?);
            Some(if a.y < b.y { (a, b) } else { (b, a) })
        };
        let ((_, fold_foot), (edge_top, edge_foot)) = (ends(&fold)?, ends(edge)?);
        Some(Underlap {
            top: geometry::nearest(&fold, edge_top).distance,
            foot: fold_foot.distance(edge_foot),
        })
    }

    /// Draws the centre back seam and its vent.
    fn middle(&self, hand: &mut Hand) -> Option<()> {
        let seam = edge(self.back, Role::CentreBack)?;
        let (a, b) = (geometry::start(seam)?, geometry::end(seam)?);
        let (high, low) = (a.y.min(b.y), a.y.max(b.y));
        hand.line(&[Point::new(0.0, high), Point::new(0.0, low)], Stroke::Seam);
        if let Some(lap) = self.underlap(self.back, Role::CentreVent) {
            let fold = self.fold(self.back)?;
            let foot = geometry::end(&fold)?.y.max(geometry::start(&fold)?.y);
            let line: Vec<Point> = (0..=20)
                .map(|i| Point::new(0.0, low + (foot - low) * f64::from(i) / 20.0))
                .collect();
            self.vent(hand, &line, lap, -1.0);
        }
        Some(())
    }

    /// Draws a sleeve with the buttons of its cuff.
    fn sleeve(&self, hand: &mut Hand) -> Option<()> {
        let scye = self.scye()?;
        let shoulder = scye.first().copied()?;
        // The sleeve comes out from under the body about a quarter of the scye above the chest line.
        let leaves = self.trunk.chest - 0.24 * (self.trunk.chest - shoulder.y);
        let scye: Vec<Point> = scye.into_iter().take_while(|p| p.y < leaves).collect();
        let hang = Hang {
            shoulder,
            inside: scye.last().copied()?,
            waist: self.trunk.half_seen(self.trunk.waist),
        };
        let sleeve = Sleeve::new(self.draft, &hang)?;
        sleeve.draw(hand, &scye);
        // The hindarm seam runs from the scye down to the cuff, a little nearer the body than the middle of
        // the sleeve; the heights in mm above the hem suit any sleeve, as the seam is nearly straight.
        let from = scye.get(scye.len() * 2 / 3).copied()?;
        let seam = smooth(&[
            from,
            sleeve.at(430.0, 0.42),
            sleeve.at(300.0, 0.36),
            sleeve.at(150.0, 0.4),
            sleeve.at(0.0, 0.44),
        ]);
        hand.line(&seam, Stroke::Seam);
        sleeve.draw_buttons(hand, 0.6, 1.0);
        Some(())
    }

    /// Draws the fall of the collar round the back of the neck.
    fn collar(&self, hand: &mut Hand) {
        let Some(neck) = edge(self.back, Role::Neck).map(|path| self.flat(path)) else {
            return;
        };
        let (Some(nape), Some(point)) = (neck.first(), neck.last()) else {
            return;
        };
        // The collar's centre back is stand and fall together; the fall is about 10 mm
        // longer, so that it covers the neck seam.
        let long = piece(self.draft, Part::Collar)
            .and_then(|collar| edge(collar, Role::CentreBack))
            .map_or(70.0, geometry::length);
        let stand = 0.43 * long;
        let fall = long - stand;
        let crease = Point::new(point.x - 8.0, point.y - 0.82 * stand);
        let top = smooth(&[
            Point::new(-crease.x, crease.y),
            Point::new(0.0, nape.y - 1.25 * stand),
            crease,
        ]);
        // The outer edge runs over the shoulders to the front.
        let out = Point::new(point.x + 0.42 * fall, point.y + 0.16 * fall + 3.0);
        let low = smooth(&[
            Point::new(-out.x, out.y),
            Point::new(-0.55 * out.x, nape.y + 0.16 * fall),
            Point::new(0.0, nape.y - 1.25 * stand + fall + 5.0),
            Point::new(0.55 * out.x, nape.y + 0.16 * fall),
            out,
        ]);
        let round = smooth(&[crease, crease.lerp(out, 0.55) + Vec2::new(3.0, -5.0), out]);
        let mut shape = top.clone();
        shape.extend(&round);
        shape.extend(low.iter().rev());
        shape.extend(round.iter().rev().map(|p| Point::new(-p.x, p.y)));
        hand.shape(&shape, Shade::Face);
        hand.line(&top, Stroke::Outline);
        hand.line(&low, Stroke::Edge);
        hand.line(&round, Stroke::Outline);
        hand.half(false).line(&round, Stroke::Outline);
        hand.line(
            &[
                Point::new(0.0, nape.y - 1.25 * stand),
                Point::new(0.0, nape.y - 1.25 * stand + fall + 5.0),
            ],
            Stroke::Seam,
        );
    }
}
