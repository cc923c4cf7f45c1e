//! The jacket from the front, buttoned left over right.

use super::hand::{EDGE, Hand, INSIDE, OUTLINE, SEAM, STITCH, along, closed, smooth};
use super::sleeve::{Hang, Sleeve};
use super::trunk::{Trunk, edge, mark, piece};
use crate::drafting::{Count, Draft, DraftEdge, DraftPiece, Mark, MarkKind, Material};
use crate::geometry;
use kurbo::{Affine, BezPath, Point, Shape, Vec2};

/// A front button is a 32-line one, 20 mm (common practice, no source).
const BUTTON: f64 = 20.0;

/// What the front is drawn from.
struct Front<'a> {
    draft: &'a Draft,
    trunk: &'a Trunk,
    fore: &'a DraftPiece,
    /// Where the lapel breaks, and where the roll line crosses the gorge.
    roll: (Point, Point),
    over: Affine,
    /// The crease of the collar beside the neck, as seen.
    neck: Point,
    /// Where neck and shoulder meet, as seen.
    neck_point: Point,
    shoulder: Point,
}

/// Draws the front; `None` if the draft is not drafted as a jacket is.
pub fn draw(draft: &Draft, hand: &mut Hand) -> Option<()> {
    let trunk = Trunk::new(draft)?;
    let front = Front::new(draft, &trunk)?;
    front.draw(hand)
}

/// A hem that goes on from where another ends: the two seams that meet there are as long as each
/// other, and so the second is brought to the level of the first.
pub fn joined_on(end: Point, next: &[Point]) -> Vec<Point> {
    let onward: Vec<Point> = next.iter().copied().filter(|p| p.x > end.x + 0.5).collect();
    let step = onward.first().map_or(0.0, |first| end.y - first.y);
    onward
        .into_iter()
        .map(|p| p + Vec2::new(0.0, step))
        .collect()
}

/// Which side of the coat a mark or piece is for.
fn is_for(words: &str, left: bool) -> bool {
    if words.contains("left") {
        left
    } else if words.contains("right") {
        !left
    } else {
        true
    }
}

impl<'a> Front<'a> {
    fn new(draft: &'a Draft, trunk: &'a Trunk) -> Option<Self> {
        let fore = piece(draft, "forepart")?;
        let line = &mark(fore, "roll line")?.path;
        let roll = (geometry::start(line)?, geometry::end(line)?);
        let shoulder = edge(fore, "shoulder")?;
        let (end, neck) = (geometry::start(shoulder)?, geometry::end(shoulder)?);
        let neck_point = trunk.front(neck)?;
        Some(Self {
            draft,
            trunk,
            fore,
            roll,
            over: Affine::reflect(roll.0, roll.1 - roll.0),
            neck: neck_point + Vec2::new(-7.0, -27.0),
            neck_point,
            shoulder: trunk.front(end)?,
        })
    }

    fn draw(&self, hand: &mut Hand) -> Option<()> {
        self.inside(hand);
        for left in [false, true] {
            let mut side = hand.side(left);
            self.half(&mut side, left)?;
        }
        for left in [false, true] {
            let mut side = hand.side(left);
            self.collar(&mut side);
            self.sleeve(&mut side)?;
        }
        self.buttons(hand);
        Some(())
    }

