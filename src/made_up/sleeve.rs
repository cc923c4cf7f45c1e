//! The sleeve as it hangs: a little bent and a little away from the body, as wide as its pieces make
//! it.

use super::hand::{Hand, smooth};
use super::trunk::{edge, piece, vent_lines};
use super::{Line, Shade};
use crate::draft::{Draft, DraftPiece, MarkKind, Part, Role, Seam, Stretch};
use crate::geometry;
use kurbo::{BezPath, Point, Rect, Shape, Vec2};

/// Of a sleeve's flat width, what is seen of it on the arm: a tube is 2/π as wide as it is flat
/// (0.64), and the arm is narrower from the front than from the side.
const SEEN: f64 = 0.615;
/// How the arm hangs: degrees out from plumb above and below the elbow.
const UPPER: f64 = 9.0;
const LOWER: f64 = 2.0;
/// The most that it hangs out above the elbow, and how far it may lie over the coat's waist, mm.
const MOST: f64 = 17.0;
const OVERLAP: f64 = 8.0;
/// How far the head of the sleeve stands out beyond the shoulder before it falls, of its flat width.
const OUT: f64 = 0.216;

/// The lines of a sleeve on the right of the sheet, mm.
pub(super) struct Sleeve {
    /// From the shoulder over the head and down the outside to the hem.
    pub outer: Vec<Point>,
    /// From the scye down the inside to the hem.
    pub inner: Vec<Point>,
    /// From the inside to the outside.
    pub hem: Vec<Point>,
    /// Where the cuff's buttons lie above the hem, mm, and whether each is left undone.
    pub buttons: Vec<(f64, bool)>,
    /// The cuff opens and has worked holes.
    pub opens: bool,
}

/// A point of the scye that the sleeve's inside leaves.
pub(super) struct Hang {
    /// The shoulder point as it is seen.
    pub shoulder: Point,
    /// Where the sleeve's inside comes from under the body.
    pub inside: Point,
    /// Half the width of the coat at its waist, which a stout man's arms hang clear of.
    pub waist: f64,
}

impl Sleeve {
    /// The sleeve of a draft, hung from a shoulder.
    pub(super) fn new(draft: &Draft, hang: &Hang) -> Option<Self> {
        let (top, under) = (
            piece(draft, Part::TopSleeve)?,
            piece(draft, Part::UnderSleeve)?,
        );
        let crown = edge(top, Role::Crown)?.bounding_box();
        let hem = edge(top, Role::Hem)?.bounding_box();
        let long = hem.center().y - crown.y0;
        let deep = edge(under, Role::Crown)?.bounding_box().y1 - crown.y0;
        let elbow = top.notched(Role::Elbow).next()?.y - crown.y0;
        let sides = |piece: &DraftPiece| -> Vec<BezPath> {
            let edges = piece.edges(Role::Forearm).chain(piece.edges(Role::Hindarm));
            edges.map(|edge| edge.path.clone()).collect()
        };
        let (top_sides, under_sides) = (sides(top), sides(under));
        let flat = |down: f64| {
            let y = crown.y0 + down;
            (width_at(&top_sides, y) + width_at(&under_sides, y)) / 2.0
        };
        let wide = flat(deep + 20.0);
        let seen = |down: f64| SEEN * flat(down);

        // The outside: from the shoulder over the head, then down.
        let start = hang.shoulder;
        let lift = head_lift(draft);
        let out = Point::new(start.x + OUT * wide, start.y + 0.72 * deep);
        let at = |down: f64, degrees: f64, from: Point, from_down: f64| {
            let drop = (down - from_down) * degrees.to_radians().cos();
            Point::new(from.x + drop * degrees.to_radians().tan(), from.y + drop)
        };
        let clear = hang.waist - OVERLAP + seen(elbow) - out.x;
        let upper = clear.atan2(elbow - 0.72 * deep).to_degrees();
        let upper = upper.clamp(UPPER, MOST);
        // An arm that hangs out further does so from the shoulder on.
        let more = 0.3 * deep * (upper.to_radians().tan() - UPPER.to_radians().tan());
        let out = out + Vec2::new(more, 0.0);
        let elbow_out = at(elbow, upper, out, 0.72 * deep);
        let foot_out = at(long, LOWER, elbow_out, elbow);
        let mut outer = smooth(&[
            start,
            start + Vec2::new(0.05 * wide, 0.018 * wide - lift),
            start + Vec2::new(0.112 * wide, 0.095 * wide - 0.35 * lift),
            start + Vec2::new(0.167 * wide + 0.4 * more, 0.38 * deep),
            out,
            at(0.5 * (0.72 * deep + elbow), upper, out, 0.72 * deep) + Vec2::new(1.0, 0.0),
            elbow_out,
            at(0.5 * (long + elbow), LOWER + 0.8, elbow_out, elbow),
            foot_out,
        ]);
        // The inside, as wide as the sleeve is there.
        let inside = |outer: Point, down: f64| Point::new(outer.x - seen(down), outer.y);
        let elbow_in = inside(elbow_out, elbow);
        let mid_in = inside(
            at(0.5 * (long + elbow), LOWER + 0.8, elbow_out, elbow),
            0.5 * (long + elbow),
        );
        let cuff = SEEN * width_of_hem(top, under);
        let foot_in = Point::new(foot_out.x - cuff, foot_out.y + 5.0);
        let between = hang.inside.lerp(elbow_in, 0.5) - Vec2::new(0.5, 0.0);
        let inner = smooth(&[
            hang.inside,
            between,
            elbow_in + Vec2::new(0.5, 0.0),
            mid_in,
            foot_in,
        ]);
        let sag = foot_in.midpoint(foot_out) + Vec2::new(0.0, 3.0);
        let hem = smooth(&[foot_in, sag, foot_out]);
        outer.dedup_by(|a, b| a.distance(*b) < 0.01);
        let (buttons, opens) = cuff_of(draft, hem_level(top));
        Some(Self {
            outer,
            inner,
            hem,
            buttons,
            opens,
        })
    }

