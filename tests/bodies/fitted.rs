//! The model of bodies that some men give.

use super::survey::Body;
use chalkstripe::order::likely::{Model, NAMES};

/// Fits the model on some men: means and covariances of the logarithms, the crotch height less the room of the fork.
pub(crate) fn fitted(men: &[&Body]) -> Model {
    let logarithm = |body: &Body, name: &str| {
        let fork = if name == "inside_leg" { 2.0 } else { 0.0 };
        (body[name] - fork).ln()
    };
    let count = men.len() as f64;
    let mean = NAMES.map(|name| men.iter().map(|b| logarithm(b, name)).sum::<f64>() / count);
    let off = |b: &Body, i: usize| logarithm(b, NAMES[i]) - mean[i];
    let covariance = std::array::from_fn(|i| {
        std::array::from_fn(|j| men.iter().map(|b| off(b, i) * off(b, j)).sum::<f64>() / count)
    });
    Model { mean, covariance }
}
