//! Packs pieces onto joined pages of paper, so that few pages are needed.
//!
//! The sheet of joined pages is a grid of cells, with a whole number of cells to a page. A piece is the
//! set of cells it touches. Pieces are placed one by one, the largest first, each where it begins the
//! fewest new pages.

use std::sync::atomic::AtomicUsize;
use std::sync::atomic::Ordering::Relaxed;

use super::grid::Grid;
use crate::geometry::straightened;
use kurbo::{Affine, BezPath, Rect, Shape};

/// Size that is aimed at for a cell, in mm. Larger cells would waste paper between pieces, and the time for
/// packing grows with the square of their number.
const CELL: f64 = 12.0;
/// Distance of a flattened outline from its curves, in mm: a tenth of the air round a piece.
const FLAT: f64 = 0.2;
/// A row of cells, 64 to a word.
type CellRow = Vec<u64>;

/// Packs outlines and returns their places in the order given, or `None` if one is too wide for the columns
/// or if more than `most` pages would be begun. Outlines may be turned by quarters, never mirrored. The
/// area `first` (width and height in mm) is kept free at the sheet's upper left corner. `most` may be
/// lowered while the packing runs.
pub fn pack(
    outlines: &[BezPath],
    grid: &Grid,
    first: (f64, f64),
    most: &AtomicUsize,
) -> Option<Packed> {
    let mut sheet = Cells::new(grid);
    sheet.keep_free(first);
    let mut order: Vec<usize> = (0..outlines.len()).collect();
    let size = |i: &usize| {
        outlines.get(*i).map_or(0.0, |outline| {
            let bounds = outline.bounding_box();
            outline.area().abs() + bounds.width().max(bounds.height()).powi(2)
        })
    };
    order.sort_by(|a, b| size(b).total_cmp(&size(a)));
    let mut places = vec![Affine::IDENTITY; outlines.len()];
    for i in order {
        let outline = outlines.get(i)?;
        let mut ways: Vec<Turned> = Vec::new();
        for quarter in 0..4 {
            let way = Turned::new(outline, quarter, &sheet);
            // A rectangle has only two ways to lie.
            if ways.iter().all(|other| other.rows != way.rows) {
                ways.push(way);
            }
        }
        let (way, at) = sheet.best(&ways)?;
        sheet.put(way, at);
        if sheet.pages() > most.load(Relaxed) {
            return None;
        }
        *places.get_mut(i)? =
            Affine::translate((at.0 as f64 * sheet.cell.0, at.1 as f64 * sheet.cell.1))
                * way.to_corner;
    }
    Some(Packed {
        places,
        pages: sheet.pages(),
    })
}

/// Pieces that were placed on a sheet.
pub struct Packed {
    /// Map each outline to the sheet.
    pub places: Vec<Affine>,
    /// Number of pages that their cells touch.
    pub pages: usize,
}

/// A turned piece as the spans of cells it touches, row by row.
struct Turned {
    to_corner: Affine,
    rows: Vec<Vec<(usize, usize)>>,
    columns: usize,
}

impl Turned {
    fn new(outline: &BezPath, quarter: u32, sheet: &Cells) -> Self {
        let turn = Affine::rotate(f64::from(quarter) * std::f64::consts::FRAC_PI_2);
        let bounds = (turn * outline).bounding_box();
        // Air of a sixth of a cell, so that lines keep clear of the page's edge.
        let air = kurbo::Vec2::new(2.0, 2.0);
        let to_corner = Affine::translate(air - bounds.origin().to_vec2()) * turn;
        let tall = ((bounds.height() + 2.0 * air.y) / sheet.cell.1).ceil() as usize;
        let mut rows = vec![Vec::new(); tall.max(1)];
        fill_rows(&(to_corner * outline), sheet.cell, &mut rows);
        let columns = rows.iter().flatten().map(|span| span.1).max().unwrap_or(0);
        Self {
            to_corner,
            rows,
            columns,
        }
    }
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

/// A free place for a piece. Its score is the new pages, the foot and the left cell, in this order; less is better.
struct Found<'a> {
    score: (usize, usize, usize),
    way: &'a Turned,
    at: (usize, usize),
}

/// The cells of a sheet: which are taken, and which pages are begun.
struct Cells {
    cell: (f64, f64),
    /// Cells of a page.
    page: (usize, usize),
    columns: usize,
    taken: Vec<CellRow>,
    begun: Vec<Vec<bool>>,
    foot: usize,
}

impl Cells {
    fn new(grid: &Grid) -> Self {
        let cells = |mm: f64| (mm / CELL).round().max(1.0);
        let page = (cells(grid.width), cells(grid.height));
        Self {
            cell: (grid.width / page.0, grid.height / page.1),
            page: (page.0 as usize, page.1 as usize),
            columns: grid.columns * page.0 as usize,
            taken: Vec::new(),
            begun: Vec::new(),
            foot: 0,
        }
    }

    fn pages(&self) -> usize {
        self.begun.iter().flatten().filter(|begun| **begun).count()
    }

    fn keep_free(&mut self, (width, height): (f64, f64)) {
        let cells = |mm: f64, cell: f64| (mm / cell).ceil() as usize;
        let span = (0, cells(width, self.cell.0).min(self.columns));
        if span.1 > 0 && height > 0.0 {
            let rows = vec![vec![span]; cells(height, self.cell.1)];
            let way = Turned {
                to_corner: Affine::IDENTITY,
                rows,
                columns: span.1,
            };
            self.put(&way, (0, 0));
        }
    }

