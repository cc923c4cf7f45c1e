//! How a measure that was not taken is predicted, in words.

use super::measures::Kind;
use super::phrase::{Phrase, Terms};
use crate::units::Unit;

impl Kind {
    /// Returns the prediction in words, in the reader's unit.
    pub fn rule_in(&self, unit: Unit) -> String {
        let terms = Terms { unit, house: None };
        // A rule is read by a test, and so never fails here.
        Phrase::read(self.rule).unwrap_or_default().text(&terms)
    }
}

#[cfg(test)]
mod tests {
    use super::super::measures::{KINDS, kind};
    use super::*;

    #[test]
    fn every_rule_is_told_in_either_unit() {
        for kind in KINDS {
            assert!(Phrase::read(kind.rule).is_ok(), "{}", kind.rule);
        }
        let kind = kind("nape_to_waist").unwrap();
        assert_eq!(kind.rule_in(Unit::Cm), "height / 4 + 0.5 cm");
        assert_eq!(kind.rule_in(Unit::Inch), "height / 4 + 1/4 in");
    }
}
