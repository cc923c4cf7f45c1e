//! The drafting board and the script engine that runs the blocks.

mod board;
mod engine;
mod library;
mod limits;
mod numbers;
mod sides;
mod types;
mod words;

pub use engine::{BlockFault, draft};
pub use library::Library;
pub use types::*;
