//! Spreads a pattern over pages: chooses upright or lying pages, places each piece, and finds the pages that
//! hold anything.

use kurbo::{Affine, BezPath, Shape};
use rayon::prelude::*;

use super::cover;
use super::fault::{MOST_PAGES, SheetFault};
use super::grid::{self, Grid};
use super::paper::{Paper, Setup};
use super::projector;
use super::touched;
use crate::lay::{self, Pages};
use crate::pattern::Piece;

/// Longest page, in mm: PDF readers stop at 14400 points, which is 5.08 m (ISO 32000-1, annex C).
const LONGEST: f64 = 5000.0;
/// Least width and height of print, in mm, at which pieces share the first page with the squares and the
/// map. These take some 190 by 260 mm; on smaller pages too little would be left beside them.
const ROOMY: f64 = 380.0;
/// Most columns of pages that are tried: nine of A4 print 1.6 m.
const COLUMNS: usize = 9;
/// Width of the table that the joined pages are laid out on, in mm. No sheet is made wider.
const TABLE: f64 = 2400.0;
/// Space between the first page's own part and a lay below it, in mm.
const BELOW_COVER: f64 = 15.0;
/// Least length that the last page of a roll prints, in mm. A shorter page would be lost among the others.
const SHORTEST: f64 = 200.0;
/// Step between the places at which a roll is tried to be parted, in mm.
const STEP: f64 = 10.0;
/// Joints across pieces that are as much work as another page: each must be true. (Judged; common practice, no source.)
const JOINTS: usize = 20;
/// Part of the pages that pieces fill, about, by which a width is chosen for the sheet.
const FILLED: f64 = 0.8;
/// Number of pieces or of pages up to which every width of a sheet is tried.
const FEW: usize = 12;

/// A pattern spread over pages.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Width and height of a page, in mm. Pages of the last row may be shorter.
    pub page: (f64, f64),
    /// Height of the pages of the last row, in mm. A roll is cut off where the pattern ends.
    pub last: f64,
    /// The own areas of the pages as they join: what is printed less the strip that is glued.
    pub grid: Grid,
    /// Map each piece to the sheet of joined pages.
    pub places: Vec<Affine>,
    /// Which pages hold anything, row by row.
    pub used: Vec<Vec<bool>>,
    /// Whether the squares and the map stand on the first page of the pattern itself.
    pub cover_inside: bool,
}

impl Plan {
    /// Spreads pieces over the fewest pages, upright or lying.
    ///
    /// # Errors
    /// When the pieces need too many pages or fit on no number of them.
    pub fn new(pieces: &[&Piece], setup: &Setup) -> Result<Self, SheetFault> {
        let outlines: Vec<BezPath> = pieces.iter().map(|piece| piece.cut.clone()).collect();
        few_enough(&outlines, setup)?;
        match setup.paper {
            Paper::Roll(width) => on_roll(&outlines, setup.roll(width), setup),
            Paper::Pages(size) => on_sheets(&outlines, setup.holds(size.upright()), setup),
            Paper::Projector => projected(&outlines),
        }
        .ok_or(SheetFault::DoesNotFit)
    }

    /// Spreads a sheet that is laid out already over the fewest pages, upright or lying. On wide paper it stands
    /// below the first page's squares and map.
    ///
    /// # Errors
    /// When the sheet needs too many pages.
    pub fn of_sheet(outlines: &[BezPath], width: f64, setup: &Setup) -> Result<Self, SheetFault> {
        few_enough(outlines, setup)?;
        let count = outlines.len();
        let cover =
            |print: (f64, f64)| cover_room(print, count).map_or(0.0, |room| room.1 + BELOW_COVER);
        let laid = |down: f64| vec![Affine::translate((0.0, down)); outlines.len()];
        let columns = |own: f64| (width / own).ceil().max(1.0) as usize;
        match setup.paper {
            Paper::Roll(roll) => {
                let roll = setup.roll(roll);
                let print = roll - 2.0 * setup.margin;
                let own = if width <= print {
                    print
                } else {
                    print - setup.overlap
                };
                let room = (print >= ROOMY).then(|| cover::size(count));
                let places = laid(room.map_or(0.0, |room| room.1 + BELOW_COVER));
                let across = (own, columns(own));
                Some(strips(outlines, roll, across, places, room, setup))
            }
            Paper::Projector => {
                let down = Affine::translate((0.0, projector::heading()));
                one_page(outlines, vec![down; outlines.len()], width)
            }
            Paper::Pages(size) => {
                let upright = setup.holds(size.upright());
                let plans = [upright, (upright.1, upright.0)].map(|page| {
                    let own = setup.own(page);
                    let grid = Grid::new(own, columns(own.0));
                    let down = cover(setup.print(page));
                    Self::new_on(outlines, page, grid, laid(down), down > 0.0)
                });
                plans.into_iter().min_by_key(Self::count)
            }
        }
        .ok_or(SheetFault::DoesNotFit)
    }