    /// What is seen of the inside: the back of the neck, and the back below the quarters.
    fn inside(&self, hand: &mut Hand) {
        let (neck, seam) = (self.neck, self.neck_point);
        let middle = Point::new(0.0, neck.y + 10.0);
        let across = |a: Point, middle: Point| smooth(&[a, middle, Point::new(-a.x, a.y)]);
        let top = across(neck, middle);
        let low = across(seam, Point::new(0.0, seam.y + 14.0));
        let roll = self.straight(self.roll.1, self.roll.0);
        let mut shape = top.clone();
        shape.extend(roll.iter().map(|p| Point::new(-p.x, p.y)));
        shape.extend(roll.iter().rev());
        hand.shape(&shape, INSIDE);
        let mut band = top.clone();
        band.extend(low.iter().rev());
        hand.shape(&band, 0.97);
        hand.line(&top, OUTLINE);
        hand.line(&low, SEAM);
        // Below the quarters: the back's hem.
        let Some(hem) = piece(self.draft, "back").and_then(|back| edge(back, "hem")) else {
            return;
        };
        let Some(level) = geometry::end(hem).map(|end| end.y) else {
            return;
        };
        let wide = 0.8 * self.trunk.half_seen(level);
        let hem = smooth(&[
            Point::new(-wide, level),
            Point::new(0.0, level - 7.0),
            Point::new(wide, level),
        ]);
        let mut shape = hem.clone();
        shape.extend([
            Point::new(wide, self.trunk.waist),
            Point::new(-wide, self.trunk.waist),
        ]);
        hand.shape(&shape, INSIDE);
        hand.line(&hem, SEAM);
    }

    /// A point of the forepart as seen, turned over with the lapel if it lies beyond the roll line.
    fn seen(&self, p: Point) -> Option<Point> {
        self.trunk.front(self.turned(p))
    }

    /// Whether a point lies on the lapel.
    fn on_lapel(&self, p: Point) -> bool {
        let (breaks, top) = self.roll;
        p.y < breaks.y + 0.5 && (top - breaks).cross(p - breaks) > 0.5
    }

    fn turned(&self, p: Point) -> Point {
        if self.on_lapel(p) { self.over * p } else { p }
    }

    /// A path as seen; only the part on this side of the figure.
    fn line(&self, path: &BezPath) -> Vec<Point> {
        along(path, 3.0)
            .into_iter()
            .filter_map(|p| self.seen(p))
            .collect()
    }

    /// Points of a path of the body, which does not turn over.
    fn flat(&self, path: &BezPath) -> Vec<Point> {
        along(path, 3.0)
            .into_iter()
            .filter_map(|p| self.trunk.front(p))
            .collect()
    }

    fn lying(&self, path: &BezPath) -> Vec<Point> {
        let over = self.over * path;
        along(&over, 3.0)
            .into_iter()
            .filter_map(|p| self.trunk.front(p))
            .collect()
    }

    fn straight(&self, a: Point, b: Point) -> Vec<Point> {
        let mut path = BezPath::new();
        path.move_to(a);
        path.line_to(b);
        self.flat(&path)
    }

