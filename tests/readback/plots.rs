//! The plot files draw what the marker shows, whole or in frames.

use std::collections::BTreeMap;
use std::fs;

use kurbo::Affine;

use super::geometry::{Lines, Run, along, moved};
use super::orders::{FRAMES, ORDERS, Order, none};
use super::plot::{Plot, frame_of, joined};
use super::svg::Sheet;

/// How far a line of a plot may be from the marker's, in mm: curves are drawn as chords of 0.05, their ends
/// rounded to a fortieth, and the marker's own to a thousandth.
const NEAR: f64 = 0.08;
/// Pens of a house that says nothing: 1 cuts, 2 marks.
const CUT: u8 = 1;
const MARK: u8 = 2;

/// How many mm of some lines are in none of others, and where the longest such stretch begins.
fn missing(lines: &[Run], among: &[Run], near: f64) -> Option<String> {
    let index = Lines::new(among);
    let step = 1.0;
    let mut lost = 0.0;
    let mut first = None;
    for run in lines {
        for point in along(run, step) {
            if index.distance(point) > near {
                lost += step;
                first = first.or(Some(point));
            }
        }
    }
    first.map(|at| format!("some {lost:.0} mm, first at {:.1}, {:.1}", at.x, at.y))
}

fn strokes(sheet: &Sheet, layers: &[&str], dashed: bool) -> Vec<Run> {
    let all = layers.iter().flat_map(|layer| sheet.all(layer));
    all.filter(|stroke| dashed || !stroke.dashed)
        .flat_map(|stroke| stroke.runs.clone())
        .collect()
}

#[test]
fn a_plot_draws_what_its_marker_shows() {
    let mut found = Vec::new();
    for order in ORDERS.iter() {
        for lay in order.lays() {
            let stem = Order::stem(lay);
            let sheet = Sheet::read(&order.folder.join(&stem).with_extension("svg"));
            let plot = Plot::read(&order.folder.join(&stem).with_extension("plt"));
            let to_sheet = plot.to_sheet(&sheet);
            let drawn = |pen: u8| -> Vec<Run> {
                plot.pen(pen)
                    .iter()
                    .map(|run| moved(run, to_sheet))
                    .collect()
            };
            let mut miss = |what: &str, lost: Option<String>| {
                found.extend(lost.map(|lost| format!("{} {stem}: {what}: {lost}", order.name)));
            };
            let cut = strokes(&sheet, &["cut"], true);
            miss(
                "cut lines that are not plotted",
                missing(&cut, &drawn(CUT), NEAR),
            );
            miss("plotted and no cut line", missing(&drawn(CUT), &cut, NEAR));
            // Dashes are plotted as dashes: of such lines only what is plotted can be asked for.
            let marks = ["seam", "marks", "cloth"];
            miss(
                "marks that are not plotted",
                missing(&strokes(&sheet, &marks[..2], false), &drawn(MARK), NEAR),
            );
            let (all, letters) = (
                strokes(&sheet, &marks, true),
                strokes(&sheet, &["cloth"], true),
            );
            let all: Vec<Run> = all.into_iter().chain(letters).collect();
            let plotted: Vec<Run> = drawn(MARK)
                .into_iter()
                .filter(|run| run.len() > 1)
                .collect();
            miss("plotted and no mark", missing(&plotted, &all, NEAR));
        }
    }
    none(found);
}

/// Frames joined by their crosses are the whole plot: no mm of a cut or a mark is lost between them.
#[test]
fn frames_joined_by_their_crosses_are_the_whole_plot() {
    let mut found = Vec::new();
    let mut joints = 0;
    for name in ["plain-worsted", "corpulent-inches", "three-piece"] {
        let order = ORDERS
            .iter()
            .find(|order| order.name == name)
            .expect("an example");
        let folder = FRAMES.join(name);
        for lay in order.lays() {
            let stem = Order::stem(lay);
            let whole = Plot::read(&order.folder.join(&stem).with_extension("plt"));
            let mut frames = BTreeMap::new();
            for entry in fs::read_dir(&folder).expect("sheets") {
                let path = entry.expect("a sheet").path();
                let file = path
                    .file_name()
                    .and_then(|last| last.to_str())
                    .expect("a name")
                    .to_owned();
                let own = file
                    .rsplit_once('-')
                    .is_some_and(|(before, _)| before == stem);
                if let Some(at) = frame_of(&file).filter(|_| own) {
                    frames.insert(at, Plot::read(&path));
                }
            }
            if frames.is_empty() {
                // Short enough for one plot, under the whole's name.
                let path = folder.join(&stem).with_extension("plt");
                frames.insert((0, 0), Plot::read(&path));
            }
            let (places, worst) = joined(&frames);
            joints += frames.len() - 1;
            if worst > 0.06 {
                found.push(format!(
                    "{name} {stem}: crosses of two frames lie {worst:.2} mm apart"
                ));
            }
            for (pen, what) in [(CUT, "cut lines"), (MARK, "marks")] {
                let shown: Vec<Run> = frames
                    .iter()
                    .filter_map(|(at, frame)| Some((places.get(at)?, frame)))
                    .flat_map(|(place, frame)| {
                        frame
                            .pen(pen)
                            .iter()
                            .map(|run| moved(run, Affine::translate(*place)))
                    })
                    .collect();
                if let Some(lost) = missing(whole.pen(pen), &shown, NEAR) {
                    found.push(format!(
                        "{name} {stem}: {what} that are in no frame: {lost}"
                    ));
                }
                if let Some(more) = missing(&shown, whole.pen(pen), NEAR) {
                    found.push(format!(
                        "{name} {stem}: {what} that only a frame has: {more}"
                    ));
                }
            }
        }
    }
    assert!(joints > 10, "only {joints} joints");
    none(found);
}
