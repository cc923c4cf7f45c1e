//! The engine that runs the blocks, with its words, its limits and the board on which a block draws.
//!
//! [`draft`] runs a garment's block and returns the content of its board as a [`crate::draft::Draft`].

mod board;
mod calls;
mod engine;
mod fault;
mod imports;
mod library;
mod limits;
mod numbers;
mod variables;
mod words;

pub use engine::draft;
pub use fault::BlockFault;
pub use library::Library;
