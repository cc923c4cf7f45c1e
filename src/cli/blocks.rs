//! `blocks`: what can be chosen, in words or in pictures.

use super::show;
use super::unwritten::{unwritten, writable};
use chalkstripe::diagnostic::{Diagnostic, Severity, Source};
use chalkstripe::order::choices::{Declared, Domain};
use chalkstripe::order::{self, Catalogue};
use chalkstripe::sheets::{self, Sheet, views};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// What `blocks` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// One garment; else all of them.
    #[arg(value_name = "GARMENT")]
    pub garment: Option<String>,
    /// One choice of the garment; else all of them.
    #[arg(value_name = "CHOICE")]
    pub choice: Option<String>,
    /// A folder of your own blocks, which go before the program's.
    #[arg(long, value_name = "DIR")]
    pub blocks: Option<PathBuf>,
    /// Draw each word of each choice into this folder, of a number the least, the usual and the most: a
    /// page for a browser and an SVG for each.
    #[arg(long, value_name = "DIR")]
    pub pictures: Option<PathBuf>,
}

/// Lists or draws the choices; true if all went well.
pub(super) fn run(settings: &Settings) -> bool {
    let told = chosen(settings).and_then(|chosen| match &settings.pictures {
        None => Ok(listed(&chosen)),
        Some(folder) => draw(settings, &chosen, folder),
    });
    match told {
        Ok(text) => show::print(&text),
        Err(faults) => {
            show::findings(&faults);
            false
        }
    }
}

/// Garments with the choices to tell of.
type Chosen = Vec<(String, Vec<Declared>)>;

/// What can be ordered, with a folder of one's own if one is named.
pub(super) fn catalogue(own: Option<PathBuf>) -> Result<Catalogue, Vec<Diagnostic>> {
    if let Some(folder) = &own
        && let Some(doubt) = order::doubt(folder)
    {
        let source = Source::new(folder.display().to_string(), "");
        let doubt = doubt.in_file(&source);
        if doubt.severity == Severity::Error {
            return Err(vec![doubt]);
        }
        show::findings(&[doubt]);
    }
    Ok(Catalogue::new(own))
}

fn chosen(settings: &Settings) -> Result<Chosen, Vec<Diagnostic>> {
    let catalogue = catalogue(settings.blocks.clone())?;
    let garments = catalogue.garments();
    let wanted = match &settings.garment {
        None => garments,
        Some(name) if garments.contains(name) => vec![name.clone()],
        Some(name) => return Err(vec![unknown("garment", name, &garments)]),
    };
    let mut chosen = Vec::new();
    for garment in wanted {
        let mut choices = catalogue.choices(&garment).map_err(|fault| vec![fault])?.0;
        if let Some(name) = &settings.choice {
            let names: Vec<String> = choices.iter().map(|c| c.name.clone()).collect();
            choices.retain(|choice| choice.name == *name);
            if choices.is_empty() {
                return Err(vec![unknown(
                    &format!("choice of the {garment}"),
                    name,
                    &names,
                )]);
            }
        }
        chosen.push((garment, choices));
    }
    Ok(chosen)
}

fn unknown(kind: &str, name: &str, known: &[String]) -> Diagnostic {
    Diagnostic::error(format!("`{name}` is no {kind}"))
        .suggest(order::called_here(name), known.iter().map(String::as_str))
        .note(format!("there are {}", known.join(", ")))
}

/// The choices in words.
fn listed(chosen: &Chosen) -> String {
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
            let _ = writeln!(text, "\n{}  {}", heavy(&choice.name), choice.about);
            if let Domain::Word(words) = &choice.domain {
                let wide = words.iter().map(|(word, _)| word.chars().count()).max();
                let wide = wide.unwrap_or_default();
                for (word, about) in words {
                    let _ = writeln!(text, "  {word:<wide$}  {about}");
                }
            }
            for note in choice.notes() {
                let _ = writeln!(text, "  ({note})");
            }
        }
    }
    text
}

fn draw(settings: &Settings, chosen: &Chosen, folder: &Path) -> Result<String, Vec<Diagnostic>> {
    writable("the pictures", folder)?;
    let mut files: Vec<Sheet> = Vec::new();
    let progress = show::Progress::new("blocks");
    for (garment, _) in chosen {
        progress.says(&format!("drawing the choices of the {garment}"));
        let only = settings.choice.as_deref();
        let pictured = views::choices::pictures(settings.blocks.clone(), garment, only)?;
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
