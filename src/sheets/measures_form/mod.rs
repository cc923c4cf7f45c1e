//! Writes a form for taking measures: where each measure runs on the body, how it is taken, and room to write.

mod body;

use super::drawing::{Drawing, Layer, Pen, Text, rectangle};
use super::pdf;
use super::{font, words::capital};
use crate::order::measures::{KINDS, Kind};
use crate::order::{Order, Origin, telling};
use body::TAPES;
use kurbo::{Affine, Point, Rect};

/// Width and height of the page, A4 upright, in mm.
pub const PAGE: (f64, f64) = (210.0, 297.0);
const MARGIN: f64 = 14.0;
/// Millimetres of the page for a centimetre of the body.
const SCALE: f64 = 0.58;
/// Distance of the figures' crowns from the top of the page, in mm.
const CROWN: f64 = 44.0;
/// Top of the table, height of a row, and width of the room to write in, in mm.
const TABLE: f64 = 155.0;
const ROW: f64 = 9.7;
/// The most that all rows take together, in mm: with more of them each is less high.
const ROWS: f64 = 11.0 * ROW;
const WRITE: f64 = 21.0;
const GUTTER: f64 = 8.0;

/// Instructions for before the measures are taken.
pub const BEFORE: &str = "Measure over shirt and trousers, with the tape close but never tight; the client stands as he normally does, without shoes. Tie a cord round the natural waist first.";
/// What the tailor looks at besides, and what there is to note of it above and below the waist.
const LOOK: &str =
    "Look at the client from behind, from the side and from the front, and note for [figure]: ";
const ABOVE: &str = "stooping or erect, head forward, shoulders sloping or square and which is lower, blades, round \
                     or hollow back, chest full or flat, arms forward or back, stomach, one hip higher";
const BELOW: &str = "stomach, one hip higher, seat prominent or flat, thighs, bow legs or knock knees, dress left or \
                     right";
/// Number of lines to note it on.
const SEEN: usize = 2;
/// The source of the terms.
pub const TERMS: &str = "Terms after ISO 8559-1, from memory.";

/// Says what to look at, for the garments that the measures are taken for.
fn look(kinds: &[Kind]) -> String {
    let has = |name: &str| kinds.iter().any(|kind| kind.name == name);
    let below = BELOW.trim_start_matches("stomach, one hip higher, ");
    let what = match (has("nape_to_waist"), has("inside_leg")) {
        (true, true) => format!("{ABOVE}, {below}"),
        (false, true) => BELOW.to_owned(),
        _ => ABOVE.to_owned(),
    };
    format!("{LOOK}{what}.")
}

/// Writes the form as text, with the measures that an order already has, if one is given.
pub fn text(kinds: &[Kind], order: Option<&Order>) -> String {
    let mut text = String::from("MEASURES, in the order the tape takes them\n\n");
    for line in font::wrap(BEFORE, 2.0, false, 125.0) {
        text += &format!("{line}\n");
    }
    let name = order.map_or(String::new(), |order| order.client.name.clone());
    text += "Measures with a * must be taken; the others are reckoned from these if left open.\n\n";
    text += &format!(
        "Client {name:_<34}  Date ____________  {}\n\n",
        in_unit(order)
    );
    for kind in kinds {
        let (number, star) = (number(kind, kinds), if kind.required { "*" } else { " " });
        let plain = kind.name.replace('_', " ");
        text += &format!("{number:>2}{star} {plain:<16} _________  {}\n", kind.taken);
        text += &format!("{:32}({})\n", "", kind.term);
        if let Some(known) = order.and_then(|order| known(kind, order)) {
            text += &format!("{:32}{known}\n", "");
        }
    }
    text.push('\n');
    for line in font::wrap(&look(kinds), 2.0, false, 125.0) {
        text += &format!("{line}\n");
    }
    for i in 0..SEEN {
        text += &format!("\n{} {:_<80}\n", if i == 0 { "Seen" } else { "    " }, "");
    }
    text
}

/// Writes the value that an order has for a measure, and where it comes from.
fn known(kind: &Kind, order: &Order) -> Option<String> {
    let measure = order.measures.0.get(kind.name)?;
    let origin = match measure.origin {
        Origin::Taken => "taken",
        Origin::Derived => "derived",
    };
    let mut said = format!("{origin}: {}", order.unit.show(measure.mm));
    if measure.open > 0.0 {
        said += &format!(", ± {}", order.unit.show(measure.open));
    }
    if telling(order).contains(&kind.name) {
        said += &format!("; {TELLS_MOST}");
    }
    Some(said)
}

/// What the stars of the form mean.
const NOTE: &str = "* must be taken; the others are reckoned from these if left open, and the ticket says which were.";

/// What is said of a measure that would tell most about a client, given what was taken.
const TELLS_MOST: &str = "tells most: take it next";

/// Lists the measures that would tell most about the client of an order.
fn telling(order: &Order) -> Vec<&'static str> {
    let garments: Vec<String> = order.garments.iter().map(|g| g.block.clone()).collect();
    telling::telling(&order.measures, &garments)
}

/// Says in which unit the measures are written: that of the order, or one to be ringed.
fn in_unit(order: Option<&Order>) -> String {
    order.map_or("in cm / inches".to_owned(), |order| {
        format!("in {}", order.unit.spoken())
    })
}

/// Returns the measure's number on the form: that of the program's does not depend on the other measures there, and
/// those of the blocks' own follow.
fn number(kind: &Kind, kinds: &[Kind]) -> usize {
    let place = |name: &str| KINDS.iter().position(|known| known.name == name);
    let mut own = kinds.iter().filter(|other| place(other.name).is_none());
    let mut own = || own.position(|other| other.name == kind.name);
    let at = place(kind.name).or_else(|| Some(KINDS.len() + own()?));
    at.map_or(0, |i| i + 1)
}

