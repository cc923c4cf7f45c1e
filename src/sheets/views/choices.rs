//! Small pictures of every way to choose, each drawn from a draft and cut out where the choice makes a
//! difference.

use super::{moved, seen};
use crate::draft::{Draft, DraftPiece};
use crate::geometry;
use crate::made_up::{Facing, along};
use crate::order::choices::Declared;
use crate::sheets::drawing::{Drawing, Ink, Layer, Pen, Text, segment};
use crate::sheets::in_cloth::InCloth;
use crate::sheets::{Sheet, font, html, svg, words};
use kurbo::{Affine, Point, Rect, Shape, Vec2};
use rayon::prelude::*;
use std::fmt::Write;

/// A choice with a picture of each way to make it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pictured {
    /// The choice.
    pub choice: Declared,
    /// What it decides, in the reader's unit.
    pub about: String,
    /// What may be written, in the reader's unit.
    pub notes: Vec<String>,
    /// Each word; of a length or number the least, the usual and the most; no and yes.
    pub ways: Vec<Way>,
}

/// One way to choose.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// What an order says: `notch`, `7 cm`.
    pub name: String,
    /// What it means, if it is a word; why the figure cannot have less or more, if it is a number.
    pub about: String,
    /// How it looks, or why this figure cannot have it.
    pub picture: Result<Drawing, String>,
}

/// The distance within which two lines count as the same, in mm of the sheet.
const SAME: f64 = 0.6;
/// Free room round a difference, and the least that a picture shows, in mm of the sheet.
const ROOM: f64 = 4.0;
const LEAST: f64 = 42.0;
/// The fewest points of lines in which garments differ that make a picture: 4 mm of the garment.
const LEAST_SEEN: usize = 2;
/// The most pieces that are drawn where the views show no difference.
const MOST_PIECES: usize = 3;
/// Pixels for a mm in the page.
const PIXELS: f64 = 3.2;

/// A garment to be drawn beside others, in its cloth where that is at hand.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Tailored<'a> {
    /// Its draft.
    pub draft: &'a Draft,
    /// The cloth of its order, and the place of the garment in that order.
    pub cloth: Option<(&'a InCloth<'a>, usize)>,
}

impl Tailored<'_> {
    /// Draws a part of a view: in cloth if there is one, else the part of the view in lines.
    fn part(&self, facing: Facing, view: Drawing, part: Rect) -> Drawing {
        let in_cloth = self.cloth.and_then(|(cloth, garment)| {
            let painted = cloth.part(garment, facing, 1.0 / super::SCALE, part)?;
            let title = view.title.clone();
            Some(Drawing { title, ..painted })
        });
        moved(in_cloth.unwrap_or(view), part)
    }
}

/// Draws each garment where they differ, in the view that shows more of it, or by the pieces; and tells from which
/// side, if a view shows it.
pub(crate) fn shown(garments: &[Tailored]) -> (Option<Facing>, Vec<Drawing>) {
    let drafts: Vec<&Draft> = garments.iter().map(|garment| garment.draft).collect();
    let drafts = drafts.as_slice();
    let mut best: Option<(usize, Facing, Vec<Drawing>, Rect)> = None;
    for facing in [
        Facing::Front,
        Facing::Back,
        Facing::BackOpen,
        Facing::Inside,
    ] {
        let views: Option<Vec<Drawing>> = drafts
            .par_iter()
            .map(|draft| seen(draft, facing, super::SCALE))
            .collect();
        let Some(views) = views else {
            continue;
        };
        let changed = differences(&views);
        // What is seen of a garment as it is worn is shown so, even where more of it differs inside.
        let worn = matches!(facing, Facing::Front | Facing::Back);
        let more = match &best {
            Some((_, Facing::Front | Facing::Back, ..)) if !worn => false,
            Some((count, ..)) => changed.len() > *count,
            None => changed.len() >= LEAST_SEEN,
        };
        if let Some(part) = part_of(&changed).filter(|_| more) {
            best = Some((changed.len(), facing, views, part));
        }
    }
    match best {
        Some((_, facing, views, part)) => {
            let in_cloth = garments.iter().any(|garment| garment.cloth.is_some());
            let part = if in_cloth { filling(part) } else { part };
            let parts = views.into_par_iter().zip(garments);
            let parts = parts.map(|(view, garment)| garment.part(facing, view, part));
            (Some(facing), parts.collect())
        }
        None => {
            let whole = || drafts.iter().map(|draft| whole(draft)).collect();
            (None, in_pieces(drafts).unwrap_or_else(whole))
        }
    }
}

/// Widens or heightens a part to the shape of the frames that pictures in cloth fill: six to five.
fn filling(part: Rect) -> Rect {
    const SHAPE: f64 = 1.2;
    let more = |short: f64, long: f64| (long - short).max(0.0) / 2.0;
    let (wide, high) = (part.width(), part.height());
    part.inflate(more(wide, high * SHAPE), more(high, wide / SHAPE))
}