    /// Returns the width and height of the pages of a row, in mm.
    pub fn page_in(&self, row: usize) -> (f64, f64) {
        if row + 1 < self.used.len() {
            self.page
        } else {
            (self.page.0, self.last)
        }
    }

    /// Returns the width and height of the own area of a page in a row, in mm. The printer leaves `margin` white.
    pub fn own(&self, row: usize, margin: f64) -> (f64, f64) {
        let print = self.page_in(row).1 - 2.0 * margin;
        (self.grid.width, self.grid.height.min(print))
    }

    /// Counts the pages that hold anything.
    pub fn count(&self) -> usize {
        self.used_pages().count()
    }

    /// Lists the column and row of every page that holds anything, row by row.
    pub fn used_pages(&self) -> impl Iterator<Item = (usize, usize)> {
        grid::used_pages(&self.used)
    }

    /// Whether a page exists and holds anything; `None` is a column or row before the first.
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
        let mut used = touched::pages_touched(&placed(outlines, &places), &grid);
        if cover_inside {
            if used.is_empty() {
                used.push(vec![false; grid.columns]);
            }
            if let Some(first) = used.first_mut().and_then(|row| row.first_mut()) {
                *first = true;
            }
        }
        Self {
            page,
            last: page.1,
            grid,
            places,
            used,
            cover_inside,
        }
    }
}

