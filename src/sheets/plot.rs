//! Plot files in HPGL: `IN`, `PS`, `SP`, `PU`, `PD` and nothing else, 40 units to the mm.

use std::fmt::Write;

use kurbo::{Affine, BezPath, PathEl, Point, Rect, Size, Vec2};

use super::Travel;
use super::drawing::{Drawing, Ink, Item, Layer};
use super::lettering;
use super::tiling::page_name;
use super::travel::{self, Line};
use crate::order::House;

/// Plotter units in a mm.
const UNITS: f64 = 40.0;
/// Curves are flattened to this, in mm.
const FLAT: f64 = 0.05;
/// Points in one command: old plotters have small buffers.
const POINTS: usize = 40;
/// The furthest coordinate of a short plot, in units.
const SHORT: f64 = 32767.0;
/// Width of the strip that two frames of a plot share, in mm.
const SHARED: f64 = 20.0;

/// How far a plotter's coordinates reach.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// HPGL: 32767 units, which is 819 mm.
    Short,
    /// HPGL/2: as long as the roll.
    Long,
}

/// Which pen takes what.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pens {
    /// Lines to cut.
    pub cut: u8,
    /// Seam lines, marks and the cloth's edges.
    pub mark: u8,
    /// Lettering.
    pub letter: u8,
}

impl Pens {
    /// The house's pens: 1 cuts, 2 marks, 3 letters where it says nothing.
    pub fn of(house: &House) -> Self {
        let pen = |name: &str, otherwise: u8| match house.number(name) {
            Some(number) if (1.0..=8.0).contains(&number) => number as u8,
            _ => otherwise,
        };
        Pens {
            cut: pen("plot.cut_pen", 1),
            mark: pen("plot.mark_pen", 2),
            letter: pen("plot.letter_pen", 3),
        }
    }

    /// In the order they are taken: lettering, then marks, then the lines to cut.
    fn turns(self) -> [(u8, &'static [Layer]); 3] {
        [
            (self.letter, &[Layer::Labels, Layer::Page]),
            (self.mark, &[Layer::Cloth, Layer::Seam, Layer::Marks]),
            (self.cut, &[Layer::Cut]),
        ]
    }
}

/// What a plot file holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Plot {
    /// The file.
    pub bytes: Vec<u8>,
    /// How far its pen travels raised.
    pub travel: Travel,
}

/// Writes a drawing as one plot of any length, its longer side along the roll. What lies inside a
/// piece comes before its outline. Shading and the cloth's repeat are left out.
pub fn write(drawing: &Drawing, pens: Pens) -> Plot {
    let (to_plot, size) = turned(drawing);
    plot(&turns(drawing, to_plot, pens), size)
}

/// One of the plots that make up a drawing together.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Row along the roll as a letter, column across it as a number: `A1`.
    pub name: String,
    /// What is plotted.
    pub plot: Plot,
}

/// Writes a drawing as the fewest plots that stay within a short plotter's reach, each with a strip
/// shared with its neighbours, crosses to lay over one another in it, and its own name.
pub fn frames(drawing: &Drawing, pens: Pens) -> Vec<Frame> {
    let (to_plot, size) = turned(drawing);
    let taken = turns(drawing, to_plot, pens);
    let along = cuts(size.width);
    let across = cuts(size.height);
    let mut frames = Vec::new();
    for (row, &(x0, x1)) in along.iter().enumerate() {
        for (column, &(y0, y1)) in across.iter().enumerate() {
            let window = Rect::new(x0, y0, x1, y1);
            let name = page_name(column, row);
            let mut shown: Vec<(u8, Vec<Line>)> = taken
                .iter()
                .map(|(pen, lines)| (*pen, lines.iter().map(|line| line.within(window)).collect()))
                .collect();
            let empty = shown
                .iter()
                .all(|(_, lines)| lines.iter().all(|line| line.runs.is_empty()));
            if empty {
                continue;
            }
            if (along.len(), across.len()) != (1, 1) {
                let marks = registration(&name, window, row, column, &along, &across);
                if let Some((_, first)) = shown.first_mut() {
                    first.extend(marks.iter().map(|line| line.within(window)));
                }
            }
            let home = |line: &mut Line| {
                for point in line.runs.iter_mut().flatten() {
                    *point -= window.origin().to_vec2();
                }
            };
            shown
                .iter_mut()
                .for_each(|(_, lines)| lines.iter_mut().for_each(home));
            frames.push(Frame {
                name,
                plot: plot(&shown, window.size()),
            });
        }
    }
    frames
}

/// A length cut into equal parts within a short plotter's reach, each sharing [`SHARED`] with the
/// next.
fn cuts(length: f64) -> Vec<(f64, f64)> {
    let reach = (SHORT / UNITS).floor();
    if length <= reach {
        return vec![(0.0, length)];
    }
    let count = ((length - SHARED) / (reach - SHARED)).ceil();
    let step = (length - SHARED) / count;
    (0..count as usize)
        .map(|i| (i as f64 * step, (i + 1) as f64 * step + SHARED))
        .collect()
}

