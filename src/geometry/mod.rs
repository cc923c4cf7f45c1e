//! Plane geometry on kurbo: curves, offsets, corners, walking. It knows nothing of tailoring.
//!
//! Lengths are mm, angles degrees where a name says so and radians elsewhere. Mirroring, turning and
//! moving are kurbo's [`kurbo::Affine`].

mod corner;
mod crossing;
mod fairness;
mod inside;
mod offset;
mod outline;
mod region;
mod spline;
mod strips;
mod walk;

pub use corner::Corner;
pub(crate) use crossing::across_segment;
pub use crossing::{Crossing, crossings, line_crossings, self_crossings};
pub use fairness::{Break, breaks, turns};
pub use inside::line_inside;
pub use offset::{offset, width_at};
pub use outline::{Outline, Side, outline};
pub use region::{area, area_outside, flattened, is_one_region, straightened, united};
pub use spline::{Knot, LEAST_TENSION, spline};
pub(crate) use walk::segment_tangent;
pub use walk::{
    Nearest, end, joined, length, nearest, point_at, reversed, start, sub_path, tangent_at,
};
