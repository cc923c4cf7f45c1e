//! Left and right: pairs once of each hand, single pieces of the hand that their side of the body asks for on
//! cloth that lies as the sheets say.

use std::collections::BTreeMap;

use kurbo::Affine;

use super::cloth::faults;
use super::geometry::{apart, moved, onto};
use super::lays::Read;
use super::orders::{Lay, none};
use super::sewn::{fits, hangs, sewn_on};
use super::worn::{Side, Worn, called, centre_front, front_of, front_pitch_of_sleeve, nape, one};

/// Whether a material's face is up, as the report says of its lay: in any of its keys that speaks of the face.
fn stated_face(lay: &Lay) -> Result<bool, String> {
    let stated = lay.rest.iter().find(|(key, _)| key.contains("face"));
    let (key, value) = stated.ok_or("report.json does not say which side of the cloth is up")?;
    match value.as_str() {
        Some(words) if words.contains("up") => Ok(true),
        Some(words) if words.contains("down") => Ok(false),
        _ => Err(format!(
            "report.json says of the cloth {key}: {value}, neither up nor down"
        )),
    }
}

/// The same of the cloth, face up where nothing says so; that is told by a test of its own.
pub(super) fn face_up(read: &Read<'_>) -> bool {
    stated_face(read.cloth().lay).unwrap_or(true)
}

#[test]
fn the_side_of_the_cloth_that_is_up_is_told() {
    none(faults(|read| {
        let mut found = Vec::new();
        let stated = stated_face(read.cloth().lay);
        let words = ["face up", "face down"].map(str::to_owned);
        if let Err(fault) = &stated {
            found.push(fault.clone());
        }
        let wanted: Vec<&String> = match stated {
            Ok(true) => words[..1].iter().collect(),
            Ok(false) => words[1..].iter().collect(),
            Err(_) => words.iter().collect(),
        };
        let mut sheets = vec![("order.html", super::agreement::page(read.order))];
        sheets.extend(super::agreement::ticket(read.order).map(|text| ("ticket.pdf", text)));
        for (sheet, text) in sheets {
            if !wanted
                .iter()
                .any(|face| text.to_lowercase().contains(*face))
            {
                found.push(format!("{sheet} does not say {wanted:?}"));
            }
        }
        found
    }));
}

#[test]
fn pairs_lie_once_of_each_hand() {
    none(faults(|read| {
        let mut hands: BTreeMap<usize, (u32, u32)> = BTreeMap::new();
        for cut in read.spreads.iter().flat_map(|spread| &spread.cuts) {
            let (drawn, mirrored) = hands.entry(cut.index).or_default();
            match (cut.row.plies, cut.mirrored()) {
                (2, _) => {
                    *drawn += 1;
                    *mirrored += 1;
                }
                (_, false) => *drawn += 1,
                (_, true) => *mirrored += 1,
            }
        }
        let pairs = hands
            .iter()
            .filter(|(index, _)| read.order.report.pieces[**index].pairs);
        let uneven = pairs.filter(|(_, (drawn, mirrored))| drawn != mirrored);
        let told = uneven.map(|(index, counts)| {
            format!(
                "{}: of the two hands {counts:?}",
                read.order.report.pieces[*index].name
            )
        });
        told.collect()
    }));
}

/// The side of the body that a piece's shape is for, seen from its face and the right way up: its front (or a
/// back's centre) is to the one hand or the other.
fn side_by_shape(piece: &Worn<'_>, front: f64, to_front: bool) -> Side {
    // What is to the right on the block, as the face shows it, against what is down there.
    let turned = piece.seen.determinant() * front;
    if (turned > 0.0) == to_front {
        Side::Right
    } else {
        Side::Left
    }
}

