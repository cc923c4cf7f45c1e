//! Finds the pieces, edges and marks that a view is drawn from, by their parts, roles and kinds.

use super::mesh::Placed;
use crate::draft::{Draft, DraftPiece, Mark, MarkKind, Part, PieceId, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, Point, Vec2};

/// Distance between points along an edge that is laid round the trunk, mm: fine enough for the scye, the
/// tightest curve of a piece.
const STEP: f64 = 3.0;
/// Returns points along a path, as close together as they are laid round the trunk.
pub(super) fn sampled(path: &BezPath) -> impl DoubleEndedIterator<Item = Point> {
    along(path, STEP).into_iter()
}

/// Returns the points of a path that are seen, each at its place in the view.
pub(super) fn laid(path: &BezPath, placed: impl Fn(Point) -> Placed) -> Vec<Point> {
    let placed = sampled(path).map(placed);
    let seen = placed.filter(|placed| placed.seen);
    seen.map(|point| point.at).collect()
}

/// Returns the corners of the net outline of a piece.
pub(super) fn outline(piece: &DraftPiece) -> Vec<Point> {
    let whole = geometry::joined(piece.edges.iter().map(|edge| &edge.path), 0.02);
    geometry::flattened(&whole, 0.2)
}

/// A piece with its place in the draft.
#[derive(Clone, Copy)]
pub(super) struct Found<'a> {
    /// Its place.
    pub id: PieceId,
    /// The piece.
    pub piece: &'a DraftPiece,
}

impl std::ops::Deref for Found<'_> {
    type Target = DraftPiece;

    fn deref(&self) -> &DraftPiece {
        self.piece
    }
}

/// Returns the pieces that are a part and are worn on a side.
pub(super) fn pieces(draft: &Draft, part: Part, side: Side) -> impl Iterator<Item = Found<'_>> {
    let on_side = move |piece: &DraftPiece| piece.side.is_none_or(|own| own == side);
    let found = draft.pieces.iter().enumerate();
    found
        .filter(move |(_, piece)| piece.is_part(part) && on_side(piece))
        .map(|(place, piece)| Found {
            id: PieceId(place),
            piece,
        })
}

/// Returns the piece that is a part on a side; where it is cut for the other side alone, that one.
pub(super) fn piece(draft: &Draft, part: Part, side: Side) -> Option<Found<'_>> {
    let own = pieces(draft, part, side).next();
    own.or_else(|| pieces(draft, part, side.other()).next())
}

/// Returns the edge of a piece that plays a role.
pub(super) fn edge(piece: &DraftPiece, role: Role) -> Option<&BezPath> {
    piece.edge(role).map(|edge| &edge.path)
}

/// Returns the marks of a kind on a piece.
pub(super) fn marks(piece: &DraftPiece, kind: MarkKind) -> impl Iterator<Item = &Mark> {
    piece.marks.iter().filter(move |mark| mark.kind == kind)
}

/// Returns the first mark of a kind on a piece.
pub(super) fn mark(piece: &DraftPiece, kind: MarkKind) -> Option<&Mark> {
    marks(piece, kind).next()
}

/// Returns the lines along which the vents of a piece hang closed: folds, or the seam lines of underlaps.
pub(super) fn vent_lines(piece: &DraftPiece) -> impl Iterator<Item = &Mark> {
    let closes = |mark: &&Mark| matches!(mark.kind, MarkKind::VentFold | MarkKind::VentSeam);
    piece.marks.iter().filter(closes)
}

/// Returns the paths that make up a seam: its edge, the edges that continue it beyond a cut, and the fold
/// of a vent that it ends in.
pub(super) fn seam(piece: &DraftPiece, role: Role) -> Option<Vec<BezPath>> {
    let sewn = edge(piece, role)?;
    let ends = [geometry::start(sewn)?, geometry::end(sewn)?];
    let goes_on = |mark: &&Mark| {
        let top = geometry::start(&mark.path).unwrap_or_default();
        ends.iter().any(|end| end.distance(top) < 1.0)
    };
    let whole = piece.whole(role);
    let mut paths: Vec<BezPath> = whole.map(|edge| edge.path.clone()).collect();
    let below = vent_lines(piece).filter(goes_on);
    paths.extend(below.map(|mark| mark.path.clone()));
    Some(paths)
}

/// Returns the part of a hem beyond the end of another, moved to the level of that end.
///
/// The seams that meet between two hems are equally long, so a step there comes from the view alone.
pub(super) fn continued(end: Point, next: &[Point]) -> Vec<Point> {
    let onward = next.iter().filter(|p| p.x > end.x + 0.5);
    let step = onward.clone().next().map_or(0.0, |first| end.y - first.y);
    onward.map(|p| *p + Vec2::new(0.0, step)).collect()
}

/// Returns points along paths from their upper end down.
pub(super) fn downward(paths: &[BezPath]) -> Vec<Point> {
    let mut runs: Vec<Vec<Point>> = paths.iter().map(|path| sampled(path).collect()).collect();
    let high = |run: &Vec<Point>| run.iter().map(|p| p.y).fold(f64::MAX, f64::min);
    for run in &mut runs {
        if run.first().zip(run.last()).is_some_and(|(a, b)| a.y > b.y) {
            run.reverse();
        }
    }
    runs.sort_by(|a, b| high(a).total_cmp(&high(b)));
    runs.concat()
}

/// Returns points along a path, at most `step` mm apart, with all its joints.
pub fn along(path: &BezPath, step: f64) -> Vec<Point> {
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
