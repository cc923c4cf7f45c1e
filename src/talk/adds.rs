//! What each way to answer takes more or less of than the one that stands: cloth and buttons, told before it is chosen.

use super::answers::Answer;
use super::questions::Question;
use super::state::{Now, Talk};
use super::ways::words;
use crate::draft::{Draft, Mark, MarkKind};
use crate::job::{self, Drafted};
use crate::lay::{Effort, OrderLength, Search, TURNS};
use crate::order::Order;
use crate::pattern::Pattern;
use crate::workshop::Workshop;
use std::sync::atomic::{AtomicBool, Ordering};

/// What a way adds, in words; nothing is said of one that adds nothing, or cannot be chosen.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub(super) struct Added {
    /// The question, and the revision of the order that it is for.
    pub at: String,
    pub revision: u64,
    /// What the order would say.
    pub said: String,
    /// `about + 0.10 m of cloth, + 2 buttons`.
    pub words: String,
}

/// Finds what each way to answer a question adds; `tell` hears it of each as soon as it is known. It ends early where it
/// was stopped.
pub(super) fn adds(
    talk: &Talk,
    now: &Now,
    question: &Question,
    stop: &AtomicBool,
    tell: &dyn Fn(Added),
) {
    let whole = now.reading.order.as_ref().zip(now.reading.drafted.as_ref());
    let Some((order, drafted)) = whole else {
        return;
    };
    let workshop = &now.reading.workshop;
    // It is searched for when the first way takes other pieces of cloth.
    let mut own: Option<Vec<OrderLength>> = None;
    for way in words(now, question).iter().filter(|way| !way.chosen) {
        if stop.load(Ordering::Relaxed) {
            return;
        }
        let reading = talk
            .tried(&question.at, &Answer::Said(way.said.clone()))
            .ok();
        let tried = reading
            .as_ref()
            .and_then(|reading| reading.drafted.as_ref());
        let Some(tried) = tried else {
            continue;
        };
        let mut words = Vec::new();
        if !same_cloth(&drafted.pattern, &tried.pattern) {
            if own.is_none() {
                own = lengths(workshop, order, drafted, stop);
            }
            let its = lengths(workshop, order, tried, stop);
            if stop.load(Ordering::Relaxed) {
                return;
            }
            let both = own.as_ref().zip(its.as_ref());
            words.extend(both.and_then(|(before, after)| cloth(order, before, after)));
        }
        words.extend(buttons(&drafted.drafts, &tried.drafts));
        if !words.is_empty() {
            tell(Added {
                at: question.at.clone(),
                revision: now.revision,
                said: way.said.clone(),
                words: words.join(", "),
            });
        }
    }
}

/// Tells whether two patterns take the same pieces of cloth.
fn same_cloth(a: &Pattern, b: &Pattern) -> bool {
    let of = |pattern: &Pattern| {
        let pieces = pattern.pieces.iter();
        let cloth = pieces.filter(|piece| piece.material.is_cloth());
        cloth
            .map(|piece| (piece.count, piece.cut.clone()))
            .collect::<Vec<_>>()
    };
    of(a) == of(b)
}

/// Returns the lengths that a draft takes, one of each cloth, by the short search of the page.
fn lengths(
    workshop: &Workshop,
    order: &Order,
    drafted: &Drafted,
    stop: &AtomicBool,
) -> Option<Vec<OrderLength>> {
    let search = Search {
        effort: Effort::Rounds(TURNS[0]),
        threads: Some(1),
        kept: &workshop.kept,
        cancel: Some(stop),
        ..Search::default()
    };
    let of_cloth = |own: &Order| {
        let ready = job::ready(own, &drafted.pattern).ok()?;
        let laid = job::lay_cloth(own, &drafted.pattern, &ready, None, &search);
        Some(laid.ok()?.order_length)
    };
    order.by_cloth().iter().map(of_cloth).collect()
}

