//! From text to sections: every fault of syntax and of form is found in one run.

use super::day;
use crate::diagnostic::Source;
use crate::diagnostic::{Diagnostic, Place, Severity};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::ops::Range;
use std::sync::Arc;
use toml::de::{DeTable, DeValue, Error, ValueDeserializer};
use toml::{Spanned, Value};

/// More faults of syntax in a file, or of form in a section, than this, and it is not read any
/// further.
const MOST_FAULTS: usize = 20;

/// So many of them are shown then: it is no order, and what is wrong with it is of no use.
const SHOWN_OF_TOO_MANY: usize = 2;

/// So many characters of what is written are repeated in a message.
const MOST_REPEATED: usize = 24;

/// What has been found in one file so far.
pub(super) struct Findings {
    /// The file.
    pub source: Arc<Source>,
    /// The findings, in the order they were made.
    pub all: Vec<Diagnostic>,
    /// Lines with a fault of syntax: what is read from them is a guess.
    spoilt: Vec<Range<usize>>,
    /// Texts that are printed, each with its place.
    pub texts: Vec<(String, Place)>,
    /// Whether a section bears a name that nobody knows: it may be the one that is missed.
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
    /// Nothing found yet.
    pub(super) fn new(source: &Arc<Source>) -> Self {
        Self {
            source: source.clone(),
            all: Vec::new(),
            spoilt: Vec::new(),
            texts: Vec::new(),
            misnamed: false,
            left_out: Vec::new(),
        }
    }

    /// Adds a finding about a stretch of the file.
    pub(super) fn at(&mut self, span: Range<usize>, label: impl Into<String>, finding: Diagnostic) {
        if !self
            .spoilt
            .iter()
            .any(|s| s.start <= span.end && span.start <= s.end)
        {
            self.all.push(finding.at(&self.source, span, label));
        }
    }

    /// Keeps a text that is printed, with its place.
    pub(super) fn printed(&mut self, span: Range<usize>, text: &str) {
        let place = Place {
            source: self.source.clone(),
            span: Some(span),
            label: String::new(),
        };
        self.texts.push((text.to_owned(), place));
    }

    /// Keeps the name of the file as a text that is printed, and gives it.
    pub(super) fn named_by_its_file(&mut self, name: &str) -> String {
        let place = Place {
            source: self.source.clone(),
            span: None,
            label: String::new(),
        };
        self.texts.push((name.to_owned(), place));
        name.to_owned()
    }

