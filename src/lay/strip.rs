//! The strip that is filled: one or more bays one after another, and where a part may stand in it.

use super::random::Random;
use kurbo::{Point, Vec2};

/// Places on one axis that the pattern of the cloth allows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lattice {
    /// One of the places.
    pub offset: f64,
    /// Distance from each to the next, greater than 0.
    pub step: f64,
}

/// The lattices across and along; `None` on an axis on which any place is allowed.
pub(super) type Lattices = [Option<Lattice>; 2];

/// The bays of a strip. All but the last are cloths of a stated length.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Strip {
    /// Extent across.
    pub width: f64,
    /// Where each bay starts and ends along the strip.
    pub bays: Vec<(f64, f64)>,
    /// Whether the strip is a section that goes on before its start and after its end. Such an end is moved by
    /// whole repeats of the pattern.
    pub goes_on: [bool; 2],
    /// Width and height of the pages that the strip is made of, if it is of paper: a part that fits within one
    /// lies on one. The rows of pages begin where each bay does.
    pub page: Option<Vec2>,
}

/// Where the parts in the last bay begin and end. They reach beyond the bay where one has no place within it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Extent {
    start: f64,
    end: f64,
    /// After other bays the last begins where they end; otherwise where the first part does.
    alone: bool,
    goes_on: [bool; 2],
    low: f64,
    high: f64,
}

impl Extent {
    /// The extent in the last bay of an empty strip.
    pub(super) fn new(strip: &Strip) -> Self {
        let (start, end) = strip.last();
        Self {
            start,
            end,
            alone: strip.bays.len() == 1,
            goes_on: strip.goes_on,
            low: end,
            high: start,
        }
    }

    /// Takes in a part by its centre along the strip and half its extent.
    pub(super) fn reach(&mut self, centre: f64, half: f64) {
        if self.alone || centre > self.start {
            self.low = self.low.min(centre - half);
        }
        self.high = self.high.max(centre + half);
    }

    /// The bay, cut off at both ends.
    pub(super) fn bay(&self) -> (f64, f64) {
        let low = if self.alone && !self.goes_on[0] {
            self.low
        } else {
            self.start
        };
        let high = if self.goes_on[1] { self.end } else { self.high };
        (low, high.max(low))
    }

    /// Length of that bay.
    pub(super) fn length(&self) -> f64 {
        let (low, high) = self.bay();
        high - low
    }
}

/// The inner-fit region of one shape: where its centre may stand for it to lie in the strip. It is a range
/// across and one along for each bay, or one for each column and row of pages, thinned out by the lattices.
#[derive(Debug, Clone)]
pub(super) struct InnerFit {
    /// One range, or one for each column of pages.
    across: Vec<(f64, f64)>,
    /// One range for each bay, or row of pages, that holds the shape.
    along: Vec<(f64, f64)>,
    lattices: Lattices,
}

/// Rounding of places, mm.
const HAIR: f64 = 1e-6;

/// Width that a range may lack and still be one place, mm: rounding must not close a place that just fits.
const JUST_FITS: f64 = 1e-3;

impl Strip {
    /// A strip of this width without any bay.
    pub(super) fn alone(width: f64) -> Self {
        Self {
            width,
            bays: Vec::new(),
            goes_on: [false, false],
            page: None,
        }
    }

    /// Where the last bay starts and ends.
    pub(super) fn last(&self) -> (f64, f64) {
        self.bays.last().copied().unwrap_or_default()
    }

    /// Whether the strip is a section of a longer one.
    pub(super) fn is_section(&self) -> bool {
        self.goes_on != [false, false]
    }

    /// Moves the start and end of the last bay.
    pub(super) fn set_last(&mut self, bay: (f64, f64)) {
        if let Some(last) = self.bays.last_mut() {
            *last = bay;
        }
    }

    /// Where the centre of a shape of this size may stand.
    pub(super) fn inner_fit(&self, size: Vec2, lattices: Lattices) -> InnerFit {
        let (hx, hy) = (size.x / 2.0, size.y / 2.0);
        let range = |low: f64, high: f64, lattice: Option<Lattice>| {
            let high = if high > low - JUST_FITS {
                high.max(low)
            } else {
                high
            };
            let Some(Lattice { offset, step }) = lattice else {
                return (low, high);
            };
            let first = offset + ((low - offset - HAIR) / step).ceil() * step;
            let last = offset + ((high - offset + HAIR) / step).floor() * step;
            (first, last)
        };
        let fits = |page: &Vec2| size.x <= page.x && size.y <= page.y;
        let page = self.page.filter(fits);
        let across = divided((0.0, self.width), page.map(|page| page.x));
        let along = |&bay: &(f64, f64)| divided(bay, page.map(|page| page.y));
        let some = |(low, high): &(f64, f64)| low <= high;
        InnerFit {
            across: across
                .map(|(low, high)| range(low + hx, high - hx, lattices[0]))
                .filter(some)
                .collect(),
            along: (self.bays.iter().flat_map(along))
                .map(|(low, high)| range(low + hy, high - hy, lattices[1]))
                .filter(some)
                .collect(),
            lattices,
        }
    }
}

