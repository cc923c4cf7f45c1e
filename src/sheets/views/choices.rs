//! A small picture of every way to choose: drawn from a real draft of the house's reference figure,
//! cut out where the choice makes a difference.

use super::{moved, seen};
use crate::diagnostic::{Diagnostic, Source};
use crate::draft::{Draft, DraftPiece};
use crate::geometry;
use crate::made_up::{Facing, along};
use crate::order::choices::{self, Choices, Declared, Domain};
use crate::order::{self, Catalogue, Choice, Garment, Order, Style};
use crate::script::{Library, draft};
use crate::sheets::drawing::{Drawing, Ink, Layer, Pen, Text, segment};
use crate::sheets::{Sheet, font, html, svg, words};
use kurbo::{Affine, Point, Rect, Shape, Vec2};
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// A choice with a picture of each way to make it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pictured {
    /// The choice.
    pub choice: Declared,
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

/// Lines that lie nearer than this to one another are no difference, in mm of the sheet.
const SAME: f64 = 0.6;
/// Free room round a difference, and the least that a picture shows, in mm of the sheet.
const ROOM: f64 = 4.0;
const LEAST: f64 = 42.0;
/// So many pieces show a difference that the views do not.
const MOST_PIECES: usize = 3;
/// Pixels for a mm in the page.
const PIXELS: f64 = 3.2;

/// Pictures of every choice of a garment, or of one.
///
/// # Errors
/// When the blocks or their choices cannot be read.
pub fn pictures(
    folder: Option<PathBuf>,
    garment: &str,
    only: Option<&str>,
) -> Result<Vec<Pictured>, Vec<Diagnostic>> {
    let catalogue = Catalogue::new(folder.clone());
    let choices = catalogue.choices(garment).map_err(|fault| vec![fault])?;
    let library = match &folder {
        None => Library::embedded(),
        Some(folder) => Library::with_folder(folder).map_err(|error| {
            let message = format!(
                "the blocks in `{}` cannot be read: {error}",
                folder.display()
            );
            vec![Diagnostic::error(message)]
        })?,
    };
    let order = Order {
        house: catalogue.house()?,
        ..reference()?
    };
    let shown = |choice: &&Declared| only.is_none_or(|only| choice.name == only);
    let wanted: Vec<&Declared> = choices.0.iter().filter(shown).collect();
    let drawn = wanted.par_iter().map(|choice| Pictured {
        choice: (*choice).clone(),
        ways: ways_of(choice, &choices, garment, &order, &library),
    });
    Ok(drawn.collect())
}

/// The order of a starter: the figure that the house drafts from.
fn reference() -> Result<Order, Vec<Diagnostic>> {
    let text = order::starter(&Catalogue::default()).map_err(|fault| vec![fault])?;
    let source = Source::new("reference", text);
    Ok(order::parse("reference", &source, Path::new(""))?.order)
}

