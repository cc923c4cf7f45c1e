//! Orientations: the ways in which items may lie, each with its shape. Shapes that are the same turned over
//! share their contours.

use super::contour::rotation;
use super::fault::LayFault;
use super::fold;
use super::inflate::Inflated;
use super::item::Item;
use super::outcome::Placement;
use super::shape::Shape;
use super::strip::Lattices;
use kurbo::{Affine, Vec2};

/// An orientation that a part may take.
#[derive(Debug, Clone)]
pub(super) struct Orientation {
    /// Index of the shape that the part has in it.
    pub shape: usize,
    /// Turn from the grain along the cloth.
    pub degrees: f64,
    /// How many of these degrees are a tilt off the grain.
    pub tilt: f64,
    /// From the item's coordinates to the shape's.
    pub to_shape: Affine,
    /// Where the centre of the shape's box may be, across and along.
    pub lattices: Lattices,
}

/// The orientations of some items on any cloth, and their shapes.
#[derive(Debug)]
pub(super) struct Orientations {
    /// Distinct shapes.
    pub shapes: Vec<Shape>,
    /// The same shapes without the gap. Corners that are rounded for the gap do not tell whether two shapes are
    /// the same turned over.
    nets: Vec<Shape>,
    /// The orientations of each item, as it is and mirrored.
    whole: Vec<[Vec<Orientation>; 2]>,
    /// The orientations in which half of each item may lie on the fold of the cloth.
    pub halves: Vec<Vec<Orientation>>,
}

impl Orientations {
    /// Makes the shapes of `items`, each grown by half the gap that is kept between pieces.
    ///
    /// # Errors
    /// When the outline of an item bounds no region, or a hole lies outside it.
    pub(super) fn new(items: &[Item], gap: f64) -> Result<Self, LayFault> {
        let mut orientations = Self {
            shapes: Vec::new(),
            nets: Vec::new(),
            whole: Vec::new(),
            halves: Vec::new(),
        };
        for item in items {
            let contours = Inflated::new(item, gap)?;
            let whole = [false, true].map(|mirrored| orientations.lying(item, &contours, mirrored));
            orientations.whole.push(whole);
            let halves = orientations.halves(item, gap)?;
            orientations.halves.push(halves);
        }
        Ok(orientations)
    }

    /// Makes the orientations in which half of an item may lie on the fold.
    fn halves(&mut self, item: &Item, gap: f64) -> Result<Vec<Orientation>, LayFault> {
        let mut orientations = Vec::new();
        if let (Some(at), true) = (item.fold, item.holes.is_empty()) {
            for &degrees in item.turns.iter().filter(|turn| *turn % 180.0 == 0.0) {
                let half = Item {
                    turns: vec![degrees],
                    off_grain: 0.0,
                    ..fold::half(item, at, degrees)
                };
                orientations.extend(self.lying(&half, &Inflated::new(&half, gap)?, false));
            }
        }
        Ok(orientations)
    }

    /// Makes all orientations of an item.
    fn lying(&mut self, item: &Item, grown: &Inflated, mirrored: bool) -> Vec<Orientation> {
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
            Orientation {
                shape: self.share(shape, net),
                degrees,
                tilt,
                to_shape,
                lattices: [None, None],
            }
        };
        turns.map(lying).collect()
    }

    /// Lists the orientations of an item on a cloth. An item that must match there lies along the grain, in each
    /// of its orientations; of other orientations that give the same shape, the first alone is listed.
    pub(super) fn of(
        &self,
        item: usize,
        mirrored: bool,
        matched: bool,
        tilted: bool,
    ) -> Vec<Orientation> {
        let mut orientations: Vec<Orientation> = Vec::new();
        for orientation in &self.whole[item][usize::from(mirrored)] {
            let allowed = if matched {
                orientation.degrees % 180.0 == 0.0
            } else if !tilted && orientation.tilt != 0.0 {
                false
            } else {
                let shape = orientation.shape;
                orientations.iter().all(|other| other.shape != shape)
            };
            if allowed {
                orientations.push(orientation.clone());
            }
        }
        orientations
    }

    /// Returns the orientation of an item that was placed so. The turn of the placement may be rounded.
    pub(super) fn of_placed(&self, item: usize, placed: &Placement) -> Option<&Orientation> {
        const ROUNDED: f64 = 0.01;
        let orientations = if placed.on_fold {
            &self.halves[item]
        } else {
            &self.whole[item][usize::from(placed.mirrored)]
        };
        let is = |o: &&Orientation| (o.degrees - placed.degrees).abs() < ROUNDED;
        orientations.iter().find(is)
    }

    /// Returns the index of a shape equal to this one. Adds the shape if there is none.
    fn share(&mut self, shape: Shape, net: Shape) -> usize {
        if let Some(index) = self.nets.iter().position(|s| s.is_same(&net)) {
            return index;
        }
        let flips = [
            Vec2::new(-1.0, -1.0),
            Vec2::new(-1.0, 1.0),
            Vec2::new(1.0, -1.0),
        ];
        // Turned over, a shape keeps its size and its corners. Most are told apart by these.
        let alike = |i: &usize| self.shapes[*i].base == *i && self.nets[*i].is_alike(&net);
        let own = (self.shapes.len(), Vec2::new(1.0, 1.0));
        let (base, flip) = (0..self.shapes.len())
            .filter(alike)
            .flat_map(|i| flips.map(|flip| (i, flip)))
            .find(|&(i, flip)| self.nets[i].flipped(flip).is_same(&net))
            .unwrap_or(own);
        self.nets.push(net);
        self.shapes.push(if base == own.0 {
            Shape {
                base,
                flip,
                ..shape
            }
        } else {
            Shape {
                base,
                flip,
                ..self.shapes[base].flipped(flip)
            }
        });
        self.shapes.len() - 1
    }
}
