//! Properties of the lay, on pieces made at random.

use chalkstripe::draft::{Count, Turning};
use chalkstripe::lay::{
    Buying, ClothRules, Effort, Item, KeptLay, Lay, LayFault, MatchedPoints, Problem, Progress,
    Repeat, Search, order_length, plan, turns,
};
use chalkstripe::order::{Face, Layout, Nap};
use chalkstripe::units::{INCH, Unit, YARD};
use kurbo::{Point, Vec2};
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

/// Returns a star-shaped outline about the origin, with corners at these distances, evenly round.
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
        name: format!("piece {piece}"),
        kind: format!("piece {piece}"),
        count,
        turns: turns(turning, nap),
        ..Item::new(piece, outline)
    }
}

fn cloth(layout: Layout, gap: f64) -> ClothRules {
    ClothRules {
        width: 1500.0,
        selvedge: 10.0,
        layout,
        face: Face::Up,
        gap,
        longest: None,
        table: None,
        repeat: Repeat::default(),
        remnants: Vec::new(),
    }
}

fn quick(seed: u64) -> Search<'static> {
    Search {
        seed,
        effort: Effort::Rounds(1),
        searchers: 2,
        threads: Some(1),
        kept: &[],
        cancel: None,
        progress: None,
    }
}

/// Whether a point lies inside an outline. Crossings are counted, independently of the program's own check.
fn inside(outline: &[Point], p: Point) -> bool {
    let next = outline.iter().cycle().skip(1);
    let crossed = outline.iter().zip(next).filter(|(a, b)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y)
    });
    crossed.count() % 2 == 1
}

/// Returns the area inside an outline.
fn area(outline: &[Point]) -> f64 {
    let next = outline.iter().cycle().skip(1);
    let cross = |(a, b): (&Point, &Point)| a.to_vec2().cross(b.to_vec2());
    outline.iter().zip(next).map(cross).sum::<f64>().abs() / 2.0
}

/// Returns the outlines as they lie on the cloth.
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

/// Asserts that nothing leaves the cloth and that no point of an even grid lies inside two outlines.
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
    assert_apart(&outlines, cloth, lay.length);
}

