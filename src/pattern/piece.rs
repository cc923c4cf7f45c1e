//! Makes a piece: its seam line, its cut line with the house's allowances, and its notches on the cut line.

use super::allowance::Allowances;
use super::fault::PatternFault;
use super::types::{Notch, Piece};
use crate::draft::{DraftEdge, DraftNotch, DraftPiece};
use crate::geometry::{
    Corner, Edge, crossings, end, joined, length, line_crossings, line_inside, nearest, offset,
    outline, point_at, start, sub_path, tangent_at,
};
use kurbo::{BezPath, Shape, Vec2};

/// Greatest distance, mm, of two ends that are one point: the widest gap a draft may have between its edges.
pub(super) const CLOSED: f64 = 0.01;

/// Makes a piece with its allowances.
///
/// # Errors
/// Every edge that is no open run, and everything that the house lacks for an edge.
pub(super) fn make(
    garment: &str,
    drafted: &DraftPiece,
    allowances: &Allowances,
) -> Result<Piece, Vec<PatternFault>> {
    let sides = sides(garment, drafted, allowances)?;
    let cut = outline(&sides, allowances.mitre_limit).path;
    let seam = seam_line(drafted);
    let inlays = inlays(drafted, allowances, &seam, &cut).map_err(|fault| vec![fault])?;
    let notches = drafted.notches.iter();
    let notches = notches.map(|notch| on_cut_line(drafted, notch, &seam, &cut, &sides));
    let notches = notches.collect();
    let grain = line_inside(&seam, drafted.grain);
    Ok(Piece {
        garment: garment.to_owned(),
        name: drafted.name.clone(),
        material: drafted.material.clone(),
        count: drafted.count,
        side: drafted.side,
        pair: drafted.pair.clone(),
        turned_over: drafted.turned_at.is_some(),
        seam,
        cut,
        inlays,
        notches,
        marks: drafted.marks.clone(),
        grain,
        down: drafted.down,
        turning: drafted.turning,
        bias: drafted.bias.is_some(),
        off_grain: drafted.off_grain,
        fold: drafted.fold,
        one_of: None,
    })
}

/// Returns the edges of a piece with their allowances and corners.
pub(super) fn sides<'a>(
    garment: &str,
    drafted: &'a DraftPiece,
    allowances: &Allowances,
) -> Result<Vec<Edge<'a>>, Vec<PatternFault>> {
    let of = |edge: &DraftEdge| format!("the {} of the {garment}'s {}", edge.name, drafted.name);
    let mut faults = Vec::new();
    let mut sides = Vec::new();
    for edge in &drafted.edges {
        if !sound(&edge.path) {
            let what = format!("{} has no length, or is not one run of curves", of(edge));
            faults.push(PatternFault::Draft {
                what,
                source: Some(edge.source.clone()),
            });
        }
        match (
            allowances.along(drafted, edge),
            allowances.corner(&edge.allowance),
        ) {
            (Ok(widths), Ok(corner)) => sides.push(Edge {
                path: &edge.path,
                widths,
                corner,
            }),
            (widths, corner) => {
                let found = widths.err().into_iter().chain(corner.err());
                faults.extend(found.map(|fault| match fault {
                    PatternFault::NoAllowance { key, meant, .. } => PatternFault::NoAllowance {
                        key,
                        meant,
                        edge: Some(of(edge)),
                    },
                    other => other,
                }));
            }
        }
    }
    if drafted.edges.is_empty() {
        let what = format!("the {garment}'s {} has no edges", drafted.name);
        faults.push(PatternFault::Draft {
            what,
            source: Some(drafted.source.clone()),
        });
    }
    if faults.is_empty() {
        Ok(sides)
    } else {
        Err(faults)
    }
}

/// Returns whether an edge is one open run of segments at finite places.
fn sound(path: &BezPath) -> bool {
    let one_run =
        path.elements().iter().enumerate().all(|(i, e)| {
            (i == 0) == matches!(e, kurbo::PathEl::MoveTo(_)) && e.end_point().is_some()
        });
    one_run && path.is_finite() && length(path) > CLOSED
}

/// Returns the edges as one closed line.
fn seam_line(drafted: &DraftPiece) -> BezPath {
    let mut seam = joined(drafted.edges.iter().map(|edge| &edge.path), CLOSED);
    if let (Some(first), Some(last)) = (start(&seam), end(&seam)) {
        if first.distance(last) > CLOSED {
            seam.line_to(first);
        }
        seam.close_path();
    }
    seam
}

