//! Shapes: an item's outline in each of the ways it may lie, and the parts to be laid.

use super::fold;
use super::matching;
use super::strip::{Rail, Strip};
use super::types::{ClothRules, Item, LayFault};
use crate::drafting::Count;
use crate::order::Layout;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use i_overlay::mesh::float::outline::offset::OutlineOffset;
use i_overlay::mesh::float::style::{LineJoin, OutlineStyle};
use kurbo::{Affine, Point, Rect, Vec2};

/// A closed run of corners; the first is not repeated.
pub type Contour = Vec<Point>;

/// Corners closer than this are one corner, mm.
const SAME: f64 = 1e-3;

/// Corners of shapes lie on a grid of this fineness, mm: so fine that no knife can tell, and so
/// coarse that sums of corners and products of edges up to 8 m long are exact. Edges that are
/// parallel are then known to be, and a no-fit region has no slits where two of its steps ought to
/// coincide and by rounding do not.
const GRID: f64 = 1.0 / 8192.0;

/// What lies further than this from where its outline's coordinates begin is no piece of cloth, mm.
const FARTHEST: f64 = 1e6;

/// An outline round a curve may cross itself in a notch or a slit by less than this, mm²: what is cut
/// off there is not laid, and no shears would find it. Drafted outlines stay below 0.001.
const CROSSED: f64 = 1.0;

/// An outline in one way of lying, moved so that its box starts at the origin.
#[derive(Debug, Clone)]
pub struct Shape {
    /// Outer contour (counter-clockwise in x right, y up) and holes (the other way round).
    pub contours: Vec<Contour>,
    /// Extent across and along the cloth.
    pub size: Vec2,
    /// Area in mm².
    pub area: f64,
    /// The shape of which this is a turned or mirrored one, itself if of none.
    pub base: usize,
    /// How: the sign of each axis about the centre of the box.
    pub flip: Vec2,
}

/// A way in which a part may lie.
#[derive(Debug, Clone)]
pub struct Way {
    /// Index of the shape it takes.
    pub shape: usize,
    /// Turn from the grain along the cloth, and how much of it is a tilt off the grain.
    pub degrees: f64,
    pub tilt: f64,
    /// From the item's coordinates to the shape's.
    pub to_shape: Affine,
    /// Where the centre of its box may be, across and along.
    pub rails: [Rail; 2],
}

/// One thing to be laid.
#[derive(Debug, Clone)]
pub struct Part {
    /// Index of the item.
    pub item: usize,
    /// Which copy of it.
    pub copy: u32,
    /// Whether it lies mirrored.
    pub mirrored: bool,
    /// Plies it is cut through.
    pub plies: u32,
    /// Whether it is half of an item, on the fold.
    pub on_fold: bool,
    /// The ways it may lie, each with its own shape.
    pub ways: Vec<Way>,
}

/// The contours of an item, and those grown by half the gap that is kept round it.
struct Grown {
    net: Vec<Contour>,
    contours: Vec<Contour>,
    gap: f64,
}

impl Grown {
    fn new(item: &Item, gap: f64) -> Result<Self, LayFault> {
        let net = grown(item, 0.0)?;
        let contours = if gap > 0.0 {
            grown(item, gap / 2.0)?
        } else {
            net.clone()
        };
        Ok(Self { net, contours, gap })
    }
}

/// The shapes of some items in all the ways they may lie, whatever the cloth.
#[derive(Debug)]
pub struct Shapes {
    /// Distinct shapes.
    pub list: Vec<Shape>,
    /// The same without the gap: corners rounded for it do not tell what is the same turned over.
    nets: Vec<Shape>,
    /// For each item the ways it may lie: as it is, and mirrored.
    ways: Vec<[Vec<Way>; 2]>,
    /// The ways in which half of it may lie on the fold of the cloth.
    halves: Vec<Vec<Way>>,
}

impl Shapes {
    /// The shapes of `items`, each grown by half the gap that is kept between pieces.
    pub fn new(items: &[Item], gap: f64) -> Result<Self, LayFault> {
        let mut shapes = Shapes {
            list: Vec::new(),
            nets: Vec::new(),
            ways: Vec::new(),
            halves: Vec::new(),
        };
        for item in items {
            let contours = Grown::new(item, gap)?;
            let ways = [false, true].map(|mirrored| shapes.lying(item, &contours, mirrored));
            shapes.ways.push(ways);
            let halves = shapes.halves(item, gap)?;
            shapes.halves.push(halves);
        }
        Ok(shapes)
    }

