//! `cut`: orders in, everything a cutter needs out.

use super::asked::Asked;
use super::orders::{self, Task};
use super::show::{self, Progress};
use super::stop;
use super::unwritten::{unwritten, writable};
use chalkstripe::diagnostic::Diagnostic;
use chalkstripe::job::{self, Drafted, JobFault};
use chalkstripe::lay::Laid;
use chalkstripe::lay::{Effort, Problem, Search, TURNS};
use chalkstripe::order::{self, Order, settling};
use chalkstripe::sheets::earlier::Earlier;
use chalkstripe::sheets::options::SheetOptions;
use chalkstripe::sheets::paper::{Paper, Size};
use chalkstripe::sheets::{self, Made, folder};
use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// What `cut` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// Order files, or folders of them.
    #[arg(required = true, value_name = "ORDER")]
    pub orders: Vec<PathBuf>,
    /// Where to put the folder of each order.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    #[command(flatten)]
    pub asked: Asked,
    /// Rounds of the search for a short lay: more take longer and may save cloth.
    #[arg(long, value_name = "N", default_value_t = TURNS[2], value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pub rounds: u32,
}

/// Cuts each order into a folder of its own; true if all of them were cut.
pub(super) fn run(settings: &Settings) -> bool {
    let files = orders::files(&settings.orders).and_then(distinct);
    let files = files.and_then(|files| writable("the sheets", &settings.out).map(|()| files));
    show::with_caution(|wrote| {
        orders::each(files, |task| {
            let text = cut(task, settings)?;
            wrote.set(true);
            Ok(text)
        })
    })
}

/// Returns the files, if no two would be cut into the same folder.
fn distinct(files: Vec<PathBuf>) -> Result<Vec<PathBuf>, Vec<Diagnostic>> {
    let mut names = BTreeMap::new();
    for file in &files {
        // Not every file system tells upper case from lower.
        let name = order::name_of(file).to_lowercase();
        if let Some(other) = names.insert(name, file) {
            let (a, b) = (other.display(), file.display());
            let fault = Diagnostic::error(format!(
                "`{a}` and `{b}` would be written to the same folder"
            ));
            return Err(vec![
                fault.help("rename one of them, or give a different --out"),
            ]);
        }
    }
    Ok(files)
}

fn cut(task: &Task, settings: &Settings) -> Result<String, Vec<Diagnostic>> {
    let order = &task.order;
    let told = |fault: JobFault| task.told(&fault);
    let folder = settings.out.join(&order.name);
    writable("the sheets", &folder)?;
    let drafted = task.draft()?;
    let options = settings.asked.over(usual());
    job::check_options(order, &drafted.pattern, &options).map_err(told)?;
    let progress = Progress::new(&order.name);
    progress.says("laying");
    let shown = |p: chalkstripe::lay::Progress| {
        progress.says(&format!(
            "laying: {}, {:.0} %",
            order.unit.show(p.length),
            p.done * 100.0
        ));
    };
    let search = Search {
        effort: Effort::Rounds(settings.rounds),
        kept: &task.workshop.kept,
        cancel: Some(&stop::STOP),
        progress: Some(&shown),
        ..Search::default()
    };
    let ready = job::ready(order, &drafted.pattern).map_err(told)?;
    let lays = job::lay_ready(order, &drafted.pattern, &ready, &search).map_err(told)?;
    progress.says("drawing");
    let made = job::sheets(&task.workshop, order, &drafted, &lays, &options).map_err(told)?;
    let before = shorter_before(order, &ready, &lays, &folder);
    write(order, &drafted, &made, &folder)?;
    let lost = before.map_or_else(String::new, |mm| {
        format!(
            "  The earlier lay was {} shorter: `lay` starts from the lay it finds, `cut` starts afresh\n",
            order.unit.show(mm)
        )
    });
    let open = settling::never_settled(order, &task.workshop.catalogue);
    let open = open.map_or_else(String::new, |open| format!("  {open}\n"));
    Ok(format!(
        "{}{open}{lost}",
        summary(order, &folder, &made, &lays)
    ))
}

/// What is asked of sheets that nothing was said of.
pub(super) fn usual() -> SheetOptions {
    SheetOptions::on(Paper::Pages(Size::A4))
}

/// Returns by how many mm a lay of the same cloth is shorter that an earlier run left in the folder.
fn shorter_before(order: &Order, ready: &Problem, lays: &[Laid], folder: &Path) -> Option<f64> {
    const WORTH_A_WORD: f64 = 0.5;
    let own = lays
        .iter()
        .find(|laid| laid.material == order.cloth.material)?;
    let earlier = Earlier::in_folder(folder);
    let (standing, _) = earlier.lay_of(&order.cloth.material)?;
    let before = job::cloth_held(order, ready, standing)?;
    let shorter = own.lay.length - before.length;
    (shorter > WORTH_A_WORD).then_some(shorter)
}

/// Writes the sheets, and takes away what an earlier run of this order left behind.
pub(super) fn write(
    order: &Order,
    drafted: &Drafted,
    made: &Made,
    folder: &Path,
) -> Result<(), Vec<Diagnostic>> {
    let (sheets, mark) = (
        &made.sheets,
        sheets::fingerprint::of(order, &drafted.drafts),
    );
    folder::replace_all(sheets, folder, &mark).map_err(|error| {
        let mut fault = unwritten("the sheets", folder, &error);
        if error.kind() == ErrorKind::StorageFull {
            let bytes: usize = sheets.iter().map(|sheet| sheet.bytes.len()).sum();
            let needed = bytes.div_ceil(1_000_000);
            fault = fault.note(format!("they need {needed} MB; the earlier sheets are unchanged"));
        }
        if folder.join(folder::NOTICE).exists() {
            let notice = "the folder may now hold sheets of two runs: do not cut from them until you have run `cut` again";
            fault = fault.note(notice);
        }
        vec![fault]
    })
}

fn summary(order: &Order, folder: &Path, made: &Made, lays: &[Laid]) -> String {
    let mut text = format!("{} — {}\n", order.name, order.client.name);
    text.push_str(&orders::lengths(lays, order.unit));
    let sum = |of: fn(&sheets::travel::Travel) -> f64| made.travels.iter().map(of).sum::<f64>();
    let (written, drawn) = (sum(|travel| travel.written), sum(|travel| travel.drawn));
    if drawn > 0.0 {
        text.push_str(&format!(
            "  Plots: {} of pen-up travel, {:.0} % less than in the order drawn\n",
            order.unit.far(written),
            100.0 * (1.0 - written / drawn)
        ));
    }
    let files = sheets::names(&made.sheets);
    text.push_str(&format!("  {}: {files}\n", folder.display()));
    text
}
