//! Checking the cloth.

use super::file::{self, Written};
use super::length::{Unit, parse};
use super::price::Price;
use super::reading::Findings;
use super::repeats::Threads;
use super::words::{repeated, shown};
use super::{Cloth, Face, House, HouseNumber, Layout, Material, Nap, text};
use crate::diagnostic::Diagnostic;
use std::ops::Range;
use toml::Spanned;

/// A section that describes a cloth.
pub(super) struct Asked<'a> {
    /// Its name in the file.
    pub section: &'a str,
    /// What stands in it.
    pub raw: file::Cloth,
    /// The place of its header.
    pub header: Option<Range<usize>>,
}

/// Checks a cloth; what the order leaves out comes from the house, and the repeat from the threads, if they are
/// described. Returns `None` if it has no name.
pub(super) fn check(
    asked: Asked,
    house: &House,
    threads: Option<&Threads>,
    mut material: Material,
    findings: &mut Findings,
) -> Option<Cloth> {
    let raw = asked.raw;
    let name = name(asked.section, raw.name, asked.header, findings)?;
    let length = |key: &str, given: Option<Spanned<Written>>, usual, found: &mut Findings| {
        let (least, most) = house.bounds(&format!("cloth.{key}"));
        let read = |written| 10.0 * centimetres(key, &written, least, most, found);
        given.map_or(house.value(usual), read)
    };
    let width = length("width", raw.width, HouseNumber::ClothWidth, findings);
    let selvedge = length(
        "selvedge",
        raw.selvedge,
        HouseNumber::ClothSelvedge,
        findings,
    );
    let derived = threads.map_or([0.0; 2], |threads| threads.repeat);
    let repeat_across = repeat("repeat_across", raw.repeat_across, derived[0], findings);
    let repeat_along = repeat("repeat_along", raw.repeat_along, derived[1], findings);
    let gap = length("gap", raw.gap, HouseNumber::ClothGap, findings);
    let remnants = remnants(&raw.remnants, findings);
    let price = raw.price.and_then(|raw| price(&raw, findings));
    let shrinkage = match raw.shrinkage {
        Some(raw) => fraction(&raw, house, findings),
        None => house.value(HouseNumber::ClothShrinkage),
    };
    let patterned = repeat_across > 0.0 || repeat_along > 0.0;
    let layout = layout(raw.layout, patterned, findings);
    let nap = raw.nap.map_or(Nap::TwoWays, Nap::from);
    let face = match house.word("cloth.face") {
        Some("up") => Face::Up,
        _ => Face::Down,
    };
    if let Some(threads) = threads {
        threads.doubts([repeat_across, repeat_along], nap, findings);
    }
    material.change(|known| (known.width, known.nap, known.layout) = (width, nap, layout));
    Some(Cloth {
        material,
        name: text::line(name, findings)?,
        width,
        selvedge,
        repeat_across,
        repeat_along,
        nap,
        layout,
        face,
        shrinkage,
        gap,
        remnants,
        price,
    })
}

fn name(
    section: &str,
    name: Option<Spanned<String>>,
    header: Option<Range<usize>>,
    findings: &mut Findings,
) -> Option<Spanned<String>> {
    if name.is_none() && !findings.is_left_out(section, "name") {
        let fault = Diagnostic::error(format!("[{section}] needs a name"));
        findings.missing(
            header,
            fault.help("name = \"…\" is printed on the ticket and the lay"),
        );
    }
    name
}

/// Reads the repeat of a pattern in mm, 0 where there is none; where the order leaves it out, it is the one derived
/// from the threads. A repeat too fine to be matched is a fault.
fn repeat(name: &str, raw: Option<Spanned<Written>>, derived: f64, findings: &mut Findings) -> f64 {
    let Some(raw) = raw else { return derived };
    let repeat = 10.0 * centimetres(name, &raw, 0.0, WIDEST_REPEAT, findings);
    if repeat > 0.0 && repeat < FINEST_REPEAT {
        let fault = Diagnostic::error(format!("{name}: a repeat this small cannot be matched"));
        findings.at(
            raw.span(),
            fault.help("leave it out, and the pieces are laid as on plain cloth"),
        );
    }
    repeat
}

fn price(raw: &Spanned<Written>, findings: &mut Findings) -> Option<Price> {
    match Price::read(raw.get_ref()) {
        Ok(price) => Some(price),
        Err(fault) => {
            findings.at(raw.span(), Diagnostic::error(format!("price: {fault}")));
            None
        }
    }
}

/// Reads the lengths of the pieces of cloth at hand, in mm.
fn remnants(raw: &[Spanned<Written>], findings: &mut Findings) -> Vec<f64> {
    if let Some(beyond) = raw.get(MOST_REMNANTS) {
        let fault = Diagnostic::error(format!("remnants: at most {MOST_REMNANTS} pieces of cloth"));
        findings.at(beyond.span(), fault);
    }
    let pieces = raw.iter().take(MOST_REMNANTS);
    pieces
        .map(|piece| 10.0 * centimetres("remnants", piece, 10.0, 2000.0, findings))
        .collect()
}

