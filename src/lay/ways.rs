//! The ways in which items may lie, each with its shape; what is the same turned over shares one.

use super::clean::Grown;
use super::contour::rotation;
use super::fold;
use super::shape::Shape;
use super::strip::Rail;
use super::types::{Item, LayFault, Placement};
use kurbo::{Affine, Vec2};

/// A way in which a part may lie.
#[derive(Debug, Clone)]
pub(super) struct Way {
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

/// The shapes of some items in all the ways they may lie, whatever the cloth.
#[derive(Debug)]
pub(super) struct Shapes {
    /// Distinct shapes.
    pub list: Vec<Shape>,
    /// The same without the gap: corners rounded for it do not tell what is the same turned over.
    nets: Vec<Shape>,
    /// For each item the ways it may lie: as it is, and mirrored.
    ways: Vec<[Vec<Way>; 2]>,
    /// The ways in which half of it may lie on the fold of the cloth.
    pub halves: Vec<Vec<Way>>,
}

impl Shapes {
    /// The shapes of `items`, each grown by half the gap that is kept between pieces.
    pub(super) fn new(items: &[Item], gap: f64) -> Result<Self, LayFault> {
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
    pub(super) fn ways(
        &self,
        index: usize,
        mirrored: bool,
        matched: bool,
        tilted: bool,
    ) -> Vec<Way> {
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

    /// The way in which an item lies that was placed so; its turn may be rounded.
    pub(super) fn lying_at(&self, item: usize, placed: &Placement) -> Option<&Way> {
        const ROUNDED: f64 = 0.01;
        let ways = if placed.on_fold {
            &self.halves[item]
        } else {
            &self.ways[item][usize::from(placed.mirrored)]
        };
        ways.iter()
            .find(|way| (way.degrees - placed.degrees).abs() < ROUNDED)
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
