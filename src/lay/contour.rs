//! Contours: their area, box and edges, and the grid on which their corners lie.

use kurbo::{Affine, Point, Rect};

/// A closed run of corners. The first is not repeated at the end.
pub(super) type Contour = Vec<Point>;

/// Step of the grid on which the corners of shapes lie, mm. It is so fine that no knife can tell, and so coarse
/// that sums of corners and products of edges up to 8 m long are exact. Parallel edges are then exactly
/// parallel, and a no-fit region has no slits where two of its steps should coincide and by rounding do not.
const GRID: f64 = 1.0 / 8192.0;

/// Returns the nearest point of the grid.
pub(super) fn on_grid(p: Point) -> Point {
    Point::new((p.x / GRID).round() * GRID, (p.y / GRID).round() * GRID)
}

/// Drops corners that repeat the one before or lie on the line of their neighbours.
pub(super) fn straighten(contour: &mut Contour) {
    let mut index = 0;
    let mut kept = 0;
    while contour.len() > 2 && kept < contour.len() {
        let count = contour.len();
        index %= count;
        let (before, at, after) = (
            contour[(index + count - 1) % count],
            contour[index],
            contour[(index + 1) % count],
        );
        if (at - before).cross(after - at) == 0.0 {
            contour.remove(index);
            // The corner before may now lie on a line.
            index = (index + count - 1) % count;
            kept = 0;
        } else {
            index += 1;
            kept += 1;
        }
    }
}

/// Returns a turn by `degrees`, exact for quarter turns.
pub(super) fn rotation(degrees: f64) -> Affine {
    let quarters = degrees / 90.0;
    if quarters.fract() != 0.0 {
        return Affine::rotate(degrees.to_radians());
    }
    match quarters.rem_euclid(4.0) as u8 {
        0 => Affine::IDENTITY,
        1 => Affine::new([0.0, 1.0, -1.0, 0.0, 0.0, 0.0]),
        2 => Affine::new([-1.0, 0.0, 0.0, -1.0, 0.0, 0.0]),
        _ => Affine::new([0.0, -1.0, 1.0, 0.0, 0.0, 0.0]),
    }
}

/// Whether two edges of a contour cross. Edges that only touch do not.
pub(super) fn crosses_itself(contour: &[Point]) -> bool {
    let side = |p: Point, q: Point, a: Point| (q - p).cross(a - p);
    let lines: Vec<(Point, Point)> = edges(contour).collect();
    lines.iter().enumerate().any(|(index, &(p, q))| {
        let before = &lines[..index];
        before.iter().any(|&(a, b)| {
            side(p, q, a) * side(p, q, b) < 0.0 && side(a, b, p) * side(a, b, q) < 0.0
        })
    })
}

/// Returns the area inside a contour (shoelace formula), positive when the corners run from x towards y.
pub(super) fn signed_area(contour: &[Point]) -> f64 {
    let Some(&origin) = contour.first() else {
        return 0.0;
    };
    let mut sum = 0.0;
    for (p, q) in edges(contour) {
        sum += (p - origin).cross(q - origin);
    }
    sum / 2.0
}

/// Returns the box round a contour; for no corners an empty box at the origin.
pub(super) fn bounds(contour: &[Point]) -> Rect {
    let mut points = contour.iter();
    let Some(&first) = points.next() else {
        return Rect::ZERO;
    };
    points.fold(Rect::from_points(first, first), |r, &p| r.union_pt(p))
}

/// Lists the edges of a closed contour.
pub(super) fn edges(contour: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    contour
        .iter()
        .copied()
        .zip(contour.iter().copied().cycle().skip(1))
}
