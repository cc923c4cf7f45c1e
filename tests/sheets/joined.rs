//! Pages of the paper pattern, put together as the first page tells: its words are read, and followed on
//! the lines that mupdf finds in the file.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use chalkstripe::pattern::Piece;
use chalkstripe::sheets::paper::Setup;
use chalkstripe::sheets::paper_pattern;
use kurbo::{Affine, Point, Rect, Vec2};

use crate::sheets::fixture;
use crate::sheets::reader::{has, run};

/// Points in a mm.
const POINTS: f64 = 72.0 / 25.4;
/// The words for the sides of a page, and the way out there.
const SIDES: [(&str, Vec2); 4] = [
    ("left", Vec2::new(-1.0, 0.0)),
    ("right", Vec2::new(1.0, 0.0)),
    ("top", Vec2::new(0.0, -1.0)),
    ("foot", Vec2::new(0.0, 1.0)),
];
/// Two lines are one if they lie this near, in mm.
const NEAR: f64 = 0.02;

/// A line of a page: in mm, y down.
#[derive(Debug)]
struct Stroke {
    width: f64,
    /// Length of its dashes; nothing if it is full.
    dash: f64,
    curved: bool,
    points: Vec<Point>,
}

impl Stroke {
    /// Where it lies across the page, if it is one straight line of at least that length, level or
    /// upright as a joint on that side is.
    fn along_side(&self, out: Vec2, least: f64) -> Option<f64> {
        let [from, to] = self.points.as_slice() else {
            return None;
        };
        let (along, across) = if out.x == 0.0 {
            ((to.x - from.x).abs(), (to.y - from.y).abs())
        } else {
            ((to.y - from.y).abs(), (to.x - from.x).abs())
        };
        let at = if out.x == 0.0 { from.y } else { from.x };
        (!self.curved && across < NEAR && along >= least).then_some(at)
    }

    /// Whether it has points on both sides of a line across the page.
    fn crosses(&self, out: Vec2, at: f64) -> bool {
        let beyond = |p: &Point| if out.x == 0.0 { p.y > at } else { p.x > at };
        self.points.iter().any(beyond) && !self.points.iter().all(beyond)
    }

    fn is(&self, other: &Self, by: Vec2) -> bool {
        (self.width - other.width).abs() < 1e-3
            && self.points.len() == other.points.len()
            && self
                .points
                .iter()
                .zip(&other.points)
                .all(|(a, b)| a.distance(*b + by) < NEAR)
    }
}

struct Page {
    name: String,
    size: Vec2,
    strokes: Vec<Stroke>,
}

impl Page {
    /// Lines that run along most of a side, on that side's half of the page.
    fn lines(&self, out: Vec2, is_such: impl Fn(&Stroke) -> bool) -> Vec<f64> {
        let (long, wide) = if out.x == 0.0 {
            (self.size.x, self.size.y)
        } else {
            (self.size.y, self.size.x)
        };
        let on_side = |at: &f64| (at - wide / 2.0) * (out.x + out.y) > 0.0;
        let strokes = self.strokes.iter().filter(|stroke| is_such(stroke));
        let mut found: Vec<f64> = strokes
            .filter_map(|s| s.along_side(out, 0.8 * long))
            .filter(on_side)
            .collect();
        found.sort_by(f64::total_cmp);
        found
    }

    fn cut_lines(&self) -> impl Iterator<Item = &Stroke> {
        self.strokes.iter().filter(|s| (s.width - 0.5).abs() < 1e-3)
    }
}

/// An attribute of an element, as a list of numbers.
fn numbers(line: &str, name: &str) -> Vec<f64> {
    let from = line
        .split_once(&format!(" {name}=\""))
        .map(|(_, rest)| rest);
    let value = from
        .and_then(|rest| rest.split_once('"'))
        .map_or("", |(value, _)| value);
    value
        .split_whitespace()
        .filter_map(|n| n.parse().ok())
        .collect()
}

