//! Writes what the ticket and the page say of the ledger that proves a pattern.

use super::section::{Section, Table};
use super::words::{self, spaced};
use crate::pattern::{CheckRow, Ledger};
use crate::units::Unit;

/// Writes the girths of the finished garments beside those of the body.
pub(super) fn girths(ledger: &Ledger, unit: Unit) -> Section {
    let mut section = Section::new(&format!("Finished girths, {}", unit.spoken()));
    for rows in ledger
        .girths
        .chunk_by(|a, b| garment_of(&a.girth).0 == garment_of(&b.girth).0)
    {
        let mut table = Table::new(&[("finished", 0.57), ("body", 0.79), ("over", 1.0)]);
        for row in rows {
            let (garment, name) = garment_of(&row.girth);
            table.heading = garment.map(words::capital);
            let (body, over) = if row.body_mm > 0.0 {
                (
                    unit.number(row.body_mm),
                    unit.number(row.finished_mm - row.body_mm),
                )
            } else {
                (String::new(), String::new())
            };
            table.row(&spaced(name), [&unit.number(row.finished_mm), &body, &over]);
        }
        section.table(table);
    }
    section
}

/// Parts a row of the ledger into the garment it begins with, if it names one, and the rest.
fn garment_of(row: &str) -> (Option<&str>, &str) {
    row.split_once(": ")
        .map_or((None, row), |(garment, name)| (Some(garment), name))
}

/// Counts what was measured to prove the pattern, in one sentence.
pub(super) fn proof(ledger: &Ledger) -> Section {
    let mut section = Section::new("Checks of the pattern");
    let counts = [
        (ledger.seams.len(), "seams"),
        (ledger.joins.len(), "joins"),
        (ledger.girths.len(), "girths"),
        (ledger.notches.len(), "notches"),
    ];
    let counts: Vec<String> = counts
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| format!("{count} {what}"))
        .collect();
    let mut counted = counts.join(", ");
    if !ledger.outlines.is_empty() {
        counted += "; every outline and curve";
    }
    if !counts.is_empty() {
        let outcome = match ledger.failed().len() {
            0 => "All passed".to_owned(),
            failed => format!("{failed} failed, of"),
        };
        section.words(&format!("{outcome}: {counted}. One by one in order.html."));
    }
    section
}

/// Writes the ledger: the seams one by one, and the counts of the rest.
pub(super) fn ledger(ledger: &Ledger, unit: Unit) -> Section {
    let mut section = Section::new(&format!("Sewn seams, {}", unit.spoken()));
    for rows in ledger
        .seams
        .chunk_by(|a, b| garment_of(&a.seam).0 == garment_of(&b.seam).0)
    {
        let mut table = Table::new(&[("one side", 0.66), ("other", 0.82), ("ease", 1.0)]);
        for row in rows {
            let (garment, name) = garment_of(&row.seam);
            table.heading = garment.map(words::capital);
            let long = |mm: f64| unit.fine(mm);
            table.row(name, [&long(row.a_mm), &long(row.b_mm), &long(row.ease_mm)]);
        }
        section.table(table);
    }
    let held = |rows: &[CheckRow]| rows.iter().filter(|row| row.ok).count();
    let joins = ledger.joins.iter().filter(|row| row.ok).count();
    let mut counts = Table::new(&[("", 1.0)]);
    for (name, good, count) in [
        ("joins run fair", joins, ledger.joins.len()),
        ("notches", held(&ledger.notches), ledger.notches.len()),
        ("outlines", held(&ledger.outlines), ledger.outlines.len()),
        ("curves", held(&ledger.curves), ledger.curves.len()),
    ] {
        if count > 0 {
            counts.row(name, [&format!("{good} of {count}")]);
        }
    }
    section.table(counts);
    section
}
