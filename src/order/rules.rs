//! How a length of style that was not chosen is predicted, in words.

use super::measures::Kind;
use super::phrase::{Phrase, Terms};
use crate::units::Unit;

impl Kind<'_> {
    /// Returns the prediction in words, in the reader's unit; `None` for a measure of the body.
    pub fn rule_in(&self, unit: Unit) -> Option<String> {
        let terms = Terms { unit, house: None };
        // A rule is read by a test, and so never fails here.
        Some(Phrase::read(self.rule?).unwrap_or_default().text(&terms))
    }
}

#[cfg(test)]
mod tests {
    use super::super::measures::{KINDS, kind};
    use super::*;

    #[test]
    fn every_rule_is_told_in_either_unit() {
        for kind in KINDS {
            assert!(
                kind.rule.is_none_or(|rule| Phrase::read(rule).is_ok()),
                "{}",
                kind.name
            );
        }
        let rule = |unit| kind("jacket_length").unwrap().rule_in(unit).unwrap();
        assert!(
            rule(Unit::Cm).contains("height / 8 + 5 cm"),
            "{}",
            rule(Unit::Cm)
        );
        assert!(
            rule(Unit::Inch).contains("height / 8 + 2 in"),
            "{}",
            rule(Unit::Inch)
        );
    }
}
