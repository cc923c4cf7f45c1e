//! The lay: pieces placed on cloth. It knows outlines and rules, not garments.

mod types;

pub use types::*;
