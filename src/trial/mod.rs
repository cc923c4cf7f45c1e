//! A garment tried before a client orders it: on figures from the slightest to the stoutest, with every word of
//! every choice alone and with all of them in pairs.
//!
//! [`run`] drafts and proves each, and tells what was proven, what was refused and for which reason, and what
//! failed, with the corrections of the figure that change nothing of it. [`picture`] draws the extremes.

mod bodies;
mod ordered;
mod picks;
mod picture;
mod sweep;

pub use bodies::{BODIES, Body, EXTREMES, REGULAR};
pub use ordered::ordered;
pub use picks::{Pick, pairs, values, written};
pub use picture::picture;
pub use sweep::{Failed, Refused, Trial, Watch, run};
