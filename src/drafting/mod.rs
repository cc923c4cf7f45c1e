//! The drafting board and the script engine that runs the blocks.

mod board;
mod construction;
mod engine;
mod library;
mod limits;
mod making;
mod numbers;
mod sides;
mod types;
mod words;

pub use construction::{Construction, Section, construction};
pub use engine::{BlockFault, draft};
pub use library::Library;
pub use making::{Drawn, How, Way};
pub use types::*;
