//! In which hand the pieces come out: every cut is read back from `report.json`, seen on its face, turned as it
//! is sewn and held against the piece that it is sewn to.

use crate::program::run;
use chalkstripe::diagnostic::Source;
use chalkstripe::draft::{Draft, DraftPiece};
use chalkstripe::job;
use chalkstripe::order::{self, Side};
use chalkstripe::pattern::{Pattern, Piece};
use chalkstripe::workshop::Workshop;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{Affine, BezPath, Point, Shape, Vec2};
use serde_json::Value;
use std::fs;
use std::path::Path;

const PLAIN: &str = include_str!("../examples/plain-worsted.toml");
const CHECK: &str = include_str!("../examples/check-side-vents.toml");
const THREE: &str = include_str!("../examples/three-piece.toml");

/// What two flattened lines of one shape may differ by, mm².
const SAME_SHAPE: f64 = 10.0;

/// A suit that was cut: its pattern, and every cut of it as the report tells.
struct Suit {
    drafts: Vec<Draft>,
    pattern: Pattern,
    cuts: Vec<Cut>,
    /// Across and along, and a place where the bars meet.
    repeat: Vec2,
    pattern_at: Point,
}

/// One piece of cloth: from the pattern to where it lies on the cloth, unfolded, and to what is seen on its
/// face.
#[derive(Clone, Copy)]
struct Cut {
    piece: usize,
    on_cloth: Affine,
    on_face: Affine,
}

/// Cuts an order with the cloth's face that way, laid so.
fn cut(text: &str, face: &str, layout: &str) -> Suit {
    let folder = tempfile::tempdir().unwrap();
    let mut text = text
        .replace("layout = \"open\"\n", "")
        .replace("layout = \"doubled\"\n", "");
    text = text.replace("[cloth]\n", &format!("[cloth]\nlayout = \"{layout}\"\n"));
    text.push_str(&format!("\n[house]\ncloth.face = \"{face}\"\n"));
    fs::write(folder.path().join("suit.toml"), &text).unwrap();
    let done = run(&["cut", "suit.toml", "--rounds", "1"], folder.path());
    let told = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(done.status.success(), "{told}");
    let out = folder.path().join("out/suit");
    let report = fs::read(out.join("report.json")).unwrap();
    let report: Value = serde_json::from_slice(&report).unwrap();
    let parsed = order::parse("suit", &Source::new("suit.toml", text), Path::new("")).unwrap();
    let drafted = job::draft(Workshop::embedded(), &parsed.order).unwrap();
    let cloth = &parsed.order.cloth;
    let mut suit = Suit {
        drafts: drafted.drafts,
        pattern: drafted.pattern,
        cuts: Vec::new(),
        repeat: Vec2::new(cloth.repeat_across, cloth.repeat_along),
        pattern_at: Point::new(cloth.width / 2.0, bar(&out)),
    };
    let lays = report["other_lays"].as_array().unwrap().iter();
    for lay in lays.chain([&report["lay"]]) {
        suit.read(lay, face);
    }
    let marker = fs::read_to_string(out.join("lay.svg")).unwrap();
    let said = if layout == "open" { "" } else { "upper ply " };
    assert!(marker.contains("<title>Lay in cloth"), "a marker");
    let words = format!("{said}face {face}");
    let ticket = fs::read_to_string(out.join("order.html")).unwrap();
    assert!(ticket.contains(&words), "the page does not say: {words}");
    suit
}

/// Where a bar of the pattern lies along the cloth, as the marker shows it; 0 on plain cloth.
fn bar(out: &Path) -> f64 {
    let marker = fs::read_to_string(out.join("lay.svg")).unwrap();
    let Some((_, repeat)) = marker.split_once("<g id=\"repeat\">") else {
        return 0.0;
    };
    let mut across = repeat.split("<path d=\"M0 ").skip(1);
    let first = across.next().and_then(|path| path.split('L').next());
    let y = first.and_then(|place| place.split(' ').next());
    y.and_then(|y| y.parse().ok()).unwrap_or(0.0)
}

