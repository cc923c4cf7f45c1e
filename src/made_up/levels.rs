//! Lists how far out a line of a piece lies at every level, so that it is measured once and looked up often.

use super::lines::sampled;
use kurbo::BezPath;

/// Distance between the levels of a list, mm: a seam bends so little over it that what is looked up between
/// two levels is right to 0.02 mm.
const STEP: f64 = 3.0;

/// The x of a line at every level.
#[derive(Debug, Clone, Default)]
pub(super) struct Levels {
    /// The first level, in steps from y = 0.
    from: i64,
    x: Vec<f64>,
}

impl Levels {
    /// Lists where paths first cross each level. Above and below them, and where there is a gap between two, the
    /// nearest end counts.
    pub(super) fn of(paths: &[BezPath]) -> Self {
        let runs: Vec<Vec<(f64, f64)>> = paths
            .iter()
            .map(|path| sampled(path).map(|p| (p.y / STEP, p.x)).collect())
            .collect();
        let all = runs.iter().flatten().map(|(y, _)| *y);
        let (low, high) = all.fold((f64::MAX, f64::MIN), |(a, b), y| (a.min(y), b.max(y)));
        if low > high {
            return Self::default();
        }
        let (from, to) = (low.floor() as i64, high.ceil() as i64);
        let mut x = vec![None; (to - from + 1) as usize];
        for pair in runs.iter().flat_map(|run| run.windows(2)) {
            let ((y0, x0), (y1, x1)) = (pair[0], pair[1]);
            let (first, last) = (y0.min(y1).ceil() as i64, y0.max(y1).floor() as i64);
            for level in first..=last {
                let part = (level as f64 - y0) / (y1 - y0);
                let at = if part.is_finite() {
                    x0 + (x1 - x0) * part
                } else {
                    x0
                };
                x[(level - from) as usize].get_or_insert(at);
            }
        }
        let ends: Vec<(f64, f64)> = (runs.iter())
            .flat_map(|run| run.first().into_iter().chain(run.last()))
            .copied()
            .collect();
        let nearest = |level: f64| {
            let off = |end: &(f64, f64)| (end.0 - level).abs();
            let end = ends.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
            end.map_or(0.0, |end| end.1)
        };
        let filled = x.iter().enumerate();
        let whole =
            filled.map(|(i, known)| known.unwrap_or_else(|| nearest((from + i as i64) as f64)));
        Self {
            from,
            x: whole.collect(),
        }
    }

    /// Returns the x of the line at a level; beyond the list, that at its end.
    pub(super) fn at(&self, y: f64) -> f64 {
        let last = self.x.len().saturating_sub(1);
        let place = (y / STEP - self.from as f64).clamp(0.0, last as f64);
        let (before, part) = (place as usize, place.fract());
        let x = |i: usize| self.x.get(i.min(last)).copied().unwrap_or_default();
        x(before) + (x(before + 1) - x(before)) * part
    }

    /// Returns the level at which the line begins.
    pub(super) fn top(&self) -> f64 {
        self.from as f64 * STEP
    }

    /// Returns whether a level lies on the list.
    pub(super) fn reaches(&self, y: f64) -> bool {
        let place = y / STEP - self.from as f64;
        place >= 0.0 && place <= self.x.len() as f64 - 1.0
    }
}
