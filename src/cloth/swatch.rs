//! A picture of a cloth, read from a file and made to repeat.

use super::colour::{Colour, Light};
use super::photograph::{SwatchFault, decoded};
use super::texture::Texture;
use std::fmt;

/// The most pixels that are kept a side: those of a swatch of 20 cm at five pixels to the mm. Finer ones are averaged.
const KEPT: usize = 1000;

/// A picture of a cloth with its size.
#[derive(Clone, PartialEq)]
pub struct Swatch {
    width: usize,
    height: usize,
    cells: Vec<Light>,
    /// mm to a pixel.
    pixel: f64,
    /// Repeat of the pattern, across and along, mm; 0 where it has none.
    repeat: [f64; 2],
}

impl fmt::Debug for Swatch {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let (width, height) = (self.width, self.height);
        write!(f, "Swatch({width} x {height}, {:?})", self.repeat)
    }
}

impl Swatch {
    /// Reads a picture, PNG or JPEG, turned the way up in which it was taken. It shows `width` mm of the cloth from
    /// side to side, whose pattern repeats every `repeat` mm across and along (0: it has none).
    ///
    /// # Errors
    /// Returns what is wrong with the picture. Its size is looked at before it is read.
    pub fn read(bytes: &[u8], width: f64, repeat: [f64; 2]) -> Result<Self, SwatchFault> {
        let picture = decoded(bytes)?.into_rgb8();
        let (across, down) = (picture.width() as usize, picture.height() as usize);
        let step = across.max(down).div_ceil(KEPT).max(1);
        let (kept_across, kept_down) = (across / step, down / step);
        let mean = |x: usize, y: usize| {
            let mut sum = [0.0_f32; 3];
            for (i, j) in (0..step * step).map(|n| (n % step, n / step)) {
                let pixel = picture.get_pixel((x * step + i) as u32, (y * step + j) as u32);
                let light = Colour(pixel.0).light();
                sum = [0, 1, 2].map(|part| sum[part] + light[part]);
            }
            sum.map(|part| part / (step * step) as f32)
        };
        let cells = (0..kept_down).flat_map(|y| (0..kept_across).map(move |x| (x, y)));
        let swatch = Self {
            cells: cells.map(|(x, y)| mean(x, y)).collect(),
            width: kept_across,
            height: kept_down,
            pixel: width * step as f64 / across as f64,
            repeat,
        };
        for (way, size, long) in [
            ("across", swatch.width, repeat[0]),
            ("along", swatch.height, repeat[1]),
        ] {
            if size as f64 * swatch.pixel < long {
                return Err(SwatchFault::LessThanARepeat(way));
            }
        }
        Ok(swatch)
    }

    /// Returns the cloth as it can be sampled: as many whole repeats as the picture shows. A picture of cloth
    /// without a repeat runs over into itself at its ends.
    pub(super) fn texture(&self) -> Texture {
        let [columns, rows] = [(self.width, self.repeat[0]), (self.height, self.repeat[1])]
            .map(|(count, repeat)| Stretch::new(count, repeat / self.pixel));
        let cell = |x: usize, y: usize| {
            let mut sum = [0.0_f32; 3];
            for (column, a) in columns.at(x) {
                for (row, b) in rows.at(y) {
                    let light = self.cells[row * self.width + column];
                    sum = [0, 1, 2].map(|part| sum[part] + a * b * light[part]);
                }
            }
            sum
        };
        let cells: Vec<Light> = (0..rows.count)
            .flat_map(|y| (0..columns.count).map(move |x| (x, y)))
            .map(|(x, y)| cell(x, y))
            .collect();
        let size = [columns.length * self.pixel, rows.length * self.pixel];
        let mean = |sums: &mut [f32], at: usize, light: &Light| {
            sums[at] += light.iter().sum::<f32>();
        };
        let (mut across, mut along) = (vec![0.0; columns.count], vec![0.0; rows.count]);
        for (i, light) in cells.iter().enumerate() {
            mean(&mut across, i % columns.count, light);
            mean(&mut along, i / columns.count, light);
        }
        let origin = [
            axis(&across) * size[0] / columns.count as f64,
            axis(&along) * size[1] / rows.count as f64,
        ];
        Texture::of_cells([columns.count, rows.count], cells, size, origin)
    }
}

