//! The drafting board and the script engine that runs the blocks.

mod board;
mod calls;
mod construction;
mod engine;
mod fault;
mod hands;
mod imports;
mod library;
mod limits;
mod making;
mod marks;
mod numbers;
mod parts;
mod sides;
mod types;
mod variables;
mod words;

pub use construction::{Construction, Section, construction};
pub use engine::draft;
pub use fault::BlockFault;
pub use library::Library;
pub use making::{Drawn, How, Way};
pub use marks::{MarkKind, Symbol};
pub use parts::{EdgeId, Form, NotWhole, NotchId, Part, Player, Role, Seen};
pub use types::*;
