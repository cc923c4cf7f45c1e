//! Moves a line inside an outline: a grain line that must be drawn on its piece.

use super::region::straightened;
use kurbo::{BezPath, Line, ParamCurveNearest, PathEl, Point, Rect, Shape, Vec2};

/// Distance that a line keeps from the outline, mm: about the width of a thick pen line.
const CLEAR: f64 = 0.5;
/// Tolerance to which an outline is flattened, mm: well below [`CLEAR`].
const FLAT: f64 = 0.1;
/// Number of points tried along each side of an outline's box: enough to find the widest part of a
/// crescent, and quick at 576 points.
const GRID: usize = 24;
/// Share of the distance between two opposite edges that a moved line may take up; the rest is left
/// clear at both ends.
const SHARE: f64 = 0.85;

/// Returns the line if it lies inside the outline, or else a line of the same direction through the
/// outline's deepest point.
///
/// The new line is as long as the old one, or as there is room for. An open outline is closed by a line.
/// The line is returned as it was when it has no length or the outline encloses nothing.
pub fn line_inside(outline: &BezPath, (from, to): (Point, Point)) -> (Point, Point) {
    let mut closed = outline.clone();
    if closed.elements().last() != Some(&PathEl::ClosePath) {
        closed.close_path();
    }
    let edges = straightened(&closed, FLAT);
    let along = (to - from).normalize();
    if !along.is_finite() || is_inside(&edges, from, to) {
        return (from, to);
    }
    let Some(middle) = deepest(&edges, closed.bounding_box()) else {
        return (from, to);
    };
    // The new line is centred in the room along its own direction.
    let (back, on) = (
        distance_out(&edges, middle, -along),
        distance_out(&edges, middle, along),
    );
    let middle = middle + along * ((on - back) / 2.0);
    let half = (from.distance(to) / 2.0).min(SHARE * (back + on) / 2.0);
    (middle - along * half, middle + along * half)
}

/// Whether a line lies inside the outline of `edges` and clear of it.
fn is_inside(edges: &[(Point, Point)], from: Point, to: Point) -> bool {
    let chord = Line::new(from, to);
    contains(edges, from)
        && edges.iter().all(|&(a, b)| {
            let edge = Line::new(a, b);
            let near = |of: Line, p: Point| of.nearest(p, 1e-9).distance_sq < CLEAR * CLEAR;
            !(near(chord, a) || near(edge, from) || near(edge, to) || cross(chord, edge))
        })
}

/// Whether each of two lines parts the ends of the other.
fn cross(a: Line, b: Line) -> bool {
    let parts = |line: Line, other: Line| {
        let along = line.p1 - line.p0;
        along.cross(other.p0 - line.p0) * along.cross(other.p1 - line.p0) < 0.0
    };
    parts(a, b) && parts(b, a)
}

/// Returns the point inside that is furthest from the outline, of a grid over its box; `None` when no point
/// of the grid is inside.
fn deepest(edges: &[(Point, Point)], around: Rect) -> Option<Point> {
    let step = Vec2::new(around.width(), around.height()) / GRID as f64;
    let point = |i: usize| {
        let (x, y) = ((i % GRID) as f64 + 0.5, (i / GRID) as f64 + 0.5);
        around.origin() + Vec2::new(step.x * x, step.y * y)
    };
    let depth = |at: &Point| {
        let away = edges
            .iter()
            .map(|&(a, b)| Line::new(a, b).nearest(*at, 1e-9).distance_sq);
        away.fold(f64::MAX, f64::min)
    };
    (0..GRID * GRID)
        .map(point)
        .filter(|&at| contains(edges, at))
        .map(|at| (depth(&at), at))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, at)| at)
}

/// Whether a point lies inside: a line from it to the right crosses an odd number of edges.
fn contains(edges: &[(Point, Point)], at: Point) -> bool {
    let crossed = edges.iter().filter(|(a, b)| {
        (a.y <= at.y) != (b.y <= at.y) && a.x + (b.x - a.x) * (at.y - a.y) / (b.y - a.y) > at.x
    });
    crossed.count() % 2 == 1
}

