//! What is wrong with a file, where, and what to do about it.

mod source;

pub use source::Source;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use std::ops::Range;
use std::sync::Arc;

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Nothing is written.
    Error,
    /// Worth a second look; the work goes on.
    Warning,
}

/// Where a finding lies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The file.
    pub source: Arc<Source>,
    /// The bytes of its text, or `None` for the file as a whole.
    pub span: Option<Range<usize>>,
    /// What stands beside the caret.
    pub label: String,
}

/// One finding: what is wrong, where, and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// How grave it is.
    pub severity: Severity,
    /// What is wrong, in one line.
    pub message: String,
    /// Where, if a file is to blame.
    pub place: Option<Box<Place>>,
    /// What to do next, each in a line.
    pub help: Vec<String>,
    /// What else bears on it, each in a line.
    pub notes: Vec<String>,
}

impl Diagnostic {
    /// A fault: nothing will be written.
    pub fn error(message: impl Into<String>) -> Self {
        Self::new(Severity::Error, message.into())
    }

    /// A doubt: the work goes on.
    pub fn warning(message: impl Into<String>) -> Self {
        Self::new(Severity::Warning, message.into())
    }

    fn new(severity: Severity, message: String) -> Self {
        Self {
            severity,
            message,
            place: None,
            help: Vec::new(),
            notes: Vec::new(),
        }
    }

    /// Points at a stretch of a file; `label` may be empty.
    pub fn at(
        mut self,
        source: &Arc<Source>,
        span: Range<usize>,
        label: impl Into<String>,
    ) -> Self {
        let place = Place {
            source: source.clone(),
            span: Some(span),
            label: label.into(),
        };
        self.place = Some(Box::new(place));
        self
    }

    /// Names a file as a whole.
    pub fn in_file(mut self, source: &Arc<Source>) -> Self {
        let place = Place {
            source: source.clone(),
            span: None,
            label: String::new(),
        };
        self.place = Some(Box::new(place));
        self
    }

    /// Adds what to do next.
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help.push(help.into());
        self
    }

    /// Adds what else bears on it.
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.notes.push(note.into());
        self
    }

    /// Adds `did you mean …` if one of the words is near enough to `found`.
    pub fn suggest<'a>(self, found: &str, words: impl IntoIterator<Item = &'a str>) -> Self {
        match nearest(found, words) {
            Some(word) => self.help(format!("did you mean `{word}`?")),
            None => self,
        }
    }

    /// Where the finding begins in its file, for putting findings in order.
    pub fn start(&self) -> usize {
        let span = self.place.as_ref().and_then(|p| p.span.as_ref());
        span.map_or(usize::MAX, |s| s.start)
    }

    /// The finding as it is shown to the user, with line and caret; `colour` for a terminal.
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
        // The bar that leads from a place down to the notes: here it leads from nowhere.
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

/// The span moved onto the text's characters, so that drawing the caret cannot fail.
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

/// The text without control characters: what a file holds must not steer the terminal.
fn printable(text: &str) -> String {
    annotate_snippets::normalize_untrusted_str(text)
}

/// The word nearest to what was found, if any is near enough to be what was meant.
pub fn nearest<'a>(found: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = |word: &str| word.to_lowercase().replace(['-', ' '], "_");
    let found = plain(found);
    let distance = |word: &str| strsim::damerau_levenshtein(&found, &plain(word));
    let near = |word: &str| distance(word) <= word.chars().count().max(3) / 3;
    let within = |word: &str| found.len() >= 4 && plain(word).contains(&found);
    // `peaked` for `peak`, `braces` for `brace_buttons`.
    let begun = |word: &str| {
        let word = plain(word);
        let shared = found.chars().zip(word.chars()).take_while(|(a, b)| a == b);
        let shared = shared.count();
        shared >= 4 && shared + 2 >= found.chars().count()
    };
    let words = words
        .into_iter()
        .filter(|w| near(w) || within(w) || begun(w));
    words.min_by_key(|w| distance(w))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nearest_finds_slips_and_refuses_strangers() {
        let words = ["chest", "waist", "seat", "nape_to_waist", "lapel_width"];
        assert_eq!(nearest("chset", words), Some("chest"));
        assert_eq!(nearest("Waist", words), Some("waist"));
        assert_eq!(nearest("lapel-width", words), Some("lapel_width"));
        assert_eq!(nearest("lapel", words), Some("lapel_width"));
        assert_eq!(nearest("seats", words), Some("seat"));
        assert_eq!(nearest("lapels", words), Some("lapel_width"));
        assert_eq!(nearest("bananas", words), None);
    }

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
