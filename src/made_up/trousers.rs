//! Draws trousers from the front, the left side lapped over the right, and from behind.

use super::hand::{Hand, patch};
use super::legs::{Legs, STEP};
use super::lines::{Found, along, edge, mark, outline, piece};
use super::mesh::{Placed, meshed, split};
use super::patch::Patch;
use super::shown::{BRAID, CLOTH, Shade, Stroke};
use super::waistband::Waistband;
use crate::draft::{Draft, DraftPiece, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{Affine, BezPath, Point, Shape, Vec2};

/// A back pocket's button is a 24-line one, 15 mm (common practice, no source).
const BUTTON: f64 = 15.0;
/// Depth of both jets of a pocket together, mm: 5 each (common practice, no source).
const JETS: f64 = 10.0;
/// Depth below the waist at which the crease of a plain front begins, mm (common practice, no source).
const CREASE: f64 = 150.0;
/// Depth of the shadow above a turn-up, mm (judged by eye, no source).
const SHADOW: f64 = 2.5;
/// Length by which the patches reach past the foot, which slopes, mm.
const BELOW: f64 = 10.0;
/// Height above the fork at which the back crease begins, and depth below it at which both creases hang
/// plumb, mm: the length over which the curve of the seat runs out (judged by eye, no source).
const SEAT: f64 = 100.0;

/// Draws the front; `None` if the draft lacks a part of trousers.
pub(super) fn front(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let legs = [
        Legs::new(draft, Side::Right)?,
        Legs::new(draft, Side::Left)?,
    ];
    let right = View::new(draft, &legs[0], Side::Right)?;
    let left = View::new(draft, &legs[1], Side::Left)?;
    for view in [&left, &right] {
        view.band.behind(&mut hand.half(view.is_left()));
    }
    for view in [&right, &left] {
        let mut half = hand.half(view.is_left());
        view.leg(&mut half, true)?;
        view.front_marks(&mut half);
    }
    for view in [&right, &left] {
        view.band.draw(&mut hand.half(view.is_left()), true)?;
    }
    Some(())
}

/// Draws the back; `None` if the draft lacks a part of trousers.
pub(super) fn back(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let legs = [
        Legs::new(draft, Side::Left)?,
        Legs::new(draft, Side::Right)?,
    ];
    let left = View::new(draft, &legs[0], Side::Left)?;
    let right = View::new(draft, &legs[1], Side::Right)?;
    for view in [&left, &right] {
        let mut half = hand.half(!view.is_left());
        view.leg(&mut half, false)?;
        view.back_marks(&mut half);
    }
    for view in [&left, &right] {
        view.band.draw(&mut hand.half(!view.is_left()), false)?;
    }
    Some(())
}

/// The pieces that one half of both views is drawn from.
struct View<'a> {
    draft: &'a Draft,
    legs: &'a Legs,
    side: Side,
    top: Found<'a>,
    under: Found<'a>,
    band: Waistband<'a>,
}

impl<'a> View<'a> {
    fn new(draft: &'a Draft, legs: &'a Legs, side: Side) -> Option<Self> {
        Some(Self {
            draft,
            legs,
            side,
            top: piece(draft, Part::TopSide, side)?,
            under: piece(draft, Part::UnderSide, side)?,
            band: Waistband::new(draft, legs, side)?,
        })
    }

    /// Whether this is the wearer's left half.
    fn is_left(&self) -> bool {
        self.side == Side::Left
    }

    /// Returns the points of a path on the top side as they are seen from the front.
    fn on_front(&self, path: &BezPath) -> Vec<Point> {
        seen(path, |p| self.legs.near(true, p))
    }

    /// Returns the points of a path on the under side as they are seen from behind.
    fn on_back(&self, path: &BezPath) -> Vec<Point> {
        seen(path, |p| self.legs.near(false, p))
    }

