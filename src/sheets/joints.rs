//! Draws what joins the pages of a paper pattern: lines, ticks and rings on the joints, and each page's frame,
//! name and neighbours.

use kurbo::{BezPath, Circle, Point, Rect, Shape, Vec2};

use super::drawing::{Anchor, Drawing, Layer, Pen, Text, segment};
use super::grid::page_name;
use super::label::Room;
use super::paper::Setup;
use super::tiling::Plan;

/// Places that are tried for a page's name, across and down.
const STEPS: u32 = 8;

/// One side of a page.
struct PageSide {
    name: &'static str,
    /// Unit vector that points out of the page.
    out: Vec2,
    /// Whether its white margin is trimmed off. Otherwise it ends in a strip that is glued under the neighbour.
    trimmed: bool,
}

/// The sides of a page, and what is done where another page joins them. Both the lines and the printed words
/// are made from this table, so that they agree.
const SIDES: [PageSide; 4] = [
    PageSide::new("left", (-1.0, 0.0), true),
    PageSide::new("right", (1.0, 0.0), false),
    PageSide::new("top", (0.0, -1.0), true),
    PageSide::new("foot", (0.0, 1.0), false),
];

impl PageSide {
    const fn new(name: &'static str, (x, y): (f64, f64), trimmed: bool) -> Self {
        let out = Vec2::new(x, y);
        Self { name, out, trimmed }
    }

    /// Returns the pen for the line on which pages meet: dashed where this page is trimmed, full where the
    /// neighbour's trimmed edge is laid on it.
    fn pen(&self) -> Pen {
        if self.trimmed {
            Pen::dashed(0.3, &[3.0, 1.5])
        } else {
            Pen::full(0.2).grey(0.3)
        }
    }
}

/// Says how pages are joined.
pub fn how_to_join() -> String {
    let names = |trimmed: bool| {
        let names = SIDES.iter().filter(|side| side.trimmed == trimmed);
        let names: Vec<&str> = names.map(|side| side.name).collect();
        names.join(" and ")
    };
    format!(
        "Trim each page along the dashed lines, at its {}; its {} keep their strips. Lay the trimmed edge \
         on the neighbour's thin full line, over its strip, until the rings close and the ticks run \
         through; then glue. The map shows what goes where.",
        names(true),
        names(false)
    )
}

/// Draws the ticks and marks that two pages share, on the sheet of joined pages.
pub fn draw(plan: &Plan, margin: f64) -> Drawing {
    let mut sheet = Drawing::new("", 0.0, 0.0);
    for (column, row) in plan.used_pages() {
        let at = |across, down| plan.grid.corner((across, down));
        let own = plan.own(row, margin);
        if plan.is_used(Some(column + 1), Some(row)) {
            let upright = Vec2::new(0.0, 1.0);
            joint(&mut sheet, at(column + 1, row), upright, own.1);
        }
        if plan.is_used(Some(column), Some(row + 1)) {
            let level = Vec2::new(1.0, 0.0);
            joint(&mut sheet, at(column, row + 1), level, own.0);
        }
    }
    sheet
}

/// Draws one joint: a tick every 10 mm, and rings with a cross, which show an error of a millimetre.
fn joint(sheet: &mut Drawing, from: Point, along: Vec2, length: f64) {
    let across = along.turn_90();
    let ticks = (length / 10.0).floor() as u32;
    for i in 1..=ticks {
        let at = from + along * (f64::from(i) * 10.0);
        let half = if i % 5 == 0 { 2.5 } else { 1.2 };
        sheet.rule(at - across * half, at + across * half, Pen::full(0.15));
    }
    let marks = if length > 600.0 { 4 } else { 2 };
    for i in 0..marks {
        let at = from + along * (length * (2.0 * f64::from(i) + 1.0) / (2.0 * f64::from(marks)));
        sheet.line(
            Layer::Page,
            Circle::new(at, 3.5).to_path(0.01),
            Pen::full(0.2),
        );
        for arm in [along + across, along - across] {
            let arm = arm * 4.0;
            sheet.rule(at - arm, at + arm, Pen::full(0.15));
        }
    }
}

/// Draws what a page has of its own: its frame, its name, where its neighbours join, and whose it is. Name and
/// arrows stand where the pieces leave room, if there is any.
pub fn frame(
    plan: &Plan,
    (column, row): (usize, usize),
    number: usize,
    title: &str,
    setup: &Setup,
    room: &Room,
) -> Drawing {
    let (width, height) = plan.page_in(row);
    let mut page = Drawing::new(title, width, height);
    let m = setup.margin;
    let print = Rect::new(m, m, width - m, height - m);
    let core = Rect::from_origin_size((m, m), plan.own(row, m));
    let name = page_name(column, row);
    let own = Text::new(&name, Point::ZERO, 6.0).bold().grey(0.35);
    page.write(in_the_clear(own, core.inset(-6.0), room));
    for side in &SIDES {
        let beside = |at: usize, out: f64| at.checked_add_signed(out as isize);
        let there = beside(column, side.out.x).zip(beside(row, side.out.y));
        let there = there.filter(|&(across, down)| plan.is_used(Some(across), Some(down)));
        // A trimmed side has its dashes and no frame: a grey line under them would fill the gaps.
        if there.is_none() || !side.trimmed {
            page.line(
                Layer::Page,
                edge(print, side.out, print),
                Pen::PAGE.grey(0.6),
            );
        }
        if let Some((across, down)) = there {
            page.line(Layer::Page, edge(core, side.out, print), side.pen());
            let neighbour = page_name(across, down);
            arrow_to(
                &mut page,
                &neighbour,
                middle(core, side.out),
                side.out,
                room,
            );
            join_words(&mut page, &neighbour, (core, side), setup.overlap, room);
        }
    }
    let foot = format!(
        "{title} · page {name}, {number} of {} · print at 100 %",
        plan.count()
    );
    let foot = super::font::shorten(&foot, 2.0, false, width - 2.0 * m);
    page.write(Text::new(&foot, (m, height - m + 4.0), 2.0));
    page
}

