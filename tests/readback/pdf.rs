//! The paper pattern, read operator by operator: what each page shows of its lines, and how pages join.

use std::collections::BTreeMap;
use std::path::Path;

use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};
use lopdf::content::Content;
use lopdf::{Document, Object};

use super::geometry::{Run, bounds, moved, runs, sides};

const MM: f64 = 25.4 / 72.0;

/// A page's row and column on the joined sheet.
pub(super) type At = (usize, usize);
/// Where pages that touch lie on their joined sheet.
pub(super) type Places = BTreeMap<At, Vec2>;

/// A stroke of a page, in mm from its upper left corner: all of it, though only what lies in the window shows.
pub(super) struct Stroke {
    pub run: Run,
    pub window: Rect,
}

impl Stroke {
    /// What shows of it.
    pub(super) fn shown(&self) -> Vec<Run> {
        let mut parts: Vec<Run> = Vec::new();
        for side in sides(&self.run) {
            let Some((from, to)) = clipped(side.p0, side.p1, self.window) else {
                continue;
            };
            match parts.last_mut() {
                Some(part) if part.last() == Some(&from) => part.push(to),
                _ => parts.push(vec![from, to]),
            }
        }
        parts
    }
}

/// The part of a line that lies in a box.
fn clipped(from: Point, to: Point, window: Rect) -> Option<(Point, Point)> {
    let by = to - from;
    let (mut start, mut end) = (0.0_f64, 1.0_f64);
    for (step, room) in [
        (-by.x, from.x - window.x0),
        (by.x, window.x1 - from.x),
        (-by.y, from.y - window.y0),
        (by.y, window.y1 - from.y),
    ] {
        if step == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if step < 0.0 {
            start = start.max(room / step);
        } else {
            end = end.min(room / step);
        }
    }
    (start < end).then(|| (from + by * start, from + by * end))
}

pub(super) struct Page {
    pub size: Vec2,
    /// Strokes by layer.
    pub strokes: BTreeMap<String, Vec<Stroke>>,
}

impl Page {
    pub(super) fn layer(&self, name: &str) -> &[Stroke] {
        self.strokes.get(name).map_or(&[], Vec::as_slice)
    }

    /// Middles of the rings on the joints: circles of 7 mm of which at least half shows.
    pub(super) fn rings(&self) -> Vec<Point> {
        let ring = |stroke: &&Stroke| {
            let area: f64 = sides(&stroke.run)
                .map(|side| side.p0.to_vec2().cross(side.p1.to_vec2()) / 2.0)
                .sum();
            let bounds = bounds(&stroke.run);
            let round = (bounds.width() - 7.0).abs() < 0.01 && (bounds.height() - 7.0).abs() < 0.01;
            let shows = stroke.window.inflate(0.1, 0.1).contains(bounds.center());
            round && shows && (area.abs() - 12.25 * std::f64::consts::PI).abs() < 0.5
        };
        let strokes = self.strokes.values().flatten().filter(ring);
        strokes.map(|stroke| bounds(&stroke.run).center()).collect()
    }

    /// Sides of the squares on it that are wider than 50 mm.
    pub(super) fn squares(&self) -> Vec<f64> {
        let sizes = self
            .strokes
            .values()
            .flatten()
            .filter(|s| s.run.len() == 5)
            .map(|s| bounds(&s.run).size());
        let square =
            sizes.filter(|size| (size.width - size.height).abs() < 0.01 && size.width > 50.0);
        square.map(|size| size.width).collect()
    }
}

