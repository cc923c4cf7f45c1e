//! A statistical model that predicts each measure of a body from the others.
//!
//! The logarithms of eighteen measures of grown men are taken to be jointly normal. Any of them is then
//! predicted, with a range, from whichever others are known, and a body that is larger all round is no less
//! likely. Means and covariances are those of 400 men drawn at random from ANSUR II (2012 Anthropometric Survey
//! of U.S. Army Personnel, NATICK/TR-15/007, approved for public release), mapped to what a tailor tapes as
//! `tests/bodies/survey.rs` says, with 2 cm taken off the crotch height for the room of the fork (common
//! practice, no source). `tests/measures.rs` fits them again.
//!
//! Soldiers differ from a tailor's clients, and the survey's tape from his; [`ASIDE`] holds the variance that
//! allows for it.

use super::measures::KINDS;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Number of the measures of the model.
const COUNT: usize = 18;

/// The measures of the model, in the order of the table below.
pub const NAMES: [&str; COUNT] = [
    "height",
    "chest",
    "waist",
    "seat",
    "neck",
    "half_back",
    "shoulder_width",
    "scye_depth",
    "nape_to_waist",
    "sleeve",
    "outside_leg",
    "inside_leg",
    "fork_run",
    "wrist",
    "hand",
    "biceps",
    "thigh",
    "knee",
];

/// Mean of the logarithms of the measures in cm.
#[rustfmt::skip]
pub const MEAN: [f64; COUNT] = [
    5.1685, 4.6586, 4.4947, 4.6185, 3.6790, 2.9765, 3.8290, 3.1677, 3.7863, 4.1412, 4.6923, 4.4141, 4.2312, 2.8652, 3.0550, 3.5711, 4.1265, 3.6781,
];

/// The covariances of these logarithms times 10 000: each row has one measure with those before it and itself.
#[rustfmt::skip]
pub const COVARIANCE: [&[f64]; COUNT] = [
    &[14.08], // height
    &[7.37, 68.99], // chest
    &[8.46, 81.80, 121.67], // waist
    &[8.54, 51.76, 71.15, 53.27], // seat
    &[4.33, 41.75, 52.56, 32.60, 37.74], // neck
    &[8.93, 43.88, 51.22, 34.23, 29.66, 63.89], // half_back
    &[8.40, 21.21, 23.27, 18.67, 14.37, 24.20, 19.21], // shoulder_width
    &[6.48, 17.07, 23.92, 15.51, 10.17, 18.54, 9.94, 40.37], // scye_depth
    &[10.48, 14.05, 17.08, 11.98, 6.78, 13.63, 8.51, 18.58, 32.24], // nape_to_waist
    &[13.69, 8.61, 9.01, 9.21, 5.53, 9.89, 9.95, 5.35, 7.23, 21.90], // sleeve
    &[16.25, 8.76, 10.32, 10.20, 5.74, 10.38, 9.93, 5.03, 6.57, 18.03, 21.79], // outside_leg
    &[17.19, 5.53, 4.59, 7.33, 3.62, 9.33, 9.68, 3.86, 7.85, 20.41, 22.85, 28.90], // inside_leg
    &[11.25, 47.34, 69.05, 45.71, 31.55, 31.94, 18.40, 14.99, 4.80, 10.05, 15.10, 7.08, 66.33], // fork_run
    &[9.65, 27.55, 33.13, 23.74, 19.40, 19.20, 12.55, 11.72, 10.56, 9.88, 10.86, 9.67, 24.45, 26.30], // wrist
    &[8.59, 20.99, 22.83, 17.56, 16.28, 15.65, 10.60, 7.37, 7.67, 9.68, 10.34, 10.28, 17.44, 19.69, 24.75], // hand
    &[6.16, 66.16, 75.13, 54.98, 44.28, 40.53, 22.27, 19.18, 11.97, 6.47, 7.95, 5.33, 43.52, 30.69, 24.72, 99.21], // biceps
    &[7.94, 61.50, 82.93, 63.21, 39.59, 39.80, 21.68, 17.32, 11.27, 9.01, 10.26, 7.07, 53.03, 27.63, 20.89, 72.30, 85.19], // thigh
    &[4.61, 35.50, 47.96, 36.57, 22.87, 23.03, 12.58, 10.04, 6.52, 5.27, 5.96, 4.13, 30.69, 15.99, 12.06, 41.71, 49.23, 28.47], // knee
];

/// Standard deviation of a tailor's tape from the survey's, as a fraction: for his own hand, and for what the
/// mapping approximates. These are judgements without a source: the survey measured neither the natural waist
/// nor the knee, and the biceps flexed.
pub const ASIDE: [f64; COUNT] = [
    0.004, 0.012, 0.03, 0.012, 0.015, 0.03, 0.02, 0.03, 0.02, 0.015, 0.01, 0.02, 0.03, 0.02, 0.02,
    0.03, 0.015, 0.03,
];

/// A measure is doubted beyond this many standard deviations from what the others predict.
pub const DOUBT: f64 = 3.5;

