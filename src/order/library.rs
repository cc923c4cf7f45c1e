//! The block library as an order sees it: which garments there are, their style choices, and the
//! house's numbers. A folder of the workshop's own goes before what the program brings.

use super::choices::{self, Choices};
use super::reading::Findings;
use super::source::Source;
use super::{Diagnostic, House, checking};
use std::fs;
use std::ops::Range;
use std::path::PathBuf;
use std::sync::Arc;
use toml::Spanned;
use toml::de::DeValue;

/// The built-in library and, before it, a folder.
#[derive(Debug, Clone, Default)]
pub struct Library {
    folder: Option<PathBuf>,
}

impl Library {
    /// The built-in library, behind a folder that holds a folder for each garment of its own and
    /// may hold a `house.toml`.
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

    /// The style choices of a garment.
    pub fn choices(&self, garment: &str) -> Result<Choices, Diagnostic> {
        let source = self.choices_source(garment)?;
        Choices::parse(&source.text).map_err(|(message, span)| {
            let fault = Diagnostic::error(format!(
                "the choices of the {garment} cannot be read: {message}"
            ));
            match span {
                Some(span) => fault.at(&source, span, ""),
                None => fault.in_file(&source),
            }
        })
    }

    fn choices_source(&self, garment: &str) -> Result<Arc<Source>, Diagnostic> {
        let own = self
            .folder
            .as_ref()
            .map(|folder| folder.join(garment).join("choices.toml"));
        if let Some(path) = own.filter(|path| path.is_file()) {
            return Source::read(&path);
        }
        let built_in = choices::BUILT_IN.iter().find(|(name, _)| *name == garment);
        let missing = || Diagnostic::error(format!("there is no block `{garment}`"));
        built_in
            .map(|(name, text)| Source::new(format!("blocks/{name}/choices.toml"), *text))
            .ok_or_else(missing)
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
