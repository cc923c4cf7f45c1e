//! All pieces side by side, at true scale.

use kurbo::{Affine, Point, Vec2};

use super::drawing::{Drawing, Layer, Text};
use super::marker::measured_line;
use super::piece;
use super::words;
use crate::order::Order;
use crate::pattern::Pattern;

/// Space round and between pieces, and the width rows are filled to, in mm.
const SPACE: f64 = 40.0;
const WIDTH: f64 = 2400.0;
/// Height of the garment's name, in mm.
const HEADING: f64 = 18.0;

/// Draws every piece once, in rows, garment by garment, with a scale bar of half a metre.
pub fn draw(pattern: &Pattern, order: &Order) -> Drawing {
    let title = format!("Pieces · {} {}", order.client.reference, order.client.name);
    let mut sheet = Drawing::new(&title, 0.0, 0.0);
    let (mut corner, mut tall, mut widest) =
        (Point::new(SPACE, SPACE), 0.0_f64, 600.0 + 2.0 * SPACE);
    let mut garment = "";
    for (i, piece) in pattern.pieces.iter().enumerate() {
        let bounds = piece.bounds();
        let new_garment = piece.garment != garment;
        if new_garment || (corner.x > SPACE && corner.x + bounds.width() + SPACE > WIDTH) {
            corner = Point::new(
                SPACE,
                corner.y + if tall > 0.0 { tall + SPACE } else { 0.0 },
            );
            tall = 0.0;
        }
        if new_garment {
            garment = &piece.garment;
            let base = corner + Vec2::new(0.0, HEADING);
            sheet.text(
                Layer::Page,
                Text::new(&words::capital(garment), base, HEADING).bold(),
            );
            corner.y += HEADING + SPACE;
        }
        let place = Affine::translate(corner - bounds.origin());
        let lines = words::on_piece(piece, order);
        sheet.part(
            i + 1,
            piece::draw(piece, place, &lines, words::grain_ends(&order.cloth), &[]),
        );
        corner.x += bounds.width() + SPACE;
        tall = tall.max(bounds.height());
        widest = widest.max(corner.x);
    }
    let foot = Point::new(SPACE, corner.y + tall + SPACE);
    measured_line(&mut sheet, foot, 500.0, "500 mm");
    sheet.width = widest.ceil();
    sheet.height = (foot.y + SPACE).ceil();
    sheet
}
