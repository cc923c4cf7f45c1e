//! The plots of a short plotter, read back and laid together by their crosses: they are the one long
//! plot, line for line.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use chalkstripe::order::House;
use chalkstripe::sheets::drawing::{Drawing, Layer, Pen, rectangle, segment};
use chalkstripe::sheets::plot::{self, Pens};
use kurbo::{Point, Rect, Vec2};
use proptest::prelude::*;

use crate::program::{run, said, told};

/// Units of a plotter in a mm.
const UNITS: f64 = 40.0;
/// The furthest coordinate of a short plotter.
const SHORT: f64 = 32767.0;
/// Width of the strip that frames share, and length of a cross's arms, in units.
const SHARED: f64 = 20.0 * UNITS;
const ARMS: f64 = 16.0 * UNITS;
/// Step along a line, in units: half a mm.
const STEP: f64 = 0.5 * UNITS;
/// Two places are one if they lie this near, in units: the ends of a line that is cut off are rounded.
const NEAR: f64 = 1.0;

/// A stroke of a pen.
#[derive(Debug, Clone, Copy)]
struct Stroke {
    pen: u8,
    from: Point,
    to: Point,
}

impl Stroke {
    fn length(&self) -> f64 {
        self.from.distance(self.to)
    }

    fn moved(self, by: Vec2) -> Self {
        Self {
            from: self.from + by,
            to: self.to + by,
            ..self
        }
    }

    /// Places along it, each with the length it stands for.
    fn places(&self) -> impl Iterator<Item = (Point, f64)> + use<> {
        let Self { from, to, .. } = *self;
        let steps = (self.length() / STEP).ceil().max(1.0);
        let share = self.length() / steps;
        (0..steps as u32).map(move |i| (from.lerp(to, (f64::from(i) + 0.5) / steps), share))
    }

    fn distance(&self, at: Point) -> f64 {
        let along = self.to - self.from;
        let share = (at - self.from).dot(along) / along.hypot2().max(f64::MIN_POSITIVE);
        at.distance(self.from + along * share.clamp(0.0, 1.0))
    }
}

/// A plot file: its size, and what it draws.
struct Read {
    size: Vec2,
    strokes: Vec<Stroke>,
}

fn read(plot: &str) -> Read {
    let (mut size, mut strokes) = (Vec2::ZERO, Vec::new());
    let (mut pen, mut at) = (0, Point::ZERO);
    for command in plot.split(';').map(str::trim).filter(|c| !c.is_empty()) {
        let numbers: Vec<f64> = command[2..]
            .split(',')
            .filter_map(|number| number.parse().ok())
            .collect();
        match &command[..2] {
            "PS" => size = Vec2::new(numbers[0], numbers[1]),
            "SP" => pen = numbers[0] as u8,
            "PU" | "PD" => {
                for pair in numbers.chunks_exact(2) {
                    let to = Point::new(pair[0], pair[1]);
                    if command.starts_with("PD") {
                        let from = at;
                        strokes.push(Stroke { pen, from, to });
                    }
                    at = to;
                }
            }
            other => assert_eq!(other, "IN"),
        }
    }
    Read { size, strokes }
}

/// The middles of the crosses: two strokes of one length, one level and one upright, about one point.
fn crosses(strokes: &[Stroke]) -> Vec<Point> {
    let arms = |level: bool| {
        let is_arm = move |stroke: &&Stroke| {
            let along = stroke.to - stroke.from;
            let (long, across) = if level {
                (along.x, along.y)
            } else {
                (along.y, along.x)
            };
            stroke.pen == 3 && (long.abs() - ARMS).abs() < NEAR && across == 0.0
        };
        strokes.iter().filter(is_arm).map(|s| s.from.midpoint(s.to))
    };
    arms(true)
        .filter(|at| arms(false).any(|other| other == *at))
        .collect()
}

/// A frame's row and column by its name: `B2` is in the second row along the roll, and second across.
fn place_of(name: &str) -> (usize, usize) {
    let (row, column) = name.split_at(1);
    let row = usize::from(row.as_bytes()[0] - b'A');
    (row, column.parse::<usize>().unwrap() - 1)
}

