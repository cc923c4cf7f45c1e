//! Pages of the drafting sheet, each as a picture of its own.

use chalkstripe::sheets::drafting_sheet::drafting_sheet;
use chalkstripe::sheets::svg;
use chalkstripe::workshop::Workshop;
use chalkstripe::{job, order};
use std::path::Path;

/// The body, the sleeve and the first page of instructions of an order's jacket.
pub(super) fn pages(file: &Path) -> Vec<(&'static str, Vec<u8>)> {
    let order = order::read(file).expect("a good order").order;
    let drafts = job::draft(Workshop::embedded(), &order)
        .expect("a proven draft")
        .drafts;
    let pages = drafting_sheet(&drafts[0], None, &order);
    let words = pages.iter().find(|page| page.title == "Instructions");
    [
        ("drafting-sheet", pages.first()),
        ("drafting-sheet-sleeve", pages.get(1)),
        ("drafting-sheet-instructions", words),
    ]
    .into_iter()
    .map(|(name, page)| (name, svg::write(page.expect("a page"))))
    .collect()
}
