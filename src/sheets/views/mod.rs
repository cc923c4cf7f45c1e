//! Draws the garments made up, from the front and the back, to show the client. They are drawn from the pieces of
//! the draft, with their seams closed, as a figure wears them.

pub mod choices;
mod hand;

use super::drawing::{Anchor, Drawing, Text};
use super::{font, pdf, preview, svg, words};
use crate::draft::Draft;
use crate::made_up::{self, Facing};
use crate::order::Order;
use kurbo::{Affine, Rect, Vec2};

/// Scale of a view, as a divisor: a coat of 80 cm is then 16 cm high, and two views fit side by side on A4.
const SCALE: f64 = 5.0;
/// Scale of the views that stand beside those, as a divisor.
const SMALL: f64 = 10.0;
/// Free room round a view, in mm of the sheet.
const MARGIN: f64 = 6.0;

/// Draws the front of a garment at a fifth of its size. Returns `None` if its pieces are not declared to be the
/// parts of a garment.
pub fn front(draft: &Draft) -> Option<Drawing> {
    seen(draft, Facing::Front, SCALE).map(whole)
}

/// Draws the back of a garment at a fifth of its size.
pub fn back(draft: &Draft) -> Option<Drawing> {
    seen(draft, Facing::Back, SCALE).map(whole)
}

/// Draws a garment at a part of its size, x from the middle of the figure and y down from the nape.
fn seen(draft: &Draft, facing: Facing, scale: f64) -> Option<Drawing> {
    let name = match facing {
        Facing::Front => "front",
        Facing::Back => "back",
        Facing::BackOpen => "back, vents open",
        Facing::Inside => "inside",
    };
    let mut sheet = Drawing::new(&format!("{}, {name}", draft.garment), 0.0, 0.0);
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

/// Draws a garment as it is seen otherwise than from the front and the back: from inside, and with its vents open.
/// They stand one below the other, at a tenth of its size.
fn beside(draft: &Draft) -> Option<Drawing> {
    let mut column = Drawing::new("", 0.0, 0.0);
    let ways = [
        (Facing::Inside, "From inside, one tenth"),
        (Facing::BackOpen, "The vents open, one tenth"),
    ];
    for (facing, words) in ways {
        let Some(view) = seen(draft, facing, SMALL).map(whole) else {
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

/// Draws every garment of an order from all sides, on one sheet.
pub fn sheet(drafts: &[Draft], order: &Order) -> Drawing {
    let title = font::clean(&words::client(order));
    let mut sheet = Drawing::new(&title, 0.0, 0.0);
    let (mut y, mut width) = (26.0, 0.0_f64);
    for draft in drafts {
        let row = [front(draft), back(draft), beside(draft)];
        let row: Vec<Drawing> = row.into_iter().flatten().collect();
        let mut x = 10.0;
        let tall = row.iter().map(|view| view.height).fold(0.0, f64::max);
        for view in &row {
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
pub fn files(drafts: &[Draft], order: &Order) -> Vec<super::Sheet> {
    if drafts.iter().all(|draft| front(draft).is_none()) {
        return Vec::new();
    }
    let sheet = sheet(drafts, order);
    let title = format!("Views · {}", sheet.title);
    [
        ("views.svg", svg::write(&sheet)),
        ("views.pdf", pdf::write_drawings(&title, [&sheet])),
        ("views.png", preview::write(&sheet)),
    ]
    .map(|(file, bytes)| super::Sheet::new(file, bytes))
    .into()
}
