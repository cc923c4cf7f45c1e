//! Draws small pictures (PNG), to look at on a screen or to send.

use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{Options, Tree};

use super::drawing::Drawing;
use super::svg;

/// Longest side of a picture, in pixels: names on a lay can be read, and the file can be sent by mail.
const LONGEST: f64 = 1600.0;

/// Draws a drawing on white, its longer side 1600 pixels. A drawing that has no size gives no bytes.
pub fn write(drawing: &Drawing) -> Vec<u8> {
    sized(drawing, LONGEST)
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
    let transform = Transform::from_scale(scale as f32, scale as f32);
    resvg::render(&tree, transform, &mut pixmap.as_mut());
    pixmap.encode_png().ok()
}
