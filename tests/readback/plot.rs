//! Plot files, read command by command: 40 units are a mm.

use std::collections::BTreeMap;
use std::path::Path;

use kurbo::{Affine, Point, Vec2};

use super::geometry::{Run, sides};
use super::svg::Sheet;

/// A frame's row along the roll and its column across it.
pub(super) type At = (usize, usize);

/// What each pen draws, in mm, x along the roll and y across it.
pub(super) struct Plot {
    pub size: Vec2,
    pub pens: BTreeMap<u8, Vec<Run>>,
}

impl Plot {
    pub(super) fn read(path: &Path) -> Self {
        let text =
            std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let mut plot = Self {
            size: Vec2::ZERO,
            pens: BTreeMap::new(),
        };
        let (mut pen, mut at) = (0, Point::ZERO);
        for command in text
            .split(';')
            .map(str::trim)
            .filter(|command| !command.is_empty())
        {
            let (name, rest) = command.split_at(2);
            let numbers: Vec<f64> = rest
                .split(',')
                .filter_map(|n| n.trim().parse().ok())
                .collect();
            let points = || {
                numbers
                    .chunks(2)
                    .map(|p| Point::new(p[0] / 40.0, p[1] / 40.0))
            };
            match name {
                "IN" => {}
                "PS" => plot.size = Vec2::new(numbers[0] / 40.0, numbers[1] / 40.0),
                "SP" => pen = numbers.first().map_or(0, |n| *n as u8),
                "PU" => at = points().next_back().unwrap_or(at),
                "PD" => {
                    assert!(pen > 0, "{}: drawn without a pen", path.display());
                    let drawn = plot.pens.entry(pen).or_default();
                    match drawn.last_mut() {
                        // A long line goes on in a second command.
                        Some(run) if run.last() == Some(&at) => run.extend(points()),
                        _ => drawn.push(std::iter::once(at).chain(points()).collect()),
                    }
                    at = points().next_back().unwrap_or(at);
                }
                other => panic!("{}: a command that is not known: {other}", path.display()),
            }
        }
        plot
    }

    pub(super) fn pen(&self, number: u8) -> &[Run] {
        self.pens.get(&number).map_or(&[], Vec::as_slice)
    }

    /// From the plot to the sheet: a sheet longer than wide lies along the roll, turned and not mirrored (the
    /// plot's y runs up, the sheet's down).
    pub(super) fn to_sheet(&self, sheet: &Sheet) -> Affine {
        let along =
            (self.size.x - sheet.height).abs() < 0.1 && (self.size.y - sheet.width).abs() < 0.1;
        if along {
            Affine::new([0.0, 1.0, 1.0, 0.0, 0.0, 0.0])
        } else {
            let flat =
                (self.size.x - sheet.width).abs() < 0.1 && (self.size.y - sheet.height).abs() < 0.1;
            assert!(
                flat,
                "a plot of {} for a sheet of {} by {}",
                self.size, sheet.width, sheet.height
            );
            Affine::translate((0.0, sheet.height)) * Affine::FLIP_Y
        }
    }

    /// Middles of the crosses by which frames are joined: an upright and a level stroke of one length.
    pub(super) fn crosses(&self) -> Vec<Point> {
        let strokes = || {
            self.pens
                .values()
                .flatten()
                .filter(|run| run.len() == 2)
                .flat_map(|run| sides(run))
        };
        let middles = |upright: bool| -> Vec<(Point, f64)> {
            let fit = strokes().filter(|line| {
                let by = line.p1 - line.p0;
                by.hypot() > 10.0 && (if upright { by.x } else { by.y }).abs() < 1e-9
            });
            fit.map(|line| (line.midpoint(), line.p0.distance(line.p1)))
                .collect()
        };
        let level = middles(false);
        let crossed = |(at, length): &(Point, f64)| {
            level
                .iter()
                .any(|(other, long)| at.distance(*other) < 0.03 && (length - long).abs() < 0.06)
        };
        middles(true)
            .into_iter()
            .filter(crossed)
            .map(|(at, _)| at)
            .collect()
    }
}

/// A frame by its row along the roll and its column across it, from the end of its name: `lay-B1.plt`.
pub(super) fn frame_of(name: &str) -> Option<At> {
    let (row, column) = name
        .strip_suffix(".plt")?
        .rsplit('-')
        .next()?
        .split_at_checked(1)?;
    let row = row.bytes().next().filter(u8::is_ascii_uppercase)? - b'A';
    Some((row.into(), column.parse::<usize>().ok()?.checked_sub(1)?))
}

/// Joins frames by their crosses: where each lies against the first, and the worst disagreement of two crosses.
pub(super) fn joined(frames: &BTreeMap<At, Plot>) -> (BTreeMap<At, Vec2>, f64) {
    let mut places = BTreeMap::from([((0, 0), Vec2::ZERO)]);
    let mut worst: f64 = 0.0;
    for (&(row, column), frame) in frames.iter().filter(|(at, _)| **at != (0, 0)) {
        let before = [
            (row.checked_sub(1), Some(column)),
            (Some(row), column.checked_sub(1)),
        ];
        for (i, other) in before.into_iter().enumerate() {
            let Some(other) = other.0.zip(other.1) else {
                continue;
            };
            let Some(neighbour) = frames.get(&other) else {
                continue;
            };
            let place = places[&other];
            // Along the roll the strip is at the end of the one and the beginning of the other.
            let at = |p: &Point| if i == 0 { (p.x, p.y) } else { (p.y, p.x) };
            let size = if i == 0 {
                neighbour.size.x
            } else {
                neighbour.size.y
            };
            let sorted = |mut crosses: Vec<Point>| {
                crosses.sort_by(|a, b| at(a).1.total_cmp(&at(b).1));
                crosses
            };
            let theirs = sorted(
                neighbour
                    .crosses()
                    .into_iter()
                    .filter(|p| at(p).0 > size - 20.0)
                    .collect(),
            );
            let ours = sorted(
                frame
                    .crosses()
                    .into_iter()
                    .filter(|p| at(p).0 < 20.0)
                    .collect(),
            );
            // Three down a joint; the crosses of another joint may stand in a corner.
            assert!(
                theirs.len() >= 3 && ours.len() >= 3,
                "{row} {column}: no crosses to join by"
            );
            for (there, here) in theirs.iter().zip(&ours) {
                let found = place + (*there - *here);
                let known = *places.entry((row, column)).or_insert(found);
                worst = worst.max((known - found).hypot());
            }
        }
    }
    (places, worst)
}
