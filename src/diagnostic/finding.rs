//! A finding about a file.

use super::{Source, nearest};
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
    /// The range of bytes in its text, or `None` for the file as a whole.
    pub span: Option<Range<usize>>,
    /// What stands beside the caret.
    pub label: String,
}

impl Place {
    /// Makes the place of a file as a whole.
    pub fn file(source: &Arc<Source>) -> Self {
        Self {
            source: source.clone(),
            span: None,
            label: String::new(),
        }
    }
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
    /// Makes a fault: nothing will be written.
    pub fn error(message: impl Into<String>) -> Self {
        Self::new(Severity::Error, message.into())
    }

    /// Makes a warning: the work goes on.
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
    #[must_use]
    pub fn at(
        mut self,
        source: &Arc<Source>,
        span: Range<usize>,
        label: impl Into<String>,
    ) -> Self {
        let mut place = Place::file(source);
        (place.span, place.label) = (Some(span), label.into());
        self.place = Some(Box::new(place));
        self
    }

    /// Points at a file as a whole.
    #[must_use]
    pub fn in_file(mut self, source: &Arc<Source>) -> Self {
        self.place = Some(Box::new(Place::file(source)));
        self
    }

    /// Adds what to do next.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help.push(help.into());
        self
    }

    /// Adds what else bears on it.
    #[must_use]
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.notes.push(note.into());
        self
    }

    /// Adds `Perhaps: …` if one of the words is near enough to `found`.
    #[must_use]
    pub fn suggest<'a>(self, found: &str, words: impl IntoIterator<Item = &'a str>) -> Self {
        match nearest(found, words) {
            Some(word) => self.help(format!("Perhaps: {word}")),
            None => self,
        }
    }

    /// Returns where the finding begins in its file, for putting findings in order.
    pub fn start(&self) -> usize {
        let span = self.place.as_ref().and_then(|p| p.span.as_ref());
        span.map_or(usize::MAX, |s| s.start)
    }
}
