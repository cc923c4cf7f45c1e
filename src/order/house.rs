//! The workshop's own numbers.

use crate::units::{Unit, YARD};
use std::borrow::Cow;
use std::collections::BTreeMap;

/// The workshop's own numbers, by dotted name (`allowance.side_seam`), in the units of the house file: cm,
/// degrees, fractions, counts.
///
/// Every [`HouseNumber`] is there, so that a stage that needs one never has to do without. A block looks up
/// what it needs by name. A name that begins with a garment's (`overcoat.ease.waist`) is that garment's own:
/// [`House::of`] returns the house as one garment finds it.
#[derive(Debug, Clone, PartialEq)]
pub struct House {
    values: BTreeMap<String, HouseValue>,
    /// Of each garment those whose numbers it takes, the furthest first and itself last.
    lines: BTreeMap<String, Vec<String>>,
    /// What is believed of numbers that a block adds, by their whole names.
    bounds: BTreeMap<String, (f64, f64)>,
    /// In the order of [`HouseNumber::ALL`].
    numbers: [f64; HouseNumber::ALL.len()],
}

/// One value of the house file.
#[derive(Debug, Clone, PartialEq)]
pub enum HouseValue {
    /// One number.
    Number(f64),
    /// Numbers that run along an edge, from its start to its end.
    Along(Vec<f64>),
    /// A word, such as the rule of a corner.
    Word(String),
}

macro_rules! house_numbers {
    ($($number:ident, $name:literal, $unit:expr;)*) => {
        /// A number of the house that the program itself works with. Those that only blocks look up have no
        /// variant.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        #[expect(missing_docs, reason = "`blocks/house.toml` says what each is")]
        pub enum HouseNumber { $($number,)* }

        impl HouseNumber {
            /// Every number that the program works with, in the order of the variants.
            pub const ALL: [Self; [$($name),*].len()] = [$(Self::$number),*];

            /// Returns the number's name in the house file, and how many of the program's units one of the
            /// file's is.
            const fn written(self) -> (&'static str, f64) {
                match self { $(Self::$number => ($name, $unit),)* }
            }
        }
    };
}

/// Millimetres in one unit of a length in the house file.
const CM: f64 = 10.0;

house_numbers! {
    ClothWidth, "cloth.width", CM;
    ClothSelvedge, "cloth.selvedge", CM;
    ClothGap, "cloth.gap", CM;
    ClothEnds, "cloth.ends", CM;
    ClothTable, "cloth.table", CM;
    ClothStep, "cloth.step", CM;
    ClothStepYards, "cloth.step_yards", YARD;
    ClothShrinkage, "cloth.shrinkage", 1.0;
    PrintMargin, "print.margin", CM;
    PrintOverlap, "print.overlap", CM;
    CutPen, "plot.cut_pen", 1.0;
    MarkPen, "plot.mark_pen", 1.0;
    LetterPen, "plot.letter_pen", 1.0;
    MitreLimit, "mitre.limit", 1.0;
    LeastHem, "baste.least_hem", CM;
    LeastSeam, "baste.least_seam", CM;
    BellyCut, "belly.cut", 1.0;
}

impl HouseNumber {
    /// Returns the number's name in the house file.
    pub const fn name(self) -> &'static str {
        self.written().0
    }
}

