//! Proof 5: outlines are sound, the cut line keeps its allowance, dart legs are equal.

use super::named;
use crate::drafting::{Dart, Draft, DraftPiece};
use crate::geometry::{
    Side, end, is_one_region, length, line_crossings, nearest, point_at, self_crossings, start,
    width_at,
};
use crate::pattern::allowance::Allowances;
use crate::pattern::piece::{CLOSED, corner_reach, outward, sides};
use crate::pattern::{CheckRow, PatternFault, Piece};
use kurbo::{BezPath, ParamCurve, PathSeg, Point, Rect, Shape};

/// How far the legs of a dart may differ, mm.
const LEGS_WITHIN: f64 = 1.0;
/// How much an allowance may fall short, mm: less than shears can tell.
const SHORT: f64 = 0.1;
/// Steps along an edge at which the cut line is looked at.
const LOOKS: u32 = 40;

pub(super) fn prove(
    draft: &Draft,
    drafted: &DraftPiece,
    piece: &Piece,
    allowances: &Allowances,
) -> Result<Vec<CheckRow>, Vec<PatternFault>> {
    let sides = sides(&draft.garment, drafted, allowances)?;
    let row = |what: &str, found: f64, limit: f64| CheckRow {
        check: named(draft, &format!("{}: {what}", drafted.name)),
        found,
        limit,
        ok: found <= limit,
        source: Some(drafted.source.clone()),
    };
    let folded = if is_one_region(&piece.cut) { 0.0 } else { 1.0 };
    Ok(vec![
        row("widest gap between edges, mm", widest_gap(drafted), CLOSED),
        row(
            "crossings of the seam line",
            self_crossings(&piece.seam).len() as f64,
            0.0,
        ),
        row("folds of the cut line", folded, 0.0),
        row(
            "seam line outside the cut line, mm",
            outside(drafted, piece),
            CLOSED,
        ),
        row("allowance short by, mm", shortest(piece, &sides), SHORT),
    ])
}

/// The row of a dart: how far its legs differ.
pub(super) fn dart(draft: &Draft, dart: &Dart) -> CheckRow {
    let found = (dart.legs.0 - dart.legs.1).abs();
    CheckRow {
        check: named(
            draft,
            &format!("{}: legs of the {} differ by, mm", dart.piece, dart.name),
        ),
        found,
        limit: LEGS_WITHIN,
        ok: found <= LEGS_WITHIN,
        source: Some(dart.source.clone()),
    }
}

/// The widest gap between the end of an edge and the start of the next.
fn widest_gap(drafted: &DraftPiece) -> f64 {
    let next = drafted.edges.iter().cycle().skip(1);
    let gaps = drafted
        .edges
        .iter()
        .zip(next)
        .filter_map(|(edge, next)| Some(end(&edge.path)?.distance(start(&next.path)?)));
    gaps.fold(0.0, f64::max)
}

/// How far the seam line runs outside the cut line at most.
fn outside(drafted: &DraftPiece, piece: &Piece) -> f64 {
    let mut furthest: f64 = 0.0;
    for edge in &drafted.edges {
        for segment in edge.path.segments() {
            for i in 0..=LOOKS {
                let p = segment.eval(f64::from(i) / f64::from(LOOKS));
                if piece.cut.winding(p) == 0 {
                    furthest = furthest.max(nearest(&piece.cut, p).distance);
                }
            }
        }
    }
    furthest
}

/// By how much the cut line, straight across from the seam line, lies nearer than the allowance; not
/// looked for near corners, where their rules decide.
fn shortest(piece: &Piece, sides: &[Side]) -> f64 {
    let cut: Vec<(Rect, PathSeg)> = piece
        .cut
        .segments()
        .map(|part| (part.bounding_box(), part))
        .collect();
    let mut most: f64 = 0.0;
    for (index, side) in sides.iter().enumerate() {
        let long = length(side.path);
        let reach = corner_reach(sides, index);
        for i in 0..=LOOKS {
            let at = long * f64::from(i) / f64::from(LOOKS);
            if at < reach || at > long - reach {
                continue;
            }
            let place = point_at(side.path, at);
            let out = outward(&piece.seam, side.path, at);
            // A cut line further off than the width leaves nothing short.
            let width = width_at(&side.widths, long, at);
            let across = line_crossings(&near(&cut, place, width + CLOSED), place, out)
                .into_iter()
                .map(|crossing| crossing.b)
                .filter(|b| *b >= -CLOSED)
                .fold(f64::INFINITY, f64::min);
            most = most.max(width - across);
        }
    }
    most
}

/// The parts of a line that may come within `reach` of a place.
fn near(line: &[(Rect, PathSeg)], place: Point, reach: f64) -> BezPath {
    let mut path = BezPath::new();
    for (bounds, part) in line {
        if bounds.inflate(reach, reach).contains(place) {
            path.move_to(part.start());
            path.push(part.as_path_el());
        }
    }
    path
}
