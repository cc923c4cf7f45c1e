//! The drafting sheet: the construction of a garment to scale with its points numbered, and as
//! numbered instructions, so that a cutter can chalk the same draft by hand and check one against
//! the other.

mod instructions;
mod labels;
mod moved;
mod written;

use super::drawing::{Drawing, Ink, Item, Layer, Pen, Text, segment};
use super::pdf::{self, Page, View};
use super::words::capital;
use super::{font, svg};
use crate::draft::{
    BoardPoint, Construction, Draft, DraftPiece, How, Mark, PieceId, Section, Symbol, construction,
};
use crate::geometry;
use crate::order::Order;
use kurbo::{Affine, BezPath, Line, Point, Rect, Shape, Vec2};
pub use moved::moved_sheet;
use written::{Row, wrapped};

/// A3, upright, in mm.
pub const PAGE: (f64, f64) = (297.0, 420.0);
const MARGIN: f64 = 12.0;
/// Below the heading and above the foot.
const TOP: f64 = 34.0;
const FOOT: f64 = 26.0;
/// So many times smaller than the draft; the first that fits.
const SCALES: [f64; 8] = [1.0, 2.0, 2.5, 4.0, 5.0, 8.0, 10.0, 20.0];
/// Height of a point's number, in mm.
const NUMBER: f64 = 1.75;
/// Height of the instructions' letters, and their lines' distance.
const BODY: f64 = 1.9;
const STEP: f64 = 3.7;

const EDGE: Pen = Pen::full(0.4);
const LINE: Pen = Pen::full(0.1).grey(0.45);
const AGAINST: Pen = Pen::dashed(0.18, &[2.2, 1.2]).grey(0.35);

/// The sheet's pages: the pieces to scale, then the instructions. Of a draft `against` it, the net
/// edges are drawn in thin broken lines under the sheet's own.
pub fn drafting_sheet(draft: &Draft, against: Option<&Draft>, order: &Order) -> Vec<Drawing> {
    let construction = construction(draft);
    let mut pages = drawn(&construction, against);
    pages.extend(written::pages(&construction));
    heads(
        &mut pages,
        &format!("Drafting sheet · {}", draft.garment),
        order,
    );
    pages
}

/// Heads every page of a garment.
fn heads(pages: &mut [Drawing], title: &str, order: &Order) {
    let client = &order.client;
    let whose = format!("{} · {}", client.reference, client.name);
    let count = pages.len();
    for (i, page) in pages.iter_mut().enumerate() {
        head(page, title, &whose, (i + 1, count));
    }
}

/// The pages of several garments as one PDF.
pub fn pages_as_pdf(garments: &[Vec<Drawing>], order: &Order) -> Vec<u8> {
    let page = |drawing| Page {
        width: PAGE.0,
        height: PAGE.1,
        views: vec![View::at(drawing, (0.0, 0.0))],
    };
    let pages: Vec<Page> = garments.iter().flatten().map(page).collect();
    pdf::write(&title(order), &pages)
}

/// The pages of several garments as one drawing, a garment a row.
pub fn pages_as_svg(garments: &[Vec<Drawing>], order: &Order) -> Vec<u8> {
    let wide = garments.iter().map(Vec::len).max().unwrap_or_default();
    let (width, height) = (wide as f64 * PAGE.0, garments.len() as f64 * PAGE.1);
    let mut sheet = Drawing::new(&title(order), width, height);
    for (row, pages) in garments.iter().enumerate() {
        for (column, page) in pages.iter().enumerate() {
            let corner = Vec2::new(column as f64 * PAGE.0, row as f64 * PAGE.1);
            sheet.items.extend(page.placed(Affine::translate(corner)));
        }
    }
    svg::write(&sheet)
}

fn title(order: &Order) -> String {
    let client = &order.client;
    font::clean(&format!(
        "Drafting sheet · {} · {}",
        client.reference, client.name
    ))
}

