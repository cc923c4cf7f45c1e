//! Lays the closed pieces round the trunk. Its section at every level is an ellipse with the garment's own
//! girth, so that the sides are foreshortened as on a man; above the chest the ellipse flattens into the
//! shoulders.

use super::ellipse::{arc_of, facing, half_girth, turn_of};
use super::levels::Levels;
use super::lines::{downward, edge, mark, marks, piece, sampled, seam};
use super::mesh::Placed;
use super::shifts::Shifts;
use crate::draft::{Draft, DraftPiece, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::Point;
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
/// Distance between the levels at which the silhouette is measured, mm: it bends less than any edge.
const LEVELS: f64 = 6.0;
/// Distance outside the silhouette, in parts of half the width, at which a point is placed that lies a radian
/// beyond it: enough for a triangle on the edge not to turn over.
const BEYOND: f64 = 0.15;

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

/// One half of the trunk of a jacket or a waistcoat.
pub(super) struct Trunk {
    /// Level of the chest line.
    pub chest: f64,
    /// Level of the waist line.
    pub waist: f64,
    /// Two points of the centre front, each as y and x.
    centre_front: [(f64, f64); 2],
    /// The seam of the forepart under the arm.
    forepart: Levels,
    /// The seam that continues the front beyond the forepart.
    side_front: Levels,
    /// The seam that continues the back beyond its side seam.
    side_back: Levels,
    /// Whether a side body lies between those two seams.
    has_side: bool,
    /// The side seam of the back.
    back: Levels,
    centre_back: Levels,
    /// How far the back's side seam lies above the one it is sewn to.
    back_lower: Shifts,
    /// Both legs of the forepart's dart, the one nearer the side first; `None` where there is none.
    dart: Option<[Levels; 2]>,
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
    let fore_seam = edge(fore, Role::Shoulder)?;
    let (front_shoulder, front_neck) = (geometry::start(fore_seam)?, geometry::end(fore_seam)?);
    let back_seam = edge(back, Role::Shoulder)?;
    let (back_neck, back_shoulder) = (geometry::start(back_seam)?, geometry::end(back_seam)?);
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

/// Returns the legs of the dart of a forepart, the one nearer the side first.
fn dart(fore: &DraftPiece) -> Option<[Levels; 2]> {
    let mut lines = marks(fore, MarkKind::Dart).map(|mark| &mark.path);
    let (a, b) = (lines.next()?, lines.next()?);
    let mut legs = [a, b].map(|leg| Levels::of(std::slice::from_ref(leg)));
    let widest = geometry::point_at(a, geometry::length(a) / 2.0).y;
    legs.sort_by(|one, other| one.at(widest).total_cmp(&other.at(widest)));
    Some(legs)
}

impl Trunk {
    /// Measures both halves, the right one first.
    pub(super) fn of_both(half: impl Fn(Side) -> Option<Self>) -> Option<[Self; 2]> {
        Some([half(Side::Right)?, half(Side::Left)?])
    }

    /// Measures one half of the trunk of a jacket; `None` if the draft lacks an edge or a mark of one.
    pub(super) fn new(draft: &Draft, side: Side) -> Option<Self> {
        let (fore, panel, back) = (
            piece(draft, Part::Forepart, side)?,
            piece(draft, Part::SideBody, side)?,
            piece(draft, Part::Back, side)?,
        );
        let chest_line = &mark(&fore, MarkKind::ChestLine)?.path;
        let (under_arm, chest) = (geometry::start(chest_line)?, geometry::end(chest_line)?);
        let centre = geometry::start(&mark(&fore, MarkKind::CentreFront)?.path)?;
        let waist = geometry::start(&mark(&fore, MarkKind::WaistLine)?.path)?.y;
        let (front_top, back_top) = tops(&fore, &back, chest.x)?;
        let front_edge = edge(&fore, Role::FrontEdge)?;
        let (breaks, foot) = (geometry::start(front_edge)?, geometry::end(front_edge)?);
        // A single-breasted front ends behind its centre front; a double-breasted one laps far past it.
        let cut_away = foot.x < centre.x && breaks.x < centre.x + SINGLE_BREASTED;
        Some(Self {
            chest: under_arm.y,
            waist,
            centre_front: [(chest.y, chest.x), (centre.y, centre.x)],
            forepart: Levels::of(&seam(&fore, Role::SideSeam)?),
            side_front: Levels::of(&[edge(&panel, Role::FrontSeam)?.clone()]),
            side_back: Levels::of(&seam(&panel, Role::SideSeam)?),
            back: Levels::of(&seam(&back, Role::SideSeam)?),
            has_side: true,
            centre_back: Levels::of(&seam(&back, Role::CentreBack)?),
            back_lower: Shifts::between(
                &downward(&seam(&back, Role::SideSeam)?),
                &downward(&seam(&panel, Role::SideSeam)?),
            ),
            dart: dart(&fore),
            // The fronts hang together at the button, just below the break.
            swing: cut_away.then_some((breaks.y + 40.0, foot.y)),
            front_top,
            back_top,
        })
    }

    /// Measures one half of the trunk of a waistcoat, whose foreparts meet the back in one seam; `None` if the
    /// draft lacks an edge or a mark of one.
    pub(super) fn of_waistcoat(draft: &Draft, side: Side) -> Option<Self> {
        let fore = piece(draft, Part::Forepart, side)?;
        let back = piece(draft, Part::Back, side)?;
        let centre = &mark(&fore, MarkKind::CentreFront)?.path;
        let (top, low) = (geometry::start(centre)?, geometry::end(centre)?);
        let (front_top, back_top) = tops(&fore, &back, top.x)?;
        let of = |piece: &DraftPiece, role| Some(Levels::of(&[edge(piece, role)?.clone()]));
        let fore_seam = of(&fore, Role::SideSeam)?;
        let back_seam = of(&back, Role::SideSeam)?;
        Some(Self {
            chest: geometry::start(edge(&fore, Role::Scye)?)?.y,
            waist: geometry::start(&mark(&fore, MarkKind::WaistLine)?.path)?.y,
            centre_front: [(top.y, top.x), (low.y, low.x)],
            forepart: fore_seam.clone(),
            // Without a side body the back continues the front beyond the seam, and the forepart the back.
            side_front: back_seam.clone(),
            side_back: fore_seam,
            has_side: false,
            back: back_seam,
            centre_back: of(&back, Role::CentreBack)?,
            back_lower: Shifts::between(
                &downward(&seam(&back, Role::SideSeam)?),
                &downward(&seam(&fore, Role::SideSeam)?),
            ),
            dart: dart(&fore),
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

    /// Returns the x of both legs of the dart at a level, the one nearer the side first; `None` above and below
    /// the dart.
    fn dart_at(&self, y: f64) -> Option<(f64, f64)> {
        let [a, b] = self.dart.as_ref().filter(|legs| legs[0].reaches(y))?;
        let (a, b) = (a.at(y), b.at(y));
        (a < b).then_some((a, b))
    }

    /// Returns the strips of the forepart that are sewn away at a level.
    pub(super) fn darts(&self, y: f64) -> Vec<(f64, f64)> {
        let legs = self.dart.iter();
        legs.map(|[a, b]| (a.at(y), b.at(y).max(a.at(y)))).collect()
    }

    /// Returns the outline of the back up to its seams: what is cut on beyond them at a vent is folded under.
    pub(super) fn back_to_seams(&self, back: &DraftPiece) -> Vec<Point> {
        let points = back.edges.iter().flat_map(|edge| sampled(&edge.path));
        let to_seams = points.map(|p| {
            // Above the side seam the back ends at the scye.
            let side = if p.y > self.back.top() + 1.0 {
                self.back.at(p.y)
            } else {
                f64::MAX
            };
            Point::new(p.x.min(side).max(self.centre_back.at(p.y)), p.y)
        });
        to_seams.collect()
    }

    /// Returns the length from the centre front to a point of the forepart, with the dart closed.
    fn behind_front(&self, p: Point) -> f64 {
        let s = self.centre_at(p.y) - p.x;
        match self.dart_at(p.y) {
            Some((a, b)) => s - (b - p.x).clamp(0.0, b - a),
            None => s,
        }
    }

    /// Returns the widths at a level; above the chest line, those of the chest line.
    fn widths(&self, y: f64) -> Widths {
        let y = y.max(self.chest);
        Widths {
            front: self.behind_front(Point::new(self.forepart.at(y), y)),
            side: if self.has_side {
                self.side_front.at(y) - self.side_back.at(y)
            } else {
                0.0
            },
            back: self.back.at(y) - self.centre_back.at(y),
        }
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
        let wide = self.widths(y);
        (wide.front + wide.side + wide.back) / half_girth()
    }

    /// Returns where a point is seen that lies the length `s` round from the middle.
    fn round(&self, s: f64, y: f64, top: &Top) -> Placed {
        let half = self.half_seen(y).max(1.0);
        let quarter = half * arc_of(FRAC_PI_2);
        let beyond = (s.abs() - quarter).max(0.0) / half;
        let turn = turn_of(s.abs() / half).min(FRAC_PI_2);
        let low = half * (turn.sin() + BEYOND * beyond).copysign(s);
        let mut x = low;
        if y < self.chest {
            let part = ((self.chest - y) / (self.chest - top.level)).clamp(0.0, 1.0);
            let part = part * part * (3.0 - 2.0 * part);
            x += (top.seen(s) - low) * part;
        }
        Placed {
            at: Point::new(x, y),
            light: facing(turn),
            seen: beyond <= 1e-9,
        }
    }

    /// Places a point of the forepart in the front view, on the right of the sheet.
    pub(super) fn front(&self, p: Point) -> Placed {
        let mut placed = self.round(self.behind_front(p), p.y, &self.front_top);
        // Cut-away fronts hang from their button and swing apart a little towards the hem.
        let apart = self.swing.map_or(0.0, |(from, to)| {
            let part = ((p.y - from) / (to - from)).max(0.0);
            let near = 1.0 - placed.at.x.max(0.0) / self.half_seen(p.y);
            APART * part * part * near.max(0.0)
        });
        placed.at.x += apart;
        placed
    }

    /// Places a point of the side body in the front view; on a waistcoat, a point of the back.
    pub(super) fn side_from_front(&self, p: Point) -> Placed {
        let s = self.widths(p.y).front + self.side_front.at(p.y) - p.x;
        self.round(s, p.y, &self.front_top)
    }

    /// Places a point of the back in the back view, on the right of the sheet.
    ///
    /// Towards the side it is lowered as far as makes its seam meet the one it is sewn to.
    pub(super) fn back(&self, p: Point) -> Placed {
        let s = p.x - self.centre_back.at(p.y);
        let wide = self.back.at(p.y) - self.centre_back.at(p.y);
        let part = (s / wide.max(1.0)).clamp(0.0, 1.0);
        let mut placed = self.round(s, p.y, &self.back_top);
        if p.y > self.back.top() {
            placed.at.y += self.back_lower.at(p.y) * part * part;
        }
        placed
    }

    /// Places a point of the side body in the back view; on a waistcoat, a point of the forepart.
    pub(super) fn side_from_back(&self, p: Point) -> Placed {
        let back = self.back.at(p.y) - self.centre_back.at(p.y);
        let s = back + p.x - self.side_back.at(p.y);
        self.round(s, p.y, &self.back_top)
    }

    /// Places a point of the back on a coat that is opened out flat.
    pub(super) fn opened_back(&self, p: Point) -> Placed {
        flat(p.x - self.centre_back.at(p.y), p.y)
    }

    /// Places a point of the side body on a coat that is opened out flat. The panels meet at the level of the chest;
    /// the seams that are hollowed to the waist stand open there.
    pub(super) fn opened_side(&self, p: Point) -> Placed {
        let back = self.back.at(self.chest) - self.centre_back.at(self.chest);
        flat(back + p.x - self.side_back.at(self.chest), p.y)
    }

    /// Places a point of the forepart on a coat that is opened out flat.
    pub(super) fn opened_front(&self, p: Point) -> Placed {
        let wide = self.widths(self.chest);
        flat(
            wide.back + wide.side + p.x - self.forepart.at(self.chest),
            p.y,
        )
    }
}

/// Places a point on a coat that lies flat.
fn flat(x: f64, y: f64) -> Placed {
    Placed {
        at: Point::new(x, y),
        light: 1.0,
        seen: true,
    }
}
