//! `cloth`: how much to order, by width and layout, and whether a length at hand will do.

use super::many::{self, Told};
use super::orders::{self, Task};
use super::show::{self, Progress};
use super::unwritten::writable;
use super::{lay, metres, stop};
use chalkstripe::diagnostic::Diagnostic;
use chalkstripe::job::{self, JobFault};
use chalkstripe::lay::Laid;
use chalkstripe::lay::{Effort, Search, TURNS};
use chalkstripe::need::{self, Needed, Row, Verdict};
use chalkstripe::order::Order;
use chalkstripe::pattern::Pattern;
use chalkstripe::sheets::earlier::Earlier;
use chalkstripe::sheets::plot::Reach;
use chalkstripe::sheets::{self, words::capital};
use chalkstripe::units::{Unit, YARD};
use chalkstripe::workshop::Workshops;
use std::path::{Path, PathBuf};

/// What `cloth` was asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Settings {
    /// Order files, or folders of them.
    #[arg(required = true, value_name = "ORDER")]
    pub orders: Vec<PathBuf>,
    /// Cloth at hand, such as 3.2m or 3.5yd, or pieces of it, such as 1.8m+1.6m: says whether it is
    /// enough, and if not what would do.
    #[arg(long, value_name = "LENGTH", value_parser = at_hand)]
    pub have: Option<AtHand>,
    /// The garment whose cloth is at hand, where the order has several cloths; left out, it is the suit's.
    #[arg(long, value_name = "GARMENT", requires = "have")]
    pub of: Option<String>,
    /// Write the lay on the cloth at hand as SVG and plot file, into a folder for each order.
    #[arg(long, value_name = "DIR", requires = "have")]
    pub out: Option<PathBuf>,
    /// Rounds of the search for each lay: 15 for one order, 8 for each of many, unless told otherwise; 36, as
    /// for `cut`, before cloth at hand is called not enough.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pub rounds: Option<u32>,
}

/// Rounds of the search for each of many orders, and for one order, which somebody waits for. A longer search
/// goes on where these end, so that `cut` needs no more than they say.
const MANY: u32 = TURNS[0];
const ONE: u32 = TURNS[1];
/// Rounds before cloth at hand is called not enough: as many as it will be cut with.
const AT_HAND: u32 = TURNS[2];
/// The search on each other width or layout takes the rounds of the order's own, divided by this (judged, no source).
const PART_FOR_OTHERS: u32 = 9;

/// Says for each order how much to order, or whether the cloth at hand is enough; true if it could be said
/// of all.
pub(super) fn run(settings: &Settings) -> bool {
    let files = orders::files(&settings.orders).and_then(|files| {
        let out = settings.out.as_deref();
        out.map_or(Ok(()), |out| writable("the lay", out))?;
        Ok(files)
    });
    let Some(files) = orders::begin(files) else {
        return false;
    };
    let workshops = Workshops::default();
    if let [file] = files.as_slice() {
        let told = orders::one(&workshops, file, |task| {
            answer(task, &task.draft()?.pattern, true, settings)
        });
        return told.is_some_and(|text| show::print(&text));
    }
    let sum = many::each_in_order("cloth", &files, |file| {
        one_of_many(&workshops, file, settings)
    });
    let text = format!("{} orders in {:.1} s{}\n", sum.done, sum.seconds, memory());
    let heard = sum.heard && show::print(&text);
    heard && sum.faulty == 0 && sum.done == files.len()
}

/// Answers for one order among many: a line, and what was found.
fn one_of_many(workshops: &Workshops, file: &Path, settings: &Settings) -> Told {
    let mut findings = Vec::new();
    let mut told = || -> Result<String, Vec<Diagnostic>> {
        let (task, about_order) = Task::checked(workshops, file)?;
        findings.extend(about_order);
        let (drafted, about_draft) = task.drafted()?;
        findings.extend(about_draft);
        answer(&task, &drafted.pattern, false, settings)
            .map_err(|faults| orders::all_about(file, faults))
    };
    let text = told().map_err(|faults| findings.extend(faults)).ok();
    Told {
        warnings: findings.len(),
        findings,
        text,
        amiss: String::new(),
    }
}

