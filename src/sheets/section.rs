//! The sections of a ticket, before they are set on pages or in a browser. They keep words as they are written;
//! a writer whose font lacks a letter replaces it.

use super::drawing::Drawing;
use super::font::tidy;

/// A heading with what stands under it.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Its heading.
    pub heading: String,
    /// The entries under the heading, in order.
    pub entries: Vec<Entry>,
}

/// One entry of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Entry {
    /// A sentence or more.
    Words(String),
    /// Items of a list.
    List(Vec<String>),
    /// Names with their values.
    Named(Vec<(String, String)>),
    /// Things with their amounts, and what each is for.
    Amounts(Vec<Amount>),
    /// A table.
    Table(Table),
    /// A drawing, with words that say what it shows.
    Picture(Drawing, String),
    /// A line to sign on, with the words under it.
    Signature(String),
}

/// A thing, how much there is of it, and more that is said of it in smaller letters. What is empty is left out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Amount {
    /// The thing.
    pub name: String,
    /// How much or how many.
    pub amount: String,
    /// What it is for.
    pub note: String,
}

impl Amount {
    /// Makes an entry of a list of amounts.
    pub fn new(name: &str, amount: &str, note: &str) -> Self {
        Self {
            name: tidy(name),
            amount: tidy(amount),
            note: tidy(note),
        }
    }
}

/// Rows of figures under heads. The first column holds names.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// The table's own heading, if it has one.
    pub heading: Option<String>,
    /// The other columns: the words over each, which may be empty, and the place where its values end, as a share
    /// of the section's width.
    pub columns: Vec<(&'static str, f64)>,
    /// The rows: a name, and a value for each column.
    pub rows: Vec<(String, Vec<String>)>,
}

impl Table {
    /// Makes a table without rows.
    pub fn new(columns: &[(&'static str, f64)]) -> Self {
        Self {
            heading: None,
            columns: columns.to_vec(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    pub fn row<const N: usize>(&mut self, name: &str, values: [&str; N]) {
        self.rows.push((tidy(name), values.map(tidy).to_vec()));
    }
}

impl Section {
    /// Makes a section that has only its heading.
    pub fn new(heading: &str) -> Self {
        Self {
            heading: tidy(heading),
            entries: Vec::new(),
        }
    }

    /// Adds a sentence or more.
    pub fn words(&mut self, words: &str) {
        self.entries.push(Entry::Words(tidy(words)));
    }

    /// Adds an item to the list at the section's end.
    pub fn item(&mut self, words: &str) {
        match self.entries.last_mut() {
            Some(Entry::List(items)) => items.push(tidy(words)),
            _ => self.entries.push(Entry::List(vec![tidy(words)])),
        }
    }

    /// Adds a name and its value.
    pub fn named(&mut self, name: &str, value: &str) {
        let pair = (tidy(name), tidy(value));
        match self.entries.last_mut() {
            Some(Entry::Named(pairs)) => pairs.push(pair),
            _ => self.entries.push(Entry::Named(vec![pair])),
        }
    }

    /// Adds a thing with its amount to the list at the section's end.
    pub fn amount(&mut self, amount: Amount) {
        match self.entries.last_mut() {
            Some(Entry::Amounts(amounts)) => amounts.push(amount),
            _ => self.entries.push(Entry::Amounts(vec![amount])),
        }
    }

    /// Adds a table, unless it has no rows.
    pub fn table(&mut self, table: Table) {
        if !table.rows.is_empty() {
            self.entries.push(Entry::Table(table));
        }
    }

    /// Adds a picture.
    pub fn picture(&mut self, picture: Drawing, shows: &str) {
        self.entries.push(Entry::Picture(picture, tidy(shows)));
    }

    /// Adds a line to sign on.
    pub fn signature(&mut self, words: &str) {
        self.entries.push(Entry::Signature(tidy(words)));
    }
}
