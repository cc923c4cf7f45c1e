//! `blocks`: what can be chosen, in words or in pictures.

use super::orders::Task;
use super::show;
use super::unwritten::{unwritten, writable};
use chalkstripe::diagnostic::{Diagnostic, Source};
use chalkstripe::order::choices::{Declared, Domain};
use chalkstripe::order::phrase::Terms;
use chalkstripe::order::{self, Catalogue, Order};
use chalkstripe::pictures;
use chalkstripe::script::Library;
use chalkstripe::sheets::{self, Sheet, views};
use chalkstripe::workshop::{Workshop, Workshops};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What `blocks` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// The garment [default: all].
    #[arg(value_name = "GARMENT")]
    pub garment: Option<String>,
    /// The choice [default: all].
    #[arg(value_name = "CHOICE")]
    pub choice: Option<String>,
    /// A folder of your own blocks, used before the program's.
    #[arg(long, value_name = "DIR")]
    pub blocks: Option<PathBuf>,
    /// Draw each word of each choice into this folder, of a number the least, the usual and the most: a
    /// page for a browser and an SVG for each.
    #[arg(long, value_name = "DIR")]
    pub pictures: Option<PathBuf>,
    /// Draw them on the client of this order: on his figure, with what he chose for the rest, and in his cloth where
    /// the order describes it.
    #[arg(
        long,
        value_name = "ORDER",
        requires = "pictures",
        conflicts_with = "blocks"
    )]
    pub order: Option<PathBuf>,
    /// Write the program's own blocks into this new folder: the scripts that a garment of yours may build on or
    /// stand in for.
    #[arg(long, value_name = "DIR", conflicts_with_all = ["garment", "choice", "blocks", "pictures"])]
    pub scripts: Option<PathBuf>,
}

/// Lists or draws the choices; true if all went well.
pub(super) fn run(settings: &Settings) -> bool {
    show::outcome(told(settings))
}

fn told(settings: &Settings) -> Result<String, Vec<Diagnostic>> {
    if let Some(folder) = &settings.scripts {
        return write_scripts(folder);
    }
    if let Some((file, folder)) = settings.order.as_ref().zip(settings.pictures.as_ref()) {
        let (task, _) = Task::checked(&Workshops::default(), file)?;
        let mut chosen = chosen(settings, &task.workshop.catalogue)?;
        if settings.garment.is_none() {
            chosen
                .retain(|(garment, _)| task.order.garments.iter().any(|own| own.block == *garment));
        }
        return draw(settings, &task.workshop, Some(&task.order), &chosen, folder);
    }
    let workshop = workshop(settings.blocks.as_deref())?;
    let chosen = chosen(settings, &workshop.catalogue)?;
    match &settings.pictures {
        None => Ok(listed(&chosen, &workshop.catalogue.terms())),
        Some(folder) => draw(settings, &workshop, None, &chosen, folder),
    }
}

/// Garments, each with the choices to list or draw.
type Chosen = Vec<(String, Vec<Declared>)>;

/// Opens the workshop of a folder of one's own, or the program's where none is named; shows what is doubtful
/// about the folder.
pub(super) fn workshop(own: Option<&Path>) -> Result<Arc<Workshop>, Vec<Diagnostic>> {
    let Some(folder) = own else {
        return Ok(Workshop::embedded().clone());
    };
    let source = Source::new(folder.display().to_string(), "");
    let workshop = Workshop::open(folder).map_err(|fault| vec![fault.in_file(&source)])?;
    if let Some(doubt) = workshop.catalogue.doubt() {
        show::findings(&[doubt.clone().in_file(&source)]);
    }
    Ok(Arc::new(workshop))
}

fn chosen(settings: &Settings, catalogue: &Catalogue) -> Result<Chosen, Vec<Diagnostic>> {
    let garments: Vec<&str> = catalogue.garments().collect();
    let wanted = match settings.garment.as_deref() {
        None => garments,
        Some(name) if garments.contains(&name) => vec![name],
        Some(name) => return Err(vec![unknown("garment", name, &garments)]),
    };
    let mut chosen = Vec::new();
    for garment in wanted {
        let choices = catalogue.choices(garment).map_err(|fault| vec![fault])?;
        let mut choices = choices.0.clone();
        if let Some(name) = &settings.choice {
            let names: Vec<&str> = choices.iter().map(|c| c.name.as_str()).collect();
            if !names.contains(&name.as_str()) {
                return Err(vec![unknown(
                    &format!("choice of the {garment}"),
                    name,
                    &names,
                )]);
            }
            choices.retain(|choice| choice.name == *name);
        }
        chosen.push((garment.to_owned(), choices));
    }
    Ok(chosen)
}

