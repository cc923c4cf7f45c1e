//! Cloth as it is described: by its threads or by a picture.

use super::swatch::Swatch;
use super::texture::Texture;
use super::woven::Woven;
use std::sync::Arc;

/// What is known of the look of a cloth.
#[derive(Debug, Clone, PartialEq)]
pub enum Described {
    /// Its threads.
    Woven {
        /// The cloth.
        woven: Arc<Woven>,
        /// How many times as large its repeat is, across and along, as the threads say: 1, or what makes it the
        /// measured repeat.
        stretch: [f64; 2],
    },
    /// A picture of it.
    Swatch(Arc<Swatch>),
}

impl Described {
    /// Returns the cloth as it can be sampled.
    pub fn texture(&self) -> Texture {
        match self {
            Self::Woven { woven, stretch } => Texture::woven(woven, *stretch),
            Self::Swatch(swatch) => swatch.texture(),
        }
    }

    /// Returns the wrong side of the cloth as it can be sampled, at the same places as the right one: of woven cloth
    /// the other thread of each crossing, of a picture the same, as nothing is known of its back.
    pub fn wrong_side(&self) -> Texture {
        match self {
            Self::Woven { woven, stretch } => Texture::woven(&woven.behind(), *stretch),
            Self::Swatch(_) => self.texture(),
        }
    }
}
