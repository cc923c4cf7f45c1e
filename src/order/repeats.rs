//! Holding the repeat of a pattern that the order gives against that of its threads.

use super::Nap;
use super::reading::Findings;
use crate::diagnostic::Diagnostic;
use std::ops::Range;

/// By how much a measured repeat may differ from that of the threads, as a fraction: what cloth stretches on the
/// table.
const AGREES: f64 = 0.02;
/// The most repeats of the threads that one repeat of an order may be.
const MOST_REPEATS: f64 = 12.0;

/// What the threads say of the pattern.
pub(super) struct Threads {
    /// Repeat of what is seen, across and along, mm; 0 for none.
    pub repeat: [f64; 2],
    /// Whether it reads the same both ways, across and along.
    pub even: [bool; 2],
    /// Where each repeat is said or its threads are.
    pub places: [Range<usize>; 2],
}

impl Threads {
    /// Warns where the repeat of the order, in mm, is not that of the threads, and where the pattern reads one way.
    pub(super) fn doubts(&self, order: [f64; 2], nap: Nap, findings: &mut Findings) {
        let unit = findings.unit;
        for (axis, name) in ["repeat_across", "repeat_along"].into_iter().enumerate() {
            let (said, own) = (order[axis], self.repeat[axis]);
            let told = match own {
                _ if said == 0.0 || stretch(said, own).is_some() => continue,
                0.0 => format!("{name} is {}, and the threads show none", unit.show(said)),
                _ => format!(
                    "{name} is {}, and the threads repeat after {}",
                    unit.show(said),
                    unit.show(own)
                ),
            };
            let doubt = Diagnostic::warning(told);
            findings.at(
                self.places[axis].clone(),
                doubt.help("measure the repeat of the cloth again: it is laid by the one and shown by the other"),
            );
        }
        if order[0] > 0.0 && !self.even[0] {
            let doubt = Diagnostic::warning(
                "the stripes do not read the same from left and from right: the pieces of a pair cannot both meet their neighbours",
            );
            findings.at(self.places[0].clone(), doubt);
        }
        if order[1] > 0.0 && !self.even[1] && nap == Nap::TwoWays {
            let doubt =
                Diagnostic::warning("the bars do not read the same from above and from below");
            findings.at(
                self.places[1].clone(),
                doubt.help("write nap = \"one_way\""),
            );
        }
    }
}

/// Returns by how much a repeat of the threads is stretched to be the order's, or a part of it: `None` where the two do
/// not agree.
pub(super) fn stretch(order: f64, threads: f64) -> Option<f64> {
    if order == 0.0 || threads == 0.0 {
        return (order == threads).then_some(1.0);
    }
    let repeats = (order / threads).round().clamp(1.0, MOST_REPEATS);
    let stretch = order / (repeats * threads);
    ((stretch - 1.0).abs() <= AGREES).then_some(stretch)
}
