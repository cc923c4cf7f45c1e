//! What keeps the order from being made, told where it can be mended.

use crate::diagnostic::Diagnostic;
use crate::talk::questions::address;
use crate::talk::reading::in_words;
use crate::talk::state::Now;
use crate::talk::text::key_at;
use maud::{Markup, html};

/// Writes what is wrong with the order, each with the way to its question.
pub(super) fn faults(now: &Now) -> Markup {
    let faults = now.reading.faults();
    let shown = |fault: &Diagnostic| {
        let at = key_at(&now.reading.source.text, fault.start());
        let at = at.map(|(section, key)| address(&section, &key));
        html! {
            li {
                (in_words(fault)) " "
                @if let Some(at) = at { button.link type="button" data-go=(at) { "go there" } }
            }
        }
    };
    html! {
        @if !faults.is_empty() {
            section.faults role="alert" aria-label="What keeps the order from being made" {
                h2 { "The order cannot be made as it stands" }
                ul { @for fault in faults.iter().take(5) { (shown(fault)) } }
                @if faults.len() > 5 { p { "and " (faults.len() - 5) " more" } }
            }
        }
    }
}
