//! How long one garment takes, drafted, proven and finished with its allowances, once the blocks are
//! compiled: `cargo bench --bench garments` prints it for plain and for elaborate styles;
//! `-- jacket 5` only for jackets, each made five times.

use chalkstripe::diagnostic::Source;
use chalkstripe::order::{self, Order};
use chalkstripe::pattern;
use chalkstripe::script::{Library, draft};
use std::path::Path;
use std::time::{Duration, Instant};

/// How often each is made unless told otherwise; the middle one is told, and the slowest.
const TIMES: usize = 101;

/// Garment, name of the style, its choices.
const STYLES: [(&str, &str, &str); 8] = [
    ("jacket", "two buttons, as a house makes it", ""),
    (
        "jacket",
        "double-breasted, working cuffs, side vents, ticket pocket",
        "fastening = \"six_two\"\ncuff = \"working\"\nticket_pocket = \"plain\"\nedge = \"double_stitched\"",
    ),
    (
        "jacket",
        "separate stand, patches, curved welt",
        "collar = \"two_piece\"\nhip_pocket = \"patch_flapped\"\nbreast_pocket = \"curved\"",
    ),
    (
        "jacket",
        "shawl, one button",
        "fastening = \"one\"\nlapel = \"shawl\"",
    ),
    ("waistcoat", "six buttons, as a house makes it", ""),
    (
        "waistcoat",
        "double-breasted, notch lapel, points",
        "fastening = \"double_six\"\nlapel = \"notch\"\nbottom = \"pointed\"",
    ),
    ("trousers", "flat front, as a house makes it", ""),
    (
        "trousers",
        "two pleats, fishtail, frogmouth, dressed left",
        "front = \"two_pleats\"\ntop = \"fishtail\"\nside_pockets = \"frogmouth\"\ndress = \"left\"\nknee_lining = \"front_and_back\"\nbottoms = \"turn_ups\"",
    ),
];

fn main() {
    let asked: Vec<String> = std::env::args().skip(1).collect();
    let times = asked.iter().find_map(|a| a.parse().ok()).unwrap_or(TIMES);
    let library = Library::embedded();
    let wanted = |garment: &str| {
        let named = |a: &&String| STYLES.iter().any(|(name, ..)| a == name);
        let mut names = asked.iter().filter(named).peekable();
        names.peek().is_none() || names.any(|name| name == garment)
    };
    for (garment, name, style) in STYLES.into_iter().filter(|(g, ..)| wanted(g)) {
        let order = ordered(garment, style);
        made(&library, &order);
        let mut took: Vec<[Duration; 2]> = (0..times).map(|_| made(&library, &order)).collect();
        took.sort_by_key(|[drafted, proven]| *drafted + *proven);
        let ms = |d: Duration| d.as_secs_f64() * 1000.0;
        let [drafted, proven] = took[times / 2];
        let [slow, slower] = took[times - 1];
        println!(
            "{garment}, {name}: {:.2} ms, of which drafting {:.2}, allowances and proof {:.2}; slowest of {times}: {:.2}",
            ms(drafted + proven),
            ms(drafted),
            ms(proven),
            ms(slow + slower)
        );
    }
}

fn ordered(garment: &str, style: &str) -> Order {
    let text = format!(
        "[client]\nname = \"Invented\"\nreference = \"T-1\"\ndate = 2026-03-02\n\
         [measures]\nheight = 176\nchest = 100\nwaist = 88\nseat = 103\nneck = 40\n\
         [cloth]\nname = \"worsted\"\nwidth = 150\n[{garment}]\n{style}\n"
    );
    match order::parse("order", &Source::new("order.toml", text), Path::new("")) {
        Ok(checked) => checked.order,
        Err(faults) => panic!("{faults:#?}"),
    }
}

/// Makes one; how long the drafting took, and the allowances with the proof.
fn made(library: &Library, order: &Order) -> [Duration; 2] {
    let begun = Instant::now();
    let drafted = draft(library, order, &order.garments[0]).expect("it drafts");
    let half = begun.elapsed();
    let pattern = pattern::make(order, &[drafted]).expect("it is proven");
    assert!(!pattern.pieces.is_empty());
    [half, begun.elapsed() - half]
}
