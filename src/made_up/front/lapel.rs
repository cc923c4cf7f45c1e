//! The lapel turned over about the roll line, and the collar turned down over neck and shoulder.

use super::Front;
use crate::draft::{DraftEdge, Part, Role};
use crate::geometry::{self, Knot};
use crate::made_up::hand::{Hand, along, smooth};
use crate::made_up::trunk::{edge, piece};
use crate::made_up::{Line, Shade};
use kurbo::{BezPath, Point, Vec2};

impl Front<'_> {
    /// The lapel, turned over about the roll line, with its seam to the collar.
    pub(super) fn lapel(&self, hand: &mut Hand) -> Option<()> {
        let (breaks, top) = self.roll;
        let line = self.lapel_line()?;
        hand.shape(&self.lapel_shape()?, Shade::Face);
        hand.line(&line, Line::Edge);
        hand.line(&self.straight(top, breaks), Line::Edge);
        Some(())
    }

    /// The forepart's edges from the gorge round the lapel; a gorge without a step is not seen.
    fn lapel_edges(&self) -> impl Iterator<Item = &DraftEdge> {
        let gorge = self.fore.edges(Role::Gorge).filter(|_| self.has_step());
        gorge.chain(self.fore.edges(Role::Lapel))
    }

    /// Whether collar and lapel make a step: a shawl has none, nor a seam that is seen.
    pub(super) fn has_step(&self) -> bool {
        let collar = piece(self.draft, Part::Collar);
        collar.is_none_or(|collar| edge(collar, Role::FrontEdge).is_some())
    }

    /// The lapel's outline, its roll line included.
    pub(super) fn lapel_shape(&self) -> Option<Vec<Point>> {
        let (breaks, top) = self.roll;
        let mut shape = self.lapel_line()?;
        shape.extend(self.straight(breaks, top));
        Some(shape)
    }

    /// From the gorge's end of the roll line round the lapel to the break.
    fn lapel_line(&self) -> Option<Vec<Point>> {
        let (breaks, top) = self.roll;
        let mut line = Vec::new();
        for edge in self.lapel_edges() {
            let points = along(&edge.path, 3.0).into_iter();
            let turned = points.filter(|p| self.on_lapel(*p));
            line.extend(turned.filter_map(|p| self.seen(p)));
        }
        if self.has_step() {
            line.insert(0, self.trunk.front(top)?);
        }
        line.push(self.trunk.front(breaks)?);
        Some(line)
    }

    /// The collar's front half, its fall turned down over neck and shoulder.
    pub(super) fn collar(&self, hand: &mut Hand) {
        let Some(collar) = piece(self.draft, Part::Collar) else {
            return;
        };
        let Some(outer) = edge(collar, Role::OuterEdge) else {
            return;
        };
        // From the point up to where the fall passes over the shoulder.
        let (a, b) = (self.neck_point, self.shoulder);
        let below = |p: &Point| (b - a).cross(*p - a) > 0.0;
        let mut fall = self.lying(outer);
        if fall.last().is_some_and(below) {
            fall.reverse();
        }
        let fall: Vec<Point> = fall.into_iter().take_while(below).collect();
        let Some(over) = fall.last().copied() else {
            return;
        };
        let way = (b - a).normalize();
        let over = a + way * (over - a).dot(way).max(6.0) - Vec2::new(0.0, 2.0);
        let crest = self.neck.lerp(over, 0.5) + Vec2::new(4.0, -6.5);
        // The fall rounds over the shoulder: the last of its edge is drawn anew with what follows.
        let keep = fall
            .iter()
            .take_while(|p| p.distance(over) > 22.0)
            .count()
            .max(1);
        let fall = fall[..keep].to_vec();
        let last = fall[keep - 1];
        let before = fall[keep.saturating_sub(6)];
        let run = if last.distance(before) > 1.0 {
            (last - before).normalize()
        } else {
            Vec2::new(0.0, -1.0)
        };
        let mut knots = vec![Knot::toward(last, run)];
        knots.extend([over, crest, self.neck].map(Knot::new));
        let over_shoulder = along(&geometry::spline(&knots), 3.0);
        let front = edge(collar, Role::FrontEdge);
        let mut step = front.map(|path| self.lying(path)).unwrap_or_default();
        if step
            .first()
            .zip(fall.first())
            .is_some_and(|(p, tip)| p.distance(*tip) > 3.0)
        {
            step.reverse();
        }
        // Back along the crease to the roll line, and along the gorge to the step.
        let Some(root) = self.trunk.front(self.roll.1) else {
            return;
        };
        let crease = smooth(&[
            self.neck,
            self.neck.lerp(root, 0.5) + Vec2::new(1.0, 0.0),
            root,
        ]);
        let gorge = edge(collar, Role::Gorge)
            .map(|path| self.gorge(path))
            .unwrap_or_default();
        let mut shape: Vec<Point> = step.iter().rev().copied().collect();
        shape.extend(&fall);
        shape.extend(&over_shoulder);
        shape.extend(&crease);
        shape.extend(&gorge);
        hand.shape(&shape, Shade::Face);
        hand.line(&step, Line::Edge);
        let mut outer = fall.clone();
        outer.extend(&over_shoulder);
        hand.line(&outer, Line::Edge);
        hand.line(&crease, Line::Edge);
        if self.has_step() {
            hand.line(&gorge, Line::Seam);
        }
    }

    /// The seam of collar and lapel, from the roll line to the step.
    fn gorge(&self, path: &BezPath) -> Vec<Point> {
        let points: Vec<Point> = along(path, 2.0)
            .into_iter()
            .filter(|p| self.on_lapel(*p))
            .collect();
        let mut points: Vec<Point> = points.into_iter().filter_map(|p| self.seen(p)).collect();
        if let (Some(root), Some(first), Some(last)) =
            (self.trunk.front(self.roll.1), points.first(), points.last())
        {
            if last.distance(root) < first.distance(root) {
                points.reverse();
            }
            points.insert(0, root);
        }
        points
    }
}
