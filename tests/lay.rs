//! Properties of the lay, on pieces made at random.

use chalkstripe::drafting::{Count, Turning};
use chalkstripe::lay::{
    Buying, ClothRules, Effort, Item, Lay, LayFault, Search, order_length, plan, turns,
};
use chalkstripe::order::{Layout, Nap};
use kurbo::{Point, Vec2};
use proptest::prelude::*;

/// A star-shaped outline about the origin: corners at these distances, evenly round.
fn star(radii: &[f64]) -> Vec<Point> {
    let count = radii.len() as f64;
    radii
        .iter()
        .enumerate()
        .map(|(i, r)| (Vec2::from_angle(i as f64 / count * std::f64::consts::TAU) * *r).to_point())
        .collect()
}

fn item(piece: usize, outline: Vec<Point>, count: Count, turning: Turning, nap: Nap) -> Item {
    Item {
        piece,
        name: format!("piece {piece}"),
        outline,
        holes: Vec::new(),
        count,
        grain: Vec2::new(0.0, 1.0),
        turns: turns(turning, nap),
        matches: Vec::new(),
    }
}

fn cloth(layout: Layout, gap: f64) -> ClothRules {
    ClothRules {
        width: 1500.0,
        selvedge: 10.0,
        layout,
        gap,
        longest: None,
        repeat: Vec2::ZERO,
        remnants: Vec::new(),
    }
}

fn quick(seed: u64) -> Search<'static> {
    Search {
        seed,
        effort: Effort::Rounds(1),
        threads: 1,
        cancel: None,
        progress: None,
    }
}

/// Whether a point lies inside an outline, by counting crossings: independent of the program's own check.
fn inside(outline: &[Point], p: Point) -> bool {
    let next = outline.iter().cycle().skip(1);
    let crossed = outline.iter().zip(next).filter(|(a, b)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y)
    });
    crossed.count() % 2 == 1
}

/// The placed outlines.
fn placed(items: &[Item], lay: &Lay) -> Vec<Vec<Point>> {
    lay.placements
        .iter()
        .map(|p| {
            let item = items.iter().find(|i| i.piece == p.piece).unwrap();
            item.outline
                .iter()
                .map(|&corner| p.transform * corner)
                .collect()
        })
        .collect()
}

/// Nothing leaves the cloth, and no point of an even grid lies inside two outlines.
fn assert_sound(items: &[Item], cloth: &ClothRules, lay: &Lay) {
    let outlines = placed(items, lay);
    let (left, right) = cloth.usable();
    for corner in outlines.iter().flatten() {
        assert!(
            corner.x > left - 0.01 && corner.x < right + 0.01,
            "{corner} off the cloth"
        );
        assert!(
            corner.y > -0.01 && corner.y < lay.length + 0.01,
            "{corner} off the cloth"
        );
    }
    let step = 7.0;
    for i in 0..((right - left) / step) as usize {
        for j in 0..(lay.length / step) as usize {
            let p = Point::new(left + i as f64 * step, j as f64 * step);
            let over = outlines.iter().filter(|o| inside(o, p)).count();
            // On an edge the count of crossings may go either way.
            let near = outlines.iter().any(|o| {
                let next = o.iter().cycle().skip(1);
                o.iter().zip(next).any(|(a, b)| {
                    kurbo::ParamCurveNearest::nearest(&kurbo::Line::new(*a, *b), p, 1e-9)
                        .distance_sq
                        < 1e-3
                })
            });
            assert!(over <= 1 || near, "two pieces at {p}");
        }
    }
}

fn outlines() -> impl Strategy<Value = Vec<Vec<f64>>> {
    prop::collection::vec(prop::collection::vec(60.0..330.0, 3..14), 1..6)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn nothing_overlaps_or_leaves_the_cloth(
        radii in outlines(),
        pairs in any::<bool>(),
        doubled in any::<bool>(),
        one_way in any::<bool>(),
        gap in prop::sample::select(vec![0.0, 3.0, 10.0]),
    ) {
        let layout = if doubled { Layout::Doubled } else { Layout::Open };
        let nap = if one_way { Nap::OneWay } else { Nap::TwoWays };
        let count = if pairs { Count::Pairs(1) } else { Count::Alike(2) };
        let turnings = [Turning::Grain, Turning::Quarter, Turning::Free];
        let items: Vec<Item> = radii
            .iter()
            .enumerate()
            .map(|(i, r)| item(i, star(r), count, turnings[i % 3], nap))
            .collect();
        let cloth = cloth(layout, gap);
        let lay = plan(&items, &cloth, &quick(7)).unwrap();
        let cut: u32 = lay.placements.iter().map(|p| p.plies).sum();
        prop_assert_eq!(cut as usize, 2 * items.len());
        assert_sound(&items, &cloth, &lay);
        // The same again for the same seed.
        prop_assert_eq!(lay, plan(&items, &cloth, &quick(7)).unwrap());
    }
}

