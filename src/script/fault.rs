//! Faults of a block, with file, line and text.

use super::library::Library;
use super::words::SheetFault;
use crate::diagnostic::nearest;
use crate::order::Garment;
use crate::order::measures::KINDS;
use rhai::EvalAltResult;
use std::fmt;

/// Message for a block that spends more than [`limits::MOST_SPENT`](super::limits::MOST_SPENT).
pub(super) const TOO_MUCH: &str =
    "the block draws more than any garment needs: is there a loop without an end?";

/// A fault in a block, or measures that it cannot draft.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BlockFault {
    /// The garment that was being drafted.
    pub garment: String,
    /// File, as messages name it.
    pub file: String,
    /// Line in the file, from 1, if known.
    pub line: Option<usize>,
    /// Column in the line, from 1, if known.
    pub column: Option<usize>,
    /// The text of that line.
    pub text: String,
    /// The fault in words.
    pub message: String,
    /// Whether the block is sound and refuses the order for this reason.
    pub refused: bool,
    /// Files and lines of the calls that led there, innermost first.
    pub calls: Vec<String>,
}

impl fmt::Display for BlockFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the {} cannot be drafted: {}",
            self.garment, self.message
        )?;
        if self.refused {
            return Ok(());
        }
        write!(f, "\n  {}", self.file)?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
            if let Some(column) = self.column {
                write!(
                    f,
                    ":{column}\n    {}\n    {}^",
                    self.text,
                    " ".repeat(column.saturating_sub(1))
                )?;
            }
        }
        for call in &self.calls {
            write!(f, "\n  called from {call}")?;
        }
        Ok(())
    }
}

impl std::error::Error for BlockFault {}

impl BlockFault {
    /// Makes a fault of a finished draft. `source` is the step that it comes from: a file, or file and line.
    pub fn at(library: &Library, garment: &Garment, source: &str, message: String) -> Self {
        let placed = source.rsplit_once(':');
        let placed = placed.and_then(|(file, line)| Some((file, line.parse::<usize>().ok()?)));
        let (file, line) = match placed {
            Some((file, line)) => (file, Some(line)),
            None => (source, None),
        };
        let text = line.and_then(|line| library.text(file)?.lines().nth(line.checked_sub(1)?));
        let text = text.unwrap_or_default().to_owned();
        Self {
            garment: garment.block.clone(),
            file: library.shown(file),
            line,
            column: None,
            text,
            message,
            refused: false,
            calls: Vec::new(),
        }
    }
}

/// Unwraps an error of the engine to its innermost place, and keeps the calls that led there.
pub(super) fn fault(
    library: &Library,
    garment: &Garment,
    main: &str,
    error: &EvalAltResult,
) -> BlockFault {
    let (mut file, mut error) = (main.to_owned(), error);
    let mut calls = Vec::new();
    loop {
        let (inner_file, inner, position) = match error {
            EvalAltResult::ErrorInFunctionCall(_, source, inner, position) => {
                (source, inner, position)
            }
            EvalAltResult::ErrorInModule(path, inner, position) => (path, inner, position),
            _ => break,
        };
        if let Some(line) = position.line() {
            calls.push(format!("{}:{line}", library.shown(&file)));
        }
        if !inner_file.is_empty() {
            file.clone_from(inner_file);
        }
        error = inner;
    }
    calls.reverse();
    let position = error.position();
    let line = position.line();
    let text = line
        .and_then(|line| library.text(&file)?.lines().nth(line - 1))
        .unwrap_or_default()
        .to_owned();
    BlockFault {
        garment: garment.block.clone(),
        file: library.shown(&file),
        line,
        column: position.position(),
        text,
        message: message(library, error),
        refused: matches!(error, EvalAltResult::ErrorRuntime(value, _) if value.is::<SheetFault>()),
        calls,
    }
}

/// Says that a script is not there. Names the nearest script in the same folder, or all of them where none is
/// near, so that a word of a choice without a script is told with the words that have one.
fn missing(library: &Library, path: &str) -> String {
    let (folder, name) = path.rsplit_once('/').unwrap_or(("", path));
    let there = library.scripts_in(folder);
    let fault = format!("there is no block '{path}'");
    match nearest(name, there.iter().map(String::as_str)) {
        Some(near) => format!("{fault}. Perhaps: '{folder}/{near}'"),
        None if there.is_empty() => fault,
        None => format!("{fault}; beside it there are {}", there.join(", ")),
    }
}

/// Names the kinds of values as the writer of a script knows them.
fn in_words(kinds: &str) -> String {
    let kinds = kinds.replace("&str | ImmutableString | String", "text");
    let kinds = kinds.split(", ").map(|kind| match kind {
        "i64" | "f64" => "number",
        "array" => "list",
        "map" => "table",
        "()" => "nothing",
        other => other,
    });
    kinds.collect::<Vec<_>>().join(", ")
}

/// Says an error in words, without its place, which is told beside it.
fn message(library: &Library, error: &EvalAltResult) -> String {
    match error {
        EvalAltResult::ErrorRuntime(value, _) => match value.clone().try_cast::<SheetFault>() {
            Some(SheetFault(reason)) => reason,
            None => value.to_string(),
        },
        EvalAltResult::ErrorModuleNotFound(path, _) => missing(library, path),
        EvalAltResult::ErrorStackOverflow(_) => {
            "its functions call each other too deeply: is there an end to them?".to_owned()
        }
        EvalAltResult::ErrorTerminated(..) => TOO_MUCH.to_owned(),
        EvalAltResult::ErrorPropertyNotFound(name, _) => {
            let meant = nearest(name, KINDS.iter().map(|kind| kind.name));
            let meant = meant.map_or(String::new(), |word| format!(". Perhaps: {word}"));
            format!("it has no `{name}`{meant}")
        }
        EvalAltResult::ErrorVariableNotFound(name, _) => format!("nothing here is called `{name}`"),
        EvalAltResult::ErrorFunctionNotFound(signature, _) => {
            let (name, takes) = signature.split_once(" (").unwrap_or((signature, ")"));
            let takes = in_words(takes.trim_end_matches(')'));
            format!("there is no word or function `{name}` for ({takes})")
        }
        EvalAltResult::ErrorTooManyOperations(_) => {
            "the block runs too long: is there a loop without an end?".to_owned()
        }
        other => {
            let mut plain = other.to_string();
            if let Some(at) = plain.rfind(" (line ") {
                plain.truncate(at);
            }
            plain
        }
    }
}
