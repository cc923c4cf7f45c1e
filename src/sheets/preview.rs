//! Draws small pictures (PNG), to look at on a screen or to send.

use resvg::tiny_skia::{Color, FilterQuality, IntSize, Pixmap, PixmapPaint, Transform};
use resvg::usvg::{Options, Tree};

use super::drawing::{Drawing, Ink, Item, Painted};
use super::svg;

/// Longest side of a picture, in pixels: names on a lay can be read, and the file can be sent by mail.
const LONGEST: f64 = 1600.0;

/// Draws a drawing on white, its longer side 1600 pixels. A drawing that has no size gives no bytes.
pub fn write(drawing: &Drawing) -> Vec<u8> {
    sized(drawing, LONGEST)
}

/// Returns how many pixels of [`write()`]'s picture are a mm of a drawing.
pub fn pixels_to_a_mm(drawing: &Drawing) -> f64 {
    LONGEST / drawing.width.max(drawing.height).max(1.0)
}

/// Draws a drawing on white, its longer side `longest` pixels.
pub fn sized(drawing: &Drawing, longest: f64) -> Vec<u8> {
    let longer = drawing.width.max(drawing.height);
    let scale = longest / longer.max(1.0);
    // Lines are drawn wider where the usual quarter mm would be less than three quarters of a pixel.
    let bolder = drawing.clone().bolder((0.75 / (0.25 * scale)).max(1.0));
    picture(&bolder, scale).unwrap_or_default()
}

fn picture(drawing: &Drawing, scale: f64) -> Option<Vec<u8>> {
    let (pictures, lines): (Vec<Item>, Vec<Item>) =
        (drawing.items.iter().cloned()).partition(|item| matches!(item.ink, Ink::Painted(_)));
    let drawing = &Drawing {
        items: lines,
        title: drawing.title.clone(),
        ..*drawing
    };
    let tree = Tree::from_data(
        &svg::write(drawing),
        &Options {
            dpi: 25.4,
            ..Options::default()
        },
    )
    .ok()?;
    let pixels = |mm: f64| (mm * scale).ceil() as u32;
    let mut pixmap = Pixmap::new(pixels(drawing.width), pixels(drawing.height))?;
    pixmap.fill(Color::WHITE);
    for item in &pictures {
        if let Ink::Painted(painted) = &item.ink {
            paint(painted, scale, &mut pixmap);
        }
    }
    let transform = Transform::from_scale(scale as f32, scale as f32);
    resvg::render(&tree, transform, &mut pixmap.as_mut());
    pixmap.encode_png().ok()
}

/// Draws a picture under the lines. Lines are read without it, as it would have to be read back from PNG.
fn paint(painted: &Painted, scale: f64, pixmap: &mut Pixmap) {
    let picture = &painted.picture;
    let (width, height) = (picture.width as u32, picture.height as u32);
    let pixels = picture.rgb.chunks_exact(3);
    let opaque = pixels.flat_map(|rgb| [rgb[0], rgb[1], rgb[2], u8::MAX]);
    let Some(source) =
        IntSize::from_wh(width, height).and_then(|size| Pixmap::from_vec(opaque.collect(), size))
    else {
        return;
    };
    let place = painted.place;
    let times = |mm: f64, count: u32| (mm * scale / f64::from(count)) as f32;
    let (across, down) = (times(place.width(), width), times(place.height(), height));
    let at = |mm: f64| (mm * scale) as f32;
    let onto = Transform::from_row(across, 0.0, 0.0, down, at(place.x0), at(place.y0));
    let paint = PixmapPaint {
        quality: FilterQuality::Bilinear,
        ..PixmapPaint::default()
    };
    pixmap.draw_pixmap(0, 0, source.as_ref(), &paint, onto, None);
}
