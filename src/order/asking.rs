//! What the garments of an order ask of the client besides what every garment does.

use super::besides::{Besides, OwnCorrection, OwnMeasure};
use super::corrections::Correction;
use super::measures::Kind;
use super::{Measure, Measures, Origin};

/// Adds to the measures of an order those that its blocks derive, where they were not taken.
pub(super) fn complete(measures: &mut Measures, own: &[&OwnMeasure]) {
    for one in own {
        let look = |name: &str| measures.mm(name).unwrap_or_default() / 10.0;
        if let (None, Some(cm)) = (measures.mm(&one.name), one.derive(&look)) {
            let derived = Measure {
                mm: 10.0 * cm,
                origin: Origin::Derived,
                open: 0.0,
            };
            measures.0.insert(one.name.clone(), derived);
        }
    }
}

/// What the garments of one order ask for besides, and what others would.
pub(super) struct Asked<'c> {
    /// The measures of the ordered garments, each name once.
    pub measures: Vec<&'c OwnMeasure>,
    /// Their corrections, each name once.
    pub corrections: Vec<&'c OwnCorrection>,
    /// Every garment that can be ordered.
    all: Vec<(&'c str, &'c Besides)>,
}

impl<'c> Asked<'c> {
    /// Gathers what the garments ask for that are `ordered`, of `all` garments.
    ///
    /// Where two of them ask for one thing in two ways, the second result says so in words.
    pub(super) fn of(
        ordered: &[&str],
        all: impl Iterator<Item = (&'c str, &'c Besides)>,
    ) -> (Self, Vec<String>) {
        let mut asked = Self {
            measures: Vec::new(),
            corrections: Vec::new(),
            all: all.collect(),
        };
        let mut faults = Vec::new();
        let two = |garment: &str, what: &str, name: &str| {
            format!(
                "the {garment} and another garment of this order have the {what} `{name}` in two ways"
            )
        };
        let wanted = ordered.iter().filter_map(|name| {
            let mut blocks = asked.all.iter();
            blocks.find(|(garment, _)| garment == name)
        });
        for (garment, besides) in wanted.copied().collect::<Vec<_>>() {
            for own in &besides.measures {
                match asked.measures.iter().find(|other| other.name == own.name) {
                    None => asked.measures.push(own),
                    Some(other) if *other == own => {}
                    Some(_) => faults.push(two(garment, "measure", &own.name)),
                }
            }
            for own in &besides.corrections {
                let mut there = asked.corrections.iter();
                match there.find(|other| other.name == own.name) {
                    None => asked.corrections.push(own),
                    Some(other) if *other == own => {}
                    Some(_) => faults.push(two(garment, "correction", &own.name)),
                }
            }
        }
        (asked, faults)
    }

    /// Returns the ordered garments' measure of that name.
    pub(super) fn measure(&self, name: &str) -> Option<Kind<'c>> {
        let found = self.measures.iter().find(|own| own.name == name);
        found.map(|own| own.kind())
    }

    /// Returns the ordered garments' measure that has this name elsewhere.
    pub(super) fn called(&self, name: &str) -> Option<Kind<'c>> {
        let mut all = self.measures.iter();
        let found = all.find(|own| own.also.iter().any(|other| other == name));
        found.map(|own| own.kind())
    }

    /// Returns the ordered garments' correction that a key of `[figure]` names, with 1, or -1 for the opposite.
    pub(super) fn correction(&self, key: &str) -> Option<(Correction<'c>, f64)> {
        let all = self.corrections.iter().map(|own| own.correction());
        all.into_iter().find_map(|own| Some((own, own.way(key)?)))
    }

    /// Returns the first garment that asks for something.
    pub(super) fn of_another(&self, asks: impl Fn(&Besides) -> bool) -> Option<&'c str> {
        let found = self.all.iter().find(|(_, besides)| asks(besides));
        found.map(|(garment, _)| *garment)
    }
}