/// The prediction of one measure from the others, in cm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// The most likely.
    pub cm: f64,
    /// Below this it is doubted.
    pub least: f64,
    /// Above this it is doubted.
    pub most: f64,
}

impl Expected {
    /// Returns the standard deviation of what the others leave open, in cm.
    pub fn deviation(&self) -> f64 {
        self.cm * (self.most / self.cm).ln() / DOUBT
    }
}

/// A joint distribution of the measures of bodies.
#[derive(Debug, Clone)]
pub struct Model {
    /// Means of the logarithms of the measures in cm, in the order of [`NAMES`].
    pub mean: [f64; COUNT],
    /// Their covariances, without [`ASIDE`].
    pub covariance: [[f64; COUNT]; COUNT],
}

/// The model of the survey, from the tables above.
static SURVEY: LazyLock<Model> = LazyLock::new(|| {
    let covariance = std::array::from_fn(|i: usize| {
        std::array::from_fn(|j: usize| COVARIANCE[i.max(j)][i.min(j)] / 1e4)
    });
    Model {
        mean: MEAN,
        covariance,
    }
});

impl Model {
    /// Returns the model of the survey.
    pub fn survey() -> &'static Self {
        &SURVEY
    }

    /// Returns the model with its means moved so that, where nothing but a figure is known, it expects given
    /// values. `values` and `figure` are in cm and have no measure in common.
    #[must_use]
    pub fn expecting(
        &self,
        values: &BTreeMap<&'static str, f64>,
        figure: &BTreeMap<&'static str, f64>,
    ) -> Self {
        let mut moved = self.clone();
        let likely = Likely::by(self, figure);
        for (name, mean) in NAMES.iter().zip(&mut moved.mean) {
            if let (Some(cm), Some(said)) = (values.get(name), likely.expected(name)) {
                *mean += (cm / said.cm).ln();
            }
        }
        moved
    }

    /// Returns the covariance of two measures as a tailor's tape shows them.
    fn covariance(&self, i: usize, j: usize) -> f64 {
        let aside = if i == j { ASIDE[i] * ASIDE[i] } else { 0.0 };
        self.covariance[i][j] + aside
    }
}

/// A body as far as it is known, with the distribution of its measures.
#[derive(Debug, Clone)]
pub struct Likely<'a> {
    model: &'a Model,
    /// Which of the model's measures are known.
    known: Vec<usize>,
    /// How far each is off the mean.
    off: Vec<f64>,
    /// Inverse of their covariances.
    precision: Vec<Vec<f64>>,
    /// `precision` times `off`.
    pull: Vec<f64>,
}

impl Likely<'static> {
    /// Takes the measures that are known, in cm, by the survey's model. A measure that is not in the model is
    /// left out.
    pub fn of(body: &BTreeMap<&'static str, f64>) -> Self {
        Self::by(&SURVEY, body)
    }
}

impl<'a> Likely<'a> {
    /// Takes the measures that are known, in cm, by a given model.
    pub fn by(model: &'a Model, body: &BTreeMap<&'static str, f64>) -> Self {
        let cm = |i: &usize| NAMES.get(*i).and_then(|name| body.get(name)).copied();
        let known: Vec<usize> = (0..NAMES.len())
            .filter(|i| cm(i).is_some_and(|cm| cm > 0.0))
            .collect();
        let off: Vec<f64> = known
            .iter()
            .map(|i| cm(i).unwrap_or(1.0).ln() - model.mean[*i])
            .collect();
        let covariances = known
            .iter()
            .map(|i| known.iter().map(|j| model.covariance(*i, *j)).collect())
            .collect();
        let precision = inverse(covariances);
        let pull = precision.iter().map(|row| dot(row, &off)).collect();
        Self {
            model,
            known,
            off,
            precision,
            pull,
        }
    }

    fn place(&self, name: &str) -> Option<usize> {
        self.known.iter().position(|i| NAMES[*i] == name)
    }

    /// Returns how unlikely the whole body is: its squared Mahalanobis distance from the mean.
    pub fn surprise(&self) -> f64 {
        dot(&self.pull, &self.off)
    }

    /// Returns how many standard deviations a known measure is from what the others predict.
    pub fn deviation(&self, name: &str) -> Option<f64> {
        let at = self.place(name)?;
        Some(self.pull[at] / self.precision[at][at].sqrt())
    }

    /// Returns the surprise with other values of some known measures, in cm.
    pub fn surprise_with(&self, changes: &[(&str, f64)]) -> f64 {
        let by: Vec<(usize, f64)> = changes
            .iter()
            .filter_map(|(name, cm)| {
                let at = self.place(name)?;
                Some((at, cm.ln() - self.model.mean[self.known[at]] - self.off[at]))
            })
            .collect();
        let crossed = by
            .iter()
            .flat_map(|(i, a)| by.iter().map(move |(j, b)| a * b * self.precision[*i][*j]));
        let along = by.iter().map(|(i, a)| 2.0 * a * self.pull[*i]);
        self.surprise() + along.chain(crossed).sum::<f64>()
    }

