//! Puts down what is seen, from behind to the front.

use super::{Line, Shade, Shown};
use crate::geometry::{self, Knot};
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, Point};

/// A hand that puts down one view, on the right of the sheet or mirrored on the left.
pub(super) struct Hand<'a> {
    shown: &'a mut Vec<Shown>,
    mirrored: bool,
}

impl<'a> Hand<'a> {
    /// A hand on the right of the sheet.
    pub(super) fn new(shown: &'a mut Vec<Shown>) -> Self {
        Self {
            shown,
            mirrored: false,
        }
    }

    /// The hand for one side of the figure: the right of the sheet, or the left.
    pub(super) fn side(&mut self, right: bool) -> Hand<'_> {
        Hand {
            mirrored: self.mirrored == right,
            shown: self.shown,
        }
    }

    fn place(&self, point: Point) -> Point {
        match self.mirrored {
            true => Point::new(-point.x, point.y),
            false => point,
        }
    }

    fn placed(&self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|point| self.place(*point)).collect()
    }

    /// A line through points.
    pub(super) fn line(&mut self, points: &[Point], line: Line) {
        if points.len() > 1 {
            let points = self.placed(points);
            self.shown.push(Shown::Line(points, line));
        }
    }

    /// The stretches of a line that are seen.
    pub(super) fn seen(&mut self, points: impl IntoIterator<Item = Option<Point>>, line: Line) {
        let mut run = Vec::new();
        for point in points {
            match point {
                Some(point) => run.push(point),
                None => self.line(&std::mem::take(&mut run), line),
            }
        }
        self.line(&run, line);
    }

    /// A region that hides what is behind it.
    pub(super) fn shape(&mut self, points: &[Point], shade: Shade) {
        if points.len() > 2 {
            let points = self.placed(points);
            self.shown.push(Shown::Region(points, shade));
        }
    }

    /// A button.
    pub(super) fn button(&mut self, at: Point, across: f64, seen: f64) {
        self.shown.push(Shown::Button {
            at: self.place(at),
            across,
            seen,
            mirrored: self.mirrored,
        });
    }
}

/// A closed shape through points.
pub fn closed(points: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (i, point) in points.iter().enumerate() {
        match i {
            0 => path.move_to(*point),
            _ => path.line_to(*point),
        }
    }
    path.close_path();
    path
}

/// Points along a smooth curve through a few given ones (a centripetal Catmull-Rom spline).
pub(super) fn smooth(knots: &[Point]) -> Vec<Point> {
    let knots: Vec<Knot> = knots.iter().map(|knot| Knot::new(*knot)).collect();
    if knots.len() < 2 {
        return Vec::new();
    }
    along(&geometry::spline(&knots), 4.0)
}

/// Points along a path, at most so many mm from one to the next.
pub fn along(path: &BezPath, step: f64) -> Vec<Point> {
    let mut points = Vec::new();
    for segment in path.segments() {
        let count = (segment.arclen(0.1) / step).ceil().max(1.0) as usize;
        if points.is_empty() {
            points.push(segment.start());
        }
        points.extend((1..=count).map(|i| segment.eval(i as f64 / count as f64)));
    }
    points
}
