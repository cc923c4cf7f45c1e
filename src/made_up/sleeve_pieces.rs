//! Measures the two pieces of a sleeve for the view: where its folds and its seams lie at every level, and how
//! its crown is set into the scye.

use super::levels::Levels;
use super::lines::{Found, edge, piece, vent_lines};
use super::ruled::along;
use crate::draft::{Draft, DraftPiece, Part, Role, Stretch};
use crate::geometry;
use crate::order::Side;
use kurbo::{BezPath, Point, Shape};
use std::f64::consts::PI;

/// Angle by which the fold along the forearm is turned towards the body, radians, at the crown and at the hem: the
/// palm of a hand that hangs at rest looks at the thigh and a little back (judged by eye, no source).
const TURNED: (f64, f64) = (0.42, 0.62);

/// The two pieces of a sleeve laid flat; levels in mm down from the top of the crown.
pub(super) struct Flat<'a> {
    pub top: Found<'a>,
    pub under: Found<'a>,
    front: bool,
    /// Level of the bottom of the scye, where the sleeve becomes a tube.
    pub depth: f64,
    pub elbow: f64,
    pub hem: f64,
    /// Width of the finished hem, mm.
    pub cuff: f64,
    /// y of the top of the crown on the pieces.
    crown: f64,
    /// The forearm of the top sleeve and of the under sleeve.
    forearm: [Levels; 2],
    hindarm: [Levels; 2],
    /// The crown from the shoulder to the seam that is seen, and on along the under sleeve.
    run: [Vec<Point>; 2],
    /// Lengths of the first of the two: of its part above the pitch, and of that part of the scye.
    above: (f64, f64),
    /// Level at which the seam that is seen begins, and its place along the scye from the shoulder.
    pub seam_top: f64,
    pub seam_far: f64,
}

impl<'a> Flat<'a> {
    /// Measures the sleeve of a side for the view from the front or from behind; `None` if the draft lacks a part
    /// of it.
    pub(super) fn new(draft: &'a Draft, side: Side, front: bool) -> Option<Self> {
        let top = piece(draft, Part::TopSleeve, side)?;
        let under = piece(draft, Part::UnderSleeve, side)?;
        let crown = edge(top.piece, Role::Crown)?;
        let bounds = crown.bounding_box();
        let lines = |role, folds: bool| {
            [top, under].map(|found| {
                let mut paths: Vec<BezPath> =
                    found.edges(role).map(|edge| edge.path.clone()).collect();
                if folds {
                    // Below the vent of a cuff the hindarm goes on as the fold and the seam of the underlap.
                    paths.extend(vent_lines(found.piece).map(|mark| mark.path.clone()));
                }
                Levels::of(&paths)
            })
        };
        let head = Head::new(draft, top, front)?;
        let far_under = edge(under.piece, Role::Crown)?;
        // Both crowns run from the hindarm to the forearm.
        let (run, onward) = match front {
            true => (
                points(crown, (head.shoulder, geometry::length(crown))),
                points(far_under, (geometry::length(far_under), 0.0)),
            ),
            false => (
                points(crown, (head.shoulder, 0.0)),
                points(far_under, (0.0, geometry::length(far_under))),
            ),
        };
        let long: f64 = run.windows(2).map(|p| p[0].distance(p[1])).sum();
        let seam_top = run.last()?.y - bounds.y0;
        // Below the pitch there is no ease.
        let seam_far = head.scye + (long - head.crown).max(0.0);
        Some(Self {
            front,
            depth: far_under.bounding_box().y1 - bounds.y0,
            elbow: top.notched(Role::Elbow).next()?.y - bounds.y0,
            hem: edge(top.piece, Role::Hem)?.bounding_box().center().y - bounds.y0,
            cuff: width_of_hem(top.piece, under.piece),
            crown: bounds.y0,
            forearm: lines(Role::Forearm, false),
            hindarm: lines(Role::Hindarm, true),
            run: [run, onward],
            above: (head.crown, head.scye),
            seam_top,
            seam_far,
            top,
            under,
        })
    }

    /// Returns the level of a y of the pieces.
    pub(super) fn level(&self, y: f64) -> f64 {
        y - self.crown
    }

    /// Returns the x of the folds along the forearm and the hindarm, half-way between the edges of the pieces.
    fn folds(&self, y: f64) -> (f64, f64) {
        let middle = |of: &[Levels; 2]| (of[0].at(y) + of[1].at(y)) / 2.0;
        (middle(&self.forearm), middle(&self.hindarm))
    }

    /// Returns the flat width of the sleeve at a level: half of what both pieces measure.
    pub(super) fn width(&self, level: f64) -> f64 {
        let (fore, hind) = self.folds(self.crown + level);
        fore - hind
    }

    /// Returns how far the sleeve is turned at a level, radians.
    fn turned(&self, level: f64) -> f64 {
        TURNED.0 + (TURNED.1 - TURNED.0) * (level / self.hem).clamp(0.0, 1.0)
    }