fn head(page: &mut Drawing, title: &str, whose: &str, (number, count): (usize, usize)) {
    let width = PAGE.0 - 2.0 * MARGIN;
    page.text(Layer::Page, Text::new(title, (MARGIN, 17.0), 4.2).bold());
    let whose = font::shorten(&font::clean(whose), 2.6, false, 0.5 * width);
    let right = Point::new(PAGE.0 - MARGIN, 17.0);
    let end = super::drawing::Anchor::End;
    page.text(Layer::Page, Text::new(&whose, right, 2.6).anchor(end));
    let numbered = format!("page {number} of {count}");
    let below = Point::new(PAGE.0 - MARGIN, PAGE.1 - MARGIN);
    page.text(Layer::Page, Text::new(&numbered, below, 1.9).anchor(end));
    let rule = segment((MARGIN, 20.0), (PAGE.0 - MARGIN, 20.0));
    page.line(Layer::Page, rule, Pen::PAGE);
}

/// Pieces drawn in one frame, with the points to number. Left pieces lie as they were drafted, not
/// turned over: so their points are where the instructions put them.
struct Group<'a> {
    pieces: Vec<DraftPiece>,
    points: Vec<&'a BoardPoint>,
    bounds: Rect,
}

impl<'a> Group<'a> {
    fn new(ids: &[PieceId], construction: &'a Construction) -> Self {
        let draft = &construction.draft;
        let pieces = ids.iter().map(|piece| as_drafted(&draft[*piece]));
        let pieces: Vec<DraftPiece> = pieces.collect();
        let boxes = pieces.iter().flat_map(|piece| &piece.edges);
        let bounds = boxes
            .map(|edge| edge.path.bounding_box())
            .reduce(|a, b| a.union(b));
        let bounds = bounds.unwrap_or(Rect::ZERO);
        let near = bounds.inflate(35.0, 35.0);
        let shown = |section: &&Section| ids.contains(&section.piece);
        let sections = construction.sections.iter().filter(shown);
        let mut numbers: Vec<usize> = sections.flat_map(|s| s.points.iter().copied()).collect();
        numbers.sort_unstable();
        numbers.dedup();
        let points = numbers.iter().filter_map(|n| draft.points.get(n - 1));
        let points: Vec<&BoardPoint> = points.filter(|point| near.contains(point.at)).collect();
        let bounds = points.iter().fold(bounds, |b, point| b.union_pt(point.at));
        Group {
            pieces,
            points,
            bounds,
        }
    }
}

/// A piece before it was turned over, if it was.
fn as_drafted(piece: &DraftPiece) -> DraftPiece {
    let mut piece = piece.clone();
    let back = piece.as_drafted();
    for edge in &mut piece.edges {
        edge.path.apply_affine(back);
    }
    for mark in &mut piece.marks {
        mark.path.apply_affine(back);
    }
    piece
}

/// Says which pieces of a page lie on it as they were drafted and are cut turned over; empty where none is.
fn to_turn_over(draft: &Draft, page: &[PieceId]) -> String {
    let own = draft.piece_ids().filter(|piece| page.contains(piece));
    let own = own.map(|piece| &draft[piece]);
    let turned = own.filter(|piece| piece.turned_at.is_some());
    let turned: Vec<&str> = turned.map(|piece| piece.name.as_str()).collect();
    match turned.len() {
        0 => String::new(),
        all if all == page.len() => "; drawn as drafted, turn over before cutting".to_owned(),
        _ => format!(
            "; drawn as drafted, turn over before cutting: {}",
            turned.join("; ")
        ),
    }
}

/// The pages that show the pieces: those the block names together, then the others side by side.
fn drawn(construction: &Construction, against: Option<&Draft>) -> Vec<Drawing> {
    let draft = &construction.draft;
    let room = Rect::new(MARGIN, TOP, PAGE.0 - MARGIN, PAGE.1 - FOOT);
    let mut pages = Vec::new();
    for page in &draft.pages {
        let names = page.pieces.iter().map(|piece| draft[*piece].name.as_str());
        let names: Vec<&str> = names.collect();
        let group = Group::new(&page.pieces, construction);
        let scale = scale_for(group.bounds, room.inset(-6.0));
        let mut drawing = Drawing::new("", PAGE.0, PAGE.1);
        let middle = room.center() - group.bounds.center().to_vec2() / scale;
        let place = Affine::translate(middle.to_vec2()) * Affine::scale(1.0 / scale);
        show(&mut drawing, &group, construction, against, place, room);
        let turned = to_turn_over(draft, &page.pieces);
        let heading = format!("{}: {}{turned}", page.name, names.join(", "));
        below_head(&mut drawing, &heading, scale);
        pages.push(drawing);
    }
    let paged = |piece: &PieceId| draft.pages.iter().any(|page| page.pieces.contains(piece));
    let rest: Vec<PieceId> = draft.piece_ids().filter(|piece| !paged(piece)).collect();
    pages.extend(side_by_side(&rest, construction, against, room));
    pages
}

