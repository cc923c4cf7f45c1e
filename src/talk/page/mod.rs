//! What is seen: the page and its pieces, written as HTML in which every text of an order is escaped.
//!
//! The page holds no rule of tailoring. A piece is exchanged for its next version under the same id.

mod agreed;
mod ask;
mod faults;
mod fitting;
mod foot;
mod forms;
mod frame;
mod shell;
mod suit;
mod whole;

pub(super) use agreed::{agreed, read_back};
pub(super) use ask::ways;
pub(super) use fitting::moved;
pub(super) use foot::{length, progress};
pub(super) use forms::{doubt, found_at};
pub(super) use frame::{Frame, Looking};
pub(super) use shell::{file, kind_of};
pub(super) use whole::{pieces, whole};
