//! Lengths as a cutter writes them: `100`, `"39.5 cm"`, `"395 mm"`, `"15 1/2 in"`, `"5 ft 9 in"`.

use crate::units::INCH;
pub use crate::units::Unit;

/// Reads a length written as text, in mm; `bare` is the unit of a number that names none.
///
/// Inches may have a fraction (`15 1/2 in`, `15-1/2"`, `15½ in`), feet may be followed by inches
/// (`5 ft 9 in`, `5'9"`), a decimal comma is read as a point.
///
/// # Errors
/// Returns what is wrong with a text that is no length.
pub fn parse(text: &str, bare: Unit) -> Result<f64, String> {
    let plain = plain(text);
    let mut rest = plain.trim();
    if rest.is_empty() {
        return Err("no length is given".into());
    }
    if rest.starts_with('-') {
        return Err("a length cannot be negative".into());
    }
    let mut total = 0.0;
    let mut feet = false;
    while !rest.is_empty() {
        let (quantity, after) = quantity(rest).ok_or_else(|| not_understood(text))?;
        let (unit, after) = unit(after, if feet { Unit::Inch } else { bare })?;
        let again = feet && unit != INCH;
        feet = unit == 12.0 * INCH;
        total += quantity * unit;
        rest = after.trim_start();
        if again || !(feet || rest.is_empty()) {
            return Err(not_understood(text));
        }
    }
    Ok(total)
}

fn not_understood(text: &str) -> String {
    format!("`{text}` is not a length")
}

/// Puts a text into lower case, with typographic fractions and quotes in their plain form.
fn plain(text: &str) -> String {
    let mut plain = String::new();
    for c in text.to_lowercase().chars() {
        match c {
            '¼' => plain.push_str(" 1/4"),
            '½' => plain.push_str(" 1/2"),
            '¾' => plain.push_str(" 3/4"),
            '⅛' => plain.push_str(" 1/8"),
            '⅜' => plain.push_str(" 3/8"),
            '⅝' => plain.push_str(" 5/8"),
            '⅞' => plain.push_str(" 7/8"),
            '⁄' => plain.push('/'),
            '″' | '”' | '“' => plain.push('"'),
            '′' | '’' | '‘' => plain.push('\''),
            ',' => plain.push('.'),
            _ => plain.push(c),
        }
    }
    plain.replace("''", "\"")
}

/// Reads `15 1/2`, `15-1/2`, `1/2` or `39.5` from the front of the text, and returns what follows.
fn quantity(text: &str) -> Option<(f64, &str)> {
    let (whole, after) = number(text)?;
    if let Some(after) = after.strip_prefix('/') {
        let (below, after) = number(after)?;
        return (below > 0.0).then_some((whole / below, after));
    }
    let part = after.strip_prefix('-').unwrap_or(after).trim_start();
    if let Some((above, rest)) = number(part)
        && let Some((below, rest)) = rest.strip_prefix('/').and_then(number)
        && above < below
        && whole.fract() == 0.0
    {
        return Some((whole + above / below, rest));
    }
    Some((whole, after))
}

fn number(text: &str) -> Option<(f64, &str)> {
    let end = text
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    if digits.is_empty() || digits.len() > 12 {
        return None;
    }
    Some((digits.parse().ok()?, rest))
}

/// Reads the unit at the front of the text, or takes that of a bare number, in mm, and returns what follows.
fn unit(text: &str, bare: Unit) -> Result<(f64, &str), String> {
    let text = text.trim_start();
    let end = text
        .find(|c: char| !c.is_alphabetic())
        .unwrap_or(text.len());
    let end = if end == 0 && text.starts_with(['"', '\'']) {
        1
    } else {
        end
    };
    let (name, rest) = text.split_at(end);
    let rest = rest.strip_prefix('.').unwrap_or(rest);
    let mm = match name {
        "" => bare.mm(),
        "cm" | "centimetre" | "centimetres" => 10.0,
        "mm" | "millimetre" | "millimetres" => 1.0,
        "in" | "inch" | "inches" | "\"" => INCH,
        "ft" | "foot" | "feet" | "'" => 12.0 * INCH,
        "yd" | "yard" | "yards" => 36.0 * INCH,
        "m" | "metre" | "metres" => 1000.0,
        _ => {
            return Err(format!(
                "`{name}` is not a unit of length: there are cm, mm, m, in, ft and yd"
            ));
        }
    };
    Ok((mm, rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_cutters_write() {
        let cases = [
            ("39.5 cm", 395.0),
            ("39,5cm", 395.0),
            ("395 mm", 395.0),
            ("1.76 m", 1760.0),
            ("15 1/2 in", 393.7),
            ("15 1/2\"", 393.7),
            ("15-1/2 inches", 393.7),
            ("15½″", 393.7),
            ("15.5 in.", 393.7),
            ("3/8 in", 9.525),
            ("5 ft 9 in", 1752.6),
            ("5'9\"", 1752.6),
            ("5' 9 1/2\"", 1765.3),
            ("5 ft 9", 1752.6),
            ("6 ft", 1828.8),
            ("3 1/2 yd", 3200.4),
            ("7⁄8 in", 22.225),
            ("5′9″", 1752.6),
            ("5’9”", 1752.6),
            ("5''", 127.0),
        ];
        for (text, mm) in cases {
            let read = parse(text, Unit::Cm).unwrap();
            assert!((read - mm).abs() < 1e-9, "{text}: {read}");
        }
        for (eighth, sign) in (1_u8..8).zip("⅛¼⅜½⅝¾⅞".chars()) {
            let read = parse(&format!("15{sign} in"), Unit::Cm).unwrap();
            let mm = (15.0 + f64::from(eighth) / 8.0) * INCH;
            assert!((read - mm).abs() < 1e-9, "{sign}: {read}");
        }
        assert_eq!(parse("15 1/2", Unit::Inch).unwrap(), 393.7);
        assert_eq!(parse("40", Unit::Cm).unwrap(), 400.0);
    }

    #[test]
    fn refuses_what_is_not_a_length() {
        let wrong = [
            "",
            "  ",
            "tall",
            "-3 cm",
            "12 elbows",
            "15 3/2 in",
            "1/0 in",
            "3 cm 2 mm",
            "1.2.3 cm",
            "5 ft 9 cm",
            "5 ft 9 ft",
            "15 1/ in",
            "15.5 1/2 in",
            "9999999999999999 cm",
            "\"",
            "cm",
        ];
        for text in wrong {
            assert!(parse(text, Unit::Cm).is_err(), "{text} was read");
        }
        let told = |text: &str| parse(text, Unit::Cm).unwrap_err();
        assert_eq!(told("3 cm 2 mm"), "`3 cm 2 mm` is not a length");
        assert_eq!(told("tall"), "`tall` is not a length");
    }

    #[test]
    fn shows_cm_and_eighths_of_an_inch() {
        assert_eq!(Unit::Cm.show(395.04), "39.5 cm");
        assert_eq!(Unit::Inch.show(393.7), "15 1/2 in");
        assert_eq!(Unit::Inch.show(INCH * 0.25), "1/4 in");
        assert_eq!(Unit::Inch.show(INCH * 15.99), "16 in");
        assert_eq!(Unit::Inch.show(-INCH * 1.5), "-1 1/2 in");
        assert_eq!(Unit::Inch.show(-INCH * 0.01), "0 in");
    }
}
