//! The trousers from the front, the left side lapped over the right, and from behind.

use super::hand::{Hand, along, smooth};
use super::legs::{Legs, STEP};
use super::trunk::{edge, mark, piece};
use super::waistband::Waistband;
use super::{Line, Shade};
use crate::draft::{Draft, DraftPiece, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{Affine, BezPath, Point, Shape, Vec2};

/// A back pocket's button is a 24-line one, 15 mm (common practice, no source).
const BUTTON: f64 = 15.0;
/// How deep a jetted pocket's two jets are together, mm.
const JETS: f64 = 10.0;
/// The crease is pressed in from so far below the waist of a plain front, mm.
const CREASE: f64 = 150.0;
/// It is pressed in from so far above the fork behind, and lies plumb from so far below it, mm.
const BEHIND: f64 = 100.0;

/// Draws the front; `None` if the draft is not drafted as trousers are.
pub(super) fn front(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let legs = Legs::new(draft)?;
    let view = View::new(draft, &legs)?;
    for right in [false, true] {
        view.band.behind(&mut hand.side(right), right);
    }
    for left in [false, true] {
        let mut side = hand.side(left);
        view.leg(&mut side, true)?;
        view.front_marks(&mut side, left);
    }
    for left in [false, true] {
        view.band.draw(&mut hand.side(left), left, true)?;
    }
    Some(())
}

/// Draws the back; `None` if the draft is not drafted as trousers are.
pub(super) fn back(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let legs = Legs::new(draft)?;
    let view = View::new(draft, &legs)?;
    for right in [false, true] {
        let mut side = hand.side(right);
        view.leg(&mut side, false)?;
        view.back_marks(&mut side, right);
    }
    for right in [false, true] {
        view.band.draw(&mut hand.side(right), !right, false)?;
    }
    Some(())
}

struct View<'a> {
    draft: &'a Draft,
    legs: &'a Legs,
    top: &'a DraftPiece,
    under: &'a DraftPiece,
    band: Waistband<'a>,
}

impl<'a> View<'a> {
    fn new(draft: &'a Draft, legs: &'a Legs) -> Option<Self> {
        Some(Self {
            draft,
            legs,
            top: piece(draft, Part::TopSide)?,
            under: piece(draft, Part::UnderSide)?,
            band: Waistband::new(draft, legs)?,
        })
    }

    fn on_front(&self, path: &BezPath) -> Vec<Point> {
        let points = along(path, STEP).into_iter();
        points.filter_map(|p| self.legs.front(p)).collect()
    }

    fn on_back(&self, path: &BezPath) -> Vec<Point> {
        let points = along(path, STEP).into_iter();
        points.filter_map(|p| self.legs.back(p)).collect()
    }

    /// One leg: its shape, and the lines round it.
    fn leg(&self, hand: &mut Hand, front: bool) -> Option<()> {
        let waist = self.legs.waist_seam(front);
        let (middle, side) = (*waist.first()?, *waist.last()?);
        let piece = if front { self.top } else { self.under };
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
        hand.shape(&shape, Shade::Face);
        for line in [&outer, &inner, &hem] {
            hand.line(line, Line::Outline);
        }
        hand.line(&[middle, fork], Line::Edge);
        self.turn_up(hand, &hem, front);
        Some(())
    }

    /// The upper edge of a turn-up.
    fn turn_up(&self, hand: &mut Hand, hem: &[Point], front: bool) {
        let piece = if front { self.top } else { self.under };
        let level = |kind| Some(mark(piece, kind)?.path.bounding_box().center().y);
        let deep = level(MarkKind::TurnUpTop).zip(level(MarkKind::TurnUpFoot));
        if let Some((folded, foot)) = deep {
            let up = Vec2::new(0.0, foot - folded);
            let upper: Vec<Point> = hem.iter().map(|p| *p + up).collect();
            hand.line(&upper, Line::Edge);
        }
    }

    /// Crease, pleats, pocket and fly of one side of the front.
    fn front_marks(&self, hand: &mut Hand, left: bool) {
        let pleated = self.top.edge(Role::Pleats).is_some();
        for mark in &self.top.marks {
            let line = self.on_front(&mark.path);
            match mark.kind {
                MarkKind::CutMouth | MarkKind::PleatLaid => hand.line(&line, Line::Edge),
                MarkKind::Crease => {
                    let from = if pleated { 0.0 } else { CREASE };
                    let top = line.first().map_or(0.0, |p| p.y) + from;
                    self.crease(hand, &line, top, self.foot(self.top));
                }
                _ => {}
            }
        }
        // The mouth of a pocket in the side seam lies on the silhouette: its ends are barred.
        for at in self.top.notched(Role::PocketEnds) {
            let x = self.legs.outer(at.y);
            hand.line(
                &[Point::new(x - 10.0, at.y), Point::new(x, at.y)],
                Line::Edge,
            );
        }
        if left {
            hand.line(&self.fly().unwrap_or_default(), Line::Stitch);
        }
    }

