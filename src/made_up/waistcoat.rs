//! Draws the waistcoat from the front, buttoned left over right, and from behind.

use super::hand::{Hand, patch, smooth};
use super::lines::{Found, continued, edge, laid, mark, marks, outline, piece, pieces, sampled};
use super::mesh::meshed;
use super::patch::Patch;
use super::pockets;
use super::shown::{LINING, Shade, Stroke};
use super::trunk::Trunk;
use crate::draft::{Draft, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{BezPath, Point, Rect, Vec2};

/// A waistcoat's button is a 24-line one, 15 mm (common practice, no source).
const BUTTON: f64 = 15.0;

/// Draws the front; `None` if the draft lacks a part of a waistcoat.
pub(super) fn front(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let [of_right, of_left] = Trunk::of_both(|side| Trunk::of_waistcoat(draft, side))?;
    let right = View::new(draft, &of_right, Side::Right)?;
    let left = View::new(draft, &of_left, Side::Left)?;
    for view in [&left, &right] {
        view.behind(&mut hand.half(view.is_left()))?;
    }
    neck(&right, &left, hand)?;
    for view in [&right, &left] {
        view.forepart(&mut hand.half(view.is_left()))?;
    }
    left.buttons(hand);
    Some(())
}

/// Draws the back; `None` if the draft lacks a part of a waistcoat.
pub(super) fn back(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let [of_right, of_left] = Trunk::of_both(|side| Trunk::of_waistcoat(draft, side))?;
    let right = View::new(draft, &of_right, Side::Right)?;
    let left = View::new(draft, &of_left, Side::Left)?;
    for view in [&left, &right] {
        view.back_half(&mut hand.half(!view.is_left()))?;
    }
    right.strap(hand);
    Some(())
}

/// Draws the neck of the back, from shoulder to shoulder.
fn neck(right: &View, left: &View, hand: &mut Hand) -> Option<()> {
    let mirrored = right.beyond(Role::Neck)?.into_iter().rev();
    let mut whole: Vec<Point> = mirrored.map(|p| Point::new(-p.x, p.y)).collect();
    whole.extend(left.beyond(Role::Neck)?);
    hand.line(&whole, Stroke::Outline);
    Some(())
}

/// The pieces that one half of both views is drawn from.
struct View<'a> {
    draft: &'a Draft,
    trunk: &'a Trunk,
    side: Side,
    fore: Found<'a>,
    back: Found<'a>,
}

impl<'a> View<'a> {
    fn new(draft: &'a Draft, trunk: &'a Trunk, side: Side) -> Option<Self> {
        Some(Self {
            draft,
            trunk,
            side,
            fore: piece(draft, Part::Forepart, side)?,
            back: piece(draft, Part::Back, side)?,
        })
    }

    /// Whether this is the wearer's left half.
    fn is_left(&self) -> bool {
        self.side == Side::Left
    }

    /// Returns what is seen of forepart and back from the front.
    fn front_cloth(&self) -> Vec<Patch> {
        let back = meshed(&outline(&self.back), &|_| Vec::new(), |p| {
            self.trunk.side_from_front(p)
        });
        let darts = |y: f64| self.trunk.darts(y);
        let fore = meshed(&outline(&self.fore), &darts, |p| self.trunk.front(p));
        let side = Some(self.side);
        vec![patch(self.back, side, back), patch(self.fore, side, fore)]
    }

    /// Returns what is seen of back and forepart from behind.
    fn back_cloth(&self) -> Vec<Patch> {
        let none = |_: f64| Vec::new();
        let fore = meshed(&outline(&self.fore), &none, |p| {
            self.trunk.side_from_back(p)
        });
        let shape = self.trunk.back_to_seams(&self.back);
        let back = meshed(&shape, &none, |p| self.trunk.back(p));
        let side = Some(self.side);
        vec![patch(self.fore, side, fore), patch(self.back, side, back)]
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
        let front = geometry::end(edge(&self.fore, Role::Shoulder)?)?;
        let back = geometry::start(edge(&self.back, Role::Shoulder)?)?;
        let (front, back) = (self.trunk.front(front).at, self.trunk.back(back).at);
        let lower = Vec2::new(0.0, front.y - back.y);
        let points = self.on_back(edge(&self.back, role)?).into_iter();
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
        hand.plain(&shape, Shade::Inside, LINING);
        hand.line(&scye, Stroke::Seam);
        Some(())
    }

