//! How long the sheets of an order take, and how large they are:
//! `cargo bench --bench sheets [-- examples/plain-worsted.toml]`.

use chalkstripe::draft::Draft;
use chalkstripe::job;
use chalkstripe::lay::{Effort, Search};
use chalkstripe::made_up::{self, Facing, Filled, Shown};
use chalkstripe::order::Order;
use chalkstripe::pattern::Piece;
use chalkstripe::sheets::options::{Print, SheetOptions};
use chalkstripe::sheets::tiling::Plan;
use chalkstripe::sheets::touched::joints_crossed;
use chalkstripe::workshop::Workshop;
use kurbo::Shape;
use std::path::PathBuf;
use std::time::Instant;

/// Prints how long it takes to find what is seen of all garments, from all sides.
fn views(drafts: &[Draft]) {
    let ways = [
        Facing::Front,
        Facing::Back,
        Facing::BackOpen,
        Facing::Inside,
    ];
    let mut best = f64::INFINITY;
    let mut triangles = 0;
    for _ in 0..5 {
        let begun = Instant::now();
        let seen = drafts
            .iter()
            .flat_map(|draft| ways.map(|way| made_up::view(draft, way)));
        let shown: Vec<Shown> = seen.flatten().flatten().collect();
        best = best.min(begun.elapsed().as_secs_f64());
        let of = |one: &Shown| match one {
            Shown::Region {
                filled: Filled::Patches(patches),
                ..
            } => patches.iter().map(|patch| patch.triangles.len()).sum(),
            _ => 0,
        };
        triangles = shown.iter().map(of).sum::<usize>();
    }
    println!("     views: {:.1} ms, {triangles} triangles", 1000.0 * best);
}

/// Prints how many pages a pattern takes, how much of them its pieces fill, and what crosses their joints.
fn pages(pieces: &[&Piece], paper: &str, order: &Order) {
    let options = SheetOptions::on(paper.parse().expect("a paper"));
    let setup = (options.setup(&order.house)).expect("room on the page");
    let begun = Instant::now();
    let plan = Plan::new(pieces, &setup).expect("pages");
    let took = begun.elapsed().as_secs_f64();
    let (width, height) = (plan.grid.width, plan.grid.height);
    let (mut crossed, mut small) = (0, 0);
    for (piece, place) in pieces.iter().zip(&plan.places) {
        let lying = *place * &piece.cut;
        let bounds = lying.bounding_box();
        let joints = joints_crossed(&lying, &plan.grid);
        crossed += joints;
        let sides = (
            bounds.width().min(bounds.height()),
            bounds.width().max(bounds.height()),
        );
        if joints > 0 && sides.0 <= width.min(height) && sides.1 <= width.max(height) {
            small += 1;
        }
    }
    let area: f64 = pieces.iter().map(|piece| piece.cut.area().abs()).sum();
    let held = plan.count() as f64 * width * height;
    println!(
        "{paper:>10}: {} pages {width:.0} by {height:.0} in {} columns, {:.1} % filled, {crossed} joints crossed, {small} small pieces cross, {took:.2} s",
        plan.count(),
        plan.grid.columns,
        100.0 * area / held,
    );
}

fn main() {
    let named = std::env::args()
        .skip(1)
        .find(|word| !word.starts_with("--"));
    let file = named.map_or_else(
        || PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples/plain-worsted.toml"),
        PathBuf::from,
    );
    let order = chalkstripe::order::read(&file).expect("a good order").order;
    let drafted = job::draft(Workshop::embedded(), &order).expect("a proven pattern");
    let search = Search {
        effort: Effort::Rounds(1),
        ..Search::default()
    };
    let lays = job::lay(&order, &drafted.pattern, &search).expect("a lay");
    println!("{}: {} pieces", order.name, drafted.pattern.pieces.len());
    let pieces: Vec<&Piece> = drafted.pattern.pieces.iter().collect();
    for paper in ["a4", "letter", "a3", "a0", "roll:914mm"] {
        pages(&pieces, paper, &order);
    }
    if std::env::args().any(|word| word == "--pages") {
        return;
    }
    views(&drafted.drafts);
    for (paper, print) in [
        ("a4", Print::Pieces),
        ("a4", Print::Lay),
        ("a0", Print::Pieces),
        ("roll:914mm", Print::Pieces),
    ] {
        let mut options = SheetOptions::on(paper.parse().expect("a paper"));
        options.print = print;
        options.dxf = true;
        let mut best = f64::INFINITY;
        let mut made = None;
        for _ in 0..3 {
            let begun = Instant::now();
            made = Some(
                job::sheets(Workshop::embedded(), &order, &drafted, &lays, &options)
                    .expect("the sheets"),
            );
            best = best.min(begun.elapsed().as_secs_f64());
        }
        let sheets = made.map(|made| made.sheets).unwrap_or_default();
        let size = |ending: &str| -> usize {
            let of_kind = sheets.iter().filter(|sheet| sheet.file.ends_with(ending));
            of_kind.map(|sheet| sheet.bytes.len()).sum()
        };
        println!(
            "{paper:>10} {print:?}: {best:.2} s, {} files, {} kB; the paper {} kB",
            sheets.len(),
            size("") / 1000,
            sheets.first().map_or(0, |sheet| sheet.bytes.len()) / 1000
        );
    }
}