/// Seen from outside, the right forepart has its front to the right, the right back its centre to the left.
#[test]
fn pieces_of_a_side_are_of_its_hand() {
    none(faults(|read| {
        let mut found = Vec::new();
        let face_up = face_up(read);
        let cloth = read.cloth();
        for (name, to_front) in [("forepart", true), ("top sleeve", true), ("back", false)] {
            let pieces = called(cloth, "jacket", name, face_up);
            let mut sides = Vec::new();
            for piece in &pieces {
                let block = piece.block();
                let front = match name {
                    "forepart" => centre_front(block),
                    "top sleeve" => front_pitch_of_sleeve(block),
                    _ => nape(block),
                };
                let Some(front) = front else {
                    found.push(format!("{}: no front in its marks", piece.cut.piece.name));
                    continue;
                };
                let side = side_by_shape(piece, front_of(block, front), to_front);
                sides.push(side);
                if side != piece.side() {
                    found.push(format!(
                        "{} has the shape of the {side:?} side",
                        piece.cut.piece.name
                    ));
                }
            }
            sides.sort();
            if sides != [Side::Left, Side::Right] {
                found.push(format!("{name}: cut for {sides:?}"));
            }
        }
        // What has a side by its name is cut as drafted, or all of it mirrored.
        let named: Vec<_> = read
            .spreads
            .iter()
            .flat_map(|spread| &spread.cuts)
            .filter(|cut| {
                cut.piece.material == "cloth"
                    && (cut.piece.name.ends_with(", left") || cut.piece.name.ends_with(", right"))
                    && cut.row.plies == 1
            })
            .collect();
        let odd = named.iter().filter(|cut| cut.mirrored() == face_up);
        found.extend(odd.map(|cut| {
            format!(
                "{} is cut of the wrong hand for cloth face {}",
                cut.piece.name,
                if face_up { "up" } else { "down" }
            )
        }));
        found
    }));
}

/// What is sewn on a forepart has the shape of its mark there when both show their face, turned no way: of the
/// hand of its side, and its top up.
#[test]
fn what_is_sewn_on_a_forepart_fits_its_mark() {
    none(faults(|read| {
        let mut found = Vec::new();
        let face_up = face_up(read);
        for (garment, name, side, pieces) in sewn_on(read, face_up) {
            let foreparts = called(read.cloth(), garment, "forepart", face_up);
            let Some(forepart) = one(&foreparts, side) else {
                found.push(format!("{garment}: no {side:?} forepart"));
                continue;
            };
            if name.ends_with("flap") {
                let hung = pieces.iter().filter_map(|flap| hangs(flap, forepart));
                let best = hung.map(|fit| fit.off).fold(f64::MAX, f64::min);
                if best > 0.3 {
                    found.push(format!(
                        "{name}: {best:.2} mm off the mouth of the {side:?} forepart"
                    ));
                }
                continue;
            }
            let best = |way: usize| {
                let fits = pieces.iter().map(|piece| fits(piece, forepart)[way]);
                fits.min_by(|a, b| a.1.off.total_cmp(&b.1.off))
                    .expect("a piece")
            };
            let as_it_lies = best(0).1.off;
            // A nap or none: what is turned head to foot with its forepart's way is worn head to foot.
            let turned = best(1).1.off;
            let may_turn = !read.order.one_way && !read.order.check;
            if as_it_lies > 0.3 && !(may_turn && turned <= 0.3) {
                let (way, fit) = (1..4)
                    .map(best)
                    .min_by(|a, b| a.1.off.total_cmp(&b.1.off))
                    .expect("ways");
                found.push(format!("{name} does not fit its mark on the {side:?} forepart: {as_it_lies:.2} mm off as it lies, {:.2} mm {way}", fit.off));
            }
        }
        found
    }));
}

/// A piece and what is sewn to it face to face, of the same net shape: the one is the other's mirror image
/// (common practice, no source).
const FACE_TO_FACE: [(&str, &str); 2] = [
    ("breast welt", "breast welt facing"),
    ("ticket flap", "ticket flap lining"),
];

#[test]
fn single_pieces_that_are_sewn_face_to_face_are_of_two_hands() {
    none(faults(|read| {
        let mut found = Vec::new();
        for (outer, inner) in FACE_TO_FACE {
            let seen = |name: &str| {
                let each = read.spreads.iter().flat_map(|spread| {
                    let face_up = stated_face(spread.lay).unwrap_or(true);
                    called(spread, "jacket", name, face_up)
                });
                each.map(|piece| moved(&piece.block().seam, piece.seen))
                    .next()
            };
            let (Some(outer_seam), Some(inner_seam)) = (seen(outer), seen(inner)) else {
                continue;
            };
            let off = |way: Affine| {
                let turned = moved(&inner_seam, way);
                let step = Affine::translate(onto(&turned, &outer_seam));
                apart(&moved(&turned, step), &outer_seam)
            };
            // Linings may be turned head to foot.
            let mirrored = off(Affine::FLIP_X).min(off(Affine::FLIP_Y));
            if mirrored > 0.3 {
                let same = off(Affine::IDENTITY).min(off(Affine::rotate(std::f64::consts::PI)));
                found.push(format!(
                    "{inner} turned face to face is {mirrored:.2} mm off {outer}, and {same:.2} mm with its face outwards"
                ));
            }
        }
        found
    }));
}
