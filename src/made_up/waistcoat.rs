//! The waistcoat from the front, buttoned left over right, and from behind.

use super::front::joined_on;
use super::hand::{Hand, along, smooth};
use super::trunk::{Trunk, edge, mark, marks, piece};
use super::{Line, Shade};
use crate::draft::{Draft, DraftPiece, MarkKind, Part, Role};
use crate::geometry;
use kurbo::{BezPath, Point, Vec2};

/// A waistcoat's button is a 24-line one, 15 mm (common practice, no source).
const BUTTON: f64 = 15.0;

/// Draws the front; `None` if the draft is not drafted as a waistcoat is.
pub(super) fn front(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let trunk = Trunk::of_waistcoat(draft)?;
    let view = View::new(draft, &trunk)?;
    for right in [false, true] {
        view.behind(&mut hand.side(right))?;
    }
    view.neck(hand)?;
    for left in [false, true] {
        view.forepart(&mut hand.side(left))?;
    }
    view.buttons(hand);
    Some(())
}

/// Draws the back; `None` if the draft is not drafted as a waistcoat is.
pub(super) fn back(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let trunk = Trunk::of_waistcoat(draft)?;
    let view = View::new(draft, &trunk)?;
    for right in [false, true] {
        view.back_half(&mut hand.side(right))?;
    }
    view.strap(hand);
    Some(())
}

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

    fn on_front(&self, path: &BezPath) -> Vec<Point> {
        let points = along(path, 3.0).into_iter();
        points.filter_map(|p| self.trunk.front(p)).collect()
    }

    fn on_back(&self, path: &BezPath) -> Vec<Point> {
        let points = along(path, 3.0).into_iter();
        points.filter_map(|p| self.trunk.back(p)).collect()
    }

    /// An edge of the back as it is seen beyond the forepart: it hangs from the same shoulder seam.
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

    /// One half of the back as it is seen through V and armhole.
    fn behind(&self, hand: &mut Hand) -> Option<()> {
        let neck = self.beyond(Role::Neck)?;
        let shoulder = self.beyond(Role::Shoulder)?;
        let scye = self.beyond(Role::Scye)?;
        let mut shape = neck;
        shape.extend(&shoulder);
        shape.extend(&scye);
        shape.push(Point::new(0.0, self.trunk.waist));
        hand.shape(&shape, Shade::Inside);
        hand.line(&scye, Line::Seam);
        Some(())
    }

    /// The neck of the back, from shoulder to shoulder.
    fn neck(&self, hand: &mut Hand) -> Option<()> {
        let neck = self.beyond(Role::Neck)?;
        let mut whole: Vec<Point> = neck.iter().rev().map(|p| Point::new(-p.x, p.y)).collect();
        whole.extend(&neck);
        hand.line(&whole, Line::Outline);
        Some(())
    }

    fn forepart(&self, hand: &mut Hand) -> Option<()> {
        let flat = |role: Role| Some(self.on_front(edge(self.fore, role)?));
        let shoulder = flat(Role::Shoulder)?;
        let mut rim = flat(Role::Neck)?;
        rim.extend(flat(Role::FrontEdge)?);
        rim.extend(flat(Role::CutAway)?);
        let mut hem = flat(Role::Hem)?;
        let end = hem.last().copied()?;
        let onward = along(edge(self.back, Role::Hem)?, 3.0).into_iter();
        let mut onward: Vec<Point> = onward
            .filter_map(|p| self.trunk.side_from_front(p))
            .collect();
        onward.sort_by(|a, b| a.x.total_cmp(&b.x));
        hem.extend(joined_on(end, &onward));
        let foot = hem.last().copied()?;
        let scye = flat(Role::Scye)?;
        let arm = scye.first().copied()?;
        let side = self.silhouette(arm, foot.y);
        let mut body = shoulder.clone();
        body.extend(&rim);
        body.extend(&hem);
        body.extend(side.iter().rev());
        body.extend(&scye);
        hand.shape(&body, Shade::Face);
        for line in [&shoulder, &rim, &hem, &side, &scye] {
            hand.line(line, Line::Outline);
        }
        let seam = along(edge(self.fore, Role::SideSeam)?, 3.0).into_iter();
        hand.seen(seam.map(|p| self.trunk.front(p)), Line::Seam);
        self.marks(hand);
        Some(())
    }

    /// The side of the trunk, from under the arm to a level.
    fn silhouette(&self, arm: Point, foot: f64) -> Vec<Point> {
        let mut line = vec![arm];
        let mut y = arm.y + 12.0;
        while y < foot - 3.0 {
            line.push(Point::new(self.trunk.half_seen(y), y));
            y += 6.0;
        }
        line.push(Point::new(self.trunk.half_seen(foot), foot));
        line
    }

    /// Darts, lapels, welts, stitches and holes of one forepart.
    fn marks(&self, hand: &mut Hand) {
        for mark in &self.fore.marks {
            let line = self.on_front(&mark.path);
            match mark.kind {
                MarkKind::Welt => {
                    hand.shape(&line, Shade::Face);
                    hand.line(&line, Line::Edge);
                }
                MarkKind::Stitching => hand.line(&line, Line::Stitch),
                MarkKind::Dart => hand.line(&line, Line::Seam),
                MarkKind::Lapel | MarkKind::Buttonhole | MarkKind::OpenButtonhole => {
                    hand.line(&line, Line::Edge);
                }
                _ => {}
            }
        }
    }

    fn buttons(&self, hand: &mut Hand) {
        for button in marks(self.fore, MarkKind::Button) {
            let seen = geometry::start(&button.path).and_then(|at| self.trunk.front(at));
            if let Some(seen) = seen {
                hand.side(true).button(seen, BUTTON, 1.0);
            }
        }
    }

    fn back_half(&self, hand: &mut Hand) -> Option<()> {
        let flat = |role: Role| Some(self.on_back(edge(self.back, role)?));
        let neck = flat(Role::Neck)?;
        let shoulder = flat(Role::Shoulder)?;
        let mut scye = flat(Role::Scye)?;
        let onward = along(edge(self.fore, Role::Scye)?, 3.0).into_iter();
        let under = scye.last().copied()?;
        scye.extend(
            onward
                .filter_map(|p| self.trunk.side_from_back(p))
                .take_while(|p| p.y > under.y - 12.0),
        );
        let arm = scye.last().copied()?;
        let mut hem = flat(Role::Hem)?;
        hem.sort_by(|a, b| a.x.total_cmp(&b.x));
        let foot = hem.last().copied()?;
        let mut onward: Vec<Point> = along(edge(self.fore, Role::Hem)?, 3.0)
            .into_iter()
            .filter_map(|p| self.trunk.side_from_back(p))
            .collect();
        onward.sort_by(|a, b| a.x.total_cmp(&b.x));
        hem.extend(joined_on(foot, &onward));
        let foot = hem.last().copied()?;
        let side = self.silhouette(arm, foot.y);
        let mut body = neck.clone();
        body.extend(&shoulder);
        body.extend(&scye);
        body.extend(&side);
        body.extend(hem.iter().rev());
        hand.shape(&body, Shade::Face);
        for line in [&neck, &shoulder, &scye, &side, &hem] {
            hand.line(line, Line::Outline);
        }
        let seam = along(edge(self.back, Role::SideSeam)?, 3.0).into_iter();
        hand.seen(seam.map(|p| self.trunk.back(p)), Line::Seam);
        let middle = flat(Role::CentreBack)?;
        hand.line(&middle, Line::Seam);
        for dart in marks(self.back, MarkKind::Dart) {
            hand.line(&self.on_back(&dart.path), Line::Seam);
        }
        Some(())
    }

    /// The strap across the back, with its buckle on the centre back.
    fn strap(&self, hand: &mut Hand) {
        let Some(place) = mark(self.back, MarkKind::Strap).map(|mark| self.on_back(&mark.path))
        else {
            return;
        };
        let (Some(a), Some(b)) = (place.first(), place.last()) else {
            return;
        };
        let (top, foot) = (a.y.min(b.y), a.y.max(b.y));
        let band = [
            Point::new(-a.x, top),
            Point::new(a.x, top),
            Point::new(a.x, foot),
            Point::new(-a.x, foot),
            Point::new(-a.x, top),
        ];
        hand.shape(&band, Shade::Face);
        hand.line(&band, Line::Edge);
        let (middle, half) = (Point::new(0.0, (top + foot) / 2.0), (foot - top) / 2.0);
        let frame = |wide: f64, tall: f64| {
            let corner = |x: f64, y: f64| middle + Vec2::new(x * wide, y * tall);
            [
                corner(-1.0, -1.0),
                corner(1.0, -1.0),
                corner(1.0, 1.0),
                corner(-1.0, 1.0),
                corner(-1.0, -1.0),
            ]
        };
        hand.shape(&frame(11.0, half + 4.0), Shade::Face);
        hand.line(&frame(11.0, half + 4.0), Line::Edge);
        hand.line(&frame(7.0, half), Line::Seam);
        hand.line(
            &smooth(&[middle - Vec2::new(7.0, 0.0), middle + Vec2::new(9.0, 0.0)]),
            Line::Edge,
        );
    }
}