    /// The ways in which half of an item may lie on the fold.
    fn halves(&mut self, item: &Item, gap: f64) -> Result<Vec<Way>, LayFault> {
        let mut ways = Vec::new();
        if let (Some(at), true) = (item.fold, item.holes.is_empty()) {
            for &degrees in item.turns.iter().filter(|turn| *turn % 180.0 == 0.0) {
                let half = Item {
                    turns: vec![degrees],
                    off_grain: 0.0,
                    ..fold::half(item, at, degrees)
                };
                ways.extend(self.lying(&half, &Grown::new(&half, gap)?, false));
            }
        }
        Ok(ways)
    }

    /// All ways an item may lie.
    fn lying(&mut self, item: &Item, grown: &Grown, mirrored: bool) -> Vec<Way> {
        let along = Affine::rotate(std::f64::consts::FRAC_PI_2 - item.grain.atan2());
        let mirror = if mirrored {
            Affine::FLIP_X
        } else {
            Affine::IDENTITY
        };
        let tilts: &[f64] = if item.off_grain > 0.0 {
            &[0.0, item.off_grain, -item.off_grain]
        } else {
            &[0.0]
        };
        let turns = tilts
            .iter()
            .flat_map(|tilt| item.turns.iter().map(move |turn| (turn + tilt, *tilt)));
        let lying = |(degrees, tilt): (f64, f64)| {
            let turned = rotation(degrees) * mirror * along;
            let (shape, to_shape) = Shape::new(&grown.contours, turned, &item.outline, grown.gap);
            let (net, _) = Shape::new(&grown.net, turned, &item.outline, 0.0);
            Way {
                shape: self.share(shape, net),
                degrees,
                tilt,
                to_shape,
                rails: [Rail::default(); 2],
            }
        };
        turns.map(lying).collect()
    }

    /// The ways an item may lie on a cloth. What must match there lies along the grain; of ways that
    /// come out the same, one is given unless they lie differently on the pattern.
    fn ways(&self, index: usize, mirrored: bool, matched: bool, tilted: bool) -> Vec<Way> {
        let mut ways: Vec<Way> = Vec::new();
        for way in &self.ways[index][usize::from(mirrored)] {
            let allowed = if matched {
                way.degrees % 180.0 == 0.0
            } else if !tilted && way.tilt != 0.0 {
                false
            } else {
                ways.iter().all(|other| other.shape != way.shape)
            };
            if allowed {
                ways.push(way.clone());
            }
        }
        ways
    }

    /// The index of a shape equal to this one, added if there is none.
    fn share(&mut self, shape: Shape, net: Shape) -> usize {
        if let Some(index) = self.nets.iter().position(|s| s.is_same(&net)) {
            return index;
        }
        let flips = [
            Vec2::new(-1.0, -1.0),
            Vec2::new(-1.0, 1.0),
            Vec2::new(1.0, -1.0),
        ];
        let own = (self.list.len(), Vec2::new(1.0, 1.0));
        let (base, flip) = (0..self.list.len())
            .filter(|&i| self.list[i].base == i)
            .flat_map(|i| flips.map(|flip| (i, flip)))
            .find(|&(i, flip)| self.nets[i].flipped(flip).is_same(&net))
            .unwrap_or(own);
        self.nets.push(net);
        self.list.push(if base == own.0 {
            Shape {
                base,
                flip,
                ..shape
            }
        } else {
            Shape {
                base,
                flip,
                ..self.list[base].flipped(flip)
            }
        });
        self.list.len() - 1
    }
}

/// Everything to be laid on a strip of a given width.
#[derive(Debug, Clone)]
pub struct Work<'a> {
    /// Distinct shapes.
    pub shapes: &'a [Shape],
    /// What is to be laid.
    pub parts: Vec<Part>,
    /// Width of the strip: the usable width and the gap.
    pub width: f64,
    /// Gap kept between parts; it is grown round the shapes.
    pub gap: f64,
    /// Repeat of the cloth's pattern.
    pub repeat: Vec2,
}

