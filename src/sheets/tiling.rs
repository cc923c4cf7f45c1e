//! How a pattern is spread over pages: which paper, which way up, where each piece lies, which
//! pages hold anything.

use std::sync::atomic::AtomicUsize;
use std::sync::atomic::Ordering::Relaxed;

use kurbo::{Affine, BezPath, Shape};
use rayon::prelude::*;

use super::cover;
use super::fault::{MOST_PAGES, SheetFault};
use super::grid::Grid;
use super::packing;
use super::paper::{Paper, Setup};
use crate::pattern::Piece;

/// Longest page in mm: PDF readers stop at 14400 points, 5.08 m (ISO 32000-1, annex C).
const LONGEST: f64 = 5000.0;
/// From this width and height of print on, the first page has room for pieces beside its own
/// squares and map.
const ROOMY: f64 = 380.0;
/// Most columns of pages that are tried.
const COLUMNS: usize = 9;
/// Width of a table the joined pages are laid out on, in mm.
const TABLE: f64 = 2400.0;
/// Between the first page's own part and a lay below it, in mm.
const BELOW_COVER: f64 = 15.0;
/// The least that the last page of a roll prints, and the step of the places tried to part a roll at,
/// in mm.
const SHORTEST: f64 = 200.0;
const STEP: f64 = 10.0;

/// A pattern spread over pages.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Width and height of a page, in mm; those of the last row may be shorter.
    pub page: (f64, f64),
    /// Height of the pages of the last row, in mm: a roll is cut off where the pattern ends.
    pub last: f64,
    /// The pages' own areas as they join: print less the strip that is glued.
    pub grid: Grid,
    /// From each piece to the sheet of joined pages.
    pub places: Vec<Affine>,
    /// Which pages hold anything, row by row.
    pub used: Vec<Vec<bool>>,
    /// Whether the squares and the map stand on the first page of the pattern itself.
    pub cover_inside: bool,
}

impl Plan {
    /// Spreads pieces over the fewest pages: upright or lying, as many columns as serve.
    pub fn new(pieces: &[&Piece], setup: &Setup) -> Result<Self, SheetFault> {
        let outlines: Vec<BezPath> = pieces.iter().map(|piece| piece.cut.clone()).collect();
        few_enough(&outlines, setup)?;
        match setup.paper {
            Paper::Roll(width) => on_roll(&outlines, width, setup),
            Paper::Sheet(size) => on_sheets(&outlines, size.upright(), setup),
        }
        .ok_or(SheetFault::DoesNotFit)
    }

    /// Spreads a sheet that is laid out already over the fewest pages: upright or lying. On wide
    /// paper it stands below the first page's squares and map.
    pub fn of_sheet(outlines: &[BezPath], width: f64, setup: &Setup) -> Result<Self, SheetFault> {
        few_enough(outlines, setup)?;
        let count = outlines.len();
        let cover =
            |print: (f64, f64)| cover_room(print, count).map_or(0.0, |room| room.1 + BELOW_COVER);
        let laid = |down: f64| vec![Affine::translate((0.0, down)); outlines.len()];
        let columns = |own: f64| (width / own).ceil().max(1.0) as usize;
        match setup.paper {
            Paper::Roll(roll) => {
                let print = roll - 2.0 * setup.margin;
                let own = if width <= print {
                    print
                } else {
                    print - setup.overlap
                };
                let room = (print >= ROOMY).then(|| cover::size(count));
                let places = laid(room.map_or(0.0, |room| room.1 + BELOW_COVER));
                Some(strips(
                    outlines,
                    roll,
                    (own, columns(own)),
                    places,
                    room,
                    setup,
                ))
            }
            Paper::Sheet(size) => {
                let upright = size.upright();
                let plans = [upright, (upright.1, upright.0)].map(|page| {
                    let print = setup.print(page);
                    let own = print.0 - setup.overlap;
                    let grid = Grid {
                        width: own,
                        height: print.1 - setup.overlap,
                        columns: columns(own),
                    };
                    let down = cover(print);
                    Plan::new_on(outlines, page, grid, laid(down), down > 0.0)
                });
                plans.into_iter().min_by_key(Plan::count)
            }
        }
        .ok_or(SheetFault::DoesNotFit)
    }

