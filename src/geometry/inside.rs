//! Lines that lie inside an outline.

use super::region::straightened;
use kurbo::{BezPath, Line, ParamCurveNearest, PathEl, Point, Rect, Shape, Vec2};

/// What a line keeps clear of the outline, mm.
const CLEAR: f64 = 0.5;
/// An outline is flattened to this, mm.
const FLAT: f64 = 0.1;
/// Places tried along each side of an outline's box.
const GRID: usize = 24;
/// How much of the room from side to side a line may take up.
const SHARE: f64 = 0.85;

/// The line if it lies inside a closed outline; else one of the same direction through the outline's
/// deepest point, as long as it was or as there is room for. Where the outline encloses nothing or the
/// line has no length it stays as it is.
pub fn line_inside(outline: &BezPath, (from, to): (Point, Point)) -> (Point, Point) {
    let mut closed = outline.clone();
    if closed.elements().last() != Some(&PathEl::ClosePath) {
        closed.close_path();
    }
    let sides = straightened(&closed, FLAT);
    let along = (to - from).normalize();
    if !along.is_finite() || is_inside(&sides, from, to) {
        return (from, to);
    }
    let Some(middle) = deepest(&sides, closed.bounding_box()) else {
        return (from, to);
    };
    // In the middle of the room that there is along that line.
    let (back, on) = (
        distance_out(&sides, middle, -along),
        distance_out(&sides, middle, along),
    );
    let middle = middle + along * ((on - back) / 2.0);
    let half = (from.distance(to) / 2.0).min(SHARE * (back + on) / 2.0);
    (middle - along * half, middle + along * half)
}

fn is_inside(sides: &[(Point, Point)], from: Point, to: Point) -> bool {
    let line = Line::new(from, to);
    contains(sides, from)
        && sides.iter().all(|&(a, b)| {
            let side = Line::new(a, b);
            let near = |line: Line, p: Point| line.nearest(p, 1e-9).distance_sq < CLEAR * CLEAR;
            !(near(line, a) || near(side, from) || near(side, to) || cross(line, side))
        })
}

fn cross(a: Line, b: Line) -> bool {
    let sides = |line: Line, of: Line| {
        let along = line.p1 - line.p0;
        along.cross(of.p0 - line.p0) * along.cross(of.p1 - line.p0) < 0.0
    };
    sides(a, b) && sides(b, a)
}

/// The point that lies furthest from the outline, on a grid over its box.
fn deepest(sides: &[(Point, Point)], around: Rect) -> Option<Point> {
    let step = Vec2::new(around.width(), around.height()) / GRID as f64;
    let place = |i: usize| {
        let (x, y) = ((i % GRID) as f64 + 0.5, (i / GRID) as f64 + 0.5);
        around.origin() + Vec2::new(step.x * x, step.y * y)
    };
    let depth = |at: &Point| {
        let away = sides
            .iter()
            .map(|&(a, b)| Line::new(a, b).nearest(*at, 1e-9).distance_sq);
        away.fold(f64::MAX, f64::min)
    };
    (0..GRID * GRID)
        .map(place)
        .filter(|&at| contains(sides, at))
        .map(|at| (depth(&at), at))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, at)| at)
}

/// Whether a point lies inside: a line from it to the right crosses an odd number of sides.
fn contains(sides: &[(Point, Point)], at: Point) -> bool {
    let crossed = sides.iter().filter(|(a, b)| {
        (a.y <= at.y) != (b.y <= at.y) && a.x + (b.x - a.x) * (at.y - a.y) / (b.y - a.y) > at.x
    });
    crossed.count() % 2 == 1
}

/// How far it is from a point inside to the outline, that way.
fn distance_out(sides: &[(Point, Point)], from: Point, along: Vec2) -> f64 {
    let met = sides.iter().filter_map(|&(a, b)| {
        let (to_a, side) = (a - from, b - a);
        let turn = along.cross(side);
        let (ahead, share) = (to_a.cross(side) / turn, to_a.cross(along) / turn);
        (ahead > 0.0 && (0.0..=1.0).contains(&share)).then_some(ahead)
    });
    met.fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn sides(outline: &BezPath) -> Vec<(Point, Point)> {
        straightened(outline, FLAT)
    }

    #[test]
    fn a_line_inside_stays_and_one_outside_is_brought_in() {
        let strip = Rect::new(0.0, 0.0, 40.0, 200.0).to_path(0.1);
        let inside = (Point::new(20.0, 30.0), Point::new(20.0, 170.0));
        assert_eq!(line_inside(&strip, inside), inside);
        // Beside it, out at one end, and along its very edge.
        for line in [
            (Point::new(90.0, -100.0), Point::new(90.0, 400.0)),
            (Point::new(20.0, 100.0), Point::new(20.0, 260.0)),
            (Point::new(0.0, 10.0), Point::new(0.0, 190.0)),
        ] {
            let (upper, lower) = line_inside(&strip, line);
            assert!(is_inside(&sides(&strip), upper, lower), "{upper} {lower}");
            assert!(lower.y - upper.y > 100.0 && (lower.x - upper.x).abs() < 1e-9);
        }
    }

    /// Half a piece has no line along its fold: an open outline is closed by it.
    #[test]
    fn an_open_outline_is_bounded_by_its_ends() {
        let half = BezPath::from_svg("M0 0 L100 0 L100 80 L0 80").unwrap();
        let (upper, lower) = line_inside(&half, (Point::new(0.0, 5.0), Point::new(0.0, 75.0)));
        assert!(upper.x > 1.0 && upper.x < 99.0 && lower.y > upper.y);
    }

    proptest! {
        /// In a crescent, whose middle lies outside it, a line of any direction from anywhere ends inside
        /// and points the same way.
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
            let sides = sides(&crescent);
            for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
                prop_assert!(contains(&sides, upper.lerp(lower, share)));
            }
            let (was, is) = ((to - from).normalize(), (lower - upper).normalize());
            prop_assert!(was.dot(is) > 1.0 - 1e-9);
            prop_assert!(upper.distance(lower) <= length + 1e-9);
        }
    }
}
