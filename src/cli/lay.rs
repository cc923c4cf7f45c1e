//! `lay`: a longer search for a short lay of the cloth, from the one that is there.

use super::asked::Asked;
use super::orders::{self, Task};
use super::show::{self, Progress};
use super::unwritten::{unwritten, writable};
use super::{cut, metres, stop};
use chalkstripe::diagnostic::{Diagnostic, Source};
use chalkstripe::job::{self, Drafted, JobFault};
use chalkstripe::lay::Laid;
use chalkstripe::lay::{Effort, Lay, Problem, Search};
use chalkstripe::order::{HouseNumber, Order};
use chalkstripe::pattern::Pattern;
use chalkstripe::script::Library;
use chalkstripe::sheets::earlier::Earlier;
use chalkstripe::sheets::plot::Reach;
use chalkstripe::sheets::{self, Sheet, folder};
use chalkstripe::workshop::{Workshop, Workshops};
use std::cell::Cell;
use std::path::{Path, PathBuf};

/// What `lay` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// Order files, or folders of them.
    #[arg(required = true, value_name = "ORDER")]
    pub orders: Vec<PathBuf>,
    /// Where to put the folder of each order.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// Lay all the orders together; they must be of the same cloth.
    #[arg(long)]
    pub together: bool,
    #[command(flatten)]
    pub asked: Asked,
    /// Seconds to search for each lay.
    #[arg(long, value_name = "N", default_value_t = 20, value_parser = clap::value_parser!(u32).range(1..=86_400))]
    pub seconds: u32,
    /// Length of the cutting table, such as 6m: a longer lay is cut across into sections [default: the house's
    /// cloth.table].
    #[arg(long, value_name = "LENGTH", value_parser = metres::parsed)]
    pub table: Option<f64>,
    /// The start of the search: another number gives another lay.
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
}

/// Lays each order, or all of them in one lay; true if all of them were laid.
pub(super) fn run(settings: &Settings) -> bool {
    let files = orders::files(&settings.orders);
    let files = files.and_then(|files| writable("the lay", &settings.out).map(|()| files));
    show::with_caution(|wrote| match settings.together {
        true => lay_together(files, settings, wrote),
        false => orders::each(files, |task| {
            let drafted = task.draft()?;
            let (order, pattern) = (&on_table(&task.order, settings), &drafted.pattern);
            let text = laid(&task.workshop, order, pattern, Some(&drafted), settings)?;
            wrote.set(true);
            Ok(text)
        }),
    })
}

fn lay_together(
    files: Result<Vec<PathBuf>, Vec<Diagnostic>>,
    settings: &Settings,
    wrote: &Cell<bool>,
) -> bool {
    let Some(files) = orders::begin(files) else {
        return false;
    };
    let opened = Workshops::default();
    let drafted = |file: &PathBuf| {
        let task = Task::read(&opened, file)?;
        let drafted = task.draft().map_err(|faults| show::findings(&faults));
        drafted
            .ok()
            .map(|drafted| (task.workshop, (task.order, drafted.pattern)))
    };
    let Some(all) = files.iter().map(drafted).collect::<Option<Vec<_>>>() else {
        return false;
    };
    let (workshops, all): (Vec<_>, Vec<_>) = all.into_iter().unzip();
    // Orders of one cloth may be of several workshops; the first one's kept lays are as good as another's.
    let workshop = workshops.first().unwrap_or_else(|| Workshop::embedded());
    let outcome = together(workshop, &all, settings);
    wrote.set(outcome.is_ok());
    show::outcome(outcome)
}

