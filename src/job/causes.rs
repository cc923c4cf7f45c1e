//! Causes of a failed draft that lie outside the block: doubtful measures, a changed house.

use crate::diagnostic::Diagnostic;
use crate::order::measures::KINDS;
use crate::order::words::shown;
use crate::order::{HouseValue, Order, Origin, slips};
use crate::workshop::Workshop;
use std::collections::BTreeMap;

/// The most changed numbers of the house that one message names.
const MOST_CHANGES_TOLD: usize = 6;

/// Adds to the last fault of a draft what may have caused them all: measures that the others make doubtful, and
/// numbers of the house that the order or a folder of blocks changes.
pub(super) fn told(mut faults: Vec<Diagnostic>, order: &Order) -> Vec<Diagnostic> {
    let Some(mut last) = faults.pop() else {
        return faults;
    };
    let doubted = doubted(order);
    if !doubted.is_empty() {
        last = last.help(format!(
            "of the measures that were taken, check these first: {}",
            doubted.join("; ")
        ));
    }
    let changed = changed(order);
    if !changed.is_empty() {
        let more = match changed.len().checked_sub(MOST_CHANGES_TOLD) {
            Some(more) if more > 0 => format!(" and {more} more"),
            _ => String::new(),
        };
        let told: Vec<String> = changed.into_iter().take(MOST_CHANGES_TOLD).collect();
        last = last.help(format!(
            "numbers of the house are changed: {}{more}; does it go with the usual ones?",
            told.join(", ")
        ));
    }
    faults.push(last);
    faults
}

/// Lists the measures that do not go with the others, each with the range in which the others place it.
fn doubted(order: &Order) -> Vec<String> {
    let taken = KINDS.iter().filter_map(|kind| {
        let measure = order.measures.0.get(kind.name)?;
        (measure.origin == Origin::Taken).then_some((kind.name, measure.mm / 10.0))
    });
    let taken: BTreeMap<&str, f64> = taken.collect();
    let told = |doubt: slips::Doubt| {
        let cm = |cm: f64| order.unit.show(10.0 * cm);
        let found = taken.get(doubt.name).copied().unwrap_or_default();
        let (least, most) = (doubt.expected.least, doubt.expected.most);
        let said = match (least..=most).contains(&found) {
            true => format!("about {}", cm(doubt.expected.cm)),
            false => format!("{} to {}", cm(least), cm(most)),
        };
        format!("{}: {}, where the others say {said}", doubt.name, cm(found))
    };
    let doubts = slips::doubts(&taken, order.unit);
    doubts.into_iter().map(told).collect()
}

/// Lists the numbers of the house that differ from the program's own.
fn changed(order: &Order) -> Vec<String> {
    let Ok(usual) = Workshop::embedded().catalogue.house() else {
        return Vec::new();
    };
    let told = |(name, value): (&String, &HouseValue)| match (value, usual.values().get(name)) {
        (HouseValue::Number(now), Some(HouseValue::Number(usual))) if now != usual => {
            Some(format!("{name} = {} (usually {usual})", shown(*now)))
        }
        (now, Some(usual)) if now != usual => Some(name.clone()),
        _ => None,
    };
    order.house.values().iter().filter_map(told).collect()
}
