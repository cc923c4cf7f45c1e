//! A blank form for the tape: where each measure runs on the body, how it is taken, and room to write.

use super::drawing::{Anchor, Drawing, Layer, Pen, Text, rectangle, segment};
use super::pdf::{self, Page, View};
use super::{font, words::capital};
use crate::geometry::{Knot, spline};
use crate::order::length::Unit;
use crate::order::measures::{KINDS, Kind};
use crate::order::{Order, Origin};
use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape, Vec2};

/// A4, upright, in mm.
pub const PAGE: (f64, f64) = (210.0, 297.0);
const MARGIN: f64 = 14.0;
/// Millimetres of the page for a centimetre of the body.
const SCALE: f64 = 0.58;
/// Where the figures' crowns are, from the top of the page.
const CROWN: f64 = 44.0;
/// The table: its top, the height of a row, the room to write in.
const TABLE: f64 = 157.0;
const ROW: f64 = 11.6;
const WRITE: f64 = 21.0;
const GUTTER: f64 = 8.0;

const BODY: Pen = Pen::full(0.25).grey(0.35);
const TAPE: Pen = Pen::full(0.35);
/// A tape that goes on round the body.
const BEHIND: Pen = Pen::dashed(0.2, &[1.0, 0.8]);

/// What the tailor does before the tape.
pub const BEFORE: &str = "Over shirt and trousers, the tape close and never tight; the client stands as he always \
                          stands, without shoes. Tie a cord round the natural waist first.";
/// What he looks at besides.
pub const LOOK: &str = "Look at him from behind, from the side and from the front, and note for [figure]: stooping or \
                        erect, head forward, shoulders sloping or square and which is lower, blades, round or hollow \
                        back, chest full or flat, stomach, seat, thighs, legs, arms forward or back, one hip higher, \
                        dress left or right.";
/// Where the terms come from.
pub const TERMS: &str = "Terms after ISO 8559-1, from memory.";

/// The form as text, with what an order has of each measure, if one is given.
pub fn text(kinds: &[&Kind], order: Option<&Order>) -> String {
    let mut text = String::from("MEASURES, in the order the tape takes them\n\n");
    for line in font::wrap(BEFORE, 2.0, false, 125.0) {
        text += &format!("{line}\n");
    }
    let name = order.map_or(String::new(), |order| order.client.name.clone());
    text += &format!("Those marked * must be taken; the rest can be derived. {TERMS}\n\n");
    text += &format!("Client {name:_<34}  Date ____________  in cm / inches\n\n");
    for kind in kinds {
        let (number, star) = (number(kind), if kind.required { "*" } else { " " });
        let name = kind.name.replace('_', " ");
        text += &format!("{number:>2}{star} {name:<16} _________  {}\n", kind.taken);
        text += &format!("{:32}({})\n", "", kind.term);
        if let Some(known) = order.and_then(|order| known(kind, order)) {
            text += &format!("{:32}{known}\n", "");
        }
    }
    text.push('\n');
    for line in font::wrap(LOOK, 2.0, false, 125.0) {
        text += &format!("{line}\n");
    }
    text
}

/// What an order has of a measure.
fn known(kind: &Kind, order: &Order) -> Option<String> {
    let measure = order.measures.0.get(kind.name)?;
    let origin = match measure.origin {
        Origin::Taken => "taken",
        Origin::Derived => "derived",
    };
    Some(format!("{origin}: {}", Unit::Cm.show(measure.mm)))
}

/// The measure's number on the form, the same whatever else is on it.
fn number(kind: &Kind) -> usize {
    KINDS
        .iter()
        .position(|k| k.name == kind.name)
        .map_or(0, |i| i + 1)
}

/// The form as a PDF of one page.
pub fn pdf(kinds: &[&Kind], order: Option<&Order>) -> Vec<u8> {
    let drawing = page(kinds, order);
    let page = Page {
        width: PAGE.0,
        height: PAGE.1,
        views: vec![View::at(&drawing, (0.0, 0.0))],
    };
    pdf::write(&drawing.title, &[page])
}

