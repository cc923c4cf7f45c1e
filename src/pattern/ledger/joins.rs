//! Proof 2: edges run on into each other once the seam between them is closed.
//!
//! The pieces are opened out flat at the joint: the second piece is moved, turned, and turned over where
//! it must be, so that its seam edge leaves the joint along the first piece's and its cloth lies on the
//! other side of the seam. Then the edge that arrives and the edge that leaves are compared.

use super::{edge_named, named, piece_named};
use crate::drafting::{Draft, Join};
use crate::geometry::{end, joined, length, nearest, start, tangent_at};
use crate::pattern::{JoinRow, PatternFault};
use kurbo::{BezPath, Point, Shape, Vec2};

/// Two edges of a piece meet where their ends are this near, mm.
const MEET: f64 = 0.1;

pub(super) fn prove(draft: &Draft, join: &Join) -> Result<JoinRow, PatternFault> {
    let ((piece_a, edge_a), (piece_b, edge_b)) = (&join.a, &join.b);
    let ((seam_piece_a, seam_a), (seam_piece_b, seam_b)) = &join.seam;
    for (piece, seam_piece) in [(piece_a, seam_piece_a), (piece_b, seam_piece_b)] {
        if piece != seam_piece {
            let what = format!(
                "the join '{}' closes a seam of another piece: {seam_piece}",
                join.name
            );
            return Err(PatternFault::Draft {
                what,
                source: join.source.clone(),
            });
        }
    }
    let arriving = -at_joint(draft, join, piece_a, edge_a, seam_a)?.leaves;
    let leaving = at_joint(draft, join, piece_b, edge_b, seam_b)?.leaves;
    // Both in terms of the seam's direction away from the joint, and of the side where the cloth of
    // the first piece lies; that of the second lies on the other.
    let leaving = Vec2::new(leaving.x, -leaving.y);
    let degrees = arriving
        .cross(leaving)
        .atan2(arriving.dot(leaving))
        .to_degrees()
        .abs();
    Ok(JoinRow {
        join: named(draft, &join.name),
        break_degrees: degrees,
        max_degrees: join.most_degrees,
        ok: degrees <= join.most_degrees,
        source: join.source.clone(),
    })
}

/// Whether the two seam edges of a join go the same way from the joint, as each is drawn; `None` where
/// the join itself makes no sense.
pub(super) fn same_way(draft: &Draft, join: &Join) -> Option<bool> {
    let ((piece_a, seam_a), (piece_b, seam_b)) = &join.seam;
    let a = at_joint(draft, join, piece_a, &join.a.1, seam_a).ok()?;
    let b = at_joint(draft, join, piece_b, &join.b.1, seam_b).ok()?;
    Some(a.seam_starts_there == b.seam_starts_there)
}

/// How an edge and a seam edge of one piece meet.
struct AtJoint {
    /// The direction in which the edge leaves the joint: its parts along the seam, away from the joint,
    /// and square to that, towards the piece's own cloth.
    leaves: Vec2,
    /// Whether the seam edge starts at the joint, and does not end there.
    seam_starts_there: bool,
}

fn at_joint(
    draft: &Draft,
    join: &Join,
    piece: &str,
    edge: &str,
    seam: &str,
) -> Result<AtJoint, PatternFault> {
    let drafted = piece_named(draft, piece, &join.source)?;
    let edge_path = &edge_named(draft, piece, edge, &join.source)?.path;
    if let Some(fold) = drafted.marks.iter().find(|mark| mark.name == seam) {
        return across(join, piece, edge, edge_path, &fold.path);
    }
    let seam_path = &edge_named(draft, piece, seam, &join.source)?.path;
    let mut found: Option<(f64, Vec2, Vec2, bool)> = None;
    for (edge_end, edge_away, _) in ends(edge_path) {
        for (seam_end, seam_away, forward) in ends(seam_path) {
            let (Some(p), Some(q)) = (edge_end, seam_end) else {
                continue;
            };
            if found.is_none_or(|(gap, ..)| p.distance(q) < gap) {
                found = Some((p.distance(q), edge_away, seam_away, forward));
            }
        }
    }
    let Some((_, edge_away, seam_away, forward)) = found.filter(|(gap, ..)| *gap <= MEET) else {
        return Err(do_not_meet(join, piece, edge, seam));
    };
    let outline = joined(drafted.edges.iter().map(|e| &e.path), MEET);
    // Walking forward, the cloth lies on the side turned from x towards y when the area is positive.
    let cloth = if (outline.area() > 0.0) == forward {
        1.0
    } else {
        -1.0
    };
    let leaves = Vec2::new(edge_away.dot(seam_away), seam_away.cross(edge_away) * cloth);
    Ok(AtJoint {
        leaves,
        seam_starts_there: forward,
    })
}

/// An edge that runs on past a fold within the piece, whose flap lies on its other side: the joint is
/// where the fold ends on the edge, and the piece's own cloth is where more of the edge lies.
fn across(
    join: &Join,
    piece: &str,
    edge: &str,
    edge_path: &BezPath,
    fold: &BezPath,
) -> Result<AtJoint, PatternFault> {
    let on_edge = |(place, away, forward): (Option<Point>, Vec2, bool)| {
        let near = nearest(edge_path, place?);
        (near.distance <= MEET).then_some((near.at, away, forward))
    };
    let Some((at, fold_away, forward)) = ends(fold).into_iter().find_map(on_edge) else {
        return Err(do_not_meet(join, piece, edge, "fold"));
    };
    // A little beside the joint: the flap's own hem may leave the fold at another angle.
    let onward = length(edge_path) - at > at;
    let edge_away = if onward {
        tangent_at(edge_path, at + MEET)
    } else {
        -tangent_at(edge_path, at - MEET)
    };
    let leaves = Vec2::new(edge_away.dot(fold_away), fold_away.cross(edge_away).abs());
    Ok(AtJoint {
        leaves,
        seam_starts_there: forward,
    })
}

/// Both ends of a path, the directions that lead into it from there, and whether it is its start.
fn ends(path: &BezPath) -> [(Option<Point>, Vec2, bool); 2] {
    let back = -tangent_at(path, length(path));
    [
        (start(path), tangent_at(path, 0.0), true),
        (end(path), back, false),
    ]
}

fn do_not_meet(join: &Join, piece: &str, edge: &str, seam: &str) -> PatternFault {
    PatternFault::Draft {
        what: format!(
            "the join '{}': the {edge} and the {seam} of the {piece} do not meet",
            join.name
        ),
        source: join.source.clone(),
    }
}
