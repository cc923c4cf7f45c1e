//! Edits the text of an order: one value at a time, with comments, order and spelling of the rest kept.

use crate::order::settling::BY_HOUSE;
use std::ops::Range;
use toml_edit::{
    Array, ArrayOfTables, Decor, Document, DocumentMut, Item, Table, TableLike, Value,
};

/// Where a value stands in an order: its section and its key.
pub(super) type Place<'a> = (&'a str, &'a str);

/// Puts a value in an order. A line that holds the key in a comment, as in a starter order, is written over;
/// `by_house` says in a comment that the house's usual was agreed to.
///
/// # Errors
/// Returns what is wrong where the text is not TOML or the section is not one.
pub(super) fn set(
    text: &str,
    place: Place,
    value: &Value,
    by_house: bool,
) -> Result<String, String> {
    let (section, key) = place;
    let mut document = parsed(text)?;
    let known = document.get(section).and_then(Item::as_table_like);
    if !known.is_some_and(|table| table.contains_key(key))
        && let Some(text) = in_place_of_comment(text, place, value, by_house)
        && get(&text, place).as_ref() == Some(&plain(value))
    {
        return Ok(text);
    }
    let table = section_of(&mut document, section)?;
    match table.get_mut(key).and_then(Item::as_value_mut) {
        Some(old) => {
            let decor = old.decor().clone();
            *old = value.clone();
            *old.decor_mut() = beside(&decor, by_house);
        }
        None => {
            let mut value = value.clone();
            *value.decor_mut() = beside(&Decor::new(" ", ""), by_house);
            table.insert(key, Item::Value(value));
        }
    }
    Ok(document.to_string())
}

/// Takes a value out of an order; a value that is not there is no fault.
///
/// # Errors
/// Returns what is wrong where the text is not TOML.
pub(super) fn remove(text: &str, (section, key): Place) -> Result<String, String> {
    let mut document = parsed(text)?;
    if let Some(table) = document.get_mut(section).and_then(Item::as_table_like_mut) {
        table.remove(key);
    }
    Ok(document.to_string())
}

/// Adds an empty section at the end of an order, or takes one out with everything in it.
///
/// # Errors
/// Returns what is wrong where the text is not TOML.
pub(super) fn have_section(text: &str, section: &str, wanted: bool) -> Result<String, String> {
    let mut document = parsed(text)?;
    if wanted {
        section_of(&mut document, section)?;
    } else {
        document.remove(section);
    }
    Ok(document.to_string())
}

/// Adds a record of a fitting with its values, in the order given.
///
/// # Errors
/// Returns what is wrong where the text is not TOML or its fittings are no list of sections.
pub(super) fn add_fitting(text: &str, values: &[(String, Value)]) -> Result<String, String> {
    let mut document = parsed(text)?;
    let fittings = document
        .entry("fitting")
        .or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
    let fittings = fittings
        .as_array_of_tables_mut()
        .ok_or("the fittings of this order are not written as [[fitting]]")?;
    let mut fitting = Table::new();
    *fitting.decor_mut() = Decor::new("\n", "");
    for (key, value) in values {
        fitting.insert(key, Item::Value(value.clone()));
    }
    fittings.push(fitting);
    Ok(document.to_string())
}

/// Returns a value of an order as a reader sees it, without quotes.
pub(super) fn get(text: &str, (section, key): Place) -> Option<String> {
    let document = parsed(text).ok()?;
    let table = document.get(section)?.as_table_like()?;
    table.get(key)?.as_value().map(plain)
}

/// Lists the keys of every section with their values as a reader sees them.
pub(super) fn values(text: &str) -> Vec<(String, String, String)> {
    let Ok(document) = parsed(text) else {
        return Vec::new();
    };
    let mut values = Vec::new();
    for (section, item) in document.iter() {
        let entries = item.as_table_like().into_iter().flat_map(TableLike::iter);
        for (key, value) in entries {
            let shown = value.as_value().map(plain);
            values.push((
                section.to_owned(),
                key.to_owned(),
                shown.unwrap_or_default(),
            ));
        }
    }
    values
}

