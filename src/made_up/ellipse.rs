//! The section of the trunk and the hips: an ellipse of half width 1, measured along its arc.

use std::f64::consts::PI;
use std::sync::LazyLock;

/// Depth of the trunk over its width: a man's chest is about seven tenths as deep as it is wide
/// (common practice, no source).
const DEPTH: f64 = 0.72;
/// Number of steps into which half the ellipse is divided: the length is then right to 0.01 %.
const STEPS: usize = 256;

/// Arc lengths of the ellipse of half width 1, from its front to every step of the half.
static ARCS: LazyLock<[f64; STEPS + 1]> = LazyLock::new(|| {
    let step = PI / STEPS as f64;
    let speed = |t: f64| (t.cos().powi(2) + (DEPTH * t.sin()).powi(2)).sqrt();
    let mut arcs = [0.0; STEPS + 1];
    for i in 1..arcs.len() {
        // Each step is measured by the midpoint rule.
        arcs[i] = arcs[i - 1] + step * speed((i as f64 - 0.5) * step);
    }
    arcs
});

/// Returns half the girth of the ellipse of half width 1.
pub(super) fn half_girth() -> f64 {
    ARCS[STEPS]
}

/// Returns the angle, radians, up to which the arc of the ellipse of half width 1 has a length.
pub(super) fn turn_of(length: f64) -> f64 {
    let after = ARCS.partition_point(|arc| *arc < length).clamp(1, STEPS);
    let (before, next) = (ARCS[after - 1], ARCS[after]);
    let part = ((length - before) / (next - before)).clamp(0.0, 1.0);
    (after as f64 - 1.0 + part) * PI / STEPS as f64
}

/// Returns the length of that arc up to an angle, radians.
pub(super) fn arc_of(turn: f64) -> f64 {
    let step = (turn * STEPS as f64 / PI).clamp(0.0, STEPS as f64);
    let before = (step as usize).min(STEPS - 1);
    ARCS[before] + (ARCS[before + 1] - ARCS[before]) * (step - before as f64)
}

/// Returns how far the surface of the ellipse faces the viewer at an angle, radians: 1 at its front, 0 at its
/// sides.
pub(super) fn facing(turn: f64) -> f64 {
    let (across, forward) = (turn.sin(), turn.cos() / DEPTH);
    (forward / across.hypot(forward)).max(0.0)
}