/// Answers for one order. An order that is asked about alone has its own lengths printed as soon as they are
/// known.
fn answer(
    task: &Task,
    pattern: &Pattern,
    alone: bool,
    settings: &Settings,
) -> Result<String, Vec<Diagnostic>> {
    let order = &task.order;
    let told = |fault: JobFault| task.told(&fault);
    let usual = if alone { ONE } else { MANY };
    let rounds = settings.rounds.unwrap_or(usual);
    let search = Search {
        effort: Effort::Rounds(rounds),
        threads: (!alone).then_some(1),
        kept: &task.workshop.kept,
        cancel: Some(&stop::STOP),
        ..Search::default()
    };
    if let Some(out) = &settings.out {
        let folder = out.join(&order.name);
        lay::nothing_cut(&folder, &Earlier::in_folder(&folder))?;
    }
    if let Some(have) = &settings.have {
        let order = &orders::with_cloth_of(order, settings.of.as_deref())?;
        let ready = job::ready(order, pattern).map_err(told)?;
        let cut = settings.rounds.unwrap_or(AT_HAND);
        let progress = Progress::new(&order.name);
        progress.says("laying it on the cloth in stock");
        let verdict = need::have(&task.workshop, order, &ready, &have.0, &search, cut);
        drop(progress);
        return told_of(verdict, order, pattern, settings, have);
    }
    let ready = job::ready(order, pattern).map_err(told)?;
    if !alone {
        return Ok(line(
            order,
            &job::lay_ready(order, pattern, &ready, &search).map_err(told)?,
        ));
    }
    let lays = {
        let progress = Progress::new(&order.name);
        progress.says("laying it as it is");
        job::lay_ready(order, pattern, &ready, &search).map_err(told)?
    };
    let (name, client, cloth) = (&order.name, &order.client.name, orders::cloths(order));
    let own = format!(
        "{name} — {client}, {cloth}\n{}",
        orders::lengths(&lays, order.unit)
    );
    if !show::print(&own) {
        return Ok(String::new());
    }
    let progress = Progress::new(&order.name);
    progress.says("laying it on other widths");
    let others = Search {
        effort: Effort::Rounds(rounds.div_ceil(PART_FOR_OTHERS)),
        searchers: 1,
        ..search
    };
    let mut text = String::new();
    for of_cloth in order.by_cloth() {
        let problem = job::ready(&of_cloth, pattern).map_err(told)?;
        let rows = need::table(&of_cloth, &problem, &lays, &others);
        text.push_str(&table(&of_cloth.cloth.material.name, &rows, order.unit));
    }
    Ok(text)
}

/// Makes the line of one order among many: its materials with the length of each.
fn line(order: &Order, lays: &[Laid]) -> String {
    let lengths: Vec<String> = lays
        .iter()
        .map(|laid| {
            let length = order.unit.cloth(laid.order_length.length);
            format!("{} {length}", &laid.material.name)
        })
        .collect();
    format!("{}: {}\n", order.name, lengths.join(", "))
}

fn table(of: &str, rows: &[Row], unit: Unit) -> String {
    let mut text = String::new();
    let patterned = rows.iter().any(|row| row.patterned.is_some());
    text.push_str(&format!(
        "\n  {} to order, by its width and how it is laid:\n\n",
        capital(of)
    ));
    text.push_str("  width     plain, open  plain, doubled");
    text.push_str(if patterned {
        "  matched, open  matched, doubled\n"
    } else {
        "\n"
    });
    let mut reasons = Vec::new();
    for row in rows {
        text.push_str(&format!("  {:<9}", unit.show(row.width)));
        let cells = row.plain.iter().chain(row.patterned.iter().flatten());
        for (cell, room) in cells.zip([12, 16, 15, 18]) {
            text.push_str(&format!("{:>room$}", length_of(cell, unit)));
            if let Err(fault) = cell {
                let fault = fault.words(unit);
                reasons.push(format!("  {}: {fault}\n", unit.show(row.width)));
            }
        }
        text.push('\n');
    }
    reasons.dedup();
    if !reasons.is_empty() {
        text.push('\n');
        text.extend(reasons);
    }
    text
}

fn length_of(needed: &Needed, unit: Unit) -> String {
    match needed {
        Ok((_, length)) => unit.cloth(length.length),
        Err(_) => "no".to_owned(),
    }
}

