//! The strip that is filled: one or more bays one after another, and the places in it where a part
//! may stand.

use super::chance::Chance;
use kurbo::{Point, Vec2};

/// Places on one axis that a pattern allows: every `step` from `phase`; any place with a step of 0.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Rail {
    /// One of the places.
    pub phase: f64,
    /// From each to the next.
    pub step: f64,
}

/// The bays of a strip. All but the last are cloths of a stated length.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Strip {
    /// Across.
    pub width: f64,
    /// Where each bay starts and ends along the strip.
    pub bays: Vec<(f64, f64)>,
}

/// Where what stands in the last bay begins and ends: beyond the bay where a part has no place within it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ends {
    start: f64,
    /// After other bays the last begins where they end; else where the first part does.
    alone: bool,
    low: f64,
    high: f64,
}

impl Ends {
    /// Those of the last bay of a strip on which nothing stands.
    pub(super) fn new(strip: &Strip) -> Self {
        let (start, end) = strip.last();
        Ends {
            start,
            alone: strip.bays.len() == 1,
            low: end,
            high: start,
        }
    }

    /// Takes in a part that stands with its centre here and reaches so far to either side.
    pub(super) fn reach(&mut self, centre: f64, half: f64) {
        if self.alone || centre > self.start {
            self.low = self.low.min(centre - half);
        }
        self.high = self.high.max(centre + half);
    }

    /// The bay cut off at both ends.
    pub(super) fn bay(&self) -> (f64, f64) {
        let low = if self.alone { self.low } else { self.start };
        (low, self.high.max(low))
    }

    /// Its length.
    pub(super) fn length(&self) -> f64 {
        let (low, high) = self.bay();
        high - low
    }
}

/// Where the centre of one shape may stand.
#[derive(Debug, Clone)]
pub(super) struct Room {
    across: (f64, f64),
    /// One range for each bay that holds the shape.
    along: Vec<(f64, f64)>,
    rails: [Rail; 2],
}

/// Rounding of places, mm.
const HAIR: f64 = 1e-6;

impl Strip {
    /// Where the last bay starts and ends.
    pub(super) fn last(&self) -> (f64, f64) {
        self.bays.last().copied().unwrap_or_default()
    }

    /// Moves the last bay's start and end.
    pub(super) fn set_last(&mut self, bay: (f64, f64)) {
        if let Some(last) = self.bays.last_mut() {
            *last = bay;
        }
    }

    /// Where a shape of this size may stand.
    pub(super) fn room(&self, size: Vec2, rails: [Rail; 2]) -> Room {
        let (hx, hy) = (size.x / 2.0, size.y / 2.0);
        let range = |low: f64, high: f64, rail: Rail| {
            // Rounding must not make a place that just fits too narrow.
            let high = if high > low - 1e-3 {
                high.max(low)
            } else {
                high
            };
            if rail.step <= 0.0 {
                return (low, high);
            }
            let first = rail.phase + ((low - rail.phase - HAIR) / rail.step).ceil() * rail.step;
            let last = rail.phase + ((high - rail.phase + HAIR) / rail.step).floor() * rail.step;
            (first, last)
        };
        Room {
            across: range(hx, self.width - hx, rails[0]),
            along: self
                .bays
                .iter()
                .map(|bay| range(bay.0 + hy, bay.1 - hy, rails[1]))
                .filter(|(low, high)| low <= high)
                .collect(),
            rails,
        }
    }
}

impl Room {
    /// Whether there is no place at all.
    pub(super) fn is_empty(&self) -> bool {
        self.along.is_empty() || self.across.0 > self.across.1
    }

    /// The place allowed that is nearest to `p` on each axis.
    pub(super) fn nearest(&self, p: Point) -> Point {
        let mut best = (f64::INFINITY, p.y);
        for &range in &self.along {
            let y = on(p.y, range, self.rails[1]);
            if (y - p.y).abs() < best.0 {
                best = ((y - p.y).abs(), y);
            }
        }
        Point::new(on(p.x, self.across, self.rails[0]), best.1)
    }

    /// Any place, evenly.
    pub(super) fn any(&self, chance: &mut Chance) -> Point {
        let total: f64 = self.along.iter().map(|(low, high)| high - low).sum();
        let mut y = chance.part() * total;
        let mut at = self.along.last().map_or(0.0, |range| range.1);
        for &(low, high) in &self.along {
            if y <= high - low {
                at = low + y;
                break;
            }
            y -= high - low;
        }
        let x = chance.between(self.across.0, self.across.1);
        if self.rails == [Rail::default(); 2] {
            Point::new(x, at)
        } else {
            self.nearest(Point::new(x, at))
        }
    }

    /// Places across: an even spread, and those allowed nearest to others.
    pub(super) fn columns(&self, count: usize, others: impl Iterator<Item = f64>) -> Vec<f64> {
        let (low, high) = self.across;
        let spread = (0..=count).map(|i| low + (high - low) * i as f64 / count as f64);
        let inside = others.filter(|x| (low..=high).contains(x));
        spread
            .chain(inside)
            .map(|x| on(x, self.across, self.rails[0]))
            .collect()
    }

    /// The lowest place along that is clear; `blocked` tells where the stretch ends that a place
    /// lies in, if it lies in one.
    pub(super) fn lowest(&self, blocked: impl Fn(f64) -> Option<f64>) -> Option<f64> {
        for &(low, high) in &self.along {
            let mut y = low;
            while y <= high {
                let Some(end) = blocked(y) else {
                    return Some(y);
                };
                y = end.max(y);
                if self.rails[1].step > 0.0 {
                    let steps = ((end - low - HAIR) / self.rails[1].step).ceil();
                    y = y.max(low + steps * self.rails[1].step);
                }
            }
        }
        None
    }

    /// A step no smaller than from one place allowed to the next.
    pub(super) fn stride(&self, step: Vec2) -> Vec2 {
        let least = |step: f64, rail: Rail| {
            if step == 0.0 {
                0.0
            } else {
                step.signum() * step.abs().max(rail.step)
            }
        };
        Vec2::new(least(step.x, self.rails[0]), least(step.y, self.rails[1]))
    }
}

/// The place allowed nearest to `at` on an axis.
fn on(at: f64, (low, high): (f64, f64), rail: Rail) -> f64 {
    let at = at.clamp(low, high.max(low));
    if rail.step > 0.0 {
        low + ((at - low) / rail.step).round() * rail.step
    } else {
        at
    }
}
