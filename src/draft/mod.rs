//! A finished draft: pieces, edges, marks and points, each with its side, kind and role, and how each was made.
//!
//! The blocks put it on the board in [`crate::script`]; nothing here knows the language they are written in.

mod construction;
pub(crate) mod hands;
mod making;
mod marks;
mod parts;
pub(crate) mod sides;
mod types;

pub use construction::{Construction, Section, construction};
pub(crate) use making::cm;
pub use making::{Drawn, How, Way};
pub use marks::{MarkKind, Symbol};
pub use parts::{EdgeId, Form, NotWhole, NotchId, Part, Player, Role, Seen};
pub use types::*;
