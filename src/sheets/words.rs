//! Writes values in the words of the trade.

use crate::draft::{Count, Material};
use crate::lay::Placement;
use crate::order::words::shown;
use crate::order::{Face, Layout, Measures, Order, Side};
use crate::pattern::Piece;
use crate::units::{Unit, YARD};

/// What to do before good cloth is cut.
pub const TOILE: &str = "Cut a toile, or leave the inlays and baste, before cutting good cloth.";

/// The caution for everyone who cuts.
pub const SHARP: &str = "Shears, rotary knives, steam and powered cutters can injure: follow the machine's manual and the \
     local rules.";

/// What a draft is worth without a cutter.
pub const STARTING_POINT: &str =
    "The draft is a starting point for a trained cutter's eye; it does not replace a fitting.";

/// The caution that goes with everything that is fed to a machine.
pub const CAUTION: &str = "Plotters, powered cutters, knives and shears can injure: follow the machine's manual and the local \
     rules, and leave powered cutting to people who are trained for it.";

/// Says how many of a piece are cut: `cut 2`, `cut 1 pair`.
pub fn count(count: Count) -> String {
    match count {
        Count::Alike(n) => format!("cut {n}"),
        Count::Pairs(1) => "cut 1 pair".to_owned(),
        Count::Pairs(n) => format!("cut {n} pairs"),
    }
}

/// Says how many of a piece are cut, and for which side of the body if it is for one side only:
/// `cut 1, left side`.
pub fn cut(piece: &Piece) -> String {
    let count = count(piece.count);
    side(piece).map_or(count.clone(), |side| format!("{count}, {side}"))
}

/// Names the side of the body that a piece is cut for, if it is for one side only: `left side`.
pub fn side(piece: &Piece) -> Option<&'static str> {
    piece.side.map(|side| match side {
        Side::Left => "left side",
        Side::Right => "right side",
    })
}

/// Says which side of a material is up as it lies: `face down`, `upper ply face down`. Returns `None` for a
/// material that has no face.
pub fn lies(material: &Material, layout: Layout, order: &Order) -> Option<&'static str> {
    let face = material.has_face().then_some(order.cloth.face)?;
    Some(match (layout, face) {
        (Layout::Open, Face::Down) => "face down",
        (Layout::Open, Face::Up) => "face up",
        (Layout::Doubled, Face::Down) => "upper ply face down",
        (Layout::Doubled, Face::Up) => "upper ply face up",
    })
}

/// Writes a name with underscores or dots as words: `half_back` as `half back`.
pub fn spaced(name: &str) -> String {
    name.replace(['_', '.'], " ")
}

/// Begins words with a capital letter.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Says whose an order is: `1234 · A. Client`.
pub fn client(order: &Order) -> String {
    format!("{} · {}", order.client.reference, order.client.name)
}

/// Writes the girths that tell a size: `chest 100, waist 88, seat 103 cm`.
pub fn size(measures: &Measures, unit: Unit) -> String {
    let girths: Vec<String> = ["chest", "waist", "seat"]
        .iter()
        .filter_map(|name| {
            let mm = measures.mm(name)?;
            Some(format!("{name} {}", unit.number(mm)))
        })
        .collect();
    if girths.is_empty() {
        String::new()
    } else {
        format!("{} {}", girths.join(", "), unit.name())
    }
}

/// Writes a length of cloth to order, never less than it is: `3.40 m`, `3 3/4 yd`.
pub fn cloth(mm: f64, unit: Unit) -> String {
    let step = match unit {
        Unit::Cm => 10.0,
        Unit::Inch => YARD / 8.0,
    };
    unit.cloth((mm / step - 1e-6).ceil() * step)
}

/// Writes a length of tape or the like to buy, never less than it is: short ones in cm or inches, long ones as
/// cloth.
pub fn bought(mm: f64, unit: Unit) -> String {
    let long = match unit {
        Unit::Cm => 1000.0,
        Unit::Inch => YARD,
    };
    if mm >= long {
        cloth(mm, unit)
    } else {
        unit.show(unit.at_least(mm))
    }
}

/// Writes the width of a material: `150 cm`, `59 in`.
pub fn width(mm: f64, unit: Unit) -> String {
    unit.show(unit.at_most(mm))
}

/// Writes the lines on a piece, the most important first: its name, how many to cut of what, whose it is,
/// and the size. Pieces are drawn with the face of the cloth up. A piece for one side of the body says
/// so, because turning the paper over would make it the piece of the other side.
pub fn on_piece(piece: &Piece, order: &Order) -> Vec<String> {
    let face = match piece.side {
        Some(_) if piece.material.has_face() => ", face up",
        _ => "",
    };
    lines([
        capital(&piece.name),
        format!(
            "{} · {} · {}{face}{}",
            piece.garment,
            piece.material.name,
            cut(piece),
            on_the_bias(piece)
        ),
        whose(order, 120.0),
        size(&order.measures, order.unit),
    ])
}

/// Writes the lines on one copy of a piece on the cloth: its name, which copy or pair it is, and whose it is.
pub fn on_cloth(
    piece: &Piece,
    placement: &Placement,
    layout: Layout,
    order: &Order,
) -> Vec<String> {
    let how = match (layout, placement.plies) {
        (Layout::Doubled, 1) => Some("upper ply only"),
        _ if placement.on_fold => Some("on the fold"),
        _ => None,
    };
    let garment = [Some(piece.garment.as_str()), side(piece), how];
    let garment: Vec<&str> = garment.into_iter().flatten().collect();
    lines([
        format!("{}{}", capital(&piece.name), which(piece.count, placement)),
        garment.join(" · ") + on_the_bias(piece),
        if placement.tilt == 0.0 {
            String::new()
        } else {
            let from = if piece.bias { "bias" } else { "grain" };
            format!("{}° off the {from}", shown(placement.tilt.abs()))
        },
        whose(order, 90.0),
    ])
}

/// Adds that a piece is cut on the bias; returns nothing for others.
pub fn on_the_bias(piece: &Piece) -> &'static str {
    if piece.bias { " · on the bias" } else { "" }
}

/// Says which of several copies this is: ` 1 of 4`, ` pair 2 of 2`, ` pair`; it adds nothing to a single piece.
fn which(count: Count, placement: &Placement) -> String {
    let (word, total) = match placement.plies {
        2 if !placement.on_fold => (" pair", count.total() / 2),
        _ => ("", count.total()),
    };
    if total > 1 {
        format!("{word} {} of {total}", placement.copy + 1)
    } else {
        word.to_owned()
    }
}

/// Writes the reference and the client's name, at most `width` mm long with capitals of 2.5 mm.
fn whose(order: &Order, width: f64) -> String {
    let both = [order.client.reference.as_str(), order.client.name.as_str()];
    let both: Vec<&str> = both.into_iter().filter(|words| !words.is_empty()).collect();
    super::font::shorten(&both.join(" · "), 2.5, false, width)
}

fn lines<const N: usize>(lines: [String; N]) -> Vec<String> {
    lines
        .iter()
        .map(|line| super::font::clean(line))
        .filter(|line| !line.is_empty())
        .collect()
}
