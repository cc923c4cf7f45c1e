//! Plane geometry on kurbo: curves, offsets, corners, walking. It knows nothing of tailoring.
//!
//! Lengths are mm, angles degrees where a name says so and radians elsewhere. Mirroring, turning and
//! moving are kurbo's [`kurbo::Affine`].

mod crossing;
mod fairness;
mod spline;
mod walk;

pub use crossing::{Crossing, crossings, line_crossings, self_crossings};
pub use fairness::{Break, breaks, turns};
pub use spline::{Knot, LEAST_TENSION, spline};
pub use walk::{
    Nearest, end, joined, length, nearest, point_at, reversed, start, sub_path, tangent_at,
};
