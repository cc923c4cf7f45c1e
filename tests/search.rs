//! What a search has found after some rounds does not depend on how many are to follow.

use chalkstripe::diagnostic::Source;
use chalkstripe::draft::Count;
use chalkstripe::job;
use chalkstripe::lay::{
    self, Buying, ClothRules, Effort, Item, Lay, Problem, Progress, Repeat, Search, TURNS,
};
use chalkstripe::lays::lays;
use chalkstripe::order::{self, Face, Layout};
use chalkstripe::workshop::Workshop;
use kurbo::{Point, Vec2};
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// Returns a lay, and the length of the best one after each round.
fn searched(ready: &Problem, cloth: &ClothRules, effort: Effort) -> (Lay, Vec<f64>) {
    let lengths = Mutex::new(Vec::new());
    let told = |p: Progress| lengths.lock().unwrap().push(p.length);
    let kept = &Workshop::embedded().kept;
    let search = Search {
        effort,
        kept,
        progress: Some(&told),
        ..Search::default()
    };
    let lay = ready.plan(cloth, &search).unwrap();
    let mut lengths = lengths.into_inner().unwrap();
    // The first length comes before the first round, and the last repeats the best one at the end.
    lengths.remove(0);
    lengths.pop();
    (lay, lengths)
}

/// Asserts that a search of `all` rounds has found after `part` of them what a search of `part` rounds finds.
fn assert_independent(ready: &Problem, cloth: &ClothRules, all: &[u32], parts: &[u32]) {
    let whole: Vec<Vec<f64>> = (all.iter())
        .map(|&all| searched(ready, cloth, Effort::Rounds(all)).1)
        .collect();
    for &part in parts {
        let (lay, own) = searched(ready, cloth, Effort::Rounds(part));
        for (rounds, lengths) in all.iter().zip(&whole) {
            assert_eq!(
                own,
                lengths[..part as usize],
                "{part} rounds, and as many of {rounds}"
            );
            let after = lengths[part as usize - 1];
            let (most, least) = (after + 1e-3, after - 1e-3);
            assert!(
                lay.length <= most && lay.length >= least,
                "{part} rounds: {} mm; {after} mm after as many of {rounds}",
                lay.length
            );
        }
    }
}

/// Corners, how many are cut, and how far they may be tilted, degrees.
type Outline = (&'static [(f64, f64)], u32, f64);

/// Makes a problem of invented outlines that nest: hooks, wedges, and bars that may lie a little off the grain.
fn nesting() -> (Problem, ClothRules) {
    let outlines: [Outline; 4] = [
        (
            &[
                (0.0, 0.0),
                (420.0, 0.0),
                (420.0, 130.0),
                (150.0, 150.0),
                (130.0, 510.0),
                (0.0, 480.0),
            ],
            4,
            0.0,
        ),
        (&[(0.0, 0.0), (310.0, 40.0), (60.0, 390.0)], 6, 0.0),
        (
            &[(0.0, 0.0), (95.0, 10.0), (80.0, 640.0), (0.0, 620.0)],
            5,
            3.0,
        ),
        (
            &[
                (0.0, 0.0),
                (260.0, 0.0),
                (330.0, 150.0),
                (260.0, 300.0),
                (0.0, 300.0),
                (70.0, 150.0),
            ],
            4,
            2.0,
        ),
    ];
    let item = |(piece, &(corners, count, off_grain)): (usize, &Outline)| Item {
        piece,
        name: format!("piece {piece}"),
        kind: format!("piece {piece}"),
        order: 0,
        side: None,
        pair: None,
        outline: corners.iter().map(|&p| Point::from(p)).collect(),
        holes: Vec::new(),
        spare: 0.0,
        count: Count::Alike(count),
        grain: Vec2::new(0.0, 1.0),
        turns: vec![0.0, 180.0],
        off_grain,
        fold: None,
        matches: Vec::new(),
    };
    let items = outlines.iter().enumerate().map(item).collect();
    let cloth = ClothRules {
        width: 1500.0,
        selvedge: 10.0,
        layout: Layout::Open,
        face: Face::Up,
        gap: 3.0,
        longest: None,
        table: None,
        repeat: Repeat::default(),
        remnants: Vec::new(),
    };
    (Problem::new(items, cloth.gap).unwrap(), cloth)
}

/// Makes the problem of an order's cloth.
fn cloth_of(text: &str) -> (Problem, ClothRules) {
    let source = Source::new("order.toml", text.to_owned());
    let order = order::parse("order", &source, Path::new("")).unwrap().order;
    let drafted = job::draft(Workshop::embedded(), &order).unwrap();
    let items = lay::items(&drafted.pattern, &order.cloth.material, order.cloth.nap);
    let rules = ClothRules::new(
        &order.cloth,
        &Buying::new(&order.house, &order.cloth, order.unit),
    );
    (Problem::new(items, order.cloth.gap).unwrap(), rules)
}

/// A search starts from kept lays by the names of their pieces.
#[test]
fn every_piece_of_the_kept_lays_is_one_that_a_block_gives() {
    let (suit, _) = cloth_of(
        "[client]\nname = \"Nobody\"\n[measures]\nheight = 177\nchest = 98\nwaist = 85\nseat = 101\nneck = 39.5\n\
         [cloth]\nname = \"a suiting\"\nwidth = 150\n[jacket]\n[waistcoat]\n[trousers]\n",
    );
    // The sides of a pair are kept by the pair's name.
    let called = suit
        .items()
        .iter()
        .map(|item| item.pair.as_ref().unwrap_or(&item.name));
    let given: BTreeSet<&str> = called.map(String::as_str).collect();
    let kept = &Workshop::embedded().kept;
    let named = kept.iter().flat_map(|lay| &lay.pieces);
    let unknown: BTreeSet<&str> = named
        .map(|piece| piece.name.as_str())
        .filter(|name| !given.contains(name))
        .collect();
    assert!(
        unknown.is_empty(),
        "no block gives {unknown:?}; there are {given:?}"
    );
}

/// The lay of an example's cloth starts from the kept lays: it is shorter after the first turn.
#[test]
fn an_order_is_laid_from_the_kept_lays() {
    let workshop = Workshop::embedded();
    let nothing = Search {
        effort: Effort::Rounds(TURNS[0]),
        ..Search::default()
    };
    let search = Search {
        kept: &workshop.kept,
        ..nothing
    };
    for text in [
        include_str!("../examples/plain-worsted.toml"),
        include_str!("../examples/three-piece.toml"),
    ] {
        let source = Source::new("order.toml", text.to_owned());
        let order = order::parse("order", &source, Path::new("")).unwrap().order;
        let pattern = job::draft(workshop, &order).unwrap().pattern;
        let problem = job::ready(&order, &pattern).unwrap();
        let laid = job::lay_cloth(&order, &pattern, &problem, None, &search).unwrap();
        let rules = ClothRules::new(
            &order.cloth,
            &Buying::new(&order.house, &order.cloth, order.unit),
        );
        let from_nothing = problem.plan(&rules, &nothing).unwrap();
        assert!(
            laid.lay.length < from_nothing.length,
            "{:.0} mm from kept lays, {:.0} mm from nothing",
            laid.lay.length,
            from_nothing.length
        );
    }
}

/// A workshop's own lays stand in place of the built-in ones, and a bad file of them is a fault with its line.
#[test]
fn a_workshops_own_lays_are_read() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    assert!(!lays(Some(folder)).unwrap().is_empty());
    std::fs::write(folder.join("lays.toml"), "").unwrap();
    assert!(lays(Some(folder)).unwrap().is_empty());
    std::fs::write(folder.join("lays.toml"), "[[lay]]\nname = 3\n").unwrap();
    let fault = lays(Some(folder)).unwrap_err().render(false);
    assert!(fault.contains("lays.toml, line 2"), "{fault}");
}