/// Lists the sections of an order, in the order of the file.
pub(super) fn sections(text: &str) -> Vec<String> {
    let document = parsed(text).unwrap_or_default();
    let names = document.iter().filter(|(_, item)| item.is_table_like());
    names.map(|(name, _)| name.to_owned()).collect()
}

/// Returns a text at the top of an order, such as its folder of blocks.
pub(super) fn top(text: &str, key: &str) -> Option<String> {
    let document = parsed(text).ok()?;
    Some(document.get(key)?.as_str()?.to_owned())
}

/// Returns the section and the key whose line holds a place of the text, for a finding about it.
pub(super) fn key_at(text: &str, at: usize) -> Option<(String, String)> {
    let document = Document::parse(text).ok()?;
    let line = |span: Range<usize>| {
        let from = text.get(..span.start).and_then(|before| before.rfind('\n'));
        let after = text.get(span.end..).and_then(|after| after.find('\n'));
        from.map_or(0, |from| from + 1)..after.map_or(text.len(), |to| span.end + to)
    };
    for (section, item) in document.iter() {
        let table = item.as_table_like();
        for (key, value) in table.into_iter().flat_map(TableLike::iter) {
            if value.span().is_some_and(|span| line(span).contains(&at)) {
                return Some((section.to_owned(), key.to_owned()));
            }
        }
    }
    None
}

/// Returns a value of lines as the order has them: one text, or a list.
pub(super) fn lines(text: &str) -> Value {
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    Value::Array(lines.collect::<Array>())
}

/// Tells whether a text is TOML, so that an answer can be written into it.
pub(super) fn is_readable(text: &str) -> bool {
    parsed(text).is_ok()
}

/// Parses an order for an edit.
fn parsed(text: &str) -> Result<DocumentMut, String> {
    text.parse::<DocumentMut>().map_err(|fault| {
        let line = fault.span().map_or(0, |span| span.start);
        let line = text
            .get(..line)
            .map_or(0, |before| before.matches('\n').count())
            + 1;
        let what = fault.message().lines().next().unwrap_or_default();
        format!("line {line} of the order cannot be read ({what}): mend it in the editor first")
    })
}

fn section_of<'a>(
    document: &'a mut DocumentMut,
    section: &str,
) -> Result<&'a mut dyn TableLike, String> {
    let new = || {
        let mut table = Table::new();
        *table.decor_mut() = Decor::new("\n", "");
        Item::Table(table)
    };
    let item = document.entry(section).or_insert_with(new);
    let table = item.as_table_like_mut();
    table.ok_or_else(|| format!("`{section}` is not a section of this order"))
}

/// Returns a value as a reader sees it: a text without its quotes, a list of texts in lines.
fn plain(value: &Value) -> String {
    match value {
        Value::String(text) => text.value().clone(),
        Value::Array(all) => all.iter().map(plain).collect::<Vec<_>>().join("\n"),
        other => {
            let mut bare = other.clone();
            bare.decor_mut().clear();
            bare.to_string()
        }
    }
}

/// Returns what stands beside a new value: as before, and whether the house's usual was agreed to.
fn beside(decor: &Decor, by_house: bool) -> Decor {
    let part = |raw: Option<&toml_edit::RawString>, usual: &str| {
        raw.and_then(toml_edit::RawString::as_str)
            .unwrap_or(usual)
            .to_owned()
    };
    let (prefix, suffix) = (part(decor.prefix(), " "), part(decor.suffix(), ""));
    Decor::new(prefix, comment(&suffix, by_house))
}

/// Changes the comment that ends a line.
fn comment(old: &str, by_house: bool) -> String {
    let note = old.trim_start().strip_prefix('#').unwrap_or_default();
    let said = note.trim_start().strip_prefix(BY_HOUSE);
    match (by_house, said) {
        (true, None) => {
            let rest = note.trim();
            let after = if rest.is_empty() {
                String::new()
            } else {
                format!("; {rest}")
            };
            format!(" # {BY_HOUSE}{after}")
        }
        (false, Some(rest)) => match rest.trim_start_matches(';').trim() {
            "" => String::new(),
            rest => format!(" # {rest}"),
        },
        _ => old.to_owned(),
    }
}