    /// Returns what is seen of the half that faces the viewer, and beyond its seams of the other.
    fn cloth(&self, front: bool) -> Vec<Patch> {
        let (near, far) = match front {
            true => (self.top, self.under),
            false => (self.under, self.top),
        };
        let none = |_: f64| Vec::new();
        let taken = |y: f64| self.legs.gaps(front, y);
        let beyond = meshed(&self.shape(far), &none, |p| self.legs.far(front, p));
        let facing = meshed(&self.shape(near), &taken, |p| self.legs.near(front, p));
        let side = Some(self.side);
        vec![patch(far, side, beyond), patch(near, side, facing)]
    }

    /// Returns the outline of a piece down to the foot; what is turned up or in below it is not seen.
    fn shape(&self, of: Found) -> Vec<Point> {
        let foot = Point::new(0.0, self.foot(of.piece) + BELOW);
        split(&outline(of.piece), foot, Vec2::new(-1.0, 0.0)).0
    }

    /// Draws the shape of one leg and the lines round it.
    fn leg(&self, hand: &mut Hand, front: bool) -> Option<()> {
        let waist = self.legs.waist_seam(front);
        let (middle, side) = (*waist.first()?, *waist.last()?);
        let piece = if front { self.top } else { self.under }.piece;
        let finished = mark(piece, MarkKind::TurnUpFoot).map(|mark| &mark.path);
        let hem = finished.or(edge(piece, Role::Hem))?;
        let mut hem = if front {
            self.on_front(hem)
        } else {
            self.on_back(hem)
        };
        hem.sort_by(|a, b| a.x.total_cmp(&b.x));
        let (inner_foot, outer_foot) = (hem.first()?.y, hem.last()?.y);
        let fork = Point::new(0.0, self.legs.fork);
        let mut outer = vec![side];
        outer.extend(levels(side.y, outer_foot).map(|y| Point::new(self.legs.outer(y), y)));
        let outer = eased(outer);
        let mut inner = vec![fork];
        inner.extend(levels(fork.y, inner_foot).map(|y| Point::new(self.legs.inner(y), y)));
        hem.insert(0, *inner.last()?);
        hem.push(*outer.last()?);
        let mut shape = waist;
        shape.extend(&outer);
        shape.extend(hem.iter().rev());
        shape.extend(inner.iter().rev());
        hand.patches(&shape, Shade::Face, self.cloth(front));
        for line in [&outer, &inner, &hem] {
            hand.line(line, Stroke::Outline);
        }
        hand.line(&[middle, fork], Stroke::Edge);
        self.turn_up(hand, &hem, front);
        Some(())
    }

    /// Draws a turn-up, if there is one. The cloth is folded twice, so that what is seen of it is the part below the
    /// second fold, which lies at the upper edge.
    fn turn_up(&self, hand: &mut Hand, hem: &[Point], front: bool) {
        let found = if front { self.top } else { self.under };
        let level = |kind| Some(mark(found.piece, kind)?.path.bounding_box().center().y);
        let levels = level(MarkKind::TurnUpTop).zip(level(MarkKind::TurnUpFoot));
        let Some((folded, foot)) = levels else {
            return;
        };
        let deep = Vec2::new(0.0, folded - foot);
        let up = Vec2::new(self.legs.moves_out(foot - deep.y, foot), 0.0) + deep;
        let upper: Vec<Point> = hem.iter().map(|p| *p - up).collect();
        let mut shape = upper.clone();
        shape.extend(hem.iter().rev());
        let fold = Point::new(0.0, folded - BELOW);
        let (_, below) = split(&outline(found.piece), fold, Vec2::new(-1.0, 0.0));
        let none = |_: f64| Vec::new();
        let mesh = meshed(&below, &none, |p| self.legs.near(front, p - 2.0 * deep));
        let seen = patch(found, Some(self.side), mesh);
        hand.patches(&shape, Shade::Face, vec![seen]);
        // The thickness of the fold throws a shadow on the leg above it.
        let shadow: Vec<Point> = upper.iter().map(|p| *p - Vec2::new(0.0, SHADOW)).collect();
        hand.line(&shadow, Stroke::Seam);
        for line in [&upper, &hem.to_vec()] {
            hand.line(line, Stroke::Edge);
        }
        let ends = [(upper.first(), hem.first()), (upper.last(), hem.last())];
        for (a, b) in ends {
            hand.line(
                &[a, b].into_iter().flatten().copied().collect::<Vec<_>>(),
                Stroke::Outline,
            );
        }
    }

