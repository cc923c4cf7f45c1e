//! Reading a file into its sections. One run finds every fault of syntax and of form.

use super::day::{self, Slip};
use super::syntax::{not_toml, said};
use crate::diagnostic::Source;
use crate::diagnostic::{Diagnostic, Place, Severity};
use crate::units::Unit;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::ops::Range;
use std::sync::Arc;
use toml::de::{DeTable, DeValue, ValueDeserializer};
use toml::{Spanned, Value};

/// The most faults of syntax in a file, or of form in a section, before it is read no further.
const MOST_FAULTS: usize = 20;

/// The faults that are shown of a file with too many: it is probably no order, and a long list of faults would
/// be of no use.
const SHOWN_OF_TOO_MANY: usize = 2;

/// The most characters of the file that a message repeats.
const MOST_REPEATED: usize = 24;

/// The findings in one file so far.
pub(super) struct Findings {
    /// The file.
    pub source: Arc<Source>,
    /// The findings, in the order they were made.
    pub all: Vec<Diagnostic>,
    /// Lines with a fault of syntax: what is read from them is a guess.
    spoilt: Vec<Range<usize>>,
    /// Texts that are printed, each with its place.
    pub texts: Vec<(String, Place)>,
    /// The unit in which lengths are told: that of the house, or of the measures once they are read.
    pub unit: Unit,
    /// Whether a section has an unknown name: it may be the section that seems to be missing.
    pub misnamed: bool,
    /// Sections and keys whose values cannot be read, so that they are not called missing as well.
    left_out: Vec<(String, String)>,
}

/// One value of a section whose keys are free, by dotted name.
pub(super) struct Entry {
    /// `allowance.scye`
    pub name: String,
    /// Where the key stands.
    pub key: Range<usize>,
    /// Where the value stands.
    pub place: Range<usize>,
    /// The value.
    pub value: Value,
}

impl Findings {
    /// Begins with no findings.
    pub(super) fn new(source: &Arc<Source>) -> Self {
        Self {
            source: source.clone(),
            all: Vec::new(),
            spoilt: Vec::new(),
            texts: Vec::new(),
            unit: Unit::default(),
            misnamed: false,
            left_out: Vec::new(),
        }
    }

    /// Adds a finding about a stretch of the file.
    pub(super) fn at(&mut self, span: Range<usize>, finding: Diagnostic) {
        self.labelled(span, "", finding);
    }

    /// Adds a finding about a stretch of the file, with words beside the caret. On a line with a fault of
    /// syntax it is dropped: what was read there is a guess.
    pub(super) fn labelled(&mut self, span: Range<usize>, label: &str, finding: Diagnostic) {
        let touches = |line: &Range<usize>| line.start <= span.end && span.start <= line.end;
        if !self.spoilt.iter().any(touches) {
            self.all.push(finding.at(&self.source, span, label));
        }
    }

    /// Keeps a text that is printed, with its place.
    pub(super) fn printed(&mut self, span: Range<usize>, text: &str) {
        let mut place = Place::file(&self.source);
        place.span = Some(span);
        self.texts.push((text.to_owned(), place));
    }

    /// Keeps the name of the file as a text that is printed, and returns it.
    pub(super) fn named_by_its_file(&mut self, name: &str) -> String {
        let place = Place::file(&self.source);
        self.texts.push((name.to_owned(), place));
        name.to_owned()
    }

    /// Returns what the file says at a place, shortened for a message.
    pub(super) fn written(&self, span: &Range<usize>) -> String {
        let text = self.source.text.get(span.clone()).unwrap_or_default();
        let mut letters = text.chars();
        let mut written: String = letters.by_ref().take(MOST_REPEATED).collect();
        if letters.next().is_some() {
            written.push('…');
        }
        written
    }

    /// Adds that something is missing, unless syntax may have hidden it.
    pub(super) fn missing(&mut self, section: Option<Range<usize>>, finding: Diagnostic) {
        match section {
            _ if !self.spoilt.is_empty() => {}
            Some(span) => self.at(span, finding),
            None if self.misnamed => {}
            None => self.all.push(finding.in_file(&self.source)),
        }
    }

    /// Reads a day; what is wrong with it is noted at its place.
    pub(super) fn day(&mut self, raw: &Spanned<Value>) -> Option<String> {
        let told = |slip: Slip| Diagnostic::error(slip.fault).help(slip.help);
        match day::read(raw.get_ref()) {
            Ok(day) => Some(day),
            Err(slip) => {
                self.at(raw.span(), told(slip));
                None
            }
        }
    }

    /// Tells whether a section has a value that cannot be read.
    pub(super) fn is_left_out(&self, section: &str, key: &str) -> bool {
        self.left_out.iter().any(|(s, k)| s == section && k == key)
    }

    /// Tells whether a fault was found.
    pub(super) fn failed(&self) -> bool {
        self.all.iter().any(|d| d.severity == Severity::Error)
    }

