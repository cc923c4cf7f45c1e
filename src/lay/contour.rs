//! Closed runs of corners: their area, box and edges, and the grid on which they lie.

use kurbo::{Affine, Point, Rect};

/// A closed run of corners; the first is not repeated.
pub(super) type Contour = Vec<Point>;

/// Corners of shapes lie on a grid of this fineness, mm: so fine that no knife can tell, and so
/// coarse that sums of corners and products of edges up to 8 m long are exact. Edges that are
/// parallel are then known to be, and a no-fit region has no slits where two of its steps ought to
/// coincide and by rounding do not.
const GRID: f64 = 1.0 / 8192.0;

/// The place on the grid that is nearest.
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

/// A turn by `degrees`, exact for quarter turns.
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

/// Whether two of its edges cross; where they touch they do not.
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

/// Twice-signed shoelace area halved: positive when the corners run from x towards y.
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

/// The box round a contour; empty at the origin for none.
pub(super) fn bounds(contour: &[Point]) -> Rect {
    let mut points = contour.iter();
    let Some(&first) = points.next() else {
        return Rect::ZERO;
    };
    points.fold(Rect::from_points(first, first), |r, &p| r.union_pt(p))
}

/// The edges of a closed contour.
pub(super) fn edges(contour: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    contour
        .iter()
        .copied()
        .zip(contour.iter().copied().cycle().skip(1))
}