/// Draws all of a garment, for a way to choose that stands alone.
fn whole(draft: &Draft) -> Drawing {
    super::front(draft).unwrap_or_else(|| {
        let names: Vec<&str> = draft
            .pieces
            .iter()
            .map(|piece| piece.name.as_str())
            .collect();
        pieces(draft, &names)
    })
}

/// Finds points on the drawings' lines to which some other drawing has nothing near.
fn differences(views: &[Drawing]) -> Vec<Point> {
    let lines: Vec<Vec<Point>> = views.par_iter().map(points).collect();
    let around = |a: Rect, p: &Point| a.union_pt(*p);
    let Some(first) = lines.iter().flatten().next() else {
        return Vec::new();
    };
    let bounds = (lines.iter().flatten()).fold(Rect::from_points(*first, *first), around);
    let grids: Vec<Near> = lines
        .par_iter()
        .map(|line| Near::new(bounds, line))
        .collect();
    let lines = lines.iter().flatten().copied();
    lines
        .filter(|p| grids.iter().any(|grid| !grid.has(*p)))
        .collect()
}

/// The cells of a part of a sheet that some points lie in or beside.
struct Near {
    bounds: Rect,
    across: usize,
    cells: Vec<bool>,
}

impl Near {
    fn new(bounds: Rect, points: &[Point]) -> Self {
        let count = |mm: f64| (mm / SAME) as usize + 3;
        let (across, down) = (count(bounds.width()), count(bounds.height()));
        let mut near = Self {
            bounds,
            across,
            cells: vec![false; across * down],
        };
        for p in points {
            let middle = near.cell(*p);
            for row in [middle - across, middle, middle + across] {
                near.cells[row - 1..=row + 1].fill(true);
            }
        }
        near
    }

    /// Returns the place of the cell of a point within the bounds: a row and a column of cells lie round all of them.
    fn cell(&self, p: Point) -> usize {
        let at = (p - self.bounds.origin()) / SAME;
        (at.y as usize + 1) * self.across + at.x as usize + 1
    }

    fn has(&self, p: Point) -> bool {
        self.cells[self.cell(p)]
    }
}

fn points(view: &Drawing) -> Vec<Point> {
    let strokes = view.items.iter().filter_map(|item| match &item.ink {
        Ink::Stroke { path, .. } => Some(along(path, 0.9 * SAME)),
        _ => None,
    });
    strokes.flatten().collect()
}

/// Returns the part of a view that holds the differences, or one side of the figure where both differ alike and
/// the middle does not.
fn part_of(changed: &[Point]) -> Option<Rect> {
    let apart = changed.iter().all(|p| p.x.abs() > 9.0);
    let (left, right): (Vec<Point>, Vec<Point>) = changed.iter().partition(|p| p.x < 0.0);
    let kept = match apart {
        true if left.len() > right.len() + right.len() / 5 => left,
        true => right,
        false => changed.to_vec(),
    };
    let first = kept.first()?;
    let around = |a: Rect, p: &Point| a.union_pt(*p);
    let part = kept.iter().fold(Rect::from_points(*first, *first), around);
    let more = |long: f64| ROOM + (LEAST - long - 2.0 * ROOM).max(0.0) / 2.0;
    Some(part.inflate(more(part.width()), more(part.height())))
}

/// Draws the pieces that differ, side by side; returns `None` if none does.
fn in_pieces(drafts: &[&Draft]) -> Option<Vec<Drawing>> {
    let like = |draft: &Draft, piece: &DraftPiece| draft.pieces.contains(piece);
    let mut names: Vec<&str> = Vec::new();
    // Pieces that only some drafts have tell the most.
    for everywhere in [false, true] {
        for piece in drafts.iter().flat_map(|draft| &draft.pieces) {
            let has = |draft: &&&Draft| draft.pieces.iter().any(|p| p.name == piece.name);
            let all = drafts.iter().filter(has).count() == drafts.len();
            let same = drafts.iter().all(|draft| like(draft, piece));
            if all == everywhere && !same && !names.contains(&piece.name.as_str()) {
                names.push(&piece.name);
            }
        }
    }
    names.truncate(MOST_PIECES);
    let drawn = drafts.iter().map(|draft| pieces(draft, &names));
    (!names.is_empty()).then(|| drawn.collect())
}

