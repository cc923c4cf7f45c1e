//! Clips straight lines to a box.

use kurbo::{Point, Rect};

/// Returns the part of a segment inside a box, its edges included, as shares of the segment's length: 0 at
/// `a`, 1 at `b`. A segment that only touches the box gives two equal shares. The segment is clipped to
/// one side after another (Liang and Barsky, "A New Concept and Method for Line Clipping", ACM
/// Transactions on Graphics 3, 1984).
pub(super) fn part_inside(a: Point, b: Point, window: Rect) -> Option<(f64, f64)> {
    let along = b - a;
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (run, room) in [
        (-along.x, a.x - window.x0),
        (along.x, window.x1 - a.x),
        (-along.y, a.y - window.y0),
        (along.y, window.y1 - a.y),
    ] {
        if run == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if run < 0.0 {
            from = from.max(room / run);
        } else {
            to = to.min(room / run);
        }
    }
    (from <= to).then_some((from, to))
}