fn unknown(kind: &str, name: &str, known: &[&str]) -> Diagnostic {
    Diagnostic::error(format!("`{name}` is not a {kind}"))
        .suggest(order::called_here(name), known.iter().copied())
        .note(format!("there are {}", known.join(", ")))
}

/// Lists the choices in words.
fn listed(chosen: &Chosen, terms: &Terms) -> String {
    let bold = show::is_bold();
    let heavy = |words: &str| match bold {
        true => format!("\u{1b}[1m{words}\u{1b}[0m"),
        false => words.to_owned(),
    };
    let mut text = String::new();
    for (i, (garment, choices)) in chosen.iter().enumerate() {
        let _ = writeln!(
            text,
            "{}[{}]",
            if i > 0 { "\n" } else { "" },
            heavy(garment)
        );
        for choice in choices {
            let _ = writeln!(
                text,
                "\n{}  {}",
                heavy(&choice.name),
                choice.about.text(terms)
            );
            if let domain @ Domain::Word(_) = &choice.domain {
                let words = domain.words(terms);
                let wide = words.iter().map(|(word, _)| word.chars().count()).max();
                let wide = wide.unwrap_or_default();
                for (word, about) in words {
                    let line = format!("  {word:<wide$}  {about}");
                    let _ = writeln!(text, "{}", line.trim_end());
                }
            }
            for note in choice.notes(terms.unit) {
                let _ = writeln!(text, "  ({note})");
            }
        }
    }
    text
}

/// Writes the program's own blocks into a folder that is new or empty: what stands there may be somebody's work.
fn write_scripts(folder: &Path) -> Result<String, Vec<Diagnostic>> {
    if fs::read_dir(folder).is_ok_and(|mut there| there.next().is_some()) {
        let fault = Diagnostic::error(format!("{} is not empty", folder.display()));
        return Err(vec![
            fault.help("name a new folder for the program's blocks"),
        ]);
    }
    writable("the blocks", folder)?;
    let mut files: BTreeMap<PathBuf, Vec<Sheet>> = BTreeMap::new();
    for (path, bytes) in Library::embedded_files() {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let beside = folder.join(path.parent().unwrap_or(Path::new("")));
        let sheet = Sheet::new(name.into_owned(), bytes.to_vec());
        files.entry(beside).or_default().push(sheet);
    }
    for (beside, sheets) in &files {
        sheets::folder::write_all(sheets, beside).map_err(|error| {
            // Half of the blocks would be taken for all of them. Nothing else lies in the folder.
            let _ = fs::remove_dir_all(folder);
            vec![unwritten("the blocks", folder, &error)]
        })?;
    }
    let count: usize = files.values().map(Vec::len).sum();
    Ok(format!("  {}: {count} files\n", folder.display()))
}

fn draw(
    settings: &Settings,
    workshop: &Workshop,
    order: Option<&Order>,
    chosen: &Chosen,
    folder: &Path,
) -> Result<String, Vec<Diagnostic>> {
    writable("the pictures", folder)?;
    let mut files: Vec<Sheet> = Vec::new();
    let progress = show::Progress::new("blocks");
    for (garment, _) in chosen {
        progress.says(&format!("drawing the choices of the {garment}"));
        let only = settings.choice.as_deref();
        let pictured = pictures::pictures(workshop, order, garment, only)?;
        files.extend(views::choices::files(garment, &pictured));
    }
    sheets::folder::write_all(&files, folder)
        .map_err(|error| vec![unwritten("the pictures", folder, &error)])?;
    let pages = files.iter().filter(|file| file.file.ends_with(".html"));
    let pages: Vec<&str> = pages.map(|file| file.file.as_str()).collect();
    Ok(format!(
        "  {}: {} and {} pictures\n",
        folder.display(),
        pages.join(", "),
        files.len() - pages.len()
    ))
}