    /// Draws one forepart.
    fn forepart(&self, hand: &mut Hand) -> Option<()> {
        let flat = |role: Role| Some(self.on_front(edge(&self.fore, role)?));
        let shoulder = flat(Role::Shoulder)?;
        let mut rim = flat(Role::Neck)?;
        rim.extend(flat(Role::FrontEdge)?);
        rim.extend(flat(Role::CutAway)?);
        let mut hem = flat(Role::Hem)?;
        let end = hem.last().copied()?;
        let mut onward = laid(edge(&self.back, Role::Hem)?, |p| {
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
        hand.patches(&body, Shade::Face, self.front_cloth());
        for line in [&shoulder, &rim, &hem, &silhouette, &scye] {
            hand.line(line, Stroke::Outline);
        }
        let seam = edge(&self.fore, Role::SideSeam)?;
        let seam = sampled(seam).map(|p| self.trunk.front(p));
        hand.seen(seam.map(|p| p.seen.then_some(p.at)), Stroke::Seam);
        self.marks(hand);
        Some(())
    }

    /// Draws what lies on one forepart: darts, lapels, welts, stitches and buttonholes.
    fn marks(&self, hand: &mut Hand) {
        for lapel in pieces(self.draft, Part::Lapel, self.side) {
            let path = geometry::joined(lapel.piece.edges.iter().map(|edge| &edge.path), 0.02);
            let seen = pockets::laid_on(lapel, self.side, self.trunk);
            hand.patches(&self.on_front(&path), Shade::Face, vec![seen]);
        }
        for mark in &self.fore.piece.marks {
            let line = self.on_front(&mark.path);
            match mark.kind {
                MarkKind::Welt => {
                    hand.patches(
                        &line,
                        Shade::Face,
                        pockets::welt(self.draft, &mark.path, self.side, self.trunk),
                    );
                    hand.line(&line, Stroke::Edge);
                }
                MarkKind::Stitching => hand.line(&line, Stroke::Stitch),
                MarkKind::Dart => hand.line(&line, Stroke::Seam),
                MarkKind::Lapel => hand.line(&line, Stroke::Edge),
                MarkKind::Buttonhole | MarkKind::OpenButtonhole => {
                    hand.line(&line, Stroke::Hole);
                }
                _ => {}
            }
        }
    }

    /// Draws the buttons of the centre front, which show through the holes of the left forepart.
    fn buttons(&self, hand: &mut Hand) {
        for button in marks(&self.fore, MarkKind::Button) {
            let placed = geometry::start(&button.path).map(|at| self.trunk.front(at));
            if let Some(placed) = placed.filter(|placed| placed.seen) {
                hand.half(true).button(placed.at, BUTTON, 1.0);
            }
        }
    }

    /// Draws one half of the back view.
    fn back_half(&self, hand: &mut Hand) -> Option<()> {
        let flat = |role: Role| Some(self.on_back(edge(&self.back, role)?));
        let neck = flat(Role::Neck)?;
        let shoulder = flat(Role::Shoulder)?;
        let mut scye = flat(Role::Scye)?;
        let under = scye.last().copied()?;
        // A little of the forepart's scye shows beyond the side seam.
        let onward = laid(edge(&self.fore, Role::Scye)?, |p| {
            self.trunk.side_from_back(p)
        });
        scye.extend(onward.into_iter().take_while(|p| p.y > under.y - 12.0));
        let arm = scye.last().copied()?;
        let mut hem = flat(Role::Hem)?;
        hem.sort_by(|a, b| a.x.total_cmp(&b.x));
        let foot = hem.last().copied()?;
        let mut below = laid(edge(&self.fore, Role::Hem)?, |p| {
            self.trunk.side_from_back(p)
        });
        below.sort_by(|a, b| a.x.total_cmp(&b.x));
        hem.extend(continued(foot, &below));
        let lowest = hem.last().copied()?;
        let silhouette = self.trunk.silhouette(arm, Point::new(0.0, lowest.y));
        let mut body = neck.clone();
        body.extend(&shoulder);
        body.extend(&scye);
        body.extend(&silhouette);
        body.extend(hem.iter().rev());
        hand.patches(&body, Shade::Face, self.back_cloth());
        for line in [&neck, &shoulder, &scye, &silhouette, &hem] {
            hand.line(line, Stroke::Outline);
        }
        let seam = edge(&self.back, Role::SideSeam)?;
        let seam = sampled(seam).map(|p| self.trunk.back(p));
        hand.seen(seam.map(|p| p.seen.then_some(p.at)), Stroke::Seam);
        let middle = flat(Role::CentreBack)?;
        hand.line(&middle, Stroke::Seam);
        for dart in marks(&self.back, MarkKind::Dart) {
            hand.line(&self.on_back(&dart.path), Stroke::Seam);
        }
        Some(())
    }

    /// Draws the strap across the back, with its buckle at the centre back.
    fn strap(&self, hand: &mut Hand) {
        let Some(strap) = mark(&self.back, MarkKind::Strap).map(|mark| self.on_back(&mark.path))
        else {
            return;
        };
        let (Some(a), Some(b)) = (strap.first(), strap.last()) else {
            return;
        };
        let (top, foot) = (a.y.min(b.y), a.y.max(b.y));
        let band = frame(Rect::new(-a.x, top, a.x, foot));
        hand.plain(&band, Shade::Face, LINING);
        hand.line(&band, Stroke::Edge);
        let (middle, half) = (Point::new(0.0, (top + foot) / 2.0), (foot - top) / 2.0);
        let buckle =
            |wide: f64, tall: f64| frame(Rect::new(-wide, middle.y - tall, wide, middle.y + tall));
        hand.plain(&buckle(11.0, half + 4.0), Shade::Face, LINING);
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
