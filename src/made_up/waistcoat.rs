//! Draws the waistcoat from the front, buttoned left over right, and from behind.

use super::hand::{Hand, smooth};
use super::shown::{Shade, Stroke};
use super::trunk::{Trunk, continued, edge, laid, mark, marks, piece, sampled};
use crate::draft::{Draft, DraftPiece, MarkKind, Part, Role};
use crate::geometry;
use kurbo::{BezPath, Point, Rect, Vec2};

/// A waistcoat's button is a 24-line one, 15 mm (common practice, no source).
const BUTTON: f64 = 15.0;

/// Draws the front; `None` if the draft lacks a part of a waistcoat.
pub(super) fn front(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let trunk = Trunk::of_waistcoat(draft)?;
    let view = View::new(draft, &trunk)?;
    for right in [false, true] {
        view.behind(&mut hand.half(right))?;
    }
    view.neck(hand)?;
    for left in [false, true] {
        view.forepart(&mut hand.half(left))?;
    }
    view.buttons(hand);
    Some(())
}

/// Draws the back; `None` if the draft lacks a part of a waistcoat.
pub(super) fn back(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let trunk = Trunk::of_waistcoat(draft)?;
    let view = View::new(draft, &trunk)?;
    for right in [false, true] {
        view.back_half(&mut hand.half(right))?;
    }
    view.strap(hand);
    Some(())
}

/// The pieces that both views are drawn from.
struct View<'a> {
    trunk: &'a Trunk,
    fore: &'a DraftPiece,
    back: &'a DraftPiece,
}

impl<'a> View<'a> {
    fn new(draft: &'a Draft, trunk: &'a Trunk) -> Option<Self> {
        Some(Self {
            trunk,
            fore: piece(draft, Part::Forepart)?,
            back: piece(draft, Part::Back)?,
        })
    }

    /// Returns the points of a path on the forepart as they are seen from the front.
    fn on_front(&self, path: &BezPath) -> Vec<Point> {
        laid(path, |p| self.trunk.front(p))
    }

    /// Returns the points of a path on the back as they are seen from behind.
    fn on_back(&self, path: &BezPath) -> Vec<Point> {
        laid(path, |p| self.trunk.back(p))
    }

    /// Returns an edge of the back as it is seen past the forepart, moved to the level of their shoulder seam.
    fn beyond(&self, role: Role) -> Option<Vec<Point>> {
        let front = self
            .trunk
            .front(geometry::end(edge(self.fore, Role::Shoulder)?)?)?;
        let back = self
            .trunk
            .back(geometry::start(edge(self.back, Role::Shoulder)?)?)?;
        let lower = Vec2::new(0.0, front.y - back.y);
        let points = self.on_back(edge(self.back, role)?).into_iter();
        Some(points.map(|p| p + lower).collect())
    }

    /// Draws the half of the back that shows through the V and the armhole.
    fn behind(&self, hand: &mut Hand) -> Option<()> {
        let neck = self.beyond(Role::Neck)?;
        let shoulder = self.beyond(Role::Shoulder)?;
        let scye = self.beyond(Role::Scye)?;
        let mut shape = neck;
        shape.extend(&shoulder);
        shape.extend(&scye);
        shape.push(Point::new(0.0, self.trunk.waist));
        hand.shape(&shape, Shade::Inside);
        hand.line(&scye, Stroke::Seam);
        Some(())
    }

    /// Draws the neck of the back, from shoulder to shoulder.
    fn neck(&self, hand: &mut Hand) -> Option<()> {
        let neck = self.beyond(Role::Neck)?;
        let mut whole: Vec<Point> = neck.iter().rev().map(|p| Point::new(-p.x, p.y)).collect();
        whole.extend(&neck);
        hand.line(&whole, Stroke::Outline);
        Some(())
    }

    /// Draws one forepart.
    fn forepart(&self, hand: &mut Hand) -> Option<()> {
        let flat = |role: Role| Some(self.on_front(edge(self.fore, role)?));
        let shoulder = flat(Role::Shoulder)?;
        let mut rim = flat(Role::Neck)?;
        rim.extend(flat(Role::FrontEdge)?);
        rim.extend(flat(Role::CutAway)?);
        let mut hem = flat(Role::Hem)?;
        let end = hem.last().copied()?;
        let mut onward = laid(edge(self.back, Role::Hem)?, |p| {
            self.trunk.side_from_front(p)
        });
        onward.sort_by(|a, b| a.x.total_cmp(&b.x));
        hem.extend(continued(end, &onward));
        let foot = hem.last().copied()?;
        let scye = flat(Role::Scye)?;
        let arm = scye.first().copied()?;
        let silhouette = self.trunk.silhouette(arm, Point::new(0.0, foot.y));
        let mut body = shoulder.clone();
        body.extend(&rim);
        body.extend(&hem);
        body.extend(silhouette.iter().rev());
        body.extend(&scye);
        hand.shape(&body, Shade::Face);
        for line in [&shoulder, &rim, &hem, &silhouette, &scye] {
            hand.line(line, Stroke::Outline);
        }
        let seam = edge(self.fore, Role::SideSeam)?;
        hand.seen(sampled(seam).map(|p| self.trunk.front(p)), Stroke::Seam);
        self.marks(hand);
        Some(())
    }