    /// The crease between two levels, pressed in one sweep.
    fn crease(&self, hand: &mut Hand, line: &[Point], top: f64, foot: f64) {
        let at = |y: f64| {
            let near = |p: &&Point, q: &&Point| (p.y - y).abs().total_cmp(&(q.y - y).abs());
            line.iter().min_by(near).copied()
        };
        let low = self.legs.fork + BEHIND;
        let knots: Vec<Point> = [at(top), at(low), at((low + foot) / 2.0), at(foot)]
            .into_iter()
            .flatten()
            .collect();
        hand.line(&smooth(&knots), Line::Seam);
    }

    /// Where the fly is stitched down, on the left.
    fn fly(&self) -> Option<Vec<Point>> {
        let facing = piece(self.draft, Part::FlyFacing)?;
        let fold = edge(facing, Role::Front)?;
        let front = edge(self.top, Role::Middle)?;
        let across = Vec2::new(1.0, 0.0);
        let on = |path: &BezPath, y: f64| {
            let crossings = geometry::line_crossings(path, Point::new(0.0, y), across);
            crossings.first().map(|crossing| crossing.point.x)
        };
        let inside = along(edge(facing, Role::Inside)?, STEP).into_iter();
        let stitched = inside.filter_map(|p| {
            let wide = (p.x - on(fold, p.y)?).abs();
            self.legs.front(Point::new(on(front, p.y)? - wide, p.y))
        });
        Some(stitched.collect())
    }

    /// Level of the finished hem of a piece at its crease.
    fn foot(&self, piece: &DraftPiece) -> f64 {
        let finished = mark(piece, MarkKind::TurnUpFoot).map(|mark| &mark.path);
        let hem = finished.or(edge(piece, Role::Hem));
        hem.map_or(f64::MAX, |path| path.bounding_box().center().y)
    }

    /// Crease, darts and pocket of one side of the back.
    fn back_marks(&self, hand: &mut Hand, right: bool) {
        for mark in &self.under.marks {
            let line = self.on_back(&mark.path);
            let here = mark.side.is_none_or(|side| (side == Side::Right) == right);
            match mark.kind {
                MarkKind::Dart => hand.line(&line, Line::Seam),
                MarkKind::Crease => {
                    let top = self.legs.fork - BEHIND;
                    self.crease(hand, &line, top, self.foot(self.under));
                }
                MarkKind::PocketMouth if here => self.back_pocket(hand, &mark.path),
                MarkKind::Buttonhole if here => hand.line(&line, Line::Edge),
                MarkKind::Button if here => {
                    if let Some(at) = line.first() {
                        hand.button(*at, BUTTON, 1.0);
                    }
                }
                _ => {}
            }
        }
    }

    /// A jetted mouth, and the flap that hangs over it.
    fn back_pocket(&self, hand: &mut Hand, mouth: &BezPath) {
        let line = self.on_back(mouth);
        let moved =
            |by: f64| -> Vec<Point> { line.iter().map(|p| *p + Vec2::new(0.0, by)).collect() };
        let mut jets = moved(-JETS / 2.0);
        jets.extend(moved(JETS / 2.0).iter().rev());
        jets.extend(jets.first().copied());
        hand.shape(&jets, Shade::Face);
        hand.line(&jets, Line::Seam);
        hand.line(&line, Line::Edge);
        self.flap(hand, mouth);
    }

    /// A flap hung from the mouth of a pocket.
    fn flap(&self, hand: &mut Hand, mouth: &BezPath) -> Option<()> {
        let flap = piece(self.draft, Part::Flap)?;
        let corner = geometry::start(edge(flap, Role::Top)?)?;
        let (from, to) = (geometry::start(mouth)?, geometry::end(mouth)?);
        let hung = Affine::translate(from.to_vec2())
            * Affine::rotate((to - from).atan2())
            * Affine::translate(-corner.to_vec2());
        let edges = flap.edges.iter();
        let outline: Vec<Point> = edges
            .flat_map(|edge| self.on_back(&(hung * edge.path.clone())))
            .collect();
        hand.shape(&outline, Shade::Face);
        hand.line(&outline, Line::Edge);
        let hole = &mark(flap, MarkKind::Buttonhole)?.path;
        hand.line(&self.on_back(&(hung * hole.clone())), Line::Edge);
        Some(())
    }
}

/// A line without the corners that darts leave where they end: each point among its neighbours.
fn eased(mut line: Vec<Point>) -> Vec<Point> {
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

/// Levels between two, both but the first.
fn levels(from: f64, to: f64) -> impl Iterator<Item = f64> {
    let count = ((to - from) / 6.0).ceil().max(1.0);
    (1..=count as usize).map(move |i| from + (to - from) * i as f64 / count)
}
