//! Plain geometry on outlines: areas, distances, and how one outline comes to lie on another.

use std::collections::HashMap;

use i_overlay::core::{fill_rule::FillRule, overlay_rule::OverlayRule};
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{Affine, BezPath, Line, ParamCurveNearest, PathEl, Point, Rect, Vec2};

/// Points joined by straight lines.
pub(super) type Run = Vec<Point>;

/// Flattens a path into its runs; a closed one ends where it begins.
pub(super) fn runs(path: &BezPath, tolerance: f64) -> Vec<Run> {
    let mut found: Vec<Run> = Vec::new();
    kurbo::flatten(path, tolerance, |element| {
        match (element, found.last_mut()) {
            (PathEl::MoveTo(point), _) => found.push(vec![point]),
            (PathEl::LineTo(point), Some(run)) => run.push(point),
            (PathEl::ClosePath, Some(run)) if run.first() != run.last() => run.push(run[0]),
            _ => {}
        }
    });
    found
}

pub(super) fn moved(run: &[Point], by: Affine) -> Run {
    run.iter().map(|point| by * *point).collect()
}

pub(super) fn bounds(run: &[Point]) -> Rect {
    let first = Rect::from_points(run[0], run[0]);
    run.iter().fold(first, |all, point| all.union_pt(*point))
}

pub(super) fn sides(run: &[Point]) -> impl Iterator<Item = Line> {
    run.windows(2).map(|ends| Line::new(ends[0], ends[1]))
}

/// The area that two closed runs have in common, in mm2.
pub(crate) fn shared(a: &[Point], b: &[Point]) -> f64 {
    let flat = |run: &[Point]| -> Vec<[f64; 2]> { run.iter().map(|p| [p.x, p.y]).collect() };
    let found = vec![flat(a)].overlay(&vec![flat(b)], OverlayRule::Intersect, FillRule::NonZero);
    let area = |ring: &Vec<[f64; 2]>| -> f64 {
        let next = ring.iter().cycle().skip(1);
        let twice: f64 = ring
            .iter()
            .zip(next)
            .map(|(p, q)| p[0] * q[1] - q[0] * p[1])
            .sum();
        twice / 2.0
    };
    found.iter().flatten().map(area).sum::<f64>().abs()
}

/// The nearest point of a run.
pub(super) fn nearest(run: &[Point], to: Point) -> Point {
    let on = |side: Line| {
        let t = side.nearest(to, 1e-9).t;
        side.p0.lerp(side.p1, t)
    };
    let found = sides(run).map(on);
    found
        .min_by(|a, b| to.distance(*a).total_cmp(&to.distance(*b)))
        .expect("a run")
}

/// How far two runs lie apart where they lie furthest, in mm.
pub(super) fn apart(a: &[Point], b: &[Point]) -> f64 {
    let furthest = |from: &[Point], to: &[Point]| {
        let far = from.iter().map(|point| point.distance(nearest(to, *point)));
        far.fold(0.0, f64::max)
    };
    furthest(a, b).max(furthest(b, a))
}

/// The move that puts the box of `run` on the box of `to`.
pub(super) fn onto(run: &[Point], to: &[Point]) -> Vec2 {
    bounds(to).center() - bounds(run).center()
}

/// Points every so many mm along a run, its ends with them.
pub(super) fn along(run: &[Point], step: f64) -> Run {
    let mut points: Run = run.first().copied().into_iter().collect();
    for side in sides(run) {
        let count = (side.p0.distance(side.p1) / step).ceil().max(1.0) as usize;
        points.extend((1..=count).map(|i| side.p0.lerp(side.p1, i as f64 / count as f64)));
    }
    points
}

/// Lines by the squares of a grid that they touch, to find those near a point.
pub(super) struct Lines {
    square: f64,
    found: HashMap<(i64, i64), Vec<Line>>,
}

impl Lines {
    pub(super) fn new<'a>(runs: impl IntoIterator<Item = &'a Run>) -> Self {
        let mut lines = Self {
            square: 4.0,
            found: HashMap::new(),
        };
        for side in runs.into_iter().flat_map(|run| sides(run)) {
            // Short stretches, so that each is in few squares.
            let points = along(&[side.p0, side.p1], lines.square);
            for part in sides(&points) {
                let (from, to) = (lines.square_of(part.p0), lines.square_of(part.p1));
                for x in from.0.min(to.0)..=from.0.max(to.0) {
                    for y in from.1.min(to.1)..=from.1.max(to.1) {
                        lines.found.entry((x, y)).or_default().push(part);
                    }
                }
            }
        }
        lines
    }

    fn square_of(&self, point: Point) -> (i64, i64) {
        let at = |length: f64| (length / self.square).floor() as i64;
        (at(point.x), at(point.y))
    }

    /// How far the nearest line is, looked for within some 4 mm.
    pub(super) fn distance(&self, point: Point) -> f64 {
        let (x, y) = self.square_of(point);
        let around = (x - 1..=x + 1).flat_map(|x| (y - 1..=y + 1).map(move |y| (x, y)));
        let lines = around.filter_map(|at| self.found.get(&at)).flatten();
        let far = lines.map(|line| line.nearest(point, 1e-9).distance_sq.sqrt());
        far.fold(f64::MAX, f64::min)
    }
}

/// Straight sides of a closed run, small steps in one direction taken together.
pub(super) fn straight_sides(run: &[Point]) -> Vec<Line> {
    let mut found: Vec<Line> = Vec::new();
    let straight =
        |a: Vec2, b: Vec2| a.cross(b).abs() < 2e-3 * a.hypot() * b.hypot() && a.dot(b) > 0.0;
    for side in sides(run).filter(|side| side.p0.distance(side.p1) > 1e-6) {
        match found.last_mut() {
            Some(last) if straight(last.p1 - last.p0, side.p1 - side.p0) => last.p1 = side.p1,
            _ => found.push(side),
        }
    }
    if let [first, .., last] = found[..]
        && straight(last.p1 - last.p0, first.p1 - first.p0)
    {
        found[0].p0 = last.p0;
        found.pop();
    }
    found
}

/// The longest straight side with square corners at both ends (within 6 degrees); a strip's long side, the
/// centre back of half a collar.
pub(super) fn square_side(run: &[Point]) -> Option<Line> {
    let sides = straight_sides(run);
    let count = sides.len();
    let direction = |line: Line| (line.p1 - line.p0).normalize();
    let square = |a: Line, b: Line| direction(a).dot(direction(b)).abs() < 0.105;
    let found = (0..count).filter(|&i| {
        square(sides[(i + count - 1) % count], sides[i]) && square(sides[i], sides[(i + 1) % count])
    });
    found
        .map(|i| sides[i])
        .max_by(|a, b| a.p0.distance(a.p1).total_cmp(&b.p0.distance(b.p1)))
}

/// The angle between a direction and the y axis, from 0 to 90 degrees.
pub(super) fn off_upright(direction: Vec2) -> f64 {
    direction.x.abs().atan2(direction.y.abs()).to_degrees()
}

/// How far a length is from a whole number of repeats, in mm.
pub(super) fn beside_repeat(length: f64, repeat: f64) -> f64 {
    (length - (length / repeat).round() * repeat).abs()
}
