//! Proofs 1 and 3: runs that are sewn together fit, and so do the notches along them.
//!
//! A run is a walk: each of its stretches starts where the last one ended once the pieces before it are
//! sewn. Both runs start at the same place, or one starts where the other ends. Between two notches that both
//! runs bear, the lengths of the runs therefore tell how much ease is sewn in there. A seamster can sew it in
//! as long as no interval must stretch while the rest of the seam is eased, or take more ease than the whole
//! seam has, or more than cloth can be shrunk to. Any ease beyond that is the distance by which the notches miss.

use super::joins;
use super::rows::{checked, named};
use crate::draft::{Draft, Joined, Seam, SeamLine, Stretch};
use crate::geometry::length;
use crate::pattern::types::{CheckRow, SeamRow};

/// Greatest distance between a notch and its partner, mm.
const NOTCHES_WITHIN: f64 = 1.0;
/// Most ease that worsted takes, as a fraction of the length it is sewn to. A full crown holds up to a tenth
/// all round, and more over its head than elsewhere.
const MOST_FULNESS: f64 = 0.15;

/// A measured run: its length, and every notch on it by place, in order.
struct Run<'a> {
    long: f64,
    notches: Vec<(&'a str, f64)>,
}

impl Run<'_> {
    /// Returns the same run walked from its end.
    fn turned_round(mut self) -> Self {
        self.notches.reverse();
        self.notches
            .iter_mut()
            .for_each(|(_, at)| *at = self.long - *at);
        self
    }
}

/// Proves a seam: returns its row, and one for every interval between notches of both its runs.
pub(super) fn prove(draft: &Draft, seam: &Seam) -> (SeamRow, Vec<CheckRow>) {
    let a = measured(draft, &seam.a);
    let mut b = measured(draft, &seam.b);
    let ease = a.long - b.long;
    let row = SeamRow {
        seam: named(draft, &seam.name),
        a_mm: a.long,
        b_mm: b.long,
        ease_mm: ease,
        min_mm: seam.least,
        max_mm: seam.most,
        ok: ease >= seam.least && ease <= seam.most,
        source: seam.source.clone(),
    };
    if goes_back(draft, seam, &a, &b) {
        b = b.turned_round();
    }
    (row, intervals(draft, seam, &a, &b))
}

fn measured<'a>(draft: &'a Draft, stretches: &[Stretch]) -> Run<'a> {
    let mut run = Run {
        long: 0.0,
        notches: Vec::new(),
    };
    for stretch in stretches {
        let piece = &draft[stretch.piece];
        let whole = length(&piece[stretch.edge].path);
        let from = stretch.from.unwrap_or(0.0).clamp(0.0, whole);
        let to = stretch.to.unwrap_or(whole).clamp(0.0, whole);
        let mut here: Vec<(&str, f64)> = piece
            .notches
            .iter()
            .filter(|notch| notch.edge == stretch.edge)
            .filter(|notch| notch.at > from.min(to) - 0.01 && notch.at < from.max(to) + 0.01)
            .map(|notch| (notch.name.as_str(), run.long + (notch.at - from).abs()))
            .collect();
        here.sort_by(|x, y| x.1.total_cmp(&y.1));
        run.notches.append(&mut here);
        run.long += (to - from).abs();
    }
    run
}

/// Lists the notches that both runs bear: name, place along `a`, place along `b`. Where a name is repeated, the
/// first of one run meets the first of the other.
fn shared<'a>(a: &Run<'a>, b: &Run<'a>) -> Vec<(&'a str, f64, f64)> {
    let mut left: Vec<(&str, f64)> = b.notches.clone();
    let mut pairs = Vec::new();
    for (name, along_a) in &a.notches {
        if let Some(i) = left.iter().position(|(other, _)| other == name) {
            pairs.push((*name, *along_a, left.remove(i).1));
        }
    }
    pairs
}

