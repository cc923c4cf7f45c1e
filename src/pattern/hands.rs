//! Tests whether a piece is the same turned over, so that it cannot come out for the wrong side of the body.

use super::types::Piece;
use crate::draft::Mark;
use crate::geometry::{flattened, nearest};
use kurbo::{Affine, BezPath, Point, Shape, Vec2};

/// Fineness to which curves are made polygons, mm.
const FINE: f64 = 0.05;

/// Measures how far a piece differs from itself turned over, mm: its cut line, its marks and its notches. It is
/// turned about the better of its two middle lines, along the grain and square to it.
pub(super) fn difference(piece: &Piece) -> f64 {
    let along = (piece.grain.1 - piece.grain.0).normalize();
    let upright = Affine::rotate(-along.atan2());
    let middle = upright.inverse() * (upright * &piece.cut).bounding_box().center();
    let square = along.turn_90();
    let about = |line: Vec2| turned_over(piece, Affine::reflect(middle, line));
    about(along).min(about(square))
}

fn turned_over(piece: &Piece, over: Affine) -> f64 {
    let cut = furthest(&piece.cut, &piece.cut, over);
    let marks = piece.marks.iter().map(|mark| {
        let same = piece.marks.iter().filter(|other| other.kind == mark.kind);
        same.map(|other| apart(mark, other, over))
            .fold(f64::INFINITY, f64::min)
    });
    let notches = piece.notches.iter().map(|notch| {
        let others = piece.notches.iter();
        others
            .map(|other| other.cut.distance(over * notch.cut))
            .fold(f64::INFINITY, f64::min)
    });
    marks.chain(notches).fold(cut, f64::max)
}

/// Measures how far two marks lie apart once the first is turned over, each from the other.
fn apart(a: &Mark, b: &Mark, over: Affine) -> f64 {
    furthest(&a.path, &b.path, over).max(furthest(&b.path, &a.path, over))
}

/// Measures how far the first line, turned over, strays from the second.
fn furthest(line: &BezPath, from: &BezPath, over: Affine) -> f64 {
    let corners = flattened(line, FINE);
    let distance = |p: Point| match from.elements() {
        [only] => only.end_point().map_or(f64::INFINITY, |at| at.distance(p)),
        _ => nearest(from, p).distance,
    };
    let stray = corners.into_iter().map(|p| distance(over * p));
    stray.fold(0.0, f64::max)
}
