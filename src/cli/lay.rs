//! `lay`: a longer search for a short lay of the cloth, written as marker and plot file.

use super::show::{self, Progress};
use super::{orders, stop};
use chalkstripe::drafting::Material;
use chalkstripe::lay::{Effort, Search};
use chalkstripe::need;
use chalkstripe::order::{Diagnostic, Order, Source};
use chalkstripe::sheets::{Laid, Sheet, folder, marker, plot, svg, words};
use std::path::{Path, PathBuf};

/// How to lay.
pub struct Settings {
    /// The folder that gets a folder for each order.
    pub out: PathBuf,
    /// Seconds of search.
    pub seconds: f64,
    /// Seed of the search.
    pub seed: u64,
}

/// Lays each order; true if all of them were laid.
pub fn run(named: &[PathBuf], settings: &Settings) -> bool {
    let files = match orders::files(named) {
        Ok(files) => files,
        Err(faults) => {
            show::findings(&faults);
            return false;
        }
    };
    stop::listen();
    let mut well = true;
    for file in &files {
        if stop::asked() {
            return false;
        }
        well &=
            orders::read(file).is_some_and(|checked| match laid(file, &checked.order, settings) {
                Ok(text) => show::print(&text),
                Err(faults) => {
                    show::findings(&orders::all_about(file, faults));
                    false
                }
            });
    }
    well
}

fn laid(file: &Path, order: &Order, settings: &Settings) -> Result<String, Vec<Diagnostic>> {
    let pattern = orders::draft(file, order)?.pattern;
    let progress = Progress::new(&order.name);
    let told = |p: chalkstripe::lay::Progress| {
        let (metres, part) = (p.length / 1000.0, 100.0 * p.done);
        progress.says(&format!("laying: {metres:.3} m, {part:.0} %"));
    };
    let search = Search {
        seed: settings.seed,
        effort: Effort::Seconds(settings.seconds),
        cancel: Some(&stop::STOP),
        progress: Some(&told),
        ..Search::default()
    };
    let fault = |fault: String| vec![Diagnostic::error(fault)];
    let (lay, order_length) = need::needed(order, &pattern, &order.cloth, &search)
        .map_err(|error| fault(format!("the cloth cannot be laid: {error}")))?;
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
    let drawing = marker::draw(&laid, &pattern, order);
    let plotted = plot::write(&drawing, plot::Pens::of(&order.house));
    let sheets = [
        Sheet {
            file: "lay.svg".to_owned(),
            bytes: svg::write(&drawing),
        },
        Sheet {
            file: "lay.plt".to_owned(),
            bytes: plotted.bytes,
        },
    ];
    let to = settings.out.join(&order.name);
    folder::write_all(&sheets, &to).map_err(|error| {
        let here = Source::new(to.display().to_string(), "");
        vec![Diagnostic::error(format!("the lay cannot be written: {error}")).in_file(&here)]
    })?;
    Ok(format!("{text}  {}: lay.svg, lay.plt\n", to.display()))
}