/// Every page of a file with its lines, by mupdf; its name, by poppler, from the words at its foot.
fn pages(pdf: &Path) -> Vec<Page> {
    let file = pdf.to_str().unwrap();
    let trace = run("mutool", &["draw", "-q", "-F", "trace", file]);
    let mut pages: Vec<Page> = Vec::new();
    let mut place = Affine::IDENTITY;
    for line in trace.lines().map(str::trim) {
        let at = |page: &mut Page, pairs: &[(&str, &str)]| {
            if let Some(stroke) = page.strokes.last_mut() {
                for (x, y) in pairs {
                    let (x, y) = (numbers(line, x)[0], numbers(line, y)[0]);
                    stroke.points.push(place * Point::new(x, y));
                }
            }
        };
        if line.starts_with("<page ") {
            let size = numbers(line, "mediabox");
            pages.push(Page {
                name: String::new(),
                size: Vec2::new(size[2], size[3]) / POINTS,
                strokes: Vec::new(),
            });
        }
        let Some(page) = pages.last_mut() else {
            continue;
        };
        if line.starts_with("<stroke_path ") {
            let t = numbers(line, "transform");
            place = Affine::scale(1.0 / POINTS) * Affine::new([t[0], t[1], t[2], t[3], t[4], t[5]]);
            page.strokes.push(Stroke {
                width: numbers(line, "linewidth")[0] / POINTS,
                dash: numbers(line, "dash")
                    .first()
                    .map_or(0.0, |dash| dash / POINTS),
                curved: false,
                points: Vec::new(),
            });
        } else if line.starts_with("<clip_path ") || line.starts_with("<fill_path ") {
            // What follows is no line: it goes to a stroke that is thrown away.
            page.strokes.push(Stroke {
                width: 0.0,
                dash: 0.0,
                curved: false,
                points: Vec::new(),
            });
        } else if line.starts_with("<moveto ") || line.starts_with("<lineto ") {
            at(page, &[("x", "y")]);
        } else if line.starts_with("<curveto ") {
            if let Some(stroke) = page.strokes.last_mut() {
                stroke.curved = true;
            }
            at(page, &[("x1", "y1"), ("x2", "y2"), ("x3", "y3")]);
        }
    }
    for (i, page) in pages.iter_mut().enumerate() {
        page.strokes.retain(|stroke| stroke.width > 0.0);
        let number = (i + 1).to_string();
        let text = run("pdftotext", &["-f", &number, "-l", &number, file, "-"]);
        let name = text
            .rsplit_once("· page ")
            .and_then(|(_, rest)| rest.split_once(','));
        page.name = name.map_or("", |(name, _)| name).to_owned();
    }
    pages
}

/// The sides at which the first page says to trim, and all that it says of joining.
fn trimmed_sides(pdf: &Path) -> Vec<&'static str> {
    let text = run(
        "pdftotext",
        &["-raw", "-f", "1", "-l", "1", pdf.to_str().unwrap(), "-"],
    );
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let (_, told) = text.split_once("dashed lines").expect("where to trim");
    let told = &told[..told.find([';', '.']).unwrap()];
    let named = SIDES.iter().filter(|(side, _)| told.contains(side));
    named.map(|(side, _)| *side).collect()
}

/// Row and column by a page's name.
fn place_of(name: &str) -> (i32, i32) {
    let (row, column) = name.split_at(1);
    (i32::from(row.as_bytes()[0]), column.parse().unwrap())
}

