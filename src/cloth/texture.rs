//! One repeat of a cloth as a raster, with smaller rasters of its means, so that it can be sampled at any scale.
//!
//! A pixel that is larger than a thread shows the mean of the threads in it; a finer one shows them one by one. This
//! keeps a small picture of a fine pattern from showing bars that the cloth does not have (Williams, "Pyramidal
//! Parametrics", SIGGRAPH 1983).

use super::colour::{Colour, Light};
use super::woven::Woven;

/// A cloth that can be sampled.
#[derive(Debug, Clone, PartialEq)]
pub struct Texture {
    /// The repeat at its own scale, then its means, each of about half the cells across and along.
    levels: Vec<Level>,
    /// Size of one repeat, mm.
    size: [f64; 2],
    /// Where the pattern is measured from, mm from the corner of the raster.
    origin: [f64; 2],
    /// The threads, to be seen from near.
    woven: Option<Woven>,
}

/// A raster of cells. Each cell has a fourth number, which is not used: four are mixed as fast as one, three are not.
#[derive(Debug, Clone, PartialEq)]
struct Level {
    width: usize,
    height: usize,
    cells: Vec<[f32; 4]>,
}

/// Footprint below which threads are drawn round, as a part of a thread's width.
const NEAR: f64 = 0.6;

impl Texture {
    /// Makes a cloth of one colour.
    pub fn plain(colour: Colour) -> Self {
        Self::of_cells([1, 1], vec![colour.light()], [1.0, 1.0], [0.0, 0.0])
    }

    /// Makes the texture of woven cloth, `stretch` times as large across and along as its threads say.
    pub(super) fn woven(woven: &Woven, stretch: [f64; 2]) -> Self {
        let [ends, picks] = woven.threads();
        let row = |pick: usize| (0..ends).map(move |end| woven.crossing(end, pick));
        let cells = (0..picks).flat_map(row).collect();
        let [across, along] = woven.size();
        let size = [across * stretch[0], along * stretch[1]];
        let [x, y] = woven.origin();
        let origin = [x * size[0] / ends as f64, y * size[1] / picks as f64];
        Self {
            woven: Some(woven.clone()),
            ..Self::of_cells([ends, picks], cells, size, origin)
        }
    }

    /// Makes the texture of a raster of cells, row by row, which repeats every `size` mm.
    pub(super) fn of_cells(
        [width, height]: [usize; 2],
        cells: Vec<Light>,
        size: [f64; 2],
        origin: [f64; 2],
    ) -> Self {
        let mut level = Level {
            width,
            height,
            cells: cells.into_iter().map(|[r, g, b]| [r, g, b, 0.0]).collect(),
        };
        let mut levels = Vec::new();
        while level.width > 1 || level.height > 1 {
            let half = level.halved();
            levels.push(std::mem::replace(&mut level, half));
        }
        levels.push(level);
        Self {
            levels,
            size,
            origin,
            woven: None,
        }
    }

    /// Returns the mean light of the cloth.
    pub fn mean(&self) -> Light {
        let last = self.levels.last().and_then(|level| level.cells.first());
        last.copied().map(light).unwrap_or_default()
    }

    /// Returns the light of the ground of the cloth: the mean of the half of its cells that are neither its lightest nor
    /// its darkest, so that a stripe or a bar does not count.
    pub fn ground(&self) -> Light {
        let Some(first) = self.levels.first() else {
            return self.mean();
        };
        let bright = |cell: &[f32; 4]| 0.2126 * cell[0] + 0.7152 * cell[1] + 0.0722 * cell[2];
        let mut cells = first.cells.clone();
        cells.sort_by(|a, b| bright(a).total_cmp(&bright(b)));
        let quarter = cells.len() / 4;
        let middle = &cells[quarter..cells.len() - quarter];
        let part = 1.0 / middle.len() as f32;
        light(mean(middle.iter().map(|cell| (*cell, part))))
    }

    /// Returns the size of one repeat, across and along, mm.
    pub fn size(&self) -> [f64; 2] {
        self.size
    }

    /// Returns the light at a place of the cloth, mm from a bar of its pattern, as a pixel that covers `footprint` mm
    /// sees it.
    pub fn sample(&self, across: f64, along: f64, footprint: f64) -> Light {
        self.sampler(footprint).at(across, along)
    }