    /// Draws the crease, pleats, pocket and fly of one side of the front.
    fn front_marks(&self, hand: &mut Hand) {
        let pleated = self.top.edge(Role::Pleats).is_some();
        for mark in &self.top.marks {
            let line = self.on_front(&mark.path);
            match mark.kind {
                MarkKind::Braid => self.braid(hand, &line, self.top.piece),
                MarkKind::CutMouth | MarkKind::PleatLaid => hand.line(&line, Stroke::Edge),
                MarkKind::Crease => {
                    let from = if pleated { 0.0 } else { CREASE };
                    let top = line.first().map_or(0.0, |p| p.y) + from;
                    self.crease(hand, &line, top, self.foot(self.top.piece));
                }
                _ => {}
            }
        }
        // The mouth of a pocket in the side seam lies on the silhouette; only its bar tacks are seen.
        for at in self.top.notched(Role::PocketEnds) {
            let x = self.legs.outer(at.y);
            hand.line(
                &[Point::new(x - 10.0, at.y), Point::new(x, at.y)],
                Stroke::Edge,
            );
        }
        if self.is_left() {
            hand.line(&self.fly().unwrap_or_default(), Stroke::Stitch);
        }
    }

    /// Draws what is seen of a row of braid, from its outline on the piece, down to the foot.
    fn braid(&self, hand: &mut Hand, line: &[Point], piece: &DraftPiece) {
        let foot = self.foot(piece);
        let row: Vec<Point> = line
            .iter()
            .map(|p| Point::new(p.x, p.y.min(foot)))
            .collect();
        hand.plain(&row, Shade::Face, BRAID);
        hand.line(&row, Stroke::Edge);
    }

    /// Draws the crease between two levels.
    fn crease(&self, hand: &mut Hand, line: &[Point], top: f64, foot: f64) {
        let seen = line.iter().filter(|p| p.y >= top && p.y <= foot).copied();
        hand.line(&seen.collect::<Vec<_>>(), Stroke::Seam);
    }

    /// Returns the line along which the fly is stitched down, on the left side; `None` without a fly.
    fn fly(&self) -> Option<Vec<Point>> {
        let facing = piece(self.draft, Part::FlyFacing, self.side)?;
        let fold = edge(facing.piece, Role::Front)?;
        let front = edge(self.top.piece, Role::Middle)?;
        let across = Vec2::new(1.0, 0.0);
        let on = |path: &BezPath, y: f64| {
            let crossings = geometry::line_crossings(path, Point::new(0.0, y), across);
            crossings.first().map(|crossing| crossing.point.x)
        };
        let inside = along(edge(facing.piece, Role::Inside)?, STEP).into_iter();
        let stitched = inside.filter_map(|p| {
            let wide = (p.x - on(fold, p.y)?).abs();
            let at = Point::new(on(front, p.y)? - wide, p.y);
            let placed = self.legs.near(true, at);
            placed.seen.then_some(placed.at)
        });
        Some(stitched.collect())
    }

    /// Returns the level of the finished hem of a piece.
    fn foot(&self, piece: &DraftPiece) -> f64 {
        let finished = mark(piece, MarkKind::TurnUpFoot).map(|mark| &mark.path);
        let hem = finished.or(edge(piece, Role::Hem));
        hem.map_or(f64::MAX, |path| path.bounding_box().center().y)
    }

