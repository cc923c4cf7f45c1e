//! Two large parts that change places: the step by which a search leaves a state in which it is stuck.

use super::arrangement::Arrangement;
use super::moving::inside;
use super::packing::{Packing, Position};
use super::random::Random;
use super::strip::Strip;

/// Part of the whole area that the largest parts make up; the others are not moved.
const LARGE: f64 = 0.75;
/// Pairs that are drawn before it is given up to find two that differ.
const TRIES: usize = 20;

/// Lets two large parts of different shape change places.
pub(super) fn exchange_large(
    packing: &Packing,
    strip: &Strip,
    arrangement: &mut Arrangement,
    random: &mut Random,
) {
    let instance = packing.instance;
    let area = |part: usize| instance.first_shape(part).area;
    let mut parts = packing.by_decreasing_area();
    parts.retain(|&part| packing.fixed(part).is_none());
    let total: f64 = parts.iter().map(|&part| area(part)).sum();
    let mut sum = 0.0;
    let large = parts.iter().take_while(|&&part| {
        sum += area(part);
        sum <= LARGE * total
    });
    let large = large.count().max(2).min(parts.len());
    if large < 2 {
        return;
    }
    for _ in 0..TRIES {
        let a = parts[random.index(large)];
        let b = parts[random.index(large)];
        let [of_a, of_b] = [a, b].map(|part| arrangement.positions[part]);
        let base = |part: usize, position: Position| {
            instance.shapes[packing.shape(part, position.orientation)].base
        };
        if a == b || base(a, of_a) == base(b, of_b) {
            continue;
        }
        let to_b = inside(strip, packing, a, of_a.orientation, of_b.centre);
        let to_a = inside(strip, packing, b, of_b.orientation, of_a.centre);
        arrangement.move_part(packing, a, to_b);
        arrangement.move_part(packing, b, to_a);
        return;
    }
}
