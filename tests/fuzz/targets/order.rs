//! Any text as an order: it is read or refused, and every finding can be shown.
#![no_main]

use chalkstripe::diagnostic::Source;
use chalkstripe::order;
use libfuzzer_sys::fuzz_target;
use std::path::Path;

fuzz_target!(|text: &str| {
    let source = Source::new("order.toml", text);
    let findings = match order::parse("order", &source, Path::new("/nowhere")) {
        Ok(checked) => checked.warnings,
        Err(faults) => {
            assert!(!faults.is_empty());
            faults
        }
    };
    for finding in findings {
        assert!(!finding.render(false).is_empty());
    }
});