pub(super) fn read(path: &Path) -> Vec<Page> {
    let document = Document::load(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let pages = document.get_pages();
    pages.values().map(|id| page(&document, *id)).collect()
}

fn page(document: &Document, id: lopdf::ObjectId) -> Page {
    let dictionary = document.get_dictionary(id).expect("a page");
    let corners = dictionary
        .get(b"MediaBox")
        .and_then(Object::as_array)
        .expect("a size");
    let corners: Vec<f64> = corners.iter().map(number).collect();
    let size = Vec2::new(corners[2] - corners[0], corners[3] - corners[1]) * MM;
    let to_page = Affine::new([MM, 0.0, 0.0, -MM, 0.0, size.y]);
    let content = Content::decode(&document.get_page_content(id)).expect("operators");
    let mut page = Page {
        size,
        strokes: BTreeMap::new(),
    };
    let whole = Rect::from_origin_size((0.0, 0.0), size.to_size());
    let mut state = (Affine::IDENTITY, whole);
    let mut kept = Vec::new();
    let mut layers: Vec<String> = Vec::new();
    let mut path = BezPath::new();
    let mut clips = false;
    for operation in &content.operations {
        let n: Vec<f64> = operation.operands.iter().map(number).collect();
        let point = |i: usize| Point::new(n[i], n[i + 1]);
        match operation.operator.as_str() {
            "q" => kept.push(state),
            "Q" => state = kept.pop().expect("a state"),
            "cm" => state.0 *= Affine::new([n[0], n[1], n[2], n[3], n[4], n[5]]),
            "m" => path.move_to(point(0)),
            "l" => path.line_to(point(0)),
            "c" => path.curve_to(point(0), point(2), point(4)),
            "re" => path.extend(Rect::new(n[0], n[1], n[0] + n[2], n[1] + n[3]).path_elements(0.1)),
            "h" => path.close_path(),
            "W" | "W*" => clips = true,
            "BDC" | "BMC" => {
                let name = operation
                    .operands
                    .last()
                    .and_then(|name| name.as_name().ok());
                layers.push(String::from_utf8_lossy(name.unwrap_or_default()).into_owned());
            }
            "EMC" => drop(layers.pop()),
            "v" | "y" | "Do" => panic!("an operator that this reader does not follow"),
            painted @ ("S" | "s" | "n" | "f" | "F" | "f*" | "B" | "B*" | "b" | "b*") => {
                let shown = to_page * state.0 * std::mem::take(&mut path);
                if std::mem::take(&mut clips) {
                    state.1 = state.1.intersect(shown.bounding_box());
                }
                if matches!(painted, "S" | "s") {
                    let strokes = page
                        .strokes
                        .entry(layers.last().cloned().unwrap_or_default())
                        .or_default();
                    let window = state.1;
                    strokes.extend(
                        runs(&shown, 0.01)
                            .into_iter()
                            .map(|run| Stroke { run, window }),
                    );
                }
            }
            _ => {}
        }
    }
    page
}

fn number(object: &Object) -> f64 {
    object.as_float().map_or(f64::NAN, f64::from)
}

/// A page's row and column, from the words at its foot: `page B3, 15 of 96`.
pub(super) fn place_of(words: &str) -> Option<At> {
    let (_, rest) = words.rsplit_once("· page ")?;
    let (name, _) = rest.split_once(',')?;
    let digits = name.find(|letter: char| letter.is_ascii_digit())?;
    let row = name[..digits]
        .bytes()
        .fold(0, |row, letter| 26 * row + usize::from(letter - b'A') + 1);
    Some((
        row.checked_sub(1)?,
        name[digits..].parse::<usize>().ok()?.checked_sub(1)?,
    ))
}

/// Joins pages by the rings they share: where each lies on the joined sheet, by islands of pages that touch,
/// and the worst disagreement of two rings, in mm.
pub(super) fn joined(pages: &BTreeMap<At, &Page>) -> (Vec<Places>, f64) {
    let mut islands: Vec<Places> = Vec::new();
    let mut worst: f64 = 0.0;
    for &start in pages.keys() {
        if islands.iter().any(|island| island.contains_key(&start)) {
            continue;
        }
        let mut island = BTreeMap::from([(start, Vec2::ZERO)]);
        let mut next = vec![start];
        while let Some(here) = next.pop() {
            let (row, column) = here;
            let around = [
                (row, column + 1),
                (row + 1, column),
                (row, column.wrapping_sub(1)),
                (row.wrapping_sub(1), column),
            ];
            for there in around {
                let Some(other) = pages.get(&there) else {
                    continue;
                };
                for step in steps(pages[&here], other, (there.0 != row, there > here)) {
                    let place = island[&here] + step;
                    if !island.contains_key(&there) {
                        next.push(there);
                    }
                    let known = *island.entry(there).or_insert(place);
                    worst = worst.max((known - place).hypot());
                }
            }
        }
        islands.push(island);
    }
    (islands, worst)
}

/// The steps from a page to its neighbour, one for each ring that both show.
fn steps(here: &Page, there: &Page, (below, forward): (bool, bool)) -> Vec<Vec2> {
    let sign = if forward { 1.0 } else { -1.0 };
    let mut found = Vec::new();
    for a in here.rings() {
        for b in there.rings() {
            let step = a - b;
            let (along, aside, size) = if below {
                (step.y, step.x, here.size.y)
            } else {
                (step.x, step.y, here.size.x)
            };
            if sign * along > 0.75 * size && aside.abs() < 2.0 {
                found.push(step);
            }
        }
    }
    assert!(
        found.len() >= 2,
        "two pages that join share {} rings",
        found.len()
    );
    found
}

/// The strokes of a layer as they show on joined pages.
pub(super) fn shown_on(pages: &BTreeMap<At, &Page>, island: &Places, layer: &str) -> Vec<Run> {
    let mut found = Vec::new();
    for (at, place) in island {
        let parts = pages[at].layer(layer).iter().flat_map(Stroke::shown);
        found.extend(parts.map(|part| moved(&part, Affine::translate(*place))));
    }
    found
}
