//! On a check every match that the README promises is held to half a millimetre, on both sides of the body, as
//! the pieces are sewn.

use kurbo::{Point, Vec2};

use super::cloth::faults;
use super::geometry::{beside_repeat, bounds, moved};
use super::hands::face_up;
use super::lays::Read;
use super::orders::none;
use super::sewn::{fits, hangs, sewn_on};
use super::worn::{
    Side, Worn, called, centre_front, front_pitch_of_forepart, front_pitch_of_sleeve, levels, nape,
    one,
};

/// What README promises, in mm.
const HELD: f64 = 0.5;

/// How the bars of two points must agree.
#[derive(Clone, Copy, PartialEq)]
enum Way {
    Both,
    Along,
    Across,
}

/// The repeat as the marker draws it: across the cloth, and along it.
fn repeat(read: &Read<'_>) -> Vec2 {
    let (mut xs, mut ys) = read.cloth().sheet.bars();
    let step = |at: &mut Vec<f64>| {
        at.sort_by(f64::total_cmp);
        assert!(at.len() > 5, "the marker draws {} bars", at.len());
        let step = (at[at.len() - 1] - at[0]) / (at.len() - 1) as f64;
        assert!(
            at.windows(2)
                .all(|two| (two[1] - two[0] - step).abs() < 0.02),
            "the bars stand unevenly"
        );
        step
    };
    Vec2::new(step(&mut xs), step(&mut ys))
}

struct Check<'a> {
    read: &'a Read<'a>,
    repeat: Vec2,
    faults: Vec<String>,
    met: usize,
}

impl Check<'_> {
    fn off(&mut self, what: &str, by: Vec2, way: Way) {
        let across = beside_repeat(by.x, self.repeat.x);
        let along = beside_repeat(by.y, self.repeat.y);
        self.met += 1;
        if way != Way::Along && across > HELD {
            self.faults.push(format!("{what}: {across:.1} mm across"));
        }
        if way != Way::Across && along > HELD {
            self.faults.push(format!("{what}: {along:.1} mm along"));
        }
    }

    /// Two points of two pieces that lie on one another when they are sewn.
    fn meets(
        &mut self,
        what: &str,
        a: Option<&Worn<'_>>,
        b: Option<&Worn<'_>>,
        points: [Option<Point>; 2],
        way: Way,
    ) {
        match (a, b, points) {
            (Some(a), Some(b), [Some(p), Some(q)]) => self.off(what, a.seen * p - b.seen * q, way),
            _ => self
                .faults
                .push(format!("{what}: a piece or a mark is missing")),
        }
    }
}

#[test]
fn every_match_is_held_to_half_a_millimetre_on_both_sides() {
    none(faults(|read| {
        if !read.order.check {
            return Vec::new();
        }
        let mut check = Check {
            read,
            repeat: repeat(read),
            faults: Vec::new(),
            met: 0,
        };
        jacket(&mut check);
        trousers(&mut check);
        sewn(&mut check);
        println!("{}: {} matches", read.order.name, check.met);
        assert!(
            check.met > 10,
            "{}: only {} matches were found",
            read.order.name,
            check.met
        );
        check.faults
    }));
}