    /// Width and height of a page of a row, in mm.
    pub fn page_in(&self, row: usize) -> (f64, f64) {
        if row + 1 < self.used.len() {
            self.page
        } else {
            (self.page.0, self.last)
        }
    }

    /// Width and height of a page's own area, in mm, with what the printer leaves white at its edges.
    pub fn own(&self, row: usize, margin: f64) -> (f64, f64) {
        let print = self.page_in(row).1 - 2.0 * margin;
        (self.grid.width, self.grid.height.min(print))
    }

    /// How many pages hold anything.
    pub fn count(&self) -> usize {
        self.used_pages().count()
    }

    /// Column and row of every page that holds anything, row by row.
    pub fn used_pages(&self) -> impl Iterator<Item = (usize, usize)> {
        let rows = self.used.iter().enumerate();
        rows.flat_map(|(row, pages)| {
            let used = pages.iter().enumerate().filter(|(_, used)| **used);
            used.map(move |(column, _)| (column, row))
        })
    }

    /// Whether there is such a page and it holds anything.
    pub fn is_used(&self, column: Option<usize>, row: Option<usize>) -> bool {
        let at = column
            .zip(row)
            .and_then(|(column, row)| self.used.get(row)?.get(column));
        at.copied().unwrap_or(false)
    }

    fn new_on(
        outlines: &[BezPath],
        page: (f64, f64),
        grid: Grid,
        places: Vec<Affine>,
        cover_inside: bool,
    ) -> Self {
        let mut used = packing::pages_touched(&placed(outlines, &places), &grid);
        if cover_inside {
            if used.is_empty() {
                used.push(vec![false; grid.columns]);
            }
            if let Some(first) = used.first_mut().and_then(|row| row.first_mut()) {
                *first = true;
            }
        }
        Plan {
            page,
            last: page.1,
            grid,
            places,
            used,
            cover_inside,
        }
    }
}

/// Refuses, before they are packed, outlines whose area alone fills too many pages.
pub fn few_enough<'a>(
    outlines: impl IntoIterator<Item = &'a BezPath>,
    setup: &Setup,
) -> Result<(), SheetFault> {
    let (width, height) = setup.print(match setup.paper {
        Paper::Roll(width) => (width, LONGEST),
        Paper::Sheet(size) => size.upright(),
    });
    let area: f64 = outlines.into_iter().map(|o| o.area().abs()).sum();
    let pages = (area / (width * height)).ceil() as usize;
    if pages > MOST_PAGES {
        return Err(SheetFault::TooManyPages { pages });
    }
    Ok(())
}

fn placed(outlines: &[BezPath], places: &[Affine]) -> Vec<BezPath> {
    outlines
        .iter()
        .zip(places)
        .map(|(outline, place)| *place * outline)
        .collect()
}

/// The room kept free on the first page for squares and map.
fn cover_room(print: (f64, f64), pieces: usize) -> Option<(f64, f64)> {
    (print.0.min(print.1) >= ROOMY).then(|| cover::size(pieces))
}

fn on_sheets(outlines: &[BezPath], upright: (f64, f64), setup: &Setup) -> Option<Plan> {
    let mut grids = Vec::new();
    for page in [upright, (upright.1, upright.0)] {
        let print = setup.print(page);
        let (width, height) = (print.0 - setup.overlap, print.1 - setup.overlap);
        let on_table = (1..=COLUMNS).take_while(|&n| n == 1 || n as f64 * width <= TABLE);
        grids.extend(on_table.map(|columns| {
            (
                page,
                Grid {
                    width,
                    height,
                    columns,
                },
            )
        }));
    }
    // A packing that has begun more pages than a finished one holds is given up: it cannot win, so
    // that the outcome does not depend on which is finished first.
    let fewest = AtomicUsize::new(usize::MAX);
    let plans: Vec<(usize, Plan)> = grids
        .into_par_iter()
        .filter_map(|(page, grid)| {
            let room = cover_room(setup.print(page), outlines.len());
            let packed = packing::pack(outlines, &grid, room.unwrap_or_default(), &fewest)?;
            fewest.fetch_min(packed.pages, Relaxed);
            let plan = Plan::new_on(outlines, page, grid, packed.places, room.is_some());
            Some((packed.pages, plan))
        })
        .collect();
    // The fewest pages; then the squarest sheet.
    let best = plans.into_iter().min_by_key(|(pages, plan)| {
        let tall = plan.used.len() as f64 * plan.grid.height;
        let wide = plan.grid.columns as f64 * plan.grid.width;
        (*pages, tall.max(wide) as u64)
    });
    best.map(|(_, plan)| plan)
}