/// Moves every frame to its place beside the first, by the crosses in the strips they share; returns
/// the strokes of each, and the part of the whole of which it alone tells: half of every strip.
fn laid_together(frames: &BTreeMap<(usize, usize), Read>) -> Vec<(Rect, Vec<Stroke>)> {
    let first = *frames.keys().next().expect("a frame");
    let mut corners = BTreeMap::from([(first, Vec2::ZERO)]);
    let mut waiting = vec![first];
    while let Some(here) = waiting.pop() {
        let beside = [(0_i64, 1_i64), (1, 0), (0, -1), (-1, 0)].map(|(row, column)| {
            let at = |from: usize, by: i64| usize::try_from(from as i64 + by).ok();
            (row, column, at(here.0, row).zip(at(here.1, column)))
        });
        for (row, column, there) in beside {
            let Some(there) =
                there.filter(|at| frames.contains_key(at) && !corners.contains_key(at))
            else {
                continue;
            };
            // Crosses of the strip: those near the far side of one and the near side of the other.
            let in_strip = |frame: &Read, ahead: i64| {
                let near = |place: f64, size: f64, by: i64| match by * ahead {
                    0 => true,
                    1 => (size - SHARED..=size).contains(&place),
                    _ => (0.0..=SHARED).contains(&place),
                };
                let mut found = crosses(&frame.strokes);
                // x runs along the roll, from row to row.
                found.retain(|p| near(p.x, frame.size.x, row) && near(p.y, frame.size.y, column));
                found.sort_by(|a, b| (a.x + a.y).total_cmp(&(b.x + b.y)));
                found
            };
            let (ours, theirs) = (in_strip(&frames[&here], 1), in_strip(&frames[&there], -1));
            assert!(ours.len() == 3 && theirs.len() == 3, "{here:?} {there:?}");
            let steps: Vec<Vec2> = ours.iter().zip(&theirs).map(|(a, b)| *a - *b).collect();
            assert!(steps.iter().all(|step| *step == steps[0]), "{steps:?}");
            corners.insert(there, corners[&here] + steps[0]);
            waiting.push(there);
        }
    }
    assert_eq!(corners.len(), frames.len(), "frames that nothing joins");
    let rows = frames.keys().map(|at| at.0).max().unwrap_or(0);
    let columns = frames.keys().map(|at| at.1).max().unwrap_or(0);
    frames
        .iter()
        .map(|(&(row, column), frame)| {
            let corner = corners[&(row, column)];
            let half = SHARED / 2.0;
            let (least, most) = (f64::MIN, f64::MAX);
            let own = Rect::new(
                if row == 0 { least } else { corner.x + half },
                if column == 0 { least } else { corner.y + half },
                if row == rows {
                    most
                } else {
                    corner.x + frame.size.x - half
                },
                if column == columns {
                    most
                } else {
                    corner.y + frame.size.y - half
                },
            );
            let strokes = frame.strokes.iter().map(|stroke| stroke.moved(corner));
            (own, strokes.collect())
        })
        .collect()
}

/// Strokes by where they are, to ask what lies near a place.
struct Near(BTreeMap<(u8, i64, i64), Vec<Stroke>>);

impl Near {
    const CELL: f64 = 400.0;

    fn of(strokes: impl IntoIterator<Item = Stroke>) -> Self {
        let mut cells: BTreeMap<(u8, i64, i64), Vec<Stroke>> = BTreeMap::new();
        let cell = |at: f64| (at / Self::CELL).floor() as i64;
        for stroke in strokes {
            let around = Rect::from_points(stroke.from, stroke.to).inflate(NEAR, NEAR);
            for x in cell(around.x0)..=cell(around.x1) {
                for y in cell(around.y0)..=cell(around.y1) {
                    cells.entry((stroke.pen, x, y)).or_default().push(stroke);
                }
            }
        }
        Self(cells)
    }

    fn has(&self, pen: u8, at: Point) -> bool {
        let cell = |mm: f64| (mm / Self::CELL).floor() as i64;
        let found = self.0.get(&(pen, cell(at.x), cell(at.y)));
        found.is_some_and(|found| found.iter().any(|s| s.distance(at) <= NEAR))
    }
}

