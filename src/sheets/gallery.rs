//! All pieces side by side, at true scale, each with its name under it.

use kurbo::{Affine, Point, Vec2};

use super::drawing::{Anchor, Drawing, Layer, Text};
use super::label::Lettering;
use super::marker::measured_line;
use super::piece::{self, Manner};
use super::words;
use crate::order::Order;
use crate::pattern::{Pattern, Piece};
use crate::units::{INCH, Unit};

/// Longest side of the picture of all pieces, in pixels. At this size the names, 20 mm high on four or five
/// metres, can be read without enlarging it.
pub const PIXELS: f64 = 3000.0;

/// Space round and between pieces, in mm.
const SPACE: f64 = 40.0;
/// The widths that the rows are tried at, in mm, and how much wider than high the sheet is best.
const WIDTHS: [f64; 10] = [
    1600.0, 2000.0, 2400.0, 2800.0, 3200.0, 3600.0, 4000.0, 4400.0, 4800.0, 5200.0,
];
const SHAPE: f64 = 1.5;
/// Heights of the garment's name, a piece's, and what else is said of it, in mm.
const HEADING: f64 = 36.0;
const NAME: f64 = 20.0;
const WORDS: f64 = 16.0;
/// From a piece to the foot of its name, and from there to the foot of the second line, in mm.
const UNDER: f64 = 12.0 + NAME;
const NEXT: f64 = 14.0 + WORDS;

/// The places of the pieces on the sheet of all pieces.
#[derive(Default)]
pub struct Stand {
    /// The transform from each piece to the sheet.
    pub places: Vec<Affine>,
    /// The middle of what is said under each piece, on the base line of its name.
    captions: Vec<Point>,
    /// Every garment's name, with the base line it stands on.
    pub headings: Vec<(String, Point)>,
    /// Right and lower end of all, in mm.
    pub ends: Point,
}

/// Arranges the pieces garment by garment, the longest of each first, so that the sheet is not much longer one
/// way than the other.
pub fn stand(pattern: &Pattern) -> Stand {
    let long = |stand: &Stand| (stand.ends.x / SHAPE).max(stand.ends.y);
    let tried = WIDTHS.iter().map(|width| stand_in(pattern, *width));
    let best = tried.min_by(|a, b| long(a).total_cmp(&long(b)));
    best.unwrap_or_default()
}

/// Pieces one below the other.
struct Column {
    left: f64,
    width: f64,
    /// Where the next may begin, and where the last must end.
    free: f64,
    foot: f64,
}

/// Columns side by side.
struct Row {
    /// Where the next column may begin.
    free: f64,
    top: f64,
    tall: f64,
}

/// Arranges the pieces in rows no wider than `width`, each where it first finds room: under shorter ones, at
/// the end of a row, in a new one.
fn stand_in(pattern: &Pattern, width: f64) -> Stand {
    let mut stand = Stand {
        places: vec![Affine::IDENTITY; pattern.pieces.len()],
        captions: vec![Point::ZERO; pattern.pieces.len()],
        ..Stand::default()
    };
    let mut below = SPACE;
    let pieces: Vec<(usize, &Piece)> = pattern.pieces.iter().enumerate().collect();
    for garment in pieces.chunk_by(|a, b| a.1.garment == b.1.garment) {
        let Some((_, first)) = garment.first() else {
            continue;
        };
        let heading = words::capital(&words::spaced(&first.garment));
        let base = Point::new(SPACE, below + HEADING);
        stand.headings.push((heading, base));
        below += HEADING + SPACE;
        let mut sized: Vec<(usize, &Piece, (f64, f64))> = garment
            .iter()
            .map(|(at, piece)| (*at, *piece, room(piece)))
            .collect();
        // Heights are compared to the mm, so that left and right keep the draft's order.
        sized.sort_by(|a, b| b.2.1.round().total_cmp(&a.2.1.round()));
        let (mut rows, mut columns): (Vec<Row>, Vec<Column>) = (Vec::new(), Vec::new());
        for (at, piece, size) in sized {
            let corner = place(&mut rows, &mut columns, size, width, below);
            let bounds = piece.bounds();
            let middle = corner.x + size.0 / 2.0;
            let left = middle - bounds.width() / 2.0;
            let to_corner = Point::new(left, corner.y) - bounds.origin();
            stand.places[at] = Affine::translate(to_corner);
            stand.captions[at] = Point::new(middle, corner.y + bounds.height() + UNDER);
            let end = (corner.x + size.0 + SPACE, corner.y + size.1);
            stand.ends = Point::new(stand.ends.x.max(end.0), stand.ends.y.max(end.1));
        }
        below = rows
            .last()
            .map_or(below, |row| row.top + row.tall + 2.0 * SPACE);
    }
    stand
}

