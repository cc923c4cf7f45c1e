//! Draws the jacket from the front, buttoned left over right.

mod lapel;
mod marks;

use super::hand::{Hand, smooth};
use super::shown::{Shade, Stroke};
use super::sleeve::{Hang, Sleeve};
use super::trunk::{Trunk, continued, edge, laid, mark, piece, sampled, seam};
use crate::draft::{Draft, DraftPiece, Mark, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{Affine, BezPath, Point, Vec2};

/// The pieces and lines that the front view is drawn from.
struct Front<'a> {
    draft: &'a Draft,
    trunk: &'a Trunk,
    fore: &'a DraftPiece,
    /// The marks of the right forepart and of the left.
    marks: [Vec<Mark>; 2],
    /// The ends of the roll line on the forepart: where the lapel breaks, and the gorge.
    roll: (Point, Point),
    /// The reflection about the roll line, which turns the lapel over.
    over: Affine,
    /// The crease of the collar beside the neck, as it is seen.
    neck: Point,
    /// The neck point, where neck and shoulder meet, as it is seen.
    neck_point: Point,
    /// The shoulder point, where shoulder and scye meet, as it is seen.
    shoulder: Point,
}

/// Draws the front; `None` if the draft lacks a part of a jacket.
pub(super) fn draw(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let trunk = Trunk::new(draft)?;
    let front = Front::new(draft, &trunk)?;
    front.draw(hand)
}

/// Returns the marks of the forepart of one side, or of the only forepart.
fn marks_of(draft: &Draft, fore: &DraftPiece, side: Side) -> Vec<Mark> {
    let own = draft.part_on(Part::Forepart, side).unwrap_or(fore);
    own.marks.clone()
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
            // The collar stands 27 mm up from the neck point and leans in by 7 (judged by eye, no source).
            neck: neck_point + Vec2::new(-7.0, -27.0),
            neck_point,
            shoulder: trunk.front(end)?,
        })
    }

    /// Returns the marks of the left or the right forepart.
    fn marks(&self, left: bool) -> &[Mark] {
        &self.marks[usize::from(left)]
    }

    /// Draws the view, from what lies behind to what lies in front.
    fn draw(&self, hand: &mut Hand) -> Option<()> {
        self.inside(hand);
        for left in [false, true] {
            let mut half = hand.half(left);
            self.half(&mut half, left)?;
        }
        for left in [false, true] {
            let mut half = hand.half(left);
            self.collar(&mut half);
            self.sleeve(&mut half)?;
        }
        self.buttons(hand);
        Some(())
    }

    /// Draws the inside that shows: the back of the neck, and the back between the cut-away fronts.
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
        hand.line(&top, Stroke::Outline);
        hand.line(&low, Stroke::Seam);
        // The hem of the back shows below the cut-away fronts.
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
        hand.line(&hem, Stroke::Seam);
    }

    /// Moves a point of the forepart to its place in the view, turned over if it lies on the lapel.
    fn seen(&self, p: Point) -> Option<Point> {
        self.trunk.front(self.turned(p))
    }

    /// Whether a point lies on the lapel.
    fn on_lapel(&self, p: Point) -> bool {
        let (breaks, top) = self.roll;
        p.y < breaks.y + 0.5 && (top - breaks).cross(p - breaks) > 0.5
    }

    /// Turns a point over with the lapel if it lies on it.
    fn turned(&self, p: Point) -> Point {
        if self.on_lapel(p) { self.over * p } else { p }
    }

    /// Returns the points of a path as they are seen, turned over where they lie on the lapel.
    fn line(&self, path: &BezPath) -> Vec<Point> {
        laid(path, |p| self.seen(p))
    }

    /// Returns the points of a path of the body, which does not turn over, as they are seen.
    fn flat(&self, path: &BezPath) -> Vec<Point> {
        laid(path, |p| self.trunk.front(p))
    }

    /// Returns the points of a path that turns over as a whole, as they are seen.
    fn lying(&self, path: &BezPath) -> Vec<Point> {
        self.flat(&(self.over * path))
    }

    /// Returns the points of a straight line on the body as they are seen.
    fn straight(&self, a: Point, b: Point) -> Vec<Point> {
        let mut path = BezPath::new();
        path.move_to(a);
        path.line_to(b);
        self.flat(&path)
    }

    /// Returns the edge of the forepart that plays a role.
    fn edge(&self, role: Role) -> Option<&'a BezPath> {
        edge(self.fore, role)
    }

    /// Draws one forepart with its side body, pockets and lapel.
    fn half(&self, hand: &mut Hand, left: bool) -> Option<()> {
        let side = piece(self.draft, Part::SideBody)?;
        let (breaks, top) = self.roll;
        let shoulder = self.flat(self.edge(Role::Shoulder)?);
        let neck = self.flat(self.edge(Role::Neck)?);
        let roll = self.straight(top, breaks);
        let front_edge = self.flat(self.edge(Role::FrontEdge)?);
        let mut hem = self.flat(self.edge(Role::Hem)?);
        let side_hem = sampled(edge(side, Role::Hem)?).rev();
        let side_hem: Vec<Point> = side_hem
            .filter_map(|p| self.trunk.side_from_front(p))
            .collect();
        let end = hem.last().copied().unwrap_or_default();
        hem.extend(continued(end, &side_hem));
        let foot = hem.last().copied()?;
        let scye = self.flat(self.edge(Role::Scye)?);
        let arm = scye.first().copied()?;
        let silhouette = self.trunk.silhouette(arm, foot);
        let mut body = shoulder.clone();
        body.extend(&neck);
        body.extend(&roll);
        body.extend(&front_edge);
        body.extend(&hem);
        body.extend(silhouette.iter().rev());
        body.extend(&scye);
        hand.shape(&body, Shade::Face);
        for line in [&shoulder, &front_edge, &hem, &silhouette] {
            hand.line(line, Stroke::Outline);
        }
        for under in seam(self.fore, Role::SideSeam)? {
            hand.seen(sampled(&under).map(|p| self.trunk.front(p)), Stroke::Seam);
        }
        if let Some(dart) = self
            .marks(left)
            .iter()
            .find(|mark| mark.kind == MarkKind::Dart)
        {
            hand.line(&self.flat(&dart.path), Stroke::Seam);
        }
        self.pockets(hand, left);
        self.lapel(hand)?;
        for mark in self.marks(left) {
            self.mark(hand, mark, left);
        }
        Some(())
    }

    /// Draws a sleeve with the buttons of its cuff.
    fn sleeve(&self, hand: &mut Hand) -> Option<()> {
        let scye: Vec<Point> = self
            .flat(self.edge(Role::Scye)?)
            .into_iter()
            .rev()
            .collect();
        // The inside of the sleeve comes out from under the body a little above the chest line.
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
