//! The garments made up, from the front and the back, to show the client: drawn from the draft's own
//! pieces with their seams closed, as a figure wears them.

pub mod choices;
mod hand;

use super::drawing::{Anchor, Drawing, Layer, Text};
use super::{font, pdf, preview, svg};
use crate::draft::Draft;
use crate::made_up::{self, Facing};
use crate::order::Order;
use kurbo::{Affine, Rect, Vec2};

/// So many times smaller than the garment.
const SCALE: f64 = 5.0;
/// Free room round a view, in mm of the sheet.
const MARGIN: f64 = 6.0;

/// The front of a garment at a fifth of its size; `None` for a garment whose pieces are not declared to be
/// the parts of one.
pub fn front(draft: &Draft) -> Option<Drawing> {
    seen(draft, Facing::Front).map(whole)
}

/// The back of a garment at a fifth of its size.
pub fn back(draft: &Draft) -> Option<Drawing> {
    seen(draft, Facing::Back).map(whole)
}

/// A garment at a fifth of its size, x from the middle of the figure and y down from the nape.
fn seen(draft: &Draft, facing: Facing) -> Option<Drawing> {
    let name = match facing {
        Facing::Front => "front",
        Facing::Back => "back",
    };
    let mut sheet = Drawing::new(&format!("{}, {name}", draft.garment), 0.0, 0.0);
    let shown = made_up::view(draft, facing)?;
    hand::draw(&shown, &mut sheet, Affine::scale(1.0 / SCALE));
    Some(sheet)
}

/// The whole of a view with free room round it.
fn whole(view: Drawing) -> Drawing {
    let bounds = view.items.iter().map(|item| item.ink.bounds());
    let bounds = bounds.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
    moved(view, bounds.inflate(MARGIN, MARGIN))
}

/// What lies in a part of a drawing, as a drawing of its own.
pub fn moved(sheet: Drawing, part: Rect) -> Drawing {
    let place = Affine::translate(-part.origin().to_vec2());
    Drawing {
        items: sheet.placed(place).collect(),
        width: part.width(),
        height: part.height(),
        title: sheet.title,
    }
}

/// Every garment of an order from the front and the back, on one sheet.
pub fn sheet(drafts: &[Draft], order: &Order) -> Drawing {
    let client = &order.client;
    let title = font::clean(&format!("{} · {}", client.reference, client.name));
    let mut sheet = Drawing::new(&title, 0.0, 0.0);
    let (mut y, mut width) = (26.0, 0.0_f64);
    for draft in drafts {
        let views: Vec<Drawing> = [front(draft), back(draft)].into_iter().flatten().collect();
        let mut x = 10.0;
        let tall = views.iter().map(|view| view.height).fold(0.0, f64::max);
        for view in &views {
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
    sheet.text(Layer::Page, Text::new(&heading, (12.0, 16.0), 4.2).bold());
    let words = "A fifth of the size. Drawn from the draft: a fitting decides.";
    let foot = Text::new(words, (sheet.width / 2.0, sheet.height - 6.0), 1.9);
    sheet.text(Layer::Page, foot.anchor(Anchor::Middle).grey(0.35));
    sheet
}

/// The sheet as SVG, PDF and a small picture; nothing for garments that have no view.
pub fn files(drafts: &[Draft], order: &Order) -> Vec<super::Sheet> {
    if drafts.iter().all(|draft| front(draft).is_none()) {
        return Vec::new();
    }
    let sheet = sheet(drafts, order);
    let page = pdf::Page {
        width: sheet.width,
        height: sheet.height,
        views: vec![pdf::View::at(&sheet, (0.0, 0.0))],
    };
    let title = format!("Views · {}", sheet.title);
    [
        ("views.svg", svg::write(&sheet)),
        ("views.pdf", pdf::write(&title, &[page])),
        ("views.png", preview::write(&sheet)),
    ]
    .map(|(file, bytes)| super::Sheet {
        file: file.to_owned(),
        bytes,
    })
    .into()
}
