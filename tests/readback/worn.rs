//! The pieces as they are worn: which side of the body each is for, which end is down, and the points at which
//! it meets others; all of it from the shapes and marks in the DXF, seen from the cloth's face.
//!
//! Body pieces are drafted upright: what is down on the DXF's sheet is down as worn. The rest is derived.

use kurbo::{Affine, Point, Vec2};

use super::dxf::Block;
use super::geometry::{Run, bounds, nearest, sides, straight_sides};
use super::lays::{Cut, Spread};

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Side {
    Left,
    Right,
}

/// One piece of cloth, cut: of doubled cloth the lower ply is a piece of its own.
pub(super) struct Worn<'a> {
    pub cut: &'a Cut<'a>,
    /// From the piece's block to the cloth as its face shows it: from above, or mirrored where the face is down.
    pub seen: Affine,
}

impl<'a> Worn<'a> {
    pub(super) fn block(&self) -> &'a Block {
        self.cut.block
    }

    /// Which side of the body it is for: what the piece's name says, else its hand. A half draft is the right
    /// half of the body, which the foreparts prove.
    pub(super) fn side(&self) -> Side {
        let name = &self.cut.piece.name;
        match (name.ends_with(", left"), name.ends_with(", right")) {
            (true, _) => Side::Left,
            (_, true) => Side::Right,
            _ if self.seen.determinant() > 0.0 => Side::Right,
            _ => Side::Left,
        }
    }
}

/// The pieces of a lay that are called so, without `, left` and `, right`.
pub(super) fn called<'a>(
    spread: &'a Spread<'a>,
    garment: &str,
    name: &str,
    face_up: bool,
) -> Vec<Worn<'a>> {
    let mut found = Vec::new();
    for cut in &spread.cuts {
        let base = cut
            .piece
            .name
            .trim_end_matches(", left")
            .trim_end_matches(", right");
        if cut.piece.garment != garment || base != name {
            continue;
        }
        // The lower ply lies on its face where the upper shows it.
        let plies = if cut.row.plies == 2 && !cut.row.on_fold {
            2
        } else {
            1
        };
        for up in [face_up, !face_up].into_iter().take(plies) {
            let seen = if up {
                cut.place
            } else {
                Affine::FLIP_X * cut.place
            };
            found.push(Worn { cut, seen });
        }
    }
    found
}

pub(super) fn one<'a>(pieces: &'a [Worn<'a>], side: Side) -> Option<&'a Worn<'a>> {
    pieces.iter().find(|piece| piece.side() == side)
}

/// Long level lines of a block, the uppermost first: chest, waist, fork.
pub(super) fn levels(block: &Block) -> Vec<[Point; 2]> {
    let level = |run: &&Run| {
        run.len() == 2 && (run[0].y - run[1].y).abs() < 0.05 && run[0].distance(run[1]) > 55.0
    };
    let mut found: Vec<[Point; 2]> = block
        .inner
        .iter()
        .filter(level)
        .map(|run| [run[0], run[1]])
        .collect();
    found.sort_by(|a, b| a[0].y.total_cmp(&b[0].y));
    found
}

/// The centre front of a forepart: its only upright line of two points, from its upper end.
pub(super) fn centre_front(block: &Block) -> Option<Point> {
    let upright = |run: &&Run| {
        run.len() == 2 && (run[0].x - run[1].x).abs() < 0.05 && run[0].distance(run[1]) > 100.0
    };
    // Of two the one that is further in: the other is a line of stitches.
    let middle = bounds(&block.seam).center().x;
    let found = block.inner.iter().filter(upright);
    let line = found.min_by(|a, b| (a[0].x - middle).abs().total_cmp(&(b[0].x - middle).abs()))?;
    line.iter().copied().min_by(|a, b| a.y.total_cmp(&b.y))
}

