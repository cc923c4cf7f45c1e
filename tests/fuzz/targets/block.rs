//! Any text as a block: a pattern is made and proven from it, or it is refused.
#![no_main]

use chalkstripe::diagnostic::Source;
use chalkstripe::job;
use chalkstripe::order::{self, Order};
use chalkstripe::workshop::Workshop;
use libfuzzer_sys::fuzz_target;
use std::fs;
use std::sync::LazyLock;
use tempfile::TempDir;

const ORDER: &str = include_str!("../../../examples/plain-worsted.toml");

/// An order of a garment that a folder of its own drafts.
static SMOCK: LazyLock<(TempDir, Order)> = LazyLock::new(|| {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("smock")).expect("a folder");
    let choices = "[long]\nabout = \"long\"\nkind = \"flag\"\ndefault = true\n";
    fs::write(folder.path().join("smock/choices.toml"), choices).expect("its choices");
    let (head, _) = ORDER.split_once("[jacket]").expect("a jacket");
    let text = format!("blocks = \".\"\n{head}[smock]\n");
    let source = Source::new("order.toml", text);
    let order = order::parse("order", &source, folder.path())
        .expect("an order")
        .order;
    (folder, order)
});

fuzz_target!(|script: &str| {
    let (folder, order) = &*SMOCK;
    fs::write(folder.path().join("smock/smock.rhai"), script).expect("a script");
    let workshop = Workshop::open(&folder.path().join(".")).expect("a folder of blocks");
    if let Err(fault) = job::draft(&workshop, order) {
        let faults = fault.diagnostics(order, &workshop.library);
        assert!(!faults.is_empty());
        for fault in faults {
            assert!(!fault.render(false).is_empty());
        }
    }
});