fn together(
    workshop: &Workshop,
    all: &[(Order, Pattern)],
    settings: &Settings,
) -> Result<String, Vec<Diagnostic>> {
    let first = all.first().map(|(order, _)| order);
    let (order, pattern) = job::together(all).map_err(|fault| {
        first.map_or_else(Vec::new, |order| {
            fault.diagnostics(order, &workshop.library)
        })
    })?;
    let others = all.iter().filter(|(one, _)| !one.other_cloths.is_empty());
    let others: Vec<&str> = others.map(|(one, _)| one.name.as_str()).collect();
    let order = on_table(&order, settings);
    let mut text = laid(workshop, &order, &pattern, None, settings)?;
    if !others.is_empty() {
        let (cloth, named) = (&order.cloth.name, others.join(", "));
        text.push_str(&format!(
            "  of {named} only what is made of {cloth} is in this lay\n"
        ));
    }
    Ok(text)
}

/// Returns the order laid on the table that was asked for.
fn on_table(order: &Order, settings: &Settings) -> Order {
    let mut order = order.clone();
    if let Some(table) = settings.table {
        order.house.set(HouseNumber::ClothTable, table);
    }
    order
}

/// Lays an order, or several as one, and writes the sheets into its folder. Several as one have no draft, and
/// so no sheets but those of the lay.
fn laid(
    workshop: &Workshop,
    order: &Order,
    pattern: &Pattern,
    made: Option<&Drafted>,
    settings: &Settings,
) -> Result<String, Vec<Diagnostic>> {
    let folder = settings.out.join(&order.name);
    writable("the lay", &folder)?;
    let earlier = Earlier::in_folder(&folder);
    let told = |fault: JobFault| fault.diagnostics(order, &workshop.library);
    let made = made.filter(|_| earlier.cut);
    if made.is_none() {
        nothing_cut(&folder, &earlier)?;
        lay_is_asked_alone(settings, &folder)?;
    }
    let before = earlier.options.clone().unwrap_or_else(cut::usual);
    let options = settings.asked.over(before);
    if made.is_some() {
        job::check_options(order, pattern, &options).map_err(|fault| {
            let note = "options you do not give stay as they were in the last `cut`";
            let noted = told(fault).into_iter().map(|fault| fault.note(note));
            noted.collect::<Vec<_>>()
        })?;
    }
    let progress = Progress::new(&order.name);
    let shown = |p: chalkstripe::lay::Progress| {
        let (length, part) = (order.unit.show(p.length), 100.0 * p.done);
        progress.says(&format!("laying: {length}, {part:.0} %"));
    };
    let search = Search {
        seed: settings.seed,
        effort: Effort::Seconds(f64::from(settings.seconds)),
        kept: &workshop.kept,
        cancel: Some(&stop::STOP),
        progress: Some(&shown),
        ..Search::default()
    };
    let Some(drafted) = made else {
        return laid_alone(order, pattern, &earlier, &search, (&folder, options.plot));
    };
    let ready = job::ready(order, pattern).map_err(told)?;
    let lays = job::lay_on(order, pattern, &ready, &earlier, &search).map_err(told)?;
    progress.says("drawing");
    let drawn = job::sheets(workshop, order, drafted, &lays, &options).map_err(told)?;
    cut::write(order, drafted, &drawn, &folder)?;
    let mut text = String::new();
    for own in order.by_cloth() {
        let mut of_cloth = lays.iter();
        if let Some(laid) = of_cloth.find(|laid| laid.material == own.cloth.material) {
            let problem = job::ready(&own, pattern).map_err(told)?;
            text.push_str(&outcome(&own, laid, held(&own, &problem, &earlier)));
        }
    }
    Ok(format!(
        "{text}  {}: {}\n",
        folder.display(),
        sheets::names(&drawn.sheets)
    ))
}