#[test]
fn a_gap_is_kept_between_pieces_but_not_at_the_edge() {
    let square = vec![(0.0, 0.0), (735.0, 0.0), (735.0, 500.0), (0.0, 500.0)];
    let square: Vec<Point> = square.into_iter().map(Point::from).collect();
    let items = [item(
        0,
        square,
        Count::Alike(4),
        Turning::Grain,
        Nap::OneWay,
    )];
    let lay = plan(&items, &cloth(Layout::Open, 10.0), &quick(1)).unwrap();
    // Two abreast: 735 + 10 + 735 is the whole usable width; two rows with one gap between.
    assert!((lay.length - 1010.0).abs() < 0.2, "{}", lay.length);
    let wide = plan(&items, &cloth(Layout::Open, 11.0), &quick(1)).unwrap();
    assert!(wide.length > 2000.0, "{}", wide.length);
}

#[test]
fn pairs_are_cut_once_from_doubled_cloth_and_singles_are_said_to_waste_a_ply() {
    let shape = |w: f64| vec![(0.0, 0.0), (w, 0.0), (w * 0.7, 400.0), (0.0, 300.0)];
    let shape = |w: f64| shape(w).into_iter().map(Point::from).collect::<Vec<_>>();
    let items = [
        item(
            3,
            shape(400.0),
            Count::Pairs(2),
            Turning::Grain,
            Nap::OneWay,
        ),
        item(
            8,
            shape(200.0),
            Count::Alike(1),
            Turning::Grain,
            Nap::OneWay,
        ),
    ];
    let doubled = plan(&items, &cloth(Layout::Doubled, 0.0), &quick(1)).unwrap();
    let plies: Vec<(usize, u32)> = doubled
        .placements
        .iter()
        .map(|p| (p.piece, p.plies))
        .collect();
    assert_eq!(plies, [(3, 2), (3, 2), (8, 1)]);
    assert_eq!(doubled.notes.len(), 1);
    assert_eq!(doubled.usable, (10.0, 750.0));
    let open = plan(&items, &cloth(Layout::Open, 0.0), &quick(1)).unwrap();
    let mirrored: Vec<bool> = open.placements.iter().map(|p| p.mirrored).collect();
    assert_eq!(mirrored, [false, true, false, true, false]);
    assert!(open.notes.is_empty());
}

#[test]
fn a_piece_wider_than_the_cloth_is_refused_by_name() {
    let wide = vec![(0.0, 0.0), (1600.0, 0.0), (1600.0, 100.0), (0.0, 100.0)];
    let wide: Vec<Point> = wide.into_iter().map(Point::from).collect();
    let items = [item(0, wide, Count::Alike(1), Turning::Grain, Nap::TwoWays)];
    let fault = plan(&items, &cloth(Layout::Open, 0.0), &quick(1)).unwrap_err();
    assert!(
        matches!(&fault, LayFault::TooWide { needs, .. } if *needs == 1600.0),
        "{fault}"
    );
    assert!(
        fault.to_string().contains("piece 0 needs 160.0 cm"),
        "{fault}"
    );
}

#[test]
fn a_lay_longer_than_allowed_is_refused_with_both_lengths() {
    let items = [item(
        0,
        star(&[400.0; 8]),
        Count::Alike(4),
        Turning::Grain,
        Nap::OneWay,
    )];
    let short = ClothRules {
        longest: Some(900.0),
        ..cloth(Layout::Open, 0.0)
    };
    let fault = plan(&items, &short, &quick(1)).unwrap_err();
    assert!(
        matches!(fault, LayFault::TooLong { longest: 900.0, .. }),
        "{fault}"
    );
}

#[test]
fn the_length_to_order_is_rounded_up_to_the_step() {
    let items = [item(
        0,
        star(&[400.0; 8]),
        Count::Alike(2),
        Turning::Grain,
        Nap::OneWay,
    )];
    let mut lay = plan(&items, &cloth(Layout::Open, 0.0), &quick(1)).unwrap();
    let buying = Buying {
        ends: 50.0,
        shrinkage: 0.03,
        step: 100.0,
    };
    // (2900 + 50) · 1.03 = 3038.5
    lay.length = 2900.0;
    assert_eq!(order_length(&lay, &buying).length, 3100.0);
    // (1950 + 50) · 1.05 = 2100 exactly: no further step.
    lay.length = 1950.0;
    assert_eq!(
        order_length(
            &lay,
            &Buying {
                shrinkage: 0.05,
                ..buying
            }
        )
        .length,
        2100.0
    );
    let how = order_length(&lay, &buying).how;
    assert!(
        how.starts_with("lay 195.0 cm + ends 5.0 cm + shrinkage 3.0 %"),
        "{how}"
    );
}
