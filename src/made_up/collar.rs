//! Lays the fall of a collar between its crease and its edges, as it is seen from the front and from behind.

use super::hand::patch;
use super::lines::{Found, along, edge, mark, piece};
use super::mesh::Mesh;
use super::patch::{Corner, Patch};
use super::ruled::{self, Section, ruled, spaced, spots};
use crate::draft::{Draft, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{Affine, Point};

/// Light on the edge over which a lapel or a collar turns, which looks away from the viewer (judged by eye, no
/// source).
pub(super) const ON_EDGE: f64 = 0.62;
/// Light on the fall of a collar near its outer edge (judged by eye, no source).
const ON_FALL: f64 = 0.97;
/// Length of cloth over the length that is seen, where a collar goes round the neck and is seen aslant (judged by
/// eye, no source).
const ASLANT: f64 = 1.1;
/// Rows and columns into which half a collar is divided: of about 10 mm each.
const ROWS: usize = 24;
const COLUMNS: usize = 5;

/// The lines round the front half of a collar, as they are seen.
pub(super) struct Round<'a> {
    /// From the roll line to the step.
    pub gorge: &'a [Point],
    /// From the collar's point back to the gorge; empty for a shawl.
    pub step: &'a [Point],
    /// From the collar's point to the crease beside the neck.
    pub outer: &'a [Point],
    /// From the crease beside the neck to the roll line.
    pub crease: &'a [Point],
}

impl Round<'_> {
    /// Returns what is seen of the upper side of the collar on a side.
    pub(super) fn cloth(&self, draft: &Draft, side: Side) -> Vec<Patch> {
        let shown = Upper::new(draft, side).map(|upper| upper.worn(self.over(&upper), side));
        shown.into_iter().collect()
    }

    /// Lays the fall of the piece that is the upper side of the collar between the crease and its edges.
    fn over(&self, upper: &Upper) -> Mesh {
        let mut fore_at = self.gorge.to_vec();
        fore_at.extend(self.step.iter().rev());
        let outer = part(&upper.outer, ASLANT * long(self.outer));
        let turning = part(&upper.turning, ASLANT * long(self.crease));
        let crease: Vec<Point> = self.crease.iter().rev().copied().collect();
        // The front and the outer edge take the rows by their lengths, so that the corner between them is kept.
        let (a, b) = (long(&fore_at), long(self.outer));
        let rows = ((ROWS as f64 * a / (a + b).max(1.0)).round() as usize).clamp(2, ROWS - 2);
        let two = |first: &[Point], then: &[Point]| {
            let mut line = spaced(first, rows);
            line.extend(spaced(then, ROWS - rows).into_iter().skip(1));
            line
        };
        let rim = if fore_at.len() > 1 && upper.front.len() > 1 {
            spots(&two(&upper.front, &outer), &two(&fore_at, self.outer))
        } else {
            spots(&spaced(&outer, ROWS), &spaced(self.outer, ROWS))
        };
        let fold = spots(&spaced(&turning, ROWS), &spaced(&crease, ROWS));
        ruled(&fold, &rim, COLUMNS, |_| Section::Flat(ON_EDGE, ON_FALL))
    }
}

/// Returns what is seen from behind of the collar on a side: between the crease, which runs from the centre back
/// round to the end of the outer edge, and the outer edge. `turns` is the length of the crease up to where it leaves
/// the neck.
pub(super) fn behind(
    draft: &Draft,
    side: Side,
    (crease, turns): (&[Point], f64),
    outer: &[Point],
) -> Option<Patch> {
    let upper = Upper::new(draft, side)?;
    let [turning, rim] = [&upper.turning, &upper.outer].map(|line| upper.centre_outward(line));
    let rim = part(&rim, long(outer));
    let mut fold = part(&turning, turns);
    fold.extend(rim.last());
    let mut shown = vec![ruled::along(crease, 0.0)];
    shown.extend(crease.iter().skip(1));
    let fold = two_runs(&fold, turns / long(&shown).max(1.0));
    let first = spots(&fold, &spaced(&shown, ROWS));
    let second = spots(&spaced(&rim, ROWS), &spaced(outer, ROWS));
    let mesh = ruled(&first, &second, COLUMNS, |_| {
        Section::Flat(ON_EDGE, ON_FALL)
    });
    Some(upper.worn(mesh, side))
}

