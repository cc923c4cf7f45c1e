//! Proof 5: outlines are sound, the cut line keeps its allowance, dart legs are equal.

use super::rows::checked;
use crate::draft::{Count, Dart, Draft, DraftEdge, DraftPiece, Turning};
use crate::geometry::{
    Edge, across_segment, end, is_one_region, length, nearest, segment_tangent, self_crossings,
    start, width_at,
};
use crate::pattern::allowance::Allowances;
use crate::pattern::fault::PatternFault;
use crate::pattern::piece::{CLOSED, corner_reach, outward, sides};
use crate::pattern::types::{CheckRow, Piece};
use crate::pattern::{fold, hands};
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, PathSeg, Point, Rect, Shape, Vec2};

/// Greatest difference between the legs of a dart, mm.
const LEGS_WITHIN: f64 = 1.0;
/// Greatest lack of an allowance, mm: shears cannot cut finer.
const SHORT: f64 = 0.1;
/// Greatest difference between the sides of a piece that is the same on both, mm: shears cannot cut finer.
const SIDES_WITHIN: f64 = 0.1;
/// Greatest angle between a fold and the grain, degrees: over a metre it is less than 2 mm.
const FOLD_OFF_GRAIN: f64 = 0.1;
/// Greatest angle between the grain and down as the piece is worn, degrees. A grain round the body has 90, and
/// half an eighth more where a pocket's mouth rises; a grain drawn upwards by mistake has 180, or 135 on the
/// bias.
const GRAIN_OFF_DOWN: f64 = 112.5;
/// Greatest angle by which the grain of a piece on the bias may miss 45 degrees.
const OFF_BIAS: f64 = 0.1;
/// Number of places along an edge from which the cut line is measured.
const LOOKS: u32 = 40;
/// Least number of them on each segment.
const LEAST_LOOKS: u32 = 6;

/// Proves the outlines of a piece.
///
/// # Errors
/// When the house lacks an allowance of one of its edges.
pub(super) fn prove(
    draft: &Draft,
    drafted: &DraftPiece,
    piece: &Piece,
    allowances: &Allowances,
) -> Result<Vec<CheckRow>, Vec<PatternFault>> {
    let sides = sides(&draft.garment, drafted, allowances)?;
    let checks = (lines(drafted, piece, &sides).into_iter())
        .chain(grain(drafted))
        .chain(folded(piece))
        .chain(either_hand(piece));
    let row = |(what, found, limit): Check| {
        let what = format!("{}: {what}", drafted.name);
        checked(draft, &what, (found, limit), &drafted.source)
    };
    Ok(checks.map(row).collect())
}

/// Name of a check, its measurement, and the greatest measurement that is allowed.
type Check = (String, f64, f64);

/// Checks the seam line, the cut line and the allowance between them.
fn lines(drafted: &DraftPiece, piece: &Piece, sides: &[Edge]) -> Vec<Check> {
    let parts = piece.cut.segments();
    let cut: Vec<(Rect, PathSeg)> = parts.map(|part| (part.bounding_box(), part)).collect();
    let looks = looks(piece, sides);
    let crossings = self_crossings(&piece.seam).len() as f64;
    let folds = if is_one_region(&piece.cut) { 0.0 } else { 1.0 };
    let outside = outside(&looks, piece, &cut);
    let checks = [
        ("widest gap between edges, mm", widest_gap(drafted), CLOSED),
        ("crossings of the seam line", crossings, 0.0),
        ("folds of the cut line", folds, 0.0),
        ("seam line outside the cut line, mm", outside, CLOSED),
        ("allowance short by, mm", shortest(&looks, &cut), SHORT),
    ];
    let checks = checks.into_iter();
    let owned = checks.map(|(what, found, limit)| (what.to_owned(), found, limit));
    owned.collect()
}

