//! The garments that can be ordered, their style choices, and the house's numbers. A folder of the workshop's
//! own adds to what the program brings.

use super::House;
use super::besides::Besides;
use super::besides_file;
use super::block_numbers;
use super::choices::Choices;
use super::colours;
use super::declaring::BUILT_IN;
use super::inheriting::{self, Files};
use super::material::Materials;
use super::phrase::Terms;
use super::reading::Findings;
use super::sections::{SECTIONS, called_here};
use super::talk_order::{self, Named, TalkOrder};
use crate::cloth::{Trims, Weave, weaves};
use crate::diagnostic::{Diagnostic, Source, nearest};
use crate::units::Unit;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;
use toml::Spanned;
use toml::de::DeValue;

/// The most entries of a folder that are looked at to tell whether it holds blocks: a folder of blocks has a
/// handful, and a home folder that was named by mistake may have any number.
const MOST_LOOKED_AT: usize = 1000;

/// The most folders that a message names.
const MOST_NAMED: usize = 12;

/// The garments that can be ordered, their choices, and the house's numbers: what the program brings, with
/// the changes of a folder of the workshop's own.
///
/// A part that cannot be read keeps its faults, which are told to whoever asks for that part: an order for
/// trousers is not refused for the choices of a jacket.
#[derive(Debug, Clone)]
pub struct Catalogue {
    garments: BTreeMap<String, Result<Choices, Diagnostic>>,
    lines: BTreeMap<String, Vec<String>>,
    pub(super) besides: BTreeMap<String, Besides>,
    house: Result<House, Vec<Diagnostic>>,
    weaves: Result<Arc<[Weave]>, Diagnostic>,
    trims: Result<Trims, Vec<Diagnostic>>,
    materials: Result<Materials, Vec<Diagnostic>>,
    talk: TalkOrder,
    doubt: Option<Diagnostic>,
}

impl Catalogue {
    /// Returns what the program brings.
    pub fn embedded() -> Self {
        Self::read(None)
    }

    /// Reads what the program brings and a folder changes. The folder holds a folder for each garment with
    /// choices of its own, a `house.toml`, or both.
    ///
    /// # Errors
    /// Returns a fault where there is no such folder, or nothing in it is a block.
    pub fn open(folder: Option<&Path>) -> Result<Self, Diagnostic> {
        let mut catalogue = Self::read(folder);
        if let Some(folder) = folder {
            catalogue.doubt = doubt(folder, &catalogue)?;
        }
        Ok(catalogue)
    }

    fn read(folder: Option<&Path>) -> Self {
        let mut names = own_garments(folder);
        names.extend(BUILT_IN.iter().map(|(name, _)| (*name).to_owned()));
        let of = |name: String| (name.clone(), Files::read(&name, folder));
        let files: BTreeMap<_, _> = names.into_iter().map(of).collect();
        let lines: BTreeMap<_, _> = files
            .keys()
            .map(|garment| (garment.clone(), inheriting::line(garment, &files)))
            .collect();
        let read = house(folder, &lines);
        let numbers = read.as_ref().ok().map(|(house, _)| house);
        let mut besides = BTreeMap::new();
        let garments = lines.iter().map(|(garment, line)| {
            let choices = line.clone().and_then(|line| {
                let asked = besides_file::read(&line, folder).map_err(first)?;
                let choices = choices_of(&line, &files, numbers, &asked)?;
                besides.insert(garment.clone(), asked);
                Ok(choices)
            });
            (garment.clone(), choices)
        });
        let garments: BTreeMap<_, _> = garments.collect();
        let (materials, trims) = goods(folder, numbers);
        let house = read.and_then(|(house, own)| Ok((house, asked(own, &garments)?)));
        let talk = (house.as_ref()).map_or_else(|_| TalkOrder::default(), |(_, talk)| talk.clone());
        Self {
            garments,
            besides,
            house: house.map(|(house, _)| house),
            talk,
            lines: lines
                .into_iter()
                .filter_map(|(garment, line)| Some((garment, line.ok()?)))
                .collect(),
            weaves: weaves(folder),
            trims,
            materials,
            doubt: None,
        }
    }

    /// Returns a garment with those it is like, the furthest first and itself last.
    pub fn line(&self, garment: &str) -> &[String] {
        self.lines.get(garment).map_or(&[], Vec::as_slice)
    }

    /// Returns the names of the garments that can be ordered, sorted.
    pub fn garments(&self) -> impl Iterator<Item = &str> {
        self.garments.keys().map(String::as_str)
    }

    /// Returns the style choices of a garment.
    ///
    /// # Errors
    /// Returns a fault where there is no such garment or its choices cannot be read.
    pub fn choices(&self, garment: &str) -> Result<&Choices, Diagnostic> {
        match self.garments.get(garment) {
            Some(choices) => choices.as_ref().map_err(Diagnostic::clone),
            None => Err(Diagnostic::error(format!("there is no block `{garment}`"))),
        }
    }

