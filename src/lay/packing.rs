//! All that stays the same while the parts of a lay are moved.

use super::instance::Instance;
use super::nofit_table::NoFitTable;
use super::strip::{InnerFit, Strip};
use kurbo::{Point, Vec2};

/// A part's orientation and the centre of its box on the strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Position {
    /// Index into the part's orientations.
    pub orientation: usize,
    /// Centre of its box.
    pub centre: Point,
}

/// One of the ends of a strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum End {
    /// Where it starts.
    Start,
    /// Where it ends.
    Finish,
}

/// An instance with the no-fit regions of its shapes.
#[derive(Debug)]
pub(super) struct Packing<'a> {
    /// The parts and their shapes.
    pub instance: &'a Instance<'a>,
    /// Where shapes may not stand beside each other.
    pub table: &'a NoFitTable,
    /// The parts that are fixed to an end of the strip; empty where none is.
    fixed: Vec<Option<End>>,
    held: bool,
}

impl<'a> Packing<'a> {
    /// Prepares an instance.
    pub(super) fn new(instance: &'a Instance<'a>, table: &'a NoFitTable) -> Self {
        let orientations = instance.parts.iter().flat_map(|part| &part.orientations);
        let mut lattices = orientations.flat_map(|orientation| orientation.lattices);
        let held = instance.repeat.is_patterned() && lattices.any(|lattice| lattice.is_some());
        Packing {
            instance,
            table,
            fixed: Vec::new(),
            held,
        }
    }

    /// Fixes parts to the ends of the strip: they are not moved but with that end.
    pub(super) fn with_fixed(self, fixed: &[Option<End>]) -> Self {
        Packing {
            fixed: fixed.to_vec(),
            ..self
        }
    }

    /// The end of the strip to which a part is fixed, if it is.
    pub(super) fn fixed(&self, part: usize) -> Option<End> {
        self.fixed.get(part).copied().flatten()
    }

    /// Returns the cost of one mm of overlap of each pair of parts, row by row. An overlap costs more the larger
    /// both parts are (the root of the mean of their breadths), so that small parts give way to large ones and
    /// not the other way round.
    pub(super) fn factors(&self) -> Vec<f64> {
        let breadth: Vec<f64> = (0..self.count())
            .map(|part| self.instance.first_shape(part).area.powf(0.25))
            .collect();
        let mean = breadth.iter().sum::<f64>() / breadth.len().max(1) as f64;
        let factor = |a: f64, b: f64| (a * b).sqrt() / mean;
        breadth
            .iter()
            .flat_map(|&a| breadth.iter().map(move |&b| factor(a, b)))
            .collect()
    }

    /// Whether the pattern of the cloth holds any part.
    pub(super) fn is_held(&self) -> bool {
        self.held
    }

    /// Number of parts.
    pub(super) fn count(&self) -> usize {
        self.instance.parts.len()
    }

    /// Number of orientations of a part, with or without those that tilt it. The tilted ones come last.
    pub(super) fn orientations(&self, part: usize, tilts: bool) -> usize {
        let orientations = &self.instance.parts[part].orientations;
        if tilts {
            orientations.len()
        } else {
            orientations.partition_point(|orientation| orientation.tilt == 0.0)
        }
    }

    /// Index of the shape that a part has in an orientation.
    pub(super) fn shape(&self, part: usize, orientation: usize) -> usize {
        self.instance.parts[part].orientations[orientation].shape
    }

    /// Extent of that shape.
    pub(super) fn size(&self, part: usize, orientation: usize) -> Vec2 {
        self.instance.shapes[self.shape(part, orientation)].size
    }

    /// Where the centre of a part may stand on a strip in an orientation.
    pub(super) fn inner_fit(&self, strip: &Strip, part: usize, orientation: usize) -> InnerFit {
        let lattices = self.instance.parts[part].orientations[orientation].lattices;
        strip.inner_fit(self.size(part, orientation), lattices)
    }

    /// The parts by their areas, the largest first.
    pub(super) fn by_decreasing_area(&self) -> Vec<usize> {
        let area = |part: usize| self.instance.first_shape(part).area;
        let mut order: Vec<usize> = (0..self.count()).collect();
        order.sort_by(|&a, &b| area(b).total_cmp(&area(a)).then(a.cmp(&b)));
        order
    }
}