/// The nape: where the back's neck, square to the centre back there, meets it.
pub(super) fn nape(block: &Block) -> Option<Point> {
    let box_ = bounds(&block.seam);
    let corners = straight_sides(&block.seam);
    let level = corners.iter().filter(|side| {
        let by = side.p1 - side.p0;
        by.y.abs() < 0.05 * by.x.abs() && side.p0.y < box_.y0 + 60.0
    });
    // Of its two ends that on the edge, where the seam turns downwards.
    let ends = level.flat_map(|side| [side.p0, side.p1]);
    ends.min_by(|a, b| beside(a, box_).total_cmp(&beside(b, box_)))
}

fn beside(point: &Point, box_: kurbo::Rect) -> f64 {
    (point.x - box_.x0).min(box_.x1 - point.x)
}

/// Where a notch meets the seam line.
pub(super) fn on_seam(block: &Block, notch: Point) -> Point {
    nearest(&block.seam, notch)
}

/// The forepart's front pitch: of the notches on the scye's side the uppermost.
pub(super) fn front_pitch_of_forepart(block: &Block) -> Option<Point> {
    let front = centre_front(block)?.x;
    let box_ = bounds(&block.seam);
    let middle = box_.center().x;
    // Those near the top are the shoulder's.
    let behind = block.notches.iter().filter(|notch| {
        (notch.x - middle) * (front - middle) < 0.0 && notch.y > box_.y0 + 0.12 * box_.height()
    });
    behind
        .min_by(|a, b| a.y.total_cmp(&b.y))
        .map(|notch| on_seam(block, *notch))
}

/// The top sleeve's front pitch: the notch beside the crown on the side away from the cuff's buttons, which
/// stand by the hindarm seam (common practice, no source).
pub(super) fn front_pitch_of_sleeve(block: &Block) -> Option<Point> {
    let lower = block.drills.iter().max_by(|a, b| a.y.total_cmp(&b.y))?;
    let box_ = bounds(&block.seam);
    let mut notches = block.notches.clone();
    // From above: the crown, the pitches, the elbow.
    notches.sort_by(|a, b| a.y.total_cmp(&b.y));
    let elbow: Run = notches
        .iter()
        .copied()
        .filter(|notch| notch.y > box_.y0 + 0.4 * box_.height())
        .collect();
    let [one, other] = elbow[..] else { return None };
    let (hind, fore) = if (one.x - lower.x).abs() < (other.x - lower.x).abs() {
        (one, other)
    } else {
        (other, one)
    };
    let pitch = notches
        .iter()
        .filter(|notch| notch.y < box_.y0 + 0.4 * box_.height());
    let pitch = pitch.min_by(|a, b| {
        ((a.x - fore.x) / (hind.x - fore.x)).total_cmp(&((b.x - fore.x) / (hind.x - fore.x)))
    })?;
    Some(on_seam(block, *pitch))
}

/// The front of a piece: +1 where it is to the right of the middle on the DXF's sheet.
pub(super) fn front_of(block: &Block, front: Point) -> f64 {
    (front.x - bounds(&block.seam).center().x).signum()
}

/// The way down a collar's fall at the centre back, in its block: from the crease to its outer edge, which is
/// further from it than the seam, since the fall covers the stand (common practice, no source).
pub(super) fn down_the_fall(block: &Block) -> Option<Vec2> {
    // The grain runs along the centre back.
    let [from, to] = block.grain[..] else {
        return None;
    };
    let along = (to - from).normalize();
    let crossings = |run: &Run| -> Vec<f64> {
        let cross = sides(run).filter_map(|side| {
            let (a, b) = (along.cross(side.p0 - from), along.cross(side.p1 - from));
            (a * b < 0.0).then(|| (side.p0.lerp(side.p1, a / (a - b)) - from).dot(along))
        });
        cross.collect()
    };
    let edges = crossings(&block.seam);
    let (low, high) = (
        edges.iter().copied().reduce(f64::min)?,
        edges.iter().copied().reduce(f64::max)?,
    );
    // Stitches run near an edge; the crease is what lies furthest from both.
    let inner = block.inner.iter().flat_map(crossings);
    let crease =
        inner.max_by(|a, b| (a - low).min(high - a).total_cmp(&(b - low).min(high - b)))?;
    Some(if high - crease > crease - low {
        along
    } else {
        -along
    })
}
