//! Draws the waistband of trousers with what is sewn to it: loops, straps, tabs and buttons.

use super::hand::{Hand, patch};
use super::legs::{Legs, STEP};
use super::lines::{Found, along, edge, mark, marks, outline, piece, pieces};
use super::mesh::{Placed, meshed};
use super::shown::{CLOTH, POCKETING, Shade, Stroke};
use crate::draft::{Draft, Mark, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{Point, Shape, Vec2};

/// A brace button is a 24-line one, 15 mm, as are those of a tab (common practice, no source).
const BUTTON: f64 = 15.0;
/// Width of a belt loop, mm (common practice, no source).
const LOOP: f64 = 10.0;

/// One half of a waistband, laid round the hips.
pub(super) struct Waistband<'a> {
    draft: &'a Draft,
    legs: &'a Legs,
    side: Side,
    band: Half<'a>,
}

/// Half a waistband as it is drafted. A point of it is given by its length round from the centre front and
/// its height above the waist seam.
struct Half<'a> {
    piece: Found<'a>,
    /// The centre front, at the waist seam.
    front: Point,
    /// 1 or -1: the direction of x from the centre front to the side seam.
    toward_side: f64,
    /// Length by which it runs past the centre front, mm.
    past: f64,
    /// Length from the centre front to the centre back, mm.
    long: f64,
}

impl<'a> Half<'a> {
    fn new(draft: &'a Draft, side: Side) -> Option<Self> {
        let piece = pieces(draft, Part::Waistband, side).next()?;
        let front = geometry::start(&mark(&piece, MarkKind::MeetsFront)?.path)?;
        let meets_side = geometry::start(&mark(&piece, MarkKind::MeetsSide)?.path)?;
        let toward_side = (meets_side.x - front.x).signum();
        let round = |p: Point| (p.x - front.x) * toward_side;
        Some(Self {
            piece,
            front,
            toward_side,
            past: -round(geometry::end(edge(&piece, Role::End)?)?).min(0.0),
            long: round(geometry::start(edge(&piece, Role::CentreBack)?)?),
        })
    }

    /// Returns the length of a point round from the centre front and its height above the waist seam.
    fn round_and_up(&self, p: Point) -> (f64, f64) {
        ((p.x - self.front.x) * self.toward_side, self.front.y - p.y)
    }

    /// Returns the upper edge from the front end to the centre back, each point as length and height.
    fn upper(&self) -> Vec<(f64, f64)> {
        let upper = self.piece.edges(Role::Upper);
        let mut places: Vec<(f64, f64)> = upper
            .flat_map(|edge| along(&edge.path, STEP))
            .map(|p| self.round_and_up(p))
            .collect();
        places.sort_by(|a, b| a.0.total_cmp(&b.0));
        places
    }
}

impl<'a> Waistband<'a> {
    /// Measures the waistband of a draft; `None` if it is not drafted in two halves.
    pub(super) fn new(draft: &'a Draft, legs: &'a Legs, side: Side) -> Option<Self> {
        Some(Self {
            draft,
            legs,
            side,
            band: Half::new(draft, side)?,
        })
    }

    /// Moves a point of the band, given as length and height, to its place in a view; `None` if it is on the
    /// other face of the figure.
    fn on_band(&self, place: (f64, f64), front: bool) -> Option<Point> {
        let placed = self.placed(place, front);
        placed.seen.then_some(placed.at)
    }

    /// Places a point of the band, given as length and height.
    fn placed(&self, place: (f64, f64), front: bool) -> Placed {
        let round = place.0 / self.band.long * self.legs.waist_long();
        let near = if front {
            round
        } else {
            self.legs.waist_long() - round
        };
        let placed = self.legs.on_waist(front, near);
        Placed {
            at: placed.at - Vec2::new(0.0, place.1),
            ..placed
        }
    }

    /// Whether it is the wearer's left half.
    fn is_left(&self) -> bool {
        self.side == Side::Left
    }

    /// Draws the band with what is sewn to it.
    pub(super) fn draw(&self, hand: &mut Hand, front: bool) -> Option<()> {
        let (band, left) = (&self.band, self.is_left());
        let past = if left && front { band.past } else { 0.0 };
        let seam = self.legs.waist_seam(front);
        let side = *seam.last()?;
        let mut lower = seam;
        let upper = band.upper().into_iter().filter(|place| place.0 >= -past);
        let mut upper: Vec<Point> = upper
            .filter_map(|place| self.on_band(place, front))
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
        let mesh = meshed(&outline(band.piece.piece), &|_| Vec::new(), |p| {
            self.placed(band.round_and_up(p), front)
        });
        let seen = patch(band.piece, Some(self.side), mesh);
        hand.patches(&shape, Shade::Face, vec![seen]);
        hand.line(&lower, Stroke::Edge);
        hand.line(&upper, Stroke::Outline);
        hand.line(&[side, *upper.last()?], Stroke::Outline);
        let middle = [*lower.first()?, *upper.first()?];
        if left || !front {
            hand.line(&middle, Stroke::Edge);
        }
        self.fittings(hand, front);
        Some(())
    }

