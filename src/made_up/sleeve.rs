//! Draws a sleeve as it hangs: slightly bent, slightly away from the body, and as wide as its pieces make it.

use super::hand::{Hand, smooth};
use super::shown::{Shade, Stroke};
use super::trunk::{edge, piece, vent_lines};
use crate::draft::{Draft, DraftPiece, MarkKind, Part, Role, Seam, Stretch};
use crate::geometry;
use kurbo::{BezPath, Point, Rect, Shape, Vec2};

/// Width of a sleeve as it is seen, in parts of its flat width. A round tube shows 2/π of it (0.64); a
/// sleeve shows less, as an arm is narrower from the front than from the side (judged by eye, no source).
const SEEN: f64 = 0.615;
/// Degrees by which the upper arm hangs out from plumb: an arm that hangs at rest clears the hip (judged by
/// eye, no source).
const UPPER: f64 = 9.0;
/// Degrees by which the forearm hangs out: it is nearly plumb (judged by eye, no source).
const LOWER: f64 = 2.0;
/// Degrees added half-way down the forearm, which gives it its slight bend.
const BEND: f64 = 0.8;
/// Most degrees by which the upper arm of a stout man hangs out; beyond that his sleeve lies over his coat.
const MOST: f64 = 17.0;
/// Width by which a sleeve may lie over the coat at its waist, mm: it rests against the body.
const OVERLAP: f64 = 8.0;
/// How far the widest place of the sleeve head lies outside the shoulder point, in parts of the flat width
/// (judged by eye, no source).
const OUT: f64 = 0.216;
/// Level of that place, in parts of the depth of the crown.
const OUT_LEVEL: f64 = 0.72;
/// A cuff's button is a 24-line one, 15 mm (common practice, no source).
const BUTTON: f64 = 15.0;

/// The lines of a sleeve on the right of the sheet, mm.
pub(super) struct Sleeve {
    /// The line from the shoulder over the head and down the outside to the hem.
    outer: Vec<Point>,
    /// The line from the scye down the inside to the hem.
    inner: Vec<Point>,
    /// The hem, from the inside to the outside.
    hem: Vec<Point>,
    /// Height of each of the cuff's buttons above the hem, mm, and whether it is worn undone.
    buttons: Vec<(f64, bool)>,
    /// Whether the cuff opens and so has worked buttonholes.
    opens: bool,
}

/// The places of the body that a sleeve hangs from and beside.
pub(super) struct Hang {
    /// The shoulder point as it is seen.
    pub shoulder: Point,
    /// The point at which the inside of the sleeve comes out from under the body.
    pub inside: Point,
    /// Half the width of the coat at its waist: a stout man's arms hang clear of it.
    pub waist: f64,
}

/// The two pieces of a sleeve laid flat; levels in mm down from the top of the crown.
struct Flat {
    /// Level of the bottom of the scye, where the sleeve becomes a tube.
    depth: f64,
    elbow: f64,
    hem: f64,
    /// y of the top of the crown on the pieces.
    top: f64,
    /// Forearm and hindarm of the top sleeve and of the under sleeve.
    seams: [Vec<BezPath>; 2],
}

impl Flat {
    fn new(top: &DraftPiece, under: &DraftPiece) -> Option<Self> {
        let crown = edge(top, Role::Crown)?.bounding_box();
        let hem = edge(top, Role::Hem)?.bounding_box();
        let seams = |piece: &DraftPiece| -> Vec<BezPath> {
            let edges = piece.edges(Role::Forearm).chain(piece.edges(Role::Hindarm));
            edges.map(|edge| edge.path.clone()).collect()
        };
        Some(Self {
            depth: edge(under, Role::Crown)?.bounding_box().y1 - crown.y0,
            elbow: top.notched(Role::Elbow).next()?.y - crown.y0,
            hem: hem.center().y - crown.y0,
            top: crown.y0,
            seams: [seams(top), seams(under)],
        })
    }

    /// Returns the flat width of the sleeve at a level: half of what both pieces measure.
    fn width(&self, level: f64) -> f64 {
        let y = self.top + level;
        let [top, under] = &self.seams;
        (width_at(top, y) + width_at(under, y)) / 2.0
    }

    /// Returns the width of the sleeve at a level as it is seen.
    fn seen(&self, level: f64) -> f64 {
        SEEN * self.width(level)
    }
}

/// The outside of a hanging sleeve, with the points of it that the inside lies opposite to.
struct Outside {
    line: Vec<Point>,
    elbow: Point,
    /// The point half-way between elbow and hem.
    forearm: Point,
    hem: Point,
}

impl Outside {
    /// Draws the outside from the shoulder over the head, which stands `lift` mm above it, and down.
    fn new(flat: &Flat, hang: &Hang, lift: f64) -> Self {
        let wide = flat.width(flat.depth + 20.0);
        let start = hang.shoulder;
        let out_level = OUT_LEVEL * flat.depth;
        let out = Point::new(start.x + OUT * wide, start.y + out_level);
        // The upper arm hangs out as far as it must for the elbow to clear the waist.
        let clear = hang.waist - OVERLAP + flat.seen(flat.elbow) - out.x;
        let upper = clear.atan2(flat.elbow - out_level).to_degrees();
        let upper = upper.clamp(UPPER, MOST);
        // An arm that hangs out further does so from the shoulder down.
        let more = 0.3 * flat.depth * (upper.to_radians().tan() - UPPER.to_radians().tan());
        let out = out + Vec2::new(more, 0.0);
        let middle = |from: f64, to: f64| 0.5 * (to + from);
        let elbow = hung(out, flat.elbow - out_level, upper);
        let to_forearm = middle(flat.elbow, flat.hem) - flat.elbow;
        let forearm = hung(elbow, to_forearm, LOWER + BEND);
        let hem = hung(elbow, flat.hem - flat.elbow, LOWER);
        let upper_arm = hung(out, middle(flat.elbow, out_level) - out_level, upper);
        let mut line = smooth(&[
            start,
            start + Vec2::new(0.05 * wide, 0.018 * wide - lift),
            start + Vec2::new(0.112 * wide, 0.095 * wide - 0.35 * lift),
            start + Vec2::new(0.167 * wide + 0.4 * more, 0.38 * flat.depth),
            out,
            upper_arm + Vec2::new(1.0, 0.0),
            elbow,
            forearm,
            hem,
        ]);
        line.dedup_by(|a, b| a.distance(*b) < 0.01);
        Self {
            line,
            elbow,
            forearm,
            hem,
        }
    }
}