/// Returns the room that a piece takes with the words under it: across and down.
fn room(piece: &Piece) -> (f64, f64) {
    let bounds = piece.bounds();
    let [name, words] = caption(piece, Point::ZERO).map(|line| line.length());
    (
        bounds.width().max(name).max(words),
        bounds.height() + UNDER + NEXT,
    )
}

/// Finds a place for a piece of a width and height, in the rows of a garment that begin at `below`.
fn place(
    rows: &mut Vec<Row>,
    columns: &mut Vec<Column>,
    (wide, high): (f64, f64),
    width: f64,
    below: f64,
) -> Point {
    let fits = |column: &&mut Column| wide <= column.width && column.free + high <= column.foot;
    if let Some(column) = columns.iter_mut().find(fits) {
        let corner = Point::new(column.left, column.free);
        column.free += high + SPACE;
        return corner;
    }
    let open = |row: &Row| row.free + wide + SPACE <= width && high <= row.tall;
    let at = rows.iter().position(open).unwrap_or_else(|| {
        let top = rows.last().map_or(below, |row| row.top + row.tall + SPACE);
        rows.push(Row {
            free: SPACE,
            top,
            tall: high,
        });
        rows.len() - 1
    });
    let row = &mut rows[at];
    let corner = Point::new(row.free, row.top);
    row.free += wide + SPACE;
    columns.push(Column {
        left: corner.x,
        width: wide,
        free: corner.y + high + SPACE,
        foot: row.top + row.tall,
    });
    corner
}

/// Writes the words under a piece: its name, its material, and how many are cut.
fn caption(piece: &Piece, base: Point) -> [Text; 2] {
    let more = format!("{} · {}", &piece.material.name, words::count(piece.count));
    [
        Text::new(&words::capital(&piece.name), base, NAME).bold(),
        Text::new(&more, base + Vec2::new(0.0, NEXT), WORDS),
    ]
    .map(|line| line.anchor(Anchor::Middle))
}

/// Draws every piece once, garment by garment, with a scale bar of half a metre or half a yard.
pub fn draw(pattern: &Pattern, order: &Order) -> Drawing {
    let title = format!("Pieces · {} {}", order.client.reference, order.client.name);
    let mut sheet = Drawing::new(&title, 0.0, 0.0);
    let stand = stand(pattern);
    for (heading, base) in &stand.headings {
        sheet.text(Layer::Page, Text::new(heading, *base, HEADING).bold());
    }
    let manner = Manner::of(order, Lettering::PICTURE);
    let placed = stand.places.iter().zip(&stand.captions);
    for (i, (piece, (place, base))) in pattern.pieces.iter().zip(placed).enumerate() {
        sheet.part(i + 1, piece::draw(piece, *place, &[], &manner, &[]));
        for line in caption(piece, *base) {
            sheet.text(Layer::Labels, line);
        }
    }
    let foot = Point::new(SPACE, stand.ends.y + 2.0 * SPACE);
    let (long, name) = match order.unit {
        Unit::Cm => (500.0, "50 cm"),
        Unit::Inch => (18.0 * INCH, "18 in"),
    };
    measured_line(&mut sheet, foot, long, "");
    let words = format!("{name} · {}", sheet.title);
    let beside = foot + Vec2::new(long + SPACE, NAME / 2.0);
    let whose = Text::new(&words, beside, NAME);
    let right = whose.at.x + whose.length() + SPACE;
    sheet.text(Layer::Page, whose);
    sheet.width = stand.ends.x.max(right).ceil();
    sheet.height = (foot.y + SPACE).ceil();
    sheet
}
