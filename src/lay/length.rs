//! The length to order for a lay.

use super::outcome::Lay;
use crate::order::{Cloth, House, HouseNumber};

/// How cloth is bought. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Buying {
    /// Length left over for straightening the ends.
    pub ends: f64,
    /// Lengthwise shrinkage as a fraction of the length bought.
    pub shrinkage: f64,
    /// Step by which the merchant sells.
    pub step: f64,
}

impl Buying {
    /// Takes the house's ends and step, and the cloth's own shrinkage.
    pub fn new(house: &House, cloth: &Cloth) -> Self {
        Self {
            ends: house.value(HouseNumber::ClothEnds),
            shrinkage: cloth.shrinkage,
            step: house.value(HouseNumber::ClothStep),
        }
    }
}

/// The length to order, and the sum that gives it.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderLength {
    /// Length to order, mm.
    pub length: f64,
    /// The sum in words.
    pub how: String,
}

/// Works out the length to order for a lay: what it takes of the long cloth and the ends, with what the cloth
/// will lose by shrinking, rounded up to the merchant's step.
pub fn order_length(lay: &Lay, buying: &Buying) -> OrderLength {
    if !lay.at_hand.is_empty() && lay.bought <= 0.0 {
        return OrderLength {
            length: 0.0,
            how: "the pieces in stock are enough".to_owned(),
        };
    }
    let net = lay.bought + buying.ends;
    let shrunk = net * (1.0 + buying.shrinkage);
    // A hair over a step is no reason to buy another.
    let steps = ((shrunk - 0.01) / buying.step).ceil().max(0.0);
    let length = if lay.placements.is_empty() {
        0.0
    } else {
        steps * buying.step
    };
    let cm = |mm: f64| mm / 10.0;
    let how = format!(
        "{}lay {:.1} cm + ends {:.1} cm + shrinkage {:.1} % ({:.1} cm) = {:.1} cm, rounded up to {:.0} cm: {:.2} m",
        if lay.at_hand.is_empty() {
            ""
        } else {
            "besides the pieces in stock: "
        },
        cm(lay.bought),
        cm(buying.ends),
        buying.shrinkage * 100.0,
        cm(shrunk - net),
        cm(shrunk),
        cm(buying.step),
        length / 1000.0
    );
    OrderLength { length, how }
}
