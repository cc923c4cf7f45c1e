//! Texts of an order that are printed: one line each, with something in it to be seen.

use super::file::Lines;
use super::reading::Findings;
use crate::diagnostic::Diagnostic;
use std::ops::RangeInclusive;
use toml::Spanned;

/// The most notes that fit a ticket, and the longest text.
const MOST_LINES: usize = 40;
const LONGEST_LINE: usize = 300;

/// Characters that reverse the direction of the text after them, which would make a line on a terminal or a
/// sheet read as something else.
const TURNING: [RangeInclusive<char>; 2] = ['\u{202a}'..='\u{202e}', '\u{2066}'..='\u{2069}'];

/// Characters without a shape of their own, beside white space: joiners, directions, fillers, variation
/// selectors, blanks. These are what Unicode's `DerivedCoreProperties` calls `Default_Ignorable_Code_Point`, and
/// the empty braille cell.
const UNSEEN: [RangeInclusive<char>; 17] = [
    '\u{00ad}'..='\u{00ad}',
    '\u{034f}'..='\u{034f}',
    '\u{061c}'..='\u{061c}',
    '\u{115f}'..='\u{1160}',
    '\u{17b4}'..='\u{17b5}',
    '\u{180b}'..='\u{180f}',
    '\u{200b}'..='\u{200f}',
    '\u{202a}'..='\u{202e}',
    '\u{2060}'..='\u{206f}',
    '\u{2800}'..='\u{2800}',
    '\u{3164}'..='\u{3164}',
    '\u{fe00}'..='\u{fe0f}',
    '\u{feff}'..='\u{feff}',
    '\u{ffa0}'..='\u{ffa0}',
    '\u{fff0}'..='\u{fff8}',
    '\u{1d173}'..='\u{1d17a}',
    '\u{e0000}'..='\u{e0fff}',
];

/// Tells whether a character is invisible.
pub fn unseen(c: char) -> bool {
    c.is_whitespace() || UNSEEN.iter().any(|range| range.contains(&c))
}

/// Reads a text that can be printed in a line, without the invisible characters round it. It is kept with its
/// place, for whoever knows which letters the sheets have.
pub(super) fn line(raw: Spanned<String>, findings: &mut Findings) -> Option<String> {
    let text = raw.get_ref().trim_matches(unseen);
    let fault = if text.is_empty() {
        match raw.get_ref().trim().is_empty() {
            true => "it is empty".to_owned(),
            false => "it has only invisible characters".to_owned(),
        }
    } else if text.chars().count() > LONGEST_LINE {
        format!("it is too long: a line has at most {LONGEST_LINE} characters")
    } else if text
        .chars()
        .any(|c| c.is_control() || TURNING.iter().any(|t| t.contains(&c)))
    {
        "it has line breaks or other characters that cannot be printed".to_owned()
    } else {
        findings.printed(raw.span(), text);
        return Some(text.to_owned());
    };
    let finding = Diagnostic::error(format!("this text cannot be used: {fault}"));
    let finding = match text.is_empty() {
        true => finding.help("write something between the quotes"),
        false => finding,
    };
    findings.at(raw.span(), finding);
    None
}

/// Reads notes, each a line; those with nothing in them are left out.
pub(super) fn lines(raw: Option<Spanned<Lines>>, findings: &mut Findings) -> Vec<String> {
    let Some(raw) = raw else { return Vec::new() };
    let place = raw.span();
    let count = raw.get_ref().0.len();
    if count > MOST_LINES {
        let fault = format!("{count} lines are too many: the ticket has room for {MOST_LINES}");
        findings.at(place, Diagnostic::error(fault));
        return Vec::new();
    }
    let lines = raw
        .into_inner()
        .0
        .into_iter()
        .filter(|line| !line.chars().all(unseen));
    lines
        .filter_map(|text| line(Spanned::new(place.clone(), text), findings))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Source;

    #[test]
    fn a_line_is_kept_as_long_as_it_may_be_and_with_its_place() {
        let mut findings = Findings::new(&Source::new("x.toml", ""));
        let mut read = |text: &str| line(Spanned::new(3..5, text.to_owned()), &mut findings);
        let longest = "x".repeat(LONGEST_LINE);
        assert_eq!(read(&longest).as_ref(), Some(&longest));
        assert_eq!(read(&format!("{longest}x")), None);
        assert_eq!(read(" two\u{200b}").as_deref(), Some("two"));
        let notes = ["one", " \u{200b}", "more"].map(str::to_owned);
        let notes = Spanned::new(7..9, Lines(notes.to_vec()));
        assert_eq!(lines(Some(notes), &mut findings), ["one", "more"]);
        assert_eq!(findings.all.len(), 1);
        let kept: Vec<&str> = findings.texts.iter().map(|(t, _)| t.as_str()).collect();
        assert_eq!(kept, [&longest, "two", "one", "more"]);
        assert_eq!(findings.texts[1].1.span, Some(3..5));
    }
}
