//! The drafting board and the script engine that runs the blocks.

mod types;

pub use types::*;