    /// Fills and outlines the sleeve; `scye` runs from the shoulder to where the inside begins.
    pub(super) fn draw(&self, hand: &mut Hand, scye: &[Point]) {
        let mut shape: Vec<Point> = scye.to_vec();
        shape.extend(&self.inner);
        shape.extend(&self.hem);
        shape.extend(self.outer.iter().rev());
        hand.shape(&shape, Shade::Face);
        hand.line(&self.outer, Line::Outline);
        hand.line(&self.inner, Line::Edge);
        hand.line(&self.hem, Line::Outline);
        hand.line(scye, Line::Edge);
    }

    /// A point so far up from the hem, and so much of the way from the inside to the outside.
    pub(super) fn at(&self, up: f64, part: f64) -> Point {
        let along = |line: &[Point]| {
            let mut left = up;
            for pair in line.windows(2).rev() {
                let long = pair[0].distance(pair[1]);
                if left <= long && long > 0.0 {
                    return pair[1].lerp(pair[0], left / long);
                }
                left -= long;
            }
            line.first().copied().unwrap_or_default()
        };
        along(&self.inner).lerp(along(&self.outer), part)
    }

    /// The cuff's buttons down a seam that lies so much of the way to the outside.
    pub(super) fn draw_buttons(&self, hand: &mut Hand, part: f64, seen: f64) {
        for (up, undone) in &self.buttons {
            let at = self.at(*up, part);
            hand.button(at, 15.0, seen);
            if self.opens && seen > 0.8 {
                let reach = if *undone { 26.0 } else { 11.0 };
                let hole = [at - Vec2::new(reach, 0.0), at - Vec2::new(8.0, 0.0)];
                hand.line(&hole, Line::Seam);
            }
        }
    }
}

/// Width between the outermost crossings of a level.
fn width_at(paths: &[BezPath], y: f64) -> f64 {
    let across = Vec2::new(1.0, 0.0);
    let crossings = paths
        .iter()
        .flat_map(|path| geometry::line_crossings(path, Point::new(0.0, y), across));
    let mut range: Option<(f64, f64)> = None;
    for x in crossings.map(|crossing| crossing.point.x) {
        range = Some(range.map_or((x, x), |(a, b)| (a.min(x), b.max(x))));
    }
    range.map_or_else(
        || {
            paths
                .iter()
                .map(|path| path.bounding_box())
                .reduce(|a, b| a.union(b))
                .unwrap_or(Rect::ZERO)
                .width()
        },
        |(a, b)| b - a,
    )
}

/// The finished hem's flat width: without what is cut on at the cuff.
fn width_of_hem(top: &DraftPiece, under: &DraftPiece) -> f64 {
    let length = |piece: &DraftPiece| {
        let hem = edge(piece, Role::Hem);
        let (fore, hind) = (hem.and_then(geometry::start), hem.and_then(geometry::end));
        let fold = vent_lines(piece).next();
        let fold = fold.and_then(|mark| geometry::end(&mark.path));
        let ends = fore.zip(fold.or(hind));
        ends.map_or(0.0, |(a, b)| a.distance(b))
    };
    (length(top) + length(under)) / 2.0
}

fn hem_level(top: &DraftPiece) -> Option<Point> {
    edge(top, Role::Hem).and_then(geometry::end)
}

/// Heights of the cuff's buttons above the hem and whether each is undone; and whether it opens.
fn cuff_of(draft: &Draft, foot: Option<Point>) -> (Vec<(f64, bool)>, bool) {
    let Some(foot) = foot else {
        return (Vec::new(), false);
    };
    let sleeve = piece(draft, Part::TopSleeve).into_iter();
    let marks = sleeve.flat_map(|piece| &piece.marks);
    let mut opens = false;
    let buttons = marks.filter_map(|mark| {
        let (hole, undone) = match mark.kind {
            MarkKind::Button => (false, false),
            MarkKind::Buttonhole => (true, false),
            MarkKind::OpenButtonhole => (true, true),
            _ => return None,
        };
        opens |= hole;
        let at = geometry::start(&mark.path)?;
        Some((at.distance(foot), undone))
    });
    let buttons: Vec<(f64, bool)> = buttons.collect();
    (buttons, opens)
}

/// How far the sleeve's head stands above the shoulder: more with more ease in the crown.
fn head_lift(draft: &Draft) -> f64 {
    let plays = |run: &[Stretch], role: Role| {
        let edge = |s: &Stretch| {
            let piece = draft.pieces.iter().find(|piece| piece.name == s.piece);
            piece.is_some_and(|piece| piece.edges(role).any(|edge| edge.name == s.edge))
        };
        run.iter().all(edge)
    };
    let into_scye = |seam: &&Seam| plays(&seam.a, Role::Crown) && plays(&seam.b, Role::Scye);
    // The whole crown, and not one stretch of it between notches.
    let seams = draft.seams.iter().filter(into_scye);
    let seam = seams.max_by_key(|seam| seam.a.len() + seam.b.len());
    let scye: f64 = [Part::Back, Part::SideBody, Part::Forepart]
        .iter()
        .filter_map(|part| Some(geometry::length(edge(piece(draft, *part)?, Role::Scye)?)))
        .sum();
    let ease = seam.map_or(0.06, |seam| 0.5 * (seam.least + seam.most) / scye.max(1.0));
    8.0 * ((ease - 0.05) / 0.03).clamp(0.0, 1.1).powi(2)
}
