//! Draws some pieces of a draft to scale, with the points and lines of their construction.

use super::labels;
use super::page::{AGAINST, EDGE, LINE, NUMBER};
use crate::draft::{
    BoardPoint, Construction, Draft, DraftPiece, How, Mark, PieceId, Section, Symbol,
};
use crate::geometry;
use crate::sheets::drawing::{Drawing, Layer, Pen, rectangle, segment};
use kurbo::{Affine, BezPath, Line, Point, Rect, Shape};

/// Pieces drawn in one frame, with the points to number. Left pieces lie as they were drafted, not
/// turned over: so their points are where the instructions put them.
pub(super) struct Group<'a> {
    pieces: Vec<DraftPiece>,
    points: Vec<&'a BoardPoint>,
    pub(super) bounds: Rect,
}

impl<'a> Group<'a> {
    pub(super) fn new(ids: &[PieceId], construction: &'a Construction) -> Self {
        let draft = &construction.draft;
        let pieces = ids.iter().map(|piece| as_drafted(&draft[*piece]));
        let pieces: Vec<DraftPiece> = pieces.collect();
        let boxes = pieces.iter().flat_map(|piece| &piece.edges);
        let bounds = boxes
            .map(|edge| edge.path.bounding_box())
            .reduce(|a, b| a.union(b));
        let bounds = bounds.unwrap_or(Rect::ZERO);
        let near = bounds.inflate(35.0, 35.0);
        let shown = |section: &&Section| ids.contains(&section.piece);
        let sections = construction.sections.iter().filter(shown);
        let mut numbers: Vec<usize> = sections.flat_map(|s| s.points.iter().copied()).collect();
        numbers.sort_unstable();
        numbers.dedup();
        let points = numbers.iter().filter_map(|n| draft.points.get(n - 1));
        let points: Vec<&BoardPoint> = points.filter(|point| near.contains(point.at)).collect();
        let bounds = points.iter().fold(bounds, |b, point| b.union_pt(point.at));
        Group {
            pieces,
            points,
            bounds,
        }
    }
}

/// A piece before it was turned over, if it was.
fn as_drafted(piece: &DraftPiece) -> DraftPiece {
    let mut piece = piece.clone();
    let back = piece.as_drafted();
    for edge in &mut piece.edges {
        edge.path.apply_affine(back);
    }
    for mark in &mut piece.marks {
        mark.path.apply_affine(back);
    }
    piece
}

/// Draws a group of pieces: construction lines, edges, marks, points and their numbers.
pub(super) fn show(
    page: &mut Drawing,
    group: &Group,
    construction: &Construction,
    against: Option<&Draft>,
    place: Affine,
    room: Rect,
) {
    for (own, other) in (group.pieces.iter()).flat_map(|own| against.map(|other| (own, other))) {
        for (piece, brought) in other.counterparts(own) {
            let brought = place * own.as_drafted() * brought;
            for edge in &piece.edges {
                page.line(Layer::Marks, brought * &edge.path, AGAINST);
            }
        }
    }
    let mut thin: Vec<Line> = Vec::new();
    for (a, b) in group
        .points
        .iter()
        .flat_map(|point| lines_of(point, construction))
    {
        let line = Line::new(place * a, place * b);
        let seen = |point: Point| room.inflate(2.0, 2.0).contains(point);
        if seen(line.p0) && seen(line.p1) && line.p0.distance(line.p1) > 0.05 {
            page.line(Layer::Marks, segment(line.p0, line.p1), LINE);
            thin.push(line);
        }
    }
    let mut heavy: Vec<Line> = Vec::new();
    for piece in &group.pieces {
        for mark in &piece.marks {
            draw_mark(page, mark, place);
            thin.extend(straights(&(place * &mark.path)));
        }
        for edge in &piece.edges {
            let path = place * &edge.path;
            heavy.extend(straights(&path));
            page.line(Layer::Seam, path, EDGE);
        }
    }
    let points: Vec<(Point, String)> = group
        .points
        .iter()
        .map(|point| (place * point.at, point.number.to_string()))
        .collect();
    for label in labels::place(&points, NUMBER, &heavy, &thin, room.inflate(4.0, 4.0)) {
        let clear = rectangle(label.room);
        page.fill(Layer::Labels, clear, 1.0);
        if let Some(leader) = label.leader {
            let path = segment(leader.p0, leader.p1);
            page.line(Layer::Labels, path, Pen::full(0.08));
        }
        page.text(Layer::Labels, label.text);
    }
    for (at, _) in &points {
        let dot = kurbo::Circle::new(*at, 0.42).to_path(0.02);
        page.fill(Layer::Labels, dot, 0.0);
    }
}

fn draw_mark(page: &mut Drawing, mark: &Mark, place: Affine) {
    let path = place * &mark.path;
    let pen = match mark.kind.symbol() {
        Symbol::Fold => Pen::dashed(0.2, &[4.0, 1.0, 0.6, 1.0]),
        Symbol::Level => Pen::dashed(0.15, &[0.6, 1.0]),
        Symbol::Button | Symbol::Drill => {
            if let Some(at) = geometry::start(&path) {
                let ring = kurbo::Circle::new(at, 1.1).to_path(0.02);
                page.line(Layer::Marks, ring, Pen::full(0.2));
            }
            return;
        }
        Symbol::Place | Symbol::Cut | Symbol::Buttonhole => Pen::full(0.2),
    };
    page.line(Layer::Marks, path, pen);
}

/// The lines by which a point was found.
fn lines_of(point: &BoardPoint, construction: &Construction) -> Vec<(Point, Point)> {
    let points = &construction.draft.points;
    let at = |n: &usize| n.checked_sub(1).and_then(|i| points.get(i)).map(|p| p.at);
    let from: Vec<Point> = match &point.how {
        How::Straight(p, ..) | How::Aslant(p, ..) | How::Square(p, ..) | How::Level(p, _) => {
            at(p).into_iter().collect()
        }
        How::Toward(p, q, _) | How::Between(p, q, _) => {
            [at(p), at(q)].into_iter().flatten().collect()
        }
        How::Mirrored(p, ..) | How::Turned(p, ..) => at(p).into_iter().collect(),
        How::Start(_) | How::Along(..) | How::OnLevel(..) | How::Meets(..) => vec![],
    };
    from.into_iter().map(|from| (from, point.at)).collect()
}

fn straights(path: &BezPath) -> Vec<Line> {
    let corners = geometry::flattened(path, 0.05);
    corners
        .windows(2)
        .map(|pair| Line::new(pair[0], pair[1]))
        .collect()
}
