//! One piece, drawn the same way on every sheet.

use kurbo::{Affine, BezPath, Circle, ParamCurve, ParamCurveArclen, PathEl, Point, Shape, Vec2};

use super::drawing::{Anchor, Ink, Layer, Pen, Text, segment};
use super::label::{self, Room};
use crate::drafting::{Mark, MarkKind};
use crate::pattern::Piece;

/// Length of a notch's slit, and what it keeps clear of the seam line, in mm.
const SLIT: f64 = 5.0;
const CLEAR_OF_SEAM: f64 = 1.5;
/// Arms of the arrow heads that end the grain, in mm.
const HEAD: f64 = 7.0;
/// Height of a mark's name, in mm.
const MARK_NAME: f64 = 2.6;

/// Which ends of the grain line bear a head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GrainEnds {
    /// Both: the piece may point either way along the cloth.
    Both,
    /// The lower only: the nap runs down, every piece points one way.
    Lower,
}

/// Draws a piece where `place` puts it on the sheet, with `lines` of words inside it that keep off
/// the lines of `avoid`, if they can.
pub fn draw(
    piece: &Piece,
    place: Affine,
    lines: &[String],
    grain: GrainEnds,
    avoid: &[BezPath],
) -> Vec<(Layer, Ink)> {
    let seam = place * &piece.seam;
    let mut drawn = vec![stroke(Layer::Seam, seam.clone(), Pen::SEAM)];
    let mut room = Room::new(&seam, avoid);
    let (upper, lower) = room.line_inside(place * piece.grain.0, place * piece.grain.1);
    for path in arrow(upper, lower, grain) {
        drawn.push(stroke(Layer::Marks, path, Pen::GRAIN));
    }
    for mark in &piece.marks {
        drawn.extend(draw_mark(mark, place));
    }
    for (layer, ink) in &drawn {
        if let (Layer::Marks | Layer::Cut, Ink::Stroke { path, .. }) = (layer, ink) {
            room.occupy(path);
        }
    }
    for mark in &piece.marks {
        if let Some(name) = name_mark(mark, place, &room) {
            room.occupy(&BezPath::from_vec(polygon(&name.corners())));
            drawn.push((Layer::Labels, Ink::Text(name)));
        }
    }
    drawn.extend(label::block(lines, &room, &turns(&seam)));
    for notch in &piece.notches {
        let reach = notch.seam.distance(notch.cut) - CLEAR_OF_SEAM;
        let slit = if reach > 0.0 { reach.min(SLIT) } else { SLIT };
        let path = place * segment(notch.cut, notch.cut + notch.inward * slit);
        drawn.push(stroke(Layer::Cut, path, Pen::CUT));
    }
    drawn.push(stroke(Layer::Cut, place * &piece.cut, Pen::CUT));
    drawn
}

fn stroke(layer: Layer, path: BezPath, pen: Pen) -> (Layer, Ink) {
    (layer, Ink::Stroke { path, pen })
}

/// The ways words may run in a piece: level, upright, then along its longest line, all readable
/// from below or from the right.
fn turns(outline: &BezPath) -> Vec<f64> {
    let bounds = outline.bounding_box();
    let mut turns = vec![0.0, -90.0];
    if let Some(along) = longest_way(outline) {
        turns.push(readable(along));
    }
    if bounds.height() > 3.0 * bounds.width() {
        turns.swap(0, 1);
    }
    turns
}

/// Direction in degrees of the longest of the outline's own spans, by its principal axis.
fn longest_way(outline: &BezPath) -> Option<f64> {
    let points: Vec<Point> = outline
        .segments()
        .flat_map(|part| (0..8).map(move |i| part.eval(f64::from(i) / 8.0)))
        .collect();
    let count = points.len() as f64;
    let middle = points
        .iter()
        .fold(Vec2::ZERO, |sum, point| sum + point.to_vec2())
        / count;
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for from in points.iter().map(|point| point.to_vec2() - middle) {
        xx += from.x * from.x;
        xy += from.x * from.y;
        yy += from.y * from.y;
    }
    let axis = (2.0 * xy).atan2(xx - yy).to_degrees() / 2.0;
    axis.is_finite().then_some(axis)
}

/// The same direction, turned so that words along it read from below or from the right.
fn readable(degrees: f64) -> f64 {
    let turned = (degrees + 90.0).rem_euclid(180.0) - 90.0;
    if turned > 89.9 {
        turned - 180.0
    } else {
        turned
    }
}

/// The grain: a line with open heads.
fn arrow(upper: Point, lower: Point, ends: GrainEnds) -> Vec<BezPath> {
    let mut paths = vec![segment(upper, lower)];
    let along = (lower - upper).normalize();
    if !along.is_finite() {
        return Vec::new();
    }
    let mut head = |tip: Point, back: Vec2| {
        let across = Vec2::new(-back.y, back.x) * (0.4 * HEAD);
        let mut path = BezPath::new();
        path.move_to(tip + back * HEAD + across);
        path.line_to(tip);
        path.line_to(tip + back * HEAD - across);
        paths.push(path);
    };
    head(lower, -along);
    if ends == GrainEnds::Both {
        head(upper, along);
    }
    paths
}

