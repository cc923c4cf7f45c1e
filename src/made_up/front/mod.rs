//! The jacket from the front, buttoned left over right.

mod lapel;
mod marks;

use super::hand::{Hand, along, smooth};
use super::sleeve::{Hang, Sleeve};
use super::trunk::{Trunk, edge, mark, piece, seam};
use super::{Line, Shade};
use crate::draft::{Draft, DraftPiece, Mark, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{Affine, BezPath, Point, Vec2};

/// What the front is drawn from.
struct Front<'a> {
    draft: &'a Draft,
    trunk: &'a Trunk,
    fore: &'a DraftPiece,
    /// What is marked on it for the right side and for the left.
    marks: [Vec<Mark>; 2],
    /// Where the lapel breaks, and where the roll line crosses the gorge.
    roll: (Point, Point),
    over: Affine,
    /// The crease of the collar beside the neck, as seen.
    neck: Point,
    /// Where neck and shoulder meet, as seen.
    neck_point: Point,
    shoulder: Point,
}

/// Draws the front; `None` if the draft is not drafted as a jacket is.
pub(super) fn draw(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let trunk = Trunk::new(draft)?;
    let front = Front::new(draft, &trunk)?;
    front.draw(hand)
}

/// The marks of the forepart of one side, as it was drafted: what lies on one side only is on no other.
fn marks_of(draft: &Draft, fore: &DraftPiece, side: Side) -> Vec<Mark> {
    let own = draft.part_on(Part::Forepart, side).unwrap_or(fore);
    own.marks.clone()
}

/// A hem that goes on from where another ends: the two seams that meet there are as long as each
/// other, and so the second is brought to the level of the first.
pub(super) fn joined_on(end: Point, next: &[Point]) -> Vec<Point> {
    let onward: Vec<Point> = next.iter().copied().filter(|p| p.x > end.x + 0.5).collect();
    let step = onward.first().map_or(0.0, |first| end.y - first.y);
    onward
        .into_iter()
        .map(|p| p + Vec2::new(0.0, step))
        .collect()
}

impl<'a> Front<'a> {
    fn new(draft: &'a Draft, trunk: &'a Trunk) -> Option<Self> {
        let fore = piece(draft, Part::Forepart)?;
        let line = &mark(fore, MarkKind::RollLine)?.path;
        let roll = (geometry::start(line)?, geometry::end(line)?);
        let shoulder = edge(fore, Role::Shoulder)?;
        let (end, neck) = (geometry::start(shoulder)?, geometry::end(shoulder)?);
        let neck_point = trunk.front(neck)?;
        Some(Self {
            draft,
            trunk,
            fore,
            marks: [Side::Right, Side::Left].map(|side| marks_of(draft, fore, side)),
            roll,
            over: Affine::reflect(roll.0, roll.1 - roll.0),
            neck: neck_point + Vec2::new(-7.0, -27.0),
            neck_point,
            shoulder: trunk.front(end)?,
        })
    }

    fn marks(&self, left: bool) -> &[Mark] {
        &self.marks[usize::from(left)]
    }

    fn draw(&self, hand: &mut Hand) -> Option<()> {
        self.inside(hand);
        for left in [false, true] {
            let mut side = hand.side(left);
            self.half(&mut side, left)?;
        }
        for left in [false, true] {
            let mut side = hand.side(left);
            self.collar(&mut side);
            self.sleeve(&mut side)?;
        }
        self.buttons(hand);
        Some(())
    }

    /// What is seen of the inside: the back of the neck, and the back below the quarters.
    fn inside(&self, hand: &mut Hand) {
        let (neck, seam) = (self.neck, self.neck_point);
        let middle = Point::new(0.0, neck.y + 10.0);
        let across = |a: Point, middle: Point| smooth(&[a, middle, Point::new(-a.x, a.y)]);
        let top = across(neck, middle);
        let low = across(seam, Point::new(0.0, seam.y + 14.0));
        let roll = self.straight(self.roll.1, self.roll.0);
        let mut shape = top.clone();
        shape.extend(roll.iter().map(|p| Point::new(-p.x, p.y)));
        shape.extend(roll.iter().rev());
        hand.shape(&shape, Shade::Inside);
        let mut band = top.clone();
        band.extend(low.iter().rev());
        hand.shape(&band, Shade::Neck);
        hand.line(&top, Line::Outline);
        hand.line(&low, Line::Seam);
        // Below the quarters: the back's hem.
        let Some(hem) = piece(self.draft, Part::Back).and_then(|back| edge(back, Role::Hem)) else {
            return;
        };
        let Some(level) = geometry::end(hem).map(|end| end.y) else {
            return;
        };
        let wide = 0.8 * self.trunk.half_seen(level);
        let hem = smooth(&[
            Point::new(-wide, level),
            Point::new(0.0, level - 7.0),
            Point::new(wide, level),
        ]);
        let mut shape = hem.clone();
        shape.extend([
            Point::new(wide, self.trunk.waist),
            Point::new(-wide, self.trunk.waist),
        ]);
        hand.shape(&shape, Shade::Inside);
        hand.line(&hem, Line::Seam);
    }

