//! What fittings change: how pieces move on the cloth, how much of the change each seam carries, and the work it makes.

mod carried;
mod laid;
mod moved;

pub use carried::{Across, Change, MovedMark, Work};
pub use moved::{MovedPiece, MovedSeam, Moves, Room, moves};