/// The form as a page.
pub fn page(kinds: &[&Kind], order: Option<&Order>) -> Drawing {
    let mut page = Drawing::new("Measures", PAGE.0, PAGE.1);
    head(&mut page, order);
    let middles = [55.0, 155.0];
    for (middle, back) in middles.into_iter().zip([false, true]) {
        let place = Affine::translate((middle, CROWN)) * Affine::scale(SCALE);
        figure(&mut page, place, back);
        for tape in TAPES.iter().filter(|tape| tape.back == back) {
            if let Some(kind) = kinds.iter().find(|kind| kind.name == tape.name) {
                draw_tape(&mut page, tape, number(kind), place);
            }
        }
    }
    table(&mut page, kinds, order);
    let mut y = PAGE.1 - MARGIN - 9.0;
    for line in font::wrap(
        &format!("{LOOK} {TERMS}"),
        1.75,
        false,
        PAGE.0 - 2.0 * MARGIN,
    ) {
        page.text(Layer::Page, Text::new(&line, (MARGIN, y), 1.75));
        y += 3.1;
    }
    page
}

fn head(page: &mut Drawing, order: Option<&Order>) {
    let right = PAGE.0 - MARGIN;
    page.text(
        Layer::Page,
        Text::new("Measures", (MARGIN, 20.0), 4.2).bold(),
    );
    let mut y = 26.5;
    for line in font::wrap(BEFORE, 1.9, false, PAGE.0 - 2.0 * MARGIN) {
        page.text(Layer::Page, Text::new(&line, (MARGIN, y), 1.9));
        y += 3.4;
    }
    let client = order.map_or(String::new(), |order| font::clean(&order.client.name));
    let fields = [
        (62.0, "Client", client.as_str()),
        (132.0, "Date", ""),
        (166.0, "Unit", "cm / inches"),
    ];
    for (i, (x, label, words)) in fields.iter().enumerate() {
        let to = fields.get(i + 1).map_or(right, |(next, ..)| next - 4.0);
        page.text(Layer::Page, Text::new(label, (*x, 20.0), 1.9));
        let from = x + 10.0;
        page.text(Layer::Page, Text::new(words, (from + 1.0, 19.6), 2.2));
        page.line(
            Layer::Page,
            segment((from, 20.6), (to, 20.6)),
            Pen::full(0.15),
        );
    }
}

/// The rows, in two columns.
fn table(page: &mut Drawing, kinds: &[&Kind], order: Option<&Order>) {
    let wide = (PAGE.0 - 2.0 * MARGIN - GUTTER) / 2.0;
    let rows = kinds.len().div_ceil(2);
    for (i, kind) in kinds.iter().enumerate() {
        let x = MARGIN + (i / rows.max(1)) as f64 * (wide + GUTTER);
        let y = TABLE + (i % rows.max(1)) as f64 * ROW;
        let star = if kind.required { " *" } else { "" };
        let name = capital(&kind.name.replace('_', " "));
        let numbered = format!("{}  {name}{star}", number(kind));
        page.text(Layer::Page, Text::new(&numbered, (x, y + 3.2), 2.1).bold());
        let at = x + font::length(&numbered, 2.1, true) + 2.0;
        let room = x + wide - WRITE - 2.0 - at;
        let term = font::shorten(&format!("({})", kind.term), 1.7, false, room);
        page.text(Layer::Page, Text::new(&term, (at, y + 3.2), 1.7).grey(0.3));
        let lines = font::wrap(kind.taken, 1.8, false, wide - WRITE - 6.0);
        for (n, line) in lines.iter().take(2).enumerate() {
            let at = (x + 4.5, y + 6.5 + 3.0 * n as f64);
            page.text(Layer::Page, Text::new(line, at, 1.8));
        }
        let write = Rect::new(x + wide - WRITE, y, x + wide, y + ROW - 2.0);
        page.line(Layer::Page, rectangle(write), Pen::full(0.15));
        if let Some(measure) = order.and_then(|order| order.measures.0.get(kind.name)) {
            let at = Point::new(write.x0 + 1.5, write.y0 + 3.2);
            let known = match measure.origin {
                Origin::Taken => Unit::Cm.show(measure.mm),
                Origin::Derived => format!("({})", Unit::Cm.show(measure.mm)),
            };
            page.text(Layer::Page, Text::new(&known, at, 1.7).grey(0.3));
        }
    }
    let note = "* must be taken; the rest can be derived, and the ticket says which were.";
    let y = TABLE + rows as f64 * ROW + 3.0;
    page.text(Layer::Page, Text::new(note, (MARGIN, y), 1.75));
}