/// Decides how the cloth lies on the table: doubled, unless the order or a pattern asks for it open.
fn layout(raw: Option<Spanned<file::Layout>>, patterned: bool, findings: &mut Findings) -> Layout {
    let Some(raw) = raw else {
        return if patterned {
            Layout::Open
        } else {
            Layout::Doubled
        };
    };
    if patterned && matches!(raw.get_ref(), file::Layout::Doubled) {
        let doubt = Diagnostic::warning(
            "on a doubled check or stripe the under ply's repeat cannot be seen",
        );
        findings.at(
            raw.span(),
            doubt.help("pin both plies repeat to repeat, or lay it open"),
        );
    }
    raw.into_inner().into()
}

/// Reads a length in cm between two bounds; the lower bound stands in for one that is refused.
pub(super) fn centimetres(
    name: &str,
    raw: &Spanned<Written>,
    least: f64,
    most: f64,
    findings: &mut Findings,
) -> f64 {
    let cm = match raw.get_ref() {
        Written::Number(cm) => Ok(*cm),
        Written::Text(text) => parse(text, Unit::Cm).map(|mm| mm / 10.0),
    };
    let unit = findings.unit;
    let fault = match cm {
        Ok(cm) if (least..=most).contains(&cm) => return cm,
        Ok(cm) => {
            let fault = Diagnostic::error(format!(
                "{name}: {} is outside {} to {}",
                repeated(cm, unit),
                unit.number(10.0 * least),
                unit.show(10.0 * most)
            ));
            let fault = fault.note("numbers without a unit are cm here");
            // A length that names its unit was not meant in another.
            let bare = matches!(raw.get_ref(), Written::Number(_));
            let believed = |value: f64| bare && (least..=most).contains(&value);
            if believed(cm * 2.54) {
                fault.help(format!("if it is in inches, write \"{} in\"", shown(cm)))
            } else if believed(cm * 100.0) {
                fault.help(format!("if it is in metres, write {}", shown(cm * 100.0)))
            } else {
                fault
            }
        }
        Err(fault) => Diagnostic::error(format!("{name}: {fault}")),
    };
    findings.at(raw.span(), fault);
    least
}

/// The finest repeat that is matched, in mm (common practice, no source).
const FINEST_REPEAT: f64 = 2.0;

/// The most pieces of one cloth at hand; more are a mistake.
const MOST_REMNANTS: usize = 20;

/// The widest repeat that is believed, in cm.
pub(super) const WIDEST_REPEAT: f64 = 100.0;

/// Reads a fraction (0.03) or a percentage ("3 %").
fn fraction(raw: &Spanned<Written>, house: &House, findings: &mut Findings) -> f64 {
    let (_, most) = house.bounds(HouseNumber::ClothShrinkage.name());
    let (fraction, hundred) = match raw.get_ref() {
        Written::Number(fraction) => (Some(*fraction), *fraction),
        Written::Text(text) => {
            let number = text
                .trim()
                .strip_suffix('%')
                .and_then(|n| n.trim().replace(',', ".").parse::<f64>().ok());
            (number.map(|n| n / 100.0), 0.0)
        }
    };
    if let Some(fraction) = fraction.filter(|f| (0.0..=most).contains(f)) {
        return fraction;
    }
    let mut fault = Diagnostic::error(format!(
        "shrinkage is a fraction from 0 to {most}, or text such as \"3 %\""
    ));
    if (0.0..=100.0 * most).contains(&hundred) && hundred > 0.0 {
        fault = fault.help(format!("for {0} per cent, write \"{0} %\"", shown(hundred)));
    }
    findings.at(raw.span(), fault);
    0.0
}

#[cfg(test)]
mod tests {
    use crate::diagnostic::{Diagnostic, Source};
    use std::path::Path;

    /// The shrinkage of the plain order with it written so.
    fn shrinkage(written: &str) -> Result<f64, Vec<Diagnostic>> {
        let text = std::fs::read_to_string("examples/plain-worsted.toml").unwrap();
        let with = format!("width = 150\nshrinkage = {written}");
        let text = text.replacen("width = 150", &with, 1);
        let checked = crate::order::parse("x", &Source::new("x.toml", text), Path::new(""));
        checked.map(|checked| checked.order.cloth.shrinkage)
    }

    #[test]
    fn a_width_is_read_in_its_own_unit() {
        let width = |written: &str| {
            let text = std::fs::read_to_string("examples/plain-worsted.toml").unwrap();
            let text = text.replacen("width = 150", &format!("width = {written}"), 1);
            let source = Source::new("x.toml", text);
            let checked = crate::order::parse("x", &source, Path::new("")).unwrap();
            checked.order.cloth.width
        };
        for (written, mm) in [
            ("148.5", 1485.0),
            ("\"148.5 cm\"", 1485.0),
            ("\"60 in\"", 1524.0),
        ] {
            assert!((width(written) - mm).abs() < 1e-9, "{written}");
        }
    }

    #[test]
    fn shrinkage_is_a_fraction_or_a_percentage() {
        for (written, read) in [
            ("0", 0.0),
            ("0.04", 0.04),
            ("\"3 %\"", 0.03),
            ("\"2,5%\"", 0.025),
        ] {
            assert_eq!(shrinkage(written).unwrap(), read, "{written}");
        }
        for (written, help) in [
            ("3", "for 3 per cent, write \"3 %\""),
            ("80", ""),
            ("\"lots\"", ""),
            ("\"3\"", ""),
        ] {
            let faults = shrinkage(written).unwrap_err();
            assert_eq!(faults.len(), 1, "{faults:?}");
            assert_eq!(faults[0].help.join(" "), help, "{written}");
        }
    }
}