/// Refuses outlines whose area alone fills too many pages, before they are packed.
///
/// # Errors
/// When more than [`MOST_PAGES`] would be needed.
pub fn few_enough<'a>(
    outlines: impl IntoIterator<Item = &'a BezPath>,
    setup: &Setup,
) -> Result<(), SheetFault> {
    let (width, height) = setup.print(match setup.paper {
        Paper::Roll(width) => (setup.roll(width), LONGEST),
        Paper::Pages(size) => setup.holds(size.upright()),
        Paper::Projector => (projector::WIDTH, LONGEST),
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

/// Returns the room kept free on the first page for the squares and the map; `None` where they have a page of
/// their own.
fn cover_room(print: (f64, f64), pieces: usize) -> Option<(f64, f64)> {
    (print.0.min(print.1) >= ROOMY).then(|| cover::size(pieces))
}

fn on_sheets(outlines: &[BezPath], upright: (f64, f64), setup: &Setup) -> Option<Plan> {
    let mut tried = Vec::new();
    for page in [upright, (upright.1, upright.0)] {
        let own = setup.own(page);
        let wide = widths(outlines, own);
        tried.extend(
            wide.into_iter()
                .map(|columns| (page, Grid::new(own, columns))),
        );
    }
    let plan = |(page, grid): ((f64, f64), Grid)| {
        let room = cover_room(setup.print(page), outlines.len());
        // A piece may be wider than the sheet.
        let (grid, places) = (grid.columns..=COLUMNS.max(grid.columns)).find_map(|columns| {
            let grid = Grid { columns, ..grid };
            let pages = Pages {
                width: grid.width,
                height: Some(grid.height),
                columns,
                kept_free: room,
            };
            Some((grid, lay::on_pages(outlines, &pages)?))
        })?;
        Some(Plan::new_on(outlines, page, grid, places, room.is_some()))
    };
    let plans: Vec<Plan> = tried.into_par_iter().filter_map(plan).collect();
    // The least work wins, then the squarest sheet.
    let size = |made: &Plan| made.grid.size(made.used.len()).max_side() as u64;
    let work = |made: &Plan| {
        let lying = placed(outlines, &made.places);
        let crossed = lying
            .iter()
            .map(|own| touched::joints_crossed(own, &made.grid));
        made.count() * JOINTS + crossed.sum::<usize>()
    };
    plans
        .into_iter()
        .min_by_key(|made| (work(made), size(made)))
}

/// Returns the numbers of columns that are tried: the one with which the sheet is squarest, and where that takes
/// little time all others too. No sheet is wider than the table.
fn widths(outlines: &[BezPath], own: (f64, f64)) -> Vec<usize> {
    let area: f64 = outlines.iter().map(|o| o.area().abs()).sum();
    let on_table = |&n: &usize| n == 1 || n as f64 * own.0 <= TABLE;
    let all = (1..=COLUMNS).take_while(on_table);
    let pages = area / FILLED / (own.0 * own.1);
    if outlines.len() <= FEW || pages <= FEW as f64 {
        return all.collect();
    }
    let side = (area / FILLED).sqrt();
    let off = |n: &usize| (*n as f64 * own.0 - side).abs();
    all.min_by(|a, b| off(a).total_cmp(&off(b)))
        .into_iter()
        .collect()
}

/// Spreads outlines over one strip of a roll, or over the fewest strips if one piece is too wide for it.
fn on_roll(outlines: &[BezPath], roll: f64, setup: &Setup) -> Option<Plan> {
    let print = roll - 2.0 * setup.margin;
    let room = (print >= ROOMY).then(|| cover::size(outlines.len()));
    (1..=COLUMNS).find_map(|columns| {
        // A single strip has nothing to glue beside it.
        let width = if columns == 1 {
            print
        } else {
            print - setup.overlap
        };
        let pages = Pages {
            width,
            height: None,
            columns,
            kept_free: room,
        };
        let places = lay::on_pages(outlines, &pages)?;
        let across = (width, columns);
        Some(strips(outlines, roll, across, places, room, setup))
    })
}

/// Packs outlines on one page for a projector.
fn projected(outlines: &[BezPath]) -> Option<Plan> {
    let pages = Pages {
        width: projector::WIDTH,
        height: None,
        columns: 1,
        kept_free: Some((projector::WIDTH, projector::heading())),
    };
    let places = lay::on_pages(outlines, &pages)?;
    one_page(outlines, places, projector::WIDTH)
}

/// Makes one page as long as is needed; `None` where no reader takes so long a page.
fn one_page(outlines: &[BezPath], places: Vec<Affine>, width: f64) -> Option<Plan> {
    let length = touched::bounds(&placed(outlines, &places)).y1 + BELOW_COVER;
    let page = (width, length);
    let plan = Plan::new_on(outlines, page, Grid::new(page, 1), places, false);
    (length <= LONGEST).then_some(plan)
}

/// Makes strips of a roll that are as long as needed. Strips that are too long for a PDF page are parted into
/// several pages. The last ends with the pattern.
fn strips(
    outlines: &[BezPath],
    roll: f64,
    (wide, columns): (f64, usize),
    places: Vec<Affine>,
    room: Option<(f64, f64)>,
    setup: &Setup,
) -> Plan {
    let lying = placed(outlines, &places);
    let foot = touched::bounds(&lying).y1;
    let length = foot.max(room.unwrap_or_default().1) + 2.0;
    let print = parted(length, &lying, room.map_or(0.0, |room| room.1), setup);
    let one = print >= length;
    let own = if one { print } else { print - setup.overlap };
    let (grid, white) = (Grid::new((wide, own), columns), 2.0 * setup.margin);
    let page = (roll, print + white);
    let plan = Plan::new_on(outlines, page, grid, places, room.is_some());
    let before = plan.used.len().saturating_sub(1) as f64 * grid.height;
    Plan {
        last: length - before + white,
        ..plan
    }
}

/// Returns the length that each page of a strip prints; the last may print less. A strip that is too long is
/// parted where the fewest outlines are cut through, and among such places most evenly. Nothing is parted
/// above `kept_whole`.
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