/// Crosses in the strips a frame shares, at the same places as its neighbours', and its name.
fn registration(
    name: &str,
    window: Rect,
    row: usize,
    column: usize,
    along: &[(f64, f64)],
    across: &[(f64, f64)],
) -> Vec<Line> {
    // Middles of the shared strips on either side of a stretch.
    let joints = |cuts: &[(f64, f64)], at: usize| -> Vec<f64> {
        let start = (at > 0).then(|| cuts[at].0 + SHARED / 2.0);
        let end = (at + 1 < cuts.len()).then(|| cuts[at].1 - SHARED / 2.0);
        start.into_iter().chain(end).collect()
    };
    let spread = |(from, to): (f64, f64)| {
        let (from, to) = (from + SHARED, to - SHARED);
        [0.04, 0.5, 0.96].map(|share| from + share * (to - from))
    };
    let (xs, ys) = (joints(along, row), joints(across, column));
    let mut places = Vec::new();
    for &x in &xs {
        places.extend(spread(across[column]).map(|y| Point::new(x, y)));
    }
    for &y in &ys {
        places.extend(spread(along[row]).map(|x| Point::new(x, y)));
    }
    let arm = SHARED / 2.0 - 2.0;
    let line = |runs| Line {
        part: 0,
        outline: false,
        runs,
    };
    let mut marks: Vec<Line> = places
        .into_iter()
        .flat_map(|at| [Vec2::new(arm, 0.0), Vec2::new(0.0, arm)].map(|arm| [at - arm, at + arm]))
        .map(|run| line(vec![run.to_vec()]))
        .collect();
    let (strokes, _) = lettering::write(name, 6.0);
    let corner =
        Affine::translate(window.origin().to_vec2() + Vec2::new(SHARED + 4.0, SHARED + 4.0));
    let up = corner * Affine::FLIP_Y;
    marks.push(line(strokes.iter().flat_map(|s| runs(&(up * s))).collect()));
    marks
}

/// The lines of every pen, in the order the pens are taken.
fn turns(drawing: &Drawing, to_plot: Affine, pens: Pens) -> Vec<(u8, Vec<Line>)> {
    let turn = |(pen, layers): (u8, &'static [Layer])| {
        let items = layers.iter().flat_map(|&layer| drawing.layer(layer));
        (pen, items.filter_map(|item| line(item, to_plot)).collect())
    };
    pens.turns().map(turn).into()
}

fn plot(turns: &[(u8, Vec<Line>)], size: Size) -> Plot {
    let mut text = format!("IN;PS{},{};", units(size.width), units(size.height));
    let (mut raised, mut pen) = (Travel::default(), Point::ZERO);
    for (number, lines) in turns {
        if lines.iter().all(|line| line.runs.is_empty()) {
            continue;
        }
        raised.drawn += travel::raised(lines, pen);
        let lines = travel::shorten(lines.clone(), pen);
        raised.written += travel::raised(&lines, pen);
        // Writing to a string cannot fail.
        let _ = write!(text, "\nSP{number};\n");
        for run in lines.iter().flat_map(|line| &line.runs) {
            write_run(&mut text, run);
            pen = run.last().copied().unwrap_or(pen);
        }
    }
    text.push_str("PU;SP0;\n");
    Plot {
        bytes: text.into_bytes(),
        travel: raised,
    }
}

/// From the sheet (y down) to the plot (y up, x along the roll), never mirrored.
fn turned(drawing: &Drawing) -> (Affine, Size) {
    if drawing.height > drawing.width {
        let quarter = Affine::new([0.0, 1.0, 1.0, 0.0, 0.0, 0.0]);
        (quarter, Size::new(drawing.height, drawing.width))
    } else {
        let up = Affine::translate(Vec2::new(0.0, drawing.height)) * Affine::FLIP_Y;
        (up, Size::new(drawing.width, drawing.height))
    }
}

/// An item as the runs a pen draws.
fn line(item: &Item, to_plot: Affine) -> Option<Line> {
    let paths: Vec<BezPath> = match &item.ink {
        Ink::Stroke { path, pen } if pen.dash.is_empty() => vec![path.clone()],
        Ink::Stroke { path, pen } => {
            vec![kurbo::dash(path.iter(), 0.0, pen.dash).collect()]
        }
        Ink::Text(text) => {
            let (strokes, length) = lettering::write(&text.words, text.height);
            let place = text.transform(length);
            strokes.into_iter().map(|stroke| place * stroke).collect()
        }
        Ink::Fill { .. } => return None,
    };
    let runs = paths
        .iter()
        .flat_map(|path| runs(&(to_plot * path)))
        .collect();
    let outline = matches!(&item.ink, Ink::Stroke { path, .. }
        if item.layer == Layer::Cut && matches!(path.elements().last(), Some(PathEl::ClosePath)));
    Some(Line {
        part: item.part,
        outline,
        runs,
    })
}

/// The flattened subpaths of a path, single points left out.
fn runs(path: &BezPath) -> Vec<Vec<Point>> {
    let mut runs: Vec<Vec<Point>> = Vec::new();
    kurbo::flatten(path, FLAT, |element| match element {
        PathEl::MoveTo(point) => runs.push(vec![point]),
        PathEl::LineTo(point) => {
            if let Some(run) = runs.last_mut() {
                run.push(point);
            }
        }
        _ => {
            if let Some(run) = runs.last_mut()
                && run.first() != run.last()
            {
                run.extend(run.first().copied());
            }
        }
    });
    runs.retain(|run| run.len() > 1);
    runs
}

fn write_run(text: &mut String, run: &[Point]) {
    let points: Vec<(i64, i64)> = run.iter().map(|p| (units(p.x), units(p.y))).collect();
    let Some(((x, y), rest)) = points.split_first().map(|(first, rest)| (*first, rest)) else {
        return;
    };
    let _ = write!(text, "PU{x},{y};");
    let mut last = (x, y);
    let moved: Vec<String> = rest
        .iter()
        .filter(|&&point| std::mem::replace(&mut last, point) != point)
        .map(|(x, y)| format!("{x},{y}"))
        .collect();
    for command in moved.chunks(POINTS) {
        let _ = write!(text, "PD{};", command.join(","));
    }
    text.push('\n');
}

fn units(mm: f64) -> i64 {
    (mm * UNITS).round() as i64
}