/// Returns whether `b` is walked from where `a` ends. Two notches tell it by their order. For one alone, a join
/// at an end of the seam tells it, and without a join the way that fits better is taken.
fn goes_back(draft: &Draft, seam: &Seam, a: &Run, b: &Run) -> bool {
    let pairs = shared(a, b);
    if let (Some(first), Some(last)) = (pairs.first(), pairs.last())
        && pairs.len() > 1
    {
        return last.2 < first.2;
    }
    let Some((_, along_a, along_b)) = pairs.first() else {
        return false;
    };
    if let ([one], [other]) = (seam.a.as_slice(), seam.b.as_slice()) {
        let closes = |join: &Joined, s: &Stretch| {
            join.piece == s.piece && join.seam == SeamLine::Edge(s.edge)
        };
        let turned = |s: &Stretch| matches!((s.from, s.to), (Some(from), Some(to)) if from > to);
        let joins = draft.joins.iter().filter(|join| {
            closes(&join.a, one) && closes(&join.b, other)
                || closes(&join.a, other) && closes(&join.b, one)
        });
        let mut known = joins.filter_map(|join| joins::same_way(draft, join));
        if let Some(same) = known.next() {
            return same == (turned(one) != turned(other));
        }
    }
    let miss = |b_at: f64| {
        (along_a - b_at)
            .abs()
            .max(((a.long - along_a) - (b.long - b_at)).abs())
    };
    miss(b.long - along_b) < miss(*along_b)
}

fn intervals(draft: &Draft, seam: &Seam, a: &Run, b: &Run) -> Vec<CheckRow> {
    let pairs = shared(a, b);
    if pairs.is_empty() {
        return Vec::new();
    }
    let whole = a.long - b.long;
    let mut stops = vec![("the start", 0.0, 0.0)];
    stops.extend(pairs);
    stops.push(("the end", a.long, b.long));
    stops
        .windows(2)
        // A notch at the very end of both runs bounds nothing.
        .filter(|pair| pair[1].1 - pair[0].1 > 0.01 || pair[1].2 - pair[0].2 > 0.01)
        .map(|pair| {
            let ((from, a0, b0), (to, a1, b1)) = (pair[0], pair[1]);
            let ease = (a1 - a0) - (b1 - b0);
            let found = beyond(ease, whole, b1 - b0);
            let what = format!("notches of the {} from {from} to {to}, mm", seam.name);
            checked(draft, &what, (found, NOTCHES_WITHIN), &seam.source)
        })
        .collect()
}

/// Returns the ease of one interval beyond what can be sewn there, mm. The interval is `long` on the run it is
/// sewn to, and the seam holds `whole` in all.
fn beyond(ease: f64, whole: f64, long: f64) -> f64 {
    let fulness = MOST_FULNESS * long.max(0.0);
    let (least, most) = (whole.min(0.0).max(-fulness), whole.max(0.0).min(fulness));
    (least - ease).max(ease - most).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ease_may_gather_between_notches_and_may_not_be_stolen_or_crammed() {
        // A crown of 40 mm ease on 540: all of it over a head of 300 is possible.
        assert_eq!(beyond(40.0, 40.0, 300.0), 0.0);
        assert_eq!(beyond(0.0, 40.0, 120.0), 0.0);
        // Not within 100 mm, which take 15.
        assert!((beyond(40.0, 40.0, 100.0) - 25.0).abs() < 1e-9);
        // Nor may it be made up for by stretching elsewhere.
        assert!((beyond(-3.0, 40.0, 120.0) - 3.0).abs() < 1e-9);
        // Runs of one length: a notch 2 mm out misses by 2 mm.
        assert!((beyond(2.0, 0.0, 80.0) - 2.0).abs() < 1e-9);
        assert!((beyond(-2.0, 0.0, 80.0) - 2.0).abs() < 1e-9);
        // A back inside leg stretched by 5 in all may be stretched by 5 above the knee.
        assert_eq!(beyond(-5.0, -5.0, 350.0), 0.0);
        assert!((beyond(-8.0, -5.0, 350.0) - 3.0).abs() < 1e-9);
    }
}
