//! Lays a sleeve round a hanging arm, bent a little at the elbow and clear of the waist, and as wide as its pieces
//! make it.
//!
//! Seen from in front or behind, the sleeve is a tube whose fold along the forearm is turned a little towards the
//! body, as the palms of a man at rest are. The seam that is seen, along the forearm or the hindarm, lies where the
//! pieces put it.

use super::arm::{LOWER, OUT_LEVEL, Outside, SEEN, head_lift};
use super::hand::{Hand, patch, smooth};
use super::levels::Levels;
use super::mesh::Placed;
use super::patch::Patch;
use super::ruled::{Section, Spot, along, ruled};
use super::shown::{Shade, Stroke};
use super::sleeve_pieces::Flat;
use crate::draft::{Draft, MarkKind};
use crate::geometry;
use crate::order::Side;
use kurbo::{BezPath, Point, Vec2};
use std::f64::consts::FRAC_PI_2;

/// A cuff's button is a 24-line one, 15 mm (common practice, no source).
const BUTTON: f64 = 15.0;
/// Distances from the middle of a cuff's button to where its hole begins to show and to where it ends, mm (judged by
/// eye, no source).
const UNDER: f64 = 6.0;
const DONE_UP: f64 = 11.0;
/// Length of a hole whose button is undone, and the distance at which that lies clear of it, mm (judged by eye, no
/// source).
const OPEN: f64 = 18.0;
const CLEAR: f64 = 14.0;
/// Least share of a cuff's button that shows, as it stands up from the cloth.
const LEAST_SEEN: f64 = 0.3;
/// Number of rows into which the crown of a sleeve is divided, and the sleeve below it: of 15 mm or less.
const CROWN_ROWS: usize = 14;
const ROWS: usize = 40;
/// Number of columns of the upper sleeve and of the under sleeve, on the half of the tube that is seen.
const COLUMNS: (usize, usize) = (10, 5);
/// Depth over which the seam finds from the scye to its place on the tube, mm (judged by eye, no source).
const SETTLES: f64 = 220.0;
/// Length by which the patches reach past the hem, whose line sags, mm.
const PAST: f64 = 12.0;

/// A sleeve as it hangs on the right of the sheet, mm.
pub(super) struct Sleeve<'a> {
    flat: Flat<'a>,
    side: Side,
    /// The line from the shoulder over the head and down the outside to the hem.
    outer: Vec<Point>,
    /// The line from the scye down the inside to the hem.
    inner: Vec<Point>,
    /// The hem, from the inside to the outside.
    hem: Vec<Point>,
    /// The outside and the inside by their level in the view.
    sides: [Levels; 2],
    /// Levels of the sleeve, down from the top of the crown, each with its level in the view.
    drops: Vec<(f64, f64)>,
    /// The scye from the shoulder down, each point with its distance along the scye.
    scye: Vec<(f64, Point)>,
    /// The place of the inside's upper end along the scye.
    leaves: f64,
}

/// The places of the body that a sleeve hangs from and beside.
pub(super) struct Hang {
    /// The side of the wearer.
    pub side: Side,
    /// Whether the wearer is seen from the front.
    pub front: bool,
    /// The scye from the shoulder point down, as it is seen; each point with its distance along the scye.
    pub scye: Vec<(f64, Point)>,
    /// The level at which the inside of the sleeve comes out from under the body.
    pub leaves: f64,
    /// Half the width of the coat at its waist: a stout man's arms hang clear of it.
    pub waist: f64,
}

/// Returns the points of a path with their distances along it, each at its place in the view.
pub(super) fn measured(
    points: impl Iterator<Item = Point>,
    placed: impl Fn(Point) -> Placed,
    from: f64,
) -> Vec<(f64, Point)> {
    let mut far = from;
    let mut last: Option<Point> = None;
    let points = points.map(|p| {
        far += last.map_or(0.0, |last| last.distance(p));
        last = Some(p);
        (far, placed(p))
    });
    let seen = points.filter(|(_, point)| point.seen);
    seen.map(|(along, point)| (along, point.at)).collect()
}

