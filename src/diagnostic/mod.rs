//! What is wrong with a file, where, and what to do about it.

mod finding;
mod nearest;
mod read;
mod render;
mod source;
mod unwritten;

pub use finding::{Diagnostic, Place, Severity};
pub use nearest::nearest;
pub use source::Source;
pub use unwritten::unwritten;
