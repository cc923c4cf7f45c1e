//! Takes an outline round a corner, from the line beside one edge to the line beside the next.
//!
//! Two [`Arm`]s run away from every corner, each with its edge and the line beside that edge. The rules
//! of the two edges decide where the outline leaves the first line, how it crosses over, and where it
//! joins the second line: the [`Meeting`].

use super::crossing::{Crossing, crossings, line_crossings};
use super::edge::{Corner, Edge};
use super::walk::{
    ACCURACY, angle_between, end, joined, length, point_at, reversed, start, sub_path, tangent_at,
};
use kurbo::{Affine, BezPath, Point, Vec2};

/// An edge as seen from one of its corners: it runs away from the corner.
pub(super) struct Arm {
    /// The line beside the edge; it starts straight across from the corner.
    line: BezPath,
    /// The same line, extended backwards past its start by [`Arm::ray`].
    extended: BezPath,
    /// Length of the extension, mm: more than any rule needs.
    ray: f64,
    /// The corner.
    at: Point,
    /// Unit vector along the edge, away from the corner.
    away: Vec2,
    /// Unit vector square to the edge, out of the figure.
    out: Vec2,
    /// Width beside the edge at the corner, mm.
    width: f64,
    /// The rule of the edge.
    corner: Corner,
}

impl Arm {
    /// Turns an edge and the line beside it into an arm; `arrives` says that the edge ends at the corner.
    pub(super) fn new(edge: &Edge, line: &BezPath, outward: f64, arrives: bool) -> Self {
        let (path, line, width) = if arrives {
            (reversed(edge.path), reversed(line), edge.widths.last())
        } else {
            (edge.path.clone(), line.clone(), edge.widths.first())
        };
        let away = tangent_at(&path, 0.0);
        let out = away.turn_90() * if arrives { -outward } else { outward };
        let widest = edge.widths.iter().copied().fold(0.0, f64::max);
        let ray = 20.0 * widest + 100.0;
        let beside = tangent_at(&line, 0.0);
        // Where a fold reaches the end of the line, the line runs the wrong way there.
        let back = if beside.dot(away) > 0.0 { beside } else { away };
        let mut extended = BezPath::new();
        if let Some(first) = start(&line) {
            extended.move_to(first - back * ray);
            extended.line_to(first);
            extended.extend(line.segments().map(|segment| segment.as_path_el()));
        }
        let at = start(&path).unwrap_or(Point::ZERO);
        let width = width.copied().unwrap_or(0.0);
        Self {
            line,
            extended,
            ray,
            at,
            away,
            out,
            width,
            corner: edge.corner,
        }
    }

    /// Converts an arc length of the extended line to one of the line; negative on the extension.
    fn along(&self, extended: f64) -> f64 {
        extended - self.ray
    }
}

/// The way of an outline from the line that arrives at a corner to the line that leaves it.
pub(super) struct Meeting {
    /// Length cut off the end of the line that arrives, mm.
    pub(super) skip_a: f64,
    /// The path from that cut to the line that leaves.
    pub(super) across: BezPath,
    /// Length cut off the start of the line that leaves, mm.
    pub(super) skip_b: f64,
}

impl Meeting {
    /// Runs from `a`, left at arc length `along_a`, through `points` to `b`, joined at `along_b`.
    ///
    /// An arc length is measured from the corner; a negative one lies on the extension of the line, and
    /// then none of the line is cut off.
    fn through(a: &Arm, along_a: f64, points: &[Point], b: &Arm, along_b: f64) -> Self {
        let mut stops = vec![point_at(&a.line, along_a)];
        stops.extend_from_slice(points);
        stops.push(point_at(&b.line, along_b));
        let mut across = BezPath::new();
        across.move_to(stops[0]);
        stops[1..].iter().for_each(|p| across.line_to(*p));
        Self {
            skip_a: along_a.max(0.0),
            across,
            skip_b: along_b.max(0.0),
        }
    }

    /// Swaps the two lines, for a rule that was applied with the arms the other way about.
    fn turned_round(self) -> Self {
        Self {
            skip_a: self.skip_b,
            across: reversed(&self.across),
            skip_b: self.skip_a,
        }
    }
}

/// Least turn of a corner that may be squared, mirrored or blunted, degrees.
///
/// A seam that goes on past a joint bends there by less, and a hem or a shoulder turns into the next
/// seam by more: half a right angle parts the two.
const LEAST_TURN: f64 = 45.0;
/// Furthest reach of a mitre at a corner of less than [`LEAST_TURN`], in parts of the wider width.
///
/// At such a corner a mitre of equal widths reaches at most 1.08 of them (1 / cos 22.5°). One that
/// reaches much further joins unequal widths at a flat angle, and is replaced by a step.
const STEP: f64 = 1.5;

