//! `cut`: orders in, everything a cutter needs out.

use super::show::Progress;
use super::unwritten::{unwritten, writable};
use super::{orders, stop};
use chalkstripe::job;
use chalkstripe::lay::{Effort, Search};
use chalkstripe::order::length::{self, Unit};
use chalkstripe::order::{self, Diagnostic, Order};
use chalkstripe::sheets::paper::Paper;
use chalkstripe::sheets::plot::Reach;
use chalkstripe::sheets::wishes::{self, Wishes};
use chalkstripe::sheets::{self, Laid, Made, Sheet, folder};
use clap::ValueEnum;
use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// What `cut` was asked for.
#[derive(Debug, clap::Args)]
pub struct Settings {
    /// Order files, or folders of them.
    #[arg(required = true, value_name = "ORDER")]
    pub orders: Vec<PathBuf>,
    /// The folder that gets a folder for each order.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// What the pattern is printed on: a4, a3, a2, a1, a0, letter, tabloid, or a roll and its width,
    /// such as roll:914mm.
    #[arg(long, default_value = "a4", help_heading = "Paper")]
    pub paper: Paper,
    /// What is printed: every piece once on the fewest pages, or every cut as it lies on the cloth.
    #[arg(long, value_enum, default_value_t = Print::Pieces, help_heading = "Paper")]
    pub print: Print,
    /// Print only these garments or pieces: jacket, or forepart,sleeve. Lays, ticket and cloth length
    /// stay those of the whole order.
    #[arg(long, value_name = "NAME", value_delimiter = ',', help_heading = "Paper", value_parser = clap::builder::NonEmptyStringValueParser::new())]
    pub only: Vec<String>,
    /// White that the printer leaves at each edge, such as 5mm, 0.5cm or 1/4in [default: the house's
    /// print.margin].
    #[arg(long, value_name = "LENGTH", value_parser = edge, help_heading = "Paper")]
    pub margin: Option<f64>,
    /// Strip that joined pages share, to be glued [default: the house's print.overlap].
    #[arg(long, value_name = "LENGTH", value_parser = edge, help_heading = "Paper")]
    pub overlap: Option<f64>,
    /// What the plotter takes: hpgl2 plots of any length, or hpgl, whose coordinates end at 819 mm:
    /// longer lays become several files with crosses to join them by.
    #[arg(long, value_enum, default_value_t = Plot::Hpgl2, help_heading = "Plotter and cutter")]
    pub plot: Plot,
    /// Write the pieces as DXF as well (release 12, layers after ASTM D6673; a beta: try it on scrap
    /// first).
    #[arg(long, help_heading = "Plotter and cutter")]
    pub dxf: bool,
    /// Rounds of the search for a short lay; more take longer and may need less cloth.
    #[arg(long, value_name = "N", default_value_t = 36, value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pub rounds: u32,
}

/// What is printed at true scale.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum Print {
    Pieces,
    Lay,
}

/// What the plotter takes.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum Plot {
    Hpgl2,
    Hpgl,
}

impl Settings {
    fn wishes(&self) -> Wishes {
        Wishes {
            paper: self.paper,
            margin: self.margin,
            overlap: self.overlap,
            print: match self.print {
                Print::Pieces => wishes::Print::Pieces,
                Print::Lay => wishes::Print::Lay,
            },
            only: self.only.clone(),
            plot: match self.plot {
                Plot::Hpgl2 => Reach::Long,
                Plot::Hpgl => Reach::Short,
            },
            dxf: self.dxf,
        }
    }
}

/// Reads the width of a margin or an overlap; a bare number is in mm.
fn edge(text: &str) -> Result<f64, String> {
    let bare = text.trim().strip_suffix("mm").unwrap_or(text).trim();
    let mm = match bare.parse::<f64>() {
        Ok(mm) => mm,
        Err(_) => length::parse(text, Unit::Cm)?,
    };
    if (0.0..=50.0).contains(&mm) {
        Ok(mm)
    } else {
        Err("it is from 0 to 50 mm wide".to_owned())
    }
}

/// Cuts each order into a folder of its own; true if all of them were cut.
pub fn run(settings: &Settings) -> bool {
    let files = orders::files(&settings.orders).and_then(distinct);
    let files = files.and_then(|files| writable("the sheets", &settings.out).map(|()| files));
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
    writable("the sheets", &folder)?;
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
    let wishes = settings.wishes();
    job::wished(order, &drafted.pattern, &wishes)?;
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
    let made = job::sheets(order, &drafted, &lays, &wishes)?;
    Ok((made, lays))
}

/// Writes the sheets, and takes away what an earlier run of this order left behind.
fn write(sheets: &[Sheet], folder: &Path) -> Result<(), Vec<Diagnostic>> {
    folder::replace_all(sheets, folder).map_err(|error| {
        let mut fault = unwritten("the sheets", folder, &error);
        if error.kind() == ErrorKind::StorageFull {
            let bytes: usize = sheets.iter().map(|sheet| sheet.bytes.len()).sum();
            let needed = bytes.div_ceil(1_000_000);
            fault = fault.note(format!("they need {needed} MB; the sheets of an earlier run stay as they are"));
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
    text.push_str(&orders::lengths(lays));
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
