//! Draws the jacket from the front, buttoned left over right.

mod lapel;
mod marks;

use super::hand::{Hand, patch, smooth};
use super::lines::{Found, continued, edge, laid, mark, outline, piece, sampled, seam};
use super::mesh::{Placed, meshed, split};
use super::patch::Patch;
use super::shown::{CLOTH, LINING, Shade, Stroke};
use super::sleeve::{Hang, Sleeve, measured};
use super::trunk::Trunk;
use crate::draft::{Draft, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{Affine, BezPath, Point, Vec2};

/// How far inside the silhouette of the front the inside of the back ends at the waist, mm.
const INSIDE: f64 = 4.0;

/// The pieces and lines that one half of the front view is drawn from.
struct Front<'a> {
    draft: &'a Draft,
    trunk: &'a Trunk,
    side: Side,
    fore: Found<'a>,
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
    let [of_right, of_left] = Trunk::of_both(|side| Trunk::new(draft, side))?;
    let right = Front::new(draft, &of_right, Side::Right)?;
    let left = Front::new(draft, &of_left, Side::Left)?;
    inside(&right, &left, hand);
    for half in [&right, &left] {
        half.body(&mut hand.half(half.is_left()))?;
    }
    for half in [&right, &left] {
        let mut hand = hand.half(half.is_left());
        half.collar(&mut hand);
        half.sleeve(&mut hand)?;
    }
    // A button on the right forepart shows through its hole in the left one.
    left.buttons(&mut hand.half(true));
    right.buttons(&mut hand.half(false));
    Some(())
}

/// Draws the inside that shows: the back of the neck, and the back between the cut-away fronts.
fn inside(right: &Front, left: &Front, hand: &mut Hand) {
    let across = |of: &dyn Fn(&Front) -> Point, sag: f64| {
        let (a, b) = (of(right), of(left));
        let middle = Point::new((b.x - a.x) / 2.0, (a.y + b.y) / 2.0 + sag);
        smooth(&[Point::new(-a.x, a.y), middle, b])
    };
    let top = across(&|half| half.neck, 10.0);
    let low = across(&|half| half.neck_point, 14.0);
    let roll = |half: &Front| half.straight(half.roll.1, half.roll.0);
    let mut shape = top.clone();
    shape.extend(roll(left));
    shape.extend(roll(right).iter().rev().map(|p| Point::new(-p.x, p.y)));
    hand.plain(&shape, Shade::Inside, LINING);
    let mut band = top.clone();
    band.extend(low.iter().rev());
    hand.plain(&band, Shade::Neck, CLOTH);
    hand.line(&top, Stroke::Outline);
    hand.line(&low, Stroke::Seam);
    // The hem of the back shows below the cut-away fronts.
    let Some(level) = piece(left.draft, Part::Back, left.side)
        .and_then(|back| geometry::end(edge(back.piece, Role::Hem)?))
        .map(|end| end.y)
    else {
        return;
    };
    let wide = 0.8 * left.trunk.half_seen(level);
    let hem = smooth(&[
        Point::new(-wide, level),
        Point::new(0.0, level - 7.0),
        Point::new(wide, level),
    ]);
    let mut below = hem.clone();
    // A coat that flares to its hem is narrower at the waist, and nothing shows beside it there.
    let high = wide.min(left.trunk.half_seen(left.trunk.waist) - INSIDE);
    below.extend([
        Point::new(high, left.trunk.waist),
        Point::new(-high, left.trunk.waist),
    ]);
    hand.plain(&below, Shade::Inside, LINING);
    hand.line(&hem, Stroke::Seam);
}

impl<'a> Front<'a> {
    fn new(draft: &'a Draft, trunk: &'a Trunk, side: Side) -> Option<Self> {
        let fore = piece(draft, Part::Forepart, side)?;
        let line = &mark(fore.piece, MarkKind::RollLine)?.path;
        let roll = (geometry::start(line)?, geometry::end(line)?);
        let shoulder = edge(fore.piece, Role::Shoulder)?;
        let (end, neck) = (geometry::start(shoulder)?, geometry::end(shoulder)?);
        let neck_point = trunk.front(neck).at;
        Some(Self {
            draft,
            trunk,
            side,
            fore,
            roll,
            over: Affine::reflect(roll.0, roll.1 - roll.0),
            // The collar stands 27 mm up from the neck point and leans in by 7 (judged by eye, no source).
            neck: neck_point + Vec2::new(-7.0, -27.0),
            neck_point,
            shoulder: trunk.front(end).at,
        })
    }

