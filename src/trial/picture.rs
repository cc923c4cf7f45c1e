//! A picture of a garment on the figures at the ends of the range.

use super::bodies::{Body, EXTREMES};
use super::ordered::ordered;
use crate::diagnostic::Diagnostic;
use crate::job;
use crate::sheets::drawing::{Anchor, Drawing, Text};
use crate::sheets::views;
use crate::workshop::Workshop;
use kurbo::{Affine, Vec2};

/// Height of the line above each figure, mm.
const HEAD: f64 = 12.0;

/// Draws the garment, as the house makes it, on the slightest, the regular, the tallest and the stoutest figure: from
/// the front, and below that from the back. A figure that is refused or not proven has its words alone.
///
/// # Errors
/// Returns what is wrong with the garment's choices.
pub fn picture(workshop: &Workshop, garment: &str) -> Result<Drawing, Vec<Diagnostic>> {
    let mut sheet = Drawing::new(&format!("{garment}, tried"), 0.0, 0.0);
    let mut x = 10.0;
    for body in EXTREMES {
        let order = ordered(workshop, garment, body, &[], "")?;
        let drafts =
            job::draft(workshop, &order).map_or_else(|_| Vec::new(), |drafted| drafted.drafts);
        let seen = drafts
            .iter()
            .flat_map(|draft| [views::front(draft), views::back(draft)]);
        let seen: Vec<Drawing> = seen.flatten().collect();
        let wide = seen.iter().map(|view| view.width).fold(60.0, f64::max);
        let mut y = HEAD;
        for view in &seen {
            let place = Vec2::new(x + 0.5 * (wide - view.width), y);
            sheet.items.extend(view.placed(Affine::translate(place)));
            y += view.height;
        }
        let words = match seen.is_empty() {
            true => format!("{}: nothing to show", told(body)),
            false => told(body),
        };
        let head = Text::new(&words, (x + 0.5 * wide, 8.0), 2.6);
        sheet.write(head.anchor(Anchor::Middle));
        sheet.height = sheet.height.max(y + 6.0);
        x += wide + 8.0;
    }
    sheet.width = x;
    Ok(sheet)
}

/// Names a figure.
fn told(body: Body) -> String {
    format!(
        "height {}, chest {}, waist {}",
        body.height, body.chest, body.waist
    )
}