    /// Returns the house's numbers.
    ///
    /// # Errors
    /// Returns every fault of the house file.
    pub fn house(&self) -> Result<&House, Vec<Diagnostic>> {
        self.house.as_ref().map_err(Vec::clone)
    }

    /// Returns the order in which the house asks its questions in a talk.
    pub fn talk_order(&self) -> &TalkOrder {
        &self.talk
    }

    /// Returns the weaves in which a cloth can be described.
    ///
    /// # Errors
    /// Returns the fault of the file of weaves.
    pub fn weaves(&self) -> Result<&[Weave], Diagnostic> {
        self.weaves.as_deref().map_err(Diagnostic::clone)
    }

    /// Returns the colours of the trimmings that an order does not say.
    ///
    /// # Errors
    /// Returns every fault of the file of colours.
    pub fn trims(&self) -> Result<&Trims, Vec<Diagnostic>> {
        self.trims.as_ref().map_err(Vec::clone)
    }

    /// Returns the materials that the house and its blocks know.
    ///
    /// # Errors
    /// Returns every fault of the files of materials, or of the house on which they rest.
    pub fn materials(&self) -> Result<&Materials, Vec<Diagnostic>> {
        self.materials.as_ref().map_err(Vec::clone)
    }

    /// Returns the terms in which a reader who has no order reads the choices: in the house's unit and with its
    /// numbers.
    pub fn terms(&self) -> Terms<'_> {
        match &self.house {
            Ok(house) => Terms::of(house),
            Err(_) => Terms {
                unit: Unit::default(),
                house: None,
            },
        }
    }

    /// Returns a warning about the folder that was read: a folder in it bears a name that only looks like a
    /// garment's.
    pub fn doubt(&self) -> Option<&Diagnostic> {
        self.doubt.as_ref()
    }
}

/// Tells whether a folder changes the house's numbers, its materials or its colours.
fn own_files(folder: &Path) -> bool {
    let files = ["house.toml", "materials.toml"];
    files.iter().any(|file| folder.join(file).is_file())
}

/// Returns the garments that a folder adds: its folders that hold a `choices.toml`. A folder named as a section
/// of an order is no garment's.
fn own_garments(folder: Option<&Path>) -> BTreeSet<String> {
    let entries = folder.and_then(|folder| fs::read_dir(folder).ok());
    let own = entries.into_iter().flatten().flatten().filter_map(|entry| {
        let has_choices = entry.path().join("choices.toml").is_file();
        let name = entry.file_name().into_string().ok()?;
        (has_choices && !SECTIONS.contains(&name.as_str())).then_some(name)
    });
    own.collect()
}

/// Reads the choices of the last garment of a line. A `choices.toml` of the workshop's own may add choices and words
/// to the program's, or change their defaults and bounds; what a garment is like stands before both.
fn choices_of(
    line: &[String],
    files: &BTreeMap<String, Result<Files, Diagnostic>>,
    house: Option<&House>,
    besides: &Besides,
) -> Result<Choices, Diagnostic> {
    let garment = line.last().map_or("", String::as_str);
    let mut whole = Vec::new();
    for name in line {
        match files.get(name) {
            Some(Ok(files)) => whole.push(files),
            Some(Err(fault)) => return Err(fault.clone()),
            None => return Err(Diagnostic::error(format!("there is no block `{name}`"))),
        }
    }
    let declared = inheriting::together(&whole).and_then(Choices::declared);
    let declared = declared.and_then(|mut choices| {
        let known = house.map(|house| choices.known(house, garment));
        known.transpose()?;
        choices.yielding(besides)?;
        Ok(choices)
    });
    declared.map_err(|(name, fault)| {
        // Of a length in a text the braces are underlined, of anything else the choice's header or its key.
        let header = format!("[{name}]");
        let finding = Diagnostic::error(format!(
            "the choices of the {garment} cannot be read: {name}: {fault}"
        ));
        let Some(last) = Files::holding(&whole, &header) else {
            return finding;
        };
        let header = match last.text.contains(&header) {
            true => header,
            false => name,
        };
        let start = last.text.find(&header).unwrap_or_default();
        let braces = fault.split('`').nth(1).filter(|part| part.contains('{'));
        let sought = braces.unwrap_or(&header);
        let at = last.text.get(start..).and_then(|text| text.find(sought));
        match at.map(|at| start + at..start + at + sought.len()) {
            Some(span) => finding.at(last, span, ""),
            None => finding.in_file(last),
        }
    })
}

/// Returns the first of some faults.
fn first(faults: Vec<Diagnostic>) -> Diagnostic {
    let mut faults = faults.into_iter();
    let unsaid = || Diagnostic::error("its measures cannot be read");
    faults.next().unwrap_or_else(unsaid)
}

/// The order of a house's questions as its file has it, with that file.
type Unchecked = Option<(Arc<Source>, Vec<Named>)>;