impl<'a> Work<'a> {
    /// The parts of `items` on a cloth. The strip is widened by the gap, by half of which each
    /// shape has grown, so that a piece may lie against the edge of the cloth. `tilted`: pieces may lie off
    /// the grain as far as they allow, if the cloth has no pattern.
    pub fn new(
        shapes: &'a Shapes,
        items: &[Item],
        cloth: &ClothRules,
        tilted: bool,
    ) -> Result<Self, LayFault> {
        let (left, right) = cloth.usable();
        let mut work = Work {
            shapes: &shapes.list,
            parts: Vec::new(),
            width: right - left + cloth.gap,
            gap: cloth.gap,
            repeat: cloth.repeat,
        };
        let patterned = cloth.repeat != Vec2::ZERO;
        let tilted = tilted && !patterned;
        for (index, item) in items.iter().enumerate() {
            if work.lies_on_fold(index, item, shapes, cloth) {
                continue;
            }
            let matched = patterned && matching::is_matched(item, items);
            let ways = |mirrored| shapes.ways(index, mirrored, matched, tilted);
            let (straight, mirrored) = (ways(false), ways(true));
            if !straight.iter().any(|w| work.fits(w)) {
                let needs = straight
                    .iter()
                    .map(|w| work.shapes[w.shape].size.x)
                    .fold(f64::INFINITY, f64::min);
                return Err(LayFault::TooWide {
                    name: item.name.clone(),
                    needs: needs - cloth.gap,
                    usable: right - left,
                });
            }
            let keep = |ways: &[Way]| -> Vec<Way> {
                ways.iter().filter(|w| work.fits(w)).cloned().collect()
            };
            let (straight, mirrored) = (keep(&straight), keep(&mirrored));
            let same_both_ways = straight
                .iter()
                .any(|a| mirrored.iter().any(|b| a.shape == b.shape));
            let (pairs, singles) = match (cloth.layout, item.count) {
                (Layout::Doubled, Count::Pairs(n)) => (n, 0),
                // Alike pieces come out of folded cloth as a pair only when the mirrored one is the same.
                (Layout::Doubled, Count::Alike(n)) if same_both_ways => (n / 2, n % 2),
                (_, Count::Alike(n)) => (0, n),
                (Layout::Open, Count::Pairs(n)) => (0, 2 * n),
            };
            for copy in 0..pairs {
                work.parts.push(Part {
                    item: index,
                    copy,
                    mirrored: false,
                    plies: 2,
                    on_fold: false,
                    ways: straight.clone(),
                });
            }
            for single in 0..singles {
                let is_mirrored = matches!(item.count, Count::Pairs(_)) && single % 2 == 1;
                let ways = if is_mirrored { &mirrored } else { &straight };
                work.parts.push(Part {
                    item: index,
                    copy: pairs + single,
                    mirrored: is_mirrored,
                    plies: 1,
                    on_fold: false,
                    ways: ways.clone(),
                });
            }
        }
        matching::hold(&mut work, items, cloth)?;
        work.hold_on_fold();
        let strip = Strip {
            width: work.width,
            bays: vec![(0.0, f64::MAX)],
        };
        for part in &work.parts {
            let size = |way: &Way| work.shapes[way.shape].size;
            let stands = |way: &Way| !strip.room(size(way), way.rails).is_empty();
            if !part.ways.iter().any(stands) {
                return Err(LayFault::OffPattern {
                    name: items[part.item].name.clone(),
                });
            }
        }
        Ok(work)
    }

    /// Adds the parts of an item that is cut on the fold of a doubled cloth; false for any other.
    fn lies_on_fold(
        &mut self,
        index: usize,
        item: &Item,
        shapes: &Shapes,
        cloth: &ClothRules,
    ) -> bool {
        let (Layout::Doubled, Count::Alike(n)) = (cloth.layout, item.count) else {
            return false;
        };
        let halves = shapes.halves[index].iter();
        let ways: Vec<Way> = halves.filter(|way| self.fits(way)).cloned().collect();
        if ways.is_empty() {
            return false;
        }
        self.parts.extend((0..n).map(|copy| Part {
            item: index,
            copy,
            mirrored: false,
            plies: 2,
            on_fold: true,
            ways: ways.clone(),
        }));
        true
    }

    /// Leaves parts on the fold one place across: against the right edge of the strip, where the fold is.
    fn hold_on_fold(&mut self) {
        for part in self.parts.iter_mut().filter(|part| part.on_fold) {
            for way in &mut part.ways {
                let half = self.shapes[way.shape].size.x / 2.0;
                way.rails[0] = Rail {
                    phase: self.width - half,
                    step: 2.0 * self.width,
                };
            }
        }
    }