/// Checks that the grain runs the way the piece hangs, and at 45 degrees to the edge it is on the bias of.
fn grain(drafted: &DraftPiece) -> Vec<Check> {
    let grain = drafted.grain.1 - drafted.grain.0;
    let mut checks = Vec::new();
    if drafted.turning != Turning::Free {
        let what = "grain from down as it is worn, degrees".to_owned();
        checks.push((what, between(grain, drafted.down), GRAIN_OFF_DOWN));
    }
    if let Some(edge) = drafted.bias {
        let DraftEdge { name, path, .. } = &drafted[edge];
        let along = end(path).zip(start(path)).map(|(end, start)| end - start);
        // Either diagonal is on the bias.
        let off = along.map_or(f64::INFINITY, |along| {
            (between(grain, along) % 90.0 - 45.0).abs()
        });
        let what = format!("grain off the bias of the {name}, degrees");
        checks.push((what, off, OFF_BIAS));
    }
    checks
}

/// Checks that a piece on the fold is the same on both sides of it, and that the fold runs along the grain.
fn folded(piece: &Piece) -> Vec<Check> {
    let Some((from, to)) = piece.fold else {
        return Vec::new();
    };
    let grain = piece.grain.1 - piece.grain.0;
    let (off, along) = ((to - from).cross(grain), (to - from).dot(grain));
    let differ = fold::difference(piece, (from, to));
    let off = off.atan2(along.abs()).to_degrees().abs();
    vec![
        (
            "sides of the fold differ by, mm".into(),
            differ,
            SIDES_WITHIN,
        ),
        ("fold off the grain, degrees".into(), off, FOLD_OFF_GRAIN),
    ]
}

/// Checks that a piece is the same turned over, if it is cut for no side and is no pair.
fn either_hand(piece: &Piece) -> Option<Check> {
    let all_alike = matches!(piece.count, Count::Alike(_)) && piece.material.has_face();
    let what = "cut neither in pairs nor for one side, and differs turned over by, mm";
    let check = || (what.to_owned(), hands::difference(piece), SIDES_WITHIN);
    (all_alike && piece.side.is_none()).then(check)
}

/// Returns the angle between two directions, degrees.
fn between(a: Vec2, b: Vec2) -> f64 {
    a.cross(b).atan2(a.dot(b)).to_degrees().abs()
}

/// Proves a dart: its legs are equal.
pub(super) fn dart(draft: &Draft, dart: &Dart) -> CheckRow {
    let found = (dart.legs.0 - dart.legs.1).abs();
    let name = &draft[dart.piece].name;
    let what = format!("{name}: legs of the {} differ by, mm", dart.name);
    checked(draft, &what, (found, LEGS_WITHIN), &dart.source)
}

/// Measures the widest gap between the end of an edge and the start of the next.
fn widest_gap(drafted: &DraftPiece) -> f64 {
    let next = drafted.edges.iter().cycle().skip(1);
    let gaps = drafted
        .edges
        .iter()
        .zip(next)
        .filter_map(|(edge, next)| Some(end(&edge.path)?.distance(start(&next.path)?)));
    gaps.fold(0.0, f64::max)
}

/// A place on the seam line from which the cut line is measured.
struct Look {
    place: Point,
    /// Unit vector square to the seam line, out of the piece.
    out: Vec2,
    /// The width the allowance has there; `None` near a corner, where its rule decides.
    width: Option<f64>,
}

/// Lists places all along the seam line, at least [`LEAST_LOOKS`] on every segment.
fn looks(piece: &Piece, sides: &[Edge]) -> Vec<Look> {
    let outward = outward(&piece.seam);
    let mut looks = Vec::new();
    for (index, side) in sides.iter().enumerate() {
        let (long, reach) = (length(side.path), corner_reach(sides, index));
        let mut walked = 0.0;
        for segment in side.path.segments() {
            let stretch = segment.arclen(CLOSED);
            let steps = ((f64::from(LOOKS) * stretch / long).ceil() as u32).max(LEAST_LOOKS);
            for i in 0..=steps {
                let t = f64::from(i) / f64::from(steps);
                let at = walked + segment.subsegment(0.0..t).arclen(CLOSED);
                let plain = at >= reach && at <= long - reach;
                looks.push(Look {
                    place: segment.eval(t),
                    out: outward(segment_tangent(&segment, t)),
                    width: plain.then(|| width_at(&side.widths, long, at)),
                });
            }
            walked += stretch;
        }
    }
    looks
}

