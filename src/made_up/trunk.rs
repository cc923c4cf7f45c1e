//! The trunk that the closed pieces go round. At every level they are laid round an ellipse of the
//! garment's own girth there, so that what lies at the side is foreshortened as on a man; towards
//! the shoulders the ellipse flattens into them.

use crate::draft::{Draft, DraftPiece, Mark, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{BezPath, Point, Vec2};
use std::f64::consts::PI;
use std::sync::LazyLock;

/// Depth of the trunk over its width: a man's chest is about seven tenths as deep as it is wide
/// (common practice, no source).
const DEPTH: f64 = 0.72;
/// Straight breadth of the shoulders over the tape's length across the back.
const SHOULDERS: f64 = 0.945;
/// How far each of two cut-away fronts swings from the middle at the hem, mm.
const APART: f64 = 14.0;
/// Straight breadth of the neck over the same.
const NECK: f64 = 0.93;

/// The piece that is a part: the right one, or the only one, on whichever side it is.
pub(super) fn piece(draft: &Draft, part: Part) -> Option<&DraftPiece> {
    let right = draft.part_on(part, Side::Right);
    right.or_else(|| draft.of_part(part).next())
}

/// The edge of a piece that plays a role.
pub(super) fn edge(piece: &DraftPiece, role: Role) -> Option<&BezPath> {
    piece.edge(role).map(|edge| &edge.path)
}

/// The marks of a kind on a piece.
pub(super) fn marks(piece: &DraftPiece, kind: MarkKind) -> impl Iterator<Item = &Mark> {
    piece.marks.iter().filter(move |mark| mark.kind == kind)
}

/// The first mark of a kind on a piece.
pub(super) fn mark(piece: &DraftPiece, kind: MarkKind) -> Option<&Mark> {
    marks(piece, kind).next()
}

/// The lines along which the vents of a piece hang closed: folds, or the seam lines of underlaps.
pub(super) fn vent_lines(piece: &DraftPiece) -> impl Iterator<Item = &Mark> {
    let closes = |mark: &&Mark| matches!(mark.kind, MarkKind::VentFold | MarkKind::VentSeam);
    piece.marks.iter().filter(closes)
}

/// A seam that goes on below a cut in it, or as the fold of a vent.
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

/// Where paths cross a level, the nearest of their ends if they do not reach it.
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

/// Widths of the closed garment at one level, mm: from the centre front to the under-arm seam, of
/// the side body, from the side seam to the centre back.
#[derive(Debug, Clone, Copy)]
pub(super) struct Widths {
    pub front: f64,
    pub side: f64,
    pub back: f64,
}

/// The trunk of a jacket or a waistcoat.
pub(super) struct Trunk {
    /// Level of the chest line.
    pub chest: f64,
    /// Level of the waist line.
    pub waist: f64,
    centre_front: [(f64, f64); 2],
    forepart: Vec<BezPath>,
    side_front: Vec<BezPath>,
    side_back: Vec<BezPath>,
    /// Whether a side body lies between the two.
    has_side: bool,
    back: Vec<BezPath>,
    centre_back: Vec<BezPath>,
    dart: Vec<BezPath>,
    front_top: Top,
    back_top: Top,
    /// Where the fronts begin to swing apart, and where the hem is; none for a front that is not cut
    /// away.
    swing: Option<(f64, f64)>,
}

/// How the top of one half lies: neck and shoulder, as the piece measures them and as they are seen.
#[derive(Debug, Clone, Copy)]
struct Top {
    level: f64,
    neck: (f64, f64),
    shoulder: (f64, f64),
}

impl Top {
    /// Seen distance from the middle; its slope changes gently at the neck.
    fn seen(&self, s: f64) -> f64 {
        let a = self.neck.1 / self.neck.0;
        let b = (self.shoulder.1 - self.neck.1) / (self.shoulder.0 - self.neck.0);
        let x = s.abs();
        // Two straight lines that meet at the neck, rounded over 40 mm.
        let soft = 40.0;
        let d = x - self.neck.0;
        let over = 0.5 * (d + (d * d + soft * soft).sqrt())
            - 0.5 * ((self.neck.0 * self.neck.0 + soft * soft).sqrt() - self.neck.0);
        (a * x + (b - a) * over).copysign(s)
    }
}

/// How the tops of forepart and back lie; the centre front is at `centre`.
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

/// Both legs of the dart of a forepart.
fn dart(fore: &DraftPiece) -> Vec<BezPath> {
    let dart = marks(fore, MarkKind::Dart);
    dart.map(|mark| mark.path.clone()).collect()
}

impl Trunk {
    /// The trunk of a draft; `None` if it is not drafted as a jacket is.
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
        let cut_away = foot.x < centre.x && breaks.x < centre.x + 45.0;
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
            swing: cut_away.then_some((breaks.y + 40.0, foot.y)),
            front_top,
            back_top,
        })
    }

    /// The trunk of a waistcoat, whose foreparts meet the back in one seam.
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
            // Seen from the front the back goes on behind its seam, and from the back the forepart.
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

    /// Where the centre front runs at a level.
    fn centre_at(&self, y: f64) -> f64 {
        let [(y0, x0), (y1, x1)] = self.centre_front;
        let part = ((y - y0) / (y1 - y0).max(1.0)).clamp(0.0, 1.0);
        x0 + (x1 - x0) * part
    }

    /// What the dart takes at a level, and where its middle is.
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

    /// Length from the centre front back to a point of the forepart.
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

    /// Widths at a level, those of the chest line above it.
    pub(super) fn widths(&self, y: f64) -> Option<Widths> {
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

    /// Half the width that is seen at a level.
    pub(super) fn half_seen(&self, y: f64) -> f64 {
        self.widths(y)
            .map_or(0.0, |w| (w.front + w.side + w.back) / half_girth())
    }

    /// What is seen of a length laid round from the middle, from the front or the back; `None` for
    /// what is on the far side.
    fn round(&self, s: f64, y: f64, top: &Top) -> Option<f64> {
        let half = self.half_seen(y);
        let turn = turn_of(s.abs() / half.max(1.0));
        if turn > PI / 2.0 + 1e-9 {
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

    /// A point of the forepart as it is seen from the front, on the wearer's left.
    pub(super) fn front(&self, p: Point) -> Option<Point> {
        let x = self.round(self.behind_front(p), p.y, &self.front_top)?;
        // Fronts that are cut away hang from their button and part a little towards the hem.
        let apart = self.swing.map_or(0.0, |(from, to)| {
            let part = ((p.y - from) / (to - from)).max(0.0);
            APART * part * part * (1.0 - x.max(0.0) / self.half_seen(p.y)).max(0.0)
        });
        Some(Point::new(x + apart, p.y))
    }

    /// A point of the side body as it is seen from the front.
    pub(super) fn side_from_front(&self, p: Point) -> Option<Point> {
        let s = self.widths(p.y)?.front + x_at(&self.side_front, p.y)? - p.x;
        Some(Point::new(self.round(s, p.y, &self.front_top)?, p.y))
    }

    /// A point of the back as it is seen from behind, on the right of the sheet.
    pub(super) fn back(&self, p: Point) -> Option<Point> {
        let s = p.x - self.centre_back_at(p.y);
        Some(Point::new(self.round(s, p.y, &self.back_top)?, p.y))
    }

    fn centre_back_at(&self, y: f64) -> f64 {
        x_at(&self.centre_back, y).unwrap_or_default()
    }

    /// A point of the side body as it is seen from behind.
    pub(super) fn side_from_back(&self, p: Point) -> Option<Point> {
        let back = x_at(&self.back, p.y)? - self.centre_back_at(p.y);
        let s = back + p.x - x_at(&self.side_back, p.y)?;
        Some(Point::new(self.round(s, p.y, &self.back_top)?, p.y))
    }
}

/// Lengths of arcs of the ellipse of half width 1, from its front to every 256th part of the half.
static ARCS: LazyLock<[f64; 257]> = LazyLock::new(|| {
    let step = PI / 256.0;
    let speed = |t: f64| (t.cos().powi(2) + (DEPTH * t.sin()).powi(2)).sqrt();
    let mut arcs = [0.0; 257];
    for i in 1..arcs.len() {
        // Each part by its middle: over the whole half that is right to 0.01 %.
        arcs[i] = arcs[i - 1] + step * speed((i as f64 - 0.5) * step);
    }
    arcs
});

/// Half the girth of the ellipse of half width 1.
pub(super) fn half_girth() -> f64 {
    ARCS[256]
}

/// The turn at which the arc of the ellipse of half width 1 has a length.
pub(super) fn turn_of(length: f64) -> f64 {
    let after = ARCS.partition_point(|arc| *arc < length).clamp(1, 256);
    let (before, next) = (ARCS[after - 1], ARCS[after]);
    let part = ((length - before) / (next - before)).clamp(0.0, 1.0);
    (after as f64 - 1.0 + part) * PI / 256.0
}

/// The length of that arc to a turn.
pub(super) fn arc_of(turn: f64) -> f64 {
    let place = (turn * 256.0 / PI).clamp(0.0, 256.0);
    let before = (place as usize).min(255);
    ARCS[before] + (ARCS[before + 1] - ARCS[before]) * (place - before as f64)
}
