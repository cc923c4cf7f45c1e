//! `check`: read orders and report; write nothing.

use super::{orders, show};
use chalkstripe::job::Drafted;
use chalkstripe::order::{
    Catalogue, Choice, Garment, Layout, Nap, Order, Origin, length::Unit, likely::expected,
    measures::KINDS,
};
use chalkstripe::pattern::Pattern;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// What `check` was asked for.
#[derive(Debug, clap::Args)]
pub struct Settings {
    /// Order files, or folders of them.
    #[arg(required = true, value_name = "ORDER")]
    pub orders: Vec<PathBuf>,
}

/// Reports each order; true if none has a fault.
pub fn run(settings: &Settings) -> bool {
    let files = match orders::files(&settings.orders) {
        Ok(files) => files,
        Err(faults) => {
            show::findings(&faults);
            return false;
        }
    };
    // Every order is reported, whatever was found in the one before.
    let faulty = files.iter().filter(|file| !one(file)).count();
    faulty == 0
}

fn one(file: &Path) -> bool {
    let Some(checked) = orders::read(file) else {
        return false;
    };
    match orders::draft(file, &checked.order) {
        Ok(drafted) => show::print(&report(&checked.order, &drafted)),
        Err(faults) => {
            show::findings(&faults);
            false
        }
    }
}

fn report(order: &Order, drafted: &Drafted) -> String {
    let mut text = format!(
        "{} — {}, {}\n",
        order.name, order.client.name, order.client.reference
    );
    text.push_str("\nmeasures, and what those taken say of each other\n");
    let taken = KINDS.iter().filter_map(|kind| {
        let measure = order.measures.0.get(kind.name)?;
        (measure.origin == Origin::Taken).then_some((kind.name, measure.mm / 10.0))
    });
    let expected = expected(&taken.collect());
    for kind in KINDS {
        let Some(measure) = order.measures.0.get(kind.name) else {
            continue;
        };
        let origin = match measure.origin {
            Origin::Taken => "taken".to_owned(),
            Origin::Derived => format!("derived: {}", kind.rule),
        };
        let (cm, inches) = (Unit::Cm.show(measure.mm), Unit::Inch.show(measure.mm));
        let said = expected.get(kind.name).map_or(String::new(), |said| {
            format!("{:.0}–{:.0}", said.least, said.most)
        });
        let _ = writeln!(
            text,
            "  {:<16}{cm:>9}{inches:>12}{said:>9}   {origin}",
            kind.name
        );
    }
    for garment in &order.garments {
        text.push_str(&style(order, garment));
    }
    text.push_str(&cloth(order));
    text.push_str(&proof(&drafted.pattern));
    text.push('\n');
    text
}

/// The choices of a garment, in the order its block declares them.
fn style(order: &Order, garment: &Garment) -> String {
    let mut text = format!("\n{}\n", garment.block);
    let declared = Catalogue::new(order.blocks.clone()).choices(&garment.block);
    for declared in declared.iter().flat_map(|choices| &choices.0) {
        let name = &declared.name;
        let Some(choice) = garment.style.get(name) else {
            continue;
        };
        let choice = match choice {
            Choice::Word(word) => word.clone(),
            Choice::Length(mm) => Unit::Cm.show(*mm),
            Choice::Number(number) => number.to_string(),
            Choice::Flag(true) => "yes".into(),
            Choice::Flag(false) => "no".into(),
        };
        let _ = writeln!(text, "  {name:<16} {choice}");
    }
    text
}

fn cloth(order: &Order) -> String {
    let cloth = &order.cloth;
    let nap = match cloth.nap {
        Nap::OneWay => "one way",
        Nap::TwoWays => "two ways",
    };
    let layout = match cloth.layout {
        Layout::Open => "open",
        Layout::Doubled => "doubled",
    };
    let repeat = match (cloth.repeat_across, cloth.repeat_along) {
        (0.0, 0.0) => "no repeat".to_owned(),
        (across, along) => format!(
            "repeat {} across, {} along",
            Unit::Cm.show(across),
            Unit::Cm.show(along)
        ),
    };
    let width = Unit::Cm.show(cloth.width);
    let mut text = format!(
        "\ncloth\n  {}: {width} wide, {repeat}, laid {layout}, {nap}\n",
        cloth.name
    );
    if !cloth.remnants.is_empty() {
        let pieces: Vec<String> = cloth.remnants.iter().map(|&mm| Unit::Cm.show(mm)).collect();
        let _ = writeln!(text, "  at hand: {}", pieces.join(", "));
    }
    text
}

/// What the pattern is, and what proves it.
fn proof(pattern: &Pattern) -> String {
    let ledger = &pattern.ledger;
    let pieces = pattern.pieces.len();
    let rows = [
        (ledger.seams.len(), "seams balance"),
        (ledger.joins.len(), "joints run fair"),
        (ledger.notches.len(), "notches meet"),
        (ledger.outlines.len(), "outlines hold"),
        (ledger.curves.len(), "curves are fair"),
    ];
    let rows: Vec<String> = rows
        .iter()
        .map(|(rows, what)| format!("{rows} {what}"))
        .collect();
    let mut text = format!(
        "\npattern\n  {pieces} pieces, proven: {}\n",
        rows.join(", ")
    );
    for girth in &ledger.girths {
        let (finished, body) = (
            Unit::Cm.show(girth.finished_mm),
            Unit::Cm.show(girth.body_mm),
        );
        let body = if girth.body_mm > 0.0 {
            format!(" on a body of {body}")
        } else {
            String::new()
        };
        let _ = writeln!(text, "  {:<22} {finished}{body}", girth.girth);
    }
    text
}
