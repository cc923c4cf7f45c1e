//! Draws what is seen: white shapes over what lies behind them, then their lines.

use crate::sheets::drawing::{Drawing, Layer, Pen};
use kurbo::{Affine, BezPath, Circle, Point, Shape};

/// Outer edges, other edges, seams, what is stitched, and what lies behind; in mm of the sheet.
pub const OUTLINE: Pen = Pen::full(0.32);
pub const EDGE: Pen = Pen::full(0.24);
pub const SEAM: Pen = Pen::full(0.13).grey(0.15);
pub const STITCH: Pen = Pen::dashed(0.1, &[0.55, 0.45]).grey(0.25);
pub const HIDDEN: Pen = Pen::dashed(0.13, &[1.6, 1.1]).grey(0.35);
/// Greys of what lies in shade: the inside of the coat.
pub const INSIDE: f64 = 0.9;

/// A hand that draws one view on a sheet.
pub struct Hand<'a> {
    sheet: &'a mut Drawing,
    place: Affine,
}

impl<'a> Hand<'a> {
    /// `place` takes what is seen, in mm, x from the middle of the figure and y down, to the sheet.
    pub fn new(sheet: &'a mut Drawing, place: Affine) -> Self {
        Self { sheet, place }
    }

    /// The hand for one side of the figure: the right of the sheet, or the left.
    pub fn side(&mut self, right: bool) -> Hand<'_> {
        let over = if right { 1.0 } else { -1.0 };
        Hand {
            place: self.place * Affine::scale_non_uniform(over, 1.0),
            sheet: self.sheet,
        }
    }

    /// A line through points.
    pub fn line(&mut self, points: &[Point], pen: Pen) {
        if points.len() > 1 {
            let path = self.place * through(points);
            self.sheet.line(Layer::Page, path, pen);
        }
    }

    /// The stretches of a line that are seen.
    pub fn seen(&mut self, points: impl IntoIterator<Item = Option<Point>>, pen: Pen) {
        let mut run = Vec::new();
        for point in points {
            match point {
                Some(point) => run.push(point),
                None => self.line(&std::mem::take(&mut run), pen),
            }
        }
        self.line(&run, pen);
    }

    /// A shape that hides what is behind it.
    pub fn shape(&mut self, points: &[Point], grey: f64) {
        if points.len() > 2 {
            self.sheet
                .fill(Layer::Page, self.place * closed(points), grey);
        }
    }

    /// A button with its four holes.
    pub fn button(&mut self, at: Point, across: f64, seen: f64) {
        let ring = |size: f64| {
            let ring = Circle::new(Point::ZERO, size / 2.0).to_path(0.05);
            Affine::translate(at.to_vec2()) * Affine::scale_non_uniform(seen, 1.0) * ring
        };
        self.sheet.fill(Layer::Page, self.place * ring(across), 1.0);
        self.sheet
            .line(Layer::Page, self.place * ring(across), EDGE);
        if seen > 0.8 {
            let inner = self.place * ring(0.72 * across);
            self.sheet.line(Layer::Page, inner, SEAM);
            for (x, y) in [(-0.1, -0.1), (0.1, -0.1), (-0.1, 0.1), (0.1, 0.1)] {
                let hole = Circle::new(at + kurbo::Vec2::new(x, y) * across, 0.055 * across);
                let hole = self.place * hole.to_path(0.05);
                self.sheet.fill(Layer::Page, hole, 0.2);
            }
        }
    }
}

/// A closed shape through points.
pub fn closed(points: &[Point]) -> BezPath {
    let mut path = through(points);
    path.close_path();
    path
}

fn through(points: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (i, point) in points.iter().enumerate() {
        if i == 0 {
            path.move_to(*point);
        } else {
            path.line_to(*point);
        }
    }
    path
}

/// Points along a smooth curve through a few given ones (a centripetal Catmull-Rom spline).
pub fn smooth(knots: &[Point]) -> Vec<Point> {
    let knots: Vec<crate::geometry::Knot> = knots
        .iter()
        .map(|knot| crate::geometry::Knot::new(*knot))
        .collect();
    if knots.len() < 2 {
        return Vec::new();
    }
    along(&crate::geometry::spline(&knots), 4.0)
}

/// Points along a path, at most so many mm from one to the next.
pub fn along(path: &BezPath, step: f64) -> Vec<Point> {
    use kurbo::{ParamCurve, ParamCurveArclen};
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
