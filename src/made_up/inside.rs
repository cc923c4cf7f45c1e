//! Draws a jacket from inside, opened out flat: the linings, the facings, the inside pockets and the place of the
//! label. The sleeves are left out.

use super::hand::{Hand, patch, smooth};
use super::lines::{self, Found, edge, mark, marks, outline, piece, pieces, sampled};
use super::mesh::{Placed, meshed};
use super::shown::{CLOTH, LINING, Shade, Stroke};
use super::trunk::Trunk;
use crate::draft::{Draft, MarkKind, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{Point, Rect, Vec2};

/// Depth of both jets of an inside pocket together, mm: 5 each (common practice, no source).
const JETS: f64 = 10.0;
/// Width and height of a label, mm, and its distance below the neck seam (common practice, no source).
const LABEL: (f64, f64, f64) = (80.0, 45.0, 35.0);
/// Height of the stand of the collar above the neck seam as it is seen, mm (judged by eye, no source).
const STAND: f64 = 26.0;

/// Draws the inside; `None` if the draft lacks a facing or a part of a jacket.
pub(super) fn draw(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let [of_right, of_left] = Trunk::of_both(|side| Trunk::new(draft, side))?;
    let right = Inside::new(draft, &of_right, Side::Right)?;
    let left = Inside::new(draft, &of_left, Side::Left)?;
    for half in [&right, &left] {
        half.draw(&mut hand.half(half.side == Side::Left))?;
    }
    neck(&right, &left, hand)
}

/// Draws the stand of the collar over the neck of the back, and the place of the label below it.
fn neck(right: &Inside, left: &Inside, hand: &mut Hand) -> Option<()> {
    let of = |half: &Inside| {
        let seam = sampled(edge(half.back.piece, Role::Neck)?);
        Some(
            seam.map(|p| half.trunk.opened_back(p).at)
                .collect::<Vec<_>>(),
        )
    };
    let mut seam: Vec<Point> = of(right)?
        .iter()
        .rev()
        .map(|p| Point::new(-p.x, p.y))
        .collect();
    seam.extend(of(left)?);
    let (a, b) = (*seam.first()?, *seam.last()?);
    let nape = Point::new(0.0, of(left)?.first()?.y);
    let up = Vec2::new(0.0, STAND);
    let top = smooth(&[
        a - up + Vec2::new(6.0, 0.0),
        nape - up,
        b - up - Vec2::new(6.0, 0.0),
    ]);
    let mut stand = top.clone();
    stand.extend(seam.iter().rev());
    hand.plain(&stand, Shade::Neck, CLOTH);
    hand.line(&top, Stroke::Outline);
    hand.line(&seam, Stroke::Seam);
    hand.line(&[a, *top.first()?], Stroke::Outline);
    hand.line(&[b, *top.last()?], Stroke::Outline);
    let (wide, tall, below) = LABEL;
    let r = Rect::new(
        -wide / 2.0,
        nape.y + below,
        wide / 2.0,
        nape.y + below + tall,
    );
    let label = [
        (r.x0, r.y0),
        (r.x1, r.y0),
        (r.x1, r.y1),
        (r.x0, r.y1),
        (r.x0, r.y0),
    ];
    hand.line(&label.map(Point::from), Stroke::Stitch);
    Some(())
}

/// The pieces that one half is drawn from.
struct Inside<'a> {
    draft: &'a Draft,
    trunk: &'a Trunk,
    side: Side,
    fore: Found<'a>,
    panel: Found<'a>,
    back: Found<'a>,
    facing: Found<'a>,
}

/// A panel of the coat, by which its linings are laid.
#[derive(Clone, Copy)]
enum Panel {
    Back,
    Side,
    Fore,
}

impl<'a> Inside<'a> {
    fn new(draft: &'a Draft, trunk: &'a Trunk, side: Side) -> Option<Self> {
        Some(Self {
            draft,
            trunk,
            side,
            fore: piece(draft, Part::Forepart, side)?,
            panel: piece(draft, Part::SideBody, side)?,
            back: piece(draft, Part::Back, side)?,
            facing: piece(draft, Part::Facing, side)?,
        })
    }