impl Suit {
    /// Adds the cuts of one lay. Under a cut through two plies lies its mirror image about the fold.
    fn read(&mut self, lay: &Value, face: &str) {
        let seen = lay["face"].as_str();
        let faceless = ["canvas", "felt", "pocketing"].contains(&lay["material"].as_str().unwrap());
        assert_eq!(seen, (!faceless).then_some(face), "{}", lay["material"]);
        let turned = match seen {
            Some("down") => Affine::FLIP_X,
            _ => Affine::IDENTITY,
        };
        let fold = lay["cloth_width_mm"].as_f64().unwrap();
        for placed in lay["placements"].as_array().unwrap() {
            let matrix = placed["matrix"].as_array().unwrap();
            let matrix: Vec<f64> = matrix.iter().map(|n| n.as_f64().unwrap()).collect();
            let placing = Affine::new(matrix.try_into().unwrap());
            let mut plies = vec![placing];
            if placed["plies"] == 2 && placed["on_fold"] != true {
                plies.push(Affine::reflect(Point::new(fold, 0.0), (0.0, 1.0)) * placing);
            }
            self.cuts.extend(plies.into_iter().map(|on_cloth| Cut {
                piece: placed["piece"].as_u64().unwrap() as usize,
                on_cloth,
                on_face: turned * on_cloth,
            }));
        }
    }

    fn piece(&self, cut: &Cut) -> &Piece {
        &self.pattern.pieces[cut.piece]
    }

    fn drafted(&self, piece: &Piece) -> &DraftPiece {
        let draft = self.drafts.iter().find(|d| d.garment == piece.garment);
        let mut pieces = draft.unwrap().pieces.iter();
        pieces.find(|own| own.name == piece.name).unwrap()
    }

    /// The cuts of a piece of a garment that are worn on that side, or on both where they do not tell. `inward`:
    /// its face looks to the body, so that as it is drawn, on the right half seen from outside, it is the left.
    fn worn(&self, garment: &str, name: &str, side: Side, inward: bool) -> Vec<Cut> {
        let own = |cut: &&Cut| {
            let piece = self.piece(cut);
            let drawn = cut.on_face * self.drafted(piece).as_drafted();
            let right = (drawn.determinant() > 0.0) != inward;
            let is = if right { Side::Right } else { Side::Left };
            piece.garment == garment && piece.name == name && is == side
        };
        self.cuts.iter().filter(own).copied().collect()
    }

    /// From the frame of the draft to what is seen on the face of a cut, with what was down in the draft down.
    fn upright(&self, cut: &Cut) -> Affine {
        let drawn = cut.on_face * self.drafted(self.piece(cut)).as_drafted();
        let down = drawn * Point::new(0.0, 1.0) - drawn * Point::ZERO;
        Affine::rotate(std::f64::consts::FRAC_PI_2 - down.atan2()) * drawn
    }

    /// What a region of the draft differs by, mm², on two cuts that are laid on each other: face to face, or
    /// both with their faces the same way. They are turned as they may be on a table, not over.
    fn differ(&self, region: &[Point], a: &Cut, b: &Cut, face_to_face: bool) -> f64 {
        let over = if face_to_face {
            Affine::FLIP_X
        } else {
            Affine::IDENTITY
        };
        let on_a = centred(region.iter().map(|p| over * self.upright(a) * *p));
        let on_b = centred(region.iter().map(|p| self.upright(b) * *p));
        difference(&on_a, &on_b)
    }
}

/// Corners moved so that the middle of their area is at the origin.
fn centred(corners: impl Iterator<Item = Point>) -> Vec<Point> {
    let corners: Vec<Point> = corners.collect();
    let (mut area, mut middle) = (0.0, Vec2::ZERO);
    for (i, p) in corners.iter().enumerate() {
        let q = corners[(i + 1) % corners.len()];
        let cross = p.to_vec2().cross(q.to_vec2());
        area += cross / 2.0;
        middle += (p.to_vec2() + q.to_vec2()) * cross / 6.0;
    }
    let middle = middle / area;
    corners.into_iter().map(|p| p - middle).collect()
}

fn difference(a: &[Point], b: &[Point]) -> f64 {
    let plain = |c: &[Point]| -> Vec<[f64; 2]> { c.iter().map(|p| [p.x, p.y]).collect() };
    let left = plain(a).overlay(&plain(b), OverlayRule::Xor, FillRule::EvenOdd);
    let area = |c: &Vec<[f64; 2]>| {
        let next = c.iter().cycle().skip(1);
        let twice: f64 = (c.iter().zip(next))
            .map(|(p, q)| p[0] * q[1] - q[0] * p[1])
            .sum();
        twice / 2.0
    };
    let sum = |shape: &Vec<Vec<[f64; 2]>>| shape.iter().map(area).sum::<f64>().abs();
    left.iter().map(sum).sum()
}