/// Returns points along a line whose last stretch takes what a share leaves of the rows.
fn two_runs(line: &[Point], share: f64) -> Vec<Point> {
    let rows = ((ROWS as f64 * share).round() as usize).clamp(1, ROWS - 1);
    let (turning, over) = line.split_at(line.len().saturating_sub(1));
    let mut points = spaced(turning, rows);
    let last = [turning.last(), over.last()];
    let last: Vec<Point> = last.into_iter().flatten().copied().collect();
    points.extend(spaced(&last, ROWS - rows).into_iter().skip(1));
    points
}

/// The lines of the piece that is the upper side of a collar, each from the front of the half that was drawn.
struct Upper<'a> {
    found: Found<'a>,
    /// Along the gorge from the roll line, and up the front edge to the collar's point.
    front: Vec<Point>,
    outer: Vec<Point>,
    /// The crease, or the seam to the stand just inside it.
    turning: Vec<Point>,
}

impl<'a> Upper<'a> {
    /// Finds the piece: one of its own, or the facing that it is cut on to.
    fn new(draft: &'a Draft, side: Side) -> Option<Self> {
        let cut_on = || {
            let facing = piece(draft, Part::Facing, side)?;
            edge(facing.piece, Role::OuterEdge)?;
            Some(facing)
        };
        let found = piece(draft, Part::TopCollar, side).or_else(cut_on)?;
        let of = |role| {
            let points = edge(found.piece, role).map(|path| along(path, 2.0));
            points.unwrap_or_default()
        };
        let turning = mark(found.piece, MarkKind::Crease).map(|mark| along(&mark.path, 2.0));
        let turning = turning.unwrap_or_else(|| of(Role::Seam));
        let (gorge, outer) = (of(Role::Gorge), of(Role::OuterEdge));
        // Whichever way the edges run, the lines begin at the gorge of the half that was drawn. A collar that is cut
        // on has none: its crease begins near the roll, away from its centre back.
        let centre = edge(found.piece, Role::CentreBack).and_then(geometry::start);
        let begin = match (gorge.first(), centre) {
            (Some(begin), _) => *begin,
            (None, Some(centre)) => *outer
                .iter()
                .max_by(|a, b| a.distance(centre).total_cmp(&b.distance(centre)))?,
            (None, None) => *outer.last()?,
        };
        let from = |mut line: Vec<Point>, near: Point| {
            let off = |p: Option<&Point>| p.map_or(0.0, |p| p.distance(near));
            if off(line.last()) < off(line.first()) {
                line.reverse();
            }
            line
        };
        let turning = from(turning, begin);
        let crossing = *turning.first()?;
        let mut front = from(gorge, crossing);
        let corner = front.last().copied().unwrap_or(crossing);
        front.extend(from(of(Role::FrontEdge), corner));
        let outer = from(outer, front.last().copied().unwrap_or(begin));
        Some(Self {
            found,
            front,
            outer,
            turning,
        })
    }

    /// Returns a line from the centre back to the front.
    fn centre_outward(&self, line: &[Point]) -> Vec<Point> {
        let whole = long(line);
        // A collar that is cut whole has the centre back in its middle.
        let centre = if self.found.fold.is_some() {
            whole / 2.0
        } else {
            whole
        };
        let mut half = part(line, centre);
        half.reverse();
        half
    }

    /// Makes a patch of the half that is worn on a side. The half on the left is the mirror image of the one that
    /// was drawn.
    fn worn(&self, (corners, triangles): Mesh, side: Side) -> Patch {
        let whole = self.found.fold;
        let mirrored = whole.filter(|_| side == Side::Left);
        let half = mirrored.map_or(Affine::IDENTITY, |(a, b)| Affine::reflect(a, b - a));
        let corners = corners.into_iter().map(|corner| Corner {
            on: half * corner.on,
            ..corner
        });
        let mesh = (corners.collect(), triangles);
        patch(self.found, whole.is_none().then_some(side), mesh)
    }
}

/// Returns the length of a line through points.
fn long(line: &[Point]) -> f64 {
    line.windows(2).map(|p| p[0].distance(p[1])).sum()
}

/// Returns the first stretch of a line, so far along it.
fn part(line: &[Point], far: f64) -> Vec<Point> {
    let count = line.len().max(2);
    let places = (0..=count).map(|i| far * i as f64 / count as f64);
    places.map(|at| ruled::along(line, at)).collect()
}