fn ways_of(
    declared: &Declared,
    choices: &Choices,
    garment: &str,
    order: &Order,
    library: &Library,
) -> Vec<Way> {
    let drafted = |choice: &Choice| {
        let mut style = beside(declared);
        style.insert(declared.name.clone(), choice.clone());
        choices.complete(&mut style);
        let garment = Garment {
            block: garment.to_owned(),
            style,
        };
        draft(library, order, &garment).map_err(|fault| fault.message)
    };
    let mut usual = beside(declared);
    choices.complete(&mut usual);
    let tried: Vec<Tried> = match &declared.domain {
        Domain::Word(words) => words
            .iter()
            .map(|(word, about)| Tried::new(word, about, drafted(&Choice::Word(word.clone()))))
            .collect(),
        Domain::Flag => [false, true]
            .map(|flag| Tried::new(&flag.to_string(), "", drafted(&Choice::Flag(flag))))
            .into(),
        Domain::Length(least, most) => {
            let usual = match usual.get(&declared.name) {
                Some(Choice::Length(mm)) => Some(mm / 10.0),
                _ => None,
            };
            let drafted = |cm: f64| drafted(&Choice::Length(10.0 * cm));
            Scale::new(*least, *most, 0.5, " cm").tried(usual, &drafted)
        }
        Domain::Count(least, most) | Domain::Number(least, most) => {
            let usual = match usual.get(&declared.name) {
                Some(Choice::Number(number)) => Some(*number),
                _ => None,
            };
            let whole = matches!(declared.domain, Domain::Count(..));
            let step = if whole { 1.0 } else { (most - least) / 16.0 };
            let drafted = |number: f64| drafted(&Choice::Number(number));
            Scale::new(*least, *most, step, "").tried(usual, &drafted)
        }
    };
    let good: Vec<&Draft> = tried.iter().flat_map(|tried| &tried.draft).collect();
    let mut drawn = shown(&good).into_iter();
    let way = |tried: Tried| Way {
        name: tried.name,
        about: tried.about,
        picture: (tried.draft).and_then(|_| drawn.next().ok_or_else(|| "no picture".to_owned())),
    };
    tried.into_iter().map(way).collect()
}

/// A way to choose, with what comes of it on the reference figure.
struct Tried {
    name: String,
    about: String,
    draft: Result<Draft, String>,
}

impl Tried {
    fn new(name: &str, about: &str, draft: Result<Draft, String>) -> Self {
        Self {
            name: name.to_owned(),
            about: about.to_owned(),
            draft,
        }
    }
}

/// The numbers of which one is chosen.
struct Scale {
    least: f64,
    most: f64,
    /// The least difference that is worth a picture.
    step: f64,
    unit: &'static str,
}

impl Scale {
    fn new(least: f64, most: f64, step: f64, unit: &'static str) -> Self {
        Self {
            least,
            most,
            step,
            unit,
        }
    }

    /// The least, the usual and the most that the figure can have: where it cannot have the very ends of
    /// the scale, the last before them, and why no more.
    fn tried(
        &self,
        usual: Option<f64>,
        drafted: &dyn Fn(f64) -> Result<Draft, String>,
    ) -> Vec<Tried> {
        let between = |from: f64, to: f64| self.on_step((from + to) / 2.0);
        let middle = usual.unwrap_or(between(self.least, self.most));
        let share =
            |i: u32| self.on_step(self.least + (self.most - self.least) * f64::from(i) / 8.0);
        let mut places = std::iter::once(middle).chain((0..=8).map(share));
        let Some(good) = places.find(|&at| drafted(at).is_ok()) else {
            let ends = [self.least, middle, self.most];
            return ends.map(|at| self.way(at, "", drafted(at))).into();
        };
        let ends = [self.least, self.most].map(|end| self.furthest(good, end, drafted));
        let [(least, _, _), (most, _, _)] = ends;
        let middle = usual.filter(|usual| (least..=most).contains(usual));
        let middle = middle.unwrap_or(between(least, most));
        let [lower, upper] = ends.map(|(at, why, draft)| (at, self.way(at, &why, draft)));
        let mut tried = vec![
            lower,
            (middle, self.way(middle, "", drafted(middle))),
            upper,
        ];
        tried.dedup_by(|a, b| a.0 == b.0);
        tried.into_iter().map(|(_, way)| way).collect()
    }

    /// The last place on the way from a good one to an end that can be drafted, and why the end cannot.
    fn furthest(
        &self,
        mut good: f64,
        end: f64,
        drafted: &dyn Fn(f64) -> Result<Draft, String>,
    ) -> (f64, String, Result<Draft, String>) {
        let why = match drafted(end) {
            Err(why) => why,
            draft => return (end, String::new(), draft),
        };
        let mut bad = end;
        let way = if end < good { "less" } else { "more" };
        loop {
            let middle = self.on_step((good + bad) / 2.0);
            if (good - bad).abs() < 1.5 * self.step || middle == good || middle == bad {
                return (
                    good,
                    format!("no {way} on this figure. {why}"),
                    drafted(good),
                );
            }
            if drafted(middle).is_ok() {
                good = middle;
            } else {
                bad = middle;
            }
        }
    }

