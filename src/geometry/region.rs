//! Treats closed outlines, flattened, as regions of the plane: areas, unions and differences.
//!
//! The booleans are those of `i_overlay`. They share no code with our crossings and offsets, and so can
//! check them.

use i_overlay::core::{fill_rule::FillRule, overlay_rule::OverlayRule};
use i_overlay::float::{simplify::SimplifyShape, single::SingleFloatOverlay};
use kurbo::{BezPath, PathEl, Point};

/// How far a flattened outline may lie from its curves where regions are compared, mm: as near as a draft
/// must close.
const FLAT: f64 = 0.01;
/// Least difference of area that is not rounding, mm²: `i_overlay` moves corners to an integer grid.
const ROUNDING: f64 = 0.01;

/// Flattens a closed path to within `tolerance` mm of its curves and returns its corners; the first corner
/// is not repeated.
pub fn flattened(path: &BezPath, tolerance: f64) -> Vec<Point> {
    let mut corners: Vec<Point> = Vec::new();
    kurbo::flatten(path, tolerance, |element| {
        if let Some(p) = element.end_point()
            && corners.last().is_none_or(|last| last.distance(p) > 1e-6)
        {
            corners.push(p);
        }
    });
    while corners.len() > 1
        && corners
            .first()
            .zip(corners.last())
            .is_some_and(|(a, b)| a.distance(*b) < 1e-6)
    {
        corners.pop();
    }
    corners
}

/// Flattens a path to within `tolerance` mm of its curves and returns its lines, each as its two ends.
pub fn straightened(path: &BezPath, tolerance: f64) -> Vec<(Point, Point)> {
    let mut found = Vec::new();
    let (mut start, mut last) = (Point::ZERO, Point::ZERO);
    kurbo::flatten(path, tolerance, |element| match element {
        PathEl::MoveTo(point) => (start, last) = (point, point),
        PathEl::LineTo(point) => {
            found.push((last, point));
            last = point;
        }
        _ => {
            found.push((last, start));
            last = start;
        }
    });
    found
}

/// Returns the area of a polygon, mm²; positive when its corners run round from x towards y.
pub fn area(corners: &[Point]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    0.5 * corners
        .iter()
        .zip(next)
        .map(|(a, b)| a.to_vec2().cross(b.to_vec2()))
        .sum::<f64>()
}

/// Whether a closed path bounds one region and does not cross itself: `i_overlay` finds one contour of the
/// same area in it.
pub fn is_one_region(path: &BezPath) -> bool {
    let corners = flattened(path, FLAT);
    let shapes = as_arrays(&corners).simplify_shape(FillRule::NonZero);
    match shapes.as_slice() {
        [shape] => match shape.as_slice() {
            [contour] => (area(&as_points(contour)).abs() - area(&corners).abs()).abs() < ROUNDING,
            _ => false,
        },
        _ => false,
    }
}

/// Returns the outer contour of the union of polygons, which may run either way round. Holes are filled;
/// where the union falls into several parts, the largest is returned.
pub fn united(polygons: &[Vec<Point>]) -> Vec<Point> {
    // Each polygon is simplified on its own first, so that all run the same way and none cancels another.
    let contours: Vec<Vec<[f64; 2]>> = polygons
        .iter()
        .filter(|corners| corners.len() > 2)
        .flat_map(|corners| as_arrays(corners).simplify_shape(FillRule::NonZero))
        .flatten()
        .collect();
    let shapes = contours.simplify_shape(FillRule::NonZero);
    let outer = shapes
        .iter()
        .filter_map(|shape| shape.first())
        .map(|contour| as_points(contour));
    outer
        .max_by(|a, b| area(a).abs().total_cmp(&area(b).abs()))
        .unwrap_or_default()
}

/// Returns the area of the first polygon that lies outside the second, mm².
pub fn area_outside(inner: &[Point], outer: &[Point]) -> f64 {
    let shapes = as_arrays(inner).overlay(
        &as_arrays(outer),
        OverlayRule::Difference,
        FillRule::NonZero,
    );
    shapes
        .iter()
        .flatten()
        .map(|contour| area(&as_points(contour)))
        .sum::<f64>()
        .abs()
}

/// Converts points to the arrays that `i_overlay` takes.
fn as_arrays(corners: &[Point]) -> Vec<[f64; 2]> {
    corners.iter().map(|p| [p.x, p.y]).collect()
}

/// Converts a contour of `i_overlay` to points.
fn as_points(contour: &[[f64; 2]]) -> Vec<Point> {
    contour.iter().map(|p| Point::new(p[0], p[1])).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Circle, Rect, Shape};

    fn polygon(shape: impl Shape) -> Vec<Point> {
        flattened(&shape.to_path(1e-4), 0.001)
    }

    #[test]
    fn areas_of_known_shapes() {
        assert!((area(&polygon(Rect::new(10.0, 20.0, 40.0, 60.0))) - 1200.0).abs() < 1e-9);
        let circle = area(&polygon(Circle::new((5.0, 5.0), 100.0))).abs();
        assert!((circle / (100.0 * 100.0 * std::f64::consts::PI) - 1.0).abs() < 2e-5);
        assert_eq!(area(&[]), 0.0);
    }

    #[test]
    fn a_bow_is_no_region_and_a_square_is() {
        let closed = |svg: &str| BezPath::from_svg(svg).unwrap();
        assert!(is_one_region(&closed("M0 0 L10 0 L10 10 L0 10 Z")));
        assert!(!is_one_region(&closed("M0 0 L10 10 L10 0 L0 10 Z")));
        // One edge has a small fold.
        assert!(!is_one_region(&closed(
            "M0 0 L10 0 L10 6 L11 5 L9 5 L10 10 L0 10 Z"
        )));
        assert!(!is_one_region(&BezPath::new()));
    }

    #[test]
    fn unions_and_differences() {
        let (a, b) = (
            Rect::new(0.0, 0.0, 10.0, 10.0),
            Rect::new(5.0, 5.0, 15.0, 15.0),
        );
        let mut turned_round = polygon(b);
        turned_round.reverse();
        assert!((area(&united(&[polygon(a), turned_round.clone()])).abs() - 175.0).abs() < 1e-3);
        assert!((area_outside(&polygon(a), &turned_round) - 75.0).abs() < 1e-3);
        assert!(area_outside(&polygon(a), &polygon(a.inset(1.0))) < 1e-3);
        assert!((area_outside(&polygon(a), &[]) - 100.0).abs() < 1e-3);
    }
}