    /// Where the pattern of the cloth begins, on the strip: across in the middle of the cloth, along
    /// where the strip does.
    pub fn origin(&self, cloth: &ClothRules) -> Vec2 {
        let left = cloth.usable().0 - cloth.gap / 2.0;
        Vec2::new(cloth.width / 2.0 - left, 0.0)
    }

    fn fits(&self, way: &Way) -> bool {
        self.shapes[way.shape].size.x <= self.width + SAME
    }
}

impl Shape {
    /// The contours moved by `turned` and then so that their box starts at the origin, with the
    /// whole movement. The box is that of the net outline grown by half the gap: chords of rounded
    /// corners do not quite reach it.
    fn new(contours: &[Contour], turned: Affine, net: &[Point], gap: f64) -> (Self, Affine) {
        let mut contours: Vec<Contour> = contours
            .iter()
            .map(|c| c.iter().map(|&p| turned * p).collect())
            .collect();
        let net: Contour = net.iter().map(|&p| turned * p).collect();
        let bounds = bounds(&net).inset(gap / 2.0);
        let shift = -bounds.origin().to_vec2();
        for contour in &mut contours {
            for p in contour.iter_mut() {
                *p = on_grid(*p + shift);
            }
            straighten(contour);
        }
        contours.retain(|contour| contour.len() > 2);
        for (index, contour) in contours.iter_mut().enumerate() {
            if (signed_area(contour) > 0.0) != (index == 0) {
                contour.reverse();
            }
        }
        let area = contours.iter().map(|c| signed_area(c)).sum();
        let size = on_grid(bounds.size().to_vec2().to_point()).to_vec2();
        let shape = Shape {
            contours,
            size,
            area,
            base: 0,
            flip: Vec2::new(1.0, 1.0),
        };
        (shape, Affine::translate(shift) * turned)
    }

    /// The shape turned over about the centre of its box, by the sign of each axis.
    pub fn flipped(&self, flip: Vec2) -> Self {
        let turn = |size: f64, sign: f64, at: f64| if sign < 0.0 { size - at } else { at };
        let contours = self.contours.iter().map(|contour| {
            let mut turned: Contour = contour
                .iter()
                .map(|p| {
                    Point::new(
                        turn(self.size.x, flip.x, p.x),
                        turn(self.size.y, flip.y, p.y),
                    )
                })
                .collect();
            if flip.x * flip.y < 0.0 {
                turned.reverse();
            }
            turned
        });
        Shape {
            contours: contours.collect(),
            ..*self
        }
    }

    /// Whether two shapes have the same corners, wherever their contours start.
    fn is_same(&self, other: &Self) -> bool {
        self.contours.len() == other.contours.len()
            && (self.size - other.size).hypot() < SAME
            && self.contours.iter().zip(&other.contours).all(|(a, b)| {
                a.len() == b.len()
                    && (0..b.len()).any(|start| {
                        let round = b[start..].iter().chain(&b[..start]);
                        a.iter().zip(round).all(|(p, q)| (*p - *q).hypot() < SAME)
                    })
            })
    }
}

fn on_grid(p: Point) -> Point {
    Point::new((p.x / GRID).round() * GRID, (p.y / GRID).round() * GRID)
}

/// Drops corners that repeat the one before or lie on the line of their neighbours.
fn straighten(contour: &mut Contour) {
    let mut index = 0;
    let mut kept = 0;
    while contour.len() > 2 && kept < contour.len() {
        let count = contour.len();
        index %= count;
        let (before, at, after) = (
            contour[(index + count - 1) % count],
            contour[index],
            contour[(index + 1) % count],
        );
        if (at - before).cross(after - at) == 0.0 {
            contour.remove(index);
            // The corner before may now lie on a line.
            index = (index + count - 1) % count;
            kept = 0;
        } else {
            index += 1;
            kept += 1;
        }
    }
}

