//! All pieces side by side, at true scale.

use kurbo::{Affine, Point, Vec2};

use super::drawing::{Drawing, Layer, Text};
use super::label::Lettering;
use super::marker::measured_line;
use super::piece::{self, Manner};
use super::words;
use crate::order::Order;
use crate::pattern::Pattern;

/// Space round and between pieces, and the width rows are filled to, in mm.
const SPACE: f64 = 40.0;
const WIDTH: f64 = 2400.0;
/// Height of the garment's name, in mm.
const HEADING: f64 = 18.0;

/// Where the pieces stand on the sheet of all pieces.
pub struct Stand {
    /// From each piece to the sheet.
    pub places: Vec<Affine>,
    /// Every garment's name, with the base line it stands on.
    pub headings: Vec<(String, Point)>,
    /// Right and lower end of all, in mm.
    pub ends: Point,
}

/// Stands the pieces in rows, garment by garment.
pub fn stand(pattern: &Pattern) -> Stand {
    let (mut corner, mut tall) = (Point::new(SPACE, SPACE), 0.0_f64);
    let mut stand = Stand {
        places: Vec::new(),
        headings: Vec::new(),
        ends: Point::new(SPACE, SPACE),
    };
    let mut garment = "";
    for piece in &pattern.pieces {
        let bounds = piece.bounds();
        let new_garment = piece.garment != garment;
        if new_garment || (corner.x > SPACE && corner.x + bounds.width() + SPACE > WIDTH) {
            let step = if tall > 0.0 { tall + SPACE } else { 0.0 };
            (corner, tall) = (Point::new(SPACE, corner.y + step), 0.0);
        }
        if new_garment {
            garment = &piece.garment;
            let base = corner + Vec2::new(0.0, HEADING);
            stand
                .headings
                .push((words::capital(&words::spaced(garment)), base));
            corner.y += HEADING + SPACE;
        }
        stand
            .places
            .push(Affine::translate(corner - bounds.origin()));
        corner.x += bounds.width() + SPACE;
        tall = tall.max(bounds.height());
        stand.ends = Point::new(stand.ends.x.max(corner.x), corner.y + tall);
    }
    stand
}

/// Draws every piece once, in rows, garment by garment, with a scale bar of half a metre.
pub fn draw(pattern: &Pattern, order: &Order) -> Drawing {
    let title = format!("Pieces · {} {}", order.client.reference, order.client.name);
    let mut sheet = Drawing::new(&title, 0.0, 0.0);
    let stand = stand(pattern);
    for (heading, base) in &stand.headings {
        sheet.text(Layer::Page, Text::new(heading, *base, HEADING).bold());
    }
    let manner = Manner::of(order, Lettering::PICTURE);
    for (i, (piece, place)) in pattern.pieces.iter().zip(&stand.places).enumerate() {
        let lines = words::on_piece(piece, order);
        sheet.part(i + 1, piece::draw(piece, *place, &lines, &manner, &[]));
    }
    let foot = Point::new(SPACE, stand.ends.y + SPACE);
    measured_line(&mut sheet, foot, 500.0, "500 mm");
    sheet.width = stand.ends.x.max(600.0 + 2.0 * SPACE).ceil();
    sheet.height = (foot.y + SPACE).ceil();
    sheet
}