    /// Returns what samples the cloth for pixels that cover `footprint` mm each.
    pub fn sampler(&self, footprint: f64) -> Sampler<'_> {
        let first = &self.levels[0];
        // A level has cells of one size only if they were square at first, which threads very nearly are.
        let cell = |axis: usize, count: usize| self.size[axis] / count as f64;
        let cell = match (first.width, first.height) {
            (_, 1) => cell(0, first.width),
            (1, _) => cell(1, first.height),
            _ => cell(0, first.width).min(cell(1, first.height)),
        };
        let smaller = (footprint / cell).max(1e-6).log2();
        let near = (self.woven.as_ref()).filter(|_| footprint < NEAR * cell);
        let last = self.levels.len() - 1;
        let level = smaller.clamp(0.0, last as f64);
        let lower = level as usize;
        let upper = (lower + 1).min(last);
        let threads = |woven: &Woven| woven.threads().map(|count| count as f64);
        Sampler {
            origin: self.origin,
            repeats: self.size.map(|size| 1.0 / size),
            fine: &self.levels[lower],
            coarse: &self.levels[upper],
            share: (level - lower as f64) as f32,
            near: near.map(|woven| (woven, threads(woven))),
        }
    }
}

/// Samples a texture for pixels of one size.
#[derive(Debug, Clone, Copy)]
pub struct Sampler<'a> {
    origin: [f64; 2],
    /// Repeats to a mm, across and along.
    repeats: [f64; 2],
    fine: &'a Level,
    coarse: &'a Level,
    /// The share of the coarser level.
    share: f32,
    /// The threads with their number in a repeat, where they are seen one by one.
    near: Option<(&'a Woven, [f64; 2])>,
}

impl Sampler<'_> {
    /// Returns the light at a place of the cloth, mm from a bar of its pattern.
    #[inline]
    pub fn at(&self, across: f64, along: f64) -> Light {
        let x = (across + self.origin[0]) * self.repeats[0];
        let y = (along + self.origin[1]) * self.repeats[1];
        if let Some((woven, [ends, picks])) = self.near {
            return woven.near(x * ends, y * picks);
        }
        let (x, y) = (within_repeat(x), within_repeat(y));
        let fine = self.fine.between(x, y);
        if self.share == 0.0 {
            return light(fine);
        }
        light(mixed(fine, self.coarse.between(x, y), self.share))
    }
}

/// Returns the part of a number of repeats that is not whole, 0 to 1. A conversion that cuts off is many times as fast
/// as `floor` on the oldest processors that the program is built for, and this is asked for each pixel.
fn within_repeat(at: f64) -> f64 {
    let part = at - at as i64 as f64;
    if part < 0.0 { part + 1.0 } else { part }
}

impl Level {
    /// Returns the mean of the four cells round a place, by nearness. The place is given in parts of a repeat.
    #[inline]
    fn between(&self, x: f64, y: f64) -> [f32; 4] {
        let ((left, right, dx), (top, foot, dy)) = (beside(x, self.width), beside(y, self.height));
        let (upper, lower) = (top * self.width, foot * self.width);
        let cell = |at: usize| self.cells[at];
        let first = mixed(cell(upper + left), cell(upper + right), dx);
        if top == foot {
            return first;
        }
        let second = mixed(cell(lower + left), cell(lower + right), dx);
        mixed(first, second, dy)
    }

    /// Returns the level of half as many cells, each the mean of what it covers.
    fn halved(&self) -> Self {
        let width = self.width.div_ceil(2);
        let height = self.height.div_ceil(2);
        let (columns, rows) = (shares(self.width, width), shares(self.height, height));
        let mut narrow = vec![[0.0_f32; 4]; width * self.height];
        for (y, row) in self.cells.chunks_exact(self.width).enumerate() {
            for (x, parts) in columns.iter().enumerate() {
                narrow[y * width + x] = mean(parts.iter().map(|&(at, part)| (row[at], part)));
            }
        }
        let cells = (0..height).flat_map(|y| {
            let (parts, narrow) = (&rows[y], &narrow);
            let of = move |x: usize| {
                mean(
                    parts
                        .iter()
                        .map(move |&(at, part)| (narrow[at * width + x], part)),
                )
            };
            (0..width).map(of)
        });
        Self {
            width,
            height,
            cells: cells.collect(),
        }
    }
}

/// Returns the cells before and after a place in a row of `count` that has no end, and how far it lies towards the
/// second, 0 to 1. The place is given in parts of the row.
#[inline]
fn beside(at: f64, count: usize) -> (usize, usize, f32) {
    if count == 1 {
        return (0, 0, 0.0);
    }
    let at = at * count as f64 - 0.5;
    if at < 0.0 {
        return (count - 1, 0, (at + 1.0) as f32);
    }
    let first = (at as usize).min(count - 1);
    let second = if first + 1 == count { 0 } else { first + 1 };
    (first, second, (at - first as f64) as f32)
}

