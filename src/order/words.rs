//! The words and numbers of an order as people read them: messages and sheets all use these.

use super::{Layout, Nap, Side};
use crate::units::Unit;

impl Layout {
    /// Returns the number of plies that lie on the table.
    pub fn plies(self) -> u32 {
        match self {
            Self::Open => 1,
            Self::Doubled => 2,
        }
    }

    /// Returns the trade's word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Doubled => "doubled",
        }
    }
}

impl Nap {
    /// Returns how many ways the pieces may point, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::OneWay => "one way",
            Self::TwoWays => "two ways",
        }
    }
}

impl Side {
    /// Returns the side's word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

/// Writes a number as it is repeated to whoever wrote it: to the hundredth, and one beyond belief with its
/// power of ten rather than in a row of zeros.
pub fn shown(number: f64) -> String {
    if number.abs() < 1e9 {
        format!("{}", (number * 100.0).round() / 100.0)
    } else {
        format!("{number:e}")
    }
}

/// Writes a length in cm as it is repeated to whoever wrote it: in cm to the hundredth, in inches to the eighth.
pub(super) fn repeated(cm: f64, unit: Unit) -> String {
    match unit {
        Unit::Cm => format!("{} cm", shown(cm)),
        Unit::Inch => unit.show(cm * 10.0),
    }
}

/// Writes a number as an order writes it: to the millionth, which drops what arithmetic adds in the last
/// places.
pub(super) fn exact(number: f64) -> String {
    format!("{}", (number * 1e6).round() / 1e6)
}

/// Writes a count with the thing that is counted: `1 warning`, `3 warnings`.
pub fn counted(count: usize, thing: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{count} {thing}{ending}")
}