/// Writes the form as a PDF of one page.
pub fn pdf(kinds: &[Kind], order: Option<&Order>) -> Vec<u8> {
    let drawing = page(kinds, order);
    pdf::write_drawings(&drawing.title, [&drawing])
}

/// Draws the form.
pub fn page(kinds: &[Kind], order: Option<&Order>) -> Drawing {
    let mut page = Drawing::new("Measures", PAGE.0, PAGE.1);
    head(&mut page, order);
    let middles = [55.0, 155.0];
    for (middle, back) in middles.into_iter().zip([false, true]) {
        let place = Affine::translate((middle, CROWN)) * Affine::scale(SCALE);
        body::figure(&mut page, place, back);
        for tape in TAPES.iter().filter(|tape| tape.back == back) {
            if let Some(kind) = kinds.iter().find(|kind| kind.name == tape.name) {
                body::draw_tape(&mut page, tape, number(kind, kinds), place);
            }
        }
    }
    table(&mut page, kinds, order);
    let mut y = PAGE.1 - MARGIN - 14.0;
    for line in font::wrap(&look(kinds), 1.75, false, PAGE.0 - 2.0 * MARGIN) {
        page.write(Text::new(&line, (MARGIN, y), 1.75));
        y += 3.1;
    }
    for i in 1..=SEEN {
        let level = PAGE.1 - MARGIN + 4.0 - 7.0 * (SEEN - i) as f64;
        let (from, to) = (
            Point::new(MARGIN, level),
            Point::new(PAGE.0 - MARGIN, level),
        );
        page.rule(from, to, Pen::full(0.2));
    }
    page
}

fn head(page: &mut Drawing, order: Option<&Order>) {
    let right = PAGE.0 - MARGIN;
    page.write(Text::new("Measures", (MARGIN, 20.0), 4.2).bold());
    let mut y = 26.5;
    for line in font::wrap(BEFORE, 1.9, false, PAGE.0 - 2.0 * MARGIN) {
        page.write(Text::new(&line, (MARGIN, y), 1.9));
        y += 3.4;
    }
    let client = order.map_or(String::new(), |order| font::clean(&order.client.name));
    let unit = in_unit(order);
    let fields = [
        (62.0, "Client", client.as_str()),
        (132.0, "Date", ""),
        (166.0, "Unit", unit.trim_start_matches("in ")),
    ];
    for (i, (x, label, words)) in fields.iter().enumerate() {
        let to = fields.get(i + 1).map_or(right, |(next, ..)| next - 4.0);
        page.write(Text::new(label, (*x, 20.0), 1.9));
        let from = x + 10.0;
        page.write(Text::new(words, (from + 1.0, 19.6), 2.2));
        page.rule((from, 20.6), (to, 20.6), Pen::full(0.15));
    }
}

/// Draws the rows, in two columns.
fn table(page: &mut Drawing, kinds: &[Kind], order: Option<&Order>) {
    let most = order.map(telling).unwrap_or_default();
    let wide = (PAGE.0 - 2.0 * MARGIN - GUTTER) / 2.0;
    let rows = kinds.len().div_ceil(2);
    let row = ROW.min(ROWS / rows.max(1) as f64);
    for (i, kind) in kinds.iter().enumerate() {
        let x = MARGIN + (i / rows.max(1)) as f64 * (wide + GUTTER);
        let y = TABLE + (i % rows.max(1)) as f64 * row;
        let star = match kind.required {
            true => " *",
            false if most.contains(&kind.name) => " **",
            false => "",
        };
        let name = capital(&kind.name.replace('_', " "));
        let numbered = format!("{}  {name}{star}", number(kind, kinds));
        page.write(Text::new(&numbered, (x, y + 3.2), 2.1).bold());
        let at = x + font::length(&numbered, 2.1, true) + 2.0;
        let room = x + wide - WRITE - 2.0 - at;
        let term = font::shorten(&format!("({})", kind.term), 1.7, false, room);
        page.write(Text::new(&term, (at, y + 3.2), 1.7).grey(0.3));
        let lines = font::wrap(kind.taken, 1.8, false, wide - WRITE - 6.0);
        for (n, line) in lines.iter().take(2).enumerate() {
            let place = (x + 4.5, y + 6.5 + 3.0 * n as f64);
            page.write(Text::new(line, place, 1.8));
        }
        let write = Rect::new(x + wide - WRITE, y, x + wide, y + row - 2.0);
        page.line(Layer::Page, rectangle(write), Pen::full(0.15));
        let known = order.and_then(|order| Some((order.unit, order.measures.0.get(kind.name)?)));
        if let Some((unit, measure)) = known {
            let place = Point::new(write.x0 + 1.5, write.y0 + 3.2);
            let value = match measure.origin {
                Origin::Taken => unit.show(measure.mm),
                Origin::Derived if measure.open > 0.0 => {
                    format!(
                        "({} ± {})",
                        unit.number(measure.mm),
                        unit.number(measure.open)
                    )
                }
                Origin::Derived => format!("({})", unit.show(measure.mm)),
            };
            page.write(Text::new(&value, place, 1.7).grey(0.3));
        }
    }
    let note = match most.is_empty() {
        true => NOTE.to_owned(),
        false => format!("** would tell most about this client: take it next. {NOTE}"),
    };
    let y = TABLE + rows as f64 * row + 3.0;
    page.write(Text::new(&note, (MARGIN, y), 1.75));
}
