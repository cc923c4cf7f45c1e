//! What is wrong with a file, where, and what to do about it.

mod shown;
mod source;

pub use source::Source;

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

    /// Adds `Perhaps: …` if one of the words is near enough to `found`.
    pub fn suggest<'a>(self, found: &str, words: impl IntoIterator<Item = &'a str>) -> Self {
        match nearest(found, words) {
            Some(word) => self.help(format!("Perhaps: {word}")),
            None => self,
        }
    }

    /// Where the finding begins in its file, for putting findings in order.
    pub fn start(&self) -> usize {
        let span = self.place.as_ref().and_then(|p| p.span.as_ref());
        span.map_or(usize::MAX, |s| s.start)
    }
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
}
