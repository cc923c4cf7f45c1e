//! The waistband of made-up trousers, with what is sewn on it: loops, straps, tabs and buttons.

use super::hand::{Hand, along};
use super::legs::{Legs, STEP};
use super::trunk::{edge, mark, marks, piece};
use super::{Line, Shade};
use crate::draft::{Draft, DraftPiece, Mark, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{Point, Shape, Vec2};

/// A brace button is a 24-line one, 15 mm, as are those of a tab (common practice, no source).
const BUTTON: f64 = 15.0;
/// Width of a belt loop as it is drawn, mm.
const LOOP: f64 = 10.0;

/// Both halves of a waistband on the hips that wear it.
pub(super) struct Waistband<'a> {
    draft: &'a Draft,
    legs: &'a Legs,
    /// Right and left.
    halves: [Half<'a>; 2],
}

/// Half a waistband as it is drafted: lengths round from its centre front, heights above its seam.
struct Half<'a> {
    piece: &'a DraftPiece,
    front: Point,
    toward_side: f64,
    /// How far it runs past the centre front.
    past: f64,
    /// Half the waist.
    long: f64,
}

impl<'a> Half<'a> {
    fn new(draft: &'a Draft, side: Side) -> Option<Self> {
        let piece = draft.part_on(Part::Waistband, side)?;
        let front = geometry::start(&mark(piece, MarkKind::MeetsFront)?.path)?;
        let side = geometry::start(&mark(piece, MarkKind::MeetsSide)?.path)?;
        let toward_side = (side.x - front.x).signum();
        let round = |p: Point| (p.x - front.x) * toward_side;
        Some(Self {
            piece,
            front,
            toward_side,
            past: -round(geometry::end(edge(piece, Role::End)?)?).min(0.0),
            long: round(geometry::start(edge(piece, Role::CentreBack)?)?),
        })
    }

    /// How far round from the centre front and how high above its seam a point lies.
    fn place(&self, p: Point) -> (f64, f64) {
        ((p.x - self.front.x) * self.toward_side, self.front.y - p.y)
    }

    /// Its upper edge from the front to the centre back.
    fn upper(&self) -> Vec<(f64, f64)> {
        let upper = self.piece.edges(Role::Upper);
        let mut places: Vec<(f64, f64)> = upper
            .flat_map(|edge| along(&edge.path, STEP))
            .map(|p| self.place(p))
            .collect();
        places.sort_by(|a, b| a.0.total_cmp(&b.0));
        places
    }
}

impl<'a> Waistband<'a> {
    /// The waistband of a draft; `None` if it is not drafted in two halves.
    pub(super) fn new(draft: &'a Draft, legs: &'a Legs) -> Option<Self> {
        Some(Self {
            draft,
            legs,
            halves: [
                Half::new(draft, Side::Right)?,
                Half::new(draft, Side::Left)?,
            ],
        })
    }

    /// A place of the waistband as it is seen, from the front or the back.
    fn on_band(&self, band: &Half, place: (f64, f64), front: bool) -> Option<Point> {
        let (at, before) = self
            .legs
            .waist(place.0 / band.long * self.legs.waist_long());
        (before == front).then_some(at - Vec2::new(0.0, place.1))
    }

    /// One half of the waistband with what is on it; `left` is the wearer's.
    pub(super) fn draw(&self, hand: &mut Hand, left: bool, front: bool) -> Option<()> {
        let band = &self.halves[usize::from(left)];
        let past = if left && front { band.past } else { 0.0 };
        let seam = self.legs.waist_seam(front);
        let side = *seam.last()?;
        let mut lower = seam;
        let upper = band.upper().into_iter().filter(|place| place.0 >= -past);
        let mut upper: Vec<Point> = upper
            .filter_map(|place| self.on_band(band, place, front))
            .collect();
        upper.sort_by(|a, b| a.x.total_cmp(&b.x));
        upper.push(Point::new(side.x, upper.last()?.y));
        if past > 0.0 {
            let middle = *lower.first()?;
            lower.insert(0, middle - Vec2::new(past, 0.0));
        } else {
            let first = *upper.first()?;
            upper.insert(0, Point::new(0.0, first.y));
        }
        let mut shape = lower.clone();
        shape.extend(upper.iter().rev());
        hand.shape(&shape, Shade::Face);
        hand.line(&lower, Line::Edge);
        hand.line(&upper, Line::Outline);
        hand.line(&[side, *upper.last()?], Line::Outline);
        let middle = [*lower.first()?, *upper.first()?];
        if left || !front {
            hand.line(&middle, Line::Edge);
        }
        self.fittings(hand, band, front);
        Some(())
    }