/// Writes a value over the line of its section that holds its key in a comment; `None` where there is none.
fn in_place_of_comment(
    text: &str,
    (section, key): Place,
    value: &Value,
    by_house: bool,
) -> Option<String> {
    let header = format!("[{section}]");
    let (mut inside, mut at) = (false, 0);
    for line in text.split_inclusive('\n') {
        let words = line.trim();
        if words.starts_with('[') {
            inside = words.starts_with(&header);
        }
        let named = words.strip_prefix('#').map(str::trim_start);
        let named = named
            .and_then(|rest| rest.strip_prefix(key))
            .map(str::trim_start);
        if inside && let Some(old) = named.and_then(|rest| rest.strip_prefix('=')) {
            let ending = line.get(line.trim_end().len()..).unwrap_or_default();
            let comment = comment(&ending_comment(old), by_house);
            let new = format!("{key} = {}{comment}{ending}", value.to_string().trim());
            return Some(format!(
                "{}{new}{}",
                text.get(..at)?,
                text.get(at + line.len()..)?
            ));
        }
        at += line.len();
    }
    None
}

/// Returns the comment that ends a line, with the space before it.
fn ending_comment(value: &str) -> String {
    let mut quoted = false;
    for (at, letter) in value.char_indices() {
        match letter {
            '"' => quoted = !quoted,
            '#' if !quoted => {
                let before = value.get(..at).unwrap_or_default().trim_end().len();
                return value
                    .get(before..)
                    .unwrap_or_default()
                    .trim_end()
                    .to_owned();
            }
            _ => {}
        }
    }
    String::new()
}

#[cfg(test)]
mod tests {
    use super::*;

    const ORDER: &str = "# head\n[client]\nname = \"A\" # his name\n\n[jacket]\n# Shape of the lapel.\n# lapel = \"notch\"\nvent = \"side\"   # two\n\n# last\n[trousers]\n";

    #[test]
    fn a_value_is_put_where_it_belongs_and_the_rest_is_kept() {
        let peak = set(ORDER, ("jacket", "lapel"), &"peak".into(), false).unwrap();
        assert_eq!(
            peak,
            ORDER.replace("# lapel = \"notch\"", "lapel = \"peak\"")
        );
        let vent = set(ORDER, ("jacket", "vent"), &"none".into(), false).unwrap();
        assert_eq!(vent, ORDER.replace("\"side\"", "\"none\""));
        let top = set(ORDER, ("trousers", "top"), &"fishtail".into(), true).unwrap();
        assert_eq!(
            top,
            format!("{ORDER}top = \"fishtail\" # as the house does\n")
        );
        let lined = set(ORDER, ("lining", "body"), &"red".into(), false).unwrap();
        assert_eq!(lined, format!("{ORDER}\n[lining]\nbody = \"red\"\n"));
    }

    #[test]
    fn what_the_house_does_is_said_and_taken_back() {
        let place = ("jacket", "vent");
        let usual = set(ORDER, place, &"side".into(), true).unwrap();
        assert!(
            usual.contains("vent = \"side\" # as the house does; two\n"),
            "{usual}"
        );
        let said = set(&usual, place, &"none".into(), false).unwrap();
        assert!(said.contains("vent = \"none\" # two\n"), "{said}");
        assert_eq!(get(&said, place).as_deref(), Some("none"));
        assert_eq!(get(&remove(&said, place).unwrap(), place), None);
    }

    #[test]
    fn a_place_in_the_text_leads_to_its_key() {
        let at = ORDER.find("side").unwrap();
        let found = key_at(ORDER, at).unwrap();
        assert_eq!(found, ("jacket".to_owned(), "vent".to_owned()));
        assert_eq!(key_at(ORDER, 0), None);
    }

    #[test]
    fn sections_come_and_go() {
        let more = have_section(ORDER, "waistcoat", true).unwrap();
        assert_eq!(more, format!("{ORDER}\n[waistcoat]\n"));
        assert_eq!(
            sections(&more),
            ["client", "jacket", "trousers", "waistcoat"]
        );
        assert!(
            !have_section(&more, "jacket", false)
                .unwrap()
                .contains("vent")
        );
        let fault = set("[jacket\n", ("jacket", "vent"), &"side".into(), false).unwrap_err();
        assert!(
            fault.starts_with("line 1 of the order cannot be read"),
            "{fault}"
        );
    }
}