/// Checks that frames are the whole: every stretch of it is in them, they hold nothing else but crosses
/// and names, and each pen draws as far in them as in the whole.
fn are_the_whole(frames: &BTreeMap<(usize, usize), Read>, whole: &Read) -> Result<(), String> {
    for (at, frame) in frames {
        let ends = frame.strokes.iter().flat_map(|s| [s.from, s.to]);
        for p in ends {
            let reach = Rect::new(0.0, 0.0, frame.size.x, frame.size.y);
            let within = p.x <= reach.x1 && p.y <= reach.y1 && p.x >= 0.0 && p.y >= 0.0;
            if !within || frame.size.x > SHORT || frame.size.y > SHORT {
                return Err(format!("{at:?} reaches {p:?} of {reach:?}"));
            }
        }
    }
    let laid = laid_together(frames);
    let there = Near::of(laid.iter().flat_map(|(_, strokes)| strokes.iter().copied()));
    for stroke in &whole.strokes {
        if let Some((at, _)) = stroke.places().find(|(at, _)| !there.has(stroke.pen, *at)) {
            return Err(format!("{stroke:?} is in no frame at {at:?}"));
        }
    }
    let known = Near::of(whole.strokes.iter().copied());
    let mut drawn: BTreeMap<u8, f64> = BTreeMap::new();
    for (own, strokes) in &laid {
        let own = |p: &Point| p.x >= own.x0 && p.x < own.x1 && p.y >= own.y0 && p.y < own.y1;
        for stroke in strokes {
            for (at, length) in stroke.places().filter(|(at, _)| own(at)) {
                *drawn.entry(stroke.pen).or_default() += length;
                // The letters' pen draws the crosses and the frame's name as well.
                if stroke.pen != 3 && !known.has(stroke.pen, at) {
                    return Err(format!("{stroke:?} is not in the whole"));
                }
            }
        }
    }
    for pen in [1, 2] {
        let of = whole.strokes.iter().filter(|stroke| stroke.pen == pen);
        let all: f64 = of.map(Stroke::length).sum();
        let drawn = drawn.get(&pen).copied().unwrap_or(0.0);
        // Counted in steps of half a mm, of which each line may have one too many in its frame.
        if (drawn - all).abs() > 0.001 * all + 4.0 * UNITS {
            return Err(format!("pen {pen}: {drawn} in frames, {all} in the whole"));
        }
    }
    Ok(())
}

/// Every lay of every example, on doubled cloth and on open: written as one long plot, and as frames.
#[test]
fn frames_of_every_example_are_its_long_plot() {
    let folder = tempfile::tempdir().unwrap();
    let orders = folder.path().join("orders");
    fs::create_dir(&orders).unwrap();
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    for file in fs::read_dir(examples).unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "toml") {
            continue;
        }
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        let text = fs::read_to_string(&path).unwrap();
        let layouts = ["layout = \"doubled\"", "layout = \"open\""];
        let as_is = layouts.iter().position(|l| text.contains(l)).unwrap();
        let other = text.replace(layouts[as_is], layouts[1 - as_is]);
        fs::write(orders.join(format!("{name}.toml")), &text).unwrap();
        fs::write(orders.join(format!("{name}-otherwise.toml")), other).unwrap();
    }
    for plot in ["short", "long"] {
        let options = [
            "cut", "orders", "--rounds", "1", "--plot", plot, "--out", plot,
        ];
        let output = run(&options, folder.path());
        assert!(
            output.status.success(),
            "{}{}",
            said(&output),
            told(&output)
        );
    }
    let mut compared = 0;
    for order in fs::read_dir(folder.path().join("long")).unwrap() {
        let order = order.unwrap();
        let short = folder.path().join("short").join(order.file_name());
        for file in fs::read_dir(order.path()).unwrap() {
            let file = file.unwrap().path();
            let Some(stem) = file.to_str().and_then(|name| name.strip_suffix(".plt")) else {
                continue;
            };
            let stem = format!(
                "{}-",
                Path::new(stem).file_name().unwrap().to_str().unwrap()
            );
            let whole = read(&fs::read_to_string(&file).unwrap());
            let mut frames = BTreeMap::new();
            for frame in fs::read_dir(&short).unwrap() {
                let path = frame.unwrap().path();
                let name = path.file_name().unwrap().to_str().unwrap();
                let name = name
                    .strip_prefix(&stem)
                    .and_then(|n| n.strip_suffix(".plt"));
                // `lay-` begins the names of the other lays as well, which have small letters.
                if let Some(name) = name.filter(|name| name.starts_with(char::is_uppercase)) {
                    let text = fs::read_to_string(&path).unwrap();
                    frames.insert(place_of(name), read(&text));
                }
            }
            are_the_whole(&frames, &whole).unwrap_or_else(|fault| panic!("{file:?}: {fault}"));
            compared += 1;
        }
    }
    println!("{compared} lays");
    assert!(compared >= 50, "{compared}");
}

