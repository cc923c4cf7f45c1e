//! Builds an outline from flattened strips, where the exact curves cross one another.

use super::corner::Meeting;
use super::edge::Edge;
use super::region::{flattened, united};
use super::spread::Spread;
use super::walk::{end, length, point_at, tangent_at};
use kurbo::{BezPath, Point, Shape};

/// Returns the outline of the union of the figure, the strips beside its edges and its corners, all
/// flattened.
pub(super) fn from_strips(closed: &BezPath, edges: &[Edge], meetings: &[Meeting]) -> BezPath {
    let outward = if closed.area() > 0.0 { -1.0 } else { 1.0 };
    let mut polygons = vec![flattened(closed, FLAT)];
    for edge in edges {
        let rungs = rungs(edge, outward);
        let strips = rungs
            .windows(2)
            .map(|p| vec![p[0].0, p[1].0, p[1].1, p[0].1]);
        polygons.extend(strips);
    }
    // Each way round a corner begins and ends on the lines beside its edges, which the strips reach: with the
    // corner itself it bounds what they leave open.
    for (edge, meeting) in edges.iter().zip(meetings) {
        let mut wedge: Vec<Point> = end(edge.path).into_iter().collect();
        wedge.extend(flattened_open(&meeting.across));
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

/// Pairs points along an edge with the points straight across from them on the line beside it.
fn rungs(edge: &Edge, outward: f64) -> Vec<(Point, Point)> {
    let long = length(edge.path);
    let spread = Spread::new(&edge.widths, long);
    let mut stops = spread.nodes(0.0, long);
    let mut walked = 0.0;
    for pair in flattened_open(edge.path).windows(2) {
        walked += pair[0].distance(pair[1]);
        stops.push(walked.min(long));
    }
    stops.sort_by(f64::total_cmp);
    let rung = |at: &f64| {
        let foot = point_at(edge.path, *at);
        let out = tangent_at(edge.path, *at).turn_90() * outward;
        (foot, foot + out * spread.at(*at).0)
    };
    stops.iter().map(rung).collect()
}

/// How far the strips of a rebuilt outline may lie from the exact curves, mm: less than shears can
/// follow, and coarse enough that the union of a long edge's strips stays quick.
const FLAT: f64 = 0.02;

/// Flattens an open path to its points, within [`FLAT`].
fn flattened_open(path: &BezPath) -> Vec<Point> {
    let mut corners = Vec::new();
    kurbo::flatten(path, FLAT, |element| corners.extend(element.end_point()));
    corners
}