    /// Draws the crease, darts and pocket of one side of the back.
    fn back_marks(&self, hand: &mut Hand) {
        for mark in &self.under.marks {
            let line = self.on_back(&mark.path);
            let here = mark.side.is_none_or(|side| side == self.side);
            match mark.kind {
                MarkKind::Braid => self.braid(hand, &line, self.under.piece),
                MarkKind::Dart => hand.line(&line, Stroke::Seam),
                MarkKind::Crease => {
                    let top = self.legs.fork - SEAT;
                    self.crease(hand, &line, top, self.foot(self.under.piece));
                }
                MarkKind::PocketMouth if here => self.back_pocket(hand, &mark.path),
                MarkKind::Buttonhole if here => hand.line(&line, Stroke::Hole),
                MarkKind::Button if here => {
                    if let Some(at) = line.first() {
                        hand.button(*at, BUTTON, 1.0);
                    }
                }
                _ => {}
            }
        }
    }

    /// Draws a jetted mouth and the flap that hangs over it, if there is one.
    fn back_pocket(&self, hand: &mut Hand, mouth: &BezPath) {
        let line = self.on_back(mouth);
        let moved =
            |by: f64| -> Vec<Point> { line.iter().map(|p| *p + Vec2::new(0.0, by)).collect() };
        let mut jets = moved(-JETS / 2.0);
        jets.extend(moved(JETS / 2.0).iter().rev());
        jets.extend(jets.first().copied());
        hand.plain(&jets, Shade::Face, CLOTH);
        hand.line(&jets, Stroke::Seam);
        hand.line(&line, Stroke::Edge);
        self.flap(hand, mouth);
    }

    /// Draws the flap that hangs from the mouth of a pocket; `None` if the draft has none.
    fn flap(&self, hand: &mut Hand, mouth: &BezPath) -> Option<()> {
        let flap = piece(self.draft, Part::Flap, self.side)?;
        let corner = geometry::start(edge(flap.piece, Role::Top)?)?;
        let (from, to) = (geometry::start(mouth)?, geometry::end(mouth)?);
        let hung = Affine::translate(from.to_vec2())
            * Affine::rotate((to - from).atan2())
            * Affine::translate(-corner.to_vec2());
        let edges = flap.piece.edges.iter();
        let shape: Vec<Point> = edges
            .flat_map(|edge| self.on_back(&(hung * edge.path.clone())))
            .collect();
        let mesh = meshed(&outline(flap.piece), &|_| Vec::new(), |p| {
            self.legs.near(false, hung * p)
        });
        hand.patches(
            &shape,
            Shade::Face,
            vec![patch(flap, Some(self.side), mesh)],
        );
        hand.line(&shape, Stroke::Edge);
        let hole = &mark(flap.piece, MarkKind::Buttonhole)?.path;
        hand.line(&self.on_back(&(hung * hole.clone())), Stroke::Hole);
        Some(())
    }
}

/// Returns the points of a path that are seen, each at its place in the view.
fn seen(path: &BezPath, placed: impl Fn(Point) -> Placed) -> Vec<Point> {
    let placed = along(path, STEP).into_iter().map(placed);
    placed.filter(|p| p.seen).map(|p| p.at).collect()
}

/// Smooths a line by replacing each x with the mean of its neighbours': darts leave corners where they end.
fn eased(mut line: Vec<Point>) -> Vec<Point> {
    // 60 rounds spread a corner over about 40 mm (6 mm a point, times the root of 2/3 of 60).
    for _ in 0..60 {
        let around: Vec<f64> = line
            .windows(3)
            .map(|p| (p[0].x + p[1].x + p[2].x) / 3.0)
            .collect();
        for (point, x) in line.iter_mut().skip(1).zip(around) {
            point.x = x;
        }
    }
    line
}

/// Returns levels 6 mm apart or less from `from`, which is left out, to `to`.
fn levels(from: f64, to: f64) -> impl Iterator<Item = f64> {
    let count = ((to - from) / 6.0).ceil().max(1.0);
    (1..=count as usize).map(move |i| from + (to - from) * i as f64 / count)
}
