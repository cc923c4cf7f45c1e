//! `check`: read orders and report; write nothing.

use super::many::{self, Sum, Told};
use super::orders::{self, Task};
use super::show;
use chalkstripe::diagnostic::{Diagnostic, Severity};
use chalkstripe::job::Drafted;
use chalkstripe::order::settling::never_settled;
use chalkstripe::order::words::{counted, shown};
use chalkstripe::order::{
    Choice, Cloth, Garment, Order, Origin, likely::expected, measures::KINDS,
};
use chalkstripe::pattern::Pattern;
use chalkstripe::units::Unit;
use chalkstripe::workshop::{Workshop, Workshops};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// What `check` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// Order files, or folders of them.
    #[arg(required = true, value_name = "ORDER")]
    pub orders: Vec<PathBuf>,
}

/// Reports one order in full, or each of many in a line with details of those at fault only; true if none
/// has a fault.
pub(super) fn run(settings: &Settings) -> bool {
    let Some(files) = orders::begin(orders::files(&settings.orders)) else {
        return false;
    };
    let workshops = Workshops::default();
    if let [file] = files.as_slice() {
        return one(&workshops, file);
    }
    // Every order is looked at, whatever was found in the one before.
    let sum = many::each_in_order("check", &files, |file| one_of_many(&workshops, file));
    let heard = sum.heard && show::print(&summary(&sum));
    heard && sum.faulty == 0 && sum.done == files.len()
}

fn one(workshops: &Workshops, file: &Path) -> bool {
    let Some(task) = Task::read(workshops, file) else {
        return false;
    };
    show::outcome(task.draft().map(|drafted| report(&task, &drafted)))
}

/// Makes the line of one order among many. The line counts the order's warnings, which `check` of it alone
/// shows. They are shown here only with its faults, which may follow from what they doubt.
fn one_of_many(workshops: &Workshops, file: &Path) -> Told {
    let mut findings = Vec::new();
    let mut told = || -> Result<String, Vec<Diagnostic>> {
        let (task, about_order) = Task::checked(workshops, file)?;
        findings.extend(about_order);
        let (drafted, about_draft) = task.drafted()?;
        findings.extend(about_draft);
        let (order, pieces) = (&task.order, drafted.pattern.pieces.len());
        let (name, client) = (&order.name, &order.client.name);
        Ok(format!("{name} — {client}: {pieces} pieces, proven"))
    };
    match told() {
        Ok(line) => {
            let warnings = findings.len();
            let warned = match warnings {
                0 => String::new(),
                count => format!(", {}", counted(count, "warning")),
            };
            Told {
                findings: Vec::new(),
                text: Some(format!("{line}{warned}\n")),
                amiss: String::new(),
                warnings,
            }
        }
        Err(faults) => {
            findings.extend(faults);
            let is_fault = |finding: &&Diagnostic| finding.severity == Severity::Error;
            let count = findings.iter().filter(is_fault).count();
            let (file, sum) = (file.display(), counted(count, "fault"));
            Told {
                amiss: format!("{file}: {sum}\n"),
                warnings: 0,
                findings,
                text: None,
            }
        }
    }
}

/// Sums up what was found in many orders.
fn summary(sum: &Sum) -> String {
    let orders = counted(sum.done, "order");
    let good = sum.done - sum.faulty;
    format!(
        "{orders}: {good} without an error, {} of them with warnings; {} with errors\n",
        sum.warned, sum.faulty
    )
}

fn report(task: &Task, drafted: &Drafted) -> String {
    let order = &task.order;
    let mut text = format!(
        "{} — {}, {}\n",
        order.name, order.client.name, order.client.reference
    );
    text.push_str(&measures(task));
    for garment in &order.garments {
        text.push_str(&style(&task.workshop, garment, order));
    }
    for own in order.cloths() {
        text.push_str(&cloth(own, order.unit));
    }
    text.push_str(&proof(&drafted.pattern, order.unit));
    if let Some(open) = never_settled(order, &task.workshop.catalogue) {
        let _ = writeln!(text, "\n{open}");
    }
    text.push('\n');
    text
}