/// Where a tape runs, in cm on a man of 176: x from his middle (to his left in front, to his right
/// behind), y from the crown.
struct Tape {
    name: &'static str,
    back: bool,
    /// Whether it goes round.
    round: bool,
    path: &'static [(f64, f64)],
    /// Where its number stands.
    number: (f64, f64),
}

const fn tape(
    name: &'static str,
    back: bool,
    round: bool,
    path: &'static [(f64, f64)],
    number: (f64, f64),
) -> Tape {
    Tape {
        name,
        back,
        round,
        path,
        number,
    }
}

const TAPES: &[Tape] = &[
    tape(
        "height",
        false,
        false,
        &[(-44.0, 0.0), (-44.0, 176.0)],
        (-44.0, 88.0),
    ),
    tape(
        "chest",
        false,
        true,
        &[(-17.0, 50.0), (17.0, 50.0)],
        (-36.0, 50.0),
    ),
    tape(
        "waist",
        false,
        true,
        &[(-14.6, 68.0), (14.6, 68.0)],
        (-36.0, 68.0),
    ),
    tape(
        "seat",
        false,
        true,
        &[(-17.4, 90.0), (17.4, 90.0)],
        (-36.0, 84.0),
    ),
    tape(
        "neck",
        false,
        true,
        &[(-6.4, 27.6), (6.4, 27.6)],
        (-17.0, 25.0),
    ),
    tape(
        "half_back",
        true,
        false,
        &[(0.0, 42.0), (17.8, 42.0)],
        (34.0, 40.0),
    ),
    tape(
        "shoulder_width",
        true,
        false,
        &[(-20.6, 34.4), (0.0, 31.5), (20.6, 34.4)],
        (-30.0, 32.0),
    ),
    tape(
        "scye_depth",
        true,
        false,
        &[(-2.5, 28.0), (-2.5, 48.0), (-17.0, 48.0)],
        (-33.0, 48.0),
    ),
    tape(
        "nape_to_waist",
        true,
        false,
        &[(0.0, 28.0), (0.0, 68.0)],
        (8.0, 60.0),
    ),
    tape(
        "jacket_length",
        true,
        false,
        &[(3.0, 28.0), (3.0, 101.0)],
        (10.0, 98.0),
    ),
    tape(
        "sleeve",
        true,
        false,
        &[(21.4, 34.6), (26.0, 62.0), (29.6, 88.0)],
        (38.0, 62.0),
    ),
    tape(
        "outside_leg",
        false,
        false,
        &[(15.6, 68.0), (19.8, 92.0), (17.0, 131.0), (15.0, 175.0)],
        (28.0, 120.0),
    ),
    tape(
        "inside_leg",
        false,
        false,
        &[(0.0, 92.0), (0.0, 175.0)],
        (0.0, 150.0),
    ),
    tape(
        "wrist",
        false,
        true,
        &[(26.2, 86.0), (30.6, 85.0)],
        (41.0, 84.0),
    ),
    tape(
        "hand",
        false,
        true,
        &[(26.8, 94.5), (32.0, 94.0)],
        (41.0, 95.0),
    ),
    tape(
        "biceps",
        false,
        true,
        &[(17.6, 49.6), (24.9, 48.6)],
        (35.0, 47.0),
    ),
    tape(
        "thigh",
        false,
        true,
        &[(-18.0, 97.5), (-1.6, 97.5)],
        (-36.0, 99.0),
    ),
    tape(
        "knee",
        false,
        true,
        &[(-13.4, 131.0), (-4.6, 131.0)],
        (-36.0, 131.0),
    ),
];

fn draw_tape(page: &mut Drawing, tape: &Tape, number: usize, place: Affine) {
    let points: Vec<Point> = tape.path.iter().map(|(x, y)| Point::new(*x, *y)).collect();
    let knots: Vec<Knot> = points.iter().map(|at| Knot::new(*at)).collect();
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return;
    };
    let path = match (tape.round, tape.name) {
        (true, _) => sagging(*first, *last, 1.0),
        (false, "scye_depth") => {
            let mut path = BezPath::new();
            path.move_to(*first);
            points.iter().skip(1).for_each(|at| path.line_to(*at));
            path
        }
        _ => spline(&knots),
    };
    page.line(Layer::Marks, place * path, TAPE);
    if tape.round {
        page.line(Layer::Marks, place * sagging(*first, *last, -1.0), BEHIND);
    } else {
        for end in [*first, *last] {
            let dot = Circle::new(place * end, 0.55).to_path(0.02);
            page.fill(Layer::Marks, dot, 0.0);
        }
    }
    let at = place * Point::from(tape.number);
    let near = points.iter().map(|point| place * *point);
    let near = near.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)));
    if let Some(near) = near.filter(|near| near.distance(at) > 4.5) {
        let from = at + (near - at).normalize() * 2.2;
        page.line(Layer::Labels, segment(from, near), Pen::full(0.1));
    }
    page.fill(Layer::Labels, Circle::new(at, 2.2).to_path(0.02), 1.0);
    page.line(
        Layer::Labels,
        Circle::new(at, 2.2).to_path(0.02),
        Pen::full(0.15),
    );
    let words = Text::new(&number.to_string(), at + Vec2::new(0.0, 0.95), 1.9);
    page.text(Layer::Labels, words.anchor(Anchor::Middle).bold());
}