fn pens() -> Pens {
    Pens::of(&House::built_in().unwrap())
}

fn compared(drawing: &Drawing) -> Result<usize, String> {
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    let whole = read(&text(plot::write(drawing, pens()).bytes));
    let frames: BTreeMap<(usize, usize), Read> = plot::frames(drawing, pens())
        .into_iter()
        .map(|frame| (place_of(&frame.name), read(&text(frame.plot.bytes))))
        .collect();
    are_the_whole(&frames, &whole).map(|()| frames.len())
}

/// Lines on the very edges of the cloth, a billionth of a mm in or out of it as sums of lengths come out,
/// are cut like any other.
#[test]
fn a_line_on_the_edge_of_the_cloth_is_in_a_frame() {
    let (width, height) = (1500.0, 2345.678);
    for astray in [0.0, 1e-9, -1e-9, 0.3, -0.3] {
        let mut sheet = Drawing::new("edges", width, height);
        sheet.line(
            Layer::Cloth,
            rectangle(Rect::new(0.0, 0.0, width, height)),
            Pen::PLACE,
        );
        let edges = Rect::new(0.0, 0.0, width, height).inflate(astray, astray);
        sheet.line(Layer::Cut, rectangle(edges), Pen::CUT);
        // A strip that lies against the edge, as a waistband lies on the fold.
        let strip = Rect::new(astray, 400.0, 60.0, 940.0);
        sheet.line(Layer::Cut, rectangle(strip), Pen::CUT);
        let frames = compared(&sheet).unwrap_or_else(|fault| panic!("{astray}: {fault}"));
        assert!(frames >= 6, "{frames}");
    }
}

/// Places that a sheet's lines often have: its edges, the bounds of frames, and anywhere.
fn place(length: f64) -> impl Strategy<Value = f64> {
    let parts = ((length - 20.0) / 799.0).ceil();
    let step = (length - 20.0) / parts;
    let bound = (0..parts as u32, 0..3_u32)
        .prop_map(move |(i, side)| f64::from(i) * step + [0.0, 10.0, 20.0][side as usize]);
    prop_oneof![
        2 => Just(0.0),
        2 => Just(length),
        1 => (-1e-9..1e-9_f64).prop_map(move |astray| length + astray),
        3 => bound,
        4 => 0.0..length,
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// No stretch of any line is lost, wherever it lies.
    #[test]
    fn frames_lose_no_line(
        (width, height, ends) in (900.0..2600.0_f64, 100.0..2600.0_f64).prop_flat_map(|(width, height)| {
            let corner = || (place(width), place(height));
            let line = (corner(), corner(), any::<bool>());
            (Just(width), Just(height), prop::collection::vec(line, 1..12))
        })
    ) {
        let mut sheet = Drawing::new("lines", width, height);
        // So that every frame holds something.
        sheet.line(Layer::Cloth, rectangle(Rect::new(0.0, 0.0, width, height)), Pen::PLACE);
        sheet.line(Layer::Cloth, segment((0.0, 0.0), (width, height)), Pen::SEAM);
        for x in [0.2, 0.5, 0.8] {
            sheet.line(Layer::Cloth, segment((x * width, 0.0), (x * width, height)), Pen::PLACE);
        }
        for ((x0, y0), (x1, y1), straight) in ends.iter().map(|(a, b, s)| (*a, *b, *s)) {
            // Lays are full of lines along the cloth and across it.
            let (x1, y1) = if straight { (x0, y1) } else { (x1, y1) };
            sheet.line(Layer::Cut, segment((x0, y0), (x1, y1)), Pen::CUT);
        }
        prop_assert_eq!(compared(&sheet).err(), None);
    }
}
