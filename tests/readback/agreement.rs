//! Ticket, page, report and marker tell the same lengths; the DXF has no errors.

use super::cloth::faults;
use super::dxf::AUDIT;
use super::orders::{ORDERS, Order, none};
use crate::sheets::reader::{has, python_with, run};

/// The words of the order's page, without its tags.
pub(super) fn page(order: &Order) -> String {
    let text = std::fs::read_to_string(order.folder.join("order.html")).expect("a page");
    let mut words = String::new();
    for part in text.split('<') {
        words.push_str(part.split_once('>').map_or(part, |(_, after)| after));
        words.push(' ');
    }
    words
}

/// The words of the ticket, where there is a program that reads them.
pub(super) fn ticket(order: &Order) -> Option<String> {
    let path = order.folder.join("ticket.pdf");
    has("pdftotext").then(|| {
        run(
            "pdftotext",
            &["-layout", path.to_str().expect("a path"), "-"],
        )
    })
}

/// Lengths to order, as they stand before a width, each in mm with the step it is rounded to: `3.40 m of 150 cm`,
/// `3 3/4 yd of 59 in`.
fn lengths_to_order(words: &str) -> Vec<(f64, f64)> {
    let words: Vec<&str> = words.split_whitespace().collect();
    let mut found: Vec<(f64, f64)> = words
        .windows(5)
        .filter(|words| words[3] == "of" && words[4].starts_with(|c: char| c.is_ascii_digit()))
        .filter_map(|words| match words[2] {
            "m" => Some((1000.0 * words[1].parse::<f64>().ok()?, 10.0)),
            "yd" => {
                let part = |word: &str| match word.split_once('/') {
                    Some((a, b)) => Some(a.parse::<f64>().ok()? / b.parse::<f64>().ok()?),
                    None => word.parse().ok(),
                };
                let before = if words[1].contains('/') {
                    part(words[0]).unwrap_or_default()
                } else {
                    0.0
                };
                Some((914.4 * (part(words[1])? + before), 914.4 / 8.0))
            }
            _ => None,
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found
}

#[test]
fn every_sheet_tells_the_same_lengths() {
    none(faults(|read| {
        let mut found = Vec::new();
        let order = read.order;
        let mut wanted: Vec<f64> = order.lays().map(|lay| lay.order_length_mm).collect();
        wanted.sort_by(f64::total_cmp);
        let mut sheets = vec![("order.html", page(order))];
        sheets.extend(ticket(order).map(|words| ("ticket.pdf", words)));
        for (sheet, words) in sheets {
            let told = lengths_to_order(&words);
            // A length is never told shorter than it is, nor longer by a step.
            let agrees = |((length, step), ordered): (&(f64, f64), &f64)| {
                (-0.01..*step).contains(&(length - ordered))
            };
            if told.len() != wanted.len() || !told.iter().zip(&wanted).all(agrees) {
                found.push(format!(
                    "{sheet} says to order {told:?}, report.json {wanted:?}"
                ));
            }
        }
        for spread in &read.spreads {
            let lay = spread.lay;
            // The cloth is the marker's widest closed line: its end is the end of the lay.
            let cloth = spread
                .sheet
                .all("cloth")
                .filter(|stroke| stroke.runs[0].len() == 5);
            let end = cloth
                .map(|stroke| super::geometry::bounds(&stroke.runs[0]).y1)
                .fold(0.0, f64::max);
            let reached = spread
                .cuts
                .iter()
                .map(|cut| super::geometry::bounds(&cut.outline).y1)
                .fold(0.0, f64::max);
            if (end - lay.length_mm).abs() > 0.01
                || !(-0.05..0.5).contains(&(lay.length_mm - reached))
            {
                found.push(format!("{}: {} mm in the report, {end} on the marker, whose pieces end at {reached:.3}", lay.material, lay.length_mm));
            }
            // One ply is as wide as it lies; two plies hold what lies on both.
            let area = |cut: &super::lays::Cut<'_>| {
                let run = &cut.outline;
                let twice: f64 = super::geometry::sides(run)
                    .map(|side| side.p0.to_vec2().cross(side.p1.to_vec2()))
                    .sum();
                f64::from(cut.row.plies) * twice.abs() / 2.0
            };
            let plies = if lay.layout == "doubled" { 2.0 } else { 1.0 };
            let used = spread.cuts.iter().map(area).sum::<f64>()
                / (plies * lay.usable_width_mm * lay.length_mm);
            if (used - lay.efficiency).abs() > 1e-4 {
                found.push(format!(
                    "{}: {:.4} of the cloth is used by the report, {used:.4} by the marker",
                    lay.material, lay.efficiency
                ));
            }
            if !spread
                .sheet
                .title
                .to_lowercase()
                .contains(&lay.material.replace('_', " "))
            {
                found.push(format!(
                    "a lay in {} is headed {:?}",
                    lay.material, spread.sheet.title
                ));
            }
        }
        found
    }));
}

/// Read by ezdxf: without errors, every piece once at true scale, no grain line outside its piece.
#[test]
fn the_dxf_is_without_errors_and_its_grain_lines_are_inside() {
    let Some(python) = python_with("ezdxf") else {
        return;
    };
    let mut found = Vec::new();
    for order in ORDERS.iter() {
        let path = order.folder.join("pieces.dxf");
        let text = run(python, &["-c", AUDIT, path.to_str().expect("a path")]);
        let inserted = format!("inserted {}", order.report.pieces.len());
        for wanted in ["audit 0 0", inserted.as_str()] {
            if !text.contains(wanted) {
                found.push(format!(
                    "{}: not `{wanted}`: {}",
                    order.name,
                    text.lines().take(2).collect::<Vec<_>>().join(", ")
                ));
            }
        }
        for line in text.lines().filter_map(|line| line.strip_prefix("grain|")) {
            let (block, beyond) = line.split_once('|').expect("a name and a length");
            if beyond.parse::<f64>().expect("mm") > 0.05 {
                found.push(format!(
                    "{}: the grain line of {block} leaves its piece by {beyond} mm",
                    order.name
                ));
            }
        }
    }
    none(found);
}
