//! What can be ordered: which garments there are, their style choices, and the house's numbers. A
//! folder of the workshop's own adds to what the program brings.

use super::checking::called_here;
use super::choices::{self, Choices};
use super::reading::Findings;
use super::{House, checking};
use crate::diagnostic::Source;
use crate::diagnostic::{Diagnostic, nearest};
use std::fs;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use toml::Spanned;
use toml::de::DeValue;

/// Of so many entries of a folder it is found out whether it holds blocks.
const MOST_LOOKED_AT: usize = 1000;

/// So many folders that are no garments' are named.
const MOST_NAMED: usize = 12;

/// The built-in catalogue and, before it, a folder.
#[derive(Debug, Clone, Default)]
pub struct Catalogue {
    folder: Option<PathBuf>,
}

impl Catalogue {
    /// The built-in catalogue, behind a folder that holds a folder for each garment of its own and
    /// may hold a `house.toml` and a `lays.toml`.
    pub fn new(folder: Option<PathBuf>) -> Self {
        Self { folder }
    }

    /// The garments that can be ordered, by name.
    pub fn garments(&self) -> Vec<String> {
        let mut names: Vec<String> = choices::BUILT_IN
            .iter()
            .map(|(name, _)| (*name).to_owned())
            .collect();
        let entries = self
            .folder
            .as_ref()
            .and_then(|folder| fs::read_dir(folder).ok());
        for entry in entries.into_iter().flatten().flatten() {
            let name = entry.file_name().into_string().ok();
            let own = name.filter(|name| {
                entry.path().join("choices.toml").is_file() && !names.contains(name)
            });
            names.extend(own.filter(|name| !checking::SECTIONS.contains(&name.as_str())));
        }
        names.sort();
        names
    }

    /// The style choices of a garment. A `choices.toml` of the workshop's own may add choices and
    /// words to the built-in ones, or change their defaults and bounds.
    pub fn choices(&self, garment: &str) -> Result<Choices, Diagnostic> {
        let built_in = choices::BUILT_IN.iter().find(|(name, _)| *name == garment);
        let built_in =
            built_in.map(|(name, text)| Source::new(format!("blocks/{name}/choices.toml"), *text));
        let own = self
            .folder
            .as_ref()
            .map(|folder| folder.join(garment).join("choices.toml"));
        let own = own
            .filter(|path| path.is_file())
            .map(|path| Source::read(&path))
            .transpose()?;
        let Some(last) = own.as_ref().or(built_in.as_ref()) else {
            return Err(Diagnostic::error(format!("there is no block `{garment}`")));
        };
        let mut table = toml::Table::new();
        for source in built_in.iter().chain(&own) {
            let changes = toml::from_str(&source.text)
                .map_err(|e| unreadable(garment, source, e.message(), e.span()))?;
            choices::merge(&mut table, changes);
        }
        Choices::declared(table).map_err(|(name, fault)| {
            let header = format!("[{name}]");
            let span = last.text.find(&header).map(|at| at..at + header.len());
            unreadable(garment, last, &format!("{name}: {fault}"), span)
        })
    }

    /// Reads a file of the folder; `None` if the folder has no such file.
    ///
    /// # Errors
    /// When the file is there and cannot be read.
    pub fn own(&self, name: &str) -> Result<Option<Arc<Source>>, Diagnostic> {
        let path = self.folder.as_ref().map(|folder| folder.join(name));
        let path = path.filter(|path| path.is_file());
        path.map(|path| Source::read(&path)).transpose()
    }

    /// The house's numbers: the built-in ones with the folder's changes.
    pub fn house(&self) -> Result<House, Vec<Diagnostic>> {
        let mut house = House::built_in().map_err(|fault| vec![Diagnostic::error(fault)])?;
        let own = self.folder.as_ref().map(|folder| folder.join("house.toml"));
        let Some(path) = own.filter(|path| path.is_file()) else {
            return Ok(house);
        };
        let source = Source::read(&path).map_err(|fault| vec![fault])?;
        let mut findings = Findings::new(&source);
        if let Some(table) = findings.parse(&source.text) {
            let whole: Range<usize> = 0..source.text.len();
            let entries = findings.entries("house", Spanned::new(whole, DeValue::Table(table)));
            checking::change(&mut house, entries, &mut findings);
        }
        if findings.failed() {
            Err(findings.in_order())
        } else {
            Ok(house)
        }
    }
}

/// What is to be doubted of a folder that was named as one of blocks: that it is none (an error), or that a
/// folder in it bears a name that only looks like a garment's (a warning). `None` where all is well.
pub fn doubt(folder: &Path) -> Option<Diagnostic> {
    let help = "a folder of blocks holds a folder for each garment (jacket), a house.toml, or both; its path runs from the order's own folder";
    if !folder.is_dir() {
        let fault = Diagnostic::error(format!(
            "there is no such folder of blocks as `{}`",
            folder.display()
        ));
        return Some(fault.help(help));
    }
    let garments = Catalogue::new(Some(folder.to_owned())).garments();
    let (mut blocks, mut others) = (folder.join("house.toml").is_file(), Vec::new());
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    for entry in entries.take(MOST_LOOKED_AT) {
        let name = entry.file_name().to_string_lossy().into_owned();
        if garments.contains(&name) && entry.path().is_dir() {
            blocks = true;
        } else if entry.path().is_dir() && !name.starts_with('.') {
            others.push(name);
        }
    }
    others.sort();
    let meant: Vec<String> = others
        .iter()
        .take(MOST_NAMED)
        .filter_map(|name| {
            let near = nearest(called_here(name), garments.iter().map(String::as_str))?;
            Some(format!("`{name}`: did you mean `{near}`?"))
        })
        .collect();
    let finding = match (blocks, meant.is_empty()) {
        (true, true) => return None,
        (true, false) => Diagnostic::warning(format!(
            "a folder in `{}` is no garment's, and nothing in it is used as one's",
            folder.display()
        )),
        (false, _) => Diagnostic::error(format!("`{}` holds no block", folder.display())),
    };
    let shown: Vec<&str> = others.iter().take(MOST_NAMED).map(String::as_str).collect();
    let holds = match others.len() {
        0 => "there is no folder in it".to_owned(),
        1..=MOST_NAMED => format!("its folders are {}", shown.join(", ")),
        all => format!("it has {all} folders: {}, …", shown.join(", ")),
    };
    let finding = finding.note(holds).note(format!(
        "garments are {}; one of your own has a choices.toml in its folder",
        garments.join(", ")
    ));
    let finding = meant.into_iter().fold(finding, Diagnostic::help);
    Some(match blocks {
        true => finding,
        false => finding.help(help),
    })
}

fn unreadable(
    garment: &str,
    source: &Arc<Source>,
    fault: &str,
    span: Option<Range<usize>>,
) -> Diagnostic {
    let finding = Diagnostic::error(format!(
        "the choices of the {garment} cannot be read: {fault}"
    ));
    match span {
        Some(span) => finding.at(source, span, ""),
        None => finding.in_file(source),
    }
}