    /// Predicts a measure from the other known ones, whether it is known or not. Returns `None` for a measure
    /// that is not in the model, or where nothing else is known.
    pub fn expected(&self, name: &str) -> Option<Expected> {
        let wanted = NAMES.iter().position(|n| *n == name)?;
        let (off, spread) = match self.place(name) {
            Some(_) if self.known.len() < 2 => return None,
            Some(at) => {
                let precision = self.precision[at][at];
                (self.off[at] - self.pull[at] / precision, 1.0 / precision)
            }
            None if self.known.is_empty() => return None,
            None => {
                let with: Vec<f64> = self
                    .known
                    .iter()
                    .map(|i| self.model.covariance(wanted, *i))
                    .collect();
                let weights: Vec<f64> = self.precision.iter().map(|row| dot(row, &with)).collect();
                let spread = self.model.covariance(wanted, wanted) - dot(&weights, &with);
                (dot(&weights, &self.off), spread)
            }
        };
        let range = DOUBT * spread.max(0.0).sqrt();
        let cm = |by: f64| (self.model.mean[wanted] + by).exp();
        Some(Expected {
            cm: cm(off),
            least: cm(off - range),
            most: cm(off + range),
        })
    }
}

/// Predicts every measure of the model from the others that were taken.
pub fn expected(taken: &BTreeMap<&'static str, f64>) -> BTreeMap<&'static str, Expected> {
    let likely = Likely::of(taken);
    KINDS
        .iter()
        .filter_map(|kind| Some((kind.name, likely.expected(kind.name)?)))
        .collect()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Inverts a positive definite matrix by Gauss-Jordan elimination.
fn inverse(mut rows: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
    let size = rows.len();
    for (i, row) in rows.iter_mut().enumerate() {
        row.extend((0..size).map(|j| if i == j { 1.0 } else { 0.0 }));
    }
    for i in 0..size {
        let by = rows[i][i];
        rows[i].iter_mut().for_each(|x| *x /= by);
        let pivot = rows[i].clone();
        for (j, row) in rows.iter_mut().enumerate() {
            let part = row[i];
            if j != i && part != 0.0 {
                row.iter_mut().zip(&pivot).for_each(|(x, p)| *x -= part * p);
            }
        }
    }
    rows.into_iter()
        .map(|mut row| row.split_off(size))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn body(measures: &[(&'static str, f64)]) -> BTreeMap<&'static str, f64> {
        measures.iter().copied().collect()
    }

    const HUNDRED: [(&str, f64); 5] = [
        ("height", 176.0),
        ("chest", 100.0),
        ("waist", 88.0),
        ("seat", 103.0),
        ("neck", 40.0),
    ];

    #[test]
    fn a_measure_is_not_predicted_from_nothing() {
        assert!(
            Likely::of(&body(&[("chest", 100.0)]))
                .expected("chest")
                .is_none()
        );
        assert!(Likely::of(&body(&[])).expected("waist").is_none());
        let other = Likely::of(&body(&[("chest", 100.0)])).expected("waist");
        assert!(other.is_some_and(|expected| (70.0..100.0).contains(&expected.cm)));
    }

    #[test]
    fn the_inverse_undoes() {
        let all: BTreeMap<&str, f64> = NAMES.iter().map(|name| (*name, 50.0)).collect();
        let likely = Likely::of(&all);
        for i in 0..NAMES.len() {
            for j in 0..NAMES.len() {
                let column: Vec<f64> = (0..NAMES.len()).map(|k| SURVEY.covariance(k, j)).collect();
                let one = if i == j { 1.0 } else { 0.0 };
                assert!((dot(&likely.precision[i], &column) - one).abs() < 1e-8);
            }
        }
    }

    #[test]
    fn what_is_known_says_the_same_of_a_measure_taken_or_not() {
        let mut known = body(&HUNDRED);
        let before = Likely::of(&known).expected("thigh").unwrap();
        known.insert("thigh", 75.0);
        let after = Likely::of(&known);
        let same = after.expected("thigh").unwrap();
        assert!((before.cm - same.cm).abs() < 1e-6 && (before.most - same.most).abs() < 1e-6);
        assert!(after.deviation("thigh").unwrap() > 1.0);
        // And a change is worth as much as a body that has it from the first.
        known.insert("thigh", 62.0);
        let changed = after.surprise_with(&[("thigh", 62.0)]);
        assert!((changed - Likely::of(&known).surprise()).abs() < 1e-8);
    }

    #[test]
    fn the_more_is_known_the_narrower_the_range() {
        let range = |known: &[(&'static str, f64)]| {
            let expected = Likely::of(&body(known)).expected("waist").unwrap();
            expected.most - expected.least
        };
        assert!(range(&HUNDRED) < range(&HUNDRED[..2]));
        assert!(range(&HUNDRED[..2]) < range(&HUNDRED[..1]));
        assert_eq!(Likely::of(&BTreeMap::new()).expected("waist"), None);
        assert_eq!(Likely::of(&body(&HUNDRED)).expected("jacket_length"), None);
    }
}
