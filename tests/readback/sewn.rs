//! Pieces that are sewn on a forepart, and how they fit their marks there when both show their face.

use kurbo::{Affine, Point, Vec2};

use super::dxf::Block;
use super::geometry::{Run, apart, bounds, moved, onto, sides, straight_sides};
use super::lays::Read;
use super::worn::{Side, Worn, called};

/// What is sewn on one forepart alone, and on which (common practice, no source).
pub(super) const ON_ONE: [(&str, Side); 3] = [
    ("breast welt", Side::Left),
    ("breast patch", Side::Left),
    ("ticket flap", Side::Right),
];
/// What is sewn on both.
pub(super) const ON_BOTH: [(&str, &str); 4] = [
    ("jacket", "flap"),
    ("jacket", "hip patch"),
    ("waistcoat", "lower welt"),
    ("waistcoat", "upper welt"),
];

/// A piece that is sewn on a forepart, with the side whose forepart that is.
pub(super) fn sewn_on<'a>(
    read: &'a Read<'_>,
    face_up: bool,
) -> Vec<(&'static str, &'static str, Side, Vec<Worn<'a>>)> {
    let mut found = Vec::new();
    for (name, side) in ON_ONE {
        found.push((
            "jacket",
            name,
            side,
            called(read.cloth(), "jacket", name, face_up),
        ));
    }
    for (garment, name) in ON_BOTH {
        for side in [Side::Left, Side::Right] {
            found.push((
                garment,
                name,
                side,
                called(read.cloth(), garment, name, face_up),
            ));
        }
    }
    found.retain(|(_, _, _, pieces)| !pieces.is_empty());
    found
}

/// How a piece that is sewn upon another lies on its mark: the move from where it was cut to where it is sewn,
/// never turned, and how far off its edge then is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fit {
    pub step: Vec2,
    pub off: f64,
}

/// Ways a shape could be cut, of which only the first is right.
const WAYS: [(&str, Affine); 4] = [
    ("as it lies", Affine::IDENTITY),
    (
        "turned head to foot",
        Affine::new([-1.0, 0.0, 0.0, -1.0, 0.0, 0.0]),
    ),
    (
        "of the other hand",
        Affine::new([-1.0, 0.0, 0.0, 1.0, 0.0, 0.0]),
    ),
    (
        "of the other hand and turned head to foot",
        Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, 0.0]),
    ),
];

/// What shows of a piece when it is worn, against its mark on another: for each way of cutting the piece, the
/// best fit of any of its parts on any mark.
pub(super) fn fits(piece: &Worn<'_>, on: &Worn<'_>) -> Vec<(&'static str, Fit)> {
    let marks: Vec<Run> = on
        .block()
        .inner
        .iter()
        .map(|mark| moved(mark, on.seen))
        .collect();
    let linear = |by: Affine, along: Vec2| by * along.to_point() - by * Point::ZERO;
    let down = linear(on.seen, Vec2::new(0.0, 1.0));
    let best = |way: Affine| {
        let mut best = Fit {
            step: Vec2::ZERO,
            off: f64::MAX,
        };
        for (part, to_fold) in parts(piece.block()) {
            let turned = moved(&part, way * piece.seen);
            // A welt is folded along its upper edge (common practice, no source).
            if to_fold.is_some_and(|to_fold| linear(way * piece.seen, to_fold).dot(down) > 0.0) {
                continue;
            }
            for mark in marks.iter().filter(|mark| alike(mark, &part)) {
                let step = onto(&turned, mark);
                let off = apart(&moved(&turned, Affine::translate(step)), mark);
                if off < best.off {
                    best = Fit { step, off };
                }
            }
        }
        best
    };
    WAYS.iter().map(|(name, way)| (*name, best(*way))).collect()
}

/// Whether two lines may be one: both closed or both open, of nearly the same length.
fn alike(a: &Run, b: &Run) -> bool {
    let length = |run: &Run| {
        sides(run)
            .map(|side| side.p0.distance(side.p1))
            .sum::<f64>()
    };
    let closed = |run: &Run| run.first() == run.last();
    closed(a) == closed(b) && (length(a) - length(b)).abs() < 2.0
}

/// What may show of a piece: all within its seam line; of one that is folded either half, and the way from the
/// half's middle to the fold.
fn parts(block: &Block) -> Vec<(Run, Option<Vec2>)> {
    let mut found = vec![(block.seam.clone(), None)];
    for fold in block.inner.iter().filter(|run| run.len() == 2) {
        let along = fold[1] - fold[0];
        for sign in [1.0, -1.0] {
            let mut half: Run = Vec::new();
            for side in sides(&block.seam) {
                let at = |point: Point| sign * along.cross(point - fold[0]) / along.hypot();
                let (from, to) = (at(side.p0), at(side.p1));
                if from >= -0.01 {
                    half.push(side.p0);
                }
                if (from > 0.01 && to < -0.01) || (from < -0.01 && to > 0.01) {
                    half.push(side.p0.lerp(side.p1, from / (from - to)));
                }
            }
            if half.len() > 2 {
                half.push(half[0]);
                let to_fold = fold[0].midpoint(fold[1]) - bounds(&half).center();
                found.push((half, Some(to_fold)));
            }
        }
    }
    found
}

/// A flap's upper edge in its block, its ends from left to right: its longest side, the piece hanging from it.
pub(super) fn upper_edge(block: &Block) -> [Point; 2] {
    let side = straight_sides(&block.seam)
        .into_iter()
        .max_by(|a, b| a.p0.distance(a.p1).total_cmp(&b.p0.distance(b.p1)));
    let side = side.expect("a side");
    if side.p0.x < side.p1.x {
        [side.p0, side.p1]
    } else {
        [side.p1, side.p0]
    }
}

/// How a flap hangs from the mouth of its length: the move there, and how far off its other end then is.
pub(super) fn hangs(flap: &Worn<'_>, on: &Worn<'_>) -> Option<Fit> {
    let across = |ends: [Point; 2], by: Affine| {
        let [a, b] = ends.map(|point| by * point);
        if a.x < b.x { [a, b] } else { [b, a] }
    };
    let edge = across(upper_edge(flap.block()), flap.seen);
    let long = edge[0].distance(edge[1]);
    let mouths = on
        .block()
        .inner
        .iter()
        .filter(|run| run.len() == 2)
        .filter(|run| {
            let drilled = |end: Point| {
                on.block()
                    .drills
                    .iter()
                    .any(|drill| (drill.distance(end) - 5.0).abs() < 1.5)
            };
            (run[0].distance(run[1]) - long).abs() < 0.5 && drilled(run[0]) && drilled(run[1])
        });
    let fit = mouths.map(|mouth| {
        let mouth = across([mouth[0], mouth[1]], on.seen);
        let step = mouth[0].midpoint(mouth[1]) - edge[0].midpoint(edge[1]);
        Fit {
            step,
            off: (edge[0] + step).distance(mouth[0]),
        }
    });
    fit.min_by(|a, b| a.off.total_cmp(&b.off))
}
