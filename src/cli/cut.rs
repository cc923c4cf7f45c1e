//! `cut`: orders in, everything a cutter needs out.

use super::show::Progress;
use super::{orders, stop};
use chalkstripe::job;
use chalkstripe::lay::{Effort, Search};
use chalkstripe::order::{self, Diagnostic, Order, Source};
use chalkstripe::sheets::{self, Laid, Made, Sheet, folder, wishes::Wishes, words};
use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// How and where to cut.
pub struct Settings {
    /// The folder that gets a folder for each order.
    pub out: PathBuf,
    /// What is asked of the sheets.
    pub wishes: Wishes,
    /// Rounds of the lay's search.
    pub rounds: u32,
}

/// Cuts each order into a folder of its own; true if all of them were cut.
pub fn run(named: &[PathBuf], settings: &Settings) -> bool {
    let files = orders::files(named).and_then(distinct);
    orders::each(files, |file, order| cut(file, order, settings))
}

/// The files, if no two would be cut into the same folder.
fn distinct(files: Vec<PathBuf>) -> Result<Vec<PathBuf>, Vec<Diagnostic>> {
    let mut names = BTreeMap::new();
    for file in &files {
        // Not every file system tells upper case from lower.
        let name = order::name_of(file).to_lowercase();
        if let Some(other) = names.insert(name, file) {
            let (a, b) = (other.display(), file.display());
            let fault =
                Diagnostic::error(format!("`{a}` and `{b}` would be cut into the same folder"));
            return Err(vec![
                fault.help("give one of them another name, or another --out"),
            ]);
        }
    }
    Ok(files)
}

fn cut(file: &Path, order: &Order, settings: &Settings) -> Result<String, Vec<Diagnostic>> {
    let folder = settings.out.join(&order.name);
    let (made, lays) = make(file, order, settings)?;
    write(&made.sheets, &folder)?;
    Ok(summary(order, &folder, &made, &lays))
}

fn make(
    file: &Path,
    order: &Order,
    settings: &Settings,
) -> Result<(Made, Vec<Laid>), Vec<Diagnostic>> {
    let drafted = orders::draft(file, order)?;
    job::wished(order, &drafted.pattern, &settings.wishes)?;
    let progress = Progress::new(&order.name);
    progress.says("laying");
    let told = |p: chalkstripe::lay::Progress| {
        progress.says(&format!(
            "laying: {:.2} m, {:.0} %",
            p.length / 1000.0,
            p.done * 100.0
        ));
    };
    let search = Search {
        effort: Effort::Rounds(settings.rounds),
        cancel: Some(&stop::STOP),
        progress: Some(&told),
        ..Search::default()
    };
    let lays = job::lay(order, &drafted.pattern, &search)?;
    progress.says("drawing");
    let made = job::sheets(order, &drafted, &lays, &settings.wishes)?;
    Ok((made, lays))
}

/// Writes the sheets, and takes away what an earlier run of this order left behind.
fn write(sheets: &[Sheet], folder: &Path) -> Result<(), Vec<Diagnostic>> {
    folder::replace_all(sheets, folder).map_err(|error| {
        let here = Source::new(folder.display().to_string(), "");
        let mut fault =
            Diagnostic::error(format!("the sheets cannot be written: {error}")).in_file(&here);
        if error.kind() == ErrorKind::StorageFull {
            let bytes: usize = sheets.iter().map(|sheet| sheet.bytes.len()).sum();
            let needed = bytes.div_ceil(1_000_000);
            fault = fault.help(format!("they need {needed} MB; the sheets of an earlier run stay as they are"));
        }
        if matches!(error.kind(), ErrorKind::NotADirectory | ErrorKind::AlreadyExists) {
            fault = fault.help("a file stands where the folder is to be: give another --out");
        }
        if folder.join(folder::NOTICE).exists() {
            let notice = "the folder may hold sheets of two runs now: do not cut from them before this order is cut again";
            fault = fault.note(notice);
        }
        vec![fault]
    })
}

fn summary(order: &Order, folder: &Path, made: &Made, lays: &[Laid]) -> String {
    let mut text = format!("{} — {}\n", order.name, order.client.name);
    for laid in lays {
        let material = words::capital(words::material(laid.material));
        text.push_str(&format!(
            "  {material}: order {} ({})\n",
            words::metres(laid.order_length.length),
            laid.order_length.how
        ));
    }
    let sum = |of: fn(&sheets::Travel) -> f64| made.travels.iter().map(of).sum::<f64>();
    let (written, drawn) = (sum(|travel| travel.written), sum(|travel| travel.drawn));
    if drawn > 0.0 {
        text.push_str(&format!(
            "  Plots: the pen travels {:.0} m raised, {:.0} % less than piece by piece as drawn\n",
            written / 1000.0,
            100.0 * (1.0 - written / drawn)
        ));
    }
    let files: Vec<&str> = made
        .sheets
        .iter()
        .map(|sheet| sheet.file.as_str())
        .collect();
    text.push_str(&format!("  {}: {}\n", folder.display(), files.join(", ")));
    text
}
