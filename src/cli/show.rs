//! What the user sees while a command runs: findings, results, progress.

use super::unwritten::unwritten;
use chalkstripe::diagnostic::Diagnostic;
use chalkstripe::sheets::words::CAUTION;
use indicatif::{ProgressBar, ProgressStyle};
use std::cell::Cell;
use std::io::{ErrorKind, IsTerminal, Write, stderr, stdout};
use std::path::Path;
use std::time::Duration;

/// The exit code for a fault in what the user gave; the command line's own faults have the same.
pub(super) const FAULT: u8 = 2;
/// The most findings of one file that are shown; any beyond them are counted.
const MOST_SHOWN: usize = 50;

/// Shows findings: in colour on a terminal unless `NO_COLOR` is set.
pub(super) fn findings(findings: &[Diagnostic]) {
    let colour =
        stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty());
    let mut text = String::new();
    for finding in findings.iter().take(MOST_SHOWN) {
        text.push_str(&finding.render(colour));
        text.push_str("\n\n");
    }
    if findings.len() > MOST_SHOWN {
        text.push_str(&format!("and {} more\n\n", findings.len() - MOST_SHOWN));
    }
    // If nobody listens on the standard error there is nobody to tell.
    let _ = stderr().write_all(text.as_bytes());
}

/// Tells whether the output may be in bold: on a terminal, unless `NO_COLOR` is set.
pub(super) fn is_bold() -> bool {
    stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty())
}

/// Prints to the standard output; false if that fails. A closed pipe is no fault to show: its reader has
/// enough.
pub(super) fn print(text: &str) -> bool {
    let mut out = stdout();
    let outcome = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    if let Err(error) = &outcome
        && error.kind() != ErrorKind::BrokenPipe
    {
        let place = Path::new("the standard output");
        findings(&[unwritten("what was asked for", place, error)]);
    }
    outcome.is_ok()
}

/// Prints what came of a command, or shows its faults; true if all went well.
pub(super) fn outcome(outcome: Result<String, Vec<Diagnostic>>) -> bool {
    match outcome {
        Ok(text) => print(&text),
        Err(faults) => {
            findings(&faults);
            false
        }
    }
}

/// Runs a command that writes plots and files for cutters, and prints their caution once on a
/// terminal if it wrote any.
pub(super) fn with_caution(run: impl FnOnce(&Cell<bool>) -> bool) -> bool {
    let wrote = Cell::new(false);
    let well = run(&wrote);
    if wrote.get() && stderr().is_terminal() {
        // If nobody listens on the standard error there is nobody to tell.
        let _ = writeln!(stderr(), "{CAUTION}");
    }
    well
}

/// A line that says what is being done, on a terminal; nothing in a pipe.
pub(super) struct Progress(ProgressBar);

impl Progress {
    /// Begins to show what is done for an order.
    pub(super) fn new(order: &str) -> Self {
        let bar = ProgressBar::new_spinner().with_prefix(order.to_owned());
        if let Ok(style) = ProgressStyle::with_template("{spinner} {prefix}: {msg} ({elapsed})") {
            bar.set_style(style);
        }
        bar.enable_steady_tick(Duration::from_millis(100));
        Self(bar)
    }

    /// Shows something else meanwhile, on lines of its own.
    pub(super) fn aside<T>(&self, show: impl FnOnce() -> T) -> T {
        self.0.suspend(show)
    }

    /// Says what is done now.
    pub(super) fn says(&self, what: &str) {
        self.0.set_message(what.to_owned());
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}
