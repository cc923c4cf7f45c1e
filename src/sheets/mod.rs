//! The sheets: one drawing, many outputs.
//!
//! [`piece`], [`marker`] and [`gallery`] make a [`drawing::Drawing`] of a piece, of a lay, of all
//! pieces; [`svg`] and [`plot`] write one. Every writer is a pure function from values to bytes.

pub mod cover;
pub mod drawing;
pub mod font;
pub mod gallery;
pub mod joints;
pub mod label;
pub mod lettering;
pub mod marker;
pub mod packing;
pub mod paper;
pub mod paper_pattern;
pub mod pdf;
pub mod piece;
pub mod plot;
pub mod svg;
pub mod tiling;
pub mod travel;
pub mod words;

use crate::drafting::Material;
use crate::lay::{Lay, OrderLength};

/// A lay of the pieces that are cut from one material.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    /// The material.
    pub material: Material,
    /// Where they lie; a placement's `piece` is an index into the pattern's pieces.
    pub lay: Lay,
    /// What to order.
    pub order_length: OrderLength,
}
