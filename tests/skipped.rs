//! What a test says when it cannot run here. The harness keeps back what a passing test prints, so that this
//! is written past it: nobody shall take a test that did nothing for one that passed.

use std::io::Write;

/// Says that this test was skipped, and why.
pub(crate) fn skipped(why: &str) {
    let thread = std::thread::current();
    let test = thread.name().unwrap_or("a test");
    let _ = writeln!(std::io::stderr(), "SKIPPED {test}: {why}");
}

/// The same for what continuous integration installs: where `CI` is set the test fails.
pub(crate) fn skipped_but_on_ci(why: &str) {
    assert!(std::env::var_os("CI").is_none(), "{why}");
    skipped(why);
}
