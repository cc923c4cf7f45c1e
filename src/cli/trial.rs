//! `try`: whether a garment holds on every figure and with every choice.

use super::blocks;
use super::show::{self, Progress};
use super::stop;
use super::unwritten::write_named;
use chalkstripe::diagnostic::Diagnostic;
use chalkstripe::order;
use chalkstripe::sheets::svg;
use chalkstripe::trial::{self, BODIES, Body, Trial, Watch};
use chalkstripe::workshop::Workshop;
use std::fmt::Write;
use std::path::PathBuf;
use std::sync::Arc;

/// What `try` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// The garment to try.
    #[arg(required = true, value_name = "GARMENT")]
    pub garment: String,
    /// A folder of your own blocks, used before the program's.
    #[arg(long, value_name = "DIR")]
    pub blocks: Option<PathBuf>,
    /// Draw it on the slightest, the regular, the tallest and the stoutest figure, as SVG.
    #[arg(long, value_name = "FILE")]
    pub picture: Option<PathBuf>,
}

/// Tries a garment; true if nothing failed.
pub(super) fn run(settings: &Settings) -> bool {
    match tried(settings) {
        Ok((text, well)) => show::print(&text) && well,
        Err(faults) => {
            show::findings(&faults);
            false
        }
    }
}

fn tried(settings: &Settings) -> Result<(String, bool), Vec<Diagnostic>> {
    let workshop: Arc<Workshop> = blocks::workshop(settings.blocks.as_deref())?;
    let garment = settings.garment.as_str();
    let known: Vec<&str> = workshop.catalogue.garments().collect();
    if !known.contains(&garment) {
        return Err(vec![
            Diagnostic::error(format!("`{garment}` is not a garment"))
                .suggest(order::called_here(garment), known.iter().copied())
                .note(format!("there are {}", known.join(", "))),
        ]);
    }
    if let Some(file) = &settings.picture {
        let drawn = trial::picture(&workshop, garment)?;
        write_named("the picture", file, "svg", || svg::write(&drawn))?;
    }
    stop::listen();
    let progress = Progress::new(garment);
    let watch = Watch {
        progress: &|done, all| progress.says(&format!("{done} of {all} drafts")),
        cancel: &stop::STOP,
    };
    let trial = trial::run(&workshop, garment, &watch)?;
    drop(progress);
    let failed: Vec<Diagnostic> = trial
        .failed
        .values()
        .flat_map(|failed| failed.faults.clone())
        .collect();
    show::findings(&failed);
    Ok((told(garment, &trial), trial.failed.is_empty()))
}

/// Says what came of it.
fn told(garment: &str, trial: &Trial) -> String {
    let proven = trial.alone + trial.in_pairs;
    let times_refused: usize = trial.refused.values().map(|refused| refused.times).sum();
    let times_failed: usize = trial.failed.values().map(|failed| failed.times).sum();
    let mut text = format!(
        "{garment}, on {} figures of chests 84 to 132 cm and heights 155 to 205 cm\n",
        BODIES.len()
    );
    if trial.stopped {
        text.push_str("  stopped before all was tried\n");
    }
    let _ = writeln!(
        text,
        "  proven   {proven} drafts: {} with one choice, {} with all choices, every two of them in pairs",
        trial.alone, trial.in_pairs
    );
    let _ = writeln!(
        text,
        "  refused  {times_refused}, for {} reasons",
        trial.refused.len()
    );
    for refused in trial.refused.values() {
        let _ = writeln!(
            text,
            "    {} times, as {}\n      {}",
            refused.times,
            case(&refused.picks, refused.body),
            refused.reason
        );
    }
    let _ = writeln!(
        text,
        "  failed   {times_failed}, in {} ways",
        trial.failed.len()
    );
    for failed in trial.failed.values() {
        let first = failed
            .faults
            .first()
            .map_or("", |fault| fault.message.as_str());
        let _ = writeln!(
            text,
            "    {} times, as {}\n      {first}",
            failed.times,
            case(&failed.picks, failed.body)
        );
    }
    for file in &trial.unasked {
        let _ = writeln!(
            text,
            "  nothing asks for {file}: is its word declared, and spelt so?"
        );
    }
    if !trial.idle.is_empty() {
        let _ = writeln!(
            text,
            "  corrections that change nothing of it: {}",
            trial.idle.join(", ")
        );
    }
    text
}

/// Names the figure and the picks of a case.
fn case(picks: &str, body: Body) -> String {
    let with = if picks.is_empty() {
        String::new()
    } else {
        format!(" with {picks}")
    };
    format!(
        "height {}, chest {}, waist {}{with}",
        body.height, body.chest, body.waist
    )
}