fn corners(path: &BezPath) -> Vec<Point> {
    let mut corners: Vec<Point> = Vec::new();
    kurbo::flatten(path, 0.01, |element| corners.extend(element.end_point()));
    corners.dedup_by(|a, b| a.distance(*b) < 1e-6);
    corners
}

/// The seam line of a piece as it was drawn; of one that is folded, the part below its fold.
fn seen_part(suit: &Suit, piece: &Piece) -> Vec<Point> {
    let drawn = suit.drafted(piece).as_drafted();
    let seam: Vec<Point> = corners(&piece.seam).iter().map(|p| drawn * *p).collect();
    let Some(fold) = piece.marks.iter().find(|mark| mark.name == "fold") else {
        return seam;
    };
    let fold = corners(&fold.path);
    let (a, b) = (drawn * fold[0], drawn * fold[1]);
    let (a, b) = (a - (b - a) * 9.0, b + (b - a) * 9.0);
    let down = Vec2::new(0.0, 1e3);
    let below = [a, b, b + down, a + down].map(|p| [p.x, p.y]).to_vec();
    let seam: Vec<[f64; 2]> = seam.iter().map(|p| [p.x, p.y]).collect();
    let part = seam.overlay(&below, OverlayRule::Intersect, FillRule::NonZero);
    part[0][0].iter().map(|p| Point::new(p[0], p[1])).collect()
}

/// How a piece is sewn to another: the side on which it is worn, whether its face and its partner's look inward,
/// to the body. Common practice, no source.
struct Sewn {
    garment: &'static str,
    piece: &'static str,
    partner: &'static str,
    side: Side,
    inward: bool,
    partner_inward: bool,
}

const fn sewn(
    garment: &'static str,
    piece: &'static str,
    inward: bool,
    partner: &'static str,
    partner_inward: bool,
    side: Side,
) -> Sewn {
    Sewn {
        garment,
        piece,
        partner,
        side,
        inward,
        partner_inward,
    }
}

const OUT: bool = false;
const IN: bool = true;

/// Whatever is cut for one side alone, by what it is sewn to.
const SINGLE: [Sewn; 14] = [
    sewn("jacket", "breast welt", OUT, "forepart", OUT, Side::Left),
    sewn(
        "jacket",
        "breast welt facing",
        IN,
        "breast welt",
        OUT,
        Side::Left,
    ),
    sewn(
        "jacket",
        "breast pocket bearer",
        OUT,
        "forepart",
        OUT,
        Side::Left,
    ),
    sewn("jacket", "breast patch", OUT, "forepart", OUT, Side::Left),
    sewn(
        "jacket",
        "breast patch lining",
        IN,
        "breast patch",
        OUT,
        Side::Left,
    ),
    sewn("jacket", "ticket flap", OUT, "forepart", OUT, Side::Right),
    sewn(
        "jacket",
        "ticket flap lining",
        IN,
        "ticket flap",
        OUT,
        Side::Right,
    ),
    sewn(
        "jacket",
        "ticket pocket bearer",
        OUT,
        "forepart",
        OUT,
        Side::Right,
    ),
    sewn(
        "jacket",
        "inside pocket bearer",
        IN,
        "forepart lining",
        IN,
        Side::Left,
    ),
    sewn("jacket", "back lining, left", IN, "back", OUT, Side::Left),
    sewn("jacket", "back lining, right", IN, "back", OUT, Side::Right),
    sewn("trousers", "fly facing", IN, "top side", OUT, Side::Left),
    sewn(
        "trousers",
        "buttonhole stand",
        IN,
        "fly facing",
        IN,
        Side::Left,
    ),
    sewn("trousers", "fly catch", OUT, "top side", OUT, Side::Right),
];

/// Where the sides differ, each of these is cut by itself.
const BOTH: [Sewn; 7] = [
    sewn("jacket", "facing", IN, "forepart", OUT, Side::Left),
    sewn("jacket", "forepart lining", IN, "forepart", OUT, Side::Left),
    sewn("jacket", "under sleeve", IN, "top sleeve", OUT, Side::Left),
    sewn(
        "jacket",
        "under sleeve lining",
        OUT,
        "top sleeve lining",
        IN,
        Side::Left,
    ),
    sewn(
        "jacket",
        "side body lining",
        IN,
        "side body",
        OUT,
        Side::Left,
    ),
    sewn("trousers", "under side", IN, "top side", OUT, Side::Left),
    sewn(
        "trousers",
        "side pocket bearer",
        OUT,
        "top side",
        OUT,
        Side::Left,
    ),
];

