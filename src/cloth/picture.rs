//! A picture of cloth, as files hold it.

use super::colour::Colour;
use super::texture::Texture;
use rayon::prelude::*;

/// A picture: red, green and blue of each pixel, row by row from the top.
#[derive(Clone, PartialEq, Eq)]
pub struct Picture {
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// Three levels for each pixel.
    pub rgb: Vec<u8>,
}

impl std::fmt::Debug for Picture {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        write!(f, "Picture({} x {})", self.width, self.height)
    }
}

impl Picture {
    /// Makes a picture of its levels.
    pub(super) fn new(width: usize, height: usize, rgb: Vec<u8>) -> Self {
        Self { width, height, rgb }
    }

    /// Writes the picture as PNG. `to_a_mm` is the number of pixels to a mm at which it is true to scale, which the
    /// file says where it is given.
    ///
    /// # Errors
    /// Where the picture has no pixels or more than the format can hold.
    pub fn png(&self, to_a_mm: Option<f64>) -> Result<Vec<u8>, png::EncodingError> {
        self.written(to_a_mm, false)
    }

    /// Writes the picture as PNG of which white shows the paper, whatever its colour: what is painted is never quite
    /// white.
    ///
    /// # Errors
    /// As [`Picture::png`].
    pub fn png_on_paper(&self) -> Result<Vec<u8>, png::EncodingError> {
        self.written(None, true)
    }

    fn written(&self, to_a_mm: Option<f64>, on_paper: bool) -> Result<Vec<u8>, png::EncodingError> {
        let mut bytes = Vec::new();
        let side = |pixels: usize| u32::try_from(pixels).unwrap_or(u32::MAX);
        let mut encoder = png::Encoder::new(&mut bytes, side(self.width), side(self.height));
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_compression(png::Compression::Fast);
        encoder.set_filter(png::Filter::Adaptive);
        if let Some(pixels) = to_a_mm {
            let to_a_metre = (1000.0 * pixels).round() as u32;
            encoder.set_pixel_dims(Some(png::PixelDimensions {
                xppu: to_a_metre,
                yppu: to_a_metre,
                unit: png::Unit::Meter,
            }));
        }
        if on_paper {
            // Two bytes for each of red, green and blue (PNG, 11.3.2.1).
            encoder.set_trns([0, 255, 0, 255, 0, 255].as_slice());
        }
        let mut writer = encoder.write_header()?;
        writer.write_image_data(&self.rgb)?;
        writer.finish()?;
        Ok(bytes)
    }
}

/// Each pixel of a picture at true scale is the mean of so many samples a side, so that round threads have smooth
/// edges.
const FINER: usize = 2;

/// Draws cloth at true scale: `width` by `height` mm of it with `to_a_mm` pixels to a mm, a bar of the pattern in the
/// middle.
pub fn true_scale(cloth: &Texture, [width, height]: [f64; 2], to_a_mm: f64) -> Picture {
    let [across, down] = [width, height].map(|mm| (mm * to_a_mm).round().max(1.0) as usize);
    let step = 1.0 / (to_a_mm * FINER as f64);
    let sampler = cloth.sampler(step);
    let place = |pixel: usize, part: usize, all: usize| {
        let middle = (all * FINER) as f64 / 2.0;
        ((pixel * FINER + part) as f64 + 0.5 - middle) * step
    };
    let pixel = |x: usize, y: usize| {
        let mut sum = [0.0_f32; 3];
        for j in 0..FINER {
            for i in 0..FINER {
                let light = sampler.at(place(x, i, across), place(y, j, down));
                sum = [0, 1, 2].map(|part| sum[part] + light[part]);
            }
        }
        Colour::of(sum.map(|part| part / (FINER * FINER) as f32)).0
    };
    let row = |y: usize| (0..across).flat_map(|x| pixel(x, y)).collect::<Vec<u8>>();
    let rows: Vec<Vec<u8>> = (0..down).into_par_iter().map(row).collect();
    Picture::new(across, down, rows.concat())
}
