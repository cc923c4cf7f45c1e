//! A text that findings point into.

use std::fmt;
use std::sync::Arc;

/// A text that diagnostics point into.
#[derive(Clone, PartialEq, Eq)]
pub struct Source {
    /// The file's name, as the user gave it.
    pub name: String,
    /// Its whole text; empty where it could not be read.
    pub text: String,
    /// The number of its first line: 1, unless the text is a part of a file.
    pub first_line: usize,
}

/// Shows the name alone: the text would drown whatever is shown beside it.
impl fmt::Debug for Source {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.debug_tuple("Source").field(&self.name).finish()
    }
}

impl Source {
    /// Makes a source of a text and its name.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Arc<Self> {
        Arc::new(Self {
            name: name.into(),
            text: text.into(),
            first_line: 1,
        })
    }
}