/// Suits that between them have every piece that is cut for one side.
fn suits() -> [String; 3] {
    let with = |text: &str, changes: &[(&str, &str)]| {
        let mut text = text.to_owned();
        for (garment, line) in changes {
            let key = line.split(' ').next().unwrap();
            let (head, rest) = text.split_once(&format!("[{garment}]\n")).unwrap();
            let (own, after) = match rest.split_once("\n[") {
                Some((own, after)) => (own, format!("\n[{after}")),
                None => (rest, String::new()),
            };
            let kept = own.lines().filter(|l| l.split(' ').next() != Some(key));
            let kept: Vec<&str> = kept.collect();
            text = format!("{head}[{garment}]\n{line}\n{}\n{after}", kept.join("\n"));
        }
        text
    };
    [
        with(
            PLAIN,
            &[
                ("jacket", "breast_pocket = \"curved\""),
                ("jacket", "ticket_pocket = \"plain\""),
                ("jacket", "vent = \"centre\""),
                ("jacket", "lining = \"full\""),
                ("jacket", "inside_pocket = \"left\""),
                ("trousers", "fly = \"buttons\""),
            ],
        ),
        with(
            PLAIN,
            &[
                ("jacket", "breast_pocket = \"patch\""),
                ("trousers", "fly = \"zip\""),
            ],
        ),
        with(
            PLAIN,
            &[
                ("jacket", "breast_pocket = \"welt\""),
                ("trousers", "dress = \"left\""),
            ],
        ),
    ]
}

#[test]
fn what_is_cut_for_one_side_fits_what_it_is_sewn_to() {
    let mut met = std::collections::BTreeSet::new();
    for (face, layout) in [
        ("down", "open"),
        ("up", "open"),
        ("down", "doubled"),
        ("up", "doubled"),
    ] {
        // Every way for the first, which has the most such pieces.
        let all = (face == "down") == (layout == "open");
        let suits = suits().into_iter().take(if all { 3 } else { 1 });
        for text in suits {
            let suit = cut(&text, face, layout);
            forepart_is_of_its_side(&suit);
            for of in &SINGLE {
                let found = suit.cuts.iter().find(|cut| {
                    let piece = suit.piece(cut);
                    let single = piece.side == Some(of.side);
                    single && piece.garment == of.garment && piece.name == of.piece
                });
                let partners = suit.worn(of.garment, of.partner, of.side, of.partner_inward);
                let (Some(one), [partner]) = (found, &partners[..]) else {
                    continue;
                };
                let region = seen_part(&suit, suit.piece(one));
                let differ = suit.differ(&region, one, partner, of.inward != of.partner_inward);
                assert!(
                    differ < SAME_SHAPE,
                    "{} on {}, face {face}, {layout}: {differ:.1} mm2",
                    of.piece,
                    of.partner
                );
                met.insert(of.piece);
            }
            lies_on_its_mark(&suit, "breast welt", "breast welt, left side");
            lies_on_its_mark(&suit, "breast patch", "breast patch, left side");
            waistband_runs_to_the_front(&suit);
        }
    }
    let missing = SINGLE.iter().filter(|of| !met.contains(of.piece));
    let missing: Vec<&str> = missing.map(|of| of.piece).collect();
    assert!(missing.is_empty(), "never tried: {missing:?}");
}

/// Seen on its face with the neck up, the front edge of the left forepart is at the left: so the right half is
/// drawn, and so the cuts of a pair are told apart here.
fn forepart_is_of_its_side(suit: &Suit) {
    for (side, sign) in [(Side::Left, -1.0), (Side::Right, 1.0)] {
        let cuts = suit.worn("jacket", "forepart", side, OUT);
        let [cut] = &cuts[..] else {
            panic!("{} foreparts", cuts.len())
        };
        let edges = &suit.drafted(suit.piece(cut)).edges;
        let middle = |name: &str| {
            let edge = edges.iter().find(|edge| edge.name == name).unwrap();
            (suit.upright(cut) * edge.path.bounding_box().center()).x
        };
        assert!((middle("front edge") - middle("scye")) * sign > 50.0);
    }
}