    /// Draws what lies on one forepart: darts, lapels, welts, stitches and buttonholes.
    fn marks(&self, hand: &mut Hand) {
        for mark in &self.fore.marks {
            let line = self.on_front(&mark.path);
            match mark.kind {
                MarkKind::Welt => {
                    hand.shape(&line, Shade::Face);
                    hand.line(&line, Stroke::Edge);
                }
                MarkKind::Stitching => hand.line(&line, Stroke::Stitch),
                MarkKind::Dart => hand.line(&line, Stroke::Seam),
                MarkKind::Lapel => hand.line(&line, Stroke::Edge),
                MarkKind::Buttonhole | MarkKind::OpenButtonhole => hand.line(&line, Stroke::Hole),
                _ => {}
            }
        }
    }

    /// Draws the buttons of the centre front.
    fn buttons(&self, hand: &mut Hand) {
        for button in marks(self.fore, MarkKind::Button) {
            let seen = geometry::start(&button.path).and_then(|at| self.trunk.front(at));
            if let Some(seen) = seen {
                hand.half(true).button(seen, BUTTON, 1.0);
            }
        }
    }

    /// Draws one half of the back view.
    fn back_half(&self, hand: &mut Hand) -> Option<()> {
        let flat = |role: Role| Some(self.on_back(edge(self.back, role)?));
        let neck = flat(Role::Neck)?;
        let shoulder = flat(Role::Shoulder)?;
        let mut scye = flat(Role::Scye)?;
        let under = scye.last().copied()?;
        // A little of the forepart's scye shows beyond the side seam.
        let onward = laid(edge(self.fore, Role::Scye)?, |p| {
            self.trunk.side_from_back(p)
        });
        scye.extend(onward.into_iter().take_while(|p| p.y > under.y - 12.0));
        let arm = scye.last().copied()?;
        let mut hem = flat(Role::Hem)?;
        hem.sort_by(|a, b| a.x.total_cmp(&b.x));
        let foot = hem.last().copied()?;
        let mut onward = laid(edge(self.fore, Role::Hem)?, |p| {
            self.trunk.side_from_back(p)
        });
        onward.sort_by(|a, b| a.x.total_cmp(&b.x));
        hem.extend(continued(foot, &onward));
        let foot = hem.last().copied()?;
        let silhouette = self.trunk.silhouette(arm, Point::new(0.0, foot.y));
        let mut body = neck.clone();
        body.extend(&shoulder);
        body.extend(&scye);
        body.extend(&silhouette);
        body.extend(hem.iter().rev());
        hand.shape(&body, Shade::Face);
        for line in [&neck, &shoulder, &scye, &silhouette, &hem] {
            hand.line(line, Stroke::Outline);
        }
        let seam = edge(self.back, Role::SideSeam)?;
        hand.seen(sampled(seam).map(|p| self.trunk.back(p)), Stroke::Seam);
        let middle = flat(Role::CentreBack)?;
        hand.line(&middle, Stroke::Seam);
        for dart in marks(self.back, MarkKind::Dart) {
            hand.line(&self.on_back(&dart.path), Stroke::Seam);
        }
        Some(())
    }

    /// Draws the strap across the back, with its buckle at the centre back.
    fn strap(&self, hand: &mut Hand) {
        let Some(strap) = mark(self.back, MarkKind::Strap).map(|mark| self.on_back(&mark.path))
        else {
            return;
        };
        let (Some(a), Some(b)) = (strap.first(), strap.last()) else {
            return;
        };
        let (top, foot) = (a.y.min(b.y), a.y.max(b.y));
        let band = frame(Rect::new(-a.x, top, a.x, foot));
        hand.shape(&band, Shade::Face);
        hand.line(&band, Stroke::Edge);
        let (middle, half) = (Point::new(0.0, (top + foot) / 2.0), (foot - top) / 2.0);
        let buckle =
            |wide: f64, tall: f64| frame(Rect::new(-wide, middle.y - tall, wide, middle.y + tall));
        hand.shape(&buckle(11.0, half + 4.0), Shade::Face);
        hand.line(&buckle(11.0, half + 4.0), Stroke::Edge);
        hand.line(&buckle(7.0, half), Stroke::Seam);
        hand.line(
            &smooth(&[middle - Vec2::new(7.0, 0.0), middle + Vec2::new(9.0, 0.0)]),
            Stroke::Edge,
        );
    }
}

/// Returns the corners of a rectangle, the first one again at the end.
fn frame(r: Rect) -> [Point; 5] {
    [
        (r.x0, r.y0),
        (r.x1, r.y0),
        (r.x1, r.y1),
        (r.x0, r.y1),
        (r.x0, r.y0),
    ]
    .map(Point::from)
}