/// Draws an inner line or point by what it stands for.
fn draw_mark(mark: &Mark, place: Affine) -> Vec<(Layer, Ink)> {
    let path = place * &mark.path;
    let Some(start) = first_point(&path) else {
        return Vec::new();
    };
    let marks = |pen: Pen, paths: Vec<BezPath>| {
        paths
            .into_iter()
            .map(|path| stroke(Layer::Marks, path, pen))
            .collect()
    };
    match mark.kind {
        MarkKind::Fold => marks(Pen::FOLD, vec![path]),
        MarkKind::Place => marks(Pen::PLACE, vec![path]),
        MarkKind::Slash => vec![stroke(Layer::Cut, path, Pen::CUT)],
        MarkKind::Level => marks(Pen::LEVEL, vec![path]),
        MarkKind::Buttonhole => {
            let mut paths = bars(&path, 3.0);
            paths.push(path);
            marks(Pen::GRAIN, paths)
        }
        MarkKind::Button => {
            let mut paths = cross(start, 4.0);
            paths.push(Circle::new(start, 5.0).to_path(0.01));
            marks(Pen::PLACE, paths)
        }
        MarkKind::Drill => {
            let mut paths = cross(start, 5.0);
            paths.push(Circle::new(start, 1.5).to_path(0.01));
            marks(Pen::PLACE, paths)
        }
    }
}

fn first_point(path: &BezPath) -> Option<Point> {
    match path.elements().first() {
        Some(PathEl::MoveTo(point)) => Some(*point),
        _ => None,
    }
}

/// An upright cross.
fn cross(middle: Point, arm: f64) -> Vec<BezPath> {
    [Vec2::new(arm, 0.0), Vec2::new(0.0, arm)]
        .into_iter()
        .map(|arm| segment(middle - arm, middle + arm))
        .collect()
}

/// Short bars across both ends of a line.
fn bars(path: &BezPath, half: f64) -> Vec<BezPath> {
    let parts: Vec<_> = path.segments().collect();
    let ends = [
        parts
            .first()
            .map(|part| (part.eval(0.0), part.eval(0.01) - part.eval(0.0))),
        parts
            .last()
            .map(|part| (part.eval(1.0), part.eval(1.0) - part.eval(0.99))),
    ];
    ends.into_iter()
        .flatten()
        .map(|(end, along)| {
            let across = Vec2::new(-along.y, along.x).normalize() * half;
            segment(end - across, end + across)
        })
        .filter(|bar| bar.is_finite())
        .collect()
}

/// A mark's name beside it where there is room: along a line, or to the right of a point.
fn name_mark(mark: &Mark, place: Affine, room: &Room) -> Option<Text> {
    if mark.name.is_empty() {
        return None;
    }
    let path = place * &mark.path;
    let mut candidates = Vec::new();
    let length: f64 = path.segments().map(|part| part.arclen(0.01)).sum();
    if length < 1.0 {
        let at = first_point(&path)?;
        let word = Text::new(&mark.name, at + Vec2::new(6.5, MARK_NAME / 2.0), MARK_NAME);
        let left = Text::new(&mark.name, at + Vec2::new(-6.5, MARK_NAME / 2.0), MARK_NAME);
        candidates.extend([word, left.anchor(Anchor::End)]);
    }
    for share in [0.5, 0.3, 0.7, 0.15, 0.85] {
        let Some((at, along)) = at_share(&path, share * length) else {
            continue;
        };
        let degrees = readable(along.atan2().to_degrees());
        let up = Vec2::from_angle((degrees - 90.0).to_radians());
        for lift in [1.0, -1.0 - MARK_NAME] {
            let text = Text::new(&mark.name, at + up * lift, MARK_NAME);
            candidates.push(text.anchor(Anchor::Middle).turned(degrees));
        }
    }
    candidates.into_iter().find(|text| room.is_free(text))
}

/// The point and direction at an arc length along a path.
fn at_share(path: &BezPath, mut distance: f64) -> Option<(Point, Vec2)> {
    for part in path.segments() {
        let length = part.arclen(0.01);
        if distance <= length {
            let t = part.inv_arclen(distance, 0.01);
            let along = part.eval((t + 0.01).min(1.0)) - part.eval((t - 0.01).max(0.0));
            return Some((part.eval(t), along));
        }
        distance -= length;
    }
    None
}

fn polygon(corners: &[Point; 4]) -> Vec<PathEl> {
    let [a, b, c, d] = *corners;
    vec![
        PathEl::MoveTo(a),
        PathEl::LineTo(b),
        PathEl::LineTo(c),
        PathEl::LineTo(d),
        PathEl::ClosePath,
    ]
}
