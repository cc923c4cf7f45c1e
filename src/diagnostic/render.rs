//! A finding as it is shown to the user, with line and caret.

use super::{Diagnostic, Place, Severity};
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use std::ops::Range;

impl Diagnostic {
    /// Renders the finding with line and caret, in colour for a terminal.
    pub fn render(&self, colour: bool) -> String {
        let renderer = if colour {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        let level = match self.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let title = level.primary_title(printable(&self.message));
        let mut group = Group::with_title(title);
        if let Some(place) = &self.place {
            group = match &place.span {
                Some(span) => group.element(snippet(place, span.clone())),
                None => group.element(Origin::path(printable(&place.source.name))),
            };
        }
        let notes = self.notes.iter().map(|n| Level::NOTE.message(printable(n)));
        let help = self.help.iter().map(|h| Level::HELP.message(printable(h)));
        let report = [group.elements(notes).elements(help)];
        let shown = renderer.render(&report);
        if self.place.is_some() {
            return shown;
        }
        // The renderer draws a bar from the place down to the notes; without a place it would begin nowhere.
        let plain = Renderer::plain().render(&report);
        let lines = shown.lines().zip(plain.lines());
        let lines: Vec<&str> = lines
            .filter(|(_, plain)| plain.trim() != "|")
            .map(|(line, _)| line)
            .collect();
        lines.join("\n")
    }
}

fn snippet(place: &Place, span: Range<usize>) -> Snippet<'_, annotate_snippets::Annotation<'_>> {
    let label = (!place.label.is_empty()).then(|| printable(&place.label));
    Snippet::source(place.source.text.as_str())
        .line_start(place.source.first_line)
        .path(printable(&place.source.name))
        .annotation(
            AnnotationKind::Primary
                .span(within(&place.source.text, span))
                .label(label),
        )
}

/// Moves a span onto the text's characters, so that drawing the caret cannot fail.
fn within(text: &str, span: Range<usize>) -> Range<usize> {
    let start = floor_boundary(text, span.start);
    let end = floor_boundary(text, span.end.max(span.start));
    start..end.max(start)
}

fn floor_boundary(text: &str, at: usize) -> usize {
    (0..=at.min(text.len()))
        .rev()
        .find(|&i| text.is_char_boundary(i))
        .unwrap_or(0)
}

/// Replaces control characters: what a file holds must not steer the terminal.
fn printable(text: &str) -> String {
    annotate_snippets::normalize_untrusted_str(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Source;

    #[test]
    fn a_rendered_fault_has_file_line_caret_and_advice() {
        let source = Source::new("a.toml", "x = 1\nchset = 2\n");
        let fault = Diagnostic::error("`chset` is not a measure")
            .at(&source, 6..11, "not known")
            .suggest("chset", ["chest"]);
        let shown = fault.render(false);
        assert!(shown.contains("a.toml:2:1"), "{shown}");
        assert!(shown.contains("^^^^^ not known"), "{shown}");
        assert!(shown.contains("did you mean `chest`?"), "{shown}");
    }

    #[test]
    fn a_fault_without_a_place_is_told_without_a_bar() {
        let fault =
            Diagnostic::error("there is no garment `vest`").help("did you mean `waistcoat`?");
        let told = "error: there is no garment `vest`\n = help: did you mean `waistcoat`?";
        assert_eq!(fault.render(false), told);
        assert_eq!(fault.render(true).lines().count(), 2);
    }

    #[test]
    fn a_caret_in_the_middle_of_a_character_is_moved_not_fatal() {
        let source = Source::new("a\u{1b}[31m.toml", "é = 1");
        let shown = Diagnostic::error("odd")
            .at(&source, 1..99, "")
            .render(false);
        assert!(!shown.contains('\u{1b}'), "{shown:?}");
    }
}