/// Returns the distance from a point inside to the outline, in the direction `along`.
fn distance_out(edges: &[(Point, Point)], from: Point, along: Vec2) -> f64 {
    let met = edges.iter().filter_map(|&(a, b)| {
        let (to_a, edge) = (a - from, b - a);
        let turn = along.cross(edge);
        let (ahead, share) = (to_a.cross(edge) / turn, to_a.cross(along) / turn);
        (ahead > 0.0 && (0.0..=1.0).contains(&share)).then_some(ahead)
    });
    met.fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Affine;
    use proptest::prelude::*;

    fn edges_of(outline: &BezPath) -> Vec<(Point, Point)> {
        straightened(outline, FLAT)
    }

    #[test]
    fn a_line_inside_stays_and_one_outside_is_brought_in() {
        let strip = Rect::new(0.0, 0.0, 40.0, 200.0).to_path(0.1);
        let inside = (Point::new(20.0, 30.0), Point::new(20.0, 170.0));
        assert_eq!(line_inside(&strip, inside), inside);
        // The lines lie beside the strip, reach out of one end of it, and lie on its edge.
        for line in [
            (Point::new(90.0, -100.0), Point::new(90.0, 400.0)),
            (Point::new(20.0, 100.0), Point::new(20.0, 260.0)),
            (Point::new(0.0, 10.0), Point::new(0.0, 190.0)),
        ] {
            let (upper, lower) = line_inside(&strip, line);
            assert!(
                is_inside(&edges_of(&strip), upper, lower),
                "{upper} {lower}"
            );
            assert!(lower.y - upper.y > 100.0 && (lower.x - upper.x).abs() < 1e-9);
        }
    }

    /// Only the foot of an L is long enough for the line, and only the last points of the grid lie in it.
    #[test]
    fn the_grid_reaches_the_far_edges_of_the_box() {
        let bent = BezPath::from_svg("M0 0 L240 0 L240 200 L230 200 L230 10 L0 10 Z").unwrap();
        let outside = (Point::new(300.0, 20.0), Point::new(300.0, 170.0));
        let (upper, lower) = line_inside(&bent, outside);
        assert!((upper.x - 235.0).abs() < 1e-9 && lower.y - upper.y > 149.0);
        let swap = Affine::new([0.0, 1.0, 1.0, 0.0, 0.0, 0.0]);
        let (left, right) = line_inside(&(swap * bent), (swap * outside.0, swap * outside.1));
        assert!((left.y - 235.0).abs() < 1e-9 && right.x - left.x > 149.0);
    }

    /// The outline of half a piece is open along its fold, which closes it.
    #[test]
    fn an_open_outline_is_bounded_by_its_ends() {
        let half = BezPath::from_svg("M0 0 L100 0 L100 80 L0 80").unwrap();
        let (upper, lower) = line_inside(&half, (Point::new(0.0, 5.0), Point::new(0.0, 75.0)));
        assert!(upper.x > 1.0 && upper.x < 99.0 && lower.y > upper.y);
    }

    proptest! {
        /// Any line is moved inside a crescent, whose middle lies outside it, and keeps its direction.
        #[test]
        fn every_line_ends_inside(
            x in -400.0..800.0_f64, y in -400.0..900.0_f64, angle in 0.0..std::f64::consts::TAU, length in 1.0..900.0_f64,
        ) {
            let crescent = BezPath::from_svg(
                "M0 0 C200 0 300 150 300 300 C300 450 200 600 0 600 C120 480 170 400 170 300 C170 200 120 120 0 0Z",
            )
            .unwrap();
            let from = Point::new(x, y);
            let to = from + Vec2::from_angle(angle) * length;
            let (upper, lower) = line_inside(&crescent, (from, to));
            let edges = edges_of(&crescent);
            for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
                prop_assert!(contains(&edges, upper.lerp(lower, share)));
            }
            let (was, is) = ((to - from).normalize(), (lower - upper).normalize());
            prop_assert!(was.dot(is) > 1.0 - 1e-9);
            prop_assert!(upper.distance(lower) <= length + 1e-9);
        }
    }
}