    /// What the file says at a place, shortened to what a message bears.
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
            Some(span) => self.at(span, "", finding),
            None if self.misnamed => {}
            None => self.all.push(finding.in_file(&self.source)),
        }
    }

    /// Whether a value of a section is there, and cannot be read.
    pub(super) fn is_left_out(&self, section: &str, key: &str) -> bool {
        self.left_out.iter().any(|(s, k)| s == section && k == key)
    }

    /// Whether anything grave was found.
    pub(super) fn failed(&self) -> bool {
        self.all.iter().any(|d| d.severity == Severity::Error)
    }

    /// The findings in the order of the file.
    pub(super) fn in_order(mut self) -> Vec<Diagnostic> {
        self.all.sort_by_key(Diagnostic::start);
        self.all
    }

    /// The file as a table; what syntax spoils is left out and noted. `None` if there is too much.
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
            // What follows on a line that is spoilt already follows from that.
            if self.spoilt.contains(&line) {
                continue;
            }
            self.all.push(finding.at(&self.source, span, ""));
            self.spoilt.push(line);
        }
        if more > 0 {
            let finding = Diagnostic::error(format!("and {more} more faults of syntax"));
            self.all.push(
                finding
                    .help("is this an order at all?")
                    .in_file(&self.source),
            );
            return None;
        }
        Some(root.into_inner())
    }

    /// Reads a section into its form. A fault is noted, the value that bears it left out, and the
    /// rest read on.
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
            self.at(place.clone(), "", said(&fault, name));
            let holds = |(key, value): &(Spanned<_>, Spanned<DeValue>)| {
                let (key, value) = (key.span(), value.span());
                key == place || (value.start <= place.start && place.end <= value.end)
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

    /// The values of a section whose keys are free, with nested tables flattened.
    pub(super) fn entries(&mut self, name: &str, value: Spanned<DeValue>) -> Vec<Entry> {
        let mut entries = Vec::new();
        if let Some((table, _)) = self.table(name, value) {
            self.flatten("", table, &mut entries);
        }
        entries
    }

    fn flatten(&mut self, above: &str, table: DeTable, entries: &mut Vec<Entry>) {
        for (key, value) in table {
            let name = format!("{above}{}", key.get_ref());
            let place = value.span();
            match value.into_inner() {
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
                    Err(fault) => self.at(place, "", said(&fault, &name)),
                },
            }
        }
    }

    /// The values of a section, and its place; a fault where it is none.
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
                self.at(span, "", finding.help(format!("write [{name}], once")));
                None
            }
            _ => {
                let finding = Diagnostic::error(format!("`{name}` is a section, not a value"));
                self.at(
                    span,
                    "",
                    finding.help(format!(
                        "write [{name}] in a line of its own, its values below"
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

/// A fault of syntax on a line, and what to do about it.
fn not_toml(fault: &str, line: &str) -> Diagnostic {
    let value = |line: &str| {
        let line = line.split('#').next()?;
        line.split_once('=')
            .map(|(_, value)| value.trim().to_owned())
    };
    if let Some(slip) = value(line).as_deref().and_then(day::slip) {
        return Diagnostic::error(slip.fault).help(slip.help);
    }
    let told = in_plain_words(fault);
    let finding = Diagnostic::error(format!("this is not TOML: {told}"));
    match advice(fault, line) {
        Some(help) => finding.help(help),
        None => finding,
    }
}

/// The commonest faults of syntax without the parser's own terms.
fn in_plain_words(fault: &str) -> &str {
    const PLAIN: [(&str, &str); 8] = [
        ("duplicate key", "this stands here a second time"),
        ("invalid boolean", "a word stands here without quotes"),
        (
            "string values must be quoted",
            "this is neither a number nor a text in quotes",
        ),
        ("key with no value", "a name stands here without a value"),
        (
            "unexpected key or value",
            "something follows a value on its line",
        ),
        (
            "invalid basic string",
            "a text in quotes does not end on its line",
        ),
        ("unclosed table", "the name of a section does not end"),
        ("unexpected leading zero", "a number begins with a nought"),
    ];
    let found = PLAIN.iter().find(|(start, _)| fault.starts_with(start));
    found.map_or(fault, |(_, plain)| plain)
}

/// Quotes as a word processor curls them.
const CURLED: [char; 6] = ['“', '”', '„', '‟', '«', '»'];

/// What to do about a line that is not TOML, where the slip is a common one.
fn advice(fault: &str, line: &str) -> Option<String> {
    let line = line.split('#').next().unwrap_or_default();
    let is_curled = |(_, value): (&str, &str)| value.trim_start().starts_with(CURLED);
    if line.split_once('=').is_some_and(is_curled) {
        let plain = line.trim().replace(CURLED, "\"");
        return Some(format!("write straight quotes: {plain}"));
    }
    if let Some((said, about)) = line.split_once("//")
        && !said.contains('"')
    {
        let (said, about) = (said.trim(), about.trim());
        return Some(format!("a comment begins with #: {said} # {about}"));
    }
    if fault.contains("unclosed table") {
        return Some(format!("close the bracket: {}]", line.trim()));
    }
    if fault.contains("invalid basic string") && line.matches('"').count() % 2 == 1 {
        return Some("close the quotes".into());
    }
    if fault.contains("duplicate key") {
        return Some(match line.trim().starts_with('[') {
            true => format!("put what stands below under the first {}", line.trim()),
            false => "say it once".into(),
        });
    }
    let Some((key, value)) = line.split_once('=') else {
        let (key, value) = line.trim().split_once([':', ' '])?;
        let known = key.chars().all(|c| c.is_alphanumeric() || c == '_');
        let (key, value) = (key.trim(), value.trim());
        return (known && !value.is_empty())
            .then(|| format!("an = stands between a name and its value: {key} = {value}"));
    };
    let value = value.trim();
    if fault.contains("date") {
        return Some("a date is written year-month-day: date = 2026-03-02".into());
    }
    let starts_as_number = value.starts_with(|c: char| c.is_ascii_digit());
    let bare_word = value.starts_with(char::is_alphabetic) && !value.contains(['"', '\'']);
    let key = key.trim();
    if starts_as_number && value.contains(',') && value.split(',').count() == 2 {
        return Some(format!(
            "write the decimals with a point: {key} = {}",
            value.replace(',', ".")
        ));
    }
    let rest = value.trim_start_matches('0');
    if fault.contains("leading zero") && rest.starts_with(|c: char| c.is_ascii_digit()) {
        return Some(format!("leave the nought away: {key} = {rest}"));
    }
    if starts_as_number || bare_word {
        let value = value.replace('\\', "\\\\").replace('"', "\\\"");
        return Some(format!(
            "a value that is not a plain number stands in quotes: {key} = \"{value}\""
        ));
    }
    None
}

const BEYOND_BELIEF: &str = "this is a number beyond belief";

/// A fault of form in the words of a tailor's file rather than of a parser.
fn said(fault: &Error, section: &str) -> Diagnostic {
    let message = fault.message();
    let quoted: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
    let (found, allowed) = quoted.split_first().map_or(("", &[][..]), |(f, a)| (*f, a));
    let list = allowed.join(", ");
    if message.starts_with("unknown field") {
        return Diagnostic::error(format!("`{found}` is not known in [{section}]"))
            .suggest(found, allowed.iter().copied())
            .note(format!("[{section}] may have {list}"));
    }
    if message.starts_with("unknown variant") {
        return Diagnostic::error(format!(
            "`{found}` is not one of the words that may stand here"
        ))
        .suggest(found, allowed.iter().copied())
        .note(format!("it is one of {list}"));
    }
    if let Some(("", told)) = message.split_once("invalid type: ")
        && let Some((found, expected)) = told.split_once(", expected ")
    {
        let expected = if expected == "a string" {
            "text in quotes"
        } else {
            expected
        };
        // A whole number that does not fit 64 bits is told by its type.
        if found.contains(" as ") {
            return Diagnostic::error(BEYOND_BELIEF);
        }
        let found = in_words(found);
        return Diagnostic::error(format!("this must be {expected}, not {found}"));
    }
    if message == "floating-point number overflowed" {
        return Diagnostic::error(BEYOND_BELIEF);
    }
    if message == "wanted string or table" {
        return Diagnostic::error("this must be a word in quotes");
    }
    Diagnostic::error(message.to_owned())
}

/// What a parser found, in words.
fn in_words(found: &str) -> &str {
    let kinds = [
        ("integer", "a number"),
        ("floating", "a number"),
        ("boolean", "true or false"),
        ("string", "text"),
        ("sequence", "a list"),
        ("map", "a table or a date"),
    ];
    kinds
        .iter()
        .find(|(start, _)| found.starts_with(start))
        .map_or(found, |(_, words)| words)
}