    /// A point of the forepart as seen, turned over with the lapel if it lies beyond the roll line.
    fn seen(&self, p: Point) -> Option<Point> {
        self.trunk.front(self.turned(p))
    }

    /// Whether a point lies on the lapel.
    fn on_lapel(&self, p: Point) -> bool {
        let (breaks, top) = self.roll;
        p.y < breaks.y + 0.5 && (top - breaks).cross(p - breaks) > 0.5
    }

    fn turned(&self, p: Point) -> Point {
        if self.on_lapel(p) { self.over * p } else { p }
    }

    /// A path as seen; only the part on this side of the figure.
    fn line(&self, path: &BezPath) -> Vec<Point> {
        along(path, 3.0)
            .into_iter()
            .filter_map(|p| self.seen(p))
            .collect()
    }

    /// Points of a path of the body, which does not turn over.
    fn flat(&self, path: &BezPath) -> Vec<Point> {
        along(path, 3.0)
            .into_iter()
            .filter_map(|p| self.trunk.front(p))
            .collect()
    }

    fn lying(&self, path: &BezPath) -> Vec<Point> {
        let over = self.over * path;
        along(&over, 3.0)
            .into_iter()
            .filter_map(|p| self.trunk.front(p))
            .collect()
    }

    fn straight(&self, a: Point, b: Point) -> Vec<Point> {
        let mut path = BezPath::new();
        path.move_to(a);
        path.line_to(b);
        self.flat(&path)
    }

    fn edge(&self, role: Role) -> Option<&'a BezPath> {
        edge(self.fore, role)
    }

    /// One forepart with its side body, pockets and lapel.
    fn half(&self, hand: &mut Hand, left: bool) -> Option<()> {
        let side = piece(self.draft, Part::SideBody)?;
        let (breaks, top) = self.roll;
        let shoulder = self.flat(self.edge(Role::Shoulder)?);
        let neck = self.flat(self.edge(Role::Neck)?);
        let roll = self.straight(top, breaks);
        let front_edge = self.flat(self.edge(Role::FrontEdge)?);
        let mut hem = self.flat(self.edge(Role::Hem)?);
        let side_hem = along(edge(side, Role::Hem)?, 3.0).into_iter().rev();
        let side_hem: Vec<Point> = side_hem
            .filter_map(|p| self.trunk.side_from_front(p))
            .collect();
        let end = hem.last().copied().unwrap_or_default();
        hem.extend(joined_on(end, &side_hem));
        let foot = hem.last().copied()?;
        let scye = self.flat(self.edge(Role::Scye)?);
        let arm = scye.first().copied()?;
        let silhouette = self.silhouette(arm, foot);
        let mut body = shoulder.clone();
        body.extend(&neck);
        body.extend(&roll);
        body.extend(&front_edge);
        body.extend(&hem);
        body.extend(silhouette.iter().rev());
        body.extend(&scye);
        hand.shape(&body, Shade::Face);
        hand.line(&shoulder, Line::Outline);
        hand.line(&front_edge, Line::Outline);
        hand.line(&hem, Line::Outline);
        hand.line(&silhouette, Line::Outline);
        for under in seam(self.fore, Role::SideSeam)? {
            let seen = along(&under, 3.0).into_iter();
            hand.seen(seen.map(|p| self.trunk.front(p)), Line::Seam);
        }
        if let Some(dart) = self
            .marks(left)
            .iter()
            .find(|mark| mark.kind == MarkKind::Dart)
        {
            hand.line(&self.flat(&dart.path), Line::Seam);
        }
        self.pockets(hand, left);
        self.lapel(hand)?;
        for mark in self.marks(left) {
            self.mark(hand, mark, left);
        }
        Some(())
    }

    /// The side of the trunk, from under the arm to the hem.
    fn silhouette(&self, arm: Point, foot: Point) -> Vec<Point> {
        let mut line = vec![arm];
        let mut y = arm.y + 12.0;
        while y < foot.y - 3.0 {
            line.push(Point::new(self.trunk.half_seen(y), y));
            y += 6.0;
        }
        line.push(Point::new(self.trunk.half_seen(foot.y).max(foot.x), foot.y));
        line
    }

    fn sleeve(&self, hand: &mut Hand) -> Option<()> {
        let scye: Vec<Point> = self
            .flat(self.edge(Role::Scye)?)
            .into_iter()
            .rev()
            .collect();
        // The sleeve's inside comes out from under the body a little above the chest line.
        let leaves = self.trunk.chest - 0.16 * (self.trunk.chest - self.shoulder.y);
        let scye: Vec<Point> = scye.into_iter().take_while(|p| p.y < leaves).collect();
        let hang = Hang {
            shoulder: self.shoulder,
            inside: scye.last().copied()?,
            waist: self.trunk.half_seen(self.trunk.waist),
        };
        let sleeve = Sleeve::new(self.draft, &hang)?;
        sleeve.draw(hand, &scye);
        sleeve.draw_buttons(hand, 0.93, 0.45);
        Some(())
    }
}