impl<'a> Sleeve<'a> {
    /// Hangs the sleeve of a draft; `None` if the draft lacks a part of a sleeve.
    pub(super) fn new(draft: &'a Draft, hang: Hang) -> Option<Self> {
        let flat = Flat::new(draft, hang.side, hang.front)?;
        let (_, shoulder) = *hang.scye.first()?;
        let (leaves, root) = *(hang.scye.iter()).rfind(|(_, p)| p.y < hang.leaves)?;
        let lift = head_lift(draft, hang.side);
        let outside = Outside::new(&flat, shoulder, hang.waist, lift);
        // The inside lies opposite to the outside, as far away as the sleeve is wide there.
        let inside = |outer: Point, level: f64, out: f64| {
            let turn = out.to_radians();
            outer - Vec2::new(turn.cos(), -turn.sin()) * (SEEN * flat.width(level))
        };
        let elbow = inside(outside.elbow, flat.elbow, 0.0);
        let half_way = 0.5 * (flat.hem + flat.elbow);
        let forearm = inside(outside.forearm, half_way, LOWER);
        let cuff = SEEN * flat.cuff;
        let end = Point::new(outside.hem.x - cuff, outside.hem.y + 1.0);
        let inner = smooth(&[
            root,
            root.lerp(elbow, 0.5) - Vec2::new(0.5, 0.0),
            elbow + Vec2::new(0.5, 0.0),
            forearm,
            end,
        ]);
        let sag = end.midpoint(outside.hem) + Vec2::new(0.0, 3.0);
        let hem = smooth(&[end, sag, outside.hem]);
        let body = |line: &[Point]| Levels::of(&[through(line)]);
        let sides = [body(&outside.line), body(&inner)];
        let drops = vec![
            (0.0, shoulder.y),
            (OUT_LEVEL * flat.depth, outside.out.y),
            (flat.elbow, outside.elbow.y),
            (half_way, outside.forearm.y),
            (flat.hem, outside.hem.y),
        ];
        Some(Self {
            flat,
            side: hang.side,
            outer: outside.line,
            inner,
            hem,
            sides,
            drops,
            scye: hang.scye,
            leaves,
        })
    }

    /// Returns the level in the view of a level of the sleeve.
    fn drop(&self, level: f64) -> f64 {
        let after = self.drops.partition_point(|(own, _)| *own < level);
        let after = after.clamp(1, self.drops.len() - 1);
        let ((a, y), (b, z)) = (self.drops[after - 1], self.drops[after]);
        y + (z - y) * (level - a) / (b - a)
    }

    /// Returns the point of the tube at a level of the sleeve and an angle from the direction of the viewer, radians,
    /// counted towards the outside.
    fn on_tube(&self, level: f64, turn: f64) -> Point {
        let y = self.drop(level);
        let [outer, inner] = [&self.sides[0], &self.sides[1]].map(|side| side.at(y));
        let share = (1.0 + turn.clamp(-FRAC_PI_2, FRAC_PI_2).sin()) / 2.0;
        Point::new(inner + (outer - inner) * share, y)
    }

    /// Places a point of the top sleeve that is below its crown.
    fn on_top(&self, p: Point) -> Placed {
        let turn = self.flat.turn(p);
        Placed {
            at: self.on_tube(self.flat.level(p.y), turn),
            light: turn.cos().max(0.0),
            seen: turn.abs() < FRAC_PI_2,
        }
    }

    /// Returns the point of the scye so far from the shoulder.
    fn at_scye(&self, far: f64) -> Point {
        let after = self.scye.partition_point(|(own, _)| *own < far);
        let after = after.clamp(1, self.scye.len().max(2) - 1);
        let (Some((a, p)), Some((b, q))) = (self.scye.get(after - 1), self.scye.get(after)) else {
            return Point::ZERO;
        };
        p.lerp(*q, ((far - a) / (b - a).max(1e-6)).clamp(0.0, 1.0))
    }

    /// Returns the seam that is seen, from the scye to the hem, on the top sleeve and on the under sleeve.
    fn seam(&self) -> [Vec<Spot>; 2] {
        let flat = &self.flat;
        let from = flat.seam_top;
        let off = self.at_scye(flat.seam_far) - self.on_tube(from, flat.seam_turn(from));
        let rows = (0..=ROWS).map(|row| {
            let level = from + (flat.hem + PAST - from) * row as f64 / ROWS as f64;
            let part = ((level - from) / SETTLES).clamp(0.0, 1.0);
            let left = 1.0 - part * part * (3.0 - 2.0 * part);
            let at = self.on_tube(level, flat.seam_turn(level)) + off * left;
            flat.on_seam(level).map(|on| Spot { on, at })
        });
        let rows: Vec<[Spot; 2]> = rows.collect();
        [0, 1].map(|piece| rows.iter().map(|row| row[piece]).collect())
    }

    /// Returns what is seen of the top sleeve.
    fn top(&self, seam: &[Spot]) -> Patch {
        let flat = &self.flat;
        let mut first: Vec<Spot> = (0..CROWN_ROWS)
            .map(|row| {
                let far = flat.seam_far * row as f64 / CROWN_ROWS as f64;
                let at = self.at_scye(far);
                Spot {
                    on: flat.on_crown(far),
                    at,
                }
            })
            .collect();
        let head_end = self.drop(flat.seam_top);
        let head: Vec<Point> = (self.outer.iter())
            .take_while(|p| p.y < head_end)
            .copied()
            .collect();
        let long: f64 = head.windows(2).map(|p| p[0].distance(p[1])).sum();
        let (top, foot) = (flat.on_crown(0.0), flat.outside(flat.seam_top));
        let mut second: Vec<Spot> = (0..CROWN_ROWS)
            .map(|row| {
                let part = row as f64 / CROWN_ROWS as f64;
                Spot {
                    on: top.lerp(foot, part),
                    at: along(&head, long * part),
                }
            })
            .collect();
        first.extend(seam);
        second.extend((0..=ROWS).map(|row| {
            let level =
                flat.seam_top + (flat.hem + PAST - flat.seam_top) * row as f64 / ROWS as f64;
            Spot {
                on: flat.outside(level),
                at: self.on_tube(level, FRAC_PI_2),
            }
        }));
        let turns = |row: usize| {
            let below = row.saturating_sub(CROWN_ROWS) as f64 / ROWS as f64;
            let level = flat.seam_top + (flat.hem - flat.seam_top) * below;
            // The head rises from the scye: it faces the viewer there and turns away over the arm.
            let part = (row as f64 / CROWN_ROWS as f64).min(1.0);
            Section::Tube(flat.seam_turn(level) * part, FRAC_PI_2)
        };
        patch(
            flat.top,
            Some(self.side),
            ruled(&first, &second, COLUMNS.0, turns),
        )
    }

