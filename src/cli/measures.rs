//! `measures`: a form to write the measures on.

use super::orders::Task;
use super::unwritten::write_named;
use super::{blocks, show};
use chalkstripe::diagnostic::Diagnostic;
use chalkstripe::order::{self, Catalogue};
use chalkstripe::sheets::measures_form;
use chalkstripe::workshop::Workshops;
use std::path::{Path, PathBuf};

/// Prints or writes the form; true if all went well.
pub(super) fn run(settings: &Settings) -> bool {
    let (order, workshop) = match &settings.order {
        None => match blocks::workshop(settings.blocks.as_deref()) {
            Ok(workshop) => (None, workshop),
            Err(faults) => {
                show::findings(&faults);
                return false;
            }
        },
        Some(file) => match Task::read(&Workshops::default(), file) {
            Some(task) => (Some(task.order), task.workshop),
            None => return false,
        },
    };
    if let Some(fault) = stranger(&settings.garments, &workshop.catalogue) {
        show::findings(&[fault]);
        return false;
    }
    let garments = match &order {
        Some(order) if settings.garments.is_empty() => {
            order.garments.iter().map(|g| g.block.clone()).collect()
        }
        _ => settings.garments.clone(),
    };
    let kinds = workshop.catalogue.measures_for(&garments);
    match &settings.pdf {
        None => show::print(&measures_form::text(&kinds, order.as_ref())),
        Some(path) => write(path, measures_form::pdf(&kinds, order.as_ref())),
    }
}

fn stranger(named: &[String], catalogue: &Catalogue) -> Option<Diagnostic> {
    let garments: Vec<&str> = catalogue.garments().collect();
    let stranger = named
        .iter()
        .find(|name| !garments.contains(&name.as_str()))?;
    Some(
        Diagnostic::error(format!("`{stranger}` is not a garment"))
            .suggest(order::called_here(stranger), garments.iter().copied())
            .note(format!("the garments are {}", garments.join(", "))),
    )
}

fn write(path: &Path, bytes: Vec<u8>) -> bool {
    let told = |()| format!("{}: print at 100 %\n", path.display());
    show::outcome(write_named("the form", path, "pdf", || bytes).map(told))
}

/// What `measures` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// The garments to measure for [default: all].
    #[arg(value_name = "GARMENT")]
    pub garments: Vec<String>,
    /// Write a page to print instead.
    #[arg(long, value_name = "FILE")]
    pub pdf: Option<PathBuf>,
    /// Fill in the measures of an order.
    #[arg(long, value_name = "FILE")]
    pub order: Option<PathBuf>,
    /// A folder of your own blocks, whose garments are known as well.
    #[arg(long, value_name = "DIR", conflicts_with = "order")]
    pub blocks: Option<PathBuf>,
}
