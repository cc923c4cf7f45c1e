//! The length to order for a lay.

use super::outcome::Lay;
use crate::order::{Cloth, House, HouseNumber};
use crate::units::{Unit, decimal};

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
    /// Takes the house's ends, its step for cloth that is bought in `unit`, and the cloth's own shrinkage.
    pub fn new(house: &House, cloth: &Cloth, unit: Unit) -> Self {
        let step = match unit {
            Unit::Cm => HouseNumber::ClothStep,
            Unit::Inch => HouseNumber::ClothStepYards,
        };
        Self {
            ends: house.value(HouseNumber::ClothEnds),
            shrinkage: cloth.shrinkage,
            step: house.value(step),
        }
    }
}

/// The length to order, and the sum that gives it. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderLength {
    /// Length to order.
    pub length: f64,
    /// Length that the lay takes of the long cloth.
    pub lay: f64,
    /// Length lost at the ends.
    pub ends: f64,
    /// Lengthwise shrinkage, as a fraction.
    pub shrinkage: f64,
    /// What these come to, before it is rounded up.
    pub total: f64,
    /// The merchant's step.
    pub step: f64,
    /// Whether there are pieces in stock, which are used first.
    pub stock: bool,
}

impl OrderLength {
    /// Writes the sum: `lay 185.0 cm + ends 5 cm = 190 cm, rounded up to 10 cm`.
    pub fn how(&self, unit: Unit) -> String {
        if self.stock && self.lay <= 0.0 {
            return "the pieces in stock are enough".to_owned();
        }
        let show = |mm: f64| unit.show(mm);
        let besides = match self.stock {
            true => "besides the pieces in stock: ",
            false => "",
        };
        let ends = match self.ends {
            0.0 => String::new(),
            ends => format!(" + ends {}", show(ends)),
        };
        let net = self.lay + self.ends;
        let shrinkage = match self.shrinkage {
            0.0 => String::new(),
            part => format!(
                " + shrinkage {} % ({})",
                decimal(100.0 * part, 1),
                show(net * part)
            ),
        };
        let step = match unit {
            Unit::Cm => show(self.step),
            Unit::Inch => unit.cloth(self.step),
        };
        let (lay, total) = (show(self.lay), show(self.told_total(unit)));
        format!("{besides}lay {lay}{ends}{shrinkage} = {total}, rounded up to {step}")
    }

    /// Returns the total as it is written: what the written parts add up to, unless that would be rounded up to
    /// another length.
    fn told_total(&self, unit: Unit) -> f64 {
        const HAIR: f64 = 0.01;
        let net = self.lay + self.ends;
        let parts = [self.lay, self.ends, net * self.shrinkage];
        let sum: f64 = parts.into_iter().map(|part| unit.nearest(part)).sum();
        let same = (self.length - self.step + HAIR..self.length + HAIR).contains(&sum);
        if same {
            sum
        } else {
            unit.at_least(self.total - HAIR)
        }
    }
}

/// Works out the length to order for a lay: what it takes of the long cloth and the ends, with what the cloth
/// will lose by shrinking, rounded up to the merchant's step.
pub fn order_length(lay: &Lay, buying: &Buying) -> OrderLength {
    let total = (lay.bought + buying.ends) * (1.0 + buying.shrinkage);
    let stock = !lay.at_hand.is_empty();
    // A hair over a step is no reason to buy another.
    let steps = ((total - 0.01) / buying.step).ceil().max(0.0);
    let nothing = lay.placements.is_empty() || stock && lay.bought <= 0.0;
    OrderLength {
        length: if nothing { 0.0 } else { steps * buying.step },
        lay: lay.bought,
        ends: buying.ends,
        shrinkage: buying.shrinkage,
        total,
        step: buying.step,
        stock,
    }
}
