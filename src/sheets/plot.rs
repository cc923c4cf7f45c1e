//! Writes plot files in HPGL, with the instructions `IN`, `PS`, `SP`, `PU` and `PD` only.

use std::fmt::Write;

use kurbo::{Affine, BezPath, PathEl, Point, Rect, Size, Vec2};

use super::drawing::{Drawing, Ink, Item, Layer};
use super::grid::page_name;
use super::lettering;
use super::travel::{self, PlotLine, Travel};
use crate::order::{House, HouseNumber};

/// Plotter units in a mm, fixed by HPGL.
const UNITS: f64 = 40.0;
/// Distance of a flattened curve from the true one, in mm: less than a plotter unit, so that a plot is as
/// near the marker as it can draw.
const FLAT: f64 = 0.02;
/// Most points in one instruction, because old plotters have small buffers.
const POINTS: usize = 40;
/// Greatest coordinate of a short plot, in units: HPGL has 16-bit coordinates.
const SHORT: i64 = 32767;
/// Width of the strip that two frames of a plot share, in mm: room for the crosses to join them by.
const SHARED: f64 = 20.0;

/// The range of a plotter's coordinates.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// HPGL: 32767 units, which is 819 mm.
    Short,
    /// HPGL/2: as long as the roll.
    Long,
}

/// The numbers of the pens for each kind of line.
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
    /// Returns the house's pens.
    pub fn of(house: &House) -> Self {
        // The house holds whole numbers from 1 to 8 for them.
        let pen = |number| house.value(number) as u8;
        Self {
            cut: pen(HouseNumber::CutPen),
            mark: pen(HouseNumber::MarkPen),
            letter: pen(HouseNumber::LetterPen),
        }
    }

    /// Returns the pens in the order they are used, each with its layers: lettering, marks, lines to cut.
    fn turns(self) -> [(u8, &'static [Layer]); 3] {
        [
            (self.letter, &[Layer::Labels, Layer::Page]),
            (self.mark, &[Layer::Cloth, Layer::Seam, Layer::Marks]),
            (self.cut, &[Layer::Cut]),
        ]
    }
}

/// A plot file.
#[derive(Debug, Clone, PartialEq)]
pub struct Plot {
    /// The file.
    pub bytes: Vec<u8>,
    /// The distance that its pen travels raised.
    pub travel: Travel,
}

/// Writes a drawing as one plot of any length, its longer side along the roll. The lines inside a piece
/// come before its outline. Shading and the cloth's repeat are left out.
pub fn write(drawing: &Drawing, pens: Pens) -> Plot {
    let (to_plot, size) = turned(drawing);
    let turns = turns(drawing, to_plot, pens);
    plot(&turns, extent(&turns, size))
}

/// One of the plots that make up a drawing together.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Row along the roll as a letter, column across it as a number: `A1`.
    pub name: String,
    /// What is plotted.
    pub plot: Plot,
}

/// Writes a drawing as the fewest plots within a short plotter's range. Neighbours share a strip with crosses
/// that are laid on one another, and each plot bears its name. Every part of every line is in at least one
/// of them.
pub fn frames(drawing: &Drawing, pens: Pens) -> Vec<Frame> {
    let (to_plot, size) = turned(drawing);
    let taken = turns(drawing, to_plot, pens);
    let whole = extent(&taken, size);
    let along = cuts(whole.x0, whole.x1);
    let across = cuts(whole.y0, whole.y1);
    let mut frames = Vec::new();
    for (row, &(x0, x1)) in along.iter().enumerate() {
        for (column, &(y0, y1)) in across.iter().enumerate() {
            let window = Rect::new(x0, y0, x1, y1);
            let name = page_name(column, row);
            let mut shown: Vec<(u8, Vec<PlotLine>)> = taken
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
            frames.push(Frame {
                name,
                plot: plot(&shown, window),
            });
        }
    }
    frames
}

/// Returns the area that a plot covers: the whole drawing, and all lines that reach out of it.
fn extent(turns: &[(u8, Vec<PlotLine>)], size: Size) -> Rect {
    let sheet = Rect::from_points(Point::ZERO, on_grid(size.to_vec2().to_point()));
    let lines = turns.iter().flat_map(|(_, lines)| lines);
    let points = lines.flat_map(|line| line.runs.iter().flatten());
    points.fold(sheet, |all, point| all.union_pt(*point))
}

/// Parts a range into nearly equal parts within a short plotter's coordinates. Each shares [`SHARED`] with the
/// next. They begin and end on the plotter's grid.
fn cuts(from: f64, to: f64) -> Vec<(f64, f64)> {
    let (start, length, shared) = (units(from), units(to) - units(from), units(SHARED));
    let parts = if length <= SHORT {
        1
    } else {
        (length - shared + SHORT - shared - 1) / (SHORT - shared)
    };
    let step = (length - shared + parts - 1) / parts;
    let mm = |at: i64| (start + at) as f64 / UNITS;
    (0..parts)
        .map(|i| (mm(i * step), mm(((i + 1) * step + shared).min(length))))
        .collect()
}

