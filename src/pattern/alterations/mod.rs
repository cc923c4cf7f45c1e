//! What a fitting changes on a garment that is already cut: how its pieces move on the cloth, how much of the
//! change the cloth allows, and the work it makes.

mod carried;
mod laid;
mod moved;
mod types;

pub use moved::moves;
pub use types::{Across, Change, MovedMark, MovedPiece, MovedSeam, Moves, Room, Work};
