//! An outline put together from flattened strips, where its curves will not bound one region.

use super::corner::Meeting;
use super::offset::Spread;
use super::outline::Side;
use super::region::{flattened, united};
use super::walk::{end, length, point_at, start, tangent_at};
use kurbo::{BezPath, Point, Shape};

/// The union of the figure, the strips beside its sides and its corners, all flattened.
pub(super) fn from_strips(
    closed: &BezPath,
    sides: &[Side],
    lines: &[BezPath],
    meetings: &[Meeting],
) -> BezPath {
    let outward = if closed.area() > 0.0 { -1.0 } else { 1.0 };
    let mut polygons = vec![flattened(closed, FLAT)];
    for side in sides {
        let rungs = rungs(side, outward);
        let strips = rungs
            .windows(2)
            .map(|p| vec![p[0].0, p[1].0, p[1].1, p[0].1]);
        polygons.extend(strips);
    }
    for (i, meeting) in meetings.iter().enumerate() {
        let next = (i + 1) % lines.len();
        let corner = sides.get(i).and_then(|side| end(side.path));
        let (before, after) = (lines.get(i).and_then(end), lines.get(next).and_then(start));
        let mut wedge: Vec<Point> = corner.into_iter().chain(before).collect();
        wedge.extend(flattened_open(&meeting.across));
        wedge.extend(after);
        polygons.push(wedge);
    }
    let mut path = BezPath::new();
    for (i, p) in united(&polygons).into_iter().enumerate() {
        if i == 0 {
            path.move_to(p);
        } else {
            path.line_to(p);
        }
    }
    path.close_path();
    path
}

/// Places along a side, each with the place straight across from it on the line beside.
fn rungs(side: &Side, outward: f64) -> Vec<(Point, Point)> {
    let long = length(side.path);
    let spread = Spread::new(&side.widths, long);
    let mut places = spread.nodes(0.0, long);
    let mut walked = 0.0;
    for pair in flattened_open(side.path).windows(2) {
        walked += pair[0].distance(pair[1]);
        places.push(walked.min(long));
    }
    places.sort_by(f64::total_cmp);
    let rung = |at: &f64| {
        let foot = point_at(side.path, *at);
        let out = tangent_at(side.path, *at).turn_90() * outward;
        (foot, foot + out * spread.at(*at).0)
    };
    places.iter().map(rung).collect()
}

/// How far the strips of a rebuilt outline may lie from the curves, mm.
const FLAT: f64 = 0.02;

/// The corners of an open path, flattened.
fn flattened_open(path: &BezPath) -> Vec<Point> {
    let mut corners = Vec::new();
    kurbo::flatten(path, FLAT, |element| corners.extend(element.end_point()));
    corners
}
