//! The next order of a client: his measures, figure and fittings are kept, his choices are asked anew.

use super::catalogue::Catalogue;
use super::choices::{Choices, Declared, DefaultChoice, Domain};
use super::file::TRIMMINGS;
use super::phrase::Terms;
use super::reading::Findings;
use super::starter::{choice, written};
use super::words::exact;
use super::{Garment, Order};
use crate::diagnostic::{Diagnostic, Source};
use crate::units::Unit;
use std::fmt::Write;
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Writes the next order. Measures, figure, fittings and the house's numbers stand as in the old one, with
/// their comments. Everything that was chosen last time is left empty, with what it was; `check` calls an empty
/// choice a fault until it is made. `folder` is where the new file will stand.
///
/// # Errors
/// Returns a fault where the old order's file or its blocks cannot be read any more.
pub fn next(
    catalogue: &Catalogue,
    old: &Order,
    source: &Arc<Source>,
    folder: &Path,
) -> Result<String, Diagnostic> {
    let mut findings = Findings::new(source);
    let unread = || Diagnostic::error("this order cannot be read").in_file(source);
    let root = findings.parse(&source.text).ok_or_else(unread)?;
    let kept = Kept {
        text: &source.text,
        root: &root,
    };
    let mut text = head(old);
    if let Some(blocks) = &old.blocks {
        let path = blocks.canonicalize().unwrap_or_else(|_| blocks.clone());
        let path = folder.canonicalize().map_or(path.clone(), |folder| {
            path.strip_prefix(folder)
                .map_or(path.clone(), Path::to_path_buf)
        });
        let path = toml::Value::String(path.display().to_string());
        let _ = writeln!(text, "blocks = {path}\n");
    }
    client(old, &mut text);
    for (name, about) in [
        (
            "measures",
            "As last time: measure again what may have changed, the waist first.",
        ),
        ("figure", "What the cutter saw last time."),
    ] {
        kept.section(name, about, &mut text);
    }
    kept.fittings(&old.client.reference, &mut text);
    cloth(old, &kept, &mut text);
    let terms = Terms {
        unit: old.unit,
        house: Some(&old.house),
    };
    for garment in &old.garments {
        let choices = catalogue.choices(&garment.block)?;
        let made = kept.keys(&garment.block);
        asked(garment, choices, &made, &terms, &mut text);
    }
    for name in catalogue.garments() {
        if !old.garments.iter().any(|garment| garment.block == name) {
            let _ = writeln!(
                text,
                "\n# Delete the # to have one made this time.\n# [{name}]"
            );
        }
    }
    kept.section(
        "house",
        "The workshop's own numbers for this client.",
        &mut text,
    );
    Ok(text)
}

fn head(old: &Order) -> String {
    format!(
        "# The next order of {}, after {}. What is empty was chosen last time and is asked again:\n\
         #   chalkstripe check THIS-FILE    lists what is still to be chosen\n",
        old.client.name, old.client.reference
    ) + "# Delete a line to have the usual, or the # before a line to have something else.\n\n"
}

fn client(old: &Order, text: &mut String) {
    let name = toml::Value::String(old.client.name.clone());
    let last = match old.client.date.as_str() {
        "" => String::new(),
        date => format!(" of {date}"),
    };
    let _ = write!(
        text,
        "[client]\nname = {name}\n# reference = \"\"      # if empty, the name of this file; last time {}{last}\n\
         # date = 2026-01-31\n# notes = [\"for the ticket\"]\n",
        old.client.reference
    );
}

/// Asks anew for the cloth and the words for the ticket.
fn cloth(old: &Order, kept: &Kept, text: &mut String) {
    let last = &old.cloth.name;
    let _ = write!(
        text,
        "\n[cloth]\nname = \"\"             # last time: {last}\nwidth = {}           # selvedge to selvedge, as last time\n",
        match old.unit {
            Unit::Cm => exact(old.cloth.width / 10.0),
            unit => unit.written(old.cloth.width, Unit::Cm),
        }
    );
    for (key, about) in [
        ("repeat_across", "of a check or stripe"),
        ("repeat_along", ""),
        ("nap", "\"one_way\" or \"two_ways\""),
        ("layout", "\"doubled\" or \"open\""),
    ] {
        let was = kept
            .value("cloth", key)
            .map(|was| format!("last time {was}"));
        let words: Vec<String> = [Some(about.to_owned()), was]
            .into_iter()
            .flatten()
            .collect();
        let words = words.join("; ");
        let _ = writeln!(
            text,
            "{:<21} # {}",
            format!("# {key} ="),
            words.trim_start_matches("; ")
        );
    }
    others(old, kept, text);
    for (section, keys) in [
        ("lining", &[("body", ""), ("sleeves", "")][..]),
        ("trimmings", TRIMMINGS),
    ] {
        let _ = writeln!(text, "\n[{section}]");
        for (key, about) in keys {
            let was = kept
                .value(section, key)
                .map(|was| format!("last time {was}"));
            let words: Vec<String> = [Some((*about).to_owned()), was]
                .into_iter()
                .flatten()
                .collect();
            let line = format!("# {key} = \"\"");
            let _ = writeln!(
                text,
                "{line:<25} # {}",
                words.join("; ").trim_start_matches("; ")
            );
        }
    }
}

