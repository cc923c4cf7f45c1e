//! Writes a finding for the one who has to act on it: where it is, what is wrong, the line with the slip
//! underlined, and what to do.
//!
//! ```text
//! my-client.toml, line 77: `lapell` is not a choice of the jacket
//!     lapell = "notch"
//!     ^^^^^^
//!   Perhaps: lapel
//! ```

use super::{Diagnostic, Place, Severity};
use std::ops::Range;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Columns of a file's line that are shown; more would be broken by a terminal, and the underline would
/// lie under the wrong words.
const WIDEST: usize = 90;

/// Columns left of the slip that are kept where a longer line is cut.
const BEFORE: usize = 40;

/// What a terminal is told to draw in a colour: a finding's first words, the underline, and the end of both.
struct Paint {
    strong: &'static str,
    slip: &'static str,
    plain: &'static str,
}

impl Paint {
    fn new(severity: Severity, colour: bool) -> Self {
        let (strong, slip, plain) = match (colour, severity) {
            (false, _) => ("", "", ""),
            (true, Severity::Error) => ("\u{1b}[1m", "\u{1b}[1;31m", "\u{1b}[0m"),
            (true, Severity::Warning) => ("\u{1b}[1m", "\u{1b}[1;33m", "\u{1b}[0m"),
        };
        Self {
            strong,
            slip,
            plain,
        }
    }
}

impl Diagnostic {
    /// Writes the finding as lines of text, without a line break at the end; `colour` for a terminal.
    pub fn render(&self, colour: bool) -> String {
        let paint = Paint::new(self.severity, colour);
        let shown = self.place.as_ref().and_then(|place| {
            let span = place.span.clone()?;
            Some((place, Shown::new(place, span)))
        });
        let named = match (&self.place, &shown) {
            (Some(place), Some((_, line))) => Some(format!(
                "{}, line {}",
                printable(&place.source.name),
                line.number
            )),
            (Some(place), None) => Some(printable(&place.source.name)),
            (None, _) => None,
        };
        let head = match (named, self.severity) {
            (Some(named), Severity::Error) => format!("{named}:"),
            (Some(named), Severity::Warning) => format!("{named} (warning):"),
            (None, Severity::Error) => "Error:".to_owned(),
            (None, Severity::Warning) => "Warning:".to_owned(),
        };
        let (strong, plain) = (paint.strong, paint.plain);
        let mut lines = vec![format!(
            "{strong}{head} {}{plain}",
            printable(&self.message)
        )];
        if let Some((place, line)) = &shown {
            lines.extend(line.underlined(&place.label, &paint));
        }
        // What to do comes before what else bears on it: a list of all choices may be long.
        let further = self.help.iter().chain(&self.notes);
        lines.extend(further.map(|line| format!("  {}", printable(&sentence(line)))));
        lines.join("\n")
    }
}

/// The line of a file in which a finding lies.
struct Shown {
    /// Its number, from 1.
    number: usize,
    /// What is printed of it.
    text: String,
    /// Columns before the slip, and of the slip itself.
    columns: (usize, usize),
}

impl Shown {
    /// Finds the first line of a span. A span that goes on to further lines is underlined to the end of its first.
    fn new(place: &Place, span: Range<usize>) -> Self {
        let text = place.source.text.as_str();
        let span = within(text, span);
        let begins = text[..span.start].rfind('\n').map_or(0, |at| at + 1);
        let ends = text[begins..]
            .find('\n')
            .map_or(text.len(), |at| begins + at);
        let (before, slip) = (
            &text[begins..span.start],
            &text[span.start..span.end.min(ends).max(span.start)],
        );
        let after = &text[(span.start + slip.len()).min(ends)..ends];
        let (mut before, slip, mut after) = (
            printable(before),
            printable(slip),
            printable(after.trim_end()),
        );
        // Cut from the left, then from the right, so that the slip is seen.
        if (before.width() + slip.width()) > WIDEST && before.width() > BEFORE {
            let kept: String = last_columns(&before, BEFORE);
            before = format!("…{kept}");
        }
        let room = WIDEST.saturating_sub(before.width() + slip.width());
        if after.width() > room {
            after = format!("{}…", first_columns(&after, room));
        }
        let slip = match slip.width() > WIDEST {
            true => format!("{}…", first_columns(&slip, WIDEST)),
            false => slip,
        };
        let columns = (before.width(), slip.width().max(1));
        Self {
            number: place.source.first_line + text[..begins].matches('\n').count(),
            text: format!("{before}{slip}{after}"),
            columns,
        }
    }

    /// Returns the line and the line under it that marks the slip.
    fn underlined(&self, label: &str, paint: &Paint) -> [String; 2] {
        let (before, slip) = self.columns;
        let label = match label {
            "" => String::new(),
            some => format!(" {}", printable(some)),
        };
        let mark = format!("{}{}{label}{}", paint.slip, "^".repeat(slip), paint.plain);
        let line = format!("    {}", self.text);
        [
            line.trim_end().to_owned(),
            format!("    {}{mark}", " ".repeat(before)),
        ]
    }
}