impl House {
    /// Makes a house of the values of a house file.
    ///
    /// # Errors
    /// Returns the name of a number that the program works with and the file does not hold.
    pub(super) fn new(values: BTreeMap<String, HouseValue>) -> Result<Self, &'static str> {
        let mut house = Self {
            values,
            lines: BTreeMap::new(),
            bounds: BTreeMap::new(),
            numbers: [0.0; HouseNumber::ALL.len()],
        };
        for number in HouseNumber::ALL {
            let value = house.number(number.name()).ok_or(number.name())?;
            house.numbers[number as usize] = value * number.written().1;
        }
        Ok(house)
    }

    /// Returns a number that the program works with: a length in mm, anything else as it is written.
    pub fn value(&self, number: HouseNumber) -> f64 {
        self.numbers[number as usize]
    }

    /// Takes another number in place of the house's own: a length in mm, anything else as it is written.
    pub fn set(&mut self, number: HouseNumber, value: f64) {
        let (name, unit) = number.written();
        self.numbers[number as usize] = value;
        let written = HouseValue::Number(value / unit);
        self.values.insert(name.to_owned(), written);
    }

    /// Returns every value by its name, as it is written.
    pub fn values(&self) -> &BTreeMap<String, HouseValue> {
        &self.values
    }

    /// Returns one number as it is written, or `None` if there is none of that name or it runs along an edge.
    pub fn number(&self, name: &str) -> Option<f64> {
        match self.values.get(name) {
            Some(HouseValue::Number(n)) => Some(*n),
            _ => None,
        }
    }

    /// Names the garments whose numbers it may hold, each with those whose numbers it takes: the furthest
    /// first and itself last.
    pub(super) fn wear(&mut self, lines: BTreeMap<String, Vec<String>>) {
        self.lines = lines;
    }

    /// Returns the garments whose numbers it may hold, by name.
    pub(super) fn garments(&self) -> impl Iterator<Item = &str> {
        self.lines.keys().map(String::as_str)
    }

    /// Returns the house as the block of a garment finds it: its own numbers, and those of the garments that it
    /// is like, stand in place of the house's.
    pub fn of(&self, garment: &str) -> Cow<'_, Self> {
        let line = self.lines.get(garment).map_or(&[][..], Vec::as_slice);
        let own = line.iter().flat_map(|name| self.owned(name));
        let own: Vec<_> = own.collect();
        if own.is_empty() {
            return Cow::Borrowed(self);
        }
        let mut house = self.clone();
        for (name, value) in own {
            house.put(name, value.clone());
        }
        Cow::Owned(house)
    }

    /// Lists the numbers that are a garment's own, by the names that its block uses.
    fn owned<'h>(
        &'h self,
        garment: &str,
    ) -> impl Iterator<Item = (&'h str, &'h HouseValue)> + use<'h> {
        let start = format!("{garment}.");
        let from = self.values.range(start.clone()..);
        let own = from.map_while(move |(name, value)| Some((name.strip_prefix(&start)?, value)));
        // `trousers.fly` is a number of the house, and no garment's own.
        own.filter(|(name, _)| name.contains('.'))
    }

    /// Splits a garment's own name into the garment and the name that its block uses.
    pub(super) fn split<'n>(&self, name: &'n str) -> Option<(&'n str, &'n str)> {
        let (garment, rest) = name.split_once('.')?;
        (self.lines.contains_key(garment) && rest.contains('.')).then_some((garment, rest))
    }

    /// Returns a value by its name, a garment's own also where it is still the house's.
    pub(super) fn known(&self, name: &str) -> Option<HouseValue> {
        let exact = || self.values.get(name).cloned();
        exact().or_else(|| {
            let (garment, rest) = self.split(name)?;
            self.of(garment).values.get(rest).cloned()
        })
    }

    /// Returns one word, or `None` if no word has that name.
    pub fn word(&self, name: &str) -> Option<&str> {
        match self.values.get(name) {
            Some(HouseValue::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// Returns the unit that everything is written in, or `None` where each order's measures say.
    pub fn unit(&self) -> Option<Unit> {
        match self.word("print.unit") {
            Some("cm") => Some(Unit::Cm),
            Some("in") => Some(Unit::Inch),
            _ => None,
        }
    }

    /// Returns what a block says is believed of a number that it adds.
    pub(super) fn own_bounds(&self, name: &str) -> Option<(f64, f64)> {
        self.bounds.get(name).copied().or_else(|| {
            let (garment, rest) = self.split(name)?;
            let line = self.lines.get(garment)?.iter().rev();
            let mut own = line.map(|other| self.bounds.get(&format!("{other}.{rest}")));
            own.find_map(|bounds| bounds.copied())
        })
    }

    /// Adds a number of a garment's own, with what is believed of it.
    pub(super) fn add(&mut self, name: &str, value: HouseValue, bounds: Option<(f64, f64)>) {
        self.put(name, value);
        self.bounds
            .extend(bounds.map(|bounds| (name.to_owned(), bounds)));
    }

    /// Puts a value in place of another.
    pub(super) fn put(&mut self, name: &str, value: HouseValue) {
        let known = HouseNumber::ALL.iter().find(|number| number.name() == name);
        if let (Some(&number), HouseValue::Number(written)) = (known, &value) {
            self.numbers[number as usize] = written * number.written().1;
        }
        self.values.insert(name.to_owned(), value);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_house_without_a_number_that_is_worked_with_is_refused() {
        let whole = House::built_in().unwrap();
        for number in HouseNumber::ALL {
            let mut values = whole.values.clone();
            values.remove(number.name());
            assert_eq!(House::new(values), Err(number.name()));
        }
    }

    #[test]
    fn a_length_is_worked_with_in_mm_and_follows_a_change() {
        let mut house = House::built_in().unwrap();
        assert_eq!(house.value(HouseNumber::ClothGap), 3.0);
        assert_eq!(house.value(HouseNumber::ClothShrinkage), 0.03);
        house.change("cloth.gap", &toml::Value::Float(0.5)).unwrap();
        assert_eq!(house.value(HouseNumber::ClothGap), 5.0);
        assert_eq!(house.number("cloth.gap"), Some(0.5));
    }
}
