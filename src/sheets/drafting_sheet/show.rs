//! Draws some pieces of a draft to scale, with the points and lines of their construction.

use super::labels;
use super::page::{AGAINST, EDGE, LINE, NUMBER};
use crate::draft::{
    BoardPoint, Construction, Draft, DraftPiece, How, Mark, PieceId, Section, Symbol,
};
use crate::geometry;
use crate::sheets::drawing::{Drawing, Layer, Pen, rectangle, segment};
use kurbo::{Affine, BezPath, Line, Point, Rect, Shape};

/// Pieces that are drawn together, with the points to number. Pieces of the left side are not turned over, so
/// that their points lie where the instructions put them.
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

/// Returns a piece as it was drafted, before it was turned over.
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

/// Draws a group of pieces: construction lines, edges, marks, points and their numbers. `place` maps the
/// draft to the page; construction lines stay inside `room`.
pub(super) fn show(
    page: &mut Drawing,
    group: &Group,
    construction: &Construction,
    against: Option<&Draft>,
    place: Affine,
    room: Rect,
) {
    if let Some(other) = against {
        show_other(page, group, other, place);
    }
    let seen = room.inflate(2.0, 2.0);
    let mut thin: Vec<Line> = Vec::new();
    for point in &group.points {
        for from in found_from(point, construction) {
            let line = Line::new(place * from, place * point.at);
            if seen.contains(line.p0) && seen.contains(line.p1) && line.length() > 0.05 {
                page.line(Layer::Marks, segment(line.p0, line.p1), LINE);
                thin.push(line);
            }
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
    let points = group.points.iter();
    let points: Vec<(Point, String)> = points
        .map(|point| (place * point.at, point.number.to_string()))
        .collect();
    for number in labels::place(&points, NUMBER, &heavy, &thin, room.inflate(4.0, 4.0)) {
        page.fill(Layer::Labels, rectangle(number.room), 1.0);
        if let Some(leader) = number.leader {
            let path = segment(leader.p0, leader.p1);
            page.line(Layer::Labels, path, Pen::full(0.08));
        }
        page.text(Layer::Labels, number.text);
    }
    for (at, _) in &points {
        let dot = kurbo::Circle::new(*at, 0.42).to_path(0.02);
        page.fill(Layer::Labels, dot, 0.0);
    }
}

/// Draws the net edges that the pieces of a group have in another draft.
fn show_other(page: &mut Drawing, group: &Group, other: &Draft, place: Affine) {
    for own in &group.pieces {
        for (piece, brought) in other.counterparts(own) {
            let brought = place * own.as_drafted() * brought;
            for edge in &piece.edges {
                page.line(Layer::Marks, brought * &edge.path, AGAINST);
            }
        }
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

/// Returns the points that a point was found from by a straight line.
fn found_from(point: &BoardPoint, construction: &Construction) -> Vec<Point> {
    let numbers: &[usize] = match &point.how {
        How::Straight(p, ..)
        | How::Aslant(p, ..)
        | How::Square(p, ..)
        | How::Level(p, _)
        | How::Mirrored(p, ..)
        | How::Turned(p, ..) => &[*p],
        How::Toward(p, q, _) | How::Between(p, q, _) => &[*p, *q],
        How::Start(_) | How::Along(..) | How::OnLevel(..) | How::Meets(..) => &[],
    };
    let points = &construction.draft.points;
    let at = |n: &usize| Some(points.get(n.checked_sub(1)?)?.at);
    numbers.iter().filter_map(at).collect()
}

/// Returns the lines of a flattened path, for the labels to keep clear of.
fn straights(path: &BezPath) -> impl Iterator<Item = Line> {
    let lines = geometry::straightened(path, 0.05).into_iter();
    lines.map(|(from, to)| Line::new(from, to))
}
