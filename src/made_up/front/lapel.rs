//! Draws the lapel turned over about the roll line, and the collar turned down over neck and shoulder.

use super::Front;
use crate::draft::{DraftEdge, Part, Role};
use crate::geometry::{self, Knot};
use crate::made_up::collar::{ON_EDGE, Round};
use crate::made_up::hand::{Hand, patch, smooth};
use crate::made_up::lines::{along, edge, outline, piece, sampled};
use crate::made_up::mesh::{Placed, meshed, split};
use crate::made_up::patch::Patch;
use crate::made_up::shown::{Shade, Stroke};
use kurbo::{BezPath, Point, Vec2};

/// Width of the roll along the edge over which lapel and collar turn, mm (judged by eye, no source).
const ROLL: f64 = 14.0;

impl Front<'_> {
    /// Draws the lapel, turned over about the roll line.
    pub(super) fn lapel(&self, hand: &mut Hand) -> Option<()> {
        let (breaks, top) = self.roll;
        let line = self.lapel_line()?;
        hand.patches(&self.lapel_shape()?, Shade::Face, self.lapel_cloth());
        hand.line(&line, Stroke::Edge);
        hand.line(&self.straight(top, breaks), Stroke::Edge);
        Some(())
    }

    /// Returns what is seen of the facing, which is the upper side of the lapel.
    fn lapel_cloth(&self) -> Vec<Patch> {
        let (breaks, top) = self.roll;
        let facing = piece(self.draft, Part::Facing, self.side);
        let shown = facing.map(|facing| {
            let (lapel, _) = split(&outline(facing.piece), breaks, top - breaks);
            let (lapel, _) = split(&lapel, breaks, Vec2::new(-1.0, 0.0));
            let mesh = meshed(&lapel, &|_| Vec::new(), |p| self.rolled(p));
            patch(facing, Some(self.side), mesh)
        });
        shown.into_iter().collect()
    }

    /// Places a point that is turned over, in the light of the roll.
    fn rolled(&self, p: Point) -> Placed {
        let (breaks, top) = self.roll;
        let off = (top - breaks).normalize().cross(p - breaks).abs();
        let flat = 1.0 - (1.0 - off / ROLL).max(0.0).powi(2);
        let placed = self.trunk.front(self.over * p);
        Placed {
            light: placed.light.max(ON_EDGE) * (ON_EDGE + (1.0 - ON_EDGE) * flat),
            ..placed
        }
    }

    /// Returns the edges of the forepart round the lapel, beginning with the gorge if its seam is seen.
    fn lapel_edges(&self) -> impl Iterator<Item = &DraftEdge> {
        let gorge = self.fore.edges(Role::Gorge).filter(|_| self.has_step());
        gorge.chain(self.fore.edges(Role::Lapel))
    }

    /// Whether collar and lapel make a step; a shawl has neither a step nor a visible gorge seam.
    pub(super) fn has_step(&self) -> bool {
        let collar = piece(self.draft, Part::Collar, self.side);
        collar.is_none_or(|collar| edge(collar.piece, Role::FrontEdge).is_some())
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
            line.extend(turned.map(|p| self.seen(p).at));
        }
        if self.has_step() {
            line.insert(0, self.trunk.front(top).at);
        }
        line.push(self.trunk.front(breaks).at);
        Some(line)
    }

    /// Draws the front half of the collar, its fall turned down over neck and shoulder.
    pub(super) fn collar(&self, hand: &mut Hand) {
        let Some(collar) = piece(self.draft, Part::Collar, self.side) else {
            return;
        };
        let outer = edge(collar.piece, Role::OuterEdge);
        let Some(outer) = outer.and_then(|path| self.outer_edge(path)) else {
            return;
        };
        let root = self.trunk.front(self.roll.1).at;
        let front = edge(collar.piece, Role::FrontEdge);
        let mut step = front.map(|path| self.lying(path)).unwrap_or_default();
        let ends = step.first().zip(outer.first());
        if ends.is_some_and(|(p, tip)| p.distance(*tip) > 3.0) {
            step.reverse();
        }
        // The outline returns along the crease to the roll line, and along the gorge to the step.
        let bow = self.neck.lerp(root, 0.5) + Vec2::new(1.0, 0.0);
        let crease = smooth(&[self.neck, bow, root]);
        let gorge = edge(collar.piece, Role::Gorge)
            .map(|path| self.gorge(path))
            .unwrap_or_default();
        let mut shape: Vec<Point> = step.iter().rev().copied().collect();
        shape.extend(&outer);
        shape.extend(&crease);
        shape.extend(&gorge);
        let round = Round {
            gorge: &gorge,
            step: &step,
            outer: &outer,
            crease: &crease,
        };
        hand.patches(&shape, Shade::Face, round.cloth(self.draft, self.side));
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
        let mut points: Vec<Point> = points.into_iter().map(|p| self.seen(p).at).collect();
        let root = self.trunk.front(self.roll.1).at;
        if let (Some(first), Some(last)) = (points.first(), points.last()) {
            if last.distance(root) < first.distance(root) {
                points.reverse();
            }
            points.insert(0, root);
        }
        points
    }
}