/// Asserts that no point of an even grid lies inside two outlines.
fn assert_apart(outlines: &[Vec<Point>], cloth: &ClothRules, length: f64) {
    let (left, right) = cloth.usable();
    let step = 7.0;
    for i in 0..((right - left) / step) as usize {
        for j in 0..(length / step) as usize {
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

/// Runs this many cases, after those that once failed (`lay.proptest-regressions`).
fn cases(count: u32) -> ProptestConfig {
    ProptestConfig {
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource(
            "proptest-regressions",
        ))),
        ..ProptestConfig::with_cases(count)
    }
}

fn outlines() -> impl Strategy<Value = Vec<Vec<f64>>> {
    prop::collection::vec(prop::collection::vec(60.0..330.0, 3..14), 1..6)
}

proptest! {
    #![proptest_config(cases(24))]

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

/// Returns an outline with corners on a coarse lattice, turned. Many of its edges are parallel to others, but by
/// rounding none quite is.
fn blocky(cells: &[(u8, u8)], turn: f64) -> Vec<Point> {
    // Steps to the right and down, then back along the left: a staircase, which crosses nothing.
    let mut corners = vec![Point::ZERO];
    let mut at = Point::ZERO;
    for &(right, down) in cells {
        at.x += 40.0 * f64::from(right);
        corners.push(at);
        at.y += 40.0 * f64::from(down);
        corners.push(at);
    }
    corners.push(Point::new(0.0, at.y));
    corners.push(Point::new(0.0, at.y * 0.7));
    corners.push(Point::new(0.0, at.y * 0.3));
    corners
        .iter()
        .map(|&p| kurbo::Affine::rotate(turn) * p)
        .collect()
}

proptest! {
    #![proptest_config(cases(16))]

    /// Edges in common make no-fit regions whose steps coincide. Nothing may slip in between them.
    #[test]
    fn pieces_with_parallel_edges_lie_beside_each_other(
        cells in prop::collection::vec(prop::collection::vec((1_u8..5, 1_u8..6), 1..6), 1..5),
        turn in -3.2_f64..3.2,
        gap in prop::sample::select(vec![0.0, 3.0]),
    ) {
        let items: Vec<Item> = cells
            .iter()
            .enumerate()
            .map(|(i, cells)| Item {
                grain: Vec2::from_angle(turn + std::f64::consts::FRAC_PI_2),
                ..item(i, blocky(cells, turn), Count::Pairs(2), Turning::Quarter, Nap::TwoWays)
            })
            .collect();
        let cloth = cloth(Layout::Open, gap);
        // The first lay alone: every piece laid once, where it first fits.
        let first = Search { effort: Effort::Rounds(0), ..quick(1) };
        let lay = plan(&items, &cloth, &first).unwrap();
        let area: f64 = placed(&items, &lay).iter().map(|o| area(o)).sum();
        prop_assert!(area <= 1480.0 * lay.length, "more laid than there is cloth");
        assert_sound(&items, &cloth, &lay);
    }

    /// A search from a kept lay finds it again at once, with any seed, and nearly so on wider cloth. A kept lay of
    /// other pieces changes nothing.
    #[test]
    fn what_was_kept_is_found_again(radii in outlines(), wider in prop::sample::select(vec![0.0, 20.0])) {
        let items: Vec<Item> = radii
            .iter()
            .enumerate()
            .map(|(i, r)| item(i, star(r), Count::Pairs(2), Turning::Grain, Nap::TwoWays))
            .collect();
        let narrow = cloth(Layout::Open, 3.0);
        let long = Search { effort: Effort::Rounds(6), ..quick(1) };
        let lay = plan(&items, &narrow, &long).unwrap();
        let kept = [KeptLay::new("stars", &items, &lay)];
        let wide = ClothRules { width: narrow.width + wider, ..narrow };
        let again = plan(&items, &wide, &Search { kept: &kept, ..quick(2) }).unwrap();
        assert_sound(&items, &wide, &again);
        prop_assert!(again.length <= 1.02 * lay.length, "{} after {}", again.length, lay.length);
        let others: Vec<Item> = items
            .iter()
            .map(|item| Item { kind: format!("other {}", item.kind), ..item.clone() })
            .collect();
        let known = plan(&others, &wide, &Search { kept: &kept, ..quick(2) }).unwrap();
        prop_assert_eq!(known, plan(&others, &wide, &quick(2)).unwrap());
    }

    /// Nothing lies over the end of a piece of cloth at hand, and the bought cloth begins after all of them.
    #[test]
    fn remnants_are_laid_on_before_the_long_cloth(
        radii in outlines(),
        remnants in prop::collection::vec(500.0_f64..1500.0, 1..4),
        table in prop::sample::select(vec![None, Some(800.0)]),
    ) {
        let items: Vec<Item> = radii
            .iter()
            .enumerate()
            .map(|(i, r)| item(i, star(r), Count::Alike(2), Turning::Grain, Nap::TwoWays))
            .collect();
        let cloth = ClothRules { remnants: remnants.clone(), table, ..cloth(Layout::Open, 3.0) };
        let lay = plan(&items, &cloth, &quick(3)).unwrap();
        assert_sound(&items, &cloth, &lay);
        let mut ends = vec![0.0];
        for length in &remnants {
            ends.push(ends[ends.len() - 1] + length + 3.0);
        }
        let long_from = ends[remnants.len()];
        for outline in placed(&items, &lay) {
            let low = outline.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
            let high = outline.iter().map(|p| p.y).fold(0.0, f64::max);
            let on = ends.iter().rposition(|&start| low > start - 0.01).unwrap();
            let end = remnants.get(on).map_or(f64::INFINITY, |length| ends[on] + length);
            prop_assert!(high < end + 0.01, "{low} to {high} lies over the end at {end}");
        }
        prop_assert!((lay.bought - (lay.length - long_from).max(0.0)).abs() < 1e-6);
    }

    /// A lay that is longer than the table is cut straight across, no piece lies over a cut, and no section is longer
    /// than the table. On a pattern the pieces still match.
    #[test]
    fn a_table_divides_a_lay_into_sections(
        radii in outlines(),
        table in 700.0_f64..1600.0,
        repeat in prop::sample::select(vec![0.0, 45.0]),
    ) {
        let mut items: Vec<Item> = radii
            .iter()
            .enumerate()
            .map(|(i, r)| item(i, star(r), Count::Alike(4), Turning::Grain, Nap::TwoWays))
            .collect();
        if items.len() > 1 {
            items[0].matches.push(MatchedPoints {
                name: "seam".into(),
                at: Point::ZERO,
                partner: 1,
                partner_at: Point::ZERO,
                across: false,
                along: true,
                opposed: false,
            });
        }
        let endless = ClothRules { repeat: Repeat::new(0.0, repeat), ..cloth(Layout::Open, 3.0) };
        let cloth = ClothRules { table: Some(table), ..endless.clone() };
        let lay = plan(&items, &cloth, &quick(3)).unwrap();
        assert_sound(&items, &cloth, &lay);
        let spans: Vec<(f64, f64)> = placed(&items, &lay)
            .iter()
            .map(|outline| {
                let along = outline.iter().map(|p| p.y);
                (along.clone().fold(f64::INFINITY, f64::min), along.fold(0.0, f64::max))
            })
            .collect();
        if lay.sections.is_empty() {
            prop_assert!(lay.length <= table + 0.05);
        }
        let mut before = f64::NEG_INFINITY;
        for &(from, to) in &lay.sections {
            prop_assert!(to - from <= table + 0.05, "{from} to {to} on a table of {table}");
            prop_assert!(from >= before - 0.05, "a section begins before the last one ends");
            before = to;
        }
        for (low, high) in spans {
            let inside = |&(from, to): &(f64, f64)| low >= from - 0.05 && high <= to + 0.05;
            prop_assert!(lay.sections.is_empty() || lay.sections.iter().any(inside));
        }
        prop_assert_eq!(&plan(&items, &cloth, &quick(3)).unwrap(), &lay);
        let known = plan(&items, &endless, &quick(3)).unwrap();
        let problem = Problem::new(items.clone(), cloth.gap).unwrap();
        let from_known = problem.plan_from(Some(&known.warm_start()), &cloth, &quick(1)).unwrap();
        assert_sound(&items, &cloth, &from_known);
    }

    /// Each pair of points that must match lies on the same place of the pattern, computed here from where the
    /// points come to lie. The other of a pair is mirrored about the bars. Pieces that might lie across the cloth
    /// lie along it where they match, even if only another piece names the match.
    #[test]
    fn what_must_match_lies_on_the_pattern(
        radii in prop::collection::vec(prop::collection::vec(60.0..300.0, 4..9), 2..4),
        turning in prop::sample::select(vec![Turning::Grain, Turning::Quarter]),
        repeat in (20.0_f64..120.0, 20.0_f64..120.0),
        at in (-40.0_f64..40.0, -40.0_f64..40.0),
        doubled in any::<bool>(),
        opposed in any::<bool>(),
        face in prop::sample::select(vec![Face::Up, Face::Down]),
    ) {
        let mut items: Vec<Item> = radii
            .iter()
            .enumerate()
            .map(|(i, r)| {
                let count = if i == 1 { Count::Alike(1) } else { Count::Pairs(1) };
                item(i, star(r), count, turning, Nap::TwoWays)
            })
            .collect();
        let (own, other) = (Point::new(at.0, at.1), Point::new(at.1, -at.0));
        items[0].matches.push(MatchedPoints {
            name: "seam".into(),
            at: own,
            partner: 1,
            partner_at: other,
            across: true,
            along: true,
            opposed,
        });
        let layout = if doubled { Layout::Doubled } else { Layout::Open };
        let repeat = Vec2::new(repeat.0, repeat.1);
        let cloth = ClothRules { repeat: Repeat::new(repeat.x, repeat.y), face, ..cloth(layout, 3.0) };
        let lay = plan(&items, &cloth, &quick(5)).unwrap();
        assert_sound(&items, &cloth, &lay);
        let single = lay.placements.iter().find(|placed| placed.piece == 1).unwrap();
        prop_assert_eq!(single.mirrored, face == Face::Down);
        // One of two pieces in opposite hands sees the pattern from the other side.
        let turned = if opposed { -1.0 } else { 1.0 };
        let seen = |piece: usize, p: Point| -> Vec<Vec2> {
            let laid = lay.placements.iter().filter(|placed| placed.piece == piece);
            laid.map(|placed| {
                let on_cloth = placed.transform * p - lay.pattern_at;
                // Laid head to foot it is turned by half, the mirrored one turned over.
                let down = if placed.degrees == 180.0 { -1.0 } else { 1.0 };
                let across = if placed.mirrored { -down } else { down };
                Vec2::new(on_cloth.x * across, on_cloth.y * down)
            })
            .collect()
        };
        prop_assert!(!seen(0, own).is_empty() && !seen(1, other).is_empty());
        for a in seen(0, own) {
            for b in seen(1, other) {
                for (miss, step) in [(a.x - turned * b.x, repeat.x), (a.y - b.y, repeat.y)] {
                    let miss = miss.rem_euclid(step);
                    prop_assert!(miss.min(step - miss) < 0.5, "misses by {miss}");
                }
            }
        }
    }
}

/// Returns an outline that is symmetric about a line along the grain.
fn butterfly(half: &[(f64, f64)], middle: f64) -> Vec<Point> {
    let mut depth = 0.0;
    let right: Vec<(f64, f64)> = half
        .iter()
        .map(|&(out, down)| {
            depth += down;
            (out, depth)
        })
        .collect();
    let left = right.iter().rev().map(|&(x, y)| (-x, y));
    let ends = [(0.0, -10.0), (0.0, depth + 10.0)];
    let round = std::iter::once(ends[0])
        .chain(right.iter().copied())
        .chain(std::iter::once(ends[1]))
        .chain(left);
    round.map(|(x, y)| Point::new(x + middle, y)).collect()
}

proptest! {
    #![proptest_config(cases(24))]

    /// A piece that is the same on both sides is cut once from doubled cloth, its centre line on the folded edge, and
    /// overlaps nothing on the upper ply. In an open lay it lies whole.
    #[test]
    fn pieces_on_the_fold_lie_with_their_centre_on_it(
        halves in prop::collection::vec(
            (prop::collection::vec((40.0_f64..300.0, 20.0_f64..90.0), 2..6), -200.0_f64..200.0, 1_u32..3),
            1..4
        ),
        radii in outlines(),
        one_way in any::<bool>(),
        gap in prop::sample::select(vec![0.0, 3.0]),
        repeat in prop::sample::select(vec![0.0, 60.0]),
    ) {
        let nap = if one_way { Nap::OneWay } else { Nap::TwoWays };
        let mut items: Vec<Item> = radii
            .iter()
            .enumerate()
            .map(|(i, r)| item(i, star(r), Count::Pairs(1), Turning::Grain, nap))
            .collect();
        let others = items.len();
        for (half, middle, count) in &halves {
            let outline = butterfly(half, *middle);
            let fold = Some(Point::new(*middle, 0.0));
            let count = Count::Alike(*count);
            let piece = items.len();
            items.push(Item { fold, ..item(piece, outline, count, Turning::Grain, nap) });
        }
        if repeat > 0.0 {
            let at = items[others].fold.unwrap();
            items[0].matches.push(MatchedPoints {
                name: "centre back".into(),
                at: Point::new(13.0, 5.0),
                partner: others,
                partner_at: at,
                across: true,
                along: false,
                opposed: false,
            });
        }
        let doubled = ClothRules {
            repeat: Repeat::new(repeat, repeat),
            ..cloth(Layout::Doubled, gap)
        };
        let lay = plan(&items, &doubled, &quick(7)).unwrap();
        let fold = doubled.width / 2.0;
        let mut upper = Vec::new();
        for (placement, outline) in lay.placements.iter().zip(placed(&items, &lay)) {
            prop_assert_eq!(placement.on_fold, placement.piece >= others);
            if placement.on_fold {
                prop_assert_eq!(placement.plies, 2);
                let at = placement.transform * items[placement.piece].fold.unwrap();
                prop_assert!((at.x - fold).abs() < 0.01, "{} mm off the fold", at.x - fold);
                // Folded over, the part beyond the fold lies on the part before it.
                upper.push(outline.iter().map(|p| Point::new(p.x.min(fold), p.y)).collect());
            } else {
                upper.push(outline);
            }
        }
        for (index, (.., count)) in halves.iter().enumerate() {
            let number = lay.placements.iter().filter(|p| p.piece == others + index).count();
            prop_assert_eq!(number, *count as usize);
        }
        assert_apart(&upper, &doubled, lay.length);
        let laid: f64 = placed(&items, &lay).iter().zip(&lay.placements)
            .map(|(o, p)| area(o) * if p.on_fold { 1.0 } else { f64::from(p.plies) })
            .sum();
        let (left, right) = doubled.usable();
        let used = laid / (2.0 * (right - left) * lay.length);
        prop_assert!((used - lay.efficiency).abs() < 1e-6, "{used}, said to be {}", lay.efficiency);

        let open = plan(&items, &cloth(Layout::Open, gap), &quick(7)).unwrap();
        prop_assert!(open.placements.iter().all(|p| !p.on_fold));
        assert_sound(&items, &cloth(Layout::Open, gap), &open);
    }

    /// A piece is tilted by no more than it allows, and on a pattern not at all.
    #[test]
    fn pieces_lie_off_the_grain_only_as_far_as_they_may(
        radii in outlines(),
        off_grain in 0.5_f64..20.0,
        patterned in any::<bool>(),
    ) {
        let items: Vec<Item> = radii
            .iter()
            .enumerate()
            .map(|(i, r)| Item {
                off_grain: if i % 2 == 0 { off_grain } else { 0.0 },
                ..item(i, star(r), Count::Pairs(1), Turning::Grain, Nap::TwoWays)
            })
            .collect();
        let repeat = if patterned { Repeat::new(50.0, 50.0) } else { Repeat::default() };
        let cloth = ClothRules { repeat, ..cloth(Layout::Open, 3.0) };
        let lay = plan(&items, &cloth, &quick(3)).unwrap();
        assert_sound(&items, &cloth, &lay);
        for placement in &lay.placements {
            let grain = placement.transform * Point::new(0.0, 1.0) - placement.transform * Point::ZERO;
            let off = (grain.x / grain.y).atan().to_degrees().abs();
            let may = if patterned { 0.0 } else { items[placement.piece].off_grain };
            prop_assert!(off <= may + 1e-6, "{off} degrees off the grain, where {may} are allowed");
            prop_assert!((off - placement.tilt.abs()).abs() < 1e-6);
        }
    }
}

fn some_stars() -> Vec<Item> {
    let radii = [
        vec![300.0, 90.0, 200.0, 140.0],
        vec![120.0, 260.0, 80.0],
        vec![90.0; 7],
    ];
    let star = |(i, r): (usize, &Vec<f64>)| {
        item(i, star(r), Count::Pairs(2), Turning::Grain, Nap::TwoWays)
    };
    radii.iter().enumerate().map(star).collect()
}

#[test]
fn the_lay_is_the_same_on_any_number_of_threads() {
    let items = some_stars();
    let cloth = cloth(Layout::Open, 3.0);
    let on = |threads: usize| {
        let effort = Effort::Rounds(3);
        plan(
            &items,
            &cloth,
            &Search {
                effort,
                threads: Some(threads),
                ..quick(9)
            },
        )
        .unwrap()
    };
    assert_eq!(on(1), on(2));
    assert_eq!(on(1), on(5));
}

/// Items of several orders, more than are laid all at once. The orders share a shape; pieces of one order must
/// match on a pattern.
fn many_orders(matched: bool) -> Vec<Item> {
    let mut items = Vec::new();
    for order in 0..4 {
        for index in 0..8 {
            let radii: Vec<f64> = (0..5 + index % 4)
                .map(|k| 40.0 + ((order * 31 + index * 17 + k * 23) % 80) as f64)
                .collect();
            // The last is the same in every order.
            let radii = if index == 7 {
                vec![50.0, 80.0, 45.0]
            } else {
                radii
            };
            let piece = items.len();
            let count = Count::Pairs(2);
            let mut item = item(piece, star(&radii), count, Turning::Grain, Nap::TwoWays);
            item.order = order;
            item.kind = format!("piece {index}");
            if matched && index == 1 {
                item.matches.push(MatchedPoints {
                    name: "seam".into(),
                    at: Point::new(5.0, 7.0),
                    partner: piece - 1,
                    partner_at: Point::new(-9.0, 3.0),
                    across: true,
                    along: true,
                    opposed: false,
                });
            }
            items.push(item);
        }
    }
    items
}

/// Many parts are laid section by section. The lay is sound, holds to a pattern, is the same on any number of
/// threads, and shorter than the one that it begins with.
#[test]
fn many_orders_are_laid_section_by_section() {
    for repeat in [Repeat::default(), Repeat::new(40.0, 50.0)] {
        let items = many_orders(repeat.is_patterned());
        let cloth = ClothRules {
            repeat,
            ..cloth(Layout::Open, 3.0)
        };
        let search = |rounds, threads| Search {
            effort: Effort::Rounds(rounds),
            threads: Some(threads),
            ..quick(3)
        };
        let ready = Problem::new(items.clone(), 3.0).unwrap();
        let first = ready.plan(&cloth, &search(0, 1)).unwrap();
        assert_eq!(first.placements.len(), 4 * items.len());
        assert_sound(&items, &cloth, &first);
        let known = first.warm_start();
        let on = |threads| {
            ready
                .plan_from(Some(&known), &cloth, &search(1, threads))
                .unwrap()
        };
        let lay = on(2);
        assert_sound(&items, &cloth, &lay);
        assert!(lay.length < first.length, "{} mm at first", first.length);
        assert_eq!(lay, on(1));
    }
}

/// A search of many parts keeps to its time.
#[test]
fn many_orders_are_laid_in_time() {
    let items = many_orders(false);
    let cloth = cloth(Layout::Open, 3.0);
    let search = Search {
        effort: Effort::Seconds(0.5),
        threads: Some(2),
        ..quick(3)
    };
    let began = std::time::Instant::now();
    let lay = plan(&items, &cloth, &search).unwrap();
    // Far more than is promised: other tests run beside this one.
    assert!(
        began.elapsed().as_secs_f64() < 10.0,
        "{:?}",
        began.elapsed()
    );
    assert_sound(&items, &cloth, &lay);
}

#[test]
fn cancelled_the_search_gives_the_best_lay_so_far() {
    let items = some_stars();
    let cloth = cloth(Layout::Open, 3.0);
    let stop = AtomicBool::new(false);
    let told = Mutex::new(Vec::new());
    let progress = |p: Progress| {
        told.lock().unwrap().push(p.length);
        stop.store(told.lock().unwrap().len() > 3, Ordering::Relaxed);
    };
    let search = Search {
        effort: Effort::Rounds(1_000_000),
        cancel: Some(&stop),
        progress: Some(&progress),
        ..quick(2)
    };
    let lay = plan(&items, &cloth, &search).unwrap();
    assert_sound(&items, &cloth, &lay);
    let told = told.into_inner().unwrap();
    assert!(told.len() < 10, "{}", told.len());
    let best = told.iter().copied().fold(f64::INFINITY, f64::min);
    assert!(
        (lay.length - best).abs() < 0.01,
        "{} of {told:?}",
        lay.length
    );
    assert!(best < told[0], "{told:?}");
}

/// A problem that is laid on many cloths gives the same lay for each as one that is laid on that cloth alone.
#[test]
fn items_made_ready_lie_as_if_made_for_each_cloth() {
    let items = some_stars();
    let ready = Problem::new(items.clone(), 3.0).unwrap();
    for layout in [Layout::Open, Layout::Doubled] {
        for repeat in [Repeat::default(), Repeat::new(60.0, 80.0)] {
            let cloth = ClothRules {
                repeat,
                ..cloth(layout, 3.0)
            };
            let lay = ready.plan(&cloth, &quick(4)).unwrap();
            assert_eq!(lay, plan(&items, &cloth, &quick(4)).unwrap());
        }
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
        fault.to_string().contains("piece 0 needs 160 cm"),
        "{fault}"
    );
}

/// Part of an outline that crosses itself would lie under other pieces.
#[test]
fn an_outline_that_crosses_itself_is_refused_by_name() {
    let eight = [(0.0, 0.0), (300.0, 300.0), (300.0, 0.0), (0.0, 300.0)];
    let uneven = [
        (300.0, 0.0),
        (0.5, 41.0),
        (0.0, 1.7),
        (348.2, 286.9),
        (41.4, 41.4),
        (123.3, 1.2),
        (100.0, 0.0),
        (0.0, 430.1),
        (2.6, 2.6),
    ];
    // Less than a square centimetre of this one is cut off, in slivers along an edge.
    let sliver = [
        (2.57, 348.17),
        (0.0, 0.0),
        (2.71, 297.44),
        (48.64, 60.0),
        (0.0, 0.0),
        (2.56, 2.57),
    ];
    for corners in [&eight[..], &uneven, &sliver] {
        let outline = corners.iter().map(|&p| Point::from(p)).collect();
        let items = [item(
            0,
            outline,
            Count::Alike(3),
            Turning::Grain,
            Nap::OneWay,
        )];
        let fault = plan(&items, &cloth(Layout::Open, 0.0), &quick(1)).unwrap_err();
        assert!(matches!(fault, LayFault::Outline { .. }), "{fault}");
        assert!(fault.to_string().contains("piece 0"), "{fault}");
    }
}

/// An outline with a needle finer than the grid, which would cross itself there, is refused and never laid over
/// another piece.
#[test]
fn a_needle_is_refused_or_laid_clear() {
    let corners = |corners: &[(f64, f64)]| corners.iter().map(|&p| Point::from(p)).collect();
    let wedge = corners(&[
        (419.84, 517.32),
        (199.84, 81.92),
        (0.78, 123.46),
        (1.17, 122.88),
    ]);
    let triangle = corners(&[(0.0, 0.0), (348.17, 286.91), (59.36, 648.48)]);
    let needle = corners(&[
        (81.92, 0.78),
        (123.46, 1.17),
        (122.88, 1.17),
        (299.52, 2.56),
        (0.01, 0.0),
        (517.12, 199.84),
        (81.92, 0.78),
        (123.46, 1.17),
        (122.88, 1.17),
        (0.01, 0.0),
        (0.0, 0.0),
    ]);
    let items = [
        Item {
            grain: Vec2::new(-298.83, 2.58),
            ..item(0, wedge, Count::Alike(1), Turning::Grain, Nap::OneWay)
        },
        item(1, triangle, Count::Pairs(1), Turning::Quarter, Nap::TwoWays),
        Item {
            grain: Vec2::new(-300.0, 0.01),
            ..item(2, needle, Count::Pairs(1), Turning::Grain, Nap::OneWay)
        },
    ];
    for rounds in 1..4 {
        let cloth = ClothRules {
            width: 1150.0,
            selvedge: 0.0,
            ..cloth(Layout::Open, 0.0)
        };
        match plan(&items, &cloth, &quick(rounds)) {
            Ok(_) => {}
            Err(fault) => assert!(matches!(fault, LayFault::Outline { .. }), "{fault}"),
        }
    }
}

/// Numbers that are not finite, or beyond any piece of cloth, are refused.
#[test]
fn an_outline_beyond_all_measure_is_refused_by_name() {
    let square = |far: f64| {
        let corners = [(0.0, 0.0), (200.0, 0.0), (200.0, far), (0.0, 300.0)];
        corners.map(Point::from).to_vec()
    };
    let plain = |outline| item(0, outline, Count::Alike(1), Turning::Grain, Nap::OneWay);
    let refused = |item: Item| {
        let fault = plan(&[item], &cloth(Layout::Open, 0.0), &quick(1)).unwrap_err();
        assert!(matches!(fault, LayFault::Outline { .. }), "{fault}");
    };
    for number in [f64::NAN, f64::INFINITY, -1e300, 1e300, 1e9] {
        refused(plain(square(number)));
        refused(Item {
            holes: vec![square(number)],
            ..plain(square(300.0))
        });
    }
    refused(Item {
        turns: vec![f64::NAN],
        ..plain(square(300.0))
    });
    refused(Item {
        grain: Vec2::new(f64::INFINITY, 1.0),
        ..plain(square(300.0))
    });
    assert!(
        plan(
            &[plain(square(300.0))],
            &cloth(Layout::Open, 0.0),
            &quick(1)
        )
        .is_ok()
    );
}

/// A hole is cut out of its piece once and leaves it in one region.
#[test]
fn a_hole_that_is_not_in_its_outline_is_refused() {
    let rectangle = |left: f64, right: f64, far: f64| {
        let corners = [(left, 50.0), (right, 50.0), (right, far), (left, far)];
        corners.map(Point::from).to_vec()
    };
    let with = |holes: Vec<Vec<Point>>| Item {
        holes,
        ..item(
            0,
            rectangle(0.0, 300.0, 350.0),
            Count::Pairs(1),
            Turning::Grain,
            Nap::OneWay,
        )
    };
    let outside = rectangle(400.0, 500.0, 300.0);
    let across_its_edge = rectangle(250.0, 350.0, 300.0);
    let all_across = rectangle(100.0, 200.0, 400.0);
    let [one, over_it, beside] =
        [(40.0, 140.0), (100.0, 200.0), (200.0, 260.0)].map(|(left, right)| {
            rectangle(left, right, 300.0)
                .iter()
                .map(|p| *p + Vec2::new(0.0, 20.0))
                .collect::<Vec<_>>()
        });
    let sliver = [(0.0, 100.0), (0.0, 110.0), (-0.02, 105.0)]
        .map(Point::from)
        .to_vec();
    for holes in [
        vec![sliver],
        vec![outside],
        vec![across_its_edge],
        vec![all_across],
        vec![one.clone(), over_it],
    ] {
        let fault = plan(&[with(holes)], &cloth(Layout::Open, 0.0), &quick(1)).unwrap_err();
        assert!(matches!(fault, LayFault::Outline { .. }), "{fault}");
    }
    let lay = plan(
        &[with(vec![one, beside])],
        &cloth(Layout::Open, 0.0),
        &quick(1),
    );
    if let Err(fault) = lay {
        panic!("{fault}");
    }
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
    lay.bought = 2900.0;
    assert_eq!(order_length(&lay, &buying).length, 3100.0);
    // (1950 + 50) · 1.05 = 2100 exactly: no further step.
    lay.bought = 1950.0;
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
    let how = order_length(&lay, &buying).how(Unit::Cm);
    assert_eq!(
        how,
        "lay 195 cm + ends 5 cm + shrinkage 3 % (6 cm) = 206 cm, rounded up to 10 cm"
    );
    let yards = Buying {
        ends: 2.0 * INCH,
        step: 0.25 * YARD,
        ..buying
    };
    lay.bought = 125.0 * INCH;
    let order = order_length(&lay, &yards);
    assert_eq!(Unit::Inch.cloth(order.length), "3 3/4 yd");
    assert_eq!(
        order.how(Unit::Inch),
        "lay 125 in + ends 2 in + shrinkage 3 % (3 3/4 in) = 130 3/4 in, rounded up to 1/4 yd"
    );
    // What is printed adds up, where the nearest eighth of the total alone would not.
    lay.bought = 100.2;
    let short = order_length(
        &lay,
        &Buying {
            ends: 50.0,
            shrinkage: 0.0,
            ..yards
        },
    );
    assert_eq!(
        short.how(Unit::Inch),
        "lay 4 in + ends 2 in = 6 in, rounded up to 1/4 yd"
    );
    let unshrunk = Buying {
        shrinkage: 0.0,
        ..yards
    };
    let told = order_length(&lay, &unshrunk).how(Unit::Inch);
    assert!(!told.contains("shrinkage"), "{told}");
}
