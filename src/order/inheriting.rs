//! What a garment takes from another: `like = "jacket"` at the head of its `choices.toml`.
//!
//! The choices of the other garment stand before its own, which change them one by one: a word or a bound is
//! added or replaced, `without` drops words of a choice or whole choices, and `fixed` settles a choice for every
//! order, so that it is not asked and the scripts find it all the same.

use super::declaring::{BUILT_IN, merge};
use crate::diagnostic::{Diagnostic, Source, nearest};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;
use toml::{Table, Value};

/// The most garments that one is like, each by the next.
const LONGEST_LINE: usize = 8;

/// A fault of a choice: its name, and what is wrong.
pub(super) type Fault = (String, String);

/// The files that declare the choices of one garment, as they were written.
pub(super) struct Files(Vec<(Arc<Source>, Table)>);

impl Files {
    /// Reads the file that the program brings for a garment, and that of a folder.
    ///
    /// # Errors
    /// Returns a fault where one cannot be read, or is not TOML.
    pub(super) fn read(garment: &str, folder: Option<&Path>) -> Result<Self, Diagnostic> {
        let built_in = BUILT_IN.iter().find(|(name, _)| *name == garment);
        let built_in =
            built_in.map(|(name, text)| Source::new(format!("blocks/{name}/choices.toml"), *text));
        let own = folder
            .map(|folder| folder.join(garment).join("choices.toml"))
            .filter(|path| path.is_file())
            .map(|path| Source::read(&path))
            .transpose()?;
        let read = |source: Arc<Source>| match toml::from_str::<Table>(&source.text) {
            Ok(table) => Ok((source, table)),
            Err(e) => {
                let (fault, span) = (e.message(), e.span());
                let finding = Diagnostic::error(format!(
                    "the choices of the {garment} cannot be read: {fault}"
                ));
                Err(match span {
                    Some(span) => finding.at(&source, span, ""),
                    None => finding.in_file(&source),
                })
            }
        };
        let own = own.map(read).transpose()?;
        // A file that says what its garment is like says all of it.
        let whole = own
            .as_ref()
            .is_some_and(|(_, table)| table.contains_key("like"));
        let built_in = built_in.filter(|_| !whole).map(read).transpose()?;
        Ok(Self(built_in.into_iter().chain(own).collect()))
    }

    /// Returns the garment that this one is like, as the last file that names one has it.
    fn like(&self) -> Option<(&Arc<Source>, &str)> {
        let named = self
            .0
            .iter()
            .rev()
            .find(|(_, table)| table.contains_key("like"));
        named.map(|(source, table)| (source, like(table).unwrap_or_default()))
    }

