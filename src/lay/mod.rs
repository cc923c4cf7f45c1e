//! The lay: pieces placed on cloth. It knows outlines and rules, not garments.
//!
//! [`plan`] lays a list of [`Item`]s on a cloth; [`Ready`] items are laid on one cloth after another.
//! The lay works on shapes (an outline in one of the ways it may lie) and on the no-fit regions of
//! pairs of shapes, and is checked by geometry that shares nothing with the search.

mod chance;
mod check;
mod clean;
mod contour;
mod crowd;
mod first;
mod fold;
mod island;
mod kept;
mod keyhole;
mod length;
mod matching;
mod nofit;
mod outline;
mod pieces;
mod place;
mod plan;
mod region;
mod search;
mod shape;
mod strip;
mod table;
mod types;
mod ways;
mod work;

pub use check::TOLERANCE;
pub use kept::{Kept, KeptPiece, kept};
pub use length::{Buying, OrderLength, order_length};
pub use pieces::{items, turns};
pub use plan::{Ready, plan};
pub use search::TURNS;
pub use types::*;
