//! Draws the lapel turned over about the roll line, and the collar turned down over neck and shoulder.

use super::Front;
use crate::draft::{DraftEdge, Part, Role};
use crate::geometry::{self, Knot};
use crate::made_up::hand::{Hand, along, smooth};
use crate::made_up::shown::{Shade, Stroke};
use crate::made_up::trunk::{edge, piece, sampled};
use kurbo::{BezPath, Point, Vec2};

impl Front<'_> {
    /// Draws the lapel, turned over about the roll line.
    pub(super) fn lapel(&self, hand: &mut Hand) -> Option<()> {
        let (breaks, top) = self.roll;
        let line = self.lapel_line()?;
        hand.shape(&self.lapel_shape()?, Shade::Face);
        hand.line(&line, Stroke::Edge);
        hand.line(&self.straight(top, breaks), Stroke::Edge);
        Some(())
    }

    /// Returns the edges of the forepart round the lapel, beginning with the gorge if its seam is seen.
    fn lapel_edges(&self) -> impl Iterator<Item = &DraftEdge> {
        let gorge = self.fore.edges(Role::Gorge).filter(|_| self.has_step());
        gorge.chain(self.fore.edges(Role::Lapel))
    }

    /// Whether collar and lapel make a step; a shawl has neither a step nor a visible gorge seam.
    pub(super) fn has_step(&self) -> bool {
        let collar = piece(self.draft, Part::Collar);
        collar.is_none_or(|collar| edge(collar, Role::FrontEdge).is_some())
    }

    /// Returns the outline of the lapel, closed by the roll line.
    pub(super) fn lapel_shape(&self) -> Option<Vec<Point>> {
        let (breaks, top) = self.roll;
        let mut shape = self.lapel_line()?;
        shape.extend(self.straight(breaks, top));
        Some(shape)
    }

    /// Returns the line from the upper end of the roll line round the lapel to the break.
    fn lapel_line(&self) -> Option<Vec<Point>> {
        let (breaks, top) = self.roll;
        let mut line = Vec::new();
        for edge in self.lapel_edges() {
            let turned = sampled(&edge.path).filter(|p| self.on_lapel(*p));
            line.extend(turned.filter_map(|p| self.seen(p)));
        }
        if self.has_step() {
            line.insert(0, self.trunk.front(top)?);
        }
        line.push(self.trunk.front(breaks)?);
        Some(line)
    }

    /// Draws the front half of the collar, its fall turned down over neck and shoulder.
    pub(super) fn collar(&self, hand: &mut Hand) {
        let Some(collar) = piece(self.draft, Part::Collar) else {
            return;
        };
        let Some(outer) = edge(collar, Role::OuterEdge).and_then(|path| self.outer_edge(path))
        else {
            return;
        };
        let Some(root) = self.trunk.front(self.roll.1) else {
            return;
        };
        let front = edge(collar, Role::FrontEdge);
        let mut step = front.map(|path| self.lying(path)).unwrap_or_default();
        let ends = step.first().zip(outer.first());
        if ends.is_some_and(|(p, tip)| p.distance(*tip) > 3.0) {
            step.reverse();
        }
        // The outline returns along the crease to the roll line, and along the gorge to the step.
        let bow = self.neck.lerp(root, 0.5) + Vec2::new(1.0, 0.0);
        let crease = smooth(&[self.neck, bow, root]);
        let gorge = edge(collar, Role::Gorge)
            .map(|path| self.gorge(path))
            .unwrap_or_default();
        let mut shape: Vec<Point> = step.iter().rev().copied().collect();
        shape.extend(&outer);
        shape.extend(&crease);
        shape.extend(&gorge);
        hand.shape(&shape, Shade::Face);
        hand.line(&step, Stroke::Edge);
        hand.line(&outer, Stroke::Edge);
        hand.line(&crease, Stroke::Edge);
        if self.has_step() {
            hand.line(&gorge, Stroke::Seam);
        }
    }

    /// Returns the outer edge of the collar from its point to the crease beside the neck, with the fall
    /// turned down; `None` if none of it lies below the shoulder line.
    fn outer_edge(&self, outer: &BezPath) -> Option<Vec<Point>> {
        let (a, b) = (self.neck_point, self.shoulder);
        let below = |p: &Point| (b - a).cross(*p - a) > 0.0;
        let mut fall = self.lying(outer);
        if fall.last().is_some_and(below) {
            fall.reverse();
        }
        let fall: Vec<Point> = fall.into_iter().take_while(below).collect();
        let over = fall.last().copied()?;
        let way = (b - a).normalize();
        let over = a + way * (over - a).dot(way).max(6.0) - Vec2::new(0.0, 2.0);
        let crest = self.neck.lerp(over, 0.5) + Vec2::new(4.0, -6.5);
        // The fall rounds over the shoulder: its last 22 mm are replaced by a curve that does so.
        let kept = fall.iter().take_while(|p| p.distance(over) > 22.0);
        let kept = kept.count().max(1);
        let mut edge = fall[..kept].to_vec();
        let last = fall[kept - 1];
        let before = fall[kept.saturating_sub(6)];
        let run = if last.distance(before) > 1.0 {
            (last - before).normalize()
        } else {
            Vec2::new(0.0, -1.0)
        };
        let mut knots = vec![Knot::toward(last, run)];
        knots.extend([over, crest, self.neck].map(Knot::new));
        edge.extend(sampled(&geometry::spline(&knots)));
        Some(edge)
    }

    /// Returns the seam of collar and lapel, from the roll line to the step.
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
