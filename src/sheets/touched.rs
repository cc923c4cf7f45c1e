//! Finds the pages of a sheet that outlines touch, and the joints that they cross.

use super::grid::{Grid, used_pages};
use crate::geometry::straightened;
use kurbo::{BezPath, Rect, Shape};

/// Distance of a flattened outline from its curves, in mm: less than the air round a piece.
const FLAT: f64 = 0.2;

/// Finds the pages of a grid that outlines touch: true where any part of one lies in the page's own area.
pub fn pages_touched(outlines: &[BezPath], grid: &Grid) -> Vec<Vec<bool>> {
    let mut pages: Vec<Vec<bool>> = Vec::new();
    for outline in outlines {
        let bounds = outline.bounding_box();
        let rows = (bounds.y1 / grid.height).floor().max(0.0) as usize + 1;
        if pages.len() < rows {
            pages.resize(rows, vec![false; grid.columns]);
        }
        let mut spans = vec![Vec::new(); rows];
        fill_rows(outline, (grid.width, grid.height), &mut spans);
        for (page_row, across) in pages.iter_mut().zip(spans) {
            for (from, to) in across {
                for page in page_row.iter_mut().take(to).skip(from) {
                    *page = true;
                }
            }
        }
    }
    pages
}

/// Counts the joints of pages that an outline crosses.
pub fn joints_crossed(outline: &BezPath, grid: &Grid) -> usize {
    let touched = pages_touched(std::slice::from_ref(outline), grid);
    let on = |x: usize, y: usize| -> bool {
        let page = touched.get(y).and_then(|row| row.get(x));
        page.copied().unwrap_or(false)
    };
    used_pages(&touched)
        .map(|(x, y)| usize::from(on(x + 1, y)) + usize::from(on(x, y + 1)))
        .sum()
}

/// Returns the box round all outlines.
pub fn bounds(outlines: &[BezPath]) -> Rect {
    outlines
        .iter()
        .map(Shape::bounding_box)
        .reduce(|a, b| a.union(b))
        .unwrap_or_default()
}

/// Finds the cells an outline touches: for each row, the ranges of x that its area has there, joined.
fn fill_rows(outline: &BezPath, cell: (f64, f64), rows: &mut [Vec<(usize, usize)>]) {
    // Scan lines every quarter of a cell find the inside, and the segments themselves find the edge. A cell
    // that both miss is touched by less than the air round a piece.
    let segments = straightened(outline, FLAT);
    let lines = 4;
    for (row, spans) in rows.iter_mut().enumerate() {
        let mut ranges: Vec<(f64, f64)> = Vec::new();
        for line in 0..=lines {
            let y = (row as f64 + f64::from(line) / f64::from(lines)) * cell.1 + 1e-7;
            let mut crossings: Vec<f64> = segments
                .iter()
                .filter(|(a, b)| (a.y <= y) != (b.y <= y))
                .map(|(a, b)| a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y))
                .collect();
            crossings.sort_by(f64::total_cmp);
            ranges.extend(crossings.chunks_exact(2).map(|pair| (pair[0], pair[1])));
        }
        let (top, foot) = (row as f64 * cell.1, (row + 1) as f64 * cell.1);
        for (a, b) in &segments {
            if a.y.max(b.y) >= top && a.y.min(b.y) <= foot {
                let within = |y: f64| {
                    let share = if a.y == b.y {
                        0.0
                    } else {
                        ((y - a.y) / (b.y - a.y)).clamp(0.0, 1.0)
                    };
                    a.x + (b.x - a.x) * share
                };
                let (p, q) = if a.y == b.y {
                    (a.x, b.x)
                } else {
                    (within(top), within(foot))
                };
                ranges.push((p.min(q), p.max(q)));
            }
        }
        let mut touched: Vec<(usize, usize)> = ranges
            .into_iter()
            .map(|(from, to)| {
                (
                    (from / cell.0).floor().max(0.0) as usize,
                    (to / cell.0).floor() as usize + 1,
                )
            })
            .collect();
        touched.sort_unstable();
        for span in touched {
            match spans.last_mut() {
                Some(last) if span.0 <= last.1 => last.1 = last.1.max(span.1),
                _ => spans.push(span),
            }
        }
    }
}
