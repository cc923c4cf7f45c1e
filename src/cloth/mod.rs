//! Cloth as it is seen: woven of coloured threads, or read from a picture of it.
//!
//! A [`Woven`] cloth is a [`Weave`] and two thread counts; a [`Swatch`] is a picture with a size. Either gives a
//! [`Texture`], one repeat of the cloth that is sampled at any place and any scale, and a [`Canvas`] is painted with
//! it. The room knows nothing of garments and orders. Lengths are in mm: x runs across the cloth on its right side,
//! y along it, and both begin on a bar of the pattern from which it reads the same either way, where it has one.

mod canvas;
mod colour;
mod count;

mod described;
mod photograph;
mod picture;
mod swatch;
mod texture;
mod trims;
mod weave;
mod weaves;
mod woven;

pub use canvas::{Canvas, Corner, Covered};
pub use colour::{Colour, Light};
pub use count::Count;

pub use described::Described;
pub use photograph::SwatchFault;
pub use picture::{Picture, true_scale};
pub use swatch::Swatch;
pub use texture::{Sampler, Texture};
pub use trims::{Buttons, Lined, Make, Trims};
pub use weave::Weave;
pub use weaves::weaves;
pub use woven::{LARGEST, Woven};
