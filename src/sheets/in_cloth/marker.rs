//! Shows a lay in its cloth.

use super::InCloth;
use super::phase::on_table;
use crate::cloth::{Canvas, Corner, Covered};
use crate::lay::Laid;
use crate::made_up::CLOTH;
use crate::pattern::Pattern;
use crate::sheets::drawing::{Drawing, Ink, Item, Layer, Painted};
use crate::sheets::piece;
use kurbo::{Affine, Point, Rect, Shape};

/// Shows the drawing of a lay with its pieces in their cloth, in a picture of which `pixels` are a mm of the table. The
/// drawing of another material is returned as it is.
pub fn lay(
    marker: &Drawing,
    laid: &Laid,
    pattern: &Pattern,
    cloth: &InCloth,
    pixels: f64,
) -> Drawing {
    let mut shown = marker.clone();
    let palette = cloth.of_lay(laid).filter(|_| laid.material.is_cloth());
    let Some(palette) = palette else {
        return shown;
    };
    let (width, length) = (laid.lay.cloth_width, laid.lay.length);
    let size = |mm: f64| (mm * pixels).ceil();
    let Some(mut canvas) = Canvas::new(size(width) as usize, size(length) as usize) else {
        return shown;
    };
    let texture = palette.of(CLOTH);
    for placed in &laid.lay.placements {
        let Some(of) = pattern.pieces.get(placed.piece) else {
            continue;
        };
        let cut = placed.transform * &piece::as_placed(of, placed).cut;
        let outline = Affine::scale(pixels) * &cut;
        let Some(mut covered) = Covered::new(&canvas, &outline, texture.mean()) else {
            continue;
        };
        let round = cut.bounding_box().inflate(1.0, 1.0);
        let corner = |x: f64, y: f64| Corner {
            at: Point::new(x * pixels, y * pixels),
            on: on_table(&laid.lay, Point::new(x, y)),
            light: 1.0,
        };
        let [a, b] = [corner(round.x0, round.y0), corner(round.x1, round.y0)];
        let [c, d] = [corner(round.x1, round.y1), corner(round.x0, round.y1)];
        covered.paint([a, b, c], texture);
        covered.paint([a, c, d], texture);
        canvas.lay_on(&covered);
    }
    let place = Rect::new(0.0, 0.0, size(width) / pixels, size(length) / pixels);
    let Some(painted) = Painted::new(canvas.picture(), place) else {
        return shown;
    };
    // The cloth shows its own repeat.
    shown.items.retain(|item| item.layer != Layer::Repeat);
    if palette.is_dark() {
        shown.items.iter_mut().for_each(lighten);
    }
    let ink = Ink::Painted(painted);
    let layer = Layer::Repeat;
    shown.items.insert(
        0,
        Item {
            layer,
            part: 0,
            ink,
        },
    );
    shown
}

/// Turns what is drawn within a piece from black to white.
fn lighten(item: &mut Item) {
    let is_within = matches!(item.layer, Layer::Seam | Layer::Marks | Layer::Labels);
    if item.part == 0 || !is_within {
        return;
    }
    match &mut item.ink {
        Ink::Stroke { pen, .. } => pen.grey = 1.0 - pen.grey,
        Ink::Fill { grey, .. } => *grey = 1.0 - *grey,
        Ink::Text(text) => text.grey = 1.0 - text.grey,
        Ink::Painted(_) => {}
    }
}
