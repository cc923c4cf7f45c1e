//! Draws one piece, the same way on every sheet.

use std::borrow::Cow;
use std::collections::BTreeSet;

use kurbo::{Affine, BezPath, Circle, ParamCurve, ParamCurveArclen, PathEl, Point, Shape, Vec2};

use super::drawing::{Anchor, Ink, Layer, Pen, Text, segment};
use super::label::{self, Lettering, Room};
use crate::draft::{Mark, Symbol, Turning};
use crate::geometry;
use crate::lay::Placement;
use crate::order::{Nap, Order};
use crate::pattern::{Notch, Piece};

/// Greatest depth of a notch, in mm: a snip of the shears' point.
const NOTCH: f64 = 5.0;
/// Distance that a notch keeps from the seam line, in mm, so that it is hidden when the seam is pressed open.
const CLEAR_OF_SEAM: f64 = 1.5;
/// Half the opening of a notch that is cut as a triangle, as a share of its depth.
const OPENING: f64 = 0.6;
/// Length of the arrow heads at the ends of the grain, in mm.
const HEAD: f64 = 7.0;
/// Distance between a line and the words along it, in mm.
const CLEAR: f64 = 0.8;
/// Distance between the middle of a point and its words, in mm: beyond the ring of a button.
const BESIDE: f64 = 7.5;

/// The ends of the grain line that bear a head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GrainEnds {
    /// Both ends: the piece may point either way along the cloth.
    Both,
    /// Only the lower end: the nap runs down, and every piece lies as it hangs when it is worn.
    Lower,
}

/// How a notch is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotchCut {
    /// A snip straight in.
    Slit,
    /// A small triangle out of the edge.
    Triangle,
}

/// The way in which the pieces of an order are drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Manner {
    /// Shape of the notches, by the house.
    pub notch: NotchCut,
    /// Whether a second line is drawn where an inlay begins.
    pub inlays: bool,
    /// Size of the words.
    pub lettering: Lettering,
}

impl Manner {
    /// Reads what the order's cloth and house ask for.
    pub fn of(order: &Order, lettering: Lettering) -> Self {
        Self {
            notch: match order.house.word("drawing.notch") {
                Some("triangle") => NotchCut::Triangle,
                _ => NotchCut::Slit,
            },
            inlays: order.house.word("drawing.inlay_line") == Some("drawn"),
            lettering,
        }
    }
}

/// Returns the part of a piece that is cut where it is placed: all of it, or on a fold the half on the upper ply.
pub fn as_placed<'a>(piece: &'a Piece, placement: &Placement) -> Cow<'a, Piece> {
    let upper = || {
        let (a, b) = piece.fold?;
        let aside = Vec2::new(-(b - a).y, (b - a).x);
        let is_left = (placement.transform * (a + aside)).x < (placement.transform * a).x;
        piece.half(if is_left { a + aside } else { a - aside })
    };
    let half = placement.on_fold.then(upper).flatten();
    half.map_or(Cow::Borrowed(piece), Cow::Owned)
}

/// Draws a piece where `place` puts it on the sheet, with `lines` of words inside it that keep off
/// the lines of `avoid`, if they can.
pub fn draw(
    piece: &Piece,
    place: Affine,
    lines: &[String],
    manner: &Manner,
    avoid: &[BezPath],
) -> Vec<(Layer, Ink)> {
    let mut seam = place * &piece.seam;
    let mut drawn = vec![stroke(Layer::Seam, seam.clone(), Pen::SEAM)];
    if seam.elements().last() != Some(&PathEl::ClosePath) {
        // The fold bounds half a piece.
        seam.close_path();
    }
    let mut room = Room::new(&seam, avoid);
    let inner = inner_lines(piece, place, manner);
    for (_, ink) in &inner {
        if let Ink::Stroke { path, .. } = ink {
            room.occupy(path);
        }
    }
    drawn.extend(inner);
    // The piece's own words come first; marks are named where these leave room.
    let block = label::block(lines, &room, &turns(&seam), &manner.lettering);
    for (_, ink) in &block {
        if let Ink::Text(text) = ink {
            room.occupy(&text.outline());
        }
    }
    drawn.extend(block);
    // Marks that share a name are named once.
    let mut named = BTreeSet::new();
    for mark in piece.marks.iter().filter(|mark| !mark.name.is_empty()) {
        if !named.contains(&mark.name)
            && let Some(name) = name_mark(mark, place, &room, manner.lettering.marks)
        {
            named.insert(&mark.name);
            room.occupy(&name.outline());
            drawn.push((Layer::Labels, Ink::Text(name)));
        }
    }
    for notch in &piece.notches {
        let path = place * cut_notch(notch, manner.notch);
        drawn.push(stroke(Layer::Cut, path, Pen::CUT));
    }
    drawn.push(stroke(Layer::Cut, place * &piece.cut, Pen::CUT));
    drawn
}

/// Draws the lines inside a piece: its grain, its marks, and where its inlays begin.
fn inner_lines(piece: &Piece, place: Affine, manner: &Manner) -> Vec<(Layer, Ink)> {
    let mut drawn = Vec::new();
    // A piece that may lie any way has no grain.
    if piece.turning != Turning::Free {
        let ends = match piece.material.nap {
            Nap::OneWay => GrainEnds::Lower,
            Nap::TwoWays => GrainEnds::Both,
        };
        let arrow = arrow(place * piece.grain.0, place * piece.grain.1, ends).into_iter();
        drawn.extend(arrow.map(|path| stroke(Layer::Marks, path, Pen::GRAIN)));
    }
    for mark in &piece.marks {
        drawn.extend(draw_mark(mark, place));
    }
    if manner.inlays {
        let inlays = piece.inlays.iter().map(|line| place * line);
        drawn.extend(inlays.map(|line| stroke(Layer::Marks, line, Pen::INLAY)));
    }
    drawn
}

