//! The orders that are read back, cut once by the program into a folder: the examples, and some that the
//! examples do not show.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use serde::Deserialize;

use crate::program;

#[derive(Deserialize)]
pub(super) struct Report {
    pub pieces: Vec<Piece>,
    pub lay: Lay,
    pub other_lays: Vec<Lay>,
}

#[derive(Deserialize, Clone)]
pub(super) struct Piece {
    pub name: String,
    pub garment: String,
    pub material: String,
    pub count: u32,
    pub pairs: bool,
}

#[derive(Deserialize)]
pub(super) struct Lay {
    pub material: String,
    pub layout: String,
    pub cloth_width_mm: f64,
    pub usable_width_mm: f64,
    pub length_mm: f64,
    pub efficiency: f64,
    pub order_length_mm: f64,
    pub placements: Vec<Placement>,
    /// What this reader does not ask for by name.
    #[serde(flatten)]
    pub rest: BTreeMap<String, serde_json::Value>,
}

#[derive(Deserialize)]
pub(super) struct Placement {
    pub piece: usize,
    pub name: String,
    pub degrees: f64,
    pub plies: u32,
    #[serde(default)]
    pub on_fold: bool,
    pub matrix: [f64; 6],
}

/// An order that was cut, and where its sheets are.
pub(super) struct Order {
    pub name: String,
    pub folder: PathBuf,
    pub report: Report,
    /// What the order file says of the cloth.
    pub one_way: bool,
    pub check: bool,
}

impl Order {
    pub(super) fn lays(&self) -> impl Iterator<Item = &Lay> {
        std::iter::once(&self.report.lay).chain(&self.report.other_lays)
    }

    /// The name of a lay's files, without an ending.
    pub(super) fn stem(lay: &Lay) -> String {
        match lay.material.as_str() {
            "cloth" => "lay".to_owned(),
            other => format!("lay-{}", other.replace('_', "-")),
        }
    }
}

fn example(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples")
        .join(name)
        .with_extension("toml");
    fs::read_to_string(path).expect("an example")
}

/// An example with words exchanged; each must be there.
fn changed(name: &str, changes: &[(&str, &str)]) -> String {
    changes.iter().fold(example(name), |text, (from, to)| {
        assert!(text.contains(from), "{name} has no {from}");
        text.replacen(from, to, 1)
    })
}

fn variants() -> [(&'static str, String); 5] {
    let check = example("check-side-vents");
    let uneven = format!("{check}\n[figure]\nsloping_shoulders = {{ left = 0, right = 1.5 }}\n");
    let (head, _) = check.split_once("[jacket]").unwrap();
    let (_, trousers) = check.split_once("[trousers]").unwrap();
    let patches = "[jacket]\nfastening = \"two\"\nhip_pocket = \"patch\"\nbreast_pocket = \"patch\"\nunder_collar = \"self\"\nvent = \"centre\"\n\n[waistcoat]\nfastening = \"six\"\nlapel = \"notch\"\n\n[trousers]";
    [
        ("uneven-check", uneven),
        ("patch-check", format!("{head}{patches}{trousers}")),
        (
            "curved-nap",
            changed(
                "three-piece",
                &[(
                    "fastening = \"three_roll_two\"",
                    "fastening = \"three_roll_two\"\nbreast_pocket = \"curved\"\nunder_collar = \"self\"",
                )],
            ),
        ),
        (
            "open-nap",
            changed(
                "plain-worsted",
                &[
                    ("layout = \"doubled\"", "layout = \"open\""),
                    ("nap = \"two_ways\"", "nap = \"one_way\""),
                    (
                        "fastening = \"two\"",
                        "fastening = \"four_two\"\nlapel = \"peak\"\nbreast_pocket = \"curved\"",
                    ),
                ],
            ),
        ),
        (
            "doubled-uneven",
            changed(
                "fitted-twice",
                &[(
                    "layout = \"open\"",
                    "layout = \"doubled\"\nnap = \"one_way\"",
                )],
            ),
        ),
    ]
}

/// Where the orders and their sheets lie, for who wants to look at what a test found.
pub(super) fn folder() -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join("readback")
}

const EXAMPLES: [&str; 5] = [
    "plain-worsted",
    "check-side-vents",
    "corpulent-inches",
    "three-piece",
    "fitted-twice",
];

/// Every order, cut with a search of one round: how good the lay is does not matter here.
pub(super) static ORDERS: LazyLock<Vec<Order>> = LazyLock::new(|| {
    let folder = folder();
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(folder.join("orders")).expect("a folder");
    let all = EXAMPLES
        .map(|name| (name, example(name)))
        .into_iter()
        .chain(variants());
    let all: Vec<(&str, String)> = all.collect();
    for (name, text) in &all {
        fs::write(
            folder.join("orders").join(name).with_extension("toml"),
            text,
        )
        .expect("written");
    }
    let run = program::run(
        &["cut", "orders", "--rounds", "1", "--dxf", "--out", "out"],
        &folder,
    );
    assert!(run.status.success(), "{}", program::told(&run));
    let read = |(name, text): (&str, String)| {
        let folder = folder.join("out").join(name);
        let report = fs::read_to_string(folder.join("report.json")).expect("a report");
        let report =
            serde_json::from_str(&report).unwrap_or_else(|error| panic!("{name}: {error}"));
        let one_way = text.contains("nap = \"one_way\"");
        Order {
            name: name.to_owned(),
            folder,
            report,
            one_way,
            check: text.contains("repeat_across"),
        }
    };
    all.into_iter().map(read).collect()
});

/// The doubled examples again, for a plotter whose coordinates end at 819 mm: the folder of their sheets.
pub(super) static FRAMES: LazyLock<PathBuf> = LazyLock::new(|| {
    let orders: Vec<String> = ["plain-worsted", "corpulent-inches", "three-piece"]
        .map(|name| format!("orders/{name}.toml"))
        .into();
    LazyLock::force(&ORDERS);
    let mut words: Vec<&str> = vec![
        "cut",
        "--rounds",
        "1",
        "--plot",
        "short",
        "--only",
        "waistband",
        "--out",
        "frames",
    ];
    words.extend(orders.iter().map(String::as_str));
    let run = program::run(&words, &folder());
    assert!(run.status.success(), "{}", program::told(&run));
    folder().join("frames")
});

/// Ends a test that found faults: all of them, not the first alone.
pub(super) fn none(faults: Vec<String>) {
    assert!(
        faults.is_empty(),
        "{} faults:\n{}",
        faults.len(),
        faults.join("\n")
    );
}
