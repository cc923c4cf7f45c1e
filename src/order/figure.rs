//! The client's figure: how much the draft must be corrected, and what a baste has shown.
//!
//! `[figure]` gives what the cutter saw; each `[[fitting]]` adds to it in the words of a baste.

use super::alterations::ALTERATIONS;
use super::corrections::{CORRECTIONS, Correction, Measured};
use super::length::Unit;
use std::collections::BTreeMap;

/// The two sides of a body.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "they are what they say")]
pub enum Side {
    Left,
    Right,
}

impl Side {
    /// Returns the opposite side.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// How much of one correction, by side, in cm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Amount {
    /// Of the left side.
    pub left: f64,
    /// Of the right side.
    pub right: f64,
}

impl Amount {
    /// Makes an amount that is the same on both sides.
    pub fn both(cm: f64) -> Self {
        Self {
            left: cm,
            right: cm,
        }
    }

    /// Returns the amount of one side.
    pub fn of(self, side: Side) -> f64 {
        match side {
            Side::Left => self.left,
            Side::Right => self.right,
        }
    }

    /// Writes the amount as a ticket says it, in the reader's unit: `1.5 cm`, or by side.
    pub fn shown(self, unit: Unit) -> String {
        let cm = |x: f64| unit.show(x * 10.0);
        if (self.left - self.right).abs() < 1e-9 {
            cm(self.left)
        } else if self.left == 0.0 {
            format!("right {}", cm(self.right))
        } else if self.right == 0.0 {
            format!("left {}", cm(self.left))
        } else {
            format!("left {}, right {}", cm(self.left), cm(self.right))
        }
    }
}

/// What the draft is corrected for, by the name of the correction. One that is absent is zero.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Figure(pub BTreeMap<String, Amount>);

impl Figure {
    /// Returns how much of a correction there is on one side, in cm.
    pub fn cm(&self, name: &str, side: Side) -> f64 {
        self.0.get(name).map_or(0.0, |amount| amount.of(side))
    }

    /// Adds to a correction.
    pub fn add(&mut self, name: &str, amount: Amount) {
        let sum = self.0.entry(name.to_owned()).or_default();
        sum.left += amount.left;
        sum.right += amount.right;
        if sum.left.abs() < 1e-9 && sum.right.abs() < 1e-9 {
            self.0.remove(name);
        }
    }

    /// Tells whether left and right are alike.
    pub fn even(&self) -> bool {
        self.0.values().all(|a| (a.left - a.right).abs() < 1e-9)
    }

    /// Lists the corrections for the ticket, a line each: the key as the order writes it, and how much. `own` are
    /// those of the order's blocks.
    pub fn lines(&self, own: &[Correction], unit: Unit) -> Vec<String> {
        let line = |c: &Correction| {
            let amount = *self.0.get(c.name)?;
            let turned = amount.left <= 0.0 && amount.right <= 0.0;
            let (name, amount) = match c.opposite {
                Some(opposite) if turned => (
                    opposite,
                    Amount {
                        left: -amount.left,
                        right: -amount.right,
                    },
                ),
                _ => (c.name, amount),
            };
            let shown = if c.measured == Measured::Stage {
                format!("stage {}", amount.left)
            } else {
                amount.shown(unit)
            };
            Some(format!("{}: {shown}", name.replace('_', " ")))
        };
        CORRECTIONS.iter().chain(own).filter_map(line).collect()
    }
}

/// The record of one baste.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Fitting {
    /// The day, as written.
    pub date: String,
    /// The reference of the earlier order that was fitted, where it was not this one.
    pub earlier: Option<String>,
    /// Notes for the ticket.
    pub notes: Vec<String>,
    /// Each alteration and how much of it, in the order of the file.
    pub alterations: Vec<(&'static str, Amount)>,
}

impl Fitting {
    /// Adds what it alters to a figure.
    pub fn alter(&self, figure: &mut Figure) {
        for (name, amount) in &self.alterations {
            if let Some(a) = ALTERATIONS.iter().find(|a| a.name == *name) {
                let (left, right) = (a.way * amount.left, a.way * amount.right);
                figure.add(a.correction, Amount { left, right });
            }
        }
    }

    /// Lists the alterations and notes for the ticket, a line each.
    pub fn lines(&self, unit: Unit) -> Vec<String> {
        let line = |(name, amount): &(&'static str, Amount)| {
            let a = ALTERATIONS.iter().find(|a| a.name == *name)?;
            Some(format!("{} {}", a.words, amount.shown(unit)))
        };
        let said = self.alterations.iter().filter_map(line);
        said.chain(self.notes.iter().cloned()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fittings_add_to_the_figure_and_take_away_from_it() {
        let mut figure = Figure::default();
        figure.add("long_arms", Amount::both(1.0));
        let fitting = Fitting {
            alterations: vec![
                ("shorten_sleeves", Amount::both(1.0)),
                (
                    "lower_shoulder",
                    Amount {
                        left: 0.0,
                        right: 0.5,
                    },
                ),
            ],
            ..Fitting::default()
        };
        fitting.alter(&mut figure);
        assert_eq!(figure.cm("long_arms", Side::Left), 0.0);
        assert!(!figure.even());
        assert_eq!(
            figure.lines(&[], Unit::Cm),
            ["sloping shoulders: right 0.5 cm"]
        );
        assert_eq!(
            fitting.lines(Unit::Inch)[0],
            "shorten the sleeves by 3/8 in"
        );
        assert_eq!(fitting.lines(Unit::Cm)[0], "shorten the sleeves by 1 cm");
    }
}
