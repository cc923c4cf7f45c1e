//! The draft of a garment: its pieces, edges, marks and points, each with its side, kind and role, and the
//! steps that made them.
//!
//! Blocks put all of it on the board in [`crate::script`]; nothing here knows the language they are written
//! in.

mod construction;
mod form;
mod halves;
pub(crate) mod hands;
mod ids;
mod instructions;
mod making;
mod marks;
mod opened;
mod piece;
mod proofs;
mod proving;
mod seen;
pub(crate) mod sides;
mod types;

pub use crate::order::Material;
pub use construction::{Construction, Section, construction};
pub use form::{Form, NotWhole};
pub use ids::{EdgeId, MarkId, NotchId, PieceId};

pub use making::{Drawn, How, Way};
pub use marks::{MarkKind, Symbol};
pub use piece::{Count, DraftEdge, DraftNotch, DraftPiece, Mark, Turning};
pub use proofs::{Bound, Dart, Girth, Join, Joined, Match, Seam, SeamLine, Stretch};
pub use seen::{Part, Player, Role, Seen};
pub use types::*;
