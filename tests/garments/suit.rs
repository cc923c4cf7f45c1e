//! A whole suit: three garments in one order, and the cloth they take.

use crate::bodies::dress_all;
use chalkstripe::diagnostic::Source;
use chalkstripe::draft::Material;
use chalkstripe::geometry;
use chalkstripe::job;
use chalkstripe::lay::{Buying, ClothRules, Effort, KeptLay, Search};
use chalkstripe::order::{self, Layout, Order};
use chalkstripe::workshop::Workshop;
use kurbo::{Point, Vec2};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

fn read(text: String) -> Order {
    match order::parse("suit", &Source::new("suit.toml", text), Path::new("")) {
        Ok(checked) => checked.order,
        Err(faults) => panic!(
            "{}",
            faults.iter().map(|f| f.render(false)).collect::<String>()
        ),
    }
}

#[test]
fn three_garments_are_one_lay_for_each_cloth() {
    let order = read(include_str!("../../examples/three-piece.toml").to_owned());
    let blocks: Vec<&str> = order.garments.iter().map(|g| g.block.as_str()).collect();
    assert_eq!(blocks, ["jacket", "waistcoat", "trousers"]);
    let drafted = job::draft(Workshop::embedded(), &order).unwrap();
    let search = Search {
        effort: Effort::Rounds(1),
        ..Search::default()
    };
    let lays = job::lay(&order, &drafted.pattern, &search).unwrap();
    let materials: BTreeSet<Material> = lays.iter().map(|laid| laid.material.clone()).collect();
    assert_eq!(materials.len(), lays.len(), "a material is laid twice");

    let cloth = lays.iter().find(|laid| laid.material.is_cloth()).unwrap();
    let mut plies: BTreeMap<usize, u32> = BTreeMap::new();
    for placement in &cloth.lay.placements {
        // On the fold both plies make one.
        let cut = if placement.on_fold {
            1
        } else {
            placement.plies
        };
        *plies.entry(placement.piece).or_default() += cut;
    }
    let pieces = drafted.pattern.pieces.iter().enumerate();
    let mut garments = BTreeSet::new();
    for (number, piece) in pieces.filter(|(_, piece)| piece.material.is_cloth()) {
        assert_eq!(
            plies.get(&number),
            Some(&piece.count.total()),
            "{}: {}",
            piece.garment,
            piece.name
        );
        garments.insert(piece.garment.as_str());
    }
    assert_eq!(garments.len(), 3, "the lay holds {garments:?}");
}

/// Collars are cut on the fold of doubled cloth: half of one is drawn, from the fold round to the fold.
#[test]
fn a_top_collar_is_drawn_by_half_where_it_lies_on_the_fold() {
    for collar in ["one_piece", "two_piece"] {
        let chosen = format!("[jacket]\ncollar = \"{collar}\"\n");
        let plain = include_str!("../../examples/plain-worsted.toml");
        let order = read(plain.replace("[jacket]\n", &chosen));
        let pattern = job::draft(Workshop::embedded(), &order).unwrap().pattern;
        let folded: Vec<_> = pattern.pieces.iter().filter(|p| p.fold.is_some()).collect();
        let names: Vec<&str> = folded.iter().map(|piece| piece.name.as_str()).collect();
        match collar {
            "one_piece" => assert_eq!(names, ["top collar"]),
            _ => assert_eq!(names, ["collar stand", "collar fall"]),
        }
        for piece in folded {
            let (a, b) = piece.fold.unwrap();
            let off = |p: Point| (b - a).normalize().cross(p - a);
            let aside = Vec2::new(-(b - a).y, (b - a).x);
            let halves = [a + aside, a - aside].map(|beside| piece.half(beside).unwrap());
            for (half, side) in halves.iter().zip([1.0, -1.0]) {
                let ends = [geometry::start(&half.cut), geometry::end(&half.cut)];
                for end in ends.map(Option::unwrap) {
                    assert!(
                        off(end).abs() < 0.01,
                        "{}: {end} is not on the fold",
                        piece.name
                    );
                }
                let corners = geometry::flattened(&half.cut, 0.1);
                assert!(
                    corners.iter().all(|p| side * off(*p) > -0.01),
                    "{}",
                    piece.name
                );
                assert!((geometry::area(&corners).abs() - piece.area() / 2.0).abs() < 20.0);
                assert_eq!(half.marks[0].name, "on the fold");
            }
            let rounds = halves.map(|half| geometry::length(&half.cut));
            let whole = geometry::length(&piece.cut);
            assert!(
                (rounds[0] + rounds[1] - whole).abs() < 0.1,
                "{rounds:?} of {whole}"
            );
        }
    }
}

