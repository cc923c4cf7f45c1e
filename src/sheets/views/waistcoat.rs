//! The waistcoat from the front, buttoned left over right, and from behind.

use super::front::joined_on;
use super::hand::{EDGE, Hand, INSIDE, OUTLINE, SEAM, STITCH, along, smooth};
use super::trunk::{Trunk, edge, mark, marks, piece};
use crate::drafting::{Draft, DraftPiece, MarkKind};
use crate::geometry;
use kurbo::{BezPath, Point, Vec2};

/// A waistcoat's button is a 24-line one, 15 mm (common practice, no source).
const BUTTON: f64 = 15.0;

/// Draws the front; `None` if the draft is not drafted as a waistcoat is.
pub fn front(draft: &Draft, hand: &mut Hand) -> Option<()> {
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
pub fn back(draft: &Draft, hand: &mut Hand) -> Option<()> {
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
            fore: piece(draft, "forepart")?,
            back: piece(draft, "back")?,
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
    fn beyond(&self, name: &str) -> Option<Vec<Point>> {
        let front = self
            .trunk
            .front(geometry::end(edge(self.fore, "shoulder")?)?)?;
        let back = self
            .trunk
            .back(geometry::start(edge(self.back, "shoulder")?)?)?;
        let lower = Vec2::new(0.0, front.y - back.y);
        let points = self.on_back(edge(self.back, name)?).into_iter();
        Some(points.map(|p| p + lower).collect())
    }

    /// One half of the back as it is seen through V and armhole.
    fn behind(&self, hand: &mut Hand) -> Option<()> {
        let neck = self.beyond("neck")?;
        let shoulder = self.beyond("shoulder")?;
        let scye = self.beyond("scye")?;
        let mut shape = neck;
        shape.extend(&shoulder);
        shape.extend(&scye);
        shape.push(Point::new(0.0, self.trunk.waist));
        hand.shape(&shape, INSIDE);
        hand.line(&scye, SEAM);
        Some(())
    }

    /// The neck of the back, from shoulder to shoulder.
    fn neck(&self, hand: &mut Hand) -> Option<()> {
        let neck = self.beyond("neck")?;
        let mut whole: Vec<Point> = neck.iter().rev().map(|p| Point::new(-p.x, p.y)).collect();
        whole.extend(&neck);
        hand.line(&whole, OUTLINE);
        Some(())
    }

    fn forepart(&self, hand: &mut Hand) -> Option<()> {
        let flat = |name: &str| Some(self.on_front(edge(self.fore, name)?));
        let shoulder = flat("shoulder")?;
        let mut rim = flat("V")?;
        rim.extend(flat("front edge")?);
        rim.extend(flat("cut away")?);
        let mut hem = flat("hem")?;
        let end = hem.last().copied()?;
        let onward = along(edge(self.back, "hem")?, 3.0).into_iter();
        let mut onward: Vec<Point> = onward
            .filter_map(|p| self.trunk.side_from_front(p))
            .collect();
        onward.sort_by(|a, b| a.x.total_cmp(&b.x));
        hem.extend(joined_on(end, &onward));
        let foot = hem.last().copied()?;
        let scye = flat("scye")?;
        let arm = scye.first().copied()?;
        let side = self.silhouette(arm, foot.y);
        let mut body = shoulder.clone();
        body.extend(&rim);
        body.extend(&hem);
        body.extend(side.iter().rev());
        body.extend(&scye);
        hand.shape(&body, 1.0);
        for line in [&shoulder, &rim, &hem, &side, &scye] {
            hand.line(line, OUTLINE);
        }
        let seam = along(edge(self.fore, "side seam")?, 3.0).into_iter();
        hand.seen(seam.map(|p| self.trunk.front(p)), SEAM);
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
                    hand.shape(&line, 1.0);
                    hand.line(&line, EDGE);
                }
                MarkKind::Stitching => hand.line(&line, STITCH),
                MarkKind::Dart => hand.line(&line, SEAM),
                MarkKind::Lapel | MarkKind::Buttonhole | MarkKind::OpenButtonhole => {
                    hand.line(&line, EDGE);
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
        let flat = |name: &str| Some(self.on_back(edge(self.back, name)?));
        let neck = flat("neck")?;
        let shoulder = flat("shoulder")?;
        let mut scye = flat("scye")?;
        let onward = along(edge(self.fore, "scye")?, 3.0).into_iter();
        let under = scye.last().copied()?;
        scye.extend(
            onward
                .filter_map(|p| self.trunk.side_from_back(p))
                .take_while(|p| p.y > under.y - 12.0),
        );
        let arm = scye.last().copied()?;
        let mut hem = flat("hem")?;
        hem.sort_by(|a, b| a.x.total_cmp(&b.x));
        let foot = hem.last().copied()?;
        let mut onward: Vec<Point> = along(edge(self.fore, "hem")?, 3.0)
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
        hand.shape(&body, 1.0);
        for line in [&neck, &shoulder, &scye, &side, &hem] {
            hand.line(line, OUTLINE);
        }
        let seam = along(edge(self.back, "side seam")?, 3.0).into_iter();
        hand.seen(seam.map(|p| self.trunk.back(p)), SEAM);
        let middle = flat("centre back")?;
        hand.line(&middle, SEAM);
        for dart in marks(self.back, MarkKind::Dart) {
            hand.line(&self.on_back(&dart.path), SEAM);
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
        hand.shape(&band, 1.0);
        hand.line(&band, EDGE);
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
        hand.shape(&frame(11.0, half + 4.0), 1.0);
        hand.line(&frame(11.0, half + 4.0), EDGE);
        hand.line(&frame(7.0, half), SEAM);
        hand.line(
            &smooth(&[middle - Vec2::new(7.0, 0.0), middle + Vec2::new(9.0, 0.0)]),
            EDGE,
        );
    }
}