/// Follows the words: trims at the dashed lines of the sides they name, lays the trimmed edge on the
/// neighbour's full line, and compares what meets there. Returns how many cut lines cross joints.
fn joined(pdf: &Path) -> usize {
    let trimmed = trimmed_sides(pdf);
    assert_eq!(trimmed.len(), 2, "{trimmed:?}");
    let pages = pages(pdf);
    let named: BTreeMap<(i32, i32), &Page> = pages
        .iter()
        .filter(|page| !page.name.is_empty())
        .map(|page| (place_of(&page.name), page))
        .collect();
    let mut crossings = 0;
    for (&(row, column), page) in &named {
        for (side, out) in SIDES {
            let there = (row + out.y as i32, column + out.x as i32);
            // Seams, folds and levels have dashes of other lengths.
            let dashed = page.lines(out, |s| (s.dash - 3.0).abs() < 0.01);
            let name = &page.name;
            let Some(neighbour) = named.get(&there).filter(|_| trimmed.contains(&side)) else {
                assert!(
                    dashed.is_empty(),
                    "{name} has dashes at its {side}: {dashed:?}"
                );
                continue;
            };
            assert_eq!(dashed.len(), 1, "{name} is to be trimmed at its {side}");
            let trim = dashed[0];
            let hidden = page
                .lines(out, |s| s.dash == 0.0)
                .into_iter()
                .find(|at| (at - trim).abs() < 0.3);
            assert_eq!(
                hidden, None,
                "{name}: a full line fills the dashes at its {side}"
            );
            // Of the neighbour's full lines at its facing side the inner is that of the joint.
            let full = neighbour.lines(-out, |s| s.dash == 0.0 && s.width < 0.22);
            let inner = if out.x + out.y < 0.0 {
                full.first()
            } else {
                full.last()
            };
            let on = *inner.unwrap_or_else(|| panic!("{} has no line", neighbour.name));
            let by = if out.x == 0.0 {
                Vec2::new(0.0, trim - on)
            } else {
                Vec2::new(trim - on, 0.0)
            };
            // Whatever crosses the joint on either is on both, in one place: pieces, ticks and rings.
            let meets = |a: &Page, at: f64, b: &Page, apart: Vec2| {
                let sheet = Rect::new(0.0, 0.0, a.size.x, a.size.y);
                let crossing = a
                    .strokes
                    .iter()
                    .filter(|s| s.dash == 0.0 && s.crosses(out, at));
                let shown = crossing.filter(|s| s.points.iter().any(|p| sheet.contains(*p)));
                let ends_here = |s: &Stroke| {
                    [0.8, 0.3].iter().any(|share| {
                        let long = if out.x == 0.0 { a.size.y } else { a.size.x };
                        s.along_side(Vec2::new(out.y, out.x), share * long)
                            .is_some()
                            && s.width < 0.3
                    })
                };
                // Frames and lines of the other joints end with the page.
                let shown = shown.filter(|s| !ends_here(s));
                let found = shown.map(|s| {
                    assert!(
                        b.strokes.iter().any(|other| s.is(other, apart)),
                        "{} at {at}: not on {} {apart:?}: {s:?}",
                        a.name,
                        b.name
                    );
                });
                found.count()
            };
            let (ours, theirs) = (
                meets(page, trim, neighbour, by),
                meets(neighbour, on, page, -by),
            );
            assert!(
                ours >= 8 && theirs >= 8,
                "{name}: {ours} and {theirs} lines meet"
            );
            crossings += page.cut_lines().filter(|s| s.crosses(out, trim)).count();
        }
    }
    crossings
}

fn saved(bytes: &[u8], name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    fs::write(&path, bytes).unwrap();
    path
}

#[test]
fn pages_trimmed_as_the_first_page_tells_join() {
    if !has("mutool") || !has("pdftotext") {
        return;
    }
    let pattern = fixture::pattern();
    let pieces: Vec<&Piece> = pattern.pieces.iter().collect();
    for paper in ["a4", "a3", "letter", "a2", "a0"] {
        let setup = Setup::new(paper.parse().unwrap());
        let bytes = paper_pattern::write(&pieces, &fixture::order(), &setup).unwrap();
        let crossings = joined(&saved(&bytes, &format!("joined-{paper}.pdf")));
        println!("{paper}: {crossings} cut lines cross joints");
        // Every piece but a few fits within the largest page, and is on one.
        assert!(crossings > 2 || paper == "a0", "{paper}: {crossings}");
    }
}

/// A pattern too long for one page of a roll: its pages join as those of a sheet do, and the last ends
/// where the pattern ends.
#[test]
fn a_roll_is_no_longer_than_its_pattern() {
    if !has("mutool") || !has("pdftotext") {
        return;
    }
    for order in fixture::cut_examples() {
        let pdf = order.join("paper-roll-914mm.pdf");
        let pages = pages(&pdf);
        let named: Vec<&Page> = pages.iter().filter(|page| !page.name.is_empty()).collect();
        let lowest = |page: &Page| {
            let points = page.cut_lines().flat_map(|s| &s.points).map(|p| p.y);
            points.fold(0.0, f64::max)
        };
        let rows = named.iter().map(|page| place_of(&page.name).0);
        let last = rows.max().unwrap();
        let in_last = || named.iter().filter(|page| place_of(&page.name).0 == last);
        let foot = in_last().map(|page| lowest(page)).fold(0.0, f64::max);
        for page in in_last() {
            // White of 10, and what keeps a line off it.
            assert!(
                page.size.y < foot + 10.0 + 5.0,
                "{order:?}: {} is {:.0} mm long, and holds {foot:.0} mm",
                page.name,
                page.size.y
            );
        }
        let lengths: Vec<f64> = named.iter().map(|page| page.size.y.round()).collect();
        // ISO 32000-1, annex C: 14400 points.
        assert!(lengths.iter().all(|length| length * POINTS < 14400.0));
        let whole: f64 = named.iter().map(|page| page.size.y - 30.0).sum();
        assert!(
            lengths.len() as f64 <= (whole / 4960.0).ceil(),
            "{order:?}: {lengths:?}"
        );
        let crossings = if named.len() > 1 { joined(&pdf) } else { 0 };
        println!("{order:?}: {lengths:?} mm, {crossings} cut lines cross joints");
    }
}
