//! The sheets: one drawing, many outputs.
//!
//! [`piece`], [`marker`] and [`gallery`] make a [`drawing::Drawing`] of a piece, of a lay, of all
//! pieces; [`svg`] and [`plot`] write one. Every writer is a pure function from values to bytes.

pub mod drawing;
pub mod font;
pub mod gallery;
pub mod label;
pub mod lettering;
pub mod marker;
pub mod piece;
pub mod plot;
pub mod svg;
pub mod travel;
pub mod words;

use crate::drafting::Material;
use crate::lay::Lay;

/// A lay of the pieces that are cut from one material.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    /// The material.
    pub material: Material,
    /// The pieces laid, as indices into the pattern's; a placement's `piece` is an index into this.
    pub pieces: Vec<usize>,
    /// Where they lie.
    pub lay: Lay,
    /// Length to order, mm.
    pub order_length: f64,
    /// How that length was reached, in words.
    pub how: String,
}