    /// Returns what is seen of the under sleeve, between the body and the seam.
    fn under(&self, seam: &[Spot]) -> Patch {
        let flat = &self.flat;
        let first: Vec<Spot> = (0..=ROWS)
            .map(|row| {
                let level =
                    flat.seam_top + (flat.hem + PAST - flat.seam_top) * row as f64 / ROWS as f64;
                let root = self.at_scye(self.leaves);
                let on_tube = self.on_tube(level, -FRAC_PI_2);
                // Above the place where the inside begins, the crown of the under sleeve lies along the scye.
                if on_tube.y < root.y {
                    let from = self.drop(flat.seam_top);
                    let part = (on_tube.y - from) / (root.y - from).max(1.0);
                    let far = flat.seam_far + (self.leaves - flat.seam_far) * part.clamp(0.0, 1.0);
                    return Spot {
                        on: flat.on_crown(far),
                        at: self.at_scye(far),
                    };
                }
                let part = ((on_tube.y - root.y) / SETTLES).min(1.0);
                Spot {
                    on: flat.on_crown(self.leaves).lerp(flat.inside(level), part),
                    at: on_tube,
                }
            })
            .collect();
        let turns = |row: usize| {
            let level = flat.seam_top + (flat.hem - flat.seam_top) * row as f64 / ROWS as f64;
            Section::Tube(-FRAC_PI_2, flat.seam_turn(level))
        };
        patch(
            flat.under,
            Some(self.side),
            ruled(&first, seam, COLUMNS.1, turns),
        )
    }

    /// Draws the sleeve with the buttons of its cuff.
    pub(super) fn draw(&self, hand: &mut Hand) {
        let scye = self.scye.iter().take_while(|(far, _)| *far <= self.leaves);
        let scye: Vec<Point> = scye.map(|(_, p)| *p).collect();
        let mut shape: Vec<Point> = scye.clone();
        shape.extend(&self.inner);
        shape.extend(&self.hem);
        shape.extend(self.outer.iter().rev());
        let [on_top, on_under] = self.seam();
        let cloth = vec![self.under(&on_under), self.top(&on_top)];
        hand.patches(&shape, Shade::Face, cloth);
        let foot = self.hem.iter().map(|p| p.y).fold(f64::MIN, f64::max);
        let seam = on_top.iter().map(|spot| spot.at).filter(|p| p.y < foot);
        hand.line(&seam.collect::<Vec<_>>(), Stroke::Seam);
        hand.line(&self.outer, Stroke::Outline);
        hand.line(&self.inner, Stroke::Edge);
        hand.line(&self.hem, Stroke::Outline);
        hand.line(&scye, Stroke::Edge);
        self.draw_buttons(hand);
    }

    /// Draws the cuff's buttons that are seen, with their holes.
    fn draw_buttons(&self, hand: &mut Hand) {
        for mark in &self.flat.top.piece.marks {
            let worked = matches!(mark.kind, MarkKind::Buttonhole | MarkKind::OpenButtonhole);
            if !worked && mark.kind != MarkKind::Button {
                continue;
            }
            let Some(on) = geometry::start(&mark.path) else {
                continue;
            };
            let end = geometry::end(&mark.path).filter(|end| worked && end.distance(on) > 1.0);
            let way = end.map_or(Vec2::ZERO, |end| (end - on).normalize());
            let undone = mark.kind == MarkKind::OpenButtonhole;
            if end.is_some() {
                // A button that is done up covers all but the end of its hole.
                let (from, to) = if undone {
                    (0.0, OPEN)
                } else {
                    (UNDER, DONE_UP)
                };
                let hole = [0.0, 0.25, 0.5, 0.75, 1.0].map(|part| {
                    let placed = self.on_top(on + way * (from + (to - from) * part));
                    placed.seen.then_some(placed.at)
                });
                hand.seen(hole, Stroke::Hole);
            }
            // One that is undone lies clear of the hole, on the under sleeve.
            let placed = self.on_top(if undone { on - way * CLEAR } else { on });
            if placed.seen {
                hand.button(placed.at, BUTTON, placed.light.max(LEAST_SEEN));
            }
        }
    }
}

/// Returns the path through points.
fn through(points: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (i, point) in points.iter().enumerate() {
        match i {
            0 => path.move_to(*point),
            _ => path.line_to(*point),
        }
    }
    path
}