    /// Returns the best free place: the one with the fewest new pages, then the highest, then the leftmost.
    fn best<'a>(&self, ways: &'a [Turned]) -> Option<(&'a Turned, (usize, usize))> {
        let next_page = self.foot.next_multiple_of(self.page.1);
        let mut best: Option<Found> = None;
        for way in ways.iter().filter(|way| way.columns <= self.columns) {
            let mut touched = vec![None; self.page.0 * self.page.1];
            for y in (0..=self.foot).chain([next_page]) {
                let foot = y + way.rows.len();
                // No place below can beat one that begins no page.
                if best
                    .as_ref()
                    .is_some_and(|best| best.score.0 == 0 && best.score.1 <= foot)
                {
                    break;
                }
                let mut x = 0;
                while x + way.columns <= self.columns {
                    if let Some(beyond) = self.blocked(way, x, y) {
                        x = beyond;
                        continue;
                    }
                    let phase = (x % self.page.0) + self.page.0 * (y % self.page.1);
                    if let Some(slot) = touched.get_mut(phase) {
                        let pages = slot.get_or_insert_with(|| self.pages_under(way, x, y));
                        let score = (self.new_pages(pages, x, y), foot, x);
                        if best.as_ref().is_none_or(|best| score < best.score) {
                            best = Some(Found {
                                score,
                                way,
                                at: (x, y),
                            });
                        }
                    }
                    x += 1;
                }
            }
        }
        best.map(|found| (found.way, found.at))
    }

    /// Returns, if a piece would lie on a taken cell, the next x at which it is clear of that cell. Every x
    /// between would meet the cell too.
    fn blocked(&self, way: &Turned, x: usize, y: usize) -> Option<usize> {
        let below = self.taken.get(y..).unwrap_or_default();
        way.rows.iter().zip(below).find_map(|(spans, row)| {
            spans
                .iter()
                .find_map(|&(from, to)| last_set(row, x + from, x + to).map(|cell| cell + 1 - from))
        })
    }

    /// Returns the pages a piece touches, counted from the page of its corner. They are the same wherever its
    /// corner lies at the same place of a page.
    fn pages_under(&self, way: &Turned, x: usize, y: usize) -> Vec<(usize, usize)> {
        let (x, y) = (x % self.page.0, y % self.page.1);
        let mut pages = Vec::new();
        for (row, spans) in way.rows.iter().enumerate() {
            for &(from, to) in spans {
                let columns = (x + from) / self.page.0..=(x + to - 1) / self.page.0;
                pages.extend(columns.map(|column| (column, (y + row) / self.page.1)));
            }
            pages.sort_unstable();
            pages.dedup();
        }
        pages
    }

    /// Counts the pages of [`Self::pages_under`] that hold nothing yet when the piece's corner is at a cell.
    fn new_pages(&self, pages: &[(usize, usize)], x: usize, y: usize) -> usize {
        let (left, top) = (x / self.page.0, y / self.page.1);
        let is_new = |&&(column, row): &&(usize, usize)| {
            let band = self.begun.get(top + row);
            !band
                .and_then(|band| band.get(left + column))
                .copied()
                .unwrap_or(false)
        };
        pages.iter().filter(is_new).count()
    }

    fn put(&mut self, way: &Turned, (x, y): (usize, usize)) {
        let foot = y + way.rows.len();
        self.foot = self.foot.max(foot);
        if self.taken.len() < foot {
            self.taken.resize(foot, vec![0; self.columns.div_ceil(64)]);
        }
        let bands = foot.div_ceil(self.page.1);
        if self.begun.len() < bands {
            self.begun
                .resize(bands, vec![false; self.columns / self.page.0]);
        }
        for (row, spans) in way.rows.iter().enumerate() {
            for &(from, to) in spans {
                for cell in x + from..x + to {
                    if let Some(word) = self
                        .taken
                        .get_mut(y + row)
                        .and_then(|row| row.get_mut(cell / 64))
                    {
                        *word |= 1 << (cell % 64);
                    }
                    let page = self.begun.get_mut((y + row) / self.page.1);
                    if let Some(begun) = page.and_then(|band| band.get_mut(cell / self.page.0)) {
                        *begun = true;
                    }
                }
            }
        }
    }
}

/// Returns the last bit of a row that is set from `from` to before `to`.
fn last_set(row: &[u64], from: usize, to: usize) -> Option<usize> {
    let (first, last) = (from / 64, (to - 1) / 64);
    (first..=last).rev().find_map(|i| {
        let low = if i == first { !0 << (from % 64) } else { !0 };
        let high = if i == last {
            !0 >> (63 - (to - 1) % 64)
        } else {
            !0
        };
        let hit = row.get(i)? & low & high;
        (hit != 0).then(|| i * 64 + 63 - hit.leading_zeros() as usize)
    })
}

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

/// Returns the box round all outlines.
pub fn bounds(outlines: &[BezPath]) -> Rect {
    outlines
        .iter()
        .map(Shape::bounding_box)
        .reduce(|a, b| a.union(b))
        .unwrap_or_default()
}