/// Finds the way of an outline round the corner between `a`, which arrives, and `b`, which leaves.
///
/// A mitre on an outer corner reaches no further than `limit` times the wider width.
pub(super) fn meet(a: &Arm, b: &Arm, limit: f64) -> Meeting {
    let turn = angle_between(-a.away, b.away).to_degrees().abs();
    let outer = a.out.dot(b.away) < 0.0;
    let special = match (a.corner, b.corner) {
        _ if !outer || turn < LEAST_TURN => None,
        (Corner::Mirror, Corner::Mirror) | (Corner::Mitre, Corner::Mitre) => None,
        (_, Corner::Mirror) => mirror(a, b),
        (Corner::Mirror, _) => mirror(b, a).map(Meeting::turned_round),
        (Corner::Square, Corner::Square) if b.width > a.width => {
            square(b, a).map(Meeting::turned_round)
        }
        (Corner::Square, _) => square(a, b),
        (_, Corner::Square) => square(b, a).map(Meeting::turned_round),
    };
    special.unwrap_or_else(|| mitre(a, b, turn, outer, limit))
}

/// Returns the crossing of the two extended lines that lies nearest the corner along both.
fn nearest_meeting(a: &Arm, b: &Arm) -> Option<Crossing> {
    let far = |c: &Crossing| a.along(c.a).abs() + b.along(c.b).abs();
    crossings(&a.extended, &b.extended)
        .into_iter()
        .min_by(|x, y| far(x).total_cmp(&far(y)))
}

/// Lets both lines run on until they meet; joins them by a step or a blunt end where that is too far.
fn mitre(a: &Arm, b: &Arm, turn: f64, outer: bool, limit: f64) -> Meeting {
    let wider = a.width.max(b.width);
    let step = || Meeting::through(a, 0.0, &[], b, 0.0);
    let Some(found) = nearest_meeting(a, b) else {
        return if outer && turn >= LEAST_TURN {
            blunt(a, b, a.away * -1.0, limit)
        } else {
            step()
        };
    };
    let reach = found.point - a.at;
    if turn < LEAST_TURN && reach.hypot() > STEP * wider + ACCURACY {
        return step();
    }
    if outer && reach.hypot() > limit * wider + ACCURACY {
        return blunt(a, b, reach.normalize(), limit);
    }
    Meeting::through(a, a.along(found.a), &[found.point], b, b.along(found.b))
}

/// Cuts a mitre off square to its direction `toward`, `limit` times the wider width from the corner.
fn blunt(a: &Arm, b: &Arm, toward: Vec2, limit: f64) -> Meeting {
    let reach = limit * a.width.max(b.width);
    let across = toward.turn_90();
    let cut = |arm: &Arm| {
        let found = line_crossings(&arm.extended, arm.at + toward * reach, across);
        found
            .into_iter()
            .map(|c| (arm.along(c.a), c.point))
            .find(|(along, _)| *along <= 0.0)
    };
    match (cut(a), cut(b)) {
        (Some((_, p)), Some((_, q))) => Meeting::through(a, 0.0, &[p, q], b, 0.0),
        _ => Meeting::through(a, 0.0, &[], b, 0.0),
    }
}

/// Ends the line of `a` square to its own edge, where that edge, extended, meets the line of `b`;
/// `None` where they do not meet.
fn square(a: &Arm, b: &Arm) -> Option<Meeting> {
    let mut extended_edge = BezPath::new();
    // It starts just inside the edge, so that it also meets a line that passes through the corner.
    extended_edge.move_to(a.at + a.away * 0.01);
    extended_edge.line_to(a.at - a.away * b.ray);
    let foot = crossings(&extended_edge, &b.extended).into_iter().next()?;
    let found = line_crossings(&a.extended, foot.point, a.out);
    let head = found
        .into_iter()
        .min_by(|x, y| x.b.abs().total_cmp(&y.b.abs()))?;
    Some(Meeting::through(
        a,
        a.along(head.a),
        &[head.point, foot.point],
        b,
        b.along(foot.b),
    ))
}

/// Lets the line of `a` run on beyond the edge `b` as its own reflection about that edge; `None` where
/// it does not meet the edge or the line beside it.
fn mirror(a: &Arm, b: &Arm) -> Option<Meeting> {
    let met = line_crossings(&a.extended, b.at, b.away);
    let fold = met
        .into_iter()
        .min_by(|x, y| a.along(x.a).abs().total_cmp(&a.along(y.a).abs()))?;
    let about = Affine::reflect(b.at, b.away);
    let mut image = about * sub_path(&a.extended, fold.a, length(&a.extended));
    // Where `a` is shorter than the fold is deep, its reflection is extended straight.
    let onward = tangent_at(&image, f64::INFINITY);
    image.line_to(end(&image)? + onward * (b.ray + 1.0));
    let found = crossings(&image, &b.extended).into_iter().next()?;
    let mut across = BezPath::new();
    across.move_to(point_at(&a.line, a.along(fold.a)));
    across.line_to(fold.point);
    across = joined([&across, &sub_path(&image, 0.0, found.a)], 0.01);
    across.line_to(point_at(&b.line, b.along(found.b)));
    Some(Meeting {
        skip_a: a.along(fold.a).max(0.0),
        across,
        skip_b: b.along(found.b).max(0.0),
    })
}
