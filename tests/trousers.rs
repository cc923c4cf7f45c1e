//! Trousers over the whole range of waists and seats, proven by the ledger; and against numbers that
//! nobody here made.

use chalkstripe::drafting::{self, Draft, Library};
use chalkstripe::order::{self, Order, Source};
use chalkstripe::pattern;
use std::path::Path;

/// An order of trousers for measures in cm, with the lines of `[trousers]`. The chest is what waist
/// and seat predict.
fn order(height: f64, waist: f64, seat: f64, style: &str) -> Order {
    let chest = 0.57 * waist + 0.34 * seat + 20.5;
    let text = format!(
        "[client]\nname = \"A Client\"\nreference = \"R-1\"\ndate = 2026-03-02\n\
         [measures]\nheight = {height}\nchest = {chest}\nwaist = {waist}\nseat = {seat}\nneck = {}\n\
         [cloth]\nname = \"grey worsted\"\nwidth = 150\n[trousers]\n{style}\n",
        0.23 * chest + 16.0
    );
    let source = Source::new("order.toml", text);
    let checked = order::parse("order", &source, Path::new("")).unwrap_or_else(|faults| {
        let faults: Vec<String> = faults.iter().map(|f| f.render(false)).collect();
        panic!("{}", faults.join("\n"))
    });
    checked.order
}

fn draft(order: &Order) -> Draft {
    let drafted = drafting::draft(&Library::embedded(), order, &order.garments[0]);
    drafted.unwrap_or_else(|fault| panic!("{fault}"))
}

/// Styles that change what the waist, the seat and the leg are drafted from.
const STYLES: [&str; 6] = [
    "",
    "front = \"one_pleat\"\nrise = \"high\"\nleg = \"wide\"\nbottoms = \"turn_ups\"",
    "front = \"two_pleats\"\ntop = \"fishtail\"\nside_pockets = \"seam\"\ndress = \"left\"",
    "front = \"two_pleats\"\npleats = \"reverse\"\nrise = \"low\"\nside_pockets = \"frogmouth\"",
    "rise = \"low\"\nleg = \"tapered\"\ntop = \"belt_loops\"\nback_pocket = \"flapped\"\nback_pockets = \"both\"",
    "front = \"one_pleat\"\npleats = \"reverse\"\nleg = \"tapered\"\nfly = \"buttons\"\nknee_lining = \"front_and_back\"",
];

#[test]
fn waists_of_66_to_130_and_seats_of_84_to_136_are_proven() {
    let library = Library::embedded();
    let (mut made, mut failed) = (0, Vec::new());
    for seat in (84..=136).step_by(4).map(f64::from) {
        for waist in (66..=130).step_by(4).map(f64::from) {
            // Seats from a finger's breadth of belly overhang to an athlete's; nobody is built otherwise.
            if !(-10.0..=24.0).contains(&(seat - waist)) {
                continue;
            }
            for (i, style) in STYLES.iter().enumerate() {
                let height = [164.0, 176.0, 190.0][(made + i) % 3];
                let order = order(height, waist, seat, style);
                made += 1;
                let proven = match drafting::draft(&library, &order, &order.garments[0]) {
                    Ok(draft) => pattern::make(&order, &[draft]).map_err(|f| format!("{f:#?}")),
                    Err(fault) => Err(fault.to_string()),
                };
                if let Err(fault) = proven {
                    failed.push(format!("[{height}, {waist}, {seat}] {style:?}]: {fault}"));
                }
            }
        }
    }
    println!("trousers: {made} drafts over waists and seats");
    assert!(
        failed.is_empty(),
        "{} of {made} failed; the first: {}",
        failed.len(),
        failed.join("\n")
    );
}

#[test]
fn a_knee_that_cannot_be_worn_is_refused_with_the_reason() {
    let order = order(176.0, 88.0, 103.0, "knee = 36");
    let fault = drafting::draft(&Library::embedded(), &order, &order.garments[0]).unwrap_err();
    assert!(fault.refused, "{fault}");
    assert!(
        fault.message.contains("the knee itself measures"),
        "{fault}"
    );
}

#[test]
fn the_draft_is_the_same_every_time() {
    let order = order(176.0, 88.0, 103.0, STYLES[2]);
    assert_eq!(draft(&order), draft(&order));
}