    /// Whether this is the wearer's left half, which is on the right of the sheet.
    fn is_left(&self) -> bool {
        self.side == Side::Left
    }

    /// Places a point of the forepart in the view, turned over if it lies on the lapel.
    fn seen(&self, p: Point) -> Placed {
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
        edge(self.fore.piece, role)
    }

    /// Returns what is seen of the forepart, up to the roll line, and of the side body.
    fn cloth(&self, panel: Found) -> Vec<Patch> {
        let (breaks, top) = self.roll;
        let (_, body) = split(&outline(self.fore.piece), breaks, top - breaks);
        let fore = meshed(&body, &|y| self.trunk.darts(y), |p| self.trunk.front(p));
        let side = meshed(&outline(panel.piece), &|_| Vec::new(), |p| {
            self.trunk.side_from_front(p)
        });
        let side_of = Some(self.side);
        vec![patch(panel, side_of, side), patch(self.fore, side_of, fore)]
    }

    /// Draws one forepart with its side body, pockets and lapel.
    fn body(&self, hand: &mut Hand) -> Option<()> {
        let panel = piece(self.draft, Part::SideBody, self.side)?;
        let (breaks, top) = self.roll;
        let shoulder = self.flat(self.edge(Role::Shoulder)?);
        let neck = self.flat(self.edge(Role::Neck)?);
        let front_edge = self.flat(self.edge(Role::FrontEdge)?);
        let mut hem = self.flat(self.edge(Role::Hem)?);
        let side_hem = sampled(edge(panel.piece, Role::Hem)?).rev();
        let side_hem = side_hem.map(|p| self.trunk.side_from_front(p));
        let side_hem: Vec<Point> = side_hem.filter(|p| p.seen).map(|p| p.at).collect();
        let end = hem.last().copied().unwrap_or_default();
        hem.extend(continued(end, &side_hem));
        let foot = hem.last().copied()?;
        let scye = self.flat(self.edge(Role::Scye)?);
        let arm = scye.first().copied()?;
        let silhouette = self.trunk.silhouette(arm, foot);
        let mut body = shoulder.clone();
        body.extend(&neck);
        body.extend(&self.straight(top, breaks));
        body.extend(&front_edge);
        body.extend(&hem);
        body.extend(silhouette.iter().rev());
        body.extend(&scye);
        hand.patches(&body, Shade::Face, self.cloth(panel));
        for line in [&shoulder, &front_edge, &hem, &silhouette] {
            hand.line(line, Stroke::Outline);
        }
        for under in seam(self.fore.piece, Role::SideSeam)? {
            let under = sampled(&under).map(|p| self.trunk.front(p));
            hand.seen(under.map(|p| p.seen.then_some(p.at)), Stroke::Seam);
        }
        if let Some(dart) = mark(self.fore.piece, MarkKind::Dart) {
            hand.line(&self.flat(&dart.path), Stroke::Seam);
        }
        self.pockets(hand);
        self.lapel(hand)?;
        for mark in &self.fore.marks {
            self.mark(hand, mark);
        }
        Some(())
    }

    /// Draws a sleeve with the buttons of its cuff.
    fn sleeve(&self, hand: &mut Hand) -> Option<()> {
        let scye = sampled(self.edge(Role::Scye)?).rev();
        let sleeve = Sleeve::new(
            self.draft,
            Hang {
                side: self.side,
                front: true,
                scye: measured(scye, |p| self.trunk.front(p), 0.0),
                // The inside of the sleeve comes out from under the body a little above the chest line.
                leaves: self.trunk.chest - 0.16 * (self.trunk.chest - self.shoulder.y),
                waist: self.trunk.half_seen(self.trunk.waist),
            },
        )?;
        sleeve.draw(hand);
        Some(())
    }
}
