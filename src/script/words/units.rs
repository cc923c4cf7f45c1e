//! Lengths in the texts of blocks, in the unit in which the order is read.

use super::super::numbers::{Made, number};
use crate::order::Order;
use crate::units::Unit;
use rhai::{Dynamic, Engine, NativeCallContext};

/// By how much what is advised keeps inside the limit it is advised for, in mm: far below what is written, far
/// above what sums of decimals miss it by.
const INSIDE: f64 = 1e-3;

/// How an order's lengths are written in the texts of its blocks.
#[derive(Debug, Clone, Copy)]
struct Hand {
    unit: Unit,
    /// Whether a number without a unit is in cm wherever the order has it.
    plain: bool,
}

impl Hand {
    fn of(order: &Order) -> Self {
        let plain = order.unit == Unit::Cm && order.house.unit().is_none();
        let unit = order.unit;
        Self { unit, plain }
    }

    /// Writes a length in mm as a value that every section of the order reads as that length.
    fn written(self, mm: f64) -> String {
        match self.plain {
            true => self.unit.written(mm, Unit::Cm),
            false => format!("\"{}\"", self.unit.show(mm)),
        }
    }

    fn at_most(self, mm: f64) -> String {
        self.written(self.unit.at_most(mm - INSIDE))
    }

    fn at_least(self, mm: f64) -> String {
        self.written(self.unit.at_least(mm + INSIDE))
    }
}

/// Registers the words that write a length in cm for the reader of one order.
pub(crate) fn register(engine: &mut Engine, order: &Order) {
    let hand = Hand::of(order);
    let mut word = |name: &str, write: fn(Hand, f64) -> String| {
        engine.register_fn(
            name,
            move |ctx: NativeCallContext, x: Dynamic| -> Made<String> {
                Ok(write(hand, number(&ctx, &x)? * 10.0))
            },
        );
    };
    word("size", |by, mm| by.unit.show(mm));
    word("small", |by, mm| by.unit.small(mm));
    word("written", Hand::written);
    word("at_most", Hand::at_most);
    word("at_least", Hand::at_least);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::length::parse;

    #[test]
    fn advice_that_is_followed_keeps_the_limit() {
        for (unit, plain) in [(Unit::Cm, true), (Unit::Cm, false), (Unit::Inch, false)] {
            let hand = Hand { unit, plain };
            for limit in [75.0, 246.31, 25.4 * 3.0, 0.1 + 0.2] {
                let read = |text: String| parse(text.trim_matches('"'), Unit::Cm).unwrap();
                assert!(read(hand.at_most(limit)) <= limit);
                assert!(read(hand.at_least(limit)) >= limit);
            }
        }
        let inches = Hand {
            unit: Unit::Inch,
            plain: false,
        };
        assert_eq!(inches.at_most(80.0), "\"3 1/8 in\"");
        let cm = Hand {
            unit: Unit::Cm,
            plain: true,
        };
        assert_eq!(cm.at_least(75.5), "7.6");
    }
}