/// A tape round the body, as it is seen from a little above: in front it sags, behind it rises.
fn sagging(from: Point, to: Point, by: f64) -> BezPath {
    let down = Vec2::new(0.0, by * 0.07 * from.distance(to));
    let mut path = BezPath::new();
    path.move_to(from);
    path.curve_to(from.lerp(to, 0.2) + down, from.lerp(to, 0.8) + down, to);
    path
}

/// Half the outline of a man of 176, in cm, from the crown round to the fork; knots where it is
/// smooth run on in one curve.
const OUTLINE: &[&[(f64, f64)]] = &[
    &[
        (0.0, 0.0),
        (6.2, 2.8),
        (7.9, 10.0),
        (6.9, 18.0),
        (5.7, 22.0),
    ],
    &[
        (5.7, 22.0),
        (6.2, 27.0),
        (10.5, 30.6),
        (18.5, 33.2),
        (22.6, 38.0),
        (24.9, 48.0),
        (25.9, 58.0),
        (28.0, 70.0),
        (30.5, 85.0),
        (32.2, 94.0),
        (31.0, 103.0),
        (28.6, 106.0),
        (27.2, 100.0),
        (26.4, 93.0),
        (26.2, 86.0),
        (22.6, 72.0),
        (20.0, 60.0),
        (17.4, 47.5),
    ],
    &[
        (17.4, 47.5),
        (16.6, 55.0),
        (14.6, 68.0),
        (16.4, 80.0),
        (17.4, 90.0),
        (17.9, 99.0),
        (15.8, 116.0),
        (13.4, 131.0),
        (13.8, 143.0),
        (11.0, 160.0),
        (10.2, 169.0),
    ],
    &[
        (10.2, 169.0),
        (13.6, 173.6),
        (13.0, 175.8),
        (7.0, 176.0),
        (4.6, 174.0),
        (5.4, 168.0),
    ],
    &[
        (5.4, 168.0),
        (4.2, 152.0),
        (4.2, 142.0),
        (4.6, 131.0),
        (2.8, 112.0),
        (0.0, 91.5),
    ],
];

fn figure(page: &mut Drawing, place: Affine, back: bool) {
    for side in [1.0, -1.0] {
        for part in OUTLINE {
            let knots: Vec<Knot> = part
                .iter()
                .map(|(x, y)| Knot::new(Point::new(side * x, *y)))
                .collect();
            page.line(Layer::Seam, place * spline(&knots), BODY);
        }
    }
    // What tells the back from the front: the hair's line and the seat, or the collar bones.
    let thin = Pen::full(0.15).grey(0.5);
    let marks: &[&[(f64, f64)]] = if back {
        &[
            &[(-6.4, 20.0), (0.0, 21.2), (6.4, 20.0)],
            &[(0.0, 84.0), (0.0, 91.5)],
        ]
    } else {
        &[
            &[(1.8, 31.6), (8.0, 31.0), (14.0, 32.2)],
            &[(-1.8, 31.6), (-8.0, 31.0), (-14.0, 32.2)],
        ]
    };
    for mark in marks {
        let knots: Vec<Knot> = mark
            .iter()
            .map(|(x, y)| Knot::new(Point::new(*x, *y)))
            .collect();
        page.line(Layer::Seam, place * spline(&knots), thin);
    }
    let words = if back {
        "from behind"
    } else {
        "from the front"
    };
    let at = place * Point::new(0.0, 184.0);
    page.text(
        Layer::Page,
        Text::new(words, at, 1.7).anchor(Anchor::Middle).grey(0.35),
    );
}