/// Asks anew for the cloths of single garments, and which the other materials are.
fn others(old: &Order, kept: &Kept, text: &mut String) {
    for own in &old.other_cloths {
        for garment in &own.garments {
            let _ = write!(
                text,
                "\n# Delete this section to have it of the suit's cloth.\n[cloth.{garment}]\nname = \"\"             # last time: {}\n",
                own.cloth.name
            );
        }
    }
    let goods = old
        .materials
        .all()
        .filter(|m| !m.is_cloth() && m.id != "lining");
    for material in goods.filter(|material| !kept.keys(&material.id).is_empty()) {
        let _ = writeln!(text, "\n[{}]", material.id);
        for key in ["name", "width"] {
            if let Some(was) = kept.value(&material.id, key) {
                let _ = match key {
                    "width" => writeln!(text, "width = {was}"),
                    _ => writeln!(text, "{:<25} # last time {was}", format!("# {key} = \"\"")),
                };
            }
        }
    }
}

/// Writes a garment: what was chosen stands empty, the rest with its default in comments.
fn asked(garment: &Garment, choices: &Choices, made: &[String], terms: &Terms, text: &mut String) {
    let Garment { block, style } = garment;
    let unit = terms.unit;
    let _ = writeln!(
        text,
        "\n# Delete this section if none is wanted.\n[{block}]"
    );
    for declared in &choices.0 {
        if !made.contains(&declared.name) {
            choice(declared, choices, terms, text);
            continue;
        }
        let last = style.get(&declared.name);
        let last = last.map(|last| written(last, unit)).unwrap_or_default();
        let _ = writeln!(text, "\n# {}.", declared.about.text(terms));
        match &declared.domain {
            domain @ Domain::Word(_) => {
                for (word, about) in domain.words(terms) {
                    let line = format!("#   {word}: {about}");
                    let _ = writeln!(text, "{}", line.trim_end_matches(": "));
                }
            }
            domain => {
                let _ = writeln!(text, "#   {}", domain.described(unit));
            }
        }
        let usual = usual(declared, unit);
        let line = format!("{} = \"\"", declared.name);
        let _ = writeln!(text, "{line:<25} # last time {last}{usual}");
    }
}

/// Says what is usual, where the default is a single value.
fn usual(declared: &Declared, unit: Unit) -> String {
    match &declared.default {
        DefaultChoice::Fixed(choice) => format!("; usual {}", written(choice, unit)),
        _ => String::new(),
    }
}

/// The old order's file.
struct Kept<'a> {
    text: &'a str,
    root: &'a DeTable<'a>,
}

impl Kept<'_> {
    /// Lists the entries of a section, in the order of the file.
    fn entries(&self, table: &DeTable) -> Vec<(String, Range<usize>)> {
        let mut found = Vec::new();
        gathered("", table, &mut found);
        found.sort_by_key(|(_, place)| place.start);
        found
    }

    fn table(&self, name: &str) -> Option<&DeTable<'_>> {
        match self.root.get(name).map(Spanned::get_ref) {
            Some(DeValue::Table(table)) => Some(table),
            _ => None,
        }
    }

    fn keys(&self, name: &str) -> Vec<String> {
        let table = self.table(name).map(|table| self.entries(table));
        let entries = table.unwrap_or_default();
        entries.into_iter().map(|(key, _)| key).collect()
    }

    fn value(&self, section: &str, key: &str) -> Option<&str> {
        let entries = self.entries(self.table(section)?);
        let (_, place) = entries.into_iter().find(|(name, _)| name == key)?;
        self.text.get(place)?.lines().next()
    }

    /// Copies a section, each value as it was written, with the comment that ends its line.
    fn section(&self, name: &str, about: &str, text: &mut String) {
        let Some(table) = self.table(name) else {
            return;
        };
        let _ = writeln!(text, "\n# {about}\n[{name}]");
        self.copy(table, text);
    }

    fn copy(&self, table: &DeTable, text: &mut String) {
        for (name, place) in self.entries(table) {
            let value = self.text.get(place.clone()).unwrap_or_default();
            let rest = self.text.get(place.end..).unwrap_or_default();
            let comment = rest.lines().next().unwrap_or_default();
            let comment = if comment.trim_start().starts_with('#') {
                comment
            } else {
                ""
            };
            let _ = writeln!(text, "{name} = {value}{comment}");
        }
    }

    /// Copies the fittings, each with the order it was made on.
    fn fittings(&self, reference: &str, text: &mut String) {
        let Some(DeValue::Array(fittings)) = self.root.get("fitting").map(Spanned::get_ref) else {
            return;
        };
        let _ = writeln!(
            text,
            "\n# What the earlier fittings showed; the draft follows all of them."
        );
        for fitting in fittings.iter() {
            if let DeValue::Table(table) = fitting.get_ref() {
                let _ = writeln!(text, "[[fitting]]");
                if !table.contains_key("order") {
                    let reference = toml::Value::String(reference.to_owned());
                    let _ = writeln!(text, "order = {reference}");
                }
                self.copy(table, text);
            }
        }
    }
}

/// Gathers the names and places of values, those of nested tables by dotted names: `high_hip.left`.
fn gathered(above: &str, table: &DeTable, found: &mut Vec<(String, Range<usize>)>) {
    for (key, value) in table {
        let name = format!("{above}{}", key.get_ref());
        match value.get_ref() {
            DeValue::Table(inner) => gathered(&format!("{name}."), inner, found),
            _ => found.push((name, value.span())),
        }
    }
}