    /// Returns the angle of a point of the top sleeve from the direction of the viewer, radians, counted towards
    /// the outside.
    pub(super) fn turn(&self, p: Point) -> f64 {
        let (fore, hind) = self.folds(p.y);
        let turn = PI * (fore - p.x) / (fore - hind).max(1.0) - self.turned(self.level(p.y));
        if self.front { turn } else { PI - turn }
    }

    /// Returns the angle of the seam that is seen at a level.
    pub(super) fn seam_turn(&self, level: f64) -> f64 {
        let [on, _] = self.on_seam(level);
        self.turn(on)
    }

    /// Returns the point of the seam that is seen at a level, on the top sleeve and on the under sleeve.
    pub(super) fn on_seam(&self, level: f64) -> [Point; 2] {
        let y = self.crown + level;
        let seam = if self.front {
            &self.forearm
        } else {
            &self.hindarm
        };
        [0, 1].map(|piece| Point::new(seam[piece].at(y), y))
    }

    /// Returns the point of the top sleeve at a level that is seen at its outside.
    pub(super) fn outside(&self, level: f64) -> Point {
        self.across(level, 0.5 + self.turned(level) / PI)
    }

    /// Returns the point of the under sleeve at a level that is seen at its inside.
    pub(super) fn inside(&self, level: f64) -> Point {
        self.across(level, 0.5 - self.turned(level) / PI)
    }

    fn across(&self, level: f64, part: f64) -> Point {
        let y = self.crown + level;
        let (fore, hind) = self.folds(y);
        Point::new(fore - part * (fore - hind), y)
    }

    /// Returns the point of the crown that is sewn to the scye so far from the shoulder: on the top sleeve up to
    /// the seam that is seen, and beyond it on the under sleeve.
    pub(super) fn on_crown(&self, far: f64) -> Point {
        let (crown, scye) = self.above;
        let eased = if far < scye {
            far * crown / scye.max(1.0)
        } else {
            crown + far - scye
        };
        let [run, onward] = &self.run;
        if far < self.seam_far {
            along(run, eased)
        } else {
            along(onward, far - self.seam_far)
        }
    }
}

/// How the crown is set in above the pitch on the side that is seen.
struct Head {
    /// Place of the shoulder along the crown.
    shoulder: f64,
    /// Length of the crown from there to the pitch, and of the scye.
    crown: f64,
    scye: f64,
}

impl Head {
    /// Finds the pitches by the seam of the crown above them, which is the one that is sewn to two pieces. A draft
    /// that has none is set in from the top of its crown with its ease spread evenly.
    fn new(draft: &Draft, top: Found, front: bool) -> Option<Self> {
        let crown = edge(top.piece, Role::Crown)?;
        let plays = |s: &Stretch, role| draft[s.piece].plays(s.edge, role);
        let above = draft.seams.iter().find(|seam| {
            let own = seam
                .a
                .iter()
                .all(|s| s.piece == top.id && plays(s, Role::Crown));
            own && seam.a.len() == 1 && seam.b.iter().all(|s| plays(s, Role::Scye))
        });
        let Some(seam) = above else {
            let apex = sampled_top(crown);
            let rest = if front {
                geometry::length(crown) - apex
            } else {
                apex
            };
            return Some(Self {
                shoulder: apex,
                crown: rest,
                scye: rest / EASED,
            });
        };
        let long = |s: &Stretch| {
            let whole = geometry::length(&draft[s.piece][s.edge].path);
            (s.from.unwrap_or(0.0) - s.to.unwrap_or(whole)).abs()
        };
        let of = |part| {
            let own = seam.b.iter().filter(move |s| draft[s.piece].is_part(part));
            own.map(long).sum::<f64>()
        };
        let (fore, back) = (
            of(Part::Forepart),
            seam.b.iter().map(long).sum::<f64>() - of(Part::Forepart),
        );
        let run = seam.a.first()?;
        let whole = geometry::length(crown);
        let (from, to) = (run.from.unwrap_or(0.0), run.to.unwrap_or(whole));
        let (hind, pitch) = (from.min(to), from.max(to));
        let shoulder = hind + (pitch - hind) * back / (back + fore).max(1.0);
        Some(match front {
            true => Self {
                shoulder,
                crown: pitch - shoulder,
                scye: fore,
            },
            false => Self {
                shoulder,
                crown: shoulder - hind,
                scye: back,
            },
        })
    }
}

/// Ease of a crown whose seam is not declared: 6 % (common practice, no source).
const EASED: f64 = 1.06;

/// Returns the place along a crown of its highest point.
fn sampled_top(crown: &BezPath) -> f64 {
    let whole = geometry::length(crown);
    let places = (0..=100).map(|i| whole * f64::from(i) / 100.0);
    let level = |far: &f64| geometry::point_at(crown, *far).y;
    let top = places.min_by(|a, b| level(a).total_cmp(&level(b)));
    top.unwrap_or_default()
}

/// Returns the points of a path between two places along it, in the order of those.
fn points(path: &BezPath, (from, to): (f64, f64)) -> Vec<Point> {
    let count = ((from - to).abs() / 4.0).ceil().max(1.0) as usize;
    (0..=count)
        .map(|i| geometry::point_at(path, from + (to - from) * i as f64 / count as f64))
        .collect()
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