/// Lists the measures that the order's garments are drafted by, in the order's unit.
fn measures(task: &Task) -> String {
    let order = &task.order;
    let unit = order.unit;
    let mut text = format!("\nmeasures, in {}\n", unit.spoken());
    let _ = writeln!(
        text,
        "  {:<16}{:>9}{:>18}   origin",
        "", "length", "expected"
    );
    let taken = KINDS.iter().filter_map(|kind| {
        let measure = order.measures.0.get(kind.name)?;
        (measure.origin == Origin::Taken).then_some((kind.name, measure.mm / 10.0))
    });
    let expected = expected(&taken.collect());
    let garments: Vec<String> = order.garments.iter().map(|g| g.block.clone()).collect();
    for kind in task.workshop.catalogue.measures_for(&garments) {
        let Some(measure) = order.measures.0.get(kind.name) else {
            continue;
        };
        let origin = match measure.origin {
            Origin::Taken => "taken".to_owned(),
            Origin::Derived => match kind.rule_in(unit) {
                Some(rule) => format!("derived: {rule}"),
                None => format!("derived, ± {}", unit.show(measure.open)),
            },
        };
        let length = unit.number(measure.mm);
        let said = expected.get(kind.name).map_or(String::new(), |said| {
            let [least, most] =
                [said.least, said.most].map(|cm| unit.number(whole(10.0 * cm, unit)));
            format!("{least} to {most}")
        });
        let _ = writeln!(text, "  {:<16}{length:>9}{said:>18}   {origin}", kind.name);
    }
    text
}

/// Rounds an end of a range, which is no finer than this, to a whole cm or half an inch.
fn whole(mm: f64, unit: Unit) -> f64 {
    let step = match unit {
        Unit::Cm => unit.mm(),
        Unit::Inch => unit.mm() / 2.0,
    };
    (mm / step).round() * step
}

/// Lists the choices of a garment, in the order its block declares them.
fn style(workshop: &Workshop, garment: &Garment, order: &Order) -> String {
    let mut text = format!("\n{}\n", garment.block);
    let choices = workshop.catalogue.choices(&garment.block);
    for declared in choices.iter().flat_map(|choices| &choices.0) {
        let name = &declared.name;
        if declared.yields_to(&order.measures).is_some() {
            continue;
        }
        let Some(choice) = garment.style.get(name) else {
            continue;
        };
        let choice = match choice {
            Choice::Word(word) => word.clone(),
            Choice::Length(mm) => order.unit.show(*mm),
            Choice::Number(number) => shown(*number),
            Choice::Flag(true) => "yes".into(),
            Choice::Flag(false) => "no".into(),
        };
        let _ = writeln!(text, "  {name:<16} {choice}");
    }
    text
}

fn cloth(cloth: &Cloth, unit: Unit) -> String {
    let (nap, layout) = (cloth.nap.words(), cloth.layout.word());
    let repeat = match (cloth.repeat_across, cloth.repeat_along) {
        (0.0, 0.0) => "no repeat".to_owned(),
        (across, along) => format!(
            "repeat {} across, {} along",
            unit.show(across),
            unit.show(along)
        ),
    };
    let width = unit.show(cloth.width);
    let mut text = format!(
        "\n{}\n  {}: {width} wide, {repeat}, laid {layout}, {nap}\n",
        cloth.material.name, cloth.name
    );
    if !cloth.remnants.is_empty() {
        let pieces: Vec<String> = cloth.remnants.iter().map(|&mm| unit.show(mm)).collect();
        let _ = writeln!(text, "  in stock: {}", pieces.join(", "));
    }
    text
}

/// Says what the pattern is, and what proves it.
fn proof(pattern: &Pattern, unit: Unit) -> String {
    let ledger = &pattern.ledger;
    let pieces = pattern.pieces.len();
    let rows = [
        (ledger.seams.len(), "seams"),
        (ledger.joins.len(), "joins"),
        (ledger.girths.len(), "girths"),
        (ledger.notches.len(), "notches"),
    ];
    let rows: Vec<String> = rows
        .iter()
        .map(|(rows, what)| format!("{rows} {what}"))
        .collect();
    let mut text = format!(
        "\npattern\n  {pieces} pieces, all checks passed: {}; every outline and curve\n",
        rows.join(", ")
    );
    for girth in &ledger.girths {
        let (finished, body) = (unit.show(girth.finished_mm), unit.show(girth.body_mm));
        let body = if girth.body_mm > 0.0 {
            format!(" on a body of {body}")
        } else {
            String::new()
        };
        let _ = writeln!(text, "  {:<22} {finished}{body}", girth.girth);
    }
    text
}
