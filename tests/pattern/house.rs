//! The house's allowances against published inlays.
//!
//! W. D. F. Vincent, *Vincent's Systems of Cutting All Kinds of Tailor-Made Garments* (London, about
//! 1903), 'Cutting from the cloth': the inlays he finds worth leaving, in inches. He leaves them beyond a
//! draft that holds its seams; ours are measured from the seam line, so ours are the narrower by a seam
//! where the numbers agree.

use chalkstripe::order::{House, HouseValue};

/// Ours are whole or half centimetres, an inch is 2.54: this much less is the same inlay.
const ROUNDING: f64 = 0.05;

/// Key, the share of the edge that counts (from, to), inches, what Vincent calls it.
const LEFT: &[(&str, (f64, f64), f64, &str)] = &[
    ("sleeve_hem", (0.0, 1.0), 1.5, "sleeve bottom"),
    ("sleeve_hem", (0.0, 1.0), 1.0, "cuff of under sleeve"),
    ("side_seam_back", (0.0, 1.0), 1.0, "back skirts, each side"),
    ("jacket_hem", (0.0, 1.0), 0.5, "side body bottom"),
    ("shoulder_back", (0.0, 1.0), 0.75, "shoulder"),
    // He leaves it on the top sleeve, we on the under sleeve, where it is not seen.
    ("hindarm_under", (0.0, 1.0), 0.75, "hind of top sleeve"),
    ("trouser_hem", (0.0, 1.0), 1.25, "trouser bottoms"),
    // From the waist to half way down; near the fork it must run out for the curve to lie flat.
    ("seat_seam", (0.0, 0.34), 1.0, "seat seam"),
    (
        "inside_leg_back",
        (0.0, 0.5),
        0.5,
        "top of leg seam to the knee",
    ),
    (
        "waistcoat_side_back",
        (0.0, 1.0),
        1.0,
        "waistcoat side seam of back",
    ),
];

/// Where a house of today leaves less: key, inches, why.
const LESS: &[(&str, f64, &str)] = &[
    (
        "neck",
        0.5,
        "back neck: the collar is drafted to the neck, not fitted to it",
    ),
    (
        "scye",
        0.5,
        "scye, side body top: let out at the side and shoulder instead",
    ),
    (
        "under_arm",
        1.0,
        "forepart side seam: the inlay lies on the back's side seam alone",
    ),
    (
        "outside_leg",
        1.0,
        "trouser side seam: half of it on either side of the seam",
    ),
    ("outside_leg_back", 1.0, "trouser side seam: the other half"),
];

fn along(key: &str) -> Vec<f64> {
    let house = House::built_in().unwrap();
    match house.values().get(&format!("allowance.{key}")) {
        Some(HouseValue::Number(cm)) => vec![*cm],
        Some(HouseValue::Along(all)) => all.clone(),
        other => panic!("allowance.{key} is {other:?}"),
    }
}

#[test]
fn inlays_are_no_less_than_vincent_leaves() {
    for (key, (from, to), inches, what) in LEFT {
        let widths = along(key);
        let last = widths.len().saturating_sub(1).max(1) as f64;
        let counted = widths
            .iter()
            .enumerate()
            .filter(|(i, _)| (*from..=*to).contains(&(*i as f64 / last)));
        let least = counted.map(|(_, cm)| *cm).fold(f64::INFINITY, f64::min);
        assert!(
            least >= inches * 2.54 - ROUNDING,
            "{what}: {key} is {least} cm, {inches} in are left"
        );
    }
}

#[test]
fn where_the_house_leaves_less_it_is_known() {
    for (key, inches, why) in LESS {
        let widest = along(key).into_iter().fold(0.0, f64::max);
        assert!(
            widest < inches * 2.54 - ROUNDING,
            "{key} is no less any more ({why})"
        );
    }
    let both = along("outside_leg")[0] + along("outside_leg_back")[0];
    assert!(
        both >= 2.54,
        "the two sides of the outside leg leave {both} cm"
    );
}
