//! Draws the garments made up, from the front and the back, to show the client. They are drawn from the pieces of
//! the draft, with their seams closed, as a figure wears them.

pub mod choices;
pub(super) mod hand;
mod types;

use super::drawing::{Anchor, Drawing, Text};
use super::in_cloth::InCloth;
use super::{font, pdf, preview, svg, words};
use crate::draft::Draft;
use crate::made_up::{self, Facing};
use crate::order::Order;
use kurbo::{Affine, Rect, Vec2};
use rayon::prelude::*;
pub use types::Views;

/// Scale of a view, as a divisor: a coat of 80 cm is then 16 cm high, and two views fit side by side on A4.
const SCALE: f64 = 5.0;
/// Scale of the views that stand beside those, as a divisor.
const SMALL: f64 = 10.0;
/// Free room round a view, in mm of the sheet.
pub const MARGIN: f64 = 6.0;

/// Draws the front of a garment at a fifth of its size. Returns `None` if its pieces are not declared to be the
/// parts of a garment.
pub fn front(draft: &Draft) -> Option<Drawing> {
    seen(draft, Facing::Front, SCALE).map(whole)
}

/// Draws the back of a garment at a fifth of its size.
pub fn back(draft: &Draft) -> Option<Drawing> {
    seen(draft, Facing::Back, SCALE).map(whole)
}

/// The ways in which a garment is seen, each with its scale as a divisor and the words under it.
const WAYS: [(Facing, f64, &str); 4] = [
    (Facing::Front, SCALE, ""),
    (Facing::Back, SCALE, ""),
    (Facing::Inside, SMALL, "From inside, one tenth"),
    (Facing::BackOpen, SMALL, "The vents open, one tenth"),
];

/// Draws every garment of an order, in its cloth where that is described.
pub fn of_order(drafts: &[Draft], cloth: Option<&InCloth>) -> Vec<Views> {
    let wanted: Vec<(usize, Facing, f64)> = (0..drafts.len())
        .flat_map(|garment| WAYS.map(|(facing, scale, _)| (garment, facing, scale)))
        .collect();
    let draw = |&(garment, facing, scale): &(usize, Facing, f64)| {
        drawn(&drafts[garment], garment, (facing, scale), cloth)
    };
    let drawn: Vec<Option<Drawing>> = wanted.par_iter().map(draw).collect();
    let views = drawn.chunks(WAYS.len()).map(|drawn| {
        let (worn, others) = drawn.split_at(2);
        Views {
            worn: worn.iter().flatten().cloned().collect(),
            beside: beside(others),
        }
    });
    views.collect()
}

/// Draws one garment of an order from one side at a fifth of its size, in its cloth where that is described.
/// Returns `None` if there is no such garment, or nothing to be seen of it from there.
pub fn of_garment(
    drafts: &[Draft],
    garment: usize,
    facing: Facing,
    cloth: Option<&InCloth>,
) -> Option<Drawing> {
    drawn(drafts.get(garment)?, garment, (facing, SCALE), cloth)
}

/// Draws a garment at a part of its size; `garment` is its place in the order.
fn drawn(
    draft: &Draft,
    garment: usize,
    (facing, scale): (Facing, f64),
    cloth: Option<&InCloth>,
) -> Option<Drawing> {
    let Some(cloth) = cloth.filter(|cloth| cloth.shows(garment)) else {
        return seen(draft, facing, scale).map(whole);
    };
    let view = cloth.view(garment, facing, 1.0 / scale)?;
    Some(whole(Drawing {
        title: font::tidy(&titled(draft, facing)),
        ..view
    }))
}

/// Puts the views of a garment that is not seen as it is worn one below the other.
fn beside(views: &[Option<Drawing>]) -> Option<Drawing> {
    let mut column = Drawing::new("", 0.0, 0.0);
    let ways = WAYS.iter().skip(WAYS.len() - views.len());
    for (view, (.., words)) in views.iter().zip(ways) {
        let Some(view) = view else {
            continue;
        };
        let down = Affine::translate(Vec2::new(0.0, column.height));
        column.items.extend(view.placed(down));
        column.width = column.width.max(view.width);
        column.height += view.height + 6.0;
        let under = (view.width / 2.0, column.height - 4.0);
        let words = Text::new(words, under, 1.9).anchor(Anchor::Middle);
        column.write(words.grey(0.35));
    }
    (column.height > 0.0).then_some(column)
}

fn titled(draft: &Draft, facing: Facing) -> String {
    let name = match facing {
        Facing::Front => "front",
        Facing::Back => "back",
        Facing::BackOpen => "back, vents open",
        Facing::Inside => "inside",
    };
    format!("{}, {name}", draft.garment)
}

/// Draws a garment at a part of its size, x from the middle of the figure and y down from the nape.
fn seen(draft: &Draft, facing: Facing, scale: f64) -> Option<Drawing> {
    let mut sheet = Drawing::new(&titled(draft, facing), 0.0, 0.0);
    let shown = made_up::view(draft, facing)?;
    hand::draw(&shown, &mut sheet, Affine::scale(1.0 / scale));
    Some(sheet)
}

/// Sizes the sheet of a view, so that it holds the whole view with free room round it.
fn whole(view: Drawing) -> Drawing {
    let bounds = view.items.iter().map(|item| item.ink.bounds());
    let bounds = bounds.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
    moved(view, bounds.inflate(MARGIN, MARGIN))
}

/// Moves a drawing so that one part of it fills the sheet. Nothing outside the part is removed.
pub fn moved(sheet: Drawing, part: Rect) -> Drawing {
    let place = Affine::translate(-part.origin().to_vec2());
    Drawing {
        items: sheet.placed(place).collect(),
        width: part.width(),
        height: part.height(),
        title: sheet.title,
    }
}

/// Puts the views of every garment of an order on one sheet.
pub fn sheet(views: &[Views], order: &Order) -> Drawing {
    let title = font::clean(&words::client(order));
    let mut sheet = Drawing::new(&title, 0.0, 0.0);
    let (mut y, mut width) = (26.0, 0.0_f64);
    for garment in views {
        let row: Vec<&Drawing> = garment.worn.iter().chain(&garment.beside).collect();
        let mut x = 10.0;
        let tall = row.iter().map(|view| view.height).fold(0.0, f64::max);
        for view in row {
            sheet
                .items
                .extend(view.placed(Affine::translate(Vec2::new(x, y))));
            x += view.width + 12.0;
        }
        width = width.max(x);
        y += tall;
    }
    sheet.width = (width + 2.0).max(120.0).ceil();
    sheet.height = (y + 14.0).ceil();
    let heading = font::shorten(&title, 4.2, true, sheet.width - 24.0);
    sheet.write(Text::new(&heading, (12.0, 16.0), 4.2).bold());
    let words = "One fifth of true size, drawn from the draft. The fitting decides.";
    let foot = Text::new(words, (sheet.width / 2.0, sheet.height - 6.0), 1.9);
    sheet.write(foot.anchor(Anchor::Middle).grey(0.35));
    sheet
}

/// Writes the sheet as SVG, PDF and a small picture. Garments without views give no files.
pub fn files(views: &[Views], order: &Order) -> Vec<super::Sheet> {
    if views.iter().all(|views| views.worn.is_empty()) {
        return Vec::new();
    }
    let sheet = sheet(views, order);
    let title = format!("Views · {}", sheet.title);
    [
        ("views.svg", svg::write(&sheet)),
        ("views.pdf", pdf::write_drawings(&title, [&sheet])),
        ("views.png", preview::write(&sheet)),
    ]
    .map(|(file, bytes)| super::Sheet::new(file, bytes))
    .into()
}
