//! The threads: every grain line runs along the cloth, what is cut on the bias lies at 45 degrees to it, and
//! on cloth with a nap every piece's worn end down points one way.

use kurbo::Vec2;

use super::cloth::faults;
use super::geometry::{bounds, off_upright, square_side};
use super::hands::face_up;
use super::lays::Cut;
use super::orders::none;
use super::sewn::{fits, sewn_on, upper_edge};
use super::worn::{called, down_the_fall, one};

/// How far a piece may lie off the grain besides the tilt that the report tells, in degrees.
const FREE: f64 = 0.5;

/// The tilt that the report tells: what `degrees` is beside an eighth of a turn.
fn tilt(cut: &Cut<'_>) -> f64 {
    let beside = cut.row.degrees.rem_euclid(45.0);
    beside.min(45.0 - beside)
}

/// Small pieces that may lie across the cloth where no nap forbids it (common practice, no source).
const ACROSS: [&str; 7] = ["bag", "jet", "tab", "strap", "loop", "bearer", "curtain"];

#[test]
fn every_grain_line_runs_along_the_cloth() {
    none(faults(|read| {
        let mut found = Vec::new();
        // Felt has no grain.
        for spread in read
            .spreads
            .iter()
            .filter(|spread| spread.lay.material != "felt")
        {
            for cut in &spread.cuts {
                let Some(arrow) = spread.sheet.arrow(cut.part) else {
                    found.push(format!("{}: no arrow along its grain", cut.piece.name));
                    continue;
                };
                let off = off_upright(arrow.direction());
                let may_cross = (spread.lay.material != "cloth" || !read.order.one_way)
                    && ACROSS.iter().any(|word| cut.piece.name.contains(word));
                let off = if may_cross { off.min(90.0 - off) } else { off };
                if off > tilt(cut) + FREE {
                    found.push(format!(
                        "{} in {}: its grain line lies {off:.1} degrees off the warp",
                        cut.piece.name, spread.lay.material
                    ));
                }
                let [from, to] = cut.block.grain[..] else {
                    unreachable!()
                };
                let of_piece = (cut.place * to - cut.place * from).normalize();
                if of_piece.cross(arrow.direction()).abs() > 0.01 {
                    found.push(format!(
                        "{}: the arrow is not the piece's grain line",
                        cut.piece.name
                    ));
                }
            }
        }
        found
    }));
}

/// What is cut on the bias wherever it is of a woven cloth (common practice, no source).
const ON_THE_BIAS: [&str; 3] = ["waistband curtain", "collar canvas", "under-collar"];

/// By the outline as it is drawn on the marker: the long side of a strip, the centre back of half a collar.
#[test]
fn what_is_cut_on_the_bias_lies_at_45_degrees() {
    none(faults(|read| {
        let mut found = Vec::new();
        for spread in read
            .spreads
            .iter()
            .filter(|spread| spread.lay.material != "felt")
        {
            for cut in &spread.cuts {
                let base = cut
                    .piece
                    .name
                    .trim_end_matches(", left")
                    .trim_end_matches(", right");
                if !ON_THE_BIAS.contains(&base) {
                    continue;
                }
                let seam = spread.sheet.seam(cut.part).expect("a seam line");
                let Some(side) = square_side(&seam) else {
                    found.push(format!(
                        "{}: no straight side with square corners",
                        cut.piece.name
                    ));
                    continue;
                };
                let angle = off_upright(side.p1 - side.p0);
                if (angle - 45.0).abs() > tilt(cut) + FREE {
                    found.push(format!(
                        "{} in {}: its edge of {:.0} mm lies at {angle:.1} degrees to the warp",
                        cut.piece.name,
                        spread.lay.material,
                        side.p0.distance(side.p1)
                    ));
                }
            }
        }
        found
    }));
}