/// Returns the middle of one side of an area.
fn middle(area: Rect, out: Vec2) -> Point {
    let half = Vec2::new(out.x * area.width(), out.y * area.height()) / 2.0;
    area.center() + half
}

/// Returns the line along one side of an area, as long as what the page prints.
fn edge(area: Rect, out: Vec2, print: Rect) -> BezPath {
    let at = middle(area, out);
    if out.x == 0.0 {
        segment((print.x0, at.y), (print.x1, at.y))
    } else {
        segment((at.x, print.y0), (at.x, print.y1))
    }
}

/// Places words in a free corner, else anywhere that is free, else in the first corner.
fn in_the_clear(words: Text, area: Rect, room: &Room) -> Text {
    let size = (words.length(), words.height);
    let (left, right) = (area.x0, area.x1 - size.0);
    let (top, foot) = (area.y0 + size.1, area.y1);
    let corners = [(left, top), (right, top), (left, foot), (right, foot)];
    let places = (1..STEPS * STEPS).map(|i| {
        let (x, y) = (i % STEPS, i / STEPS);
        let share = |step: u32| f64::from(step) / f64::from(STEPS);
        (
            left + share(x) * (right - left),
            top + share(y) * (foot - top),
        )
    });
    let at = |place: (f64, f64)| Text {
        at: place.into(),
        ..words.clone()
    };
    let mut tried = corners.into_iter().chain(places).map(at);
    tried
        .find(|text| room.is_free(text))
        .unwrap_or_else(|| at((left, top)))
}

/// Draws an arrow just inside a joint, with the neighbour's name: at the middle of the joint, or beside it where
/// the middle is taken.
fn arrow_to(page: &mut Drawing, name: &str, middle: Point, out: Vec2, room: &Room) {
    let across = out.turn_90();
    let words = |aside: f64| {
        let tip = middle - out * 4.0 + across * aside;
        let at = tip - out * 6.0;
        let (anchor, at) = match (out.x, out.y) {
            (-1.0, _) => (Anchor::Start, at + Vec2::new(1.0, 1.3)),
            (1.0, _) => (Anchor::End, at + Vec2::new(-1.0, 1.3)),
            (_, y) => (
                Anchor::Middle,
                at + Vec2::new(0.0, if y < 0.0 { 3.4 } else { -0.8 }),
            ),
        };
        let words = Text::new(name, at, 2.6).anchor(anchor).grey(0.35);
        (tip, words)
    };
    let tried = [0.0, 12.0, -12.0, 24.0, -24.0, 55.0, -55.0, 70.0, -70.0];
    let mut tried = tried.into_iter().map(words);
    let clear = |(tip, text): &(Point, Text)| {
        let head = Text::new("→", *tip - out * 3.5 + Vec2::new(0.0, 1.3), 2.6);
        room.is_free(text) && room.is_free(&head.anchor(Anchor::Middle))
    };
    let (tip, words) = tried.find(clear).unwrap_or_else(|| words(0.0));
    let mut head = BezPath::new();
    head.move_to(tip);
    head.line_to(tip - out * 3.5 + across * 1.8);
    head.line_to(tip - out * 3.5 - across * 1.8);
    head.close_path();
    page.fill(Layer::Page, head, 0.35);
    page.write(words);
}

/// Writes along a joint what to do there: trim this page, or glue its strip under the neighbour. Where the
/// pieces leave no room for the words they are left out; the first page says the same.
fn join_words(
    page: &mut Drawing,
    name: &str,
    (core, side): (Rect, &PageSide),
    strip: f64,
    room: &Room,
) {
    let (out, middle) = (side.out, middle(core, side.out));
    // The words stand in the strip that is glued, or just inside the line that is trimmed.
    let (words, inward) = if side.trimmed {
        (format!("trim to this line, lay on {name}"), -2.6)
    } else {
        (format!("glue {name} on this strip"), strip / 2.0)
    };
    let across = out.turn_90();
    let (degrees, down) = if out.x == 0.0 {
        (0.0, Vec2::new(0.0, 0.8))
    } else {
        (-90.0, Vec2::new(0.8, 0.0))
    };
    let words = Text::new(&words, Point::ZERO, 1.7)
        .anchor(Anchor::Middle)
        .turned(degrees)
        .grey(0.35);
    // They stand between the middle of the joint and the ring beside it, else beyond the ring.
    let (near, far) = (6.0 + words.length() / 2.0, 56.0 + words.length() / 2.0);
    let tried = [near, -near, far, -far].map(|aside| Text {
        at: middle + across * aside + out * inward + down,
        ..words.clone()
    });
    if let Some(text) = tried.into_iter().find(|text| room.is_free(text)) {
        page.write(text);
    }
}