/// A welt or a patch, laid grain on grain, covers the mark on the forepart of its side.
fn lies_on_its_mark(suit: &Suit, name: &str, mark: &str) {
    let Some(one) = suit.cuts.iter().find(|cut| suit.piece(cut).name == name) else {
        return;
    };
    let fore = suit.worn("jacket", "forepart", Side::Left, OUT)[0];
    let along_grain = |cut: &Cut| {
        let (a, b) = suit.piece(cut).grain;
        let way = cut.on_face * b - cut.on_face * a;
        Affine::rotate(std::f64::consts::FRAC_PI_2 - way.atan2()) * cut.on_face
    };
    let marks = &suit.piece(&fore).marks;
    let mark = marks.iter().find(|own| own.name == mark).unwrap();
    let mut place = mark.path.clone();
    place.close_path();
    let place = centred(corners(&place).into_iter().map(|p| along_grain(&fore) * p));
    let back = suit.drafted(suit.piece(one)).as_drafted();
    let shown = seen_part(suit, suit.piece(one));
    let shown = centred(shown.into_iter().map(|p| along_grain(one) * back * p));
    // Which end of its grain is up is another matter.
    let turned: Vec<Point> = shown.iter().map(|p| (-p.to_vec2()).to_point()).collect();
    let differ = difference(&place, &shown).min(difference(&place, &turned));
    assert!(
        differ < SAME_SHAPE,
        "{name} differs from its mark by {differ:.1} mm2"
    );
}

/// Seen on its face with its seam below, the left waistband runs from the front at the left to the back.
fn waistband_runs_to_the_front(suit: &Suit) {
    for (side, sign) in [("left", -1.0), ("right", 1.0)] {
        let name = format!("waistband, {side}");
        let cut = suit
            .cuts
            .iter()
            .find(|cut| suit.piece(cut).name == name)
            .unwrap();
        let at = |edge: &str| {
            let edges = &suit.drafted(suit.piece(cut)).edges;
            let edge = edges.iter().find(|own| own.name == edge).unwrap();
            cut.on_face * edge.path.bounding_box().center()
        };
        // To the right of the way from the seam up.
        let up = at("upper") - at("lower");
        let front = at("end") - at("centre back");
        assert!(up.cross(front) * sign > 0.0, "{name} runs the other way");
    }
    for (name, sign) in [("left top side", -1.0), ("right top side", 1.0)] {
        let Some(cut) = suit.cuts.iter().find(|cut| suit.piece(cut).name == name) else {
            continue;
        };
        let edges = &suit.drafted(suit.piece(cut)).edges;
        let at = |edge: &str| {
            let edge = edges.iter().find(|own| own.name == edge).unwrap();
            cut.on_face * edge.path.bounding_box().center()
        };
        let down = at("hem") - at("front");
        let front = at("front") - at("outside leg");
        assert!(
            down.cross(front) * sign < 0.0,
            "{name} has its fly at the other side"
        );
    }
}

#[test]
fn where_the_sides_differ_each_piece_is_of_its_side() {
    let text = THREE.replace("[cloth]\n", "[figure]\nsloping_shoulders = { left = 0, right = 1.5 }\nhigh_hip = { left = 0, right = 1 }\n\n[cloth]\n");
    for face in ["down", "up"] {
        let suit = cut(&text, face, "open");
        let mut tried = 0;
        for of in &BOTH {
            for hand in ["left", "right"] {
                let own = |name: &str| {
                    let name = format!("{name}, {hand}");
                    let is = |cut: &&Cut| {
                        let piece = suit.piece(cut);
                        piece.garment == of.garment && piece.name == name
                    };
                    suit.cuts.iter().find(is)
                };
                let (Some(one), Some(partner)) = (own(of.piece), own(of.partner)) else {
                    continue;
                };
                let region = seen_part(&suit, suit.piece(one));
                let differ = suit.differ(&region, one, partner, of.inward != of.partner_inward);
                assert!(
                    differ < SAME_SHAPE,
                    "{}, {hand}, face {face}: {differ:.1} mm2",
                    of.piece
                );
                tried += 1;
            }
        }
        assert!(tried >= 10, "{tried}");
    }
}

/// How far two places of the cloth lie apart on its pattern, mm.
fn miss(apart: f64, repeat: f64) -> f64 {
    let miss = apart.rem_euclid(repeat);
    miss.min(repeat - miss)
}

