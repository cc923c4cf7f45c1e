//! Reads a photograph of a cloth, after a look at what it is, and says what is wrong with one.

use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits};
use std::fmt;
use std::io::Cursor;

/// The most pixels that are read: a photograph of a good telephone, and 100 MB of memory.
const MOST_PIXELS: u64 = 25_000_000;

/// The least pixels a side from which a cloth can be told.
const FEWEST: u32 = 16;

/// The memory that reading may take beside the picture itself, in bytes.
const MEMORY: u64 = 256 << 20;

/// What is wrong with a picture of a cloth.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SwatchFault {
    /// It is neither PNG nor JPEG.
    OtherKind,
    /// It has more pixels than are read: across and down.
    TooLarge(u32, u32),
    /// It has too few pixels to show a cloth: across and down.
    TooSmall(u32, u32),
    /// It ends before it is complete.
    CutShort,
    /// It cannot be read for another reason, in the words of its reader.
    Unreadable(String),
    /// It shows less than one repeat: across or along.
    LessThanARepeat(&'static str),
}

impl fmt::Display for SwatchFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let millions = |width: u32, height: u32| f64::from(width) * f64::from(height) / 1e6;
        match self {
            Self::OtherKind => write!(f, "it is neither a PNG nor a JPEG"),
            Self::TooLarge(width, height) => write!(
                f,
                "it has {width} × {height} pixels, {:.0} million, and at most {} million are read",
                millions(*width, *height),
                MOST_PIXELS / 1_000_000
            ),
            Self::TooSmall(width, height) => write!(
                f,
                "it has {width} × {height} pixels, from which no cloth can be told"
            ),
            Self::CutShort => write!(f, "the picture ends before it is complete"),
            Self::Unreadable(told) => write!(f, "it cannot be read: {told}"),
            Self::LessThanARepeat(way) => {
                write!(f, "it shows less than one repeat of the pattern {way}")
            }
        }
    }
}

impl SwatchFault {
    /// Returns what to do about it.
    pub fn help(&self) -> &'static str {
        match self {
            Self::OtherKind => "save it as PNG or JPEG",
            Self::TooLarge(..) => {
                "save it smaller: ten pixels to a mm of the cloth are more than enough"
            }
            Self::TooSmall(..) => "take the picture from nearer, or save it larger",
            Self::CutShort => "copy the file again from where it came",
            Self::Unreadable(_) => {
                "open it in a viewer of pictures and save it anew as PNG or JPEG"
            }
            Self::LessThanARepeat(_) => {
                "picture a larger part of the cloth, or correct swatch_width or the repeat"
            }
        }
    }
}

/// Decodes a picture after a look at its kind and size.
pub(super) fn decoded(bytes: &[u8]) -> Result<DynamicImage, SwatchFault> {
    let kind = image::guess_format(bytes).ok();
    let Some(kind @ (ImageFormat::Png | ImageFormat::Jpeg)) = kind else {
        return Err(SwatchFault::OtherKind);
    };
    // The reader of JPEG fills in what is missing with grey.
    let cut_short = kind == ImageFormat::Jpeg && !is_whole_jpeg(bytes);
    let unreadable = |fault: image::ImageError| match fault {
        image::ImageError::IoError(_) => SwatchFault::CutShort,
        _ if cut_short => SwatchFault::CutShort,
        other => SwatchFault::Unreadable(other.to_string()),
    };
    let mut reader = ImageReader::new(Cursor::new(bytes));
    reader.set_format(kind);
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(unreadable)?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        return Err(SwatchFault::TooLarge(width, height));
    }
    if width.min(height) < FEWEST {
        return Err(SwatchFault::TooSmall(width, height));
    }
    if cut_short {
        return Err(SwatchFault::CutShort);
    }
    let turned = decoder.orientation().map_err(unreadable)?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(unreadable)?;
    picture.apply_orientation(turned);
    Ok(picture)
}

/// Tells whether a JPEG has the marker of its end (ITU-T T.81, B.1) after the data of the picture has begun. A
/// thumbnail before it has one of its own.
fn is_whole_jpeg(bytes: &[u8]) -> bool {
    let mut at = 2;
    // Each segment before the data has a marker and its length.
    while let Some(&[0xFF, marker, high, low]) = bytes.get(at..at + 4) {
        if marker == 0xDA {
            let data = bytes.get(at..).unwrap_or_default();
            return data.windows(2).any(|pair| pair == [0xFF, 0xD9]);
        }
        // Markers may be padded.
        at += match marker {
            0xFF => 1,
            _ => 2 + usize::from(u16::from_be_bytes([high, low])),
        };
    }
    false
}
