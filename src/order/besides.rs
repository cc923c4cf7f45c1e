//! What a garment asks of the client besides what every garment does: measures and corrections of its block's own.

use super::corrections::{Correction, Measured};
use super::measures::Kind;

/// The measures and corrections that one block declares in its `measures.toml`, with those of the garments it is
/// like.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Besides {
    /// The measures, as they were declared.
    pub measures: Vec<OwnMeasure>,
    /// The corrections, as they were declared.
    pub corrections: Vec<OwnCorrection>,
    /// Names that are left out, by it or by a garment that it is like, of what one before declares.
    pub(super) without: Vec<String>,
}

/// A measure that a block declares. Lengths in cm.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnMeasure {
    /// Its key in `[measures]`, and after `m.` in a script.
    pub name: String,
    /// How the tape runs.
    pub about: String,
    /// What other people call it: for suggestions only.
    pub also: Vec<String>,
    /// Least and greatest that is believed.
    pub range: (f64, f64),
    /// Whether an order must give it.
    pub required: bool,
    /// What it is where it was not taken.
    pub derived: Derived,
    /// What is said of how it is derived, with lengths as in a [`Phrase`](super::phrase::Phrase).
    pub rule: Option<String>,
    /// Furthest from what is derived that passes without a warning.
    pub doubt: Option<f64>,
}

/// What a measure of a block's own is where it was not taken.
#[derive(Debug, Clone, PartialEq)]
pub enum Derived {
    /// The scripts do without it: they ask first whether it is there (`"coat_length" in m`).
    Drafted,
    /// So many cm, and so much more for each cm of some measures.
    Sum(f64, Vec<(String, f64)>),
}

/// A correction that a block declares.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnCorrection {
    /// Its key in `[figure]`, and after `figure.` in a script.
    pub name: String,
    /// The key that means the same turned round.
    pub opposite: Option<String>,
    /// What is seen or wanted.
    pub about: String,
    /// The most that is believed, in cm, or the last stage.
    pub most: f64,
    /// Whether it is given in stages.
    pub stages: bool,
    /// Whether left and right may differ.
    pub sided: bool,
    /// Whether it may be negative.
    pub either_way: bool,
}

impl OwnMeasure {
    /// Returns it as the program's own measures are described.
    pub fn kind(&self) -> Kind<'_> {
        Kind {
            name: &self.name,
            term: "no standard term",
            taken: &self.about,
            also: &[],
            required: self.required,
            garments: &[],
            rule: self.rule.as_deref(),
            predict: None,
            range: self.range,
            tolerance: self.doubt,
        }
    }

    /// Returns what it is derived to be from the other measures, in cm to the nearest mm; `None` where the scripts do
    /// without it.
    pub(super) fn derive(&self, others: &dyn Fn(&str) -> f64) -> Option<f64> {
        let Derived::Sum(plus, parts) = &self.derived else {
            return None;
        };
        let sum: f64 = parts.iter().map(|(name, part)| part * others(name)).sum();
        let (least, most) = self.range;
        Some(
            ((plus + sum) * 10.0)
                .round()
                .clamp(10.0 * least, 10.0 * most)
                / 10.0,
        )
    }

    /// Returns a length that stands for it where none was taken, as on a starter order: what is derived, or the middle
    /// of what is believed.
    pub fn example(&self, others: &dyn Fn(&str) -> f64) -> f64 {
        let middle = ((self.range.0 + self.range.1) / 2.0).round();
        self.derive(others).unwrap_or(middle)
    }
}

impl OwnCorrection {
    /// Returns it as the program's own corrections are described.
    pub fn correction(&self) -> Correction<'_> {
        Correction {
            name: &self.name,
            opposite: self.opposite.as_deref(),
            about: &self.about,
            most: self.most,
            measured: match self.stages {
                true => Measured::Stage,
                false => Measured::Length,
            },
            sided: self.sided,
            either_way: self.either_way,
            also: &[],
        }
    }
}

impl OwnCorrection {
    /// Lists the keys that it has in `[figure]`.
    pub(super) fn keys(&self) -> impl Iterator<Item = &str> {
        let both = [Some(self.name.as_str()), self.opposite.as_deref()];
        both.into_iter().flatten()
    }
}

impl Besides {
    /// Whether a measure or a correction of this name is declared.
    pub(super) fn declares(&self, name: &str) -> bool {
        self.measures.iter().any(|own| own.name == name)
            || self.corrections.iter().any(|own| own.name == name)
    }

    /// Lays what another block declares over this: what it leaves out goes, what has the same name is replaced, the
    /// rest is added.
    pub(super) fn lay_over(&mut self, other: Self) {
        let goes = |name: &String| other.without.contains(name);
        let new_measure = |name: &str| other.measures.iter().any(|new| new.name == name);
        let new_correction = |name: &str| other.corrections.iter().any(|new| new.name == name);
        self.measures
            .retain(|old| !goes(&old.name) && !new_measure(&old.name));
        self.corrections
            .retain(|old| !goes(&old.name) && !new_correction(&old.name));
        self.without.extend(other.without);
        self.measures.extend(other.measures);
        self.corrections.extend(other.corrections);
    }
}