/// Draws a frame's name, and crosses in the strips it shares, at the same places as those of its neighbours.
fn registration(
    name: &str,
    window: Rect,
    row: usize,
    column: usize,
    along: &[(f64, f64)],
    across: &[(f64, f64)],
) -> Vec<PlotLine> {
    // The middles of the shared strips on both sides of a part.
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
        places.extend(spread(across[column]).map(|y| on_grid(Point::new(x, y))));
    }
    for &y in &ys {
        places.extend(spread(along[row]).map(|x| on_grid(Point::new(x, y))));
    }
    let arm = SHARED / 2.0 - 2.0;
    let line = |runs| PlotLine {
        part: 0,
        outline: false,
        runs,
    };
    let mut marks: Vec<PlotLine> = places
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

/// Returns the lines of every pen, in the order in which the pens are used.
fn turns(drawing: &Drawing, to_plot: Affine, pens: Pens) -> Vec<(u8, Vec<PlotLine>)> {
    let turn = |(pen, layers): (u8, &'static [Layer])| {
        let items = layers.iter().flat_map(|&layer| drawing.layer(layer));
        (pen, items.filter_map(|item| line(item, to_plot)).collect())
    };
    pens.turns().map(turn).into()
}

/// Writes the lines inside a window, with coordinates counted from its corner.
fn plot(turns: &[(u8, Vec<PlotLine>)], window: Rect) -> Plot {
    let mut text = format!("IN;PS{},{};", units(window.width()), units(window.height()));
    let (mut raised, mut pen) = (Travel::default(), window.origin());
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
            write_run(&mut text, run, window.origin());
            pen = run.last().copied().unwrap_or(pen);
        }
    }
    text.push_str("PU;SP0;\n");
    Plot {
        bytes: text.into_bytes(),
        travel: raised,
    }
}

/// Returns the map from the sheet (y down) to the plot (y up, x along the roll), never mirrored, and the size of
/// the plot.
fn turned(drawing: &Drawing) -> (Affine, Size) {
    if drawing.height > drawing.width {
        let quarter = Affine::new([0.0, 1.0, 1.0, 0.0, 0.0, 0.0]);
        (quarter, Size::new(drawing.height, drawing.width))
    } else {
        let up = Affine::translate(Vec2::new(0.0, drawing.height)) * Affine::FLIP_Y;
        (up, Size::new(drawing.width, drawing.height))
    }
}

/// Turns an item into the runs that a pen draws.
fn line(item: &Item, to_plot: Affine) -> Option<PlotLine> {
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
        Ink::Fill { .. } | Ink::Painted(_) => return None,
    };
    let runs = paths
        .iter()
        .flat_map(|path| runs(&(to_plot * path)))
        .collect();
    let outline = matches!(&item.ink, Ink::Stroke { path, .. }
        if item.layer == Layer::Cut && matches!(path.elements().last(), Some(PathEl::ClosePath)));
    Some(PlotLine {
        part: item.part,
        outline,
        runs,
    })
}

/// Flattens the subpaths of a path and puts their points on the plotter's grid. Single points are left out.
///
/// On the grid, a line along the edge of the cloth lies exactly on that edge. A billionth of a mm outside
/// it, the line would be clipped out of every frame.
fn runs(path: &BezPath) -> Vec<Vec<Point>> {
    let mut runs: Vec<Vec<Point>> = Vec::new();
    kurbo::flatten(path, FLAT, |element| match element {
        PathEl::MoveTo(point) => runs.push(vec![on_grid(point)]),
        PathEl::LineTo(point) => {
            if let Some(run) = runs.last_mut() {
                run.push(on_grid(point));
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

fn write_run(text: &mut String, run: &[Point], origin: Point) {
    let counted = run.iter().map(|&p| p - origin);
    let points: Vec<(i64, i64)> = counted.map(|p| (units(p.x), units(p.y))).collect();
    let Some(((x, y), rest)) = points.split_first().map(|(first, rest)| (*first, rest)) else {
        return;
    };
    let _ = write!(text, "PU{x},{y};");
    let mut last = (x, y);
    let moved: Vec<String> = rest
        .iter()
        .filter(|&&point| std::mem::replace(&mut last, point) != point)
        .map(|(to_x, to_y)| format!("{to_x},{to_y}"))
        .collect();
    for command in moved.chunks(POINTS) {
        let _ = write!(text, "PD{};", command.join(","));
    }
    text.push('\n');
}

fn units(mm: f64) -> i64 {
    (mm * UNITS).round() as i64
}

/// Moves a point to the nearest one of the plotter's grid.
fn on_grid(at: Point) -> Point {
    Point::new(units(at.x) as f64 / UNITS, units(at.y) as f64 / UNITS)
}