/// W. D. F. Vincent, The Cutters' Practical Guide (London, 1898), Part 1, 'Economy', diagrams 169 and
/// 170: lounge suits of jacket, vest and trousers for breasts of 28 and 32, from cloth of 56 inches;
/// waists, seats, legs and heights from his scale on page 3 (that of 32 between its neighbours).
///
/// His lays hold less than ours: seams of a quarter of an inch where ours have a centimetre, facings
/// that are not large, no separate waistband, straps, bearers and turned-up hems. The cut pieces alone,
/// laid without any loss, would take up to a sixth more than he lays.
#[test]
fn cut_pieces_against_the_lounge_suits_of_1898() {
    for ([breast, waist, seat, neck, height, leg, side, jacket], yards, most) in [
        (
            [28.0, 26.0, 29.0, 12.75, 55.0, 24.0, 37.0, 24.0],
            1.75,
            1.17,
        ),
        ([32.0, 28.0, 33.0, 14.0, 63.0, 29.5, 41.0, 26.0], 2.25, 1.06),
    ] {
        let order = read(format!(
            "[client]\nname = \"A Boy\"\n[measures]\nunit = \"in\"\nheight = {height}\nchest = {breast}\nwaist = {waist}\n\
             seat = {seat}\nneck = {neck}\ninside_leg = {leg}\noutside_leg = {side}\njacket_length = {jacket}\n\
             [cloth]\nname = \"serge\"\nwidth = \"56 in\"\n[jacket]\n[waistcoat]\n[trousers]\n"
        ));
        let drafted = job::draft(Workshop::embedded(), &order).unwrap();
        let area: f64 = drafted
            .pattern
            .pieces
            .iter()
            .filter(|piece| piece.material.is_cloth())
            .map(|piece| f64::from(piece.count.total()) * piece.area())
            .sum();
        let long = area / (56.0 * 25.4) / 10.0;
        let his = yards * 91.44;
        println!("breast {breast}: {long:.1} cm without loss, his lay {his:.1} cm");
        assert!(
            long <= most * his,
            "breast {breast}: {long:.1} cm, his lay {his:.1} cm"
        );
    }
}

/// Reckoned from where the points come to lie, not by the lay's own check.
#[test]
fn the_waistcoat_meets_on_a_check_at_the_front_and_under_its_welts() {
    let text = include_str!("../../examples/three-piece.toml");
    let check = "[cloth]\nrepeat_across = 4\nrepeat_along = 5\n";
    let mut order = read(text.replace("[cloth]\n", check));
    order.cloth.layout = Layout::Open;
    order
        .garments
        .retain(|garment| garment.block == "waistcoat");
    let pattern = job::draft(Workshop::embedded(), &order).unwrap().pattern;
    let search = Search {
        effort: Effort::Rounds(1),
        ..Search::default()
    };
    let lays = job::lay(&order, &pattern, &search).unwrap();
    let lay = &lays[0].lay;
    let names: BTreeSet<&str> = pattern.matches.iter().map(|m| m.name.as_str()).collect();
    assert!(names.contains("centre front of the waistcoat"), "{names:?}");
    assert!(names.contains("lower welt"), "{names:?}");
    let seen = |piece: usize, p: Point| -> Vec<Vec2> {
        let cuts = lay.placements.iter().filter(|cut| cut.piece == piece);
        cuts.map(|cut| {
            // Laid head to foot it is turned by half, the mirrored one turned over; all are drawn upright.
            let turned = cut.transform * Point::new(0.0, 1.0) - cut.transform * Point::ZERO;
            let down = turned.y.signum();
            let across = if cut.mirrored { -down } else { down };
            let at = cut.transform * p - lay.pattern_at;
            Vec2::new(at.x * across, at.y * down)
        })
        .collect()
    };
    for m in &pattern.matches {
        let pieces = [m.piece, m.partner].map(|piece| seen(piece, m.at).len());
        assert!(!pieces.contains(&0), "{}: {pieces:?} are laid", m.name);
        for a in seen(m.piece, m.at) {
            for b in seen(m.partner, m.partner_at) {
                for (wanted, miss, step) in
                    [(m.across, a.x - b.x, 40.0), (m.along, a.y - b.y, 50.0)]
                {
                    let miss = miss.rem_euclid(step);
                    let miss = miss.min(step - miss);
                    assert!(!wanted || miss < 0.5, "{} misses by {miss} mm", m.name);
                }
            }
        }
    }
}

/// Of a man for whom none was made: the lays that come with the program shorten a short search.
#[test]
fn a_suit_is_laid_the_better_for_others_that_were() {
    let order = read(
        "[client]\nname = \"Odo Marsh\"\n[measures]\nheight = 180\nchest = 96\nwaist = 82\nseat = 99\nneck = 39\n\
         [cloth]\nname = \"a suiting\"\nwidth = 150\nlayout = \"open\"\n[jacket]\n[trousers]\n"
            .to_owned(),
    );
    let drafted = job::draft(Workshop::embedded(), &order).unwrap();
    let ready = job::ready(&order, &drafted.pattern).unwrap();
    let rules = ClothRules::new(
        &order.cloth,
        &Buying::new(&order.house, &order.cloth, order.unit),
    );
    let from = |kept: &[KeptLay]| {
        let search = Search {
            effort: Effort::Rounds(4),
            kept,
            ..Search::default()
        };
        ready.plan(&rules, &search).unwrap().length
    };
    let (known, new) = (from(&Workshop::embedded().kept), from(&[]));
    assert!(
        known < 0.98 * new,
        "{known:.0} from lays that were kept, {new:.0} mm without"
    );
}

/// The men of the survey dressed for the evening, with a back to the waistcoat and without.
#[test]
fn every_man_of_the_sample_has_his_dinner_suit() {
    let jacket = "[jacket]\nfastening = \"one\"\nlapel = \"peak\"\nfacing = \"silk_to_break\"\njets = \"silk\"\nvent = \"none\"\n";
    let waistcoat =
        "[waistcoat]\nopening = \"dress\"\nlapel = \"shawl\"\nlapel_facing = \"silk\"\n";
    let trousers = "[trousers]\ntop = \"fishtail\"\nrise = \"high\"\nside_pockets = \"seam\"\nbraid = \"two\"\n";
    for back in ["full", "backless"] {
        dress_all(&format!(
            "{jacket}{waistcoat}lapel_width = 4.5\nback = \"{back}\"\n{trousers}"
        ));
    }
}