    fn edge(&self, name: &str) -> Option<&'a BezPath> {
        edge(self.fore, name)
    }

    /// One forepart with its side body, pockets and lapel.
    fn half(&self, hand: &mut Hand, left: bool) -> Option<()> {
        let side = piece(self.draft, "side body")?;
        let (breaks, top) = self.roll;
        let shoulder = self.flat(self.edge("shoulder")?);
        let neck = self.flat(self.edge("neck")?);
        let roll = self.straight(top, breaks);
        let front_edge = self.flat(self.edge("front edge")?);
        let mut hem = self.flat(self.edge("hem")?);
        let side_hem = along(edge(side, "hem")?, 3.0).into_iter().rev();
        let side_hem: Vec<Point> = side_hem
            .filter_map(|p| self.trunk.side_from_front(p))
            .collect();
        let end = hem.last().copied().unwrap_or_default();
        hem.extend(joined_on(end, &side_hem));
        let foot = hem.last().copied()?;
        let scye = self.flat(self.edge("scye")?);
        let arm = scye.first().copied()?;
        let silhouette = self.silhouette(arm, foot);
        let mut body = shoulder.clone();
        body.extend(&neck);
        body.extend(&roll);
        body.extend(&front_edge);
        body.extend(&hem);
        body.extend(silhouette.iter().rev());
        body.extend(&scye);
        hand.shape(&body, 1.0);
        hand.line(&shoulder, OUTLINE);
        hand.line(&front_edge, OUTLINE);
        hand.line(&hem, OUTLINE);
        hand.line(&silhouette, OUTLINE);
        let under = self.edge("under-arm seam")?;
        hand.seen(
            along(under, 3.0).into_iter().map(|p| self.trunk.front(p)),
            SEAM,
        );
        if let Some(dart) = mark(self.fore, "dart") {
            hand.line(&self.flat(&dart.path), SEAM);
        }
        self.pockets(hand, left);
        self.lapel(hand)?;
        for mark in &self.fore.marks {
            self.mark(hand, mark, left);
        }
        Some(())
    }

    /// The side of the trunk, from under the arm to the hem.
    fn silhouette(&self, arm: Point, foot: Point) -> Vec<Point> {
        let mut line = vec![arm];
        let mut y = arm.y + 12.0;
        while y < foot.y - 3.0 {
            line.push(Point::new(self.trunk.half_seen(y), y));
            y += 6.0;
        }
        line.push(Point::new(self.trunk.half_seen(foot.y).max(foot.x), foot.y));
        line
    }

    /// The lapel, turned over about the roll line, with its seam to the collar.
    fn lapel(&self, hand: &mut Hand) -> Option<()> {
        let (breaks, top) = self.roll;
        let line = self.lapel_line()?;
        hand.shape(&self.lapel_shape()?, 1.0);
        hand.line(&line, EDGE);
        hand.line(&self.straight(top, breaks), EDGE);
        Some(())
    }

    /// The forepart's edges from the gorge round the lapel.
    fn lapel_edges(&self) -> impl Iterator<Item = &DraftEdge> {
        let edges = self.fore.edges.iter();
        edges
            .skip_while(|edge| edge.name != "gorge")
            .take_while(|edge| edge.name != "front edge")
    }

    /// Whether collar and lapel make a step: a shawl has none, nor a seam that is seen.
    fn has_step(&self) -> bool {
        let collar = piece(self.draft, "under-collar");
        collar.is_none_or(|collar| edge(collar, "front edge").is_some())
    }

    /// The lapel's outline, its roll line included.
    fn lapel_shape(&self) -> Option<Vec<Point>> {
        let (breaks, top) = self.roll;
        let mut shape = self.lapel_line()?;
        shape.extend(self.straight(breaks, top));
        Some(shape)
    }

    /// From the gorge's end of the roll line round the lapel to the break.
    fn lapel_line(&self) -> Option<Vec<Point>> {
        let (breaks, top) = self.roll;
        let mut line = Vec::new();
        for edge in self.lapel_edges() {
            if edge.name != "gorge" || self.has_step() {
                let points = along(&edge.path, 3.0).into_iter();
                line.extend(
                    points
                        .filter(|p| self.on_lapel(*p))
                        .filter_map(|p| self.seen(p)),
                );
            }
        }
        if self.has_step() {
            line.insert(0, self.trunk.front(top)?);
        }
        line.push(self.trunk.front(breaks)?);
        Some(line)
    }

    /// Stitches, holes, darts; buttons come last of all.
    fn mark(&self, hand: &mut Hand, mark: &Mark, left: bool) {
        if !is_for(&mark.name, left) {
            return;
        }
        match mark.kind {
            MarkKind::Place if mark.name.contains("stitch") => {
                let lapel = closed(&self.lapel_shape().unwrap_or_default());
                let kept = |p: Point| {
                    let seen = self.seen(p)?;
                    (!self.on_lapel(p) || lapel.contains(seen)).then_some(seen)
                };
                hand.seen(along(&mark.path, 3.0).into_iter().map(kept), STITCH);
            }
            MarkKind::Buttonhole if !mark.name.contains("inner") => {
                hand.line(&self.line(&mark.path), EDGE);
            }
            _ => {}
        }
    }

    /// Mouths, then what covers them: jets, welts, patches, flaps.
    fn pockets(&self, hand: &mut Hand, left: bool) {
        for mark in self
            .fore
            .marks
            .iter()
            .filter(|mark| is_for(&mark.name, left))
        {
            if mark.kind == MarkKind::Place && mark.name.contains("pocket") {
                self.mouth(hand, mark);
            }
        }
        for mark in self
            .fore
            .marks
            .iter()
            .filter(|mark| is_for(&mark.name, left))
        {
            if mark.kind == MarkKind::Place && mark.name.contains("welt") {
                let outline = self.flat(&mark.path);
                hand.shape(&outline, 1.0);
                hand.line(&outline, EDGE);
            }
        }
        let laid = |piece: &&DraftPiece| {
            piece.material == Material::Cloth
                && (piece.name.ends_with("flap") || piece.name.ends_with("patch"))
        };
        for piece in self.draft.pieces.iter().filter(laid) {
            let here = match piece.count {
                Count::Pairs(_) => true,
                Count::Alike(_) => left == piece.name.contains("breast"),
            };
            if here {
                let path = geometry::joined(piece.edges.iter().map(|edge| &edge.path), 0.02);
                let outline = self.flat(&path);
                hand.shape(&outline, 1.0);
                hand.line(&outline, EDGE);
                for stitch in piece
                    .marks
                    .iter()
                    .filter(|mark| mark.name.contains("stitch"))
                {
                    hand.line(&self.flat(&stitch.path), STITCH);
                }
            }
        }
    }

    /// A mouth with the jets that bind it, if there are any.
    fn mouth(&self, hand: &mut Hand, mark: &Mark) {
        let first = mark.name.split(' ').next().unwrap_or_default();
        let jet = format!("{first} jet");
        let Some(jet) = piece(self.draft, &jet) else {
            return;
        };
        let deep = jet.edges.first().map_or(5.0, |seam| {
            let fold = geometry::start(&mark.path).unwrap_or_default();
            geometry::nearest(&seam.path, fold).distance
        });
        let (Some(a), Some(b)) = (geometry::start(&mark.path), geometry::end(&mark.path)) else {
            return;
        };
        let way = (b - a).normalize();
        let down = Vec2::new(-way.y, way.x) * deep.clamp(3.0, 8.0);
        let mut outline = self.straight(a - down, b - down);
        outline.extend(self.straight(b - down, b + down));
        outline.extend(self.straight(b + down, a + down));
        outline.extend(self.straight(a + down, a - down));
        hand.shape(&outline, 1.0);
        hand.line(&outline, SEAM);
        hand.line(&self.straight(a, b), EDGE);
    }

    /// The collar's front half, its fall turned down over neck and shoulder.
    fn collar(&self, hand: &mut Hand) {
        let Some(collar) = piece(self.draft, "under-collar") else {
            return;
        };
        let Some(outer) = edge(collar, "outer edge") else {
            return;
        };
        // From the point up to where the fall passes over the shoulder.
        let (a, b) = (self.neck_point, self.shoulder);
        let below = |p: &Point| (b - a).cross(*p - a) > 0.0;
        let mut fall = self.lying(outer);
        if fall.last().is_some_and(below) {
            fall.reverse();
        }
        let fall: Vec<Point> = fall.into_iter().take_while(below).collect();
        let Some(over) = fall.last().copied() else {
            return;
        };
        let way = (b - a).normalize();
        let over = a + way * (over - a).dot(way).max(6.0) - Vec2::new(0.0, 2.0);
        let crest = self.neck.lerp(over, 0.5) + Vec2::new(4.0, -6.5);
        // The fall rounds over the shoulder: the last of its edge is drawn anew with what follows.
        let keep = fall
            .iter()
            .take_while(|p| p.distance(over) > 22.0)
            .count()
            .max(1);
        let fall = fall[..keep].to_vec();
        let last = fall[keep - 1];
        let before = fall[keep.saturating_sub(6)];
        let run = if last.distance(before) > 1.0 {
            (last - before).normalize()
        } else {
            Vec2::new(0.0, -1.0)
        };
        let mut knots = vec![crate::geometry::Knot::toward(last, run)];
        knots.extend([over, crest, self.neck].map(crate::geometry::Knot::new));
        let over_shoulder = along(&crate::geometry::spline(&knots), 3.0);
        let front = edge(collar, "front edge");
        let mut step = front.map(|path| self.lying(path)).unwrap_or_default();
        if step
            .first()
            .zip(fall.first())
            .is_some_and(|(p, tip)| p.distance(*tip) > 3.0)
        {
            step.reverse();
        }
        // Back along the crease to the roll line, and along the gorge to the step.
        let Some(root) = self.trunk.front(self.roll.1) else {
            return;
        };
        let crease = smooth(&[
            self.neck,
            self.neck.lerp(root, 0.5) + Vec2::new(1.0, 0.0),
            root,
        ]);
        let gorge = edge(collar, "gorge")
            .map(|path| self.gorge(path))
            .unwrap_or_default();
        let mut shape: Vec<Point> = step.iter().rev().copied().collect();
        shape.extend(&fall);
        shape.extend(&over_shoulder);
        shape.extend(&crease);
        shape.extend(&gorge);
        hand.shape(&shape, 1.0);
        hand.line(&step, EDGE);
        let mut outer = fall.clone();
        outer.extend(&over_shoulder);
        hand.line(&outer, EDGE);
        hand.line(&crease, EDGE);
        if self.has_step() {
            hand.line(&gorge, SEAM);
        }
    }

    /// The seam of collar and lapel, from the roll line to the step.
    fn gorge(&self, path: &BezPath) -> Vec<Point> {
        let points: Vec<Point> = along(path, 2.0)
            .into_iter()
            .filter(|p| self.on_lapel(*p))
            .collect();
        let mut points: Vec<Point> = points.into_iter().filter_map(|p| self.seen(p)).collect();
        if let (Some(root), Some(first), Some(last)) =
            (self.trunk.front(self.roll.1), points.first(), points.last())
        {
            if last.distance(root) < first.distance(root) {
                points.reverse();
            }
            points.insert(0, root);
        }
        points
    }

    fn sleeve(&self, hand: &mut Hand) -> Option<()> {
        let scye: Vec<Point> = self.flat(self.edge("scye")?).into_iter().rev().collect();
        // The sleeve's inside comes out from under the body a little above the chest line.
        let leaves = self.trunk.chest - 0.16 * (self.trunk.chest - self.shoulder.y);
        let scye: Vec<Point> = scye.into_iter().take_while(|p| p.y < leaves).collect();
        let hang = Hang {
            shoulder: self.shoulder,
            inside: scye.last().copied()?,
        };
        let sleeve = Sleeve::new(self.draft, &hang)?;
        sleeve.draw(hand, &scye);
        sleeve.draw_buttons(hand, 0.93, 0.45);
        Some(())
    }

    /// The buttons that are seen: not those inside, nor those under a lapel.
    fn buttons(&self, hand: &mut Hand) {
        let lapel = closed(&self.lapel_shape().unwrap_or_default());
        for mark in self
            .fore
            .marks
            .iter()
            .filter(|mark| mark.kind == MarkKind::Button)
        {
            let at = geometry::start(&mark.path).unwrap_or_default();
            let seen = self.trunk.front(at).filter(|seen| {
                !mark.name.contains("inner") && !self.on_lapel(at) && !lapel.contains(*seen)
            });
            let Some(seen) = seen else {
                continue;
            };
            // A button of the right forepart is seen through its hole in the left.
            for left in [true, false] {
                if is_for(&mark.name, left) {
                    hand.side(left).button(seen, BUTTON, 1.0);
                }
            }
        }
    }
}
