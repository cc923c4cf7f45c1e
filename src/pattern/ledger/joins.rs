//! Proof 2: edges run on into each other once the seam between them is closed.
//!
//! The proof lays the pieces out flat at the joint. It moves and turns the second piece, and turns it over
//! where it must, so that its seam edge leaves the joint along the first piece's and its cloth lies on the other
//! side of the seam. The edges of both pieces are then one run, which may not break where they meet.

use super::rows::named;
use crate::draft::{Draft, DraftPiece, EdgeId, Join, Joined, SeamLine};
use crate::geometry::{
    breaks, end, joined, length, nearest, point_at, reversed, start, sub_path, tangent_at,
};
use crate::pattern::fault::PatternFault;
use crate::pattern::types::JoinRow;
use kurbo::{Affine, BezPath, Point, Shape, Vec2};

/// Greatest distance, mm, between the ends of two edges that meet.
const MEET: f64 = 0.1;

/// Proves a join.
///
/// # Errors
/// When its edges do not meet their seam.
pub(super) fn prove(draft: &Draft, join: &Join) -> Result<JoinRow, PatternFault> {
    let [first, second] = joints(draft, join)?;
    let at_joint = breaks(&first.run_on_into(&second))
        .into_iter()
        .filter(|found| found.point.distance(first.place) <= MEET)
        .map(|found| found.degrees);
    let Some(degrees) = at_joint.reduce(f64::max) else {
        let piece = &draft[join.b.piece];
        return Err(do_not_meet(join, piece, join.b.edge, "run laid on to it"));
    };
    Ok(JoinRow {
        join: named(draft, &join.name),
        break_degrees: degrees,
        max_degrees: join.most_degrees,
        ok: degrees <= join.most_degrees,
        source: join.source.clone(),
    })
}

/// Returns whether the two seam edges of a join go the same way from the joint, as each is drawn; `None`
/// where the edges do not meet their seam.
pub(super) fn same_way(draft: &Draft, join: &Join) -> Option<bool> {
    let [first, second] = joints(draft, join).ok()?;
    Some(first.seam_starts_there == second.seam_starts_there)
}

fn joints(draft: &Draft, join: &Join) -> Result<[Joint; 2], PatternFault> {
    let of = |own: &Joined| joint(join, own, &draft[own.piece]);
    Ok([of(&join.a)?, of(&join.b)?])
}

/// The place where an edge and a seam edge of one piece meet.
struct Joint {
    place: Point,
    /// Unit vector along the seam edge, away from the joint.
    along: Vec2,
    /// Unit vector square to that, towards the piece's own cloth.
    cloth: Vec2,
    /// The edge, from the joint on.
    edge: BezPath,
    /// Whether the seam edge starts at the joint rather than ending there.
    seam_starts_there: bool,
}

impl Joint {
    /// Returns the transform that takes the piece to the frame in which the seam runs from the origin along x
    /// and the cloth lies on the side of `way` times y.
    fn frame(&self, way: f64) -> Affine {
        let (x, y) = (self.along, self.cloth * way);
        Affine::new([x.x, x.y, y.x, y.y, self.place.x, self.place.y]).inverse()
    }

    /// Returns this piece's edge up to the joint, followed by another piece's, which is laid against it with its
    /// cloth beyond the seam.
    fn run_on_into(&self, other: &Self) -> BezPath {
        let laid = self.frame(1.0).inverse() * other.frame(-1.0);
        joined([&reversed(&self.edge), &(laid * &other.edge)], MEET)
    }
}

fn joint(join: &Join, own: &Joined, piece: &DraftPiece) -> Result<Joint, PatternFault> {
    let edge_path = &piece[own.edge].path;
    let seam = match own.seam {
        SeamLine::Mark(fold) => return across(join, piece, own.edge, &piece[fold].path),
        SeamLine::Edge(seam) => &piece[seam],
    };
    let mut found: Option<(f64, bool, Point, Vec2, bool)> = None;
    for (edge_end, _, edge_starts) in ends(edge_path) {
        for (seam_end, seam_away, forward) in ends(&seam.path) {
            let (Some(p), Some(q)) = (edge_end, seam_end) else {
                continue;
            };
            if found.is_none_or(|(gap, ..)| p.distance(q) < gap) {
                found = Some((p.distance(q), edge_starts, p, seam_away, forward));
            }
        }
    }
    let Some((_, edge_starts, place, along, forward)) = found.filter(|(gap, ..)| *gap <= MEET)
    else {
        return Err(do_not_meet(join, piece, own.edge, &seam.name));
    };
    Ok(Joint {
        place,
        along,
        cloth: square(along) * side_of_cloth(piece, forward),
        edge: if edge_starts {
            edge_path.clone()
        } else {
            reversed(edge_path)
        },
        seam_starts_there: forward,
    })
}

/// Turns a direction by a quarter, from x towards y.
fn square(along: Vec2) -> Vec2 {
    along.turn_90()
}

/// Returns the side of an edge on which the cloth lies as the edge is walked: 1 for the side turned from x
/// towards y, or -1.
fn side_of_cloth(drafted: &DraftPiece, forward: bool) -> f64 {
    let outline = joined(drafted.edges.iter().map(|e| &e.path), MEET);
    // Walking forward, it is that side when the area is positive.
    if (outline.area() > 0.0) == forward {
        1.0
    } else {
        -1.0
    }
}

/// Finds the joint of an edge that runs on past a fold within the piece to the flap on its other side. The joint
/// lies where the fold ends on the edge, and the piece's own cloth on the side of the longer part of the edge.
fn across(
    join: &Join,
    piece: &DraftPiece,
    edge: EdgeId,
    fold: &BezPath,
) -> Result<Joint, PatternFault> {
    let edge_path = &piece[edge].path;
    let on_edge = |(place, away, forward): (Option<Point>, Vec2, bool)| {
        let near = nearest(edge_path, place?);
        (near.distance <= MEET).then_some((near.at, away, forward))
    };
    let Some((at, along, forward)) = ends(fold).into_iter().find_map(on_edge) else {
        return Err(do_not_meet(join, piece, edge, "fold"));
    };
    let long = length(edge_path);
    // A little beside the joint: the flap's own hem may leave the fold at another angle.
    let from_joint = if long - at > at {
        sub_path(edge_path, at + MEET, long)
    } else {
        reversed(&sub_path(edge_path, 0.0, at - MEET))
    };
    let away = tangent_at(&from_joint, 0.0);
    Ok(Joint {
        place: start(&from_joint).unwrap_or_else(|| point_at(edge_path, at)),
        along,
        cloth: square(along) * square(along).dot(away).signum(),
        edge: from_joint,
        seam_starts_there: forward,
    })
}

/// Returns both ends of a path, each with the direction that leads into the path and whether it is the start.
fn ends(path: &BezPath) -> [(Option<Point>, Vec2, bool); 2] {
    let back = -tangent_at(path, length(path));
    [
        (start(path), tangent_at(path, 0.0), true),
        (end(path), back, false),
    ]
}

fn do_not_meet(join: &Join, piece: &DraftPiece, edge: EdgeId, seam: &str) -> PatternFault {
    PatternFault::Draft {
        what: format!(
            "the join '{}': the {} and the {seam} of the {} do not meet",
            join.name, piece[edge].name, piece.name
        ),
        source: Some(join.source.clone()),
    }
}
