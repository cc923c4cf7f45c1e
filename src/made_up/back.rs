//! Draws the jacket from behind.

use super::collar;
use super::half_belt;
use super::hand::{Hand, mirror, patch, smooth};
use super::lines::{Found, continued, edge, laid, outline, piece, sampled, vent_lines};
use super::mesh::{Placed, meshed};
use super::patch::Patch;
use super::shown::{Shade, Stroke};
use super::sleeve::{Hang, Sleeve, measured};
use super::trunk::Trunk;
use crate::draft::{Draft, DraftPiece, Part, Role};
use crate::geometry;
use crate::order::Side;
use kurbo::{BezPath, Point, Vec2};

/// Draws the back; `None` if the draft lacks a part of a jacket.
pub(super) fn draw(draft: &Draft, hand: &mut Hand) -> Option<()> {
    seen(draft, hand, false)
}

/// Draws the back with its vents open; `None` unless they are sprung.
pub(super) fn draw_open(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let trunk = Trunk::new(draft, Side::Right)?;
    let half = Back::new(draft, &trunk, Side::Right, true)?;
    let laps = [
        half.underlap(Role::SideVent),
        half.underlap(Role::CentreVent),
    ];
    let springs = |lap: &Underlap| lap.foot - lap.top > SPRUNG;
    laps.iter().flatten().any(springs).then_some(())?;
    seen(draft, hand, true)
}

fn seen(draft: &Draft, hand: &mut Hand, open: bool) -> Option<()> {
    let trunks = [
        Trunk::new(draft, Side::Left)?,
        Trunk::new(draft, Side::Right)?,
    ];
    let left = Back::new(draft, &trunks[0], Side::Left, open)?;
    let right = Back::new(draft, &trunks[1], Side::Right, open)?;
    for half in [&left, &right] {
        half.half(&mut hand.half(half.is_right()))?;
    }
    right.middle(hand)?;
    half_belt::draw([&right, &left], hand);
    for half in [&left, &right] {
        half.sleeve(&mut hand.half(half.is_right()))?;
    }
    right.collar(hand);
    Some(())
}

/// The pieces that one half of the back view is drawn from.
pub(super) struct Back<'a> {
    pub(super) draft: &'a Draft,
    pub(super) trunk: &'a Trunk,
    pub(super) side_of: Side,
    /// Whether the vents are seen open, as when the wearer moves.
    open: bool,
    back: Found<'a>,
    side: Found<'a>,
}

/// Width at the hem of the strip of underlap that shows where a vent hangs closed, mm (judged by eye, no source).
const HANGS: f64 = 9.0;
/// Width at the hem to which a vent opens, in parts of its underlap as that is seen (judged by eye, no source).
const OPENS: f64 = 0.8;

/// Least flare of an underlap that is sprung, mm: blocks give it 7 to 10, and none to others.
const SPRUNG: f64 = 3.0;

/// Width of the cloth that laps under at a vent, mm, at its top and at the hem.
#[derive(Clone, Copy)]
struct Underlap {
    top: f64,
    foot: f64,
    /// Its width at the hem as it is seen.
    seen: f64,
}

impl<'a> Back<'a> {
    fn new(draft: &'a Draft, trunk: &'a Trunk, side: Side, open: bool) -> Option<Self> {
        Some(Self {
            draft,
            trunk,
            side_of: side,
            open,
            back: piece(draft, Part::Back, side)?,
            side: piece(draft, Part::SideBody, side)?,
        })
    }

    /// Whether this is the wearer's right half, which is on the right of the sheet.
    pub(super) fn is_right(&self) -> bool {
        self.side_of == Side::Right
    }

    /// Returns what is seen of the back, up to its seams and the folds of its vents, and of the side body.
    fn cloth(&self) -> Vec<Patch> {
        let none = |_: f64| Vec::new();
        let side = meshed(&outline(self.side.piece), &none, |p| {
            self.trunk.side_from_back(p)
        });
        let shape = self.trunk.back_to_seams(self.back.piece);
        let back = meshed(&shape, &none, |p| self.trunk.back(p));
        let side_of = Some(self.side_of);
        vec![
            patch(self.side, side_of, side),
            patch(self.back, side_of, back),
        ]
    }

