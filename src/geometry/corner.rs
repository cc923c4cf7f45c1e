//! How an outline gets round a corner, from the line beside one side to the line beside the next.
//!
//! Every corner is seen from itself: two arms run away from it, each with its side and the line beside
//! its side. A rule says where it leaves the one line, how it gets across, and where it joins the other.

use super::crossing::{Crossing, crossings, line_crossings};
use super::outline::Side;
use super::walk::{ACCURACY, end, joined, length, point_at, reversed, start, sub_path, tangent_at};
use kurbo::{Affine, BezPath, Point, Vec2};

/// How a side's own width ends at its two corners.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Corner {
    /// The lines beside the two sides run on until they meet.
    Mitre,
    /// The line beside this side ends square to the side, on the far line of the other.
    Square,
    /// Beyond this side the other's line runs on as its own mirror image about this side.
    Mirror,
}

/// One of the two arms at a corner, running away from it.
pub(super) struct Arm {
    /// The line beside it, from straight across the corner on.
    line: BezPath,
    /// The line produced backwards past its start by [`Arm::ray`].
    produced: BezPath,
    /// How far it is produced.
    ray: f64,
    /// The corner.
    at: Point,
    /// Unit vector along the side, away from the corner.
    away: Vec2,
    /// Unit vector square to the side, out of the figure.
    out: Vec2,
    /// The width at the corner.
    width: f64,
    corner: Corner,
}

impl Arm {
    /// The arm of a side; it arrives at the corner or leaves it.
    pub(super) fn new(side: &Side, line: &BezPath, outward: f64, arrives: bool) -> Self {
        let (path, line, width) = if arrives {
            (reversed(side.path), reversed(line), side.widths.last())
        } else {
            (side.path.clone(), line.clone(), side.widths.first())
        };
        let away = tangent_at(&path, 0.0);
        let out = away.turn_90() * if arrives { -outward } else { outward };
        let widest = side.widths.iter().copied().fold(0.0, f64::max);
        let ray = 20.0 * widest + 100.0;
        let beside = tangent_at(&line, 0.0);
        // A line that is folded over to its very end runs the wrong way there.
        let back = if beside.dot(away) > 0.0 { beside } else { away };
        let mut produced = BezPath::new();
        if let Some(first) = start(&line) {
            produced.move_to(first - back * ray);
            produced.line_to(first);
            produced.extend(line.segments().map(|segment| segment.as_path_el()));
        }
        let at = start(&path).unwrap_or(Point::ZERO);
        let width = width.copied().unwrap_or(0.0);
        Self {
            line,
            produced,
            ray,
            at,
            away,
            out,
            width,
            corner: side.corner,
        }
    }

    /// How far along the line a place on the produced line lies; negative on the part produced.
    fn along(&self, produced: f64) -> f64 {
        produced - self.ray
    }
}

/// How an outline gets from one line to the next.
pub(super) struct Meeting {
    /// What is cut off the end of the line that arrives.
    pub(super) skip_a: f64,
    /// From there to the line that leaves.
    pub(super) across: BezPath,
    /// What is cut off the start of the line that leaves.
    pub(super) skip_b: f64,
}

impl Meeting {
    /// Leaves `a` at `along_a` (negative: beyond its end), goes through `points` and joins `b`.
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

    /// The same way gone from the other end.
    fn turned_round(self) -> Self {
        Self {
            skip_a: self.skip_b,
            across: reversed(&self.across),
            skip_b: self.skip_a,
        }
    }
}

/// Corners that turn by less than this are no corners to square or mirror: two lines of different
/// widths are joined there by a step.
const LEAST_TURN: f64 = 45.0;
/// A step is taken where a mitre would reach further than so many times the wider width.
const STEP: f64 = 1.5;

pub(super) fn meet(a: &Arm, b: &Arm, limit: f64) -> Meeting {
    let turn = (-a.away)
        .cross(b.away)
        .atan2((-a.away).dot(b.away))
        .to_degrees()
        .abs();
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

/// Of the crossings of two produced lines, the one nearest the corner along both.
fn nearest_meeting(a: &Arm, b: &Arm) -> Option<Crossing> {
    let far = |c: &Crossing| a.along(c.a).abs() + b.along(c.b).abs();
    crossings(&a.produced, &b.produced)
        .into_iter()
        .min_by(|x, y| far(x).total_cmp(&far(y)))
}

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

/// A mitre cut off square to `toward`, its direction.
fn blunt(a: &Arm, b: &Arm, toward: Vec2, limit: f64) -> Meeting {
    let reach = limit * a.width.max(b.width);
    let across = toward.turn_90();
    let cut = |arm: &Arm| {
        let found = line_crossings(&arm.produced, arm.at + toward * reach, across);
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

/// `a` ends square to its own side, at the place where that side produced meets the line of `b`.
fn square(a: &Arm, b: &Arm) -> Option<Meeting> {
    let mut produced_side = BezPath::new();
    // From just within, so that a line that passes through the corner itself is met.
    produced_side.move_to(a.at + a.away * 0.01);
    produced_side.line_to(a.at - a.away * b.ray);
    let foot = crossings(&produced_side, &b.produced).into_iter().next()?;
    let found = line_crossings(&a.produced, foot.point, a.out);
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

/// The line of `a` runs on beyond the side `b` as its own mirror image about that side.
fn mirror(a: &Arm, b: &Arm) -> Option<Meeting> {
    let found = line_crossings(&a.produced, b.at, b.away);
    let fold = found
        .into_iter()
        .min_by(|x, y| a.along(x.a).abs().total_cmp(&a.along(y.a).abs()))?;
    let about = Affine::reflect(b.at, b.away);
    let mut image = about * sub_path(&a.produced, fold.a, length(&a.produced));
    // A side shorter than the fold is deep goes on as it ended.
    let onward = tangent_at(&image, f64::INFINITY);
    image.line_to(end(&image)? + onward * (b.ray + 1.0));
    let found = crossings(&image, &b.produced).into_iter().next()?;
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