fn jacket(check: &mut Check<'_>) {
    let face_up = face_up(check.read);
    let pieces = |garment: &str, name: &str| called(check.read.cloth(), garment, name, face_up);
    let (foreparts, backs) = (pieces("jacket", "forepart"), pieces("jacket", "back"));
    let (bodies, sleeves) = (
        pieces("jacket", "side body"),
        pieces("jacket", "top sleeve"),
    );
    let point = |piece: Option<&Worn<'_>>, find: fn(&super::dxf::Block) -> Option<Point>| {
        piece.and_then(|piece| find(piece.block()))
    };
    // The side body has no chest line, but its waist line stands as far below it as the others'.
    let waist = |block: &super::dxf::Block| levels(block).last().map(|level| level[0]);
    let sides = [Side::Left, Side::Right];
    for (name, both, find) in [
        (
            "centre front",
            &foreparts,
            centre_front as fn(&super::dxf::Block) -> Option<Point>,
        ),
        ("centre back", &backs, nape),
    ] {
        let [left, right] = sides.map(|side| one(both, side));
        check.meets(
            name,
            left,
            right,
            [point(left, find), point(right, find)],
            Way::Both,
        );
    }
    for side in sides {
        let [fore, back, body, sleeve] =
            [&foreparts, &backs, &bodies, &sleeves].map(|pair| one(pair, side));
        check.meets(
            &format!("{side:?} side seam"),
            back,
            body,
            [point(back, waist), point(body, waist)],
            Way::Along,
        );
        check.meets(
            &format!("{side:?} under-arm seam"),
            fore,
            body,
            [point(fore, waist), point(body, waist)],
            Way::Along,
        );
        let pitches = [
            point(fore, front_pitch_of_forepart),
            point(sleeve, front_pitch_of_sleeve),
        ];
        check.meets(
            &format!("{side:?} front pitch"),
            fore,
            sleeve,
            pitches,
            Way::Along,
        );
    }
    // The collar's centre back is its middle: it is drawn whole, symmetrical about it.
    let collars = pieces("jacket", "top collar");
    let back = one(&backs, Side::Right);
    if let (Some(collar), Some(back), Some(nape)) = (collars.first(), back, point(back, nape)) {
        let middle = bounds(&moved(&collar.block().seam, collar.seen)).center();
        let by = middle - back.seen * nape;
        check.off("collar at the centre back", by, Way::Across);
    }
    let waistcoats = pieces("waistcoat", "forepart");
    if !waistcoats.is_empty() {
        let [left, right] = sides.map(|side| one(&waistcoats, side));
        check.meets(
            "centre front of the waistcoat",
            left,
            right,
            [point(left, centre_front), point(right, centre_front)],
            Way::Both,
        );
    }
}

/// The outside leg at the fork line: the level above the knee's. The seat line above it lies aslant behind.
fn trousers(check: &mut Check<'_>) {
    let face_up = face_up(check.read);
    let pieces = |name: &str| called(check.read.cloth(), "trousers", name, face_up);
    let (tops, unders) = (pieces("top side"), pieces("under side"));
    for side in [Side::Left, Side::Right] {
        let [top, under] = [&tops, &unders].map(|pair| one(pair, side));
        let fork = |piece: Option<&Worn<'_>>| {
            piece.and_then(|piece| {
                levels(piece.block())
                    .iter()
                    .rev()
                    .nth(1)
                    .map(|level| level[0])
            })
        };
        check.meets(
            &format!("{side:?} outside leg at the fork line"),
            top,
            under,
            [fork(top), fork(under)],
            Way::Along,
        );
    }
}

/// What is sewn on a forepart shows the bars that the forepart shows under it: from where it was cut to where it
/// is sewn are whole repeats.
fn sewn(check: &mut Check<'_>) {
    let face_up = face_up(check.read);
    let read = check.read;
    for (garment, name, side, pieces) in sewn_on(read, face_up) {
        let foreparts = called(read.cloth(), garment, "forepart", face_up);
        let Some(forepart) = one(&foreparts, side) else {
            continue;
        };
        let fit = |piece: &Worn<'_>| {
            if name.ends_with("flap") {
                hangs(piece, forepart)
            } else {
                Some(fits(piece, forepart)[0].1)
            }
        };
        // Of a pair, that of the forepart's own hand: the other hangs as well where the mouth is level.
        let own = pieces
            .iter()
            .filter(|piece| pieces.len() == 1 || piece.side() == side);
        match own.filter_map(fit).min_by(|a, b| a.off.total_cmp(&b.off)) {
            Some(fit) if fit.off < 0.3 => check.off(
                &format!("{name} on the {side:?} forepart"),
                fit.step,
                Way::Both,
            ),
            Some(fit) if fit.off < 1e6 => check.faults.push(format!(
                "{name} on the {side:?} forepart: {:.1} mm off its mark, so that no bar meets",
                fit.off
            )),
            _ => check.faults.push(format!(
                "{name} on the {side:?} forepart: no mark of its size"
            )),
        }
    }
}