    fn on_step(&self, at: f64) -> f64 {
        let at = (at / self.step).round() * self.step;
        at.clamp(self.least, self.most)
    }

    fn way(&self, at: f64, about: &str, draft: Result<Draft, String>) -> Tried {
        let name = format!("{}{}", choices::shown(at), self.unit);
        Tried::new(&name, about, draft)
    }
}

/// A style in which a choice has a meaning.
fn beside(declared: &Declared) -> Style {
    let needs = declared.only_with.iter();
    let first = needs.filter_map(|(other, words)| Some((other.clone(), words.first()?.clone())));
    first
        .map(|(other, word)| (other, Choice::Word(word)))
        .collect()
}

/// A picture of each draft where they differ: of the view that shows more of it, or of the pieces.
fn shown(drafts: &[&Draft]) -> Vec<Drawing> {
    let mut best: Option<(usize, Vec<Drawing>, Rect)> = None;
    for facing in [Facing::Front, Facing::Back] {
        let views: Option<Vec<Drawing>> = drafts.iter().map(|draft| seen(draft, facing)).collect();
        let Some(views) = views else {
            continue;
        };
        let changed = differences(&views);
        if changed.len() > best.as_ref().map_or(0, |(count, ..)| *count)
            && let Some(part) = part_of(&changed)
        {
            best = Some((changed.len(), views, part));
        }
    }
    match best {
        Some((_, views, part)) => views.into_iter().map(|view| moved(view, part)).collect(),
        None => {
            in_pieces(drafts).unwrap_or_else(|| drafts.iter().map(|draft| whole(draft)).collect())
        }
    }
}

/// All of a garment, for a way to choose that stands alone.
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

/// Points of the drawings' lines that some other drawing has nothing near to.
fn differences(views: &[Drawing]) -> Vec<Point> {
    let cell = |p: Point| ((p.x / SAME).floor() as i64, (p.y / SAME).floor() as i64);
    let lines: Vec<Vec<Point>> = views.iter().map(points).collect();
    let grids: Vec<BTreeSet<(i64, i64)>> = lines
        .iter()
        .map(|line| line.iter().map(|p| cell(*p)).collect())
        .collect();
    let near = |grid: &BTreeSet<(i64, i64)>, p: Point| {
        let (x, y) = cell(p);
        (-1..=1).any(|i| (-1..=1).any(|j| grid.contains(&(x + i, y + j))))
    };
    let lines = lines.iter().flatten().copied();
    lines
        .filter(|p| grids.iter().any(|grid| !near(grid, *p)))
        .collect()
}

fn points(view: &Drawing) -> Vec<Point> {
    let strokes = view.items.iter().filter_map(|item| match &item.ink {
        Ink::Stroke { path, .. } => Some(along(path, 0.9 * SAME)),
        _ => None,
    });
    strokes.flatten().collect()
}

/// The part of a view that holds the differences; one side of the figure where both differ alike
/// and the middle does not.
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

/// The pieces that differ, side by side; `None` if none does.
fn in_pieces(drafts: &[&Draft]) -> Option<Vec<Drawing>> {
    let like = |draft: &Draft, piece: &DraftPiece| draft.pieces.contains(piece);
    let mut names: Vec<&str> = Vec::new();
    // Pieces that only some have tell the most.
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
            words::material(piece.material),
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

/// A picture of each way as an SVG of its own, and all of a garment's as a page for a browser.
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

/// The name of a picture's file: `jacket-lapel-notch.svg`.
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
  font: 1rem/1.45 \"Open Sans\", \"Segoe UI\", system-ui, sans-serif; }
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
            html::escaped(&choice.about),
            html::escaped(&choice.notes().join("; ")),
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
