//! `lay`: a longer search for a short lay of the cloth, from the one that is there.

use super::asked::Asked;
use super::show::{self, Progress};
use super::unwritten::{unwritten, writable};
use super::{cut, orders, stop};
use chalkstripe::diagnostic::{Diagnostic, Source};
use chalkstripe::draft::Material;
use chalkstripe::job::{self, Drafted};
use chalkstripe::lay::{Effort, Laid, Lay, Search};
use chalkstripe::order::Order;
use chalkstripe::pattern::Pattern;
use chalkstripe::sheets::earlier::Earlier;
use chalkstripe::sheets::{self, Sheet, folder, words};
use std::path::{Path, PathBuf};

/// What `lay` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// Order files, or folders of them.
    #[arg(required = true, value_name = "ORDER")]
    pub orders: Vec<PathBuf>,
    /// The folder that gets a folder for each order.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// Lay all the orders in one lay; they must be of one cloth.
    #[arg(long)]
    pub together: bool,
    #[command(flatten)]
    pub asked: Asked,
    /// Seconds to search for each lay.
    #[arg(long, value_name = "N", default_value_t = 20, value_parser = clap::value_parser!(u32).range(1..=86_400))]
    pub seconds: u32,
    /// Where the search begins: another number, another lay.
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
}

/// Lays each order, or all of them in one lay; true if all of them were laid.
pub(super) fn run(settings: &Settings) -> bool {
    let files = orders::files(&settings.orders);
    let files = files.and_then(|files| writable("the lay", &settings.out).map(|()| files));
    if !settings.together {
        return orders::each(files, |file, order| {
            let drafted = orders::draft(file, order)?;
            laid(order, &drafted.pattern, Some(&drafted), settings)
        });
    }
    let Some(files) = orders::begin(files) else {
        return false;
    };
    let drafted = |file: &PathBuf| {
        let order = orders::read(file)?.order;
        let drafted = orders::draft(file, &order).map_err(|faults| show::findings(&faults));
        drafted.ok().map(|drafted| (order, drafted.pattern))
    };
    let Some(all) = files.iter().map(drafted).collect::<Option<Vec<_>>>() else {
        return false;
    };
    let outcome =
        job::together(&all).and_then(|(order, pattern)| laid(&order, &pattern, None, settings));
    match outcome {
        Ok(text) => show::print(&text),
        Err(faults) => {
            show::findings(&faults);
            false
        }
    }
}

/// Lays an order, or several as one, which have no draft; writes what there is to write of it into its folder.
fn laid(
    order: &Order,
    pattern: &Pattern,
    drafted: Option<&Drafted>,
    settings: &Settings,
) -> Result<String, Vec<Diagnostic>> {
    let folder = settings.out.join(&order.name);
    writable("the lay", &folder)?;
    let earlier = Earlier::in_folder(&folder);
    let drafted = drafted.filter(|_| earlier.cut);
    if drafted.is_none() {
        nothing_cut(&folder, &earlier)?;
        if settings.asked.beside_the_lay() {
            let fault = Diagnostic::error("of this order nothing is cut yet but a lay");
            let help =
                "cut it first; without that `lay` writes the lay alone, and takes --plot alone";
            return Err(vec![about(&folder, fault).help(help)]);
        }
    }
    let before = earlier.wishes.clone().unwrap_or_else(cut::usual);
    let wishes = settings.asked.over(before);
    if drafted.is_some() {
        job::wished(order, pattern, &wishes).map_err(|faults| {
            let note = "what nothing was said of is printed as when the order was cut";
            let noted = faults.into_iter().map(|fault| fault.note(note));
            noted.collect::<Vec<_>>()
        })?;
    }
    let progress = Progress::new(&order.name);
    let told = |p: chalkstripe::lay::Progress| {
        let (metres, part) = (p.length / 1000.0, 100.0 * p.done);
        progress.says(&format!("laying: {metres:.3} m, {part:.0} %"));
    };
    let search = Search {
        seed: settings.seed,
        effort: Effort::Seconds(f64::from(settings.seconds)),
        cancel: Some(&stop::STOP),
        progress: Some(&told),
        ..Search::default()
    };
    let ready = job::ready(order, pattern)?;
    let known = earlier
        .lay_of(Material::Cloth)
        .map(|(standing, _)| standing);
    let held = known.map(|known| job::cloth_held(order, &ready, known));
    let Some(drafted) = drafted else {
        let laid = job::lay_cloth(order, pattern, &ready, known, &search)?;
        let mut finished = sheets::lay_alone(&laid, pattern, order, wishes.plot);
        finished.push(sheets::lay_file(&laid, pattern));
        let written = write_alone(&finished, &folder)?;
        return Ok(format!("{}{written}", outcome(order, &laid, held)));
    };
    let lays = job::lay_on(order, pattern, &ready, &earlier, &search)?;
    progress.says("drawing");
    let made = job::sheets(order, drafted, &lays, &wishes)?;
    cut::write(order, drafted, &made, &folder)?;
    let cloth = lays.iter().find(|laid| laid.material == Material::Cloth);
    let text = cloth.map_or_else(String::new, |laid| outcome(order, laid, held));
    Ok(format!(
        "{text}  {}: {}\n",
        folder.display(),
        sheets::names(&made.sheets)
    ))
}

/// What is told of a lay. `held`: the lay that was there; none in it if the order's pieces cannot lie so.
fn outcome(order: &Order, laid: &Laid, held: Option<Option<Lay>>) -> String {
    let cm = |mm: f64| mm / 10.0;
    let length = laid.lay.length;
    let against = match held {
        None => String::new(),
        Some(None) => {
            "  the lay that was here is of other pieces or other cloth: laid anew\n".to_owned()
        }
        Some(Some(before)) if cm(before.length - length) >= 0.05 => format!(
            "  laid in {:.1} cm, {:.1} cm less than the lay that was here\n",
            cm(length),
            cm(before.length - length)
        ),
        Some(Some(_)) => format!(
            "  no shorter lay was found than the one that was here, of {:.1} cm: it stays\n",
            cm(length)
        ),
    };
    format!(
        "{} — {}\n{against}  {:.1} % of the cloth used; order {} ({})\n",
        order.name,
        order.client.name,
        100.0 * laid.lay.efficiency,
        words::metres(laid.order_length.length),
        laid.order_length.how
    )
}

/// Whether a lay alone may be written into a folder.
///
/// # Errors
/// When all sheets of an order are in it, which would tell of another lay.
pub(super) fn nothing_cut(folder: &Path, earlier: &Earlier) -> Result<(), Vec<Diagnostic>> {
    if !earlier.cut {
        return Ok(());
    }
    let fault =
        Diagnostic::error("the sheets of an order that was cut are there, and tell of its own lay");
    Err(vec![
        about(folder, fault).help("give another folder with --out"),
    ])
}

fn about(folder: &Path, fault: Diagnostic) -> Diagnostic {
    fault.in_file(&Source::new(folder.display().to_string(), ""))
}

/// Writes the sheets of a lay alone, in place of those of an earlier one; says so.
pub(super) fn write_alone(finished: &[Sheet], folder: &Path) -> Result<String, Vec<Diagnostic>> {
    folder::replace_lay(finished, folder)
        .map_err(|error| vec![unwritten("the lay", folder, &error)])?;
    Ok(format!(
        "  {}: {}\n",
        folder.display(),
        sheets::names(finished)
    ))
}
