//! The units a tailor reads: centimetres and metres, or inches and yards.
//!
//! Everything inside is in millimetres. An order says which [`Unit`] its reader thinks in, and every sheet,
//! table and message writes its lengths through it. What is printed is the nearest number that a tape shows;
//! what is drafted stays exact.

use serde::Deserialize;

/// Millimetres in an inch, exactly.
pub const INCH: f64 = 25.4;

/// Millimetres in a yard, exactly.
pub const YARD: f64 = 36.0 * INCH;

/// The unit in which lengths are read and written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
pub enum Unit {
    /// Centimetres, and metres of cloth.
    #[default]
    #[serde(rename = "cm")]
    Cm,
    /// Inches, and yards of cloth.
    #[serde(rename = "in")]
    Inch,
}

impl Unit {
    /// Returns the millimetres in one.
    pub fn mm(self) -> f64 {
        match self {
            Self::Cm => 10.0,
            Self::Inch => INCH,
        }
    }

    /// Returns its name as an order writes it: `cm`, `in`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Cm => "cm",
            Self::Inch => "in",
        }
    }

    /// Returns its name in a sentence: `cm`, `inches`.
    pub fn spoken(self) -> &'static str {
        match self {
            Self::Cm => "cm",
            Self::Inch => "inches",
        }
    }

    /// Writes a length as a tape shows it, with its unit: `39.5 cm` to the millimetre, `15 1/2 in` to the
    /// eighth.
    pub fn show(self, mm: f64) -> String {
        format!("{} {}", self.number(mm), self.name())
    }

    /// Writes a length as [`Unit::show`] does, without the unit, for a table whose head names it.
    pub fn number(self, mm: f64) -> String {
        if mm.abs() > TOO_LARGE {
            return format!("{:e}", mm / self.mm());
        }
        match self {
            Self::Cm => decimal(mm / 10.0, 1),
            Self::Inch => fraction(mm / INCH, 8),
        }
    }

    /// Writes a length as finely as it is chalked, without the unit: to a tenth of a millimetre, or to the
    /// sixteenth of an inch.
    pub fn fine(self, mm: f64) -> String {
        match self {
            Self::Cm => decimal(mm / 10.0, 2),
            Self::Inch => fraction(mm / INCH, 16),
        }
    }

    /// Writes a length of cloth, with its unit: `2.90 m`, `3 1/4 yd` to the eighth of a yard.
    pub fn cloth(self, mm: f64) -> String {
        match self {
            Self::Cm => format!("{:.2} m", mm / 1000.0),
            Self::Inch => format!("{} yd", fraction(mm / YARD, 8)),
        }
    }

    /// Returns a length of cloth in the unit that it is sold by: metres or yards.
    pub fn cloths(self, mm: f64) -> f64 {
        match self {
            Self::Cm => mm / 1000.0,
            Self::Inch => mm / YARD,
        }
    }

    /// Writes a long way, with its unit: `310 m`, `339 yd`.
    pub fn far(self, mm: f64) -> String {
        match self {
            Self::Cm => format!("{:.0} m", mm / 1000.0),
            Self::Inch => format!("{:.0} yd", mm / YARD),
        }
    }

    /// Writes the size of something small, with its unit: `20 mm`, `13/16 in`; of a slip, `1.3 mm`, and
    /// `under 1/16 in` where it is less than a tape shows.
    pub fn small(self, mm: f64) -> String {
        match self {
            Self::Cm => format!("{} mm", decimal(mm, 1)),
            Self::Inch if mm > 0.0 && mm < INCH / 32.0 => "under 1/16 in".to_owned(),
            Self::Inch => format!("{} in", self.fine(mm)),
        }
    }

    /// Writes an area, with its unit: `120 cm²`, `19 sq in`.
    pub fn area(self, square_mm: f64) -> String {
        match self {
            Self::Cm => format!("{:.0} cm²", square_mm / 100.0),
            Self::Inch => format!("{:.0} sq in", square_mm / (INCH * INCH)),
        }
    }

    /// Writes a length as a TOML value that an order reads back as the same: `7.5`, `"3 in"`.
    ///
    /// `bare` is the unit in which a number without a unit is read there.
    pub fn written(self, mm: f64, bare: Self) -> String {
        if self == bare {
            match self {
                Self::Cm => decimal(mm / 10.0, 1),
                Self::Inch => match fraction(mm / INCH, 8) {
                    whole if !whole.contains('/') => whole,
                    parts => format!("\"{parts}\""),
                },
            }
        } else {
            format!("\"{}\"", self.show(mm))
        }
    }

    /// Returns the length that [`Unit::show`] writes for one.
    pub fn nearest(self, mm: f64) -> f64 {
        (mm / self.step()).round() * self.step()
    }

    /// Returns the largest length that is no longer than `mm` and that [`Unit::show`] writes exactly.
    pub fn at_most(self, mm: f64) -> f64 {
        let step = self.step();
        (mm / step + ALMOST).floor() * step
    }

    /// Returns the smallest length that is no shorter than `mm` and that [`Unit::show`] writes exactly.
    pub fn at_least(self, mm: f64) -> f64 {
        let step = self.step();
        (mm / step - ALMOST).ceil() * step
    }

    /// Returns the finest step of [`Unit::show`], in mm.
    fn step(self) -> f64 {
        match self {
            Self::Cm => 1.0,
            Self::Inch => INCH / 8.0,
        }
    }
}