/// One strip of paper as long as needed; a pattern too wide for the roll runs over several strips.
fn on_roll(outlines: &[BezPath], width: f64, setup: &Setup) -> Option<Plan> {
    let print = width - 2.0 * setup.margin;
    let room = if print >= ROOMY {
        Some(cover::size(outlines.len()))
    } else {
        None
    };
    (1..=COLUMNS).find_map(|columns| {
        // A single strip has nothing to glue beside it.
        let wide = if columns == 1 {
            print
        } else {
            print - setup.overlap
        };
        let endless = Grid {
            width: wide,
            height: 1e5,
            columns,
        };
        let most = AtomicUsize::new(usize::MAX);
        let places = packing::pack(outlines, &endless, room.unwrap_or_default(), &most)?.places;
        Some(strips(
            outlines,
            width,
            (wide, columns),
            places,
            room,
            setup,
        ))
    })
}

/// Strips of a roll, as long as needed; where a page would be too long to read they are parted into
/// several, of which the last ends with the pattern.
fn strips(
    outlines: &[BezPath],
    roll: f64,
    (wide, columns): (f64, usize),
    places: Vec<Affine>,
    room: Option<(f64, f64)>,
    setup: &Setup,
) -> Plan {
    let lying = placed(outlines, &places);
    let foot = packing::bounds(&lying).y1;
    let length = foot.max(room.unwrap_or_default().1) + 2.0;
    let print = parted(length, &lying, room.map_or(0.0, |room| room.1), setup);
    let one = print >= length;
    let grid = Grid {
        width: wide,
        height: if one { print } else { print - setup.overlap },
        columns,
    };
    let white = 2.0 * setup.margin;
    let plan = Plan::new_on(
        outlines,
        (roll, print + white),
        grid,
        places,
        room.is_some(),
    );
    let before = plan.used.len().saturating_sub(1) as f64 * grid.height;
    Plan {
        last: length - before + white,
        ..plan
    }
}

/// How much of a length each page prints, all alike but the last: all of it, or as much as parts the
/// fewest outlines, and of such parts the most even.
fn parted(length: f64, outlines: &[BezPath], kept_whole: f64, setup: &Setup) -> f64 {
    let longest = LONGEST - 2.0 * setup.margin;
    if length <= longest {
        return length;
    }
    let most = longest - setup.overlap;
    let joints = ((length - longest) / most).ceil();
    let even = length / (joints + 1.0);
    // The last page prints no more than the others.
    let least = even.max(kept_whole);
    let most = most.min((length - SHORTEST) / joints).max(least);
    let bounds: Vec<_> = outlines.iter().map(Shape::bounding_box).collect();
    let crossed = |own: f64| {
        let joints = (1..=joints as u32).map(|i| f64::from(i) * own);
        let crossed = |at: f64| {
            bounds
                .iter()
                .filter(|b| b.y0 < at + setup.overlap && b.y1 > at)
                .count()
        };
        joints.map(crossed).sum::<usize>()
    };
    let steps = ((most - least) / STEP).floor() as u32;
    let tried = (0..=steps).map(|i| least + f64::from(i) * STEP);
    let best = tried.min_by(|a, b| {
        let uneven = |own: f64| (own - even).abs();
        (crossed(*a).cmp(&crossed(*b))).then(uneven(*a).total_cmp(&uneven(*b)))
    });
    best.unwrap_or(most) + setup.overlap
}