    /// The inside of the back half, seen over the front.
    pub(super) fn behind(&self, hand: &mut Hand, left: bool) {
        let band = &self.halves[usize::from(left)];
        let places = band.upper().into_iter();
        let mut upper: Vec<Point> = places
            .filter_map(|place| self.on_band(band, place, false))
            .collect();
        upper.sort_by(|a, b| a.x.total_cmp(&b.x));
        let Some(middle) = upper.first().map(|p| Point::new(0.0, p.y)) else {
            return;
        };
        upper.insert(0, middle);
        let mut shape = upper.clone();
        shape.push(Point::new(self.legs.waist_half, self.legs.side));
        shape.push(Point::new(0.0, self.legs.side + 30.0));
        hand.shape(&shape, Shade::Inside);
        hand.line(&upper, Line::Outline);
    }

    /// Loops, straps, tabs and buttons of one half of the band.
    fn fittings(&self, hand: &mut Hand, band: &Half, front: bool) {
        let start = |mark: &Mark| geometry::start(&mark.path);
        for mark in &band.piece.marks {
            let Some((round, height)) = start(mark).map(|p| band.place(p)) else {
                continue;
            };
            if mark.kind == MarkKind::Loop {
                let tall = mark.path.bounding_box().height();
                self.patch(
                    hand,
                    band,
                    (round - LOOP / 2.0, -4.0),
                    (LOOP, tall + 6.0),
                    front,
                );
            } else if mark.kind == MarkKind::Button
                && let Some(at) = self.on_band(band, (round, height), front)
            {
                hand.button(at, BUTTON, 1.0);
            }
        }
        self.strap(hand, band, front);
    }

    /// A strap or a tab from behind the side seam forward, with its buckle.
    fn strap(&self, hand: &mut Hand, band: &Half, front: bool) {
        for sewn_on in marks(band.piece, MarkKind::Strap) {
            let from = geometry::start(&sewn_on.path);
            let Some((from, strap)) = from.zip(piece(self.draft, Part::Strap)) else {
                continue;
            };
            let size = strap.edges.iter().map(|edge| edge.path.bounding_box());
            let Some(size) = size.reduce(|a, b| a.union(b)) else {
                continue;
            };
            let tall = sewn_on.path.bounding_box().height();
            let low = (tall - size.height()) / 2.0;
            let (round, _) = band.place(from);
            let corner = (round - size.width(), low);
            self.patch(hand, band, corner, (size.width(), size.height()), front);
            let buckle = mark(band.piece, MarkKind::Buckle).and_then(|m| geometry::start(&m.path));
            if let Some((at, _)) = buckle.map(|p| band.place(p)) {
                let (wide, tall) = (14.0, size.height() + 8.0);
                self.patch(
                    hand,
                    band,
                    (at - wide / 2.0, low - 4.0),
                    (wide, tall),
                    front,
                );
                let tongue = [
                    (at - wide / 2.0, low + size.height() / 2.0),
                    (at + 9.0, low + size.height() / 2.0),
                ];
                let tongue = tongue.map(|place| self.on_band(band, place, front));
                hand.seen(tongue, Line::Edge);
            }
        }
    }

    /// What lies flat on the band, so far round and so high, so wide and so tall.
    fn patch(
        &self,
        hand: &mut Hand,
        band: &Half,
        corner: (f64, f64),
        size: (f64, f64),
        front: bool,
    ) {
        let count = (size.0 / STEP).ceil().max(1.0);
        let steps = (0..=count as usize).map(|i| corner.0 + size.0 * i as f64 / count);
        let steps: Vec<f64> = steps.collect();
        let line = |up: f64| -> Vec<Point> {
            let seen = steps.iter();
            seen.filter_map(|s| self.on_band(band, (*s, up), front))
                .collect()
        };
        let (low, high) = (line(corner.1), line(corner.1 + size.1));
        let mut shape = low;
        shape.extend(high.iter().rev());
        shape.extend(shape.first().copied());
        hand.shape(&shape, Shade::Face);
        hand.line(&shape, Line::Edge);
    }
}