    /// Places a point of a panel, or of what lies on it.
    fn placed(&self, panel: Panel, p: Point) -> Placed {
        match panel {
            Panel::Back => self.trunk.opened_back(p),
            Panel::Side => self.trunk.opened_side(p),
            Panel::Fore => self.trunk.opened_front(p),
        }
    }

    /// Draws one half, from the centre back to the front edge.
    fn draw(&self, hand: &mut Hand) -> Option<()> {
        let panels = [
            (Panel::Back, self.back, Part::BackLining),
            (Panel::Side, self.panel, Part::SideBodyLining),
            (Panel::Fore, self.fore, Part::ForepartLining),
        ];
        self.between(hand)?;
        for (panel, coat, lining) in panels {
            // The coat's own cloth shows at the hem, and wherever there is no lining.
            let shape = self.shape(panel, &outline(coat.piece));
            hand.plain(&shape, Shade::Inside, CLOTH);
            hand.line(&round(&shape), Stroke::Outline);
            for found in pieces(self.draft, lining, self.side) {
                self.laid(hand, panel, found, Shade::Inside);
            }
        }
        for facing in pieces(self.draft, Part::Facing, self.side) {
            self.laid(hand, Panel::Fore, facing, Shade::Face);
        }
        for found in [
            Some(self.facing),
            pieces(self.draft, Part::ForepartLining, self.side).next(),
        ] {
            for mouth in found
                .iter()
                .flat_map(|found| marks(found.piece, MarkKind::PocketMouth))
            {
                if mouth.side.is_none_or(|side| side == self.side) {
                    self.mouth(hand, &mouth.path);
                }
            }
        }
        // The roll over which the lapel turns.
        let roll = sampled(&mark(self.fore.piece, MarkKind::RollLine)?.path);
        let roll: Vec<Point> = roll.map(|p| self.trunk.opened_front(p).at).collect();
        hand.line(&roll, Stroke::Hidden);
        Some(())
    }

    /// Draws what shows between the panels where their seams are hollowed to the waist: the folds in which a lining
    /// lies there.
    fn between(&self, hand: &mut Hand) -> Option<()> {
        let seam = |panel, of: Found, role| {
            let mut points = Vec::new();
            for path in lines::seam(of.piece, role)? {
                points.extend(sampled(&path).map(|p| self.placed(panel, p).at));
            }
            points.retain(|p: &Point| p.y > self.trunk.chest);
            points.sort_by(|a, b| a.y.total_cmp(&b.y));
            Some(points)
        };
        let mut shape = seam(Panel::Back, self.back, Role::SideSeam)?;
        shape.extend(seam(Panel::Fore, self.fore, Role::SideSeam)?.iter().rev());
        hand.plain(&shape, Shade::Lap, LINING);
        Some(())
    }

    /// Draws a lining or the facing where it lies on its panel.
    fn laid(&self, hand: &mut Hand, panel: Panel, found: Found, shade: Shade) {
        let shape = outline(found.piece);
        let mesh = meshed(&shape, &|_| Vec::new(), |p| self.placed(panel, p));
        let seen = self.shape(panel, &shape);
        hand.patches(&seen, shade, vec![patch(found, Some(self.side), mesh)]);
        hand.line(&round(&seen), Stroke::Seam);
    }

    /// Returns an outline as it is seen. A pleat in the centre back is folded: nothing passes the middle.
    fn shape(&self, panel: Panel, shape: &[Point]) -> Vec<Point> {
        let placed = shape.iter().map(|p| self.placed(panel, *p).at);
        placed.map(|p| Point::new(p.x.max(0.0), p.y)).collect()
    }

    /// Draws the mouth of an inside pocket with its jets.
    fn mouth(&self, hand: &mut Hand, path: &kurbo::BezPath) {
        let (Some(a), Some(b)) = (geometry::start(path), geometry::end(path)) else {
            return;
        };
        let [a, b] = [a, b].map(|p| self.trunk.opened_front(p).at);
        let down = (b - a).normalize().turn_90() * (JETS / 2.0);
        let jets = [a - down, b - down, b + down, a + down];
        hand.plain(&jets, Shade::Face, LINING);
        hand.line(&round(&jets), Stroke::Seam);
        hand.line(&[a, b], Stroke::Edge);
    }
}

/// Returns an outline with its first point again at its end.
fn round(shape: &[Point]) -> Vec<Point> {
    shape.iter().chain(shape.first()).copied().collect()
}
