//! Plane geometry on kurbo: splines, crossings, offsets, outlines and lengths. It knows nothing of tailoring.
//!
//! Lengths are in mm. Angles are in degrees where a name says so, otherwise in radians. To reflect, rotate
//! or move a path, multiply it by a [`kurbo::Affine`].

mod corner;
mod crossing;
mod edge;
mod fairness;
mod inside;
mod offset;
mod outline;
mod region;
mod segment_crossing;
mod spline;
mod spread;
mod strips;
mod walk;

pub use crossing::{Crossing, crossings, line_crossings, self_crossings};
pub use edge::{Corner, Edge};
pub use fairness::{Break, breaks, turns};
pub use inside::line_inside;
pub use offset::offset;
pub use outline::{Outline, outline};
pub use region::{area, area_outside, flattened, is_one_region, straightened, united};
pub(crate) use segment_crossing::across_segment;
pub use spline::{Knot, LEAST_TENSION, spline};
pub use spread::width_at;
pub(crate) use walk::segment_tangent;
pub use walk::{
    Nearest, end, joined, length, nearest, point_at, reversed, start, sub_path, tangent_at,
};
