//! The lay of one material with what is to be ordered for it.

use super::length::OrderLength;
use super::outcome::Lay;
use crate::draft::Material;

/// A lay of the pieces that are cut from one material, with what to order for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    /// The material.
    pub material: Material,
    /// Where they lie; a placement's `piece` is an index into the pattern's pieces.
    pub lay: Lay,
    /// What to order.
    pub order_length: OrderLength,
}
