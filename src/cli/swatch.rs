//! `swatch`: the cloth alone at true scale.

use super::orders::{self, Task};
use super::show;
use super::unwritten::write_named;
use chalkstripe::diagnostic::Diagnostic;
use chalkstripe::order::Order;
use chalkstripe::sheets::in_cloth;
use chalkstripe::workshop::Workshops;
use std::path::PathBuf;

/// Writes the picture; true if all went well.
pub(super) fn run(settings: &Settings) -> bool {
    match Task::read(&Workshops::default(), &settings.order) {
        Some(task) => show::outcome(write(settings, &task.order)),
        None => false,
    }
}

fn write(settings: &Settings, order: &Order) -> Result<String, Vec<Diagnostic>> {
    let order = &orders::with_cloth_of(order, settings.of.as_deref())?;
    let Some(look) = &order.look else {
        let fault = Diagnostic::error(format!("the cloth of {} is not described", order.name));
        let help = "under [cloth] write colours, weave, warp, weft, ends and picks, or a swatch";
        return Err(vec![fault.help(help)]);
    };
    let usual = PathBuf::from(format!("{}-swatch.png", order.name));
    let path = settings.file.as_ref().unwrap_or(&usual);
    write_named("the swatch", path, "png", || in_cloth::swatch(look))?;
    Ok(format!(
        "{}: print at 100 %, 300 pixels to the inch\n",
        path.display()
    ))
}

/// What `swatch` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// The order.
    #[arg(value_name = "ORDER")]
    pub order: PathBuf,
    /// The file to write [default: the order's name with -swatch.png, here].
    #[arg(value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// The garment whose cloth is shown, where the order has several cloths; left out, it is the suit's.
    #[arg(long, value_name = "GARMENT")]
    pub of: Option<String>,
}