/// Returns the lines where edges with an inlay would be cut to a plain seam.
fn inlays(
    drafted: &DraftPiece,
    allowances: &Allowances,
    seam: &BezPath,
    cut: &BezPath,
) -> Result<Vec<BezPath>, PatternFault> {
    let mut lines = Vec::new();
    for edge in &drafted.edges {
        let Some(plain) = allowances.seam_of_inlay(&edge.allowance)? else {
            continue;
        };
        let whole = allowances.along(drafted, edge)?;
        let widths: Vec<f64> = whole.iter().map(|width| width.min(plain)).collect();
        if whole != widths {
            let side = if seam.area() > 0.0 { -1.0 } else { 1.0 };
            let widths: Vec<f64> = widths.into_iter().map(|width| side * width).collect();
            lines.push(within(&offset(&edge.path, &widths), seam, cut));
        }
    }
    Ok(lines)
}

/// Fits an open line into an allowance: cuts it off where it leaves the allowance, or extends it straight until
/// it meets the cut line or, past an inner corner, the seam line.
fn within(line: &BezPath, seam: &BezPath, cut: &BezPath) -> BezPath {
    let long = length(line);
    let middle = long / 2.0;
    let left: Vec<f64> = [seam, cut]
        .iter()
        .flat_map(|bound| crossings(line, bound))
        .map(|crossing| crossing.a)
        .collect();
    let from = left.iter().copied().filter(|at| *at < middle);
    let to = left.iter().copied().filter(|at| *at > middle);
    let (from, to) = (from.reduce(f64::max), to.reduce(f64::min));
    let run_on = |at: f64, way: f64| {
        let (place, along) = (point_at(line, at), tangent_at(line, at) * way);
        let ahead = [seam, cut];
        let ahead = ahead.iter().flat_map(|b| line_crossings(b, place, along));
        let ahead = ahead.filter(|crossing| crossing.b > CLOSED);
        ahead.min_by(|a, b| a.b.total_cmp(&b.b)).map(|c| c.point)
    };
    let kept = sub_path(line, from.unwrap_or(0.0), to.unwrap_or(long));
    let mut whole = BezPath::new();
    let head = from.is_none().then(|| run_on(0.0, -1.0)).flatten();
    if let (Some(head), Some(first)) = (head, start(&kept)) {
        whole.move_to(head);
        whole.line_to(first);
    }
    let mut whole = joined([&whole, &kept], CLOSED);
    if let (true, Some(tail)) = (to.is_none(), run_on(long, 1.0)) {
        whole.line_to(tail);
    }
    whole
}

/// Returns a function that turns the direction of an edge into the one square to it, out of the piece.
pub(super) fn outward(seam: &BezPath) -> impl Fn(Vec2) -> Vec2 + use<> {
    // The piece lies on the side turned from x towards y when its area is positive.
    let side = if seam.area() > 0.0 { -1.0 } else { 1.0 };
    move |along| along.turn_90() * side
}

/// Returns a notch on the cut line, straight across from its place on the seam line.
fn on_cut_line(
    drafted: &DraftPiece,
    notch: &DraftNotch,
    seam: &BezPath,
    cut: &BezPath,
    sides: &[Edge],
) -> Notch {
    let (edge, side) = (&drafted[notch.edge], &sides[notch.edge.0]);
    let place = point_at(&edge.path, notch.at);
    let out = outward(seam)(tangent_at(&edge.path, notch.at));
    let widest = side.widths.iter().copied().fold(0.0, f64::max);
    // At a corner the cut line may lie further off than the allowance, or pass beside the place.
    let reach = 2.0 * widest + 1.0;
    let across = line_crossings(cut, place, out)
        .into_iter()
        .map(|crossing| crossing.b)
        .filter(|b| (-CLOSED..reach).contains(b))
        .fold(f64::INFINITY, f64::min);
    let at = if across.is_finite() {
        place + out * across.max(0.0)
    } else {
        nearest(cut, place).point
    };
    Notch {
        name: notch.name.clone(),
        seam: place,
        cut: at,
        inward: -out,
    }
}

/// Returns the distance from the ends of an edge, mm, within which the rules of its corners decide and its own
/// width need not be found in full.
pub(super) fn corner_reach(sides: &[Edge], index: usize) -> f64 {
    let widest = |side: Option<&Edge>| {
        side.map_or(0.0, |side| side.widths.iter().copied().fold(0.0, f64::max))
    };
    let count = sides.len().max(1);
    let (before, after) = (
        sides.get((index + count - 1) % count),
        sides.get((index + 1) % count),
    );
    let mirrored = |side: Option<&Edge>| side.is_some_and(|side| side.corner == Corner::Mirror);
    let reach = widest(before)
        .max(widest(after))
        .max(widest(sides.get(index)));
    if mirrored(before) || mirrored(after) || mirrored(sides.get(index)) {
        2.0 * reach
    } else {
        1.5 * reach
    }
}
