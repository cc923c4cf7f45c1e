//! The cloth: its width, how it lies, its pattern and the pieces of it that are at hand.

use super::length::Buying;
use crate::order::{self, Face, Layout};

/// The cloth and how it is laid. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct ClothRules {
    /// Full width, selvedge to selvedge.
    pub width: f64,
    /// Width lost at each selvedge.
    pub selvedge: f64,
    /// Single ply, or folded lengthwise with the selvedges together.
    pub layout: Layout,
    /// Which side of the cloth is up. Outlines show its face: with the face down, each is laid mirrored.
    pub face: Face,
    /// Free space between pieces for the knife or shears.
    pub gap: f64,
    /// The longest lay that the cloth or the table allows.
    pub longest: Option<f64>,
    /// Length of the table: a longer lay is cut across into sections that are no longer.
    pub table: Option<f64>,
    /// Repeat of the pattern.
    pub repeat: Repeat,
    /// Lengths of pieces of cloth that are used before the long one.
    pub remnants: Vec<f64>,
}

/// Distances after which the pattern of a cloth repeats, mm, each greater than 0; `None` on an axis along
/// which it has no pattern.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Repeat {
    /// From stripe to stripe, across the cloth.
    pub across: Option<f64>,
    /// From bar to bar, along the cloth.
    pub along: Option<f64>,
}

impl Repeat {
    /// The repeats across and along, with 0 for none.
    pub fn new(across: f64, along: f64) -> Self {
        let some = |repeat: f64| Some(repeat).filter(|&repeat| repeat > 0.0);
        Self {
            across: some(across),
            along: some(along),
        }
    }

    /// Whether the cloth has a pattern on either axis.
    pub fn is_patterned(self) -> bool {
        self.axes().iter().any(Option::is_some)
    }

    /// Across, then along.
    pub(super) fn axes(self) -> [Option<f64>; 2] {
        [self.across, self.along]
    }
}

impl ClothRules {
    /// The rules that an order states for its cloth. What a piece at hand will lose at its ends and by
    /// shrinking is not laid on.
    pub fn new(cloth: &order::Cloth, buying: &Buying) -> Self {
        let usable = |&length: &f64| (length / (1.0 + buying.shrinkage) - buying.ends).max(0.0);
        Self {
            width: cloth.width,
            selvedge: cloth.selvedge,
            layout: cloth.layout,
            face: cloth.face,
            gap: cloth.gap,
            longest: None,
            table: None,
            repeat: Repeat::new(cloth.repeat_across, cloth.repeat_along),
            remnants: cloth.remnants.iter().map(usable).collect(),
        }
    }

    /// Where each piece of cloth at hand begins and ends along the lay, and where the long one begins. They
    /// lie one after another, a gap apart.
    pub fn pieces(&self) -> (Vec<(f64, f64)>, f64) {
        let mut start = 0.0;
        let mut pieces = Vec::new();
        for length in &self.remnants {
            pieces.push((start, start + length));
            start += length + self.gap;
        }
        (pieces, start)
    }

    /// Width of the cloth as it lies: half of it when folded.
    pub fn lying_width(&self) -> f64 {
        match self.layout {
            Layout::Open => self.width,
            Layout::Doubled => self.width / 2.0,
        }
    }

    /// Left and right limits of what may be used. The fold of doubled cloth lies at the right, and cloth
    /// is usable up to it.
    pub fn usable(&self) -> (f64, f64) {
        match self.layout {
            Layout::Open => (self.selvedge, self.width - self.selvedge),
            Layout::Doubled => (self.selvedge, self.width / 2.0),
        }
    }
}