/// The other pieces, in rows.
fn side_by_side(
    ids: &[PieceId],
    construction: &Construction,
    against: Option<&Draft>,
    room: Rect,
) -> Vec<Drawing> {
    let name = |piece: PieceId| construction.draft[piece].name.as_str();
    let groups: Vec<(&str, Group)> = ids
        .iter()
        .map(|piece| (name(*piece), Group::new(&[*piece], construction)))
        .collect();
    // One scale for all of them: that of the largest, but no larger than a quarter's.
    let wanted = groups
        .iter()
        .map(|(_, group)| scale_for(group.bounds, room.inset(-16.0)));
    let scale = wanted.fold(4.0, f64::max);
    let gap = 14.0;
    let mut pages: Vec<Drawing> = Vec::new();
    let (mut corner, mut tall) = (room.origin() + Vec2::new(4.0, 8.0), 0.0_f64);
    for (name, group) in &groups {
        let (wide, high) = (group.bounds.width() / scale, group.bounds.height() / scale);
        if corner.x + wide > room.x1 - 4.0 && corner.x > room.x0 + 4.0 {
            corner = Point::new(room.x0 + 4.0, corner.y + tall + gap + 6.0);
            tall = 0.0;
        }
        if pages.is_empty() || corner.y + high > room.y1 {
            let mut page = Drawing::new("", PAGE.0, PAGE.1);
            below_head(&mut page, "Other pieces", scale);
            pages.push(page);
            (corner, tall) = (room.origin() + Vec2::new(4.0, 8.0), 0.0);
        }
        let Some(page) = pages.last_mut() else {
            continue;
        };
        let place = Affine::translate(corner.to_vec2() - group.bounds.origin().to_vec2() / scale)
            * Affine::scale(1.0 / scale);
        let cell = Rect::from_origin_size(corner, (wide, high)).inflate(6.0, 6.0);
        show(page, group, construction, against, place, cell);
        let heading = Text::new(&capital(name), corner - Vec2::new(0.0, 5.0), 1.9).bold();
        page.text(Layer::Page, heading.clone());
        corner.x += wide.max(heading.length()) + gap;
        tall = tall.max(high);
    }
    pages
}

/// What a page shows and how large, with a bar to measure.
fn below_head(page: &mut Drawing, heading: &str, scale: f64) {
    let heading = font::shorten(
        &font::clean(heading),
        2.6,
        false,
        PAGE.0 - 2.0 * MARGIN - 40.0,
    );
    page.text(Layer::Page, Text::new(&heading, (MARGIN, 26.0), 2.6));
    let words = format!("Scale 1:{scale}");
    let right = Point::new(PAGE.0 - MARGIN, 26.0);
    let end = super::drawing::Anchor::End;
    page.text(
        Layer::Page,
        Text::new(&words, right, 2.6).anchor(end).bold(),
    );
    let foot = Point::new(MARGIN, PAGE.1 - FOOT + 9.0);
    let words =
        "20 cm of the draft. Net, to the seam line; the numbers are those of the instructions.";
    super::marker::measured_line(page, foot, 200.0 / scale, words);
    page.title = heading;
}

/// The first scale at which a part of the draft fits.
fn scale_for(bounds: Rect, room: Rect) -> f64 {
    let fits = |scale: &&f64| {
        bounds.width() / **scale <= room.width() && bounds.height() / **scale <= room.height()
    };
    SCALES.iter().find(fits).copied().unwrap_or(50.0)
}

