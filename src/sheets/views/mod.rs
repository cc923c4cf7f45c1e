//! Draws the garments made up, from the front and the back, to show the client. They are drawn from the pieces of
//! the draft, with their seams closed, as a figure wears them.

pub mod choices;
pub(super) mod hand;

use super::drawing::{Anchor, Drawing, Text};
use super::in_cloth::InCloth;
use super::{font, pdf, preview, svg, words};
use crate::draft::Draft;
use crate::made_up::{self, Facing};
use crate::order::Order;
use kurbo::{Affine, Rect, Vec2};
use rayon::prelude::*;

/// Scale of a view, as a divisor: a coat of 80 cm is then 16 cm high, and two views fit side by side on A4.
const SCALE: f64 = 5.0;
/// Free room round a view, in mm of the sheet.
const MARGIN: f64 = 6.0;

/// Draws the front of a garment at a fifth of its size. Returns `None` if its pieces are not declared to be the
/// parts of a garment.
pub fn front(draft: &Draft) -> Option<Drawing> {
    seen(draft, Facing::Front).map(whole)
}

/// Draws the back of a garment at a fifth of its size.
pub fn back(draft: &Draft) -> Option<Drawing> {
    seen(draft, Facing::Back).map(whole)
}

/// What is seen of one garment; nothing if its pieces are not declared to be the parts of a garment.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Views {
    /// From the front and from the back, as it is worn.
    pub worn: Vec<Drawing>,
    /// With its vents open and from inside, where there is anything to be seen.
    pub opened: Vec<Drawing>,
}

/// The ways in which a garment is seen, by the fields of [`Views`].
const WAYS: [[Facing; 2]; 2] = [
    [Facing::Front, Facing::Back],
    [Facing::BackOpen, Facing::Inside],
];

/// Draws every garment of an order, in its cloth where that is described.
pub fn of_order(drafts: &[Draft], cloth: Option<&InCloth>) -> Vec<Views> {
    let ways = WAYS.as_flattened();
    let wanted: Vec<(usize, Facing)> = (0..drafts.len())
        .flat_map(|garment| ways.iter().map(move |facing| (garment, *facing)))
        .collect();
    let draw = |&(garment, facing): &(usize, Facing)| {
        let draft = &drafts[garment];
        let Some(cloth) = cloth else {
            return seen(draft, facing).map(whole);
        };
        let view = cloth.view(garment, facing, 1.0 / SCALE)?;
        Some(whole(Drawing {
            title: font::tidy(&titled(draft, facing)),
            ..view
        }))
    };
    let drawn: Vec<Option<Drawing>> = wanted.par_iter().map(draw).collect();
    let views = drawn.chunks(ways.len()).map(|drawn| {
        let (worn, opened) = drawn.split_at(WAYS[0].len());
        let there = |views: &[Option<Drawing>]| views.iter().flatten().cloned().collect();
        Views {
            worn: there(worn),
            opened: there(opened),
        }
    });
    views.collect()
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

/// Draws a garment at a fifth of its size, x from the middle of the figure and y down from the nape.
fn seen(draft: &Draft, facing: Facing) -> Option<Drawing> {
    let mut sheet = Drawing::new(&titled(draft, facing), 0.0, 0.0);
    let shown = made_up::view(draft, facing)?;
    hand::draw(&shown, &mut sheet, Affine::scale(1.0 / SCALE));
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

/// Puts the views of every garment of an order on one sheet, those of a garment in rows.
pub fn sheet(views: &[Views], order: &Order) -> Drawing {
    let title = font::clean(&words::client(order));
    let mut sheet = Drawing::new(&title, 0.0, 0.0);
    let (mut y, mut width) = (26.0, 0.0_f64);
    let rows = views.iter().flat_map(|views| [&views.worn, &views.opened]);
    for row in rows.filter(|row| !row.is_empty()) {
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