/// Returns a line with a capital at its start, unless it begins with what stands in a file.
fn sentence(line: &str) -> String {
    let mut rest = line.chars();
    let word: String = line.chars().take_while(|c| !c.is_whitespace()).collect();
    match rest.next() {
        // A name of the order (`nape_to_waist`, `[jacket]`, `cloth.width`) stays as it is written there.
        Some(first) if first.is_lowercase() && !word.contains(['_', '.', '=', '"']) => {
            first.to_uppercase().chain(rest).collect()
        }
        _ => line.to_owned(),
    }
}

/// Returns the span moved onto the text's characters, so that cutting the text there cannot fail.
fn within(text: &str, span: Range<usize>) -> Range<usize> {
    let start = floor_boundary(text, span.start);
    let end = floor_boundary(text, span.end);
    start..end.max(start)
}

/// Returns the last boundary of a character at or before a byte.
fn floor_boundary(text: &str, at: usize) -> usize {
    let mut places = (0..=at.min(text.len())).rev();
    places.find(|&i| text.is_char_boundary(i)).unwrap_or(0)
}

fn first_columns(text: &str, columns: usize) -> String {
    let mut used = 0;
    let fits = |c: &char| {
        used += c.width().unwrap_or(0);
        used <= columns
    };
    text.chars().take_while(fits).collect()
}

fn last_columns(text: &str, columns: usize) -> String {
    let mut used = 0;
    let fits = |c: &char| {
        used += c.width().unwrap_or(0);
        used <= columns
    };
    let backwards: Vec<char> = text.chars().rev().take_while(fits).collect();
    backwards.into_iter().rev().collect()
}

/// Returns the text without characters that steer a terminal or turn the direction of writing: what a file holds
/// must not. A tab becomes a space, so that columns can be counted.
pub(super) fn printable(text: &str) -> String {
    let shown = |c: char| match c {
        '\t' => ' ',
        '\u{0}'..='\u{1f}' => char::from_u32(0x2400 + u32::from(c)).unwrap_or('\u{fffd}'),
        '\u{7f}'..='\u{9f}'
        | '\u{200b}'..='\u{200f}'
        | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{2069}'
        | '\u{feff}' => '\u{fffd}',
        other => other,
    };
    text.chars().map(shown).collect()
}

#[cfg(test)]
mod tests {
    use super::super::Source;
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_fault_has_its_line_the_slip_underlined_and_advice() {
        let source = Source::new("a.toml", "x = 1\nchset = 2\n");
        let fault = Diagnostic::error("`chset` is not a measure")
            .at(&source, 6..11, "not known")
            .note("the measures are chest and waist")
            .suggest("chset", ["chest"]);
        let shown = "a.toml, line 2: `chset` is not a measure\n    chset = 2\n    ^^^^^ not known\n  \
                     Perhaps: chest\n  The measures are chest and waist";
        assert_eq!(fault.render(false), shown);
        let coloured = fault.render(true);
        assert!(coloured.contains("\u{1b}[1;31m^^^^^"), "{coloured:?}");
    }

    #[test]
    fn a_finding_without_a_place_says_what_it_is() {
        let fault =
            Diagnostic::error("there is no garment `vest`").suggest("waistcoats", ["waistcoat"]);
        assert_eq!(
            fault.render(false),
            "Error: there is no garment `vest`\n  Perhaps: waistcoat"
        );
        assert_eq!(Diagnostic::warning("odd").render(false), "Warning: odd");
    }

    #[test]
    fn a_warning_in_a_file_says_so() {
        let source = Source::new("a.toml", "chest = 46");
        let doubt = Diagnostic::warning("a chest of 46").at(&source, 8..10, "");
        assert_eq!(
            doubt.render(false),
            "a.toml, line 1 (warning): a chest of 46\n    chest = 46\n            ^^"
        );
        assert_eq!(
            Diagnostic::warning("odd").in_file(&source).render(false),
            "a.toml (warning): odd"
        );
    }

    #[test]
    fn a_long_line_is_cut_so_that_the_slip_is_seen() {
        let text = format!("notes = \"{}\" chset {}", "a".repeat(200), "b".repeat(200));
        let at = text.find("chset").unwrap();
        let source = Source::new("a.toml", &text);
        let shown = Diagnostic::error("odd")
            .at(&source, at..at + 5, "")
            .render(false);
        let lines: Vec<&str> = shown.lines().collect();
        assert!(
            lines.iter().all(|line| line.width() <= WIDEST + 6),
            "{shown}"
        );
        let (line, mark) = (lines[1], lines[2]);
        let columns = mark.find('^').unwrap();
        let under: String = line.chars().skip(columns).take(5).collect();
        assert_eq!(under, "chset");
    }

    proptest! {
        #[test]
        fn any_text_and_any_span_are_shown_without_steering_the_terminal(
            text in "\\PC{0,40}[\\x00-\\x1f\\u{202e}]?\\PC{0,40}\\n?\\PC{0,20}", from in 0..120_usize, to in 0..120_usize,
        ) {
            let source = Source::new("a\u{1b}[31m.toml", &text);
            let shown = Diagnostic::error("odd").at(&source, from..to, "").render(false);
            prop_assert!(!shown.contains('\u{1b}') && !shown.contains('\u{202e}'), "{shown:?}");
            prop_assert_eq!(shown.lines().count(), 3);
        }
    }
}