/// Draws a group of pieces: construction lines, edges, marks, points and their numbers.
fn show(
    page: &mut Drawing,
    group: &Group,
    construction: &Construction,
    against: Option<&Draft>,
    place: Affine,
    room: Rect,
) {
    for (own, other) in (group.pieces.iter()).flat_map(|own| against.map(|other| (own, other))) {
        for (piece, brought) in other.counterparts(own) {
            let brought = place * own.as_drafted() * brought;
            for edge in &piece.edges {
                page.line(Layer::Marks, brought * &edge.path, AGAINST);
            }
        }
    }
    let mut thin: Vec<Line> = Vec::new();
    for (a, b) in group
        .points
        .iter()
        .flat_map(|point| lines_of(point, construction))
    {
        let line = Line::new(place * a, place * b);
        let seen = |point: Point| room.inflate(2.0, 2.0).contains(point);
        if seen(line.p0) && seen(line.p1) && line.p0.distance(line.p1) > 0.05 {
            page.line(Layer::Marks, segment(line.p0, line.p1), LINE);
            thin.push(line);
        }
    }
    let mut heavy: Vec<Line> = Vec::new();
    for piece in &group.pieces {
        for mark in &piece.marks {
            draw_mark(page, mark, place);
            thin.extend(straights(&(place * &mark.path)));
        }
        for edge in &piece.edges {
            let path = place * &edge.path;
            heavy.extend(straights(&path));
            page.line(Layer::Seam, path, EDGE);
        }
    }
    let points: Vec<(Point, String)> = group
        .points
        .iter()
        .map(|point| (place * point.at, point.number.to_string()))
        .collect();
    for label in labels::place(&points, NUMBER, &heavy, &thin, room.inflate(4.0, 4.0)) {
        let clear = super::drawing::rectangle(label.room);
        page.fill(Layer::Labels, clear, 1.0);
        if let Some(leader) = label.leader {
            let path = segment(leader.p0, leader.p1);
            page.line(Layer::Labels, path, Pen::full(0.08));
        }
        page.text(Layer::Labels, label.text);
    }
    for (at, _) in &points {
        let dot = kurbo::Circle::new(*at, 0.42).to_path(0.02);
        page.fill(Layer::Labels, dot, 0.0);
    }
}

fn draw_mark(page: &mut Drawing, mark: &Mark, place: Affine) {
    let path = place * &mark.path;
    let pen = match mark.kind.symbol() {
        Symbol::Fold => Pen::dashed(0.2, &[4.0, 1.0, 0.6, 1.0]),
        Symbol::Level => Pen::dashed(0.15, &[0.6, 1.0]),
        Symbol::Button | Symbol::Drill => {
            if let Some(at) = geometry::start(&path) {
                let ring = kurbo::Circle::new(at, 1.1).to_path(0.02);
                page.line(Layer::Marks, ring, Pen::full(0.2));
            }
            return;
        }
        Symbol::Place | Symbol::Cut | Symbol::Buttonhole => Pen::full(0.2),
    };
    page.line(Layer::Marks, path, pen);
}

/// The lines by which a point was found.
fn lines_of(point: &BoardPoint, construction: &Construction) -> Vec<(Point, Point)> {
    let points = &construction.draft.points;
    let at = |n: &usize| n.checked_sub(1).and_then(|i| points.get(i)).map(|p| p.at);
    let from: Vec<Point> = match &point.how {
        How::Straight(p, ..) | How::Aslant(p, ..) | How::Square(p, ..) | How::Level(p, _) => {
            at(p).into_iter().collect()
        }
        How::Toward(p, q, _) | How::Between(p, q, _) => {
            [at(p), at(q)].into_iter().flatten().collect()
        }
        How::Mirrored(p, ..) | How::Turned(p, ..) => at(p).into_iter().collect(),
        How::Start(_) | How::Along(..) | How::OnLevel(..) | How::Meets(..) => vec![],
    };
    from.into_iter().map(|from| (from, point.at)).collect()
}

fn straights(path: &BezPath) -> Vec<Line> {
    let corners = geometry::flattened(path, 0.05);
    corners
        .windows(2)
        .map(|pair| Line::new(pair[0], pair[1]))
        .collect()
}

/// The items of a page that stand for its points' numbers, for whoever checks that they can be read.
pub fn numbers(page: &Drawing) -> impl Iterator<Item = &Text> {
    page.layer(Layer::Labels)
        .filter_map(|item: &Item| match &item.ink {
            Ink::Text(text) => Some(text),
            _ => None,
        })
}