/// A length in mm above which fractions are pointless: a thousand kilometres is a slip of the pen, and its
/// digits would fill the line.
const TOO_LARGE: f64 = 1e9;

/// The part of a step by which a sum of decimals may miss it and still be meant as it.
const ALMOST: f64 = 1e-6;

/// Writes a number with at most so many decimals and no trailing zeros; a zero has no sign.
pub(crate) fn decimal(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => &text,
    };
    match text {
        "-0" => "0".to_owned(),
        other => other.to_owned(),
    }
}

/// Writes a number as a whole and a fraction in lowest terms, to the nearest part: `15 1/2`.
fn fraction(number: f64, parts: u64) -> String {
    let all = (number.abs() * parts as f64).round() as u64;
    let sign = if number < 0.0 && all > 0 { "-" } else { "" };
    let (whole, part) = (all / parts, all % parts);
    // The parts are a power of two, so that the lowest terms are reached by halving.
    let halved = part.trailing_zeros().min(parts.trailing_zeros());
    match (whole, part) {
        (_, 0) => format!("{sign}{whole}"),
        (0, _) => format!("{sign}{}/{}", part >> halved, parts >> halved),
        _ => format!("{sign}{whole} {}/{}", part >> halved, parts >> halved),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::length::parse;
    use proptest::prelude::*;

    #[test]
    fn lengths_read_as_a_tape_shows_them() {
        assert_eq!(Unit::Cm.show(395.4), "39.5 cm");
        assert_eq!(Unit::Inch.show(393.7), "15 1/2 in");
        assert_eq!(Unit::Inch.number(INCH * 0.249), "1/4");
        assert_eq!(Unit::Inch.number(-INCH * 1.625), "-1 5/8");
        assert_eq!(Unit::Inch.number(-0.2), "0");
        assert_eq!(Unit::Cm.number(-0.2), "0");
        assert_eq!(Unit::Cm.fine(246.31), "24.63");
        assert_eq!(Unit::Inch.fine(INCH * 9.6875), "9 11/16");
        assert_eq!(Unit::Cm.cloth(2900.0), "2.90 m");
        assert_eq!(Unit::Inch.cloth(YARD * 3.25), "3 1/4 yd");
        assert_eq!(Unit::Inch.number(INCH * 15.99), "16");
    }

    #[test]
    fn what_an_order_reads_is_written_for_it() {
        assert_eq!(Unit::Cm.written(75.0, Unit::Cm), "7.5");
        assert_eq!(Unit::Inch.written(75.0, Unit::Cm), "\"3 in\"");
        assert_eq!(Unit::Inch.written(INCH * 2.5, Unit::Inch), "\"2 1/2\"");
    }

    proptest! {
        #[test]
        fn what_is_shown_is_within_half_a_step(mm in 0.0..3000.0_f64, inches in prop::bool::ANY) {
            let unit = if inches { Unit::Inch } else { Unit::Cm };
            let again = parse(&unit.show(mm), Unit::Cm).unwrap();
            prop_assert!((again - mm).abs() <= unit.step() / 2.0 + 1e-9);
            let (least, most) = (unit.at_least(mm), unit.at_most(mm));
            prop_assert!(most <= mm + 1e-5 && mm <= least + 1e-5 && least - most <= unit.step() + 1e-9);
            prop_assert!((parse(&unit.show(most), Unit::Cm).unwrap() - most).abs() < 1e-9);
        }

        #[test]
        fn what_is_chalked_is_within_a_thirty_second(mm in 0.0..3000.0_f64) {
            let again = parse(&format!("{} in", Unit::Inch.fine(mm)), Unit::Cm).unwrap();
            prop_assert!((again - mm).abs() <= INCH / 32.0 + 1e-9);
        }
    }
}