/// Says whether the cloth at hand is enough, and writes its lay if that was asked for.
fn told_of(
    verdict: Verdict,
    order: &Order,
    pattern: &Pattern,
    settings: &Settings,
    at_hand: &AtHand,
) -> Result<String, Vec<Diagnostic>> {
    let enough = verdict.enough();
    let Verdict {
        needed,
        missing,
        longer,
        instead,
    } = verdict;
    let (layout, unit) = (order.cloth.layout.word(), order.unit);
    let lies = match &needed {
        Ok((lay, length)) => format!(
            "laid {layout} on {} the pieces take {}, {:.0} % of the cloth used; {}: {}",
            unit.show(order.cloth.width),
            length_taken(lay.length, unit),
            100.0 * lay.efficiency,
            length.how(unit),
            unit.cloth(length.length)
        ),
        Err(fault) => fault.words(unit),
    };
    let pieces: Vec<String> = at_hand
        .0
        .iter()
        .map(|&mm| at_hand_words(mm, unit))
        .collect();
    let name = match order.other_cloths.is_empty() {
        true => order.name.clone(),
        false => format!("{}, {}", order.name, order.cloth.material.name),
    };
    let have = pieces.join(" and ");
    let is = if pieces.len() == 1 { "is" } else { "are" };
    let mut text = if enough {
        format!("{name}: yes, {have} {is} enough: {lies}\n")
    } else {
        let by = missing.map_or_else(String::new, |mm| {
            // Rounded up, so that a cutter who adds this much has enough.
            format!(" by {}", unit.show(unit.at_least(mm - 0.01)))
        });
        let instead = match instead.join("; or ") {
            none if none.is_empty() => {
                "no other layout, width or hem that was tried would be enough".to_owned()
            }
            instead => format!("it would be enough {instead}"),
        };
        format!("{name}: no, {have} {is} not enough{by}: {lies}\n  {instead}\n")
    };
    if let Some(rounds) = longer {
        text.push_str(&format!(
            "  this only just fits: cut it with --rounds {rounds}, so that the search is as long as this one\n"
        ));
    }
    if let (Some(out), Ok((lay, order_length))) = (&settings.out, needed) {
        let laid = Laid {
            material: order.cloth.material.clone(),
            lay,
            order_length,
        };
        let finished = sheets::lay_alone(&laid, pattern, order, Reach::Long);
        text.push_str(&lay::write_alone(&finished, &out.join(&order.name))?);
    }
    Ok(text)
}

/// Writes a length that pieces take: in metres, or in inches, which are finer than an eighth of a yard.
fn length_taken(mm: f64, unit: Unit) -> String {
    match unit {
        Unit::Cm => unit.cloth(mm),
        Unit::Inch => unit.show(mm),
    }
}

/// Writes a length of cloth at hand: of yards only if it is a number of their eighths.
fn at_hand_words(mm: f64, unit: Unit) -> String {
    let eighths = 8.0 * mm / YARD;
    match unit {
        Unit::Inch if (eighths - eighths.round()).abs() > 1e-6 => unit.show(mm),
        _ => unit.cloth(mm),
    }
}

/// Returns the most memory used so far, in words; nothing where the system does not tell.
fn memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kilobytes = peak.and_then(|rest| rest.trim().split(' ').next()?.parse::<f64>().ok());
    kilobytes.map_or_else(String::new, |kb| format!(", {:.0} MB", kb / 1024.0))
}

/// Lengths of cloth at hand, mm.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct AtHand(Vec<f64>);

/// Reads one length at hand, or several with a + between them, in metres unless a unit is named.
pub(super) fn at_hand(text: &str) -> Result<AtHand, String> {
    text.split('+')
        .map(metres::parsed)
        .collect::<Result<_, _>>()
        .map(AtHand)
}

#[cfg(test)]
mod tests {
    use super::{AtHand, at_hand};

    #[test]
    fn a_length_at_hand_is_in_metres_unless_it_says_otherwise() {
        for (text, mm) in [
            ("3.2m", 3200.0),
            ("3,2 m", 3200.0),
            ("3.2", 3200.0),
            ("320 cm", 3200.0),
        ] {
            assert_eq!(at_hand(text), Ok(AtHand(vec![mm])), "{text}");
        }
        assert!((at_hand("126 in").unwrap().0[0] - 3200.4).abs() < 1e-6);
        assert_eq!(at_hand("1.8m + 95cm"), Ok(AtHand(vec![1800.0, 950.0])));
        assert!(at_hand("1.8m+").is_err());
        for text in ["", "much", "-3m", "320000"] {
            assert!(at_hand(text).is_err(), "{text}");
        }
    }
}