    /// Returns the findings in the order of the file.
    pub(super) fn in_order(mut self) -> Vec<Diagnostic> {
        self.all.sort_by_key(Diagnostic::start);
        self.all
    }

    /// Reads the file as a table. Faults of syntax are noted and left out; returns `None` if there are too
    /// many.
    pub(super) fn parse<'t>(&mut self, text: &'t str) -> Option<DeTable<'t>> {
        let (root, faults) = DeTable::parse_recoverable(text);
        let shown = match faults.len() > MOST_FAULTS {
            true => SHOWN_OF_TOO_MANY,
            false => MOST_FAULTS,
        };
        let more = faults.len().saturating_sub(shown);
        for fault in faults.iter().take(shown) {
            let span = fault.span().unwrap_or(text.len()..text.len());
            let line = line_of(text, span.start);
            let written = text.get(line.clone()).unwrap_or_default();
            let finding = not_toml(fault.message(), written);
            // Further faults on the same line follow from the first.
            if self.spoilt.contains(&line) {
                continue;
            }
            self.all.push(finding.at(&self.source, span, ""));
            self.spoilt.push(line);
        }
        if more > 0 {
            let finding = Diagnostic::error(format!("and {more} more errors of form"));
            self.all.push(
                finding
                    .help("is this an order at all?")
                    .in_file(&self.source),
            );
            return None;
        }
        Some(root.into_inner())
    }

    /// Reads a section into its form. A fault is noted, the value with the fault is left out, and the rest is
    /// read.
    pub(super) fn section<T: DeserializeOwned + Default>(
        &mut self,
        name: &str,
        value: Spanned<DeValue>,
    ) -> T {
        let Some((mut table, span)) = self.table(name, value) else {
            return T::default();
        };
        for _ in 0..MOST_FAULTS {
            let attempt = Spanned::new(span.clone(), DeValue::Table(table.clone()));
            let fault = match T::deserialize(ValueDeserializer::from(attempt)) {
                Ok(read) => return read,
                Err(fault) => fault,
            };
            let place = fault.span().unwrap_or(span.clone());
            self.at(place.clone(), said(&fault, name));
            let holds = |(key, entry): &(Spanned<_>, Spanned<DeValue>)| {
                let (key, entry) = (key.span(), entry.span());
                key == place || (entry.start <= place.start && place.end <= entry.end)
            };
            let (faulty, kept): (Vec<_>, Vec<_>) = table.into_iter().partition(holds);
            table = kept.into_iter().collect();
            if faulty.is_empty() {
                break;
            }
            let keys = faulty.iter().map(|(key, _)| key.get_ref().to_string());
            self.left_out.extend(keys.map(|key| (name.to_owned(), key)));
        }
        T::default()
    }

    /// Lists the values of a section whose keys are free, with nested tables flattened.
    pub(super) fn entries(&mut self, name: &str, value: Spanned<DeValue>) -> Vec<Entry> {
        let mut entries = Vec::new();
        if let Some((table, _)) = self.table(name, value) {
            self.flatten("", table, &mut entries);
        }
        entries
    }

    fn flatten(&mut self, above: &str, table: DeTable, entries: &mut Vec<Entry>) {
        for (key, raw) in table {
            let name = format!("{above}{}", key.get_ref());
            let place = raw.span();
            match raw.into_inner() {
                DeValue::Table(inner) => self.flatten(&format!("{name}."), inner, entries),
                plain => match Value::deserialize(ValueDeserializer::from(Spanned::new(
                    place.clone(),
                    plain,
                ))) {
                    Ok(value) => entries.push(Entry {
                        name,
                        key: key.span(),
                        place,
                        value,
                    }),
                    Err(fault) => self.at(place, said(&fault, &name)),
                },
            }
        }
    }

    /// Returns the values of a section and its place, or notes that it is no section.
    pub(super) fn table<'t>(
        &mut self,
        name: &str,
        value: Spanned<DeValue<'t>>,
    ) -> Option<(DeTable<'t>, Range<usize>)> {
        let span = value.span();
        match value.into_inner() {
            DeValue::Table(table) => Some((table, span)),
            DeValue::Array(_) => {
                let finding = Diagnostic::error(format!("`{name}` is a section, not a list"));
                self.at(span, finding.help(format!("write [{name}], once")));
                None
            }
            _ => {
                let finding = Diagnostic::error(format!("`{name}` is a section, not a value"));
                self.at(
                    span,
                    finding.help(format!(
                        "write [{name}] on a line of its own, with its values below"
                    )),
                );
                None
            }
        }
    }
}

fn line_of(text: &str, at: usize) -> Range<usize> {
    let at = at.min(text.len());
    let bytes = text.as_bytes();
    let start = bytes
        .get(..at)
        .and_then(|b| b.iter().rposition(|c| *c == b'\n'))
        .map_or(0, |i| i + 1);
    let end = bytes
        .get(at..)
        .and_then(|b| b.iter().position(|c| *c == b'\n'))
        .map_or(text.len(), |i| at + i);
    start..end
}
