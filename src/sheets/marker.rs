//! Draws a lay: the cloth at full width, with the pieces on it.

use kurbo::{Point, Rect};

use super::cut_order;
use super::drawing::{Anchor, Drawing, Layer, Pen, Text, rectangle, segment};
use super::label::Lettering;
use super::piece::{self, Manner};
use super::words;
use crate::lay::Laid;
use crate::order::{Layout, Order};
use crate::pattern::Pattern;
use crate::units::{INCH, Unit};

/// Room below the lay for its words and the line to measure, in mm.
const FOOT: f64 = 40.0;
/// Height of the words at the foot and along the edges, in mm.
const HEIGHT: f64 = 5.0;

/// Draws a lay. The sheet is as wide as the cloth, x across it from the left selvedge; y runs along
/// it from the cut end.
pub fn draw(laid: &Laid, pattern: &Pattern, order: &Order) -> Drawing {
    let lay = &laid.lay;
    let title = format!(
        "Lay in {} · {} {}",
        &laid.material.name, order.client.reference, order.client.name
    );
    let mut sheet = Drawing::new(&title, lay.cloth_width, lay.length + FOOT);
    draw_repeat(&mut sheet, laid, order);
    draw_cloth(&mut sheet, laid, order);
    let manner = Manner::of(order, Lettering::TABLE);
    let turns = cut_order::turns(&laid.lay, pattern);
    for (i, placement) in lay.placements.iter().enumerate() {
        let Some(piece) = pattern.pieces.get(placement.piece) else {
            continue;
        };
        let mut lines = words::on_cloth(piece, placement, lay.layout, order);
        lines.extend(turns.get(i).map(|turn| format!("cut as no. {turn}")));
        let piece = piece::as_placed(piece, placement);
        sheet.part(
            i + 1,
            piece::draw(&piece, placement.transform, &lines, &manner, &[]),
        );
    }
    sheet
}

fn draw_repeat(sheet: &mut Drawing, laid: &Laid, order: &Order) {
    let Some(cloth) = order.cloth_as(&laid.material) else {
        return;
    };
    let (width, length) = (laid.lay.cloth_width, laid.lay.length);
    let pen = Pen::full(0.15).grey(0.6);
    let from = laid.lay.pattern_at;
    for x in steps(from.x, cloth.repeat_across, width) {
        sheet.line(Layer::Repeat, segment((x, 0.0), (x, length)), pen);
    }
    for y in steps(from.y, cloth.repeat_along, length) {
        sheet.line(Layer::Repeat, segment((0.0, y), (width, y)), pen);
    }
}

/// Returns the places of a repeat inside a length; none for a repeat that is too small to draw.
fn steps(from: f64, repeat: f64, length: f64) -> Vec<f64> {
    if repeat < 2.0 {
        return Vec::new();
    }
    let first = from.rem_euclid(repeat);
    (0..)
        .map(|i| first + f64::from(i) * repeat)
        .skip_while(|&at| at <= 0.0)
        .take_while(|&at| at < length)
        .collect()
}

fn draw_cloth(sheet: &mut Drawing, laid: &Laid, order: &Order) {
    let lay = &laid.lay;
    let (width, length) = (lay.cloth_width, lay.length);
    sheet.line(
        Layer::Cloth,
        rectangle(Rect::new(0.0, 0.0, width, length)),
        Pen::full(0.3),
    );
    for (i, &(start, end)) in lay.at_hand.iter().enumerate() {
        for y in [start, end] {
            sheet.line(Layer::Cloth, segment((0.0, y), (width, y)), Pen::full(0.5));
        }
        let words = format!("end of piece {} in stock", i + 1);
        let at = Point::new(lay.usable.0.max(10.0), end - 2.0);
        sheet.text(Layer::Cloth, Text::new(&words, at, HEIGHT));
    }
    for (i, &(start, end)) in lay.sections.iter().enumerate() {
        let (number, all) = (i + 1, lay.sections.len());
        let words = format!("section {number} of {all}");
        let at = Point::new(lay.usable.0.max(10.0), start + HEIGHT + 2.0);
        sheet.text(Layer::Cloth, Text::new(&words, at, HEIGHT));
        if number < all {
            let across = segment((0.0, end), (width, end));
            sheet.line(Layer::Cloth, across, Pen::full(0.5));
        }
    }
    let doubled = lay.layout == Layout::Doubled;
    for (x, edge) in [(lay.usable.0, 0.0), (lay.usable.1, width)] {
        let lost = (x - edge).abs();
        if lost > 0.01 {
            sheet.line(Layer::Cloth, segment((x, 0.0), (x, length)), Pen::LEVEL);
        }
        let name = if doubled && lost <= 0.01 {
            "fold"
        } else {
            "selvedge"
        };
        let height = HEIGHT.min((0.5 * lost).max(3.0));
        let inside = if edge == 0.0 {
            0.5 * lost.max(8.0)
        } else {
            width - 0.5 * lost.max(8.0)
        };
        // The words keep clear of the numbers, which stand every 50 cm.
        let middle = (length / 1000.0).floor() * 500.0 + 250.0;
        let at = Point::new(inside + height / 2.0, middle.min(length / 2.0));
        let name = match words::lies(&laid.material, lay.layout, order) {
            Some(face) => format!("{name} · {face}"),
            None => name.to_owned(),
        };
        let text = Text::new(&name, at, height)
            .turned(-90.0)
            .anchor(Anchor::Middle);
        sheet.text(Layer::Cloth, text);
    }
    draw_measure(sheet, laid, order.unit);
    draw_foot(sheet, laid, order);
}

