//! Lengths on the command line that are in metres unless they name a unit.

use chalkstripe::order::length::{Unit, parse};

/// Reads a length of cloth, or of what it lies on, in metres unless a unit is named.
pub(super) fn parsed(text: &str) -> Result<f64, String> {
    let plain = text.trim();
    let metres = plain
        .strip_suffix('m')
        .filter(|rest| !rest.ends_with(['c', 'm']));
    let bare = metres.unwrap_or(plain).trim().replace(',', ".");
    let mm = match bare.parse::<f64>() {
        Ok(number) => number * 1000.0,
        Err(_) => parse(plain, Unit::Cm)?,
    };
    if (100.0..=200_000.0).contains(&mm) {
        Ok(mm)
    } else {
        Err("give a length from 0.1 to 200 m; a number without a unit is in metres".to_owned())
    }
}