/// Measures how far the seam line runs outside the cut line at most.
fn outside(looks: &[Look], piece: &Piece, cut: &[(Rect, PathSeg)]) -> f64 {
    let out = looks.iter().filter(|look| winding(cut, look.place) == 0);
    out.map(|look| nearest(&piece.cut, look.place).distance)
        .fold(0.0, f64::max)
}

/// Counts how often a closed line runs round a point, along a ray to the left.
fn winding(line: &[(Rect, PathSeg)], p: Point) -> i32 {
    let mut turns = 0;
    let mut close = BezPath::new();
    for (bounds, part) in line {
        if p.y < bounds.y0 || p.y > bounds.y1 || p.x < bounds.x0 {
            continue;
        }
        if bounds.x1 < p.x {
            // It lies to the left as a whole: its ends tell.
            turns += i32::from(part.end().y <= p.y) - i32::from(part.start().y <= p.y);
        } else {
            close.move_to(part.start());
            close.push(part.as_path_el());
        }
    }
    turns + close.winding(p)
}

/// Measures by how much the cut line, straight across from the seam line, is nearer than the allowance.
fn shortest(looks: &[Look], cut: &[(Rect, PathSeg)]) -> f64 {
    let short = looks.iter().filter_map(|look| {
        let width = look.width?;
        // A cut line further off than the width leaves nothing short.
        let reach = width + CLOSED;
        let across = cut
            .iter()
            .filter(|(bounds, _)| bounds.inflate(reach, reach).contains(look.place))
            .flat_map(|(_, part)| across_segment(part, look.place, look.out))
            .map(|(_, distance)| distance)
            .filter(|distance| *distance >= -CLOSED)
            .fold(f64::INFINITY, f64::min);
        Some(width - across)
    });
    short.fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Knot, flattened, spline};
    use crate::order::{House, Material, Materials};
    use crate::pattern::piece;
    use kurbo::Affine;

    fn edge(name: &str, points: &[(f64, f64)], allowance: &str) -> DraftEdge {
        let knots: Vec<Knot> = points.iter().map(|&at| Knot::new(at.into())).collect();
        DraftEdge {
            name: name.into(),
            path: spline(&knots),
            allowance: allowance.into(),
            turns: 9,
            part_of: None,
            turns_in: false,
            source: "skirt.rhai:1".into(),
        }
    }

    /// A panel whose right side is bent and made of several curves; its straight back takes that allowance.
    fn panel(back: &str) -> DraftPiece {
        let side = [(200.0, 0.0), (222.0, 150.0), (214.0, 330.0), (230.0, 600.0)];
        DraftPiece {
            edges: vec![
                edge("waist", &[(0.0, 0.0), (200.0, 0.0)], "seam"),
                edge("side", &side, "side_seam_back"),
                edge("hem", &[(230.0, 600.0), (0.0, 600.0)], "seam"),
                edge("back", &[(0.0, 600.0), (0.0, 0.0)], back),
            ],
            ..DraftPiece::new("panel", cloth(), "skirt.rhai:1".into())
        }
    }

    fn cloth() -> Material {
        let house = House::built_in().unwrap();
        Materials::built_in(&house).unwrap().cloth().clone()
    }

    /// How far the seam line lies outside the cut line, and by how much an allowance is short, once the cut
    /// line is spoilt; the panel is cut with one allowance at its back and proven with another.
    fn found(cut: &str, proven: &str, spoil: impl Fn(&BezPath) -> BezPath) -> (f64, f64) {
        let house = House::built_in().unwrap();
        let allowances = Allowances::new(&house);
        let mut made = piece::make("skirt", &panel(cut), &allowances).unwrap();
        made.cut = spoil(&made.cut);
        let draft = Draft::default();
        let rows = prove(&draft, &panel(proven), &made, &allowances).unwrap();
        let row = |words: &str| {
            let row = rows.iter().find(|row| row.check.contains(words)).unwrap();
            assert_eq!(row.ok, row.found <= row.limit);
            row.found
        };
        (row("seam line outside"), row("allowance short"))
    }

    #[test]
    fn a_cut_line_that_keeps_its_allowance_is_proven() {
        for back in ["seam", "centre_back"] {
            let (outside, short) = found(back, back, Clone::clone);
            assert!(outside == 0.0 && short < 0.02, "{back}: {outside} {short}");
        }
    }

    /// The back has 10 of allowance, or 15 to 25 along its length.
    #[test]
    fn a_cut_line_that_was_moved_is_short_and_then_outside() {
        let moved = |by: f64| move |cut: &BezPath| Affine::translate((by, 0.0)) * cut;
        for (by, outside, short) in [(4.0, 0.0, 4.0), (9.0, 0.0, 9.0), (13.0, 3.0, 10.0)] {
            let (is_outside, is_short) = found("seam", "seam", moved(by));
            assert!(
                (is_outside - outside).abs() < 0.05,
                "{by}: outside by {is_outside}"
            );
            // Once the seam line is outside there is nothing to measure across to.
            assert!(
                is_short > short - 0.1 || outside > 0.0,
                "{by}: short by {is_short}"
            );
        }
        // To the other side it is the bent one, 25 wide, that is short.
        let (_, short) = found("seam", "seam", moved(-6.0));
        assert!((5.0..6.1).contains(&short), "{short}");
    }

    /// The right side of the cut line is a slanted line to a point 30 and more inside the seam line.
    #[test]
    fn a_seam_line_is_outside_beside_a_slanted_cut_line_too() {
        let wedge = |_: &BezPath| {
            let corners = [(-12.0, -12.0), (260.0, -12.0), (180.0, 300.0)];
            let mut path = BezPath::new();
            path.move_to(Point::from((-12.0, 612.0)));
            for corner in corners.into_iter().chain([(260.0, 612.0)]) {
                path.line_to(Point::from(corner));
            }
            path.close_path();
            path
        };
        let (outside, _) = found("seam", "seam", wedge);
        assert!((30.0..40.0).contains(&outside), "{outside}");
    }

    #[test]
    fn an_allowance_that_runs_from_width_to_width_is_held_to_each() {
        let (outside, short) = found("seam", "centre_back", Clone::clone);
        assert!(outside == 0.0 && (short - 20.0).abs() < 0.1, "{short}");
    }

    /// A dent in one of the curves of the side, as deep as 5, that reaches over 20 of its length.
    #[test]
    fn a_dent_is_found_wherever_it_is() {
        for level in [90.0, 250.0, 450.0] {
            let dent = |cut: &BezPath| {
                let corners = flattened(cut, 0.01);
                let mut path = BezPath::new();
                for (i, p) in corners.iter().enumerate() {
                    let near = p.x > 150.0 && (p.y - level).abs() < 10.0;
                    let at = if near { *p - Vec2::new(5.0, 0.0) } else { *p };
                    if i == 0 {
                        path.move_to(at);
                    } else {
                        path.line_to(at);
                    }
                }
                path.close_path();
                path
            };
            let (outside, short) = found("seam", "seam", dent);
            assert!(
                outside == 0.0 && (4.0..5.2).contains(&short),
                "{level}: {short}"
            );
        }
    }
}