/// Draws ticks along the left edge every 10 cm from the cut end, numbered every 50 cm, or every 6 inches,
/// numbered every 18. A tape held to them shows whether the cloth or the roll of paper has crept.
fn draw_measure(sheet: &mut Drawing, laid: &Laid, unit: Unit) {
    let lost = laid.lay.usable.0;
    let length = lost.clamp(3.0, 8.0);
    let (apart, numbered) = match unit {
        Unit::Cm => (100.0, 5),
        Unit::Inch => (6.0 * INCH, 3),
    };
    for (i, y) in steps(0.0, apart, laid.lay.length).into_iter().enumerate() {
        let whole = (i + 1) % numbered == 0;
        let tick = if whole { length } else { 0.6 * length };
        let pen = Pen::full(0.25);
        sheet.line(Layer::Cloth, segment((0.0, y), (tick, y)), pen);
        if whole && lost >= 6.0 {
            let height = (0.4 * lost).min(HEIGHT);
            let at = Point::new(0.5 * lost + height / 2.0, y - 2.0);
            sheet.text(
                Layer::Cloth,
                Text::new(&unit.show(y), at, height).turned(-90.0),
            );
        }
    }
}

fn draw_foot(sheet: &mut Drawing, laid: &Laid, order: &Order) {
    let lay = &laid.lay;
    let left = lay.usable.0.max(10.0);
    let room = lay.cloth_width - 2.0 * left;
    let mut base = lay.length + 4.0 + HEIGHT;
    let face = words::lies(&laid.material, lay.layout, order);
    let face = face.map_or(String::new(), |face| format!(" · {face}"));
    let first = format!(
        "{}{face} · end of the lay at {}",
        sheet.title,
        match order.unit {
            Unit::Cm => order.unit.cloth(lay.length),
            Unit::Inch => order.unit.show(lay.length),
        }
    );
    let mut second = format!(
        "width {}, usable {} · {:.1} % of it used",
        words::width(lay.cloth_width, order.unit),
        words::width(lay.usable.1 - lay.usable.0, order.unit),
        100.0 * lay.efficiency
    );
    if let Some(cloth) = order.cloth_as(&laid.material) {
        second = format!("{} · {second}", cloth.name);
    }
    for line in [first, second] {
        let line = super::font::shorten(&line, HEIGHT, false, room);
        sheet.write(Text::new(&line, (left, base), HEIGHT));
        base += 1.7 * HEIGHT;
    }
    let (long, name) = test_line(order.unit);
    measured_line(
        sheet,
        Point::new(left, base),
        long.min(room),
        &format!("{name}: measure before cutting"),
    );
    // A plotter draws it too. On a narrow material it would run over the edge.
    let caution = Text::new(words::CAUTION, (left, base + 8.0), 3.0);
    if caution.length() <= room {
        sheet.write(caution);
    }
}

/// Returns the length of the line to measure, in mm, and what it is called.
pub(super) fn test_line(unit: Unit) -> (f64, &'static str) {
    match unit {
        Unit::Cm => (100.0, "100 mm"),
        Unit::Inch => (4.0 * INCH, "4 in"),
    }
}

/// Draws a line with end bars to hold a ruler to, and words after it.
pub fn measured_line(sheet: &mut Drawing, from: Point, length: f64, words: &str) {
    let to = from + kurbo::Vec2::new(length, 0.0);
    sheet.rule(from, to, Pen::full(0.3));
    for end in [from, to] {
        let bar = segment((end.x, end.y - 3.0), (end.x, end.y + 3.0));
        sheet.line(Layer::Page, bar, Pen::full(0.3));
    }
    sheet.write(Text::new(words, to + kurbo::Vec2::new(4.0, 1.5), 3.0));
}

/// Draws a small picture of a lay: the cloth and the cut lines, with names where they fit. It is at most
/// `width` mm wide and `height` mm high.
pub fn picture(laid: &Laid, pattern: &Pattern, width: f64, height: f64) -> Drawing {
    let lay = &laid.lay;
    let scale = (width / lay.cloth_width).min(height / lay.length.max(1.0));
    let to_picture = kurbo::Affine::scale(scale);
    let mut picture = Drawing::new("", scale * lay.cloth_width, scale * lay.length);
    let cloth = Rect::new(0.0, 0.0, picture.width, picture.height);
    picture.line(Layer::Page, rectangle(cloth), Pen::full(0.12));
    for placement in &lay.placements {
        let Some(piece) = pattern.pieces.get(placement.piece) else {
            continue;
        };
        let placed = piece::as_placed(piece, placement);
        let outline = to_picture * placement.transform * &placed.cut;
        name_in(&mut picture, &piece.name, &outline, 1.4);
        picture.line(Layer::Page, outline, Pen::full(0.2));
    }
    picture
}

/// Writes a name over the middle of an outline, if the box round the outline has room for it.
pub fn name_in(picture: &mut Drawing, name: &str, outline: &kurbo::BezPath, height: f64) {
    let bounds = kurbo::Shape::bounding_box(outline);
    let upright = bounds.height() > bounds.width();
    let (long, short) = (
        bounds.width().max(bounds.height()),
        bounds.width().min(bounds.height()),
    );
    let word = Text::new(name, Point::ZERO, height).anchor(Anchor::Middle);
    if word.length() + 1.0 > long || short < 1.8 * height {
        return;
    }
    let down = if upright {
        kurbo::Vec2::new(height / 2.0, 0.0)
    } else {
        kurbo::Vec2::new(0.0, height / 2.0)
    };
    let at = bounds.center() + down;
    picture.write(Text {
        at,
        degrees: if upright { -90.0 } else { 0.0 },
        ..word
    });
}
