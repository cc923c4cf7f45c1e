//! Finds what is seen of a line that lies under things drawn later.

use crate::made_up::{Shown, Stroke};
use crate::sheets::drawing::Pen;
use crate::sheets::views::hand::pen;
use kurbo::{BezPath, Point, Rect, Vec2};
use std::borrow::Cow;

/// A region with its box, to tell quickly what it cannot cover.
struct Cover<'a> {
    outline: &'a [Point],
    bounds: Rect,
}

impl<'a> Cover<'a> {
    fn new(outline: &'a [Point]) -> Self {
        Self {
            outline,
            bounds: bounds(outline),
        }
    }

    /// Tells whether a part of what is in a box may lie under it.
    fn is_near(&self, around: Rect) -> bool {
        self.bounds.overlaps(around.inflate(1e-6, 1e-6))
    }

    fn edges(&self) -> impl Iterator<Item = (Point, Point)> {
        let next = self.outline.iter().cycle().skip(1);
        self.outline.iter().copied().zip(next.copied())
    }

    /// Tells whether a point lies inside (Sunday's winding number).
    fn contains(&self, p: Point) -> bool {
        if !self.bounds.contains(p) {
            return false;
        }
        let turns = self.edges().map(|(a, b)| {
            let left = (b - a).cross(p - a);
            match (a.y <= p.y, b.y <= p.y) {
                (true, false) if left > 0.0 => 1,
                (false, true) if left < 0.0 => -1,
                _ => 0,
            }
        });
        turns.sum::<i32>() != 0
    }
}

/// Returns the lines of a view where no later region covers them, each with its pen; those of a window alone, if one
/// is given, in mm of the garment. `ink` is the grey of the lines on the cloth.
pub(super) fn seen(shown: &[Shown], window: Option<Rect>, ink: f64) -> Vec<(BezPath, Pen)> {
    let covers: Vec<(usize, Cover)> = (shown.iter().enumerate())
        .filter_map(|(i, seen)| match seen {
            Shown::Region { outline, .. } => Some((i, Cover::new(outline))),
            _ => None,
        })
        .collect();
    let mut lines = Vec::new();
    for (i, seen) in shown.iter().enumerate() {
        let Some((points, pen)) = inked(seen, ink) else {
            continue;
        };
        let around = bounds(&points);
        if window.is_some_and(|window| !window.overlaps(around)) {
            continue;
        }
        let later = covers.partition_point(|(place, _)| *place <= i);
        let near = covers[later..].iter().map(|(_, cover)| cover);
        let near: Vec<&Cover> = near.filter(|cover| cover.is_near(around)).collect();
        lines.extend(visible(&points, &near).into_iter().map(|path| (path, pen)));
    }
    lines
}

/// Returns the points of a line with its pen; `None` for what is painted alone.
fn inked(seen: &Shown, ink: f64) -> Option<(Cow<'_, [Point]>, Pen)> {
    match seen {
        Shown::Line(points, stroke @ (Stroke::Edge | Stroke::Seam | Stroke::Hidden)) => {
            Some((points.into(), pen(*stroke).grey(ink)))
        }
        Shown::Line(points, Stroke::Outline) => Some((points.into(), pen(Stroke::Outline))),
        Shown::Line(_, Stroke::Stitch | Stroke::Hole) | Shown::Region { .. } => None,
        Shown::Button {
            at, across, seen, ..
        } => {
            let ring = (0..=32)
                .map(|i| Vec2::from_angle(f64::from(i) * std::f64::consts::TAU / 32.0))
                .map(|way| *at + Vec2::new(way.x * seen, way.y) * (across / 2.0));
            Some((ring.collect(), Pen::full(0.1).grey(0.1)))
        }
    }
}

/// Returns the box round points.
fn bounds(points: &[Point]) -> Rect {
    let first = points.first().copied().unwrap_or_default();
    let round = |all: Rect, p: &Point| all.union_pt(*p);
    points.iter().fold(Rect::from_points(first, first), round)
}

/// Returns the parts of a line through points that lie outside every one of some covers.
fn visible(points: &[Point], covers: &[&Cover]) -> Vec<BezPath> {
    let mut paths: Vec<BezPath> = Vec::new();
    let mut end: Option<Point> = None;
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let mut cuts = vec![0.0, 1.0];
        let around = Rect::from_points(a, b);
        let near: Vec<&Cover> = covers
            .iter()
            .copied()
            .filter(|cover| cover.is_near(around))
            .collect();
        for edge in near.iter().flat_map(|cover| cover.edges()) {
            if beside(around, edge) {
                continue;
            }
            cuts.extend(crossing((a, b), edge));
        }
        cuts.sort_by(f64::total_cmp);
        for part in cuts.windows(2) {
            let (from, to) = (a.lerp(b, part[0]), a.lerp(b, part[1]));
            if from == to || near.iter().any(|cover| cover.contains(from.midpoint(to))) {
                continue;
            }
            match paths.last_mut().filter(|_| end == Some(from)) {
                Some(path) => path.line_to(to),
                None => {
                    let mut path = BezPath::new();
                    path.move_to(from);
                    path.line_to(to);
                    paths.push(path);
                }
            }
            end = Some(to);
        }
    }
    paths
}

/// Tells whether a line lies wholly to one side of a box, so that it cannot cross what is in it.
fn beside(around: Rect, (a, b): (Point, Point)) -> bool {
    a.x.max(b.x) < around.x0
        || a.x.min(b.x) > around.x1
        || a.y.max(b.y) < around.y0
        || a.y.min(b.y) > around.y1
}

/// Returns the share of the first line at which it crosses the second.
fn crossing((a, b): (Point, Point), (c, d): (Point, Point)) -> Option<f64> {
    let (along, other) = (b - a, d - c);
    let cross = along.cross(other);
    if cross == 0.0 {
        return None;
    }
    let share = (c - a).cross(other) / cross;
    let on_other = (c - a).cross(along) / cross;
    let is_on = |part: f64| (0.0..=1.0).contains(&part);
    (is_on(share) && is_on(on_other)).then_some(share)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_under_a_region_is_left_out() {
        let square: Vec<Point> = [(2.0, -1.0), (4.0, -1.0), (4.0, 1.0), (2.0, 1.0)]
            .map(Point::from)
            .to_vec();
        let line: Vec<Point> = [(0.0, 0.0), (3.0, 0.0), (10.0, 0.0), (10.0, 5.0)]
            .map(Point::from)
            .to_vec();
        let seen = visible(&line, &[&Cover::new(&square)]);
        let ends: Vec<&str> = ["M0,0 L2,0", "M4,0 L10,0 L10,5"].to_vec();
        let written: Vec<String> = seen.iter().map(BezPath::to_svg).collect();
        assert_eq!(written, ends);
        assert_eq!(visible(&line, &[]).len(), 1);
    }
}
