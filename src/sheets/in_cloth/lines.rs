//! Finds what is seen of a line that lies under things drawn later.

use kurbo::{BezPath, Point, Rect, Shape};

/// A region with its box, to tell quickly what it cannot cover.
struct Cover<'a> {
    outline: &'a [Point],
    bounds: Rect,
}

impl Cover<'_> {
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

/// Returns the parts of a line through points that lie outside every one of some closed outlines.
pub(super) fn visible(points: &[Point], covers: &[&[Point]]) -> Vec<BezPath> {
    let covers: Vec<Cover> = covers
        .iter()
        .map(|&outline| Cover {
            outline,
            bounds: crate::made_up::closed(outline).bounding_box(),
        })
        .collect();
    let mut paths: Vec<BezPath> = Vec::new();
    let mut end: Option<Point> = None;
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let mut cuts = vec![0.0, 1.0];
        let around = Rect::from_points(a, b);
        let near = |cover: &&Cover| cover.bounds.overlaps(around.inflate(1e-6, 1e-6));
        let near: Vec<&Cover> = covers.iter().filter(near).collect();
        for (c, d) in near.iter().flat_map(|cover| cover.edges()) {
            cuts.extend(crossing((a, b), (c, d)));
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
        let seen = visible(&line, &[&square]);
        let ends: Vec<&str> = ["M0,0 L2,0", "M4,0 L10,0 L10,5"].to_vec();
        let written: Vec<String> = seen.iter().map(BezPath::to_svg).collect();
        assert_eq!(written, ends);
        assert_eq!(visible(&line, &[]).len(), 1);
    }
}
