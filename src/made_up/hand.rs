//! Draws what is seen, from what lies behind to what lies in front.

use super::lines::{Found, along};
use super::mesh::Mesh;
use super::patch::Patch;
use super::shown::{CLOTH, Filled, Shade, Shown, Stroke};
use crate::geometry::{self, Knot};
use crate::order::Side;
use kurbo::{BezPath, Point};

/// A hand that draws a view: the right half as it is given, the left half as its mirror image.
pub(super) struct Hand<'a> {
    shown: &'a mut Vec<Shown>,
    mirrored: bool,
}

impl<'a> Hand<'a> {
    /// Makes a hand that draws on the right half.
    pub(super) fn new(shown: &'a mut Vec<Shown>) -> Self {
        Self {
            shown,
            mirrored: false,
        }
    }

    /// Returns a hand for the right half of the view or, when `right` is false, for the left half.
    pub(super) fn half(&mut self, right: bool) -> Hand<'_> {
        Hand {
            mirrored: self.mirrored == right,
            shown: self.shown,
        }
    }

    /// Mirrors a point if the hand draws on the left half.
    fn place(&self, point: Point) -> Point {
        match self.mirrored {
            true => Point::new(-point.x, point.y),
            false => point,
        }
    }

    /// Mirrors points if the hand draws on the left half.
    fn placed(&self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|point| self.place(*point)).collect()
    }

    /// Draws a line through points.
    pub(super) fn line(&mut self, points: &[Point], stroke: Stroke) {
        if points.len() > 1 {
            let points = self.placed(points);
            self.shown.push(Shown::Line(points, stroke));
        }
    }

    /// Draws the stretches of a line that are seen; `None` stands for a point that is not.
    pub(super) fn seen(&mut self, points: impl IntoIterator<Item = Option<Point>>, stroke: Stroke) {
        let mut run = Vec::new();
        for point in points {
            match point {
                Some(point) => run.push(point),
                None => self.line(&std::mem::take(&mut run), stroke),
            }
        }
        self.line(&run, stroke);
    }

    /// Draws a region of a material, by its id, which hides what lies behind it.
    pub(super) fn plain(&mut self, points: &[Point], shade: Shade, of: &str) {
        self.region(points, shade, Filled::Plain(of.to_owned()));
    }

    /// Draws a region in which parts of pieces are seen; it hides what lies behind it.
    pub(super) fn patches(&mut self, points: &[Point], shade: Shade, patches: Vec<Patch>) {
        if patches.is_empty() {
            return self.plain(points, shade, CLOTH);
        }
        let mut patches = patches;
        if self.mirrored {
            patches.iter_mut().for_each(mirror);
        }
        self.region(points, shade, Filled::Patches(patches));
    }

    fn region(&mut self, points: &[Point], shade: Shade, filled: Filled) {
        if points.len() > 2 {
            self.shown.push(Shown::Region {
                outline: self.placed(points),
                shade,
                filled,
            });
        }
    }

    /// Draws a button `across` mm in diameter; `seen` is the share of its width that shows.
    pub(super) fn button(&mut self, at: Point, across: f64, seen: f64) {
        self.shown.push(Shown::Button {
            at: self.place(at),
            across,
            seen,
            mirrored: self.mirrored,
        });
    }
}

/// Makes a patch of the face of a piece that is worn on a side.
pub(super) fn patch(of: Found, side: Option<Side>, (corners, triangles): Mesh) -> Patch {
    Patch {
        piece: of.id,
        side,
        wrong_side: false,
        corners,
        triangles,
    }
}

/// Mirrors a patch in the view. Its triangles keep turning the way they did.
pub(super) fn mirror(patch: &mut Patch) {
    for corner in &mut patch.corners {
        corner.at.x = -corner.at.x;
    }
    for triangle in &mut patch.triangles {
        triangle.swap(1, 2);
    }
}

/// Distance between points along a curve that is drawn by eye, mm: 0.8 mm on a view at a fifth of full
/// size, where the corners between the straight lines do not show.
const STEP: f64 = 4.0;

/// Returns the closed polygon through points.
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

/// Returns points along the smooth curve through a few knots (Hobby's spline, [`geometry::spline`]).
pub(super) fn smooth(knots: &[Point]) -> Vec<Point> {
    let knots: Vec<Knot> = knots.iter().map(|knot| Knot::new(*knot)).collect();
    if knots.len() < 2 {
        return Vec::new();
    }
    along(&geometry::spline(&knots), STEP)
}
