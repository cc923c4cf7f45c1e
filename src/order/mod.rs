//! The order: who the client is, his measures and figure, what is to be made, and of which cloth.

mod types;

pub use types::*;