/// A row of pixels that is made to repeat.
struct Stretch {
    /// Number of cells of one repeat.
    count: usize,
    /// Their length in pixels of the picture.
    length: f64,
    /// Cells at the end that run over into the first.
    over: usize,
    from: usize,
}

impl Stretch {
    /// Makes the repeat of a row of pixels: as many whole repeats as it holds, or if it has none all but an eighth.
    fn new(pixels: usize, repeat: f64) -> Self {
        if repeat < 1.0 {
            let over = pixels / 8;
            let count = pixels - over;
            return Self {
                count,
                length: count as f64,
                over,
                from: pixels,
            };
        }
        let length = (pixels as f64 / repeat).floor().max(1.0) * repeat;
        Self {
            count: (length.round() as usize).clamp(1, pixels),
            length,
            over: 0,
            from: pixels,
        }
    }

    /// Returns the pixels of a cell with their shares.
    fn at(&self, cell: usize) -> [(usize, f32); 2] {
        if cell < self.over {
            let share = (cell as f32 + 0.5) / self.over as f32;
            let beyond = (self.count + cell).min(self.from - 1);
            return [(cell, share), (beyond, 1.0 - share)];
        }
        let at = (cell as f64 + 0.5) * self.length / self.count as f64;
        [((at as usize).min(self.from - 1), 1.0), (0, 0.0)]
    }
}