    /// Returns the points of a path on the back as they are seen.
    pub(super) fn flat(&self, path: &BezPath) -> Vec<Point> {
        laid(path, |p| self.trunk.back(p))
    }

    /// Returns the fold of a piece's vent.
    fn fold(&self, piece: &DraftPiece) -> Option<BezPath> {
        vent_lines(piece).next().map(|mark| mark.path.clone())
    }

    /// Returns the scye from the shoulder down, as far as it is seen from behind.
    fn scye(&self) -> Option<Vec<Point>> {
        let mut scye = self.flat(edge(self.back.piece, Role::Scye)?);
        let onward = edge(self.side.piece, Role::Scye)?;
        scye.extend(laid(onward, |p| self.trunk.side_from_back(p)));
        Some(scye)
    }

    /// Draws one half of the body.
    fn half(&self, hand: &mut Hand) -> Option<()> {
        let neck = self.flat(edge(self.back.piece, Role::Neck)?);
        let shoulder = self.flat(edge(self.back.piece, Role::Shoulder)?);
        let scye = self.scye()?;
        let arm = scye.last().copied()?;
        let hem = self.hem()?;
        let foot = hem.first().copied()?;
        let silhouette = self.trunk.silhouette(arm, foot);
        let mut body = neck;
        body.extend(&shoulder);
        body.extend(&scye);
        body.extend(&silhouette);
        body.extend(&hem);
        hand.patches(&body, Shade::Face, self.cloth());
        hand.line(&shoulder, Stroke::Outline);
        hand.line(&silhouette, Stroke::Outline);
        hand.line(&hem, Stroke::Outline);
        let seam = edge(self.back.piece, Role::SideSeam)?;
        let seam = sampled(seam).map(|p| self.trunk.back(p));
        hand.seen(seam.map(|p| p.seen.then_some(p.at)), Stroke::Seam);
        if let Some(lap) = self.underlap(Role::SideVent) {
            let fold = self.flat(&self.fold(self.back.piece)?);
            let cloth = self.lapping(self.side, |p| self.trunk.side_from_back(p));
            self.vent(hand, &fold, lap, cloth);
        }
        Some(())
    }

    /// Returns the hem from the side to the centre back.
    fn hem(&self) -> Option<Vec<Point>> {
        let foot = |piece: &DraftPiece, seam: Role, fold: bool| {
            let path = if fold {
                self.fold(piece)
            } else {
                edge(piece, seam).cloned()
            }?;
            [geometry::start(&path)?, geometry::end(&path)?]
                .into_iter()
                .max_by(|a, b| a.y.total_cmp(&b.y))
        };
        let at_side = edge(self.back.piece, Role::SideVent).is_some();
        let at_centre = edge(self.back.piece, Role::CentreVent).is_some();
        let centre = Point::new(0.0, foot(self.back.piece, Role::CentreBack, at_centre)?.y);
        let seam = self
            .trunk
            .back(foot(self.back.piece, Role::SideSeam, at_side)?)
            .at;
        let mut side = laid(edge(self.side.piece, Role::Hem)?, |p| {
            self.trunk.side_from_back(p)
        });
        side.sort_by(|a, b| a.x.total_cmp(&b.x));
        let mut hem = smooth(&[centre, seam.midpoint(centre) + Vec2::new(0.0, 0.5), seam]);
        // Towards the side the hem is seen almost edge-on, so that its fall hardly shows.
        let onward = continued(seam, &side).into_iter();
        hem.extend(onward.map(|p| Point::new(p.x, seam.y + 0.3 * (p.y - seam.y))));
        // It ends on the silhouette, which nothing of it passes.
        let corner = hem.last().copied()?;
        let silhouette = self.trunk.half_seen(corner.y);
        hem.retain(|p| p.x < silhouette - 0.5);
        hem.push(Point::new(silhouette, corner.y));
        hem.reverse();
        Some(hem)
    }