/// Returns the end of an arm of a given length that hangs from a point, some degrees out from plumb.
fn hung(from: Point, length: f64, degrees: f64) -> Point {
    let drop = length * degrees.to_radians().cos();
    Point::new(from.x + drop * degrees.to_radians().tan(), from.y + drop)
}

impl Sleeve {
    /// Hangs the sleeve of a draft from a shoulder; `None` if the draft lacks a part of a sleeve.
    pub(super) fn new(draft: &Draft, hang: &Hang) -> Option<Self> {
        let top = piece(draft, Part::TopSleeve)?;
        let under = piece(draft, Part::UnderSleeve)?;
        let flat = Flat::new(top, under)?;
        let outside = Outside::new(&flat, hang, head_lift(draft));
        // The inside lies opposite to the outside, as far away as the sleeve is wide there.
        let inside = |outer: Point, level: f64| Point::new(outer.x - flat.seen(level), outer.y);
        let elbow = inside(outside.elbow, flat.elbow);
        let forearm = inside(outside.forearm, 0.5 * (flat.hem + flat.elbow));
        let cuff = SEEN * width_of_hem(top, under);
        let end = Point::new(outside.hem.x - cuff, outside.hem.y + 5.0);
        let inner = smooth(&[
            hang.inside,
            hang.inside.lerp(elbow, 0.5) - Vec2::new(0.5, 0.0),
            elbow + Vec2::new(0.5, 0.0),
            forearm,
            end,
        ]);
        let sag = end.midpoint(outside.hem) + Vec2::new(0.0, 3.0);
        let hem = smooth(&[end, sag, outside.hem]);
        let (buttons, opens) = cuff_of(draft, hem_end(top));
        Some(Self {
            outer: outside.line,
            inner,
            hem,
            buttons,
            opens,
        })
    }

    /// Draws the sleeve; `scye` runs from the shoulder to the point where the inside begins.
    pub(super) fn draw(&self, hand: &mut Hand, scye: &[Point]) {
        let mut shape: Vec<Point> = scye.to_vec();
        shape.extend(&self.inner);
        shape.extend(&self.hem);
        shape.extend(self.outer.iter().rev());
        hand.shape(&shape, Shade::Face);
        hand.line(&self.outer, Stroke::Outline);
        hand.line(&self.inner, Stroke::Edge);
        hand.line(&self.hem, Stroke::Outline);
        hand.line(scye, Stroke::Edge);
    }

    /// Returns the point `up` mm above the hem and the share `part` of the way from the inside to the outside.
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

    /// Draws the cuff's buttons the share `part` of the way to the outside; `seen` is the share of a button's
    /// width that shows.
    pub(super) fn draw_buttons(&self, hand: &mut Hand, part: f64, seen: f64) {
        for (up, undone) in &self.buttons {
            let at = self.at(*up, part);
            hand.button(at, BUTTON, seen);
            if self.opens && seen > 0.8 {
                // A button that is done up covers all but the end of its hole.
                let reach = if *undone { 26.0 } else { 11.0 };
                let hole = [at - Vec2::new(reach, 0.0), at - Vec2::new(8.0, 0.0)];
                hand.line(&hole, Stroke::Hole);
            }
        }
    }
}

/// Returns the distance between the outermost points at which paths cross a level, or the width of the
/// paths if none does.
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

/// Returns the flat width of the finished hem, without the vent that is cut on at the cuff.
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

/// Returns the end of the hem at the hindarm, from which the heights of buttons are measured.
fn hem_end(top: &DraftPiece) -> Option<Point> {
    edge(top, Role::Hem).and_then(geometry::end)
}

/// Returns the height of each of the cuff's buttons above the hem, with whether it is worn undone, and
/// whether the cuff opens.
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

/// Returns how far the sleeve head stands above the shoulder, mm: 0 at 5 % of ease in the crown, 8 at 8 %,
/// and less than 10 however much more ease there is (judged by eye, no source).
fn head_lift(draft: &Draft) -> f64 {
    let plays = |run: &[Stretch], role: Role| {
        let edge = |s: &Stretch| draft[s.piece].plays(s.edge, role);
        run.iter().all(edge)
    };
    let into_scye = |seam: &&Seam| plays(&seam.a, Role::Crown) && plays(&seam.b, Role::Scye);
    // The seam with the most stretches is that of the whole crown, not of a part of it between notches.
    let seams = draft.seams.iter().filter(into_scye);
    let seam = seams.max_by_key(|seam| seam.a.len() + seam.b.len());
    let scye: f64 = [Part::Back, Part::SideBody, Part::Forepart]
        .iter()
        .filter_map(|part| Some(geometry::length(edge(piece(draft, *part)?, Role::Scye)?)))
        .sum();
    let ease = seam.map_or(0.06, |seam| 0.5 * (seam.least + seam.most) / scye.max(1.0));
    8.0 * ((ease - 0.05) / 0.03).clamp(0.0, 1.1).powi(2)
}