/// Draws a notch from the cut line into the allowance, short of the seam line.
pub fn cut_notch(notch: &Notch, cut: NotchCut) -> BezPath {
    let room = notch.seam.distance(notch.cut) - CLEAR_OF_SEAM;
    let depth = if room > 0.0 { room.min(NOTCH) } else { NOTCH };
    let tip = notch.cut + notch.inward * depth;
    match cut {
        NotchCut::Slit => segment(notch.cut, tip),
        NotchCut::Triangle => {
            let half = notch.inward.turn_90() * (OPENING * depth);
            let mut path = segment(notch.cut - half, tip);
            path.line_to(notch.cut + half);
            path
        }
    }
}

fn stroke(layer: Layer, path: BezPath, pen: Pen) -> (Layer, Ink) {
    (layer, Ink::Stroke { path, pen })
}

/// Returns the directions in which words may run in a piece, in degrees: level, upright, then along its longest
/// line. All are read from below or from the right.
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

/// Returns the direction of an outline's principal axis, in degrees.
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

/// Turns a direction by half a circle, if need be, so that words along it are read from below or from the right.
fn readable(degrees: f64) -> f64 {
    let turned = (degrees + 90.0).rem_euclid(180.0) - 90.0;
    if turned > 89.9 {
        turned - 180.0
    } else {
        turned
    }
}

/// Draws the grain: a line with open heads.
fn arrow(upper: Point, lower: Point, ends: GrainEnds) -> Vec<BezPath> {
    let mut paths = vec![segment(upper, lower)];
    let along = (lower - upper).normalize();
    if !along.is_finite() {
        return Vec::new();
    }
    let mut head = |tip: Point, back: Vec2| {
        let across = back.turn_90() * (0.4 * HEAD);
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

/// Draws an inner line or point by its symbol.
fn draw_mark(mark: &Mark, place: Affine) -> Vec<(Layer, Ink)> {
    let path = place * &mark.path;
    let Some(start) = geometry::start(&path) else {
        return Vec::new();
    };
    let marks = |pen: Pen, paths: Vec<BezPath>| {
        paths
            .into_iter()
            .map(|one| stroke(Layer::Marks, one, pen))
            .collect()
    };
    match mark.kind.symbol() {
        Symbol::Fold => marks(Pen::FOLD, vec![path]),
        Symbol::Place => marks(Pen::PLACE, vec![path]),
        Symbol::Cut => vec![stroke(Layer::Cut, path, Pen::CUT)],
        Symbol::Level => marks(Pen::LEVEL, vec![path]),
        Symbol::Buttonhole => {
            let mut paths = bars(&path, 3.0);
            paths.push(path);
            marks(Pen::GRAIN, paths)
        }
        Symbol::Button => {
            let mut paths = cross(start, 4.0);
            paths.push(Circle::new(start, 5.0).to_path(0.01));
            marks(Pen::PLACE, paths)
        }
        Symbol::Drill => {
            let mut paths = cross(start, 5.0);
            paths.push(Circle::new(start, 1.5).to_path(0.01));
            marks(Pen::PLACE, paths)
        }
    }
}

/// Draws an upright cross.
fn cross(middle: Point, arm: f64) -> Vec<BezPath> {
    [Vec2::new(arm, 0.0), Vec2::new(0.0, arm)]
        .into_iter()
        .map(|arm| segment(middle - arm, middle + arm))
        .collect()
}

/// Draws short bars across both ends of a line.
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
            let across = along.turn_90().normalize() * half;
            segment(end - across, end + across)
        })
        .filter(|bar| bar.is_finite())
        .collect()
}

/// Places a mark's name beside it, in the largest letters that find room: along a line and clear of it, or
/// to one side of a point. Returns `None` where there is no room.
fn name_mark(mark: &Mark, place: Affine, room: &Room, heights: &[f64]) -> Option<Text> {
    let path = place * &mark.path;
    let first = geometry::start(&path)?;
    let length: f64 = path.segments().map(|part| part.arclen(0.01)).sum();
    heights.iter().find_map(|&height| {
        let word = |at: Point| Text::new(&mark.name, at, height);
        let mut candidates = Vec::new();
        if length < 1.0 {
            for (dx, dy, anchor) in [
                (BESIDE, 0.5 * height, Anchor::Start),
                (-BESIDE, 0.5 * height, Anchor::End),
                (0.0, -BESIDE - 0.4 * height, Anchor::Middle),
                (0.0, BESIDE + 1.35 * height, Anchor::Middle),
            ] {
                candidates.push(word(first + Vec2::new(dx, dy)).anchor(anchor));
            }
        }
        for share in [0.5, 0.3, 0.7, 0.15, 0.85] {
            let Some((at, along)) = at_share(&path, share * length) else {
                continue;
            };
            let degrees = readable(along.atan2().to_degrees());
            let up = Vec2::from_angle((degrees - 90.0).to_radians());
            for lift in [0.4 * height + CLEAR, -1.35 * height - CLEAR] {
                let text = word(at + up * lift).anchor(Anchor::Middle);
                candidates.push(text.turned(degrees));
            }
        }
        // The name of a short line may stand past its ends.
        let bounds = path.bounding_box();
        let base = bounds.center().y + 0.5 * height;
        for (x, anchor) in [
            (bounds.x1 + 2.0 + CLEAR, Anchor::Start),
            (bounds.x0 - 2.0 - CLEAR, Anchor::End),
        ] {
            candidates.push(word(Point::new(x, base)).anchor(anchor));
        }
        candidates.into_iter().find(|text| room.is_free(text))
    })
}

/// Returns the point and direction at an arc length along a path.
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