    /// Draws a vent with the strip of underlap that shows. `cloth` is what is seen in the strip.
    fn vent(&self, hand: &mut Hand, fold: &[Point], lap: Underlap, cloth: Vec<Patch>) {
        let (Some(top), Some(foot)) = (fold.first(), fold.last()) else {
            return;
        };
        let part = |p: &Point| (p.y - top.y) / (foot.y - top.y).max(1.0);
        let spring = (lap.foot - lap.top).max(0.0);
        // As it hangs, a strip shows that widens to the hem, more where the underlap flares. When the wearer moves,
        // the upper edge swings away from the underlap, which stays behind it (judged by eye, no source).
        let apart = |p: &Point| match self.open {
            false => Vec2::new((HANGS + spring) * part(p), -1.5 * part(p)),
            true => Vec2::new(-OPENS * lap.seen * part(p).powf(1.4), -7.0 * part(p)),
        };
        let swung: Vec<Point> = fold.iter().map(|p| *p + apart(p)).collect();
        let mut strip = fold.to_vec();
        if self.open {
            // The hem of the underlap shows below the edge that is drawn aside.
            let corner = swung.last().map_or(0.0, |p| p.x);
            strip.push(Point::new(corner, foot.y));
        }
        strip.extend(swung.iter().rev());
        hand.patches(&strip, Shade::Lap, cloth);
        let strokes = if self.open {
            (Stroke::Seam, Stroke::Outline)
        } else {
            (Stroke::Edge, Stroke::Seam)
        };
        hand.line(fold, strokes.0);
        hand.line(&swung, strokes.1);
        let hidden = |p: &Point| *p - Vec2::new(lap.top + (lap.foot - lap.top) * part(p), 0.0);
        let edge = fold.iter().map(hidden);
        let edge: Vec<Point> = edge.skip_while(|p| p.y < top.y + 9.0).collect();
        hand.line(&edge, Stroke::Hidden);
        // A slanted row of stitches holds the top of the vent.
        hand.line(&[*top, *top + Vec2::new(-9.0, 9.0)], Stroke::Seam);
    }

    /// Returns what laps under at a vent: a piece with what is cut on beyond its seams.
    fn lapping(&self, of: Found, placed: impl Fn(Point) -> Placed) -> Vec<Patch> {
        let none = |_: f64| Vec::new();
        let mesh = meshed(&outline(of.piece), &none, placed);
        vec![patch(of, Some(self.side_of), mesh)]
    }

    /// Measures what laps under at a vent: the width from its fold to the edge of its piece.
    fn underlap(&self, vent: Role) -> Option<Underlap> {
        let at_side = vent == Role::SideVent;
        let piece = if at_side { self.side } else { self.back }.piece;
        let placed = |p: Point| match at_side {
            true => self.trunk.side_from_back(p).at,
            false => self.trunk.back(p).at,
        };
        let (fold, edge) = (self.fold(piece)?, edge(piece, vent)?);
        let ends = |path: &BezPath| {
            let (a, b) = (geometry::start(path)?, geometry::end(path)?);
            Some(if a.y < b.y { (a, b) } else { (b, a) })
        };
        let ((_, fold_foot), (edge_top, edge_foot)) = (ends(&fold)?, ends(edge)?);
        Some(Underlap {
            top: geometry::nearest(&fold, edge_top).distance,
            foot: fold_foot.distance(edge_foot),
            seen: (placed(fold_foot).x - placed(edge_foot).x).abs(),
        })
    }

    /// Draws the centre back seam and its vent.
    fn middle(&self, hand: &mut Hand) -> Option<()> {
        let seam = edge(self.back.piece, Role::CentreBack)?;
        let (a, b) = (geometry::start(seam)?, geometry::end(seam)?);
        let (high, low) = (a.y.min(b.y), a.y.max(b.y));
        if self.back.piece.opens.is_none() {
            hand.line(&[Point::new(0.0, high), Point::new(0.0, low)], Stroke::Seam);
        }
        if let Some(lap) = self.underlap(Role::CentreVent) {
            let fold = self.fold(self.back.piece)?;
            let foot = geometry::end(&fold)?.y.max(geometry::start(&fold)?.y);
            let line: Vec<Point> = (0..=20)
                .map(|i| Point::new(0.0, low + (foot - low) * f64::from(i) / 20.0))
                .collect();
            let cloth = self.lapping(self.back, |p| self.trunk.back(p));
            self.vent(hand, &line, lap, cloth);
        }
        Some(())
    }