    /// Returns the file in which something is written, the last one first, and the last one where it is in none.
    pub(super) fn holding<'f>(line: &'f [&'f Self], text: &str) -> Option<&'f Arc<Source>> {
        let sources = || line.iter().rev().flat_map(|files| files.0.iter().rev());
        let holding = sources().find(|(source, _)| source.text.contains(text));
        holding
            .or_else(|| sources().next())
            .map(|(source, _)| source)
    }
}

/// Returns the garment that a table of choices says it is like.
fn like(table: &Table) -> Option<&str> {
    table.get("like").and_then(Value::as_str)
}

/// Returns the garment that a `choices.toml` says it is like. A file that is not TOML says nothing: its fault is
/// told where its choices are asked for.
pub fn liked_by(text: &str) -> Option<String> {
    let table: Table = toml::from_str(text).ok()?;
    like(&table).map(str::to_owned)
}

/// Returns a garment with those it is like, the furthest first and itself last.
///
/// # Errors
/// Returns a fault where a garment is like itself, or like one that is not there.
pub(super) fn line(
    garment: &str,
    all: &BTreeMap<String, Result<Files, Diagnostic>>,
) -> Result<Vec<String>, Diagnostic> {
    let mut line = vec![garment.to_owned()];
    let mut last = garment.to_owned();
    while let Some(Ok(files)) = all.get(&last) {
        let Some((source, next)) = files.like() else {
            break;
        };
        let told = |text: String| {
            let finding = Diagnostic::error(format!("the {last} is like `{next}`, {text}"));
            let at = source.text.find("like");
            match at {
                Some(at) => finding.at(source, at..at + 4, ""),
                None => finding.in_file(source),
            }
        };
        if line.iter().any(|name| name == next) || line.len() >= LONGEST_LINE {
            return Err(told("which is like the other again".to_owned()));
        }
        if !all.contains_key(next) {
            let names: Vec<&str> = all.keys().map(String::as_str).collect();
            let fault = told("and there is no such garment".to_owned());
            let fault = fault.suggest(next, names.iter().copied());
            return Err(fault.note(format!("the garments are {}", names.join(", "))));
        }
        line.push(next.to_owned());
        last = next.to_owned();
    }
    line.reverse();
    Ok(line)
}

/// Lays the files of a line of garments over each other, the furthest first.
///
/// # Errors
/// Returns the name of a choice and what is wrong with a change of it.
pub(super) fn together(line: &[&Files]) -> Result<Table, Fault> {
    let mut whole = Table::new();
    for (_, table) in line.iter().flat_map(|files| &files.0) {
        lay_over(&mut whole, table.clone())?;
    }
    Ok(whole)
}

/// Changes a table of choices by another: what is dropped goes first, then choices and words are added and changed.
fn lay_over(whole: &mut Table, mut changes: Table) -> Result<(), Fault> {
    changes.remove("like");
    if let Some(dropped) = changes.remove("without") {
        for name in names("without", &dropped)? {
            drop_choice(whole, &name)?;
        }
    }
    if let Some((name, _)) = changes.iter().find(|(_, change)| !change.is_table()) {
        let text = "it is no choice: only `like` and `without` stand before the first [choice]";
        return Err((name.clone(), text.to_owned()));
    }
    // Words go before others of the same name come.
    for (choice, change) in &mut changes {
        let dropped = change.as_table_mut();
        let Some(dropped) = dropped.and_then(|table| table.remove("without")) else {
            continue;
        };
        for word in names(choice, &dropped)? {
            drop_word(whole, choice, &word)?;
        }
    }
    merge(whole, changes);
    Ok(())
}

/// Returns a list of names.
fn names(of: &str, value: &Value) -> Result<Vec<String>, Fault> {
    let list = value.as_array().map(|all| all.iter().map(Value::as_str));
    let list = list.and_then(|all| all.map(|name| name.map(str::to_owned)).collect());
    let fault = || "`without` is a list of names, as [\"shawl\", \"peak\"]".to_owned();
    list.ok_or_else(|| (of.to_owned(), fault()))
}

/// Says that a name is not there to be dropped.
fn not_there(of: &str, name: &str, there: &Table) -> Fault {
    let meant = nearest(name, there.keys().map(String::as_str));
    let meant = meant.map_or(String::new(), |meant| format!(". Perhaps: {meant}"));
    (
        of.to_owned(),
        format!("`{name}` is not there to be left out{meant}"),
    )
}

/// Drops a choice, and those that have a meaning only with it.
fn drop_choice(whole: &mut Table, name: &str) -> Result<(), Fault> {
    if whole.remove(name).is_none() {
        return Err(not_there("without", name, whole));
    }
    let needs = |value: &Value| {
        value
            .get("only_with")
            .is_some_and(|with| with.get(name).is_some())
    };
    let below: Vec<String> = whole
        .iter()
        .filter(|(_, value)| needs(value))
        .map(|(below, _)| below.clone())
        .collect();
    below.iter().try_for_each(|below| drop_choice(whole, below))
}

/// Drops a word of a choice, and what others say of it.
fn drop_word(whole: &mut Table, choice: &str, word: &str) -> Result<(), Fault> {
    let words = whole
        .get_mut(choice)
        .and_then(|choice| choice.get_mut("words"));
    if let Some(words) = words.and_then(Value::as_table_mut)
        && words.remove(word).is_none()
    {
        return Err(not_there(choice, word, words));
    }
    let mut idle = Vec::new();
    for (name, other) in whole.iter_mut() {
        let by = other.get_mut("default").and_then(|by| by.get_mut(choice));
        if let Some(by) = by.and_then(Value::as_table_mut) {
            by.remove(word);
        }
        let with = other
            .get_mut("only_with")
            .and_then(|with| with.get_mut(choice));
        if let Some(with) = with.and_then(Value::as_array_mut) {
            with.retain(|named| named.as_str() != Some(word));
            if with.is_empty() {
                idle.push(name.clone());
            }
        }
    }
    // With no word left that it goes with it has no meaning.
    for name in idle {
        if whole.contains_key(&name) {
            drop_choice(whole, &name)?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::choices::{Choices, DefaultChoice};
    use crate::order::{Choice, Style};

    const COAT: &str = r#"
        [fastening]
        about = "buttons"
        kind = "word"
        default = "one"
        words = { one = "", two = "", six = "" }
        [lapel]
        about = "lapel"
        kind = "word"
        default = { fastening = { one = "notch", two = "notch", six = "peak" } }
        words = { notch = "", peak = "" }
        [hole]
        about = "a hole"
        kind = "flag"
        default = false
        only_with = { lapel = ["peak"] }
        [depth]
        about = "depth"
        kind = "length"
        default = 5
        least = 4
        most = 6
    "#;

    fn worn(own: &str) -> Result<Choices, Fault> {
        let mut whole = Table::new();
        for text in [COAT, own] {
            lay_over(&mut whole, toml::from_str(text).unwrap())?;
        }
        Choices::declared(whole)
    }

    #[test]
    fn a_garment_changes_what_it_takes_choice_by_choice() {
        let choices = worn(
            "like = \"coat\"\nwithout = [\"hole\"]\n[fastening]\ndefault = \"three\"\nwithout = [\"six\", \"one\"]\n\
             words.three = \"its own\"\n[lapel]\ndefault.fastening.three = \"peak\"\n[depth]\nfixed = 5.5\n",
        )
        .unwrap();
        let names: Vec<&str> = choices
            .0
            .iter()
            .map(|choice| choice.name.as_str())
            .collect();
        assert_eq!(names, ["fastening", "lapel"]);
        let mut style = Style::new();
        choices.complete(&mut style);
        let word = |word: &str| Some(Choice::Word(word.to_owned()));
        assert_eq!(style.get("fastening").cloned(), word("three"));
        assert_eq!(style.get("lapel").cloned(), word("peak"));
        assert_eq!(style.get("depth"), Some(&Choice::Length(55.0)));
    }

    #[test]
    fn what_leans_on_a_dropped_or_a_fixed_choice_follows_it() {
        // With no peak there is no hole; with a fixed peak it needs nothing more.
        let without_peak =
            worn("[lapel]\nwithout = [\"peak\"]\ndefault.fastening.six = \"notch\"\n").unwrap();
        assert!(without_peak.get("hole").is_none());
        let peaked = worn("[lapel]\nfixed = \"peak\"\n").unwrap();
        assert!(peaked.get("hole").unwrap().only_with.is_empty());
        assert!(
            worn("[lapel]\nfixed = \"notch\"\n")
                .unwrap()
                .get("hole")
                .is_none()
        );
        let choices = worn("[fastening]\nfixed = \"six\"\n").unwrap();
        let lapel = &choices.get("lapel").unwrap().default;
        assert_eq!(
            *lapel,
            DefaultChoice::Fixed(Choice::Word("peak".to_owned()))
        );
    }

    #[test]
    fn faults_of_a_change_are_told() {
        for (own, told) in [
            (
                "without = [\"hloe\"]",
                "`hloe` is not there to be left out. Perhaps: hole",
            ),
            ("without = \"hole\"", "`without` is a list of names"),
            ("lyke = \"coat\"", "only `like` and `without` stand before"),
            ("[lapel]\nwithout = [\"shawl\"]", "`shawl` is not there"),
            ("[depth]\nfixed = 9", "9 cm is outside 4 to 6 cm"),
            (
                "[fastening]\nwithout = [\"one\"]",
                "`one` is not one of its words",
            ),
        ] {
            let (_, fault) = worn(own).unwrap_err();
            assert!(fault.contains(told), "{own}: {fault}");
        }
    }
}