/// The item's outline and holes as clean contours, grown by `by`.
fn grown(item: &Item, by: f64) -> Result<Vec<Contour>, LayFault> {
    let fault = || LayFault::Outline {
        name: item.name.clone(),
    };
    if !is_measured(item) || !bounds_one_region(&item.outline) {
        return Err(fault());
    }
    let mut contours: Vec<Vec<[f64; 2]>> = vec![item.outline.iter().map(|p| [p.x, p.y]).collect()];
    if signed_area(&item.outline) < 0.0 {
        contours[0].reverse();
    }
    for hole in &item.holes {
        let mut corners: Vec<[f64; 2]> = hole.iter().map(|p| [p.x, p.y]).collect();
        if signed_area(hole) > 0.0 {
            corners.reverse();
        }
        contours.push(corners);
    }
    let none: Vec<Vec<[f64; 2]>> = Vec::new();
    let mut shapes = contours.overlay(&none, OverlayRule::Subject, FillRule::NonZero);
    if by > 0.0 {
        // Chords of a round corner cut inside it, at this step by 0.5 % of the offset.
        let style = OutlineStyle::new(by).line_join(LineJoin::Round(0.2));
        shapes = shapes.outline(&style);
    }
    let largest = shapes
        .into_iter()
        .max_by(|a, b| area_of(a).total_cmp(&area_of(b)));
    let contours: Vec<Contour> = largest
        .ok_or_else(fault)?
        .into_iter()
        .map(|c| c.into_iter().map(|p| Point::new(p[0], p[1])).collect())
        .collect();
    let usable = contours
        .first()
        .is_some_and(|c| signed_area(c).abs() > SAME);
    if usable { Ok(contours) } else { Err(fault()) }
}

/// Whether everything about an item is a number, and near enough to be one of a piece of cloth.
fn is_measured(item: &Item) -> bool {
    let near = |p: &Point| p.x.abs() <= FARTHEST && p.y.abs() <= FARTHEST;
    let matched = item.matches.iter().flat_map(|m| [&m.at, &m.partner_at]);
    let corners = item.outline.iter().chain(item.holes.iter().flatten());
    corners.chain(matched).chain(&item.fold).all(near)
        && item.off_grain.is_finite()
        && item.turns.iter().all(|degrees| degrees.is_finite())
        && item.grain.is_finite()
}

/// Whether an outline goes round one region, and once: what it crosses over beyond that would not be
/// laid with it, and other pieces would be laid there.
fn bounds_one_region(outline: &[Point]) -> bool {
    let corners: Vec<[f64; 2]> = outline.iter().map(|p| [p.x, p.y]).collect();
    let none: Vec<Vec<[f64; 2]>> = Vec::new();
    let regions = vec![corners].overlay(&none, OverlayRule::Subject, FillRule::NonZero);
    let areas = regions.iter().map(|region| {
        let holes = region
            .iter()
            .skip(1)
            .map(|hole| area_of(std::slice::from_ref(hole)));
        area_of(region) - holes.sum::<f64>()
    });
    let (all, largest) = areas.fold((0.0, 0.0_f64), |(all, most), a| (all + a, most.max(a)));
    all - largest < CROSSED && (largest - signed_area(outline).abs()).abs() < CROSSED
}

fn area_of(shape: &[Vec<[f64; 2]>]) -> f64 {
    shape.first().map_or(0.0, |c| {
        let points: Contour = c.iter().map(|p| Point::new(p[0], p[1])).collect();
        signed_area(&points).abs()
    })
}

/// A turn by `degrees`, exact for quarter turns.
pub fn rotation(degrees: f64) -> Affine {
    let quarters = degrees / 90.0;
    if quarters.fract() != 0.0 {
        return Affine::rotate(degrees.to_radians());
    }
    match quarters.rem_euclid(4.0) as u8 {
        0 => Affine::IDENTITY,
        1 => Affine::new([0.0, 1.0, -1.0, 0.0, 0.0, 0.0]),
        2 => Affine::new([-1.0, 0.0, 0.0, -1.0, 0.0, 0.0]),
        _ => Affine::new([0.0, -1.0, 1.0, 0.0, 0.0, 0.0]),
    }
}

/// Twice-signed shoelace area halved: positive when the corners run from x towards y.
pub fn signed_area(contour: &[Point]) -> f64 {
    let Some(&origin) = contour.first() else {
        return 0.0;
    };
    let mut sum = 0.0;
    for (p, q) in edges(contour) {
        sum += (p - origin).cross(q - origin);
    }
    sum / 2.0
}

/// The box round a contour; empty at the origin for none.
pub fn bounds(contour: &[Point]) -> Rect {
    let mut points = contour.iter();
    let Some(&first) = points.next() else {
        return Rect::ZERO;
    };
    points.fold(Rect::from_points(first, first), |r, &p| r.union_pt(p))
}

/// The edges of a closed contour.
pub fn edges(contour: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    contour
        .iter()
        .copied()
        .zip(contour.iter().copied().cycle().skip(1))
}
