//! The cloth alone, at true scale.

use crate::cloth::true_scale;
use crate::order::Look;

/// Width and height of the picture: a page of A5, mm.
const SIZE: [f64; 2] = [148.0, 210.0];

/// Pixels to a mm: 300 to the inch.
const PIXELS: f64 = 300.0 / 25.4;

/// Draws the cloth at true scale on a page of A5, as PNG that says its scale. It gives no bytes where it cannot be
/// written, which does not happen.
pub fn swatch(look: &Look) -> Vec<u8> {
    let picture = true_scale(&look.cloth.texture(), SIZE, PIXELS);
    picture.png(Some(PIXELS)).unwrap_or_default()
}