/// Says by how many of the merchant's steps the lengths of two drafts differ. Less than half of one is within what a
/// short search misses, and is not told.
fn cloth(order: &Order, own: &[OrderLength], other: &[OrderLength]) -> Option<String> {
    let total = |lengths: &[OrderLength]| lengths.iter().map(|length| length.total).sum::<f64>();
    let step = own.first()?.step;
    let steps = ((total(other) - total(own)) / step).round();
    let mm = steps.abs() * step;
    let sign = if steps > 0.0 { '+' } else { '−' };
    // Of more cloths than one it is not known which takes more.
    let price = order.cloth.price.as_ref().filter(|_| own.len() == 1);
    let price = price.map(|price| format!(" ({})", price.of(order.unit.cloths(mm))));
    let price = price.unwrap_or_default();
    (steps != 0.0).then(|| format!("about {sign} {} of cloth{price}", order.unit.cloth(mm)))
}

/// Says by how many buttons two orders differ.
fn buttons(own: &[Draft], other: &[Draft]) -> Option<String> {
    let more = count(other) - count(own);
    let plural = if more.abs() == 1 { "" } else { "s" };
    let sign = if more > 0 { '+' } else { '−' };
    (more != 0).then(|| format!("{sign} {} button{plural}", more.abs()))
}

/// Counts the buttons that are sewn on: one on each copy of a piece, or on the side that the mark is for.
fn count(drafts: &[Draft]) -> i64 {
    let button = |mark: &&Mark| matches!(mark.kind, MarkKind::Button | MarkKind::InnerButton);
    let pieces = drafts.iter().flat_map(|draft| &draft.pieces);
    let buttons = pieces.flat_map(|piece| {
        let marks = piece.marks.iter().filter(button);
        marks.map(|mark| match mark.side {
            Some(_) => 1,
            None => i64::from(piece.count.total()),
        })
    });
    buttons.sum()
}

#[cfg(test)]
mod tests {
    use super::super::questions::question;
    use super::*;
    use std::path::Path;
    use std::sync::Mutex;

    fn added(folder: &Path, at: &str, stop: bool) -> Vec<(String, String)> {
        let talk = Talk::begin(&folder.join("a.toml"), folder, Box::new(|_| ())).unwrap();
        let now = talk.now();
        let asked = question(&now.reading, at).unwrap();
        let heard = Mutex::new(Vec::new());
        let tell = |added: Added| heard.lock().unwrap().push((added.said, added.words));
        adds(&talk, &now, &asked, &AtomicBool::new(stop), &tell);
        heard.into_inner().unwrap()
    }

    #[test]
    fn what_a_way_takes_more_of_is_told() {
        let folder = tempfile::tempdir().unwrap();
        let text = std::fs::read_to_string("examples/plain-worsted.toml").unwrap();
        std::fs::write(folder.path().join("a.toml"), &text).unwrap();
        let ways = added(folder.path(), "jacket.fastening", false);
        let words = |said: &str| {
            ways.iter()
                .find(|(own, _)| own == said)
                .map(|(_, words)| words)
        };
        assert!(words("three").unwrap().contains("+ 1 button"), "{ways:?}");
        assert!(words("one").unwrap().contains("− 1 button"), "{ways:?}");
        assert!(
            words("six_two").unwrap().ends_with("+ 5 buttons"),
            "{ways:?}"
        );
        // Trousers alone, open: their lay is as long as a leg.
        let (before, rest) = text.split_once("[jacket]").unwrap();
        let (_, trousers) = rest.split_once("[trousers]").unwrap();
        let alone = format!("{before}[trousers]{trousers}").replace("doubled", "open");
        std::fs::write(folder.path().join("a.toml"), alone).unwrap();
        let bottoms = added(folder.path(), "trousers.bottoms", false);
        let turned_up = ("turn_ups".to_owned(), "about + 0.10 m of cloth".to_owned());
        assert_eq!(bottoms, [turned_up]);
        std::fs::write(folder.path().join("a.toml"), &text).unwrap();
        // The shape of a lapel's hole takes nothing.
        assert_eq!(added(folder.path(), "jacket.lapel_hole_shape", false), []);
        assert_eq!(
            added(folder.path(), "jacket.fastening", true),
            [],
            "it was stopped"
        );
    }
}