#[test]
fn a_longer_search_of_outlines_has_found_what_a_shorter_one_finds() {
    let (ready, cloth) = nesting();
    assert_independent(&ready, &cloth, &[36, 50], &[1, 3, 8, 12, 15, 22, 36]);
}

#[test]
fn a_longer_search_of_a_suit_has_found_what_a_shorter_one_finds() {
    let (ready, cloth) = cloth_of(include_str!("../examples/plain-worsted.toml"));
    assert_independent(&ready, &cloth, &[18], &[3, 8, 15]);
}

#[test]
fn a_longer_search_on_a_check_has_found_what_a_shorter_one_finds() {
    let text = crate::program::trousers().replace(
        "layout = \"doubled\"",
        "layout = \"open\"\nrepeat_across = 8\nrepeat_along = 10",
    );
    let (ready, cloth) = cloth_of(&text);
    assert_independent(&ready, &cloth, &[40], &[2, 8, 15, 30]);
}

/// A search of seconds does the same rounds.
#[test]
fn a_search_of_seconds_finds_what_one_of_as_many_rounds_finds() {
    let (ready, cloth) = nesting();
    let (lay, lengths) = searched(&ready, &cloth, Effort::Seconds(1.0));
    let rounds = u32::try_from(lengths.len()).unwrap();
    assert_eq!(lay, searched(&ready, &cloth, Effort::Rounds(rounds)).0);
}

/// The search of the cloth goes on during long searches of the linings, and each lining gets some rounds.
#[test]
fn no_material_waits_for_the_search_of_another() {
    const ENOUGH: usize = 12;
    let source = Source::new("order.toml", crate::program::trousers());
    let order = order::parse("order", &source, Path::new("")).unwrap().order;
    let pattern = job::draft(Workshop::embedded(), &order).unwrap().pattern;
    let stop = AtomicBool::new(false);
    let rounds = AtomicUsize::new(0);
    let began = Instant::now();
    let told = |_: Progress| {
        if rounds.fetch_add(1, Ordering::Relaxed) > ENOUGH {
            stop.store(true, Ordering::Relaxed);
        }
    };
    std::thread::scope(|scope| {
        scope.spawn(|| {
            // Far longer than the rounds take, far shorter than all linings.
            while !stop.load(Ordering::Relaxed) && began.elapsed() < Duration::from_secs(90) {
                std::thread::sleep(Duration::from_millis(20));
            }
            stop.store(true, Ordering::Relaxed);
        });
        let search = Search {
            effort: Effort::Rounds(100_000),
            cancel: Some(&stop),
            progress: Some(&told),
            ..Search::default()
        };
        let lays = job::lay(&order, &pattern, &search).unwrap();
        assert!(lays.len() > 1);
    });
    let rounds = rounds.into_inner();
    assert!(rounds > ENOUGH, "{rounds} rounds in {:?}", began.elapsed());
}