/// Finds the place in a row without end about which it reads most nearly the same both ways; of places as good, the
/// one that stands out most from the mean.
fn axis(row: &[f32]) -> f64 {
    let count = row.len();
    let at = |i: i64| row[i.rem_euclid(count as i64) as usize];
    let mean = row.iter().sum::<f32>() / count as f32;
    let miss = |twice: i64| -> f32 {
        let of = |i: i64| (at(i) - at(twice - 1 - i)).powi(2);
        (0..count as i64).map(of).sum()
    };
    let all: Vec<(i64, f32)> = (0..2 * count as i64)
        .map(|twice| (twice, miss(twice)))
        .collect();
    let least = all.iter().map(|(_, off)| *off).fold(f32::MAX, f32::min);
    let spread: f32 = row.iter().map(|level| (level - mean).powi(2)).sum();
    // A tenth of the variance more is as good: no photograph is exactly even.
    let good = all.iter().filter(|(_, off)| *off <= least + 0.1 * spread);
    let stands_out = |twice: i64| (at(twice.div_euclid(2)) - mean).abs();
    let best = good.max_by(|a, b| stands_out(a.0).total_cmp(&stands_out(b.0)));
    best.map_or(0.0, |(twice, _)| *twice as f64 / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cloth::Picture;

    /// A PNG of stripes: every eighth column is light. 64 by 32 pixels.
    fn stripes() -> Vec<u8> {
        let level = |i: usize| if i % 64 % 8 == 3 { 230 } else { 30 };
        let rgb = (0..64 * 32).flat_map(|i| [level(i); 3]).collect();
        Picture::new(64, 32, rgb).png(None).unwrap()
    }

    #[test]
    fn a_swatch_repeats_as_it_is_said_to_and_its_bar_is_the_origin() {
        // 64 pixels show 32 mm: the stripes are 4 mm apart.
        let swatch = Swatch::read(&stripes(), 32.0, [4.0, 0.0]).unwrap();
        let cloth = swatch.texture();
        assert_eq!(cloth.size()[0], 32.0);
        for stripe in -9..9 {
            let at = 4.0 * f64::from(stripe);
            assert!(cloth.sample(at, 1.0, 0.1)[0] > 0.5, "{at}");
            assert!(cloth.sample(at + 2.0, 1.0, 0.1)[0] < 0.1, "{at}");
        }
    }

    #[test]
    fn a_swatch_without_a_repeat_has_no_step_where_it_meets_itself() {
        let rgb = (0..64 * 32).flat_map(|i| [(i % 64 * 4) as u8; 3]).collect();
        let slope = Picture::new(64, 32, rgb).png(None).unwrap();
        let cloth = Swatch::read(&slope, 64.0, [0.0, 0.0]).unwrap().texture();
        assert_eq!(cloth.size(), [56.0, 28.0]);
        for x in 0..56 {
            let at = |column: i32| cloth.sample(f64::from(column), 0.0, 0.1)[0];
            assert!((at(x) - at(x + 1)).abs() < 0.2, "{x}");
        }
    }

    #[test]
    fn what_is_no_picture_is_refused_by_name() {
        let read = |bytes: &[u8]| Swatch::read(bytes, 100.0, [0.0, 0.0]).map(|_| ());
        assert_eq!(read(b"blue flannel, 340 g"), Err(SwatchFault::OtherKind));
        assert_eq!(read(b""), Err(SwatchFault::OtherKind));
        let png = stripes();
        assert_eq!(read(&png), Ok(()));
        let cut = read(&png[..png.len() / 2]).unwrap_err();
        assert_eq!(cut, SwatchFault::CutShort);
        let small = Picture::new(8, 8, vec![0; 192]).png(None).unwrap();
        assert_eq!(read(&small), Err(SwatchFault::TooSmall(8, 8)));
        let less = Swatch::read(&png, 30.0, [31.0, 0.0]).unwrap_err();
        assert_eq!(less, SwatchFault::LessThanARepeat("across"));
    }

    /// The first bytes of a PNG that says it has this many pixels.
    #[test]
    fn the_size_is_looked_at_before_the_picture_is_read() {
        let mut png = stripes();
        // Width and height stand after the signature and the head of the first chunk.
        png[16..20].copy_from_slice(&8000_u32.to_be_bytes());
        png[20..24].copy_from_slice(&5000_u32.to_be_bytes());
        let sum = checksum(&png[12..29]);
        png[29..33].copy_from_slice(&sum.to_be_bytes());
        let fault = Swatch::read(&png, 100.0, [0.0, 0.0]).unwrap_err();
        assert_eq!(fault, SwatchFault::TooLarge(8000, 5000));
        assert!(fault.to_string().contains("40 million"), "{fault}");
    }

    /// The check of a PNG's chunk (W3C PNG, annex D).
    fn checksum(bytes: &[u8]) -> u32 {
        let step = |sum: u32| (sum >> 1) ^ if sum & 1 == 1 { 0xEDB8_8320 } else { 0 };
        !bytes.iter().fold(u32::MAX, |sum, byte| {
            (0..8).fold(sum ^ u32::from(*byte), |sum, _| step(sum))
        })
    }

    /// A JPEG of 24 by 16 pixels, the left half black, with an orientation in its EXIF data.
    fn jpeg(orientation: u8) -> Vec<u8> {
        let mut bytes = Vec::new();
        let level = |i: usize| if i % 24 < 12 { 0 } else { 255 };
        let rgb: Vec<u8> = (0..24 * 16).flat_map(|i| [level(i); 3]).collect();
        let encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 90);
        image::ImageEncoder::write_image(encoder, &rgb, 24, 16, image::ExtendedColorType::Rgb8)
            .unwrap();
        // EXIF: a big-endian TIFF with one entry, the orientation (tag 0x0112, a SHORT).
        let mut exif = b"Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
        exif.extend([orientation, 0, 0, 0, 0, 0, 0]);
        let mut segment = vec![0xFF, 0xE1];
        segment.extend(((exif.len() + 2) as u16).to_be_bytes());
        segment.extend(exif);
        bytes.splice(2..2, segment);
        bytes
    }

    #[test]
    fn a_photograph_is_turned_the_way_up_in_which_it_was_taken() {
        let upright = Swatch::read(&jpeg(1), 24.0, [0.0, 0.0]).unwrap();
        assert_eq!((upright.width, upright.height), (24, 16));
        assert!(upright.cells[0][0] < 0.1 && upright.cells[23][0] > 0.9);
        // Taken with the telephone turned a quarter: the first row is shown at the right.
        let turned = Swatch::read(&jpeg(6), 16.0, [0.0, 0.0]).unwrap();
        assert_eq!((turned.width, turned.height), (16, 24));
        assert!(turned.cells[0][0] < 0.1 && turned.cells[16 * 23][0] > 0.9);
    }

    #[test]
    fn a_photograph_that_was_cut_short_is_refused() {
        let whole = jpeg(1);
        for kept in [whole.len() - 2, whole.len() * 2 / 3] {
            let fault = Swatch::read(&whole[..kept], 24.0, [0.0, 0.0]).unwrap_err();
            assert_eq!(fault, SwatchFault::CutShort, "{kept}");
        }
    }
}