/// Lays every cloth of an order and writes the lays alone, into a folder and for a plotter of some reach.
fn laid_alone(
    order: &Order,
    pattern: &Pattern,
    earlier: &Earlier,
    search: &Search,
    (folder, reach): (&Path, Reach),
) -> Result<String, Vec<Diagnostic>> {
    // A fault of a lay is drawn by no script.
    let told = |fault: JobFault| fault.diagnostics(order, &Library::embedded());
    let (mut text, mut lays, mut finished) = (String::new(), Vec::new(), Vec::new());
    for own in order.by_cloth() {
        let ready = job::ready(&own, pattern).map_err(told)?;
        let known = earlier.lay_of(&own.cloth.material);
        let known = known.map(|(standing, _)| standing);
        let laid = job::lay_cloth(&own, pattern, &ready, known, search).map_err(told)?;
        text.push_str(&outcome(&own, &laid, held(&own, &ready, earlier)));
        finished.extend(sheets::lay_alone(&laid, pattern, &own, reach));
        lays.push(laid);
    }
    finished.push(sheets::lay_file(&lays, pattern, order.unit));
    text.push_str(&write_alone(&finished, folder)?);
    Ok(text)
}

/// Returns the earlier lay of an order's cloth as its pieces hold it now; `None` within where they cannot lie so.
fn held(order: &Order, ready: &Problem, earlier: &Earlier) -> Option<Option<Lay>> {
    let (known, _) = earlier.lay_of(&order.cloth.material)?;
    Some(job::cloth_held(order, ready, known))
}

/// Refuses options of sheets that are not there, because nothing was cut but a lay.
fn lay_is_asked_alone(settings: &Settings, folder: &Path) -> Result<(), Vec<Diagnostic>> {
    if !settings.asked.beside_the_lay() {
        return Ok(());
    }
    let fault = Diagnostic::error("only a lay has been written for this order");
    let help = "run `cut` first; until then `lay` writes only the lay, and --plot is the only sheet option";
    Err(vec![about(folder, fault).help(help)])
}

/// Says what came of a lay. `held` is the lay that was there; it holds `None` if the order's pieces cannot lie
/// so.
fn outcome(order: &Order, laid: &Laid, held: Option<Option<Lay>>) -> String {
    let unit = order.unit;
    let length = laid.lay.length;
    let against = match held {
        None => String::new(),
        Some(None) => {
            "  the earlier lay is for different pieces or cloth: laid again from the start\n"
                .to_owned()
        }
        Some(Some(before)) if before.length - length >= 0.5 => format!(
            "  laid in {}, {} less than the earlier lay\n",
            unit.show(length),
            unit.small(before.length - length)
        ),
        Some(Some(_)) => format!(
            "  no lay shorter than the earlier one ({}) was found: it is kept\n",
            unit.show(length)
        ),
    };
    let which = match order.other_cloths.is_empty() {
        true => String::new(),
        false => format!(", {}", order.cloth.material.name),
    };
    format!(
        "{} — {}{which}\n{against}  {:.1} % of the cloth used; order {} ({})\n",
        order.name,
        order.client.name,
        100.0 * laid.lay.efficiency,
        unit.cloth(laid.order_length.length),
        laid.order_length.how(unit)
    )
}

/// Checks that a lay alone may be written into a folder.
///
/// # Errors
/// Returns a fault where all sheets of an order are in it, which would tell of another lay.
pub(super) fn nothing_cut(folder: &Path, earlier: &Earlier) -> Result<(), Vec<Diagnostic>> {
    if !earlier.cut {
        return Ok(());
    }
    let fault = Diagnostic::error("this folder holds the sheets of an order with its own lay");
    Err(vec![
        about(folder, fault).help("give a different folder with --out"),
    ])
}

fn about(folder: &Path, fault: Diagnostic) -> Diagnostic {
    fault.in_file(&Source::new(folder.display().to_string(), ""))
}

/// Writes the sheets of a lay alone, in place of those of an earlier one, and says so.
pub(super) fn write_alone(finished: &[Sheet], folder: &Path) -> Result<String, Vec<Diagnostic>> {
    folder::replace_lay(finished, folder)
        .map_err(|error| vec![unwritten("the lay", folder, &error)])?;
    Ok(format!(
        "  {}: {}\n",
        folder.display(),
        sheets::names(finished)
    ))
}
