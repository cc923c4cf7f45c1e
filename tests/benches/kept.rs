//! Makes the kept lays that come with the program anew. `cargo bench --bench kept > target/lays.toml` lays suits for
//! invented men and writes the best of some long searches for each. The searches start from the lays kept now, so
//! that another run improves on them. Put the file in place of `blocks/lays.toml` when it is done.
//! `-- ROUNDS SEED...` says how long and how often to search (300 rounds with seeds 1 and 2 unless told otherwise,
//! which takes half an hour on two cores).

use chalkstripe::diagnostic::Source;
use chalkstripe::job;
use chalkstripe::lay::{Buying, ClothRules, Effort, KeptLay, Search};
use chalkstripe::order;
use chalkstripe::workshop::Workshop;
use std::path::Path;

/// Height, chest, waist, seat and neck, cm.
const MEN: [(&str, [f64; 5]); 6] = [
    ("slight", [170.0, 90.0, 76.0, 93.0, 37.5]),
    ("regular", [177.0, 98.0, 85.0, 101.0, 39.5]),
    ("tall", [188.0, 102.0, 88.0, 105.0, 40.5]),
    ("large", [182.0, 109.0, 98.0, 111.0, 42.0]),
    ("broad", [173.0, 105.0, 96.0, 107.0, 41.5]),
    ("stout", [174.0, 112.0, 112.0, 113.0, 43.5]),
];

/// Garments.
const SUITS: [(&str, &str); 2] = [
    ("suit", "[jacket]\n[trousers]\n"),
    ("three-piece suit", "[jacket]\n[waistcoat]\n[trousers]\n"),
];

/// How the cloth lies. A lay for one way may be laid on cloth for two ways as well.
const CLOTHS: [(&str, &str); 4] = [
    ("open, one way", "layout = \"open\"\nnap = \"one_way\""),
    ("open", "layout = \"open\"\nnap = \"two_ways\""),
    (
        "doubled, one way",
        "layout = \"doubled\"\nnap = \"one_way\"",
    ),
    ("doubled", "layout = \"doubled\"\nnap = \"two_ways\""),
];

fn main() {
    let mut numbers = std::env::args().filter_map(|word| word.parse::<u32>().ok());
    let rounds = numbers.next().unwrap_or(300);
    let seeds: Vec<u32> = numbers.collect();
    let seeds = if seeds.is_empty() {
        &[1, 2]
    } else {
        &seeds[..]
    };
    let kept = &Workshop::embedded().kept;
    let mut made: Vec<KeptLay> = Vec::new();
    println!(
        "# Where pieces lay in lays of suits for invented men: made by `cargo bench --bench kept`."
    );
    for (build, man) in MEN {
        for (suit, garments) in SUITS {
            for (lies, cloth) in CLOTHS {
                let name = format!("{suit}, {build}, {lies}");
                // A lay made just before may be as good a start as a kept one.
                let known: Vec<KeptLay> = made.iter().chain(kept.iter()).cloned().collect();
                let lays = seeds.iter().map(|&seed| {
                    let lay = best(&name, &order(man, garments, cloth), &known, rounds, seed);
                    eprintln!("{name}, seed {seed}: {:.1} cm", lay.length / 10.0);
                    lay
                });
                if let Some(lay) = lays.min_by(|a, b| a.length.total_cmp(&b.length)) {
                    print!("{}", written(&lay));
                    made.push(lay);
                }
            }
        }
    }
}

fn order([height, chest, waist, seat, neck]: [f64; 5], garments: &str, cloth: &str) -> String {
    format!(
        "[client]\nname = \"Nobody\"\n[measures]\nheight = {height}\nchest = {chest}\nwaist = {waist}\n\
         seat = {seat}\nneck = {neck}\n[cloth]\nname = \"a suiting\"\nwidth = 150\n{cloth}\n{garments}"
    )
}

/// Lays an order's cloth with this many rounds.
fn best(name: &str, text: &str, known: &[KeptLay], rounds: u32, seed: u32) -> KeptLay {
    let source = Source::new("order.toml", text.to_owned());
    let order = order::parse("kept", &source, Path::new("")).expect("a good order");
    let order = order.order;
    let drafted = job::draft(Workshop::embedded(), &order).expect("a proven pattern");
    let ready = job::ready(&order, &drafted.pattern).expect("outlines");
    let search = Search {
        seed: u64::from(seed),
        effort: Effort::Rounds(rounds),
        kept: known,
        ..Search::default()
    };
    let rules = ClothRules::new(
        &order.cloth,
        &Buying::new(&order.house, &order.cloth, order.unit),
    );
    let lay = ready.plan(&rules, &search).expect("a lay");
    KeptLay::new(name, ready.items(), &lay)
}

/// Writes one entry of the file, a line for each piece.
fn written(lay: &KeptLay) -> String {
    let mut text = format!(
        "\n[[lay]]\nname = {:?}\nwidth = {:.1}\nlength = {:.1}\npieces = [\n",
        lay.name, lay.width, lay.length
    );
    for piece in &lay.pieces {
        text.push_str(&format!(
            "    [{:?}, {}, {}, {:.0}, {:.0}, {:.0}, {:.0}, {:.0}],\n",
            piece.name,
            piece.mirrored,
            piece.plies,
            piece.degrees,
            piece.size.x,
            piece.size.y,
            piece.middle.x,
            piece.middle.y
        ));
    }
    text + "]\n"
}