    /// Draws a sleeve with the buttons of its cuff.
    fn sleeve(&self, hand: &mut Hand) -> Option<()> {
        let own = edge(self.back.piece, Role::Scye)?;
        let mut scye = measured(sampled(own), |p| self.trunk.back(p), 0.0);
        let onward = sampled(edge(self.side.piece, Role::Scye)?);
        let from = geometry::length(own);
        scye.extend(measured(onward, |p| self.trunk.side_from_back(p), from));
        let (_, shoulder) = *scye.first()?;
        let sleeve = Sleeve::new(
            self.draft,
            Hang {
                side: self.side_of,
                front: false,
                scye,
                // The sleeve comes out from under the body about a quarter of the scye above the chest line.
                leaves: self.trunk.chest - 0.24 * (self.trunk.chest - shoulder.y),
                waist: self.trunk.half_seen(self.trunk.waist),
            },
        )?;
        sleeve.draw(hand);
        Some(())
    }

    /// Draws the fall of the collar round the back of the neck.
    fn collar(&self, hand: &mut Hand) {
        let Some(neck) = edge(self.back.piece, Role::Neck).map(|path| self.flat(path)) else {
            return;
        };
        let (Some(nape), Some(point)) = (neck.first(), neck.last()) else {
            return;
        };
        // The collar's centre back is stand and fall together; the fall is about 10 mm
        // longer, so that it covers the neck seam.
        let long = piece(self.draft, Part::Collar, self.side_of)
            .and_then(|collar| edge(collar.piece, Role::CentreBack))
            .map_or(70.0, geometry::length);
        let stand = 0.43 * long;
        let fall = long - stand;
        let crease = Point::new(point.x - 8.0, point.y - 0.82 * stand);
        let top = smooth(&[
            Point::new(-crease.x, crease.y),
            Point::new(0.0, nape.y - 1.25 * stand),
            crease,
        ]);
        // The outer edge runs over the shoulders to the front.
        let out = Point::new(point.x + 0.42 * fall, point.y + 0.16 * fall + 3.0);
        let low = smooth(&[
            Point::new(-out.x, out.y),
            Point::new(-0.55 * out.x, nape.y + 0.16 * fall),
            Point::new(0.0, nape.y - 1.25 * stand + fall + 5.0),
            Point::new(0.55 * out.x, nape.y + 0.16 * fall),
            out,
        ]);
        let round = smooth(&[crease, crease.lerp(out, 0.55) + Vec2::new(3.0, -5.0), out]);
        let mut shape = top.clone();
        shape.extend(&round);
        shape.extend(low.iter().rev());
        shape.extend(round.iter().rev().map(|p| Point::new(-p.x, p.y)));
        // What is seen of it runs from the crease at the centre back round to the end of the outer edge.
        let half = |line: &[Point]| -> Vec<Point> {
            line.iter().copied().filter(|p| p.x >= 0.0).collect()
        };
        let (mut crease_line, mut rim) = (half(&top), half(&low));
        crease_line.insert(0, Point::new(0.0, nape.y - 1.25 * stand));
        rim.insert(0, Point::new(0.0, nape.y - 1.25 * stand + fall + 5.0));
        let turns = crease_line.windows(2).map(|p| p[0].distance(p[1])).sum();
        crease_line.extend(&round);
        let cloth = [Side::Right, Side::Left].map(|side| {
            let mut patch = collar::behind(self.draft, side, (&crease_line, turns), &rim)?;
            if side == Side::Left {
                mirror(&mut patch);
            }
            Some(patch)
        });
        hand.patches(&shape, Shade::Face, cloth.into_iter().flatten().collect());
        hand.line(&top, Stroke::Outline);
        hand.line(&low, Stroke::Edge);
        hand.line(&round, Stroke::Outline);
        hand.half(false).line(&round, Stroke::Outline);
        hand.line(
            &[
                Point::new(0.0, nape.y - 1.25 * stand),
                Point::new(0.0, nape.y - 1.25 * stand + fall + 5.0),
            ],
            Stroke::Seam,
        );
    }
}
