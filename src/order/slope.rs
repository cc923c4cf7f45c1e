//! The slope of the shoulders as a photograph shows it: an angle below the level.

use super::corrections::{Measured, correction};
use super::figure::Amount;
use super::reading::Findings;
use super::words::shown;
use crate::diagnostic::Diagnostic;
use std::ops::Range;
use toml::Spanned;
use toml::de::DeValue;

/// Its key in `[figure]`.
pub(super) const KEY: &str = "shoulder_slope";

/// What it is, in a line.
pub(super) const ABOUT: &str = "degrees by which the shoulder falls below the level from the side of the neck, on a photograph from the front or behind; 21 is usual";

/// The correction that it is drafted by.
pub(super) const CORRECTION: &str = "sloping_shoulders";

/// Degrees of a usual shoulder; from memory, no source. A coat's seams fall by less, over their wadding.
const USUAL: f64 = 21.0;

/// Degrees that are believed.
const RANGE: (f64, f64) = (10.0, 32.0);

/// Reads the angle, or one for each side, as how much lower than usual the shoulders are.
pub(super) fn read(value: &Spanned<DeValue>, findings: &mut Findings) -> Option<Amount> {
    let place = value.span();
    let Some(sides) = value.get_ref().as_table() else {
        return lower(value.get_ref(), place, findings).map(Amount::both);
    };
    let mut amount = Amount::default();
    for (key, side) in sides {
        let of = match key.get_ref().as_ref() {
            "left" => &mut amount.left,
            "right" => &mut amount.right,
            other => {
                let fault = Diagnostic::error(format!("`{other}` is not a side"));
                findings.at(key.span(), fault.suggest(other, ["left", "right"]));
                return None;
            }
        };
        *of = lower(side.get_ref(), side.span(), findings)?;
    }
    Some(amount)
}

/// Reads one angle; returns how much lower than usual the end of the shoulder is, in cm.
fn lower(value: &DeValue, place: Range<usize>, findings: &mut Findings) -> Option<f64> {
    let each = match correction(CORRECTION)?.0.measured {
        Measured::Slope(each) => each,
        Measured::Length | Measured::Stage => return None,
    };
    let fault = match degrees(value) {
        Some(angle) if (RANGE.0..=RANGE.1).contains(&angle) => return Some(each * (angle - USUAL)),
        Some(angle) => Diagnostic::error(format!("{KEY} = {} is no shoulder", shown(angle))).help(
            format!(
                "give the whole angle below the level, from {} to {} degrees, of which {USUAL} is usual",
                RANGE.0, RANGE.1
            ),
        ),
        None => Diagnostic::error(format!("{KEY} needs an angle"))
            .help("give degrees such as 24, \"24 deg\" or { left = 22, right = 24 }"),
    };
    findings.at(place, fault);
    None
}

/// Reads a number of degrees, with its unit or without.
fn degrees(value: &DeValue) -> Option<f64> {
    let text = match value {
        DeValue::String(text) => text.trim(),
        DeValue::Integer(number) if number.radix() == 10 => number.as_str(),
        DeValue::Float(number) => number.as_str(),
        _ => return None,
    };
    let bare = ["degrees", "deg", "°"]
        .iter()
        .find_map(|unit| text.strip_suffix(unit));
    bare.unwrap_or(text).trim().parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_are_read_with_their_unit_or_without() {
        let read = |text: &str| {
            let value = DeValue::parse(text).unwrap();
            degrees(value.get_ref())
        };
        for text in [
            "24",
            "24.0",
            "\"24\"",
            "\"24 deg\"",
            "\"24°\"",
            "\"24 degrees\"",
        ] {
            assert_eq!(read(text), Some(24.0), "{text}");
        }
        for text in ["true", "\"steep\"", "\"2 cm\"", "0x18"] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
