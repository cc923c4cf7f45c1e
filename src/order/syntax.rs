//! Faults of syntax and of form, in the words of a tailor's file rather than of a parser.

use super::day;
use crate::diagnostic::Diagnostic;
use toml::de::Error;

/// Tells a fault of syntax on a line, and what to do about it.
pub(super) fn not_toml(fault: &str, line: &str) -> Diagnostic {
    let value = |text: &str| {
        let text = text.split('#').next()?;
        text.split_once('=')
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

/// Puts the commonest faults of syntax into plain words.
fn in_plain_words(fault: &str) -> &str {
    const PLAIN: [(&str, &str); 8] = [
        ("duplicate key", "this is here a second time"),
        ("invalid boolean", "this word needs quotes"),
        (
            "string values must be quoted",
            "this is neither a number nor text in quotes",
        ),
        ("key with no value", "this name has no value"),
        (
            "unexpected key or value",
            "there is something after the value on this line",
        ),
        (
            "invalid basic string",
            "text in quotes must end on the same line",
        ),
        ("unclosed table", "the name of the section has no end"),
        ("unexpected leading zero", "a number starts with a nought"),
    ];
    let found = PLAIN.iter().find(|(start, _)| fault.starts_with(start));
    found.map_or(fault, |(_, plain)| plain)
}

/// Curled quotes, as a word processor writes them.
const CURLED: [char; 6] = ['“', '”', '„', '‟', '«', '»'];

/// Says what to do about a line that is not TOML, where the slip is a common one.
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
        return Some(format!("a comment starts with #: {said} # {about}"));
    }
    if fault.contains("unclosed table") {
        return Some(format!("close the bracket: {}]", line.trim()));
    }
    if fault.contains("invalid basic string") && line.matches('"').count() % 2 == 1 {
        return Some("close the quotes".into());
    }
    if fault.contains("duplicate key") {
        return Some(match line.trim().starts_with('[') {
            true => format!("move what is below to the first {}", line.trim()),
            false => "give it once".into(),
        });
    }
    let Some((key, value)) = line.split_once('=') else {
        let (key, value) = line.trim().split_once([':', ' '])?;
        let known = key.chars().all(|c| c.is_alphanumeric() || c == '_');
        let (key, value) = (key.trim(), value.trim());
        return (known && !value.is_empty())
            .then(|| format!("put an = between a name and its value: {key} = {value}"));
    };
    let value = value.trim();
    if fault.contains("date") {
        return Some("a date is written year-month-day: date = 2026-03-02".into());
    }
    let starts_as_number = value.starts_with(|c: char| c.is_ascii_digit());
    let bare_word = value.starts_with(char::is_alphabetic) && !value.contains(['"', '\'']);
    let key = key.trim();
    if starts_as_number && value.split(',').count() == 2 {
        return Some(format!(
            "write the decimals with a point: {key} = {}",
            value.replace(',', ".")
        ));
    }
    let rest = value.trim_start_matches('0');
    if fault.contains("leading zero") && rest.starts_with(|c: char| c.is_ascii_digit()) {
        return Some(format!("leave out the nought: {key} = {rest}"));
    }
    if starts_as_number || bare_word {
        let value = value.replace('\\', "\\\\").replace('"', "\\\"");
        return Some(format!(
            "a value that is not a plain number needs quotes: {key} = \"{value}\""
        ));
    }
    None
}

const BEYOND_BELIEF: &str = "this is far too large a number";

/// Tells a fault of form in the words of a tailor's file rather than of a parser.
pub(super) fn said(fault: &Error, section: &str) -> Diagnostic {
    let message = fault.message();
    let quoted: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
    let (found, allowed) = quoted.split_first().map_or(("", &[][..]), |(f, a)| (*f, a));
    let list = allowed.join(", ");
    if message.starts_with("unknown field") {
        return Diagnostic::error(format!("`{found}` is not known in [{section}]"))
            .suggest(found, allowed.iter().copied())
            .note(format!("[{section}] can have {list}"));
    }
    if message.starts_with("unknown variant") {
        return Diagnostic::error(format!("`{found}` is not one of the words for this"))
            .suggest(found, allowed.iter().copied())
            .note(format!("the words are {list}"));
    }
    if let Some(("", told)) = message.split_once("invalid type: ")
        && let Some((was, expected)) = told.split_once(", expected ")
    {
        let expected = if expected == "a string" {
            "text in quotes"
        } else {
            expected
        };
        // The parser names a whole number that does not fit 64 bits by its type.
        if was.contains(" as ") {
            return Diagnostic::error(BEYOND_BELIEF);
        }
        let was = in_words(was);
        return Diagnostic::error(format!("this must be {expected}, not {was}"));
    }
    if message == "floating-point number overflowed" {
        return Diagnostic::error(BEYOND_BELIEF);
    }
    if message == "wanted string or table" {
        return Diagnostic::error("this must be a word in quotes");
    }
    Diagnostic::error(message.to_owned())
}

/// Says what a parser found.
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comma_is_a_decimal_point_only_in_one_number() {
        for (line, told) in [
            (
                "width = 39,5",
                "write the decimals with a point: width = 39.5",
            ),
            ("width = 1,2,3", "needs quotes: width = \"1,2,3\""),
            (
                "name = worsted, blue",
                "needs quotes: name = \"worsted, blue\"",
            ),
            ("width = 150 cm", "needs quotes: width = \"150 cm\""),
        ] {
            let found = advice("expected nothing", line).unwrap_or_default();
            assert!(found.ends_with(told), "{line}: {found}");
        }
    }
}