#[test]
fn a_check_runs_through_on_both_sides() {
    let uneven = "[figure]\nsloping_shoulders = { left = 0, right = 1.5 }\n\n[cloth]\n";
    let patch = CHECK.replace("[jacket]\n", "[jacket]\nbreast_pocket = \"patch\"\n");
    for (text, face, layout) in [
        (CHECK.replace("[cloth]\n", uneven), "down", "open"),
        (CHECK.replace("[cloth]\n", uneven), "up", "open"),
        (patch, "down", "open"),
        (CHECK.to_owned(), "up", "doubled"),
        (CHECK.to_owned(), "down", "doubled"),
    ] {
        let suit = cut(&text, face, layout);
        let tried = sleeves_meet(&suit) + pockets_meet(&suit) + sides_meet(&suit);
        assert!(
            tried >= 8,
            "{tried} places were looked at, face {face}, {layout}"
        );
    }
}

/// The cuts of a piece, pair or divided, worn on a side.
fn of_side(suit: &Suit, name: &str, side: Side) -> Vec<Cut> {
    let hand = if side == Side::Left { "left" } else { "right" };
    let sided = format!("{name}, {hand}");
    let own = |cut: &&Cut| {
        let piece = suit.piece(cut);
        let single = piece.side == Some(side) && (piece.name == name || piece.name == sided);
        piece.garment == "jacket" && single
    };
    let single: Vec<Cut> = suit.cuts.iter().filter(own).copied().collect();
    if single.is_empty() {
        suit.worn("jacket", name, side, OUT)
    } else {
        single
    }
}

/// Sleeve and forepart bear a notch at the front pitch; the bars run through it.
fn sleeves_meet(suit: &Suit) -> usize {
    let mut tried = 0;
    for side in [Side::Left, Side::Right] {
        let pitch = |name: &str| {
            let cut = of_side(suit, name, side)[0];
            let notches = &suit.piece(&cut).notches;
            let notch = notches.iter().find(|notch| notch.name == "front pitch");
            cut.on_cloth * notch.unwrap().seam
        };
        let apart = miss(pitch("forepart").y - pitch("top sleeve").y, suit.repeat.y);
        assert!(apart < 0.5, "front pitch, {side:?}: {apart:.2} mm");
        tried += 1;
    }
    tried
}

/// What lies on a forepart shows what that shows under it, at all of its corners.
fn pockets_meet(suit: &Suit) -> usize {
    let mut tried = 0;
    for (name, sides) in [
        ("flap", &[Side::Left, Side::Right][..]),
        ("ticket flap", &[Side::Right]),
        ("breast welt", &[Side::Left]),
        ("breast patch", &[Side::Left]),
    ] {
        for side in sides {
            let Some(one) = of_side(suit, name, *side).first().copied() else {
                continue;
            };
            let fore = of_side(suit, "forepart", *side)[0];
            // One that is laid head to foot is turned about the crossing of two bars.
            let place = |cut: &Cut, p: Point| {
                let drawn = cut.on_cloth * suit.drafted(suit.piece(cut)).as_drafted();
                let down = (drawn * Point::new(0.0, 1.0) - drawn * Point::ZERO).y;
                (drawn * p - suit.pattern_at) * down.signum()
            };
            for p in seen_part(suit, suit.piece(&one)) {
                let apart = place(&one, p) - place(&fore, p);
                let (x, y) = (miss(apart.x, suit.repeat.x), miss(apart.y, suit.repeat.y));
                assert!(
                    x < 0.5 && y < 0.5,
                    "{name}, {side:?}: {x:.2} across, {y:.2} along"
                );
            }
            tried += 1;
        }
    }
    tried
}

/// Left and right lie on the pattern as each other's mirror image, at the centre front and the centre back.
fn sides_meet(suit: &Suit) -> usize {
    let mut tried = 0;
    for m in &suit.pattern.matches {
        let name = &suit.pattern.pieces[m.piece].name;
        let pair = name.trim_end_matches(", right");
        if !m.name.starts_with("centre") || suit.pattern.pieces[m.piece].garment != "jacket" {
            continue;
        }
        let (right, left) = (
            of_side(suit, pair, Side::Right)[0],
            of_side(suit, pair, Side::Left)[0],
        );
        let (a, b) = (right.on_cloth * m.at, left.on_cloth * m.partner_at);
        let across = miss(a.x + b.x - 2.0 * suit.pattern_at.x, suit.repeat.x);
        let along = miss(a.y - b.y, suit.repeat.y);
        assert!(
            across < 0.5 && along < 0.5,
            "{}: {across:.2}, {along:.2} mm",
            m.name
        );
        tried += 1;
    }
    tried
}