    /// Draws the inside of the back half, which shows above the front.
    pub(super) fn behind(&self, hand: &mut Hand) {
        let places = self.band.upper().into_iter();
        let mut upper: Vec<Point> = places
            .filter_map(|place| self.on_band(place, false))
            .collect();
        upper.sort_by(|a, b| a.x.total_cmp(&b.x));
        let Some(middle) = upper.first().map(|p| Point::new(0.0, p.y)) else {
            return;
        };
        upper.insert(0, middle);
        let mut shape = upper.clone();
        shape.push(Point::new(self.legs.waist_half, self.legs.side));
        shape.push(Point::new(0.0, self.legs.side + 30.0));
        hand.plain(&shape, Shade::Inside, POCKETING);
        hand.line(&upper, Stroke::Outline);
    }

    /// Draws the loops, straps, tabs and buttons of one half of the band.
    fn fittings(&self, hand: &mut Hand, front: bool) {
        let band = &self.band;
        let start = |mark: &Mark| geometry::start(&mark.path);
        for mark in &band.piece.marks {
            let Some((round, height)) = start(mark).map(|p| band.round_and_up(p)) else {
                continue;
            };
            if mark.kind == MarkKind::Loop {
                let tall = mark.path.bounding_box().height();
                self.sewn_on(hand, (round - LOOP / 2.0, -4.0), (LOOP, tall + 6.0), front);
            } else if mark.kind == MarkKind::Button
                && let Some(at) = self.on_band((round, height), front)
            {
                hand.button(at, BUTTON, 1.0);
            }
        }
        self.strap(hand, front);
    }

    /// Draws a strap or a tab, which runs forward from behind the side seam, with its buckle.
    fn strap(&self, hand: &mut Hand, front: bool) {
        let band = &self.band;
        for sewn_on in marks(&band.piece, MarkKind::Strap) {
            let from = geometry::start(&sewn_on.path);
            let Some((from, strap)) = from.zip(piece(self.draft, Part::Strap, self.side)) else {
                continue;
            };
            let size = strap.edges.iter().map(|edge| edge.path.bounding_box());
            let Some(size) = size.reduce(|a, b| a.union(b)) else {
                continue;
            };
            let tall = sewn_on.path.bounding_box().height();
            let low = (tall - size.height()) / 2.0;
            let (round, _) = band.round_and_up(from);
            let corner = (round - size.width(), low);
            self.sewn_on(hand, corner, (size.width(), size.height()), front);
            let buckle = mark(&band.piece, MarkKind::Buckle).and_then(|m| geometry::start(&m.path));
            if let Some((at, _)) = buckle.map(|p| band.round_and_up(p)) {
                let (wide, high) = (14.0, size.height() + 8.0);
                self.sewn_on(hand, (at - wide / 2.0, low - 4.0), (wide, high), front);
                let tongue = [
                    (at - wide / 2.0, low + size.height() / 2.0),
                    (at + 9.0, low + size.height() / 2.0),
                ];
                let tongue = tongue.map(|place| self.on_band(place, front));
                hand.seen(tongue, Stroke::Edge);
            }
        }
    }

    /// Draws a rectangle that lies flat on the band, given by its lower front corner and its size.
    fn sewn_on(&self, hand: &mut Hand, corner: (f64, f64), size: (f64, f64), front: bool) {
        let count = (size.0 / STEP).ceil().max(1.0);
        let steps = (0..=count as usize).map(|i| corner.0 + size.0 * i as f64 / count);
        let steps: Vec<f64> = steps.collect();
        let line = |up: f64| -> Vec<Point> {
            let seen = steps.iter();
            seen.filter_map(|s| self.on_band((*s, up), front)).collect()
        };
        let (low, high) = (line(corner.1), line(corner.1 + size.1));
        let mut shape = low;
        shape.extend(high.iter().rev());
        shape.extend(shape.first().copied());
        hand.plain(&shape, Shade::Face, CLOTH);
        hand.line(&shape, Stroke::Edge);
    }
}