fn pieces(draft: &Draft, names: &[&str]) -> Drawing {
    let mut sheet = Drawing::new(&draft.garment, LEAST, LEAST);
    let mut x = ROOM;
    for piece in draft
        .pieces
        .iter()
        .filter(|piece| names.contains(&piece.name.as_str()))
    {
        let paths = piece.edges.iter().map(|edge| &edge.path);
        let outline = geometry::joined(paths, 0.02);
        let bounds = outline.bounding_box();
        let place = Affine::translate(Vec2::new(x, ROOM))
            * Affine::scale(1.0 / super::SCALE)
            * Affine::translate(-bounds.origin().to_vec2());
        sheet.line(Layer::Page, place * &outline, Pen::full(0.3));
        for mark in &piece.marks {
            sheet.line(Layer::Page, place * &mark.path, Pen::full(0.13));
        }
        let (wide, high) = (
            bounds.width() / super::SCALE,
            bounds.height() / super::SCALE,
        );
        let words = format!(
            "{}: {}, {}",
            piece.name,
            piece.material.name,
            words::count(piece.count)
        );
        let grain = geometry::line_inside(&outline, piece.grain);
        let grain = segment(place * grain.0, place * grain.1);
        sheet.line(Layer::Page, grain, Pen::full(0.13));
        let name = Text::new(&words, (x, ROOM + high + 4.0), 1.7);
        x += wide.max(name.length()) + 2.0 * ROOM;
        sheet.height = sheet.height.max(high + 3.0 * ROOM);
        sheet.text(Layer::Page, name);
    }
    if x == ROOM {
        sheet.text(
            Layer::Page,
            Text::new("no piece of its own", (ROOM, LEAST / 2.0), 1.7),
        );
    }
    sheet.width = sheet.width.max(x);
    sheet
}

/// Writes a picture of each way as an SVG of its own, and all of a garment's as a page for a browser.
pub fn files(garment: &str, pictured: &[Pictured]) -> Vec<Sheet> {
    let mut files = vec![Sheet {
        file: format!("{garment}.html"),
        bytes: page(garment, pictured).into_bytes(),
    }];
    for of in pictured {
        for way in &of.ways {
            if let Ok(picture) = &way.picture {
                files.push(Sheet {
                    file: file_name(garment, &of.choice.name, &way.name),
                    bytes: svg::write(picture),
                });
            }
        }
    }
    files
}

/// Returns the name of a picture's file: `jacket-lapel-notch.svg`.
fn file_name(garment: &str, choice: &str, way: &str) -> String {
    let plain = |c: char| {
        if c.is_alphanumeric() || c == '.' {
            c
        } else {
            '-'
        }
    };
    let name: String = format!("{garment}-{choice}-{way}")
        .chars()
        .map(plain)
        .collect();
    format!("{name}.svg")
}

const STYLE: &str = "\
body { margin: 0 auto; padding: 1.5rem; max-width: 80rem; background: #fff; color: #111;
  font: 1rem/1.45 \"Open Sans\", system-ui, sans-serif; }
h1 { font-size: 1.6rem; } h2 { font-size: 1.1rem; margin: 1.6rem 0 .2rem; border-bottom: 1px solid #999; }
p { margin: 0 0 .6rem; }
.ways { display: flex; flex-wrap: wrap; gap: 1rem 1.6rem; align-items: flex-end; }
figure { margin: 0; max-width: 24rem; } figcaption { font-size: .85rem; }
svg { max-width: 100%; height: auto; display: block; }
@media print { body { padding: 0; font-size: 9pt; } figure, h2 { break-inside: avoid; } }
";

fn page(garment: &str, pictured: &[Pictured]) -> String {
    let title = html::escaped(&words::capital(&words::spaced(garment)));
    let mut page = format!(
        "<!DOCTYPE html>\n<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<title>{title}</title>\n\
         <style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n<h1>{title}: what can be chosen</h1>\n"
    );
    for (i, of) in pictured.iter().enumerate() {
        let choice = &of.choice;
        // Writing to a string cannot fail.
        let _ = writeln!(
            page,
            "<section>\n<h2>{}</h2>\n<p>{}. <small>{}</small></p>\n<div class=\"ways\">",
            html::escaped(&choice.name),
            html::escaped(&of.about),
            html::escaped(&of.notes.join("; ")),
        );
        for (j, way) in of.ways.iter().enumerate() {
            let name = html::escaped(&way.name);
            let picture = match &way.picture {
                Ok(picture) => {
                    let prefix = format!("c{i}-{j}-");
                    svg::inline(picture, &prefix, PIXELS * picture.width)
                }
                Err(reason) => format!("<p><em>{}</em></p>", html::escaped(reason)),
            };
            let about = html::escaped(&font::clean(&way.about));
            let about = if about.is_empty() {
                about
            } else {
                format!(": {about}")
            };
            let _ = writeln!(
                page,
                "<figure>\n{picture}\n<figcaption><strong>{name}</strong>{about}</figcaption>\n</figure>"
            );
        }
        page.push_str("</div>\n</section>\n");
    }
    page.push_str("</main>\n</body>\n</html>\n");
    page
}
