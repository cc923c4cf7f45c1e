//! Widths that are spread along a path, and the smooth change from each to the next.

use super::walk::ACCURACY;

/// Returns the width at arc length `at` of a path of length `long`, with `widths` spread along it as
/// [`offset`](super::offset()) spreads them.
pub fn width_at(widths: &[f64], long: f64, at: f64) -> f64 {
    Spread::new(widths, long).at(at).0
}

/// Widths spread evenly along a length.
///
/// Three or more are interpolated by monotone cubics, after F. N. Fritsch and R. E. Carlson, "Monotone
/// Piecewise Cubic Interpolation", SIAM Journal on Numerical Analysis 17 (1980), with the harmonic mean
/// of the neighbouring slopes. The result is smooth and never leaves the range of the two widths that it
/// runs between.
pub(super) struct Spread<'a> {
    pub(super) widths: &'a [f64],
    /// The length along which the widths are spread, mm.
    pub(super) long: f64,
    /// Rate of change of the width at each of the widths, mm a mm.
    slopes: Vec<f64>,
}

impl<'a> Spread<'a> {
    pub(super) fn new(widths: &'a [f64], long: f64) -> Self {
        let step = long / widths.len().saturating_sub(1).max(1) as f64;
        let runs: Vec<f64> = widths
            .windows(2)
            .map(|pair| (pair[1] - pair[0]) / step)
            .collect();
        let mut slopes = Vec::with_capacity(widths.len());
        slopes.extend(end_slope(&runs, 0, 1));
        slopes.extend(runs.windows(2).map(|pair| {
            let (before, after) = (pair[0], pair[1]);
            if before * after > 0.0 {
                2.0 * before * after / (before + after)
            } else {
                0.0
            }
        }));
        slopes.extend(end_slope(
            &runs,
            runs.len().wrapping_sub(1),
            runs.len().wrapping_sub(2),
        ));
        Self {
            widths,
            long,
            slopes,
        }
    }

    /// Returns the width at arc length `along` and its rate of change there, mm a mm.
    pub(super) fn at(&self, along: f64) -> (f64, f64) {
        let runs = self.widths.len().saturating_sub(1);
        if runs == 0 {
            return (self.widths.first().copied().unwrap_or(0.0), 0.0);
        }
        let step = self.long / runs as f64;
        let index = ((along / step) as usize).min(runs - 1);
        let pair = |list: &[f64]| {
            (
                list.get(index).copied().unwrap_or(0.0),
                list.get(index + 1).copied().unwrap_or(0.0),
            )
        };
        let ((from, to), (m0, m1)) = (pair(self.widths), pair(&self.slopes));
        // This is the cubic Hermite polynomial through two values with two slopes.
        let t = (along / step - index as f64).clamp(0.0, 1.0);
        let (rise, m0, m1) = (to - from, m0 * step, m1 * step);
        let (b, c) = (3.0 * rise - 2.0 * m0 - m1, m0 + m1 - 2.0 * rise);
        let width = from + t * (m0 + t * (b + t * c));
        (width, (m0 + t * (2.0 * b + t * 3.0 * c)) / step)
    }

    /// Whether the width changes at one rate along the whole length.
    pub(super) fn is_even(&self) -> bool {
        self.widths.len() < 3 || self.widths.windows(2).all(|pair| pair[0] == pair[1])
    }

    /// Returns the arc lengths between `from` and `to` at which one cubic gives way to the next, with
    /// `from` and `to` themselves.
    pub(super) fn nodes(&self, from: f64, to: f64) -> Vec<f64> {
        let mut nodes = vec![from];
        if !self.is_even() {
            let runs = self.widths.len() - 1;
            let inner = (1..runs).map(|i| self.long * i as f64 / runs as f64);
            nodes.extend(inner.filter(|node| *node > from + ACCURACY && *node < to - ACCURACY));
        }
        nodes.push(to);
        nodes
    }
}

/// Returns the slope at an end: that of the parabola through the three widths nearest it, limited so
/// that the first run stays monotone. `None` without any run.
fn end_slope(runs: &[f64], own: usize, next: usize) -> Option<f64> {
    let own = *runs.get(own)?;
    let Some(next) = runs.get(next) else {
        return Some(own);
    };
    let slope = 1.5 * own - 0.5 * next;
    Some(if slope * own <= 0.0 {
        0.0
    } else if own * next < 0.0 && slope.abs() > 3.0 * own.abs() {
        3.0 * own
    } else {
        slope
    })
}
