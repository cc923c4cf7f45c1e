//! Showing findings on the standard error.

use chalkstripe::order::Diagnostic;
use std::io::{IsTerminal, Write, stderr, stdout};

/// More findings than this from one file are counted, not shown.
const MOST_SHOWN: usize = 50;

/// Shows findings: in colour on a terminal unless `NO_COLOR` is set.
pub fn findings(findings: &[Diagnostic]) {
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

/// Prints to the standard output; false if nobody takes it (a closed pipe).
pub fn print(text: &str) -> bool {
    stdout().write_all(text.as_bytes()).is_ok()
}
