//! `lay`: a longer search for a short lay of the cloth, written as marker and plot file.

use super::show::{self, Progress};
use super::unwritten::{unwritten, writable};
use super::{orders, stop};
use chalkstripe::drafting::Material;
use chalkstripe::job;
use chalkstripe::lay::{Effort, Search};
use chalkstripe::need;
use chalkstripe::order::{Diagnostic, Order};
use chalkstripe::pattern::Pattern;
use chalkstripe::sheets::{Laid, Sheet, folder, marker, plot, svg, words};
use std::path::{Path, PathBuf};

/// What `lay` was asked for.
#[derive(Debug, clap::Args)]
pub struct Settings {
    /// Order files, or folders of them.
    #[arg(required = true, value_name = "ORDER")]
    pub orders: Vec<PathBuf>,
    /// The folder that gets a folder for each order.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// Lay all the orders in one lay; they must be of one cloth.
    #[arg(long)]
    pub together: bool,
    /// Seconds to search for each lay.
    #[arg(long, value_name = "N", default_value_t = 20, value_parser = clap::value_parser!(u32).range(1..=86_400))]
    pub seconds: u32,
    /// Where the search begins: another number, another lay.
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
}

/// Lays each order, or all of them in one lay; true if all of them were laid.
pub fn run(settings: &Settings) -> bool {
    let files = orders::files(&settings.orders);
    let files = files.and_then(|files| writable("the lay", &settings.out).map(|()| files));
    if !settings.together {
        return orders::each(files, |file, order| {
            let pattern = orders::draft(file, order)?.pattern;
            laid(order, &pattern, settings)
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
    let outcome = job::together(&all).and_then(|(order, pattern)| laid(&order, &pattern, settings));
    match outcome {
        Ok(text) => show::print(&text),
        Err(faults) => {
            show::findings(&faults);
            false
        }
    }
}

fn laid(order: &Order, pattern: &Pattern, settings: &Settings) -> Result<String, Vec<Diagnostic>> {
    writable("the lay", &settings.out.join(&order.name))?;
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
    let (lay, order_length) =
        need::needed(order, &ready, &order.cloth, &search).map_err(|fault| {
            vec![Diagnostic::error(format!(
                "the cloth cannot be laid: {fault}"
            ))]
        })?;
    let text = format!(
        "{} — {}\n  {:.1} % of the cloth used; order {} ({})\n",
        order.name,
        order.client.name,
        100.0 * lay.efficiency,
        words::metres(order_length.length),
        order_length.how
    );
    let laid = Laid {
        material: Material::Cloth,
        lay,
        order_length,
    };
    let written = write(&laid, pattern, order, &settings.out)?;
    Ok(format!("{text}{written}"))
}

/// Writes a lay as marker and plot file into the order's folder; says so.
pub fn write(
    laid: &Laid,
    pattern: &Pattern,
    order: &Order,
    out: &Path,
) -> Result<String, Vec<Diagnostic>> {
    let drawing = marker::draw(laid, pattern, order);
    let plotted = plot::write(&drawing, plot::Pens::of(&order.house));
    let sheet = |file: &str, bytes| Sheet {
        file: file.to_owned(),
        bytes,
    };
    let sheets = [
        sheet("lay.svg", svg::write(&drawing)),
        sheet("lay.plt", plotted.bytes),
    ];
    let to = out.join(&order.name);
    folder::write_all(&sheets, &to).map_err(|error| vec![unwritten("the lay", &to, &error)])?;
    Ok(format!("  {}: lay.svg, lay.plt\n", to.display()))
}
