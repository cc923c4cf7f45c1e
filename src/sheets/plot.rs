//! Plot files in HPGL: `IN`, `PS`, `SP`, `PU`, `PD` and nothing else, 40 units to the mm.

use std::fmt::Write;

use kurbo::{Affine, BezPath, PathEl, Point, Shape, Size, Vec2};

use super::drawing::{Drawing, Ink, Item, Layer};
use super::lettering;
use super::travel::{self, Line};

/// Plotter units in a mm.
const UNITS: f64 = 40.0;
/// Curves are flattened to this, in mm.
const FLAT: f64 = 0.05;
/// Points in one command: old plotters have small buffers.
const POINTS: usize = 40;
/// The furthest coordinate of a short plot, in units.
const SHORT: f64 = 32767.0;

/// How far a plotter's coordinates reach.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// HPGL: 32767 units, which is 819 mm.
    Short,
    /// HPGL/2: as long as the roll.
    Long,
}

/// A drawing that a plot of that reach cannot hold.
#[derive(Debug, Clone, PartialEq)]
pub struct TooLong {
    /// The drawing's longer side, mm.
    pub length: f64,
}

impl std::fmt::Display for TooLong {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "the plot is {:.0} mm long and plain HPGL reaches {:.0} mm: write hpgl2, or send the SVG",
            self.length,
            SHORT / UNITS
        )
    }
}

impl std::error::Error for TooLong {}

/// What a plot file holds, and how far its pen travels raised.
#[derive(Debug, Clone, PartialEq)]
pub struct Plot {
    /// The file.
    pub bytes: Vec<u8>,
    /// Raised travel in the order written, mm.
    pub travel: f64,
    /// Raised travel in the order drawn, mm.
    pub unsorted_travel: f64,
}

/// The pens, in the order they are taken: lettering, then marks, then the lines to cut.
const PENS: [(u8, &[Layer]); 3] = [
    (3, &[Layer::Labels, Layer::Page]),
    (2, &[Layer::Cloth, Layer::Seam, Layer::Marks]),
    (1, &[Layer::Cut]),
];

/// Writes a drawing as a plot, its longer side along the roll. Pen 1 cuts, pen 2 marks, pen 3
/// letters; what lies inside a piece comes before its outline. Shading and the cloth's repeat are
/// left out.
pub fn write(drawing: &Drawing, reach: Reach) -> Result<Plot, TooLong> {
    let length = drawing.width.max(drawing.height);
    match reach {
        Reach::Short if length * UNITS > SHORT => Err(TooLong { length }),
        _ => Ok(long(drawing)),
    }
}

/// Writes a drawing as a plot of any length.
pub fn long(drawing: &Drawing) -> Plot {
    let (to_plot, size) = turned(drawing);
    let mut text = format!("IN;PS{},{};", units(size.width), units(size.height));
    let (mut travel, mut unsorted_travel, mut pen) = (0.0, 0.0, Point::ZERO);
    for (number, layers) in PENS {
        let items = layers.iter().flat_map(|&layer| drawing.layer(layer));
        let lines: Vec<Line> = items.filter_map(|item| line(item, to_plot)).collect();
        if lines.is_empty() {
            continue;
        }
        unsorted_travel += travel::raised(&lines, pen);
        let lines = travel::shorten(lines, pen);
        travel += travel::raised(&lines, pen);
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
        travel,
        unsorted_travel,
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
            vec![kurbo::dash(path.path_elements(FLAT), 0.0, pen.dash).collect()]
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