/// For each of `to` cells of a row the cells of a row of `from` that it covers, with the share of each.
fn shares(from: usize, to: usize) -> Vec<Vec<(usize, f32)>> {
    let width = from as f64 / to as f64;
    let of = |cell: usize| {
        let (start, end) = (cell as f64 * width, (cell + 1) as f64 * width);
        let cells = start as usize..(end.ceil() as usize).min(from);
        let share = |at: usize| {
            let covered = end.min(at as f64 + 1.0) - start.max(at as f64);
            (at, (covered.max(0.0) / width) as f32)
        };
        cells.map(share).collect()
    };
    (0..to).map(of).collect()
}

fn mean(parts: impl Iterator<Item = ([f32; 4], f32)>) -> [f32; 4] {
    parts.fold([0.0; 4], |sum, (cell, part)| {
        [0, 1, 2, 3].map(|i| sum[i] + part * cell[i])
    })
}

/// Written out, since the compiler calls `map` for each number and then mixes no four at once.
#[inline]
fn mixed(a: [f32; 4], b: [f32; 4], share: f32) -> [f32; 4] {
    [
        a[0] + (b[0] - a[0]) * share,
        a[1] + (b[1] - a[1]) * share,
        a[2] + (b[2] - a[2]) * share,
        a[3] + (b[3] - a[3]) * share,
    ]
}

fn light([red, green, blue, _]: [f32; 4]) -> Light {
    [red, green, blue]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A raster of 7 by 5 cells, no two of which are alike, 14 by 5 mm.
    fn uneven() -> Texture {
        let cells = (0..35).map(|i| [i as f32 / 35.0, 0.5, 1.0 - i as f32 / 35.0]);
        Texture::of_cells([7, 5], cells.collect(), [14.0, 5.0], [0.0, 0.0])
    }

    #[test]
    fn every_level_has_the_mean_of_the_first() {
        let texture = uneven();
        let mean = |level: &Level| {
            let sum: f32 = level.cells.iter().map(|cell| cell[0]).sum();
            sum / level.cells.len() as f32
        };
        assert_eq!(texture.levels.len(), 4);
        for level in &texture.levels {
            assert!((mean(level) - 17.0 / 35.0).abs() < 1e-5, "{level:?}");
        }
        assert!((texture.mean()[0] - 17.0 / 35.0).abs() < 1e-5);
    }

    #[test]
    fn a_sample_is_the_cell_there_and_repeats() {
        let texture = uneven();
        // The middle of the third cell of the second row: cells are 2 mm wide and 1 mm high.
        let at = texture.sample(5.0, 1.5, 1.0);
        assert!((at[0] - 9.0 / 35.0).abs() < 1e-6, "{at:?}");
        for (x, y) in [(5.0 + 14.0, 1.5), (5.0 - 28.0, 1.5 + 5.0)] {
            let again = texture.sample(x, y, 1.0);
            assert!((again[0] - at[0]).abs() < 1e-6);
        }
        assert_eq!(texture.sample(3.0, 4.0, 1e9), texture.mean());
        assert_eq!(texture.sample(3.0, 4.0, 0.0), texture.sample(3.0, 4.0, 1.0));
    }

    #[test]
    fn the_ground_is_what_lies_between_the_stripes() {
        let stripe = |i: usize| if i < 2 { [0.9; 3] } else { [0.1; 3] };
        let stripes = Texture::of_cells([12, 1], (0..12).map(stripe).collect(), [1.0; 2], [0.0; 2]);
        assert_eq!(Colour::of(stripes.ground()), Colour::of([0.1; 3]));
        let halves = (0..8).map(|i| [f32::from(u8::from(i % 2 == 0)); 3]);
        let halves = Texture::of_cells([8, 1], halves.collect(), [1.0; 2], [0.0; 2]);
        assert_eq!(halves.ground(), halves.mean());
    }

    #[test]
    fn a_plain_cloth_is_one_colour_everywhere() {
        let plain = Texture::plain(Colour([10, 20, 30]));
        for (x, footprint) in [(0.0, 0.1), (77.7, 3.0), (-5.0, 100.0)] {
            let seen = plain.sample(x, -x, footprint);
            assert_eq!(Colour::of(seen), Colour([10, 20, 30]));
        }
    }
}