/// Divides a range into steps of a length, of which the last is as long as what is left; one step where no length is
/// given.
fn divided((low, high): (f64, f64), step: Option<f64>) -> impl Iterator<Item = (f64, f64)> {
    let step = step.unwrap_or(high - low);
    let count = ((high - low) / step - HAIR).ceil().max(1.0) as usize;
    (0..count).map(move |index| {
        let from = low + index as f64 * step;
        let is_last = index + 1 == count;
        (from, if is_last { high } else { from + step })
    })
}

impl InnerFit {
    /// Whether there is no place at all.
    pub(super) fn is_empty(&self) -> bool {
        self.along.is_empty() || self.across.is_empty()
    }

    /// Returns the allowed place that is nearest to `p` on each axis.
    pub(super) fn nearest(&self, p: Point) -> Point {
        Point::new(
            allowed(p.x, &self.across, self.lattices[0]),
            allowed(p.y, &self.along, self.lattices[1]),
        )
    }

    /// Returns a place drawn evenly from all of them.
    pub(super) fn any(&self, random: &mut Random) -> Point {
        let y = drawn(&self.along, random);
        let place = Point::new(drawn(&self.across, random), y);
        if self.lattices == [None, None] {
            place
        } else {
            self.nearest(place)
        }
    }

    /// Lists places across: an even spread, and the allowed places nearest to `others`.
    pub(super) fn columns(&self, count: usize, others: impl Iterator<Item = f64>) -> Vec<f64> {
        let low = self.across.first().map_or(0.0, |range| range.0);
        let high = self.across.last().map_or(0.0, |range| range.1);
        let spread = (0..=count).map(|i| low + (high - low) * i as f64 / count as f64);
        let inside = others.filter(|x| (low..=high).contains(x));
        spread
            .chain(inside)
            .map(|x| allowed(x, &self.across, self.lattices[0]))
            .collect()
    }

    /// Returns the lowest place along that is clear. `blocked` gives the end of the stretch in which a place
    /// is blocked, if it is.
    pub(super) fn lowest(&self, blocked: impl Fn(f64) -> Option<f64>) -> Option<f64> {
        for &(low, high) in &self.along {
            let mut y = low;
            while y <= high {
                let Some(end) = blocked(y) else {
                    return Some(y);
                };
                y = end.max(y);
                if let Some(lattice) = self.lattices[1] {
                    let steps = ((end - low - HAIR) / lattice.step).ceil();
                    y = y.max(low + steps * lattice.step);
                }
            }
        }
        None
    }

    /// Lengthens a step to no less than the way from one allowed place to the next.
    pub(super) fn stride(&self, step: Vec2) -> Vec2 {
        let least = |along: f64, lattice: Option<Lattice>| match lattice {
            _ if along == 0.0 => 0.0,
            Some(lattice) => along.signum() * along.abs().max(lattice.step),
            None => along,
        };
        Vec2::new(
            least(step.x, self.lattices[0]),
            least(step.y, self.lattices[1]),
        )
    }
}

/// Returns the allowed place on an axis, in one of some ranges, that is nearest to `at`.
fn allowed(at: f64, ranges: &[(f64, f64)], lattice: Option<Lattice>) -> f64 {
    let mut best = (f64::INFINITY, at);
    for &(low, high) in ranges {
        let clamped = at.clamp(low, high);
        let place = match lattice {
            Some(lattice) => low + ((clamped - low) / lattice.step).round() * lattice.step,
            None => clamped,
        };
        if (place - at).abs() < best.0 {
            best = ((place - at).abs(), place);
        }
    }
    best.1
}

/// Returns a place drawn evenly from ranges on an axis.
fn drawn(ranges: &[(f64, f64)], random: &mut Random) -> f64 {
    let total: f64 = ranges.iter().map(|(low, high)| high - low).sum();
    let mut at = random.unit() * total;
    for &(low, high) in ranges {
        if at <= high - low {
            return low + at;
        }
        at -= high - low;
    }
    ranges.last().map_or(0.0, |range| range.1)
}
