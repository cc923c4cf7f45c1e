//! What the inlays of the house are worth at a baste.

use super::dimensions::{DIMENSIONS, Fit};
use chalkstripe::order::{House, HouseValue};

/// What a baste can let out of a dimension.
struct Inlay {
    dimension: &'static str,
    /// The allowances it is let out of: the name, where along its edge, and on how many edges.
    of: &'static [(&'static str, usize, f64)],
    /// Whether it is let out up to the ease that is meant, or up to the least.
    to_meant: bool,
}

const INLAYS: &[Inlay] = &[
    Inlay {
        dimension: "across back",
        of: &[("centre_back", 1, 2.0)],
        to_meant: true,
    },
    Inlay {
        dimension: "sleeve length",
        of: &[("sleeve_hem", 0, 1.0)],
        to_meant: true,
    },
    Inlay {
        dimension: "sleeve girth",
        of: &[("hindarm_under", 0, 1.0)],
        to_meant: false,
    },
    Inlay {
        dimension: "inside leg",
        of: &[("trouser_hem", 0, 1.0)],
        to_meant: true,
    },
    Inlay {
        dimension: "thigh",
        of: &[
            ("inside_leg_back", 0, 1.0),
            ("outside_leg", 0, 1.0),
            ("outside_leg_back", 0, 1.0),
        ],
        to_meant: false,
    },
    Inlay {
        dimension: "fork run",
        of: &[("inside_leg_back", 0, 1.0), ("waist_back", 0, 1.0)],
        to_meant: false,
    },
];

/// Prints what the inlays of the house are worth.
pub(crate) fn inlays(drafted: &[Fit]) {
    let house = House::built_in().unwrap_or_else(|fault| panic!("{fault}"));
    let share = |test: &dyn Fn(&Fit) -> bool| {
        100.0 * drafted.iter().filter(|fit| test(fit)).count() as f64 / drafted.len().max(1) as f64
    };
    for inlay in INLAYS {
        let (left, short) = (inlay.left(&house), |fit: &Fit| inlay.wanted(fit));
        let too_small = share(&|fit| short(fit) > left);
        println!(
            "inlay of the {:<16} {left:>3.0} mm, too small for {too_small:.1} %",
            inlay.dimension
        );
    }
    let fits = |fit: &Fit| {
        INLAYS
            .iter()
            .all(|inlay| inlay.wanted(fit) <= inlay.left(&house))
    };
    println!("altered within the inlays: {:.1} %", share(&fits));
}

impl Inlay {
    /// What the house leaves to let out, mm.
    fn left(&self, house: &House) -> f64 {
        let one = |(name, at, edges): &(&str, usize, f64)| {
            let wide = match house.values().get(&format!("allowance.{name}")) {
                Some(HouseValue::Number(cm)) => *cm,
                Some(HouseValue::Along(cm)) => cm.get(*at).copied().unwrap_or_default(),
                _ => 0.0,
            };
            // A hem keeps what it needs to be turned up, a seam its own width.
            let kept = house.number(&format!("inlay.{name}"));
            let kept = kept
                .or_else(|| house.number("baste.least_hem"))
                .unwrap_or_default();
            10.0 * edges * (wide - kept)
        };
        self.of.iter().map(one).sum()
    }

    /// How much a man drafted from five measures wants of it, mm.
    fn wanted(&self, fit: &Fit) -> f64 {
        let own = DIMENSIONS.iter().find(|d| d.name == self.dimension);
        let both = own.and_then(|d| Some((d, fit.over(d)?)));
        both.map_or(0.0, |(dimension, over)| {
            let to = if self.to_meant {
                dimension.meant
            } else {
                dimension.least
            };
            to - over
        })
    }
}
