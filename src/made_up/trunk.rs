//! Lays the closed pieces round the trunk. Its section at every level is an ellipse with the garment's own
//! girth, so that the sides are foreshortened as on a man; above the chest the ellipse flattens into the
//! shoulders.

use super::ellipse::{half_girth, turn_of};
use super::hand::along;
use crate::draft::{Draft, DraftPiece, Mark, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{BezPath, Point, Vec2};
use std::f64::consts::FRAC_PI_2;

/// Breadth of the shoulders as seen, in parts of their length by the tape across the back, which is longer
/// as it follows the curve of the back (judged by eye, no source).
const SHOULDERS: f64 = 0.945;
/// Breadth of the neck as seen, in parts of its length by the tape; the neck is rounder than the shoulders
/// (judged by eye, no source).
const NECK: f64 = 0.93;
/// Distance that each of two cut-away fronts swings from the middle at the hem, mm (judged by eye, no source).
const APART: f64 = 14.0;
/// Widest lap past the centre front of a single-breasted front, mm: it laps by about 20, a double-breasted
/// one by 60 and more (common practice, no source).
const SINGLE_BREASTED: f64 = 45.0;
/// Length over which the neck's slope changes into the shoulder's, mm: a thumb's breadth on either side, so
/// that no corner shows where they meet.
const SOFT: f64 = 40.0;
/// Distance between points along an edge that is laid round the trunk, mm: fine enough for the scye, the
/// tightest curve of a piece.
const STEP: f64 = 3.0;
/// Distance between the levels at which the silhouette is measured, mm: it bends less than any edge.
pub(super) const LEVELS: f64 = 6.0;

/// Returns points along a path, as close together as they are laid round the trunk.
pub(super) fn sampled(path: &BezPath) -> impl DoubleEndedIterator<Item = Point> {
    along(path, STEP).into_iter()
}

/// Returns the points of a path that are seen, each moved to its place in the view by `seen`.
pub(super) fn laid(path: &BezPath, seen: impl Fn(Point) -> Option<Point>) -> Vec<Point> {
    sampled(path).filter_map(seen).collect()
}

/// Returns the piece that is a part, on the right side where the draft has one for each side.
pub(super) fn piece(draft: &Draft, part: Part) -> Option<&DraftPiece> {
    let right = draft.part_on(part, Side::Right);
    right.or_else(|| draft.of_part(part).next())
}

/// Returns the edge of a piece that plays a role.
pub(super) fn edge(piece: &DraftPiece, role: Role) -> Option<&BezPath> {
    piece.edge(role).map(|edge| &edge.path)
}

/// Returns the marks of a kind on a piece.
pub(super) fn marks(piece: &DraftPiece, kind: MarkKind) -> impl Iterator<Item = &Mark> {
    piece.marks.iter().filter(move |mark| mark.kind == kind)
}

/// Returns the first mark of a kind on a piece.
pub(super) fn mark(piece: &DraftPiece, kind: MarkKind) -> Option<&Mark> {
    marks(piece, kind).next()
}

/// Returns the lines along which the vents of a piece hang closed: folds, or the seam lines of underlaps.
pub(super) fn vent_lines(piece: &DraftPiece) -> impl Iterator<Item = &Mark> {
    let closes = |mark: &&Mark| matches!(mark.kind, MarkKind::VentFold | MarkKind::VentSeam);
    piece.marks.iter().filter(closes)
}

/// Returns the paths that make up a seam: its edge, the edges that continue it beyond a cut, and the fold
/// of a vent that it ends in.
pub(super) fn seam(piece: &DraftPiece, role: Role) -> Option<Vec<BezPath>> {
    let sewn = edge(piece, role)?;
    let ends = [geometry::start(sewn)?, geometry::end(sewn)?];
    let goes_on = |mark: &&Mark| {
        let top = geometry::start(&mark.path).unwrap_or_default();
        ends.iter().any(|end| end.distance(top) < 1.0)
    };
    let whole = piece.whole(role);
    let mut paths: Vec<BezPath> = whole.map(|edge| edge.path.clone()).collect();
    let below = vent_lines(piece).filter(goes_on);
    paths.extend(below.map(|mark| mark.path.clone()));
    Some(paths)
}

/// Returns the part of a hem beyond the end of another, moved to the level of that end.
///
/// The seams that meet between two hems are equally long, so a step there comes from the view alone.
pub(super) fn continued(end: Point, next: &[Point]) -> Vec<Point> {
    let onward = next.iter().filter(|p| p.x > end.x + 0.5);
    let step = onward.clone().next().map_or(0.0, |first| end.y - first.y);
    onward.map(|p| *p + Vec2::new(0.0, step)).collect()
}

/// Returns where paths cross a level, or the end nearest to the level if none reaches it.
pub(super) fn x_at(paths: &[BezPath], y: f64) -> Option<f64> {
    let across = Vec2::new(1.0, 0.0);
    let crossing = paths.iter().find_map(|path| {
        geometry::line_crossings(path, Point::new(0.0, y), across)
            .first()
            .map(|c| c.point.x)
    });
    let ends = paths
        .iter()
        .flat_map(|path| [geometry::start(path), geometry::end(path)])
        .flatten();
    let nearest = ends.min_by(|a, b| (a.y - y).abs().total_cmp(&(b.y - y).abs()));
    crossing.or(nearest.map(|end| end.x))
}

/// Widths of the closed garment at one level, mm.
#[derive(Debug, Clone, Copy)]
struct Widths {
    /// From the centre front to the under-arm seam.
    front: f64,
    /// Of the side body; zero where there is none.
    side: f64,
    /// From the side seam to the centre back.
    back: f64,
}

/// The trunk of a jacket or a waistcoat.
pub(super) struct Trunk {
    /// Level of the chest line.
    pub chest: f64,
    /// Level of the waist line.
    pub waist: f64,
    /// Two points of the centre front, each as y and x.
    centre_front: [(f64, f64); 2],
    /// The seam of the forepart under the arm.
    forepart: Vec<BezPath>,
    /// The seam that continues the front beyond the forepart.
    side_front: Vec<BezPath>,
    /// The seam that continues the back beyond its side seam.
    side_back: Vec<BezPath>,
    /// Whether a side body lies between those two seams.
    has_side: bool,
    /// The side seam of the back.
    back: Vec<BezPath>,
    centre_back: Vec<BezPath>,
    /// Both legs of the forepart's dart; empty where there is none.
    dart: Vec<BezPath>,
    front_top: Top,
    back_top: Top,
    /// The level at which the fronts begin to swing apart, and that of the hem; `None` for fronts that are
    /// not cut away.
    swing: Option<(f64, f64)>,
}

/// The top of the front or the back: how lengths on the piece become distances in the view.
#[derive(Debug, Clone, Copy)]
struct Top {
    /// The level of the shoulder point.
    level: f64,
    /// Distance of the neck point from the middle, on the piece and as seen.
    neck: (f64, f64),
    /// Distance of the shoulder point from the middle, on the piece and as seen.
    shoulder: (f64, f64),
}

impl Top {
    /// Returns the distance from the middle as seen, for a length on the piece. It runs straight to the neck
    /// and on to the shoulder at another slope, with a hyperbola round the corner between the two.
    fn seen(&self, s: f64) -> f64 {
        let a = self.neck.1 / self.neck.0;
        let b = (self.shoulder.1 - self.neck.1) / (self.shoulder.0 - self.neck.0);
        let x = s.abs();
        let d = x - self.neck.0;
        let over = 0.5 * (d + (d * d + SOFT * SOFT).sqrt())
            - 0.5 * ((self.neck.0 * self.neck.0 + SOFT * SOFT).sqrt() - self.neck.0);
        (a * x + (b - a) * over).copysign(s)
    }
}

/// Returns the tops of forepart and back; the centre front is at x = `centre`.
fn tops(fore: &DraftPiece, back: &DraftPiece, centre: f64) -> Option<(Top, Top)> {
    let shoulder = edge(fore, Role::Shoulder)?;
    let (front_shoulder, front_neck) = (geometry::start(shoulder)?, geometry::end(shoulder)?);
    let shoulder = edge(back, Role::Shoulder)?;
    let (back_neck, back_shoulder) = (geometry::start(shoulder)?, geometry::end(shoulder)?);
    let middle = geometry::start(edge(back, Role::Neck)?)?.x;
    let seen_neck = NECK * (back_neck.x - middle);
    let seen_shoulder = SHOULDERS * (back_shoulder.x - middle);
    let top = |level: f64, neck: f64, shoulder: f64| Top {
        level,
        neck: (neck, seen_neck),
        shoulder: (shoulder, seen_shoulder),
    };
    Some((
        top(
            front_shoulder.y,
            centre - front_neck.x,
            centre - front_shoulder.x,
        ),
        top(
            back_shoulder.y,
            back_neck.x - middle,
            back_shoulder.x - middle,
        ),
    ))
}

/// Returns the legs of the dart of a forepart.
fn dart(fore: &DraftPiece) -> Vec<BezPath> {
    let dart = marks(fore, MarkKind::Dart);
    dart.map(|mark| mark.path.clone()).collect()
}

impl Trunk {
    /// Measures the trunk of a jacket; `None` if the draft lacks an edge or a mark of one.
    pub(super) fn new(draft: &Draft) -> Option<Self> {
        let (fore, side, back) = (
            piece(draft, Part::Forepart)?,
            piece(draft, Part::SideBody)?,
            piece(draft, Part::Back)?,
        );
        let chest_line = &mark(fore, MarkKind::ChestLine)?.path;
        let (under_arm, chest) = (geometry::start(chest_line)?, geometry::end(chest_line)?);
        let centre = geometry::start(&mark(fore, MarkKind::CentreFront)?.path)?;
        let waist = geometry::start(&mark(fore, MarkKind::WaistLine)?.path)?.y;
        let (front_top, back_top) = tops(fore, back, chest.x)?;
        let front_edge = edge(fore, Role::FrontEdge)?;
        let (breaks, foot) = (geometry::start(front_edge)?, geometry::end(front_edge)?);
        // A single-breasted front ends behind its centre front; a double-breasted one laps far past it.
        let cut_away = foot.x < centre.x && breaks.x < centre.x + SINGLE_BREASTED;
        Some(Self {
            chest: under_arm.y,
            waist,
            centre_front: [(chest.y, chest.x), (centre.y, centre.x)],
            forepart: seam(fore, Role::SideSeam)?,
            side_front: vec![edge(side, Role::FrontSeam)?.clone()],
            side_back: seam(side, Role::SideSeam)?,
            back: seam(back, Role::SideSeam)?,
            has_side: true,
            centre_back: seam(back, Role::CentreBack)?,
            dart: dart(fore),
            // The fronts hang together at the button, just below the break.
            swing: cut_away.then_some((breaks.y + 40.0, foot.y)),
            front_top,
            back_top,
        })
    }

    /// Measures the trunk of a waistcoat, whose foreparts meet the back in one seam; `None` if the draft lacks
    /// an edge or a mark of one.
    pub(super) fn of_waistcoat(draft: &Draft) -> Option<Self> {
        let (fore, back) = (piece(draft, Part::Forepart)?, piece(draft, Part::Back)?);
        let centre = &mark(fore, MarkKind::CentreFront)?.path;
        let (top, low) = (geometry::start(centre)?, geometry::end(centre)?);
        let (front_top, back_top) = tops(fore, back, top.x)?;
        let fore_seam = vec![edge(fore, Role::SideSeam)?.clone()];
        let back_seam = vec![edge(back, Role::SideSeam)?.clone()];
        Some(Self {
            chest: geometry::start(edge(fore, Role::Scye)?)?.y,
            waist: geometry::start(&mark(fore, MarkKind::WaistLine)?.path)?.y,
            centre_front: [(top.y, top.x), (low.y, low.x)],
            forepart: fore_seam.clone(),
            // Without a side body the back continues the front beyond the seam, and the forepart the back.
            side_front: back_seam.clone(),
            side_back: fore_seam,
            has_side: false,
            back: back_seam,
            centre_back: vec![edge(back, Role::CentreBack)?.clone()],
            dart: dart(fore),
            swing: None,
            front_top,
            back_top,
        })
    }

    /// Returns the x of the centre front at a level.
    fn centre_at(&self, y: f64) -> f64 {
        let [(y0, x0), (y1, x1)] = self.centre_front;
        let part = ((y - y0) / (y1 - y0).max(1.0)).clamp(0.0, 1.0);
        x0 + (x1 - x0) * part
    }

    /// Returns the width of the dart at a level and the x of its middle; `None` above and below it.
    fn dart_at(&self, y: f64) -> Option<(f64, f64)> {
        let across = Vec2::new(1.0, 0.0);
        let at = |path: &BezPath| {
            geometry::line_crossings(path, Point::new(0.0, y), across)
                .first()
                .map(|c| c.point.x)
        };
        let [a, b] = self.dart.as_slice() else {
            return None;
        };
        let (a, b) = (at(a)?, at(b)?);
        Some(((a - b).abs(), (a + b) / 2.0))
    }

    /// Returns the length from the centre front to a point of the forepart, with the dart closed.
    fn behind_front(&self, p: Point) -> f64 {
        let s = self.centre_at(p.y) - p.x;
        match self.dart_at(p.y) {
            Some((wide, middle)) if p.x < middle - wide / 2.0 => s - wide,
            Some((wide, middle)) if p.x < middle + wide / 2.0 => {
                self.centre_at(p.y) - middle - wide / 2.0
            }
            _ => s,
        }
    }

    /// Returns the widths at a level; above the chest line, those of the chest line.
    fn widths(&self, y: f64) -> Option<Widths> {
        let y = y.max(self.chest);
        let under = x_at(&self.forepart, y)?;
        Some(Widths {
            front: self.behind_front(Point::new(under, y)),
            side: if self.has_side {
                x_at(&self.side_front, y)? - x_at(&self.side_back, y)?
            } else {
                0.0
            },
            back: x_at(&self.back, y)? - x_at(&self.centre_back, y)?,
        })
    }

    /// Returns the silhouette of the trunk from the point `arm` under the arm down to the level of the hem,
    /// where it runs out to `foot` if that is further from the middle.
    pub(super) fn silhouette(&self, arm: Point, foot: Point) -> Vec<Point> {
        let mut line = vec![arm];
        // Just under the arm the sleeve or the scye covers the silhouette.
        let mut y = arm.y + 12.0;
        while y < foot.y - 3.0 {
            line.push(Point::new(self.half_seen(y), y));
            y += LEVELS;
        }
        line.push(Point::new(self.half_seen(foot.y).max(foot.x), foot.y));
        line
    }

    /// Returns half the width that is seen at a level.
    pub(super) fn half_seen(&self, y: f64) -> f64 {
        self.widths(y)
            .map_or(0.0, |w| (w.front + w.side + w.back) / half_girth())
    }

    /// Returns the distance from the middle at which a point is seen that lies the length `s` round from it;
    /// `None` for a point beyond the silhouette.
    fn round(&self, s: f64, y: f64, top: &Top) -> Option<f64> {
        let half = self.half_seen(y);
        let turn = turn_of(s.abs() / half.max(1.0));
        if turn > FRAC_PI_2 + 1e-9 {
            return None;
        }
        let low = half * turn.sin().copysign(s);
        if y >= self.chest {
            return Some(low);
        }
        let part = ((self.chest - y) / (self.chest - top.level)).clamp(0.0, 1.0);
        let part = part * part * (3.0 - 2.0 * part);
        Some(low + (top.seen(s) - low) * part)
    }

    /// Moves a point of the forepart to its place in the front view, on the right of the sheet.
    pub(super) fn front(&self, p: Point) -> Option<Point> {
        let x = self.round(self.behind_front(p), p.y, &self.front_top)?;
        // Cut-away fronts hang from their button and swing apart a little towards the hem.
        let apart = self.swing.map_or(0.0, |(from, to)| {
            let part = ((p.y - from) / (to - from)).max(0.0);
            APART * part * part * (1.0 - x.max(0.0) / self.half_seen(p.y)).max(0.0)
        });
        Some(Point::new(x + apart, p.y))
    }

    /// Moves a point of the side body to its place in the front view.
    pub(super) fn side_from_front(&self, p: Point) -> Option<Point> {
        let s = self.widths(p.y)?.front + x_at(&self.side_front, p.y)? - p.x;
        Some(Point::new(self.round(s, p.y, &self.front_top)?, p.y))
    }

    /// Moves a point of the back to its place in the back view, on the right of the sheet.
    pub(super) fn back(&self, p: Point) -> Option<Point> {
        let s = p.x - self.centre_back_at(p.y);
        Some(Point::new(self.round(s, p.y, &self.back_top)?, p.y))
    }

    /// Returns the x of the centre back seam at a level.
    fn centre_back_at(&self, y: f64) -> f64 {
        x_at(&self.centre_back, y).unwrap_or_default()
    }

    /// Moves a point of the side body to its place in the back view.
    pub(super) fn side_from_back(&self, p: Point) -> Option<Point> {
        let back = x_at(&self.back, p.y)? - self.centre_back_at(p.y);
        let s = back + p.x - x_at(&self.side_back, p.y)?;
        Some(Point::new(self.round(s, p.y, &self.back_top)?, p.y))
    }
}