#[test]
fn with_a_nap_every_arrow_has_one_head_and_points_one_way() {
    none(faults(|read| {
        let mut found = Vec::new();
        let spread = read.cloth();
        let (mut down, mut up) = (Vec::new(), Vec::new());
        for cut in &spread.cuts {
            let Some(arrow) = spread.sheet.arrow(cut.part) else {
                continue;
            };
            match (read.order.one_way, arrow.both) {
                (true, true) => found.push(format!(
                    "{}: heads at both ends, on cloth whose nap runs one way",
                    cut.piece.name
                )),
                (false, false) => found.push(format!(
                    "{}: one head, on cloth without a nap",
                    cut.piece.name
                )),
                _ => {}
            }
            if arrow.to.y > arrow.from.y {
                down.push(&cut.piece.name);
            } else {
                up.push(&cut.piece.name);
            }
        }
        if read.order.one_way && !down.is_empty() && !up.is_empty() {
            let fewer = if down.len() < up.len() { down } else { up };
            found.push(format!("the other way than the rest point {fewer:?}"));
        }
        found
    }));
}

/// Pieces that are drafted upright, so that their lower end on the DXF's sheet is down as worn (common practice,
/// no source). What is sewn on a forepart is looked at on its mark instead, collars at their crease.
const UPRIGHT: [(&str, &[&str]); 3] = [
    (
        "jacket",
        &[
            "back",
            "side body",
            "forepart",
            "top sleeve",
            "under sleeve",
            "facing",
        ],
    ),
    ("waistcoat", &["forepart", "facing", "back"]),
    (
        "trousers",
        &["top side", "under side", "fly facing", "fly catch"],
    ),
];

#[test]
fn with_a_nap_every_piece_hangs_the_way_of_its_forepart() {
    none(faults(|read| {
        let mut found = Vec::new();
        if !read.order.one_way {
            return found;
        }
        let face_up = face_up(read);
        let cloth = read.cloth();
        let mut way: Option<f64> = None;
        let mut against = |name: &str, down: Vec2| {
            let first = *way.get_or_insert(down.y);
            (down.y * first < 0.0).then(|| {
                format!("{name}: its worn lower end points the other way than the first forepart's")
            })
        };
        for (garment, names) in UPRIGHT {
            for name in names {
                for piece in called(cloth, garment, name, face_up) {
                    let middle = bounds(&piece.block().seam).center();
                    let down = piece.seen * (middle + Vec2::new(0.0, 1.0)) - piece.seen * middle;
                    found.extend(against(&piece.cut.piece.name, down));
                }
            }
        }
        for name in ["top collar", "collar fall"] {
            for piece in called(cloth, "jacket", name, face_up) {
                match down_the_fall(piece.block()) {
                    Some(down) => {
                        let origin = piece.seen * kurbo::Point::ZERO;
                        found.extend(against(
                            &format!("{name}, down its fall"),
                            piece.seen * down.to_point() - origin,
                        ));
                    }
                    None => found.push(format!("{name}: no crease across its centre back")),
                }
            }
        }
        // A welt or a patch that fits its mark only head to foot is worn with its nap upwards.
        for (garment, name, side, pieces) in sewn_on(read, face_up) {
            let foreparts = called(cloth, garment, "forepart", face_up);
            let Some(forepart) = one(&foreparts, side).filter(|_| !name.ends_with("flap")) else {
                continue;
            };
            let off = |ways: [usize; 2]| {
                let fits = pieces.iter().flat_map(|piece| {
                    let fits = fits(piece, forepart);
                    ways.map(|index| fits[index].1.off)
                });
                fits.fold(f64::MAX, f64::min)
            };
            // Of either hand: that is another test's.
            let (upright, turned) = (off([0, 2]), off([1, 3]));
            if upright > 0.3 && turned < upright {
                found.push(format!("{name} on the {side:?} forepart lies head to foot ({turned:.2} mm off so, {upright:.2} mm upright)"));
            }
        }
        // A flap hangs from its longest side.
        for name in ["flap", "ticket flap"] {
            for flap in called(cloth, "jacket", name, face_up) {
                let [a, b] = upper_edge(flap.block());
                let down = bounds(&flap.block().seam).center() - a.midpoint(b);
                let origin = flap.seen * kurbo::Point::ZERO;
                found.extend(against(name, flap.seen * down.to_point() - origin));
            }
        }
        found
    }));
}
