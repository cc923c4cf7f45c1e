//! `draft`: the construction of an order's garments, to chalk by hand.

use super::{orders, show};
use chalkstripe::order::{Diagnostic, Order, Source};
use chalkstripe::sheets::{self, Sheet, drafting_sheet};
use std::path::{Path, PathBuf};

/// Draws the drafting sheet of an order into its folder; true if all went well.
pub fn run(settings: &Settings) -> bool {
    let (file, garment) = (&settings.order, settings.garment.as_deref());
    let Some(checked) = orders::read(file) else {
        return false;
    };
    let order = checked.order;
    let folder = settings.out.join(&order.name);
    match make(file, &order, garment).and_then(|made| write(made, &folder)) {
        Ok(files) => show::print(&format!(
            "{} — {}\n  {}: {}\n",
            order.name,
            order.client.name,
            folder.display(),
            files.join(", ")
        )),
        Err(faults) => {
            show::findings(&orders::all_about(file, faults));
            false
        }
    }
}

fn make(file: &Path, order: &Order, garment: Option<&str>) -> Result<Vec<Sheet>, Vec<Diagnostic>> {
    let drafted = orders::draft(file, order)?;
    let wanted = |name: &str| garment.is_none_or(|garment| garment == name);
    let drafts = drafted.drafts.iter().filter(|draft| wanted(&draft.garment));
    let pages: Vec<_> = drafts
        .map(|draft| drafting_sheet::drafting_sheet(draft, None, order))
        .collect();
    if pages.is_empty() {
        return Err(vec![missing(order, garment.unwrap_or_default())]);
    }
    let sheet = |file: &str, bytes| Sheet {
        file: file.to_owned(),
        bytes,
    };
    let mut made = vec![
        sheet(
            "drafting-sheet.pdf",
            drafting_sheet::pages_as_pdf(&pages, order),
        ),
        sheet(
            "drafting-sheet.svg",
            drafting_sheet::pages_as_svg(&pages, order),
        ),
    ];
    made.extend(sheets::views::files(&drafted.drafts, order));
    Ok(made)
}

fn missing(order: &Order, garment: &str) -> Diagnostic {
    let names: Vec<&str> = order.garments.iter().map(|g| g.block.as_str()).collect();
    Diagnostic::error(format!("this order has no `{garment}`"))
        .suggest(garment, names.iter().copied())
        .note(format!("its garments are {}", names.join(", ")))
}

fn write(made: Vec<Sheet>, folder: &Path) -> Result<Vec<String>, Vec<Diagnostic>> {
    sheets::folder::write_all(&made, folder).map_err(|error| {
        let here = Source::new(folder.display().to_string(), "");
        vec![Diagnostic::error(format!("the sheets cannot be written: {error}")).in_file(&here)]
    })?;
    Ok(made.into_iter().map(|sheet| sheet.file).collect())
}

/// What `draft` was asked for.
#[derive(Debug, clap::Args)]
pub struct Settings {
    /// The order file.
    #[arg(value_name = "ORDER")]
    pub order: PathBuf,
    /// One garment of the order alone.
    #[arg(long, value_name = "NAME")]
    pub garment: Option<String>,
    /// The folder that gets a folder for the order.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
}