/// Checks the order of the questions against the garments that can be ordered.
fn asked(
    own: Unchecked,
    garments: &BTreeMap<String, Result<Choices, Diagnostic>>,
) -> Result<TalkOrder, Vec<Diagnostic>> {
    let Some((source, named)) = own else {
        return Ok(TalkOrder::default());
    };
    let mut findings = Findings::new(&source);
    let order = talk_order::checked(named, garments, &mut findings);
    match findings.failed() {
        true => Err(findings.in_order()),
        false => Ok(order),
    }
}

/// Reads the house's numbers: the program's, those that blocks add, and the changes of the folder's `house.toml`; and
/// the order of the questions that it has.
fn house(
    folder: Option<&Path>,
    lines: &BTreeMap<String, Result<Vec<String>, Diagnostic>>,
) -> Result<(House, Unchecked), Vec<Diagnostic>> {
    let mut house = House::built_in().map_err(|fault| vec![Diagnostic::error(fault)])?;
    let lines = lines.iter();
    house.wear(
        lines
            .filter_map(|(name, line)| Some((name.clone(), line.clone().ok()?)))
            .collect(),
    );
    let garments: Vec<String> = house.garments().map(str::to_owned).collect();
    for garment in &garments {
        block_numbers::add(&mut house, garment, folder)?;
    }
    let own = folder.map(|folder| folder.join("house.toml"));
    let Some(path) = own.filter(|path| path.is_file()) else {
        return Ok((house, None));
    };
    let source = Source::read(&path).map_err(|fault| vec![fault])?;
    let mut findings = Findings::new(&source);
    let mut named = Vec::new();
    if let Some(mut table) = findings.parse(&source.text) {
        named = talk_order::taken(&mut table, &mut findings);
        let whole: Range<usize> = 0..source.text.len();
        let entries = findings.entries("house", Spanned::new(whole, DeValue::Table(table)));
        house.change_by(entries, &mut findings);
    }
    if findings.failed() {
        Err(findings.in_order())
    } else {
        Ok((house, Some((source.clone(), named))))
    }
}

/// Reads the materials of a house, with their colours, and those of buttons and threads.
fn goods(
    folder: Option<&Path>,
    house: Option<&House>,
) -> (
    Result<Materials, Vec<Diagnostic>>,
    Result<Trims, Vec<Diagnostic>>,
) {
    // What is wrong with the house is told to whoever asks for it.
    let Some(house) = house else {
        return (Err(Vec::new()), Err(Vec::new()));
    };
    match Materials::read(folder, house) {
        Ok(mut materials) => {
            let trims = colours::trims(folder, &mut materials);
            (Ok(materials), trims)
        }
        Err(faults) => (Err(faults.clone()), Err(faults)),
    }
}

/// Returns a warning where a folder in a folder of blocks bears a name that only looks like a garment's.
///
/// # Errors
/// Returns a fault where there is no such folder, or nothing in it is a block.
fn doubt(folder: &Path, catalogue: &Catalogue) -> Result<Option<Diagnostic>, Diagnostic> {
    let help = "a folder of blocks has a folder for each garment (jacket), a house.toml, or both; its path starts from the order's own folder";
    if !folder.is_dir() {
        let fault = Diagnostic::error(format!(
            "there is no folder of blocks `{}`",
            folder.display()
        ));
        return Err(fault.help(help));
    }
    let garments: Vec<&str> = catalogue.garments().collect();
    let (mut blocks, mut others) = (own_files(folder), Vec::new());
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    for entry in entries.take(MOST_LOOKED_AT) {
        let name = entry.file_name().to_string_lossy().into_owned();
        if garments.contains(&name.as_str()) && entry.path().is_dir() {
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
            let near = nearest(called_here(name), garments.iter().copied())?;
            Some(format!("`{name}` (perhaps: {near})"))
        })
        .collect();
    let finding = match (blocks, meant.is_empty()) {
        (true, true) => return Ok(None),
        (true, false) => Diagnostic::warning(format!(
            "a folder in `{}` is not a garment's, and nothing in it is used",
            folder.display()
        )),
        (false, _) => Diagnostic::error(format!("`{}` has no block in it", folder.display())),
    };
    let shown: Vec<&str> = others.iter().take(MOST_NAMED).map(String::as_str).collect();
    let holds = match others.len() {
        0 => "there is no folder in it".to_owned(),
        1..=MOST_NAMED => format!("its folders are {}", shown.join(", ")),
        all => format!("it has {all} folders: {}, …", shown.join(", ")),
    };
    let finding = finding.note(holds).note(format!(
        "the garments are {}; a garment of your own has a choices.toml in its folder",
        garments.join(", ")
    ));
    let finding = meant.into_iter().fold(finding, Diagnostic::help);
    match blocks {
        true => Ok(Some(finding)),
        false => Err(finding.help(help)),
    }
}
