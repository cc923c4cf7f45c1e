//! Checking the cloth.

use super::choices::shown;
use super::file::{self, Written};
use super::length::{Unit, parse};
use super::reading::Findings;
use super::{Cloth, Face, House, Layout, Nap, text};
use crate::diagnostic::Diagnostic;
use std::ops::Range;
use toml::Spanned;

/// Checks the cloth; what the order leaves out comes from the house. `None` if it lacks something
/// nobody else can say.
pub(super) fn check(
    raw: file::Cloth,
    header: Option<Range<usize>>,
    house: &House,
    findings: &mut Findings,
) -> Option<Cloth> {
    let Some(name) = raw.name else {
        if findings.is_left_out("cloth", "name") {
            return None;
        }
        let fault = Diagnostic::error("[cloth] lacks a name");
        findings.missing(
            header,
            fault.help("name = \"…\" is printed on the ticket and the lay"),
        );
        return None;
    };
    let face = match house.word("cloth.face") {
        Some("up") => Face::Up,
        _ => Face::Down,
    };
    let house = |name: &str| house.number(&format!("cloth.{name}")).unwrap_or_default();
    let mut too_fine = Vec::new();
    let mut length = |name: &str, raw: Option<Spanned<Written>>, default: f64, least: f64, most: f64| match raw {
        Some(raw) => centimetres(name, &raw, least, most, findings),
        None => default,
    } * 10.0;
    let width = length("width", raw.width, house("width"), 65.0, 320.0);
    let selvedge = length("selvedge", raw.selvedge, house("selvedge"), 0.0, 6.0);
    let [repeat_across, repeat_along] = [
        ("repeat_across", raw.repeat_across),
        ("repeat_along", raw.repeat_along),
    ]
    .map(|(name, raw)| {
        let place = raw.as_ref().map(Spanned::span);
        let repeat = length(name, raw, 0.0, 0.0, 100.0);
        too_fine.extend(
            place
                .filter(|_| repeat > 0.0 && repeat < FINEST_REPEAT)
                .map(|place| (name, place)),
        );
        repeat
    });
    let gap = length("gap", raw.gap, house("gap"), 0.0, 3.0);
    for (name, place) in too_fine {
        let fault = Diagnostic::error(format!(
            "{name}: a pattern as fine as this cannot be matched"
        ));
        findings.at(
            place,
            "",
            fault.help("leave it out: the pieces are then laid as on plain cloth"),
        );
    }
    if let Some(beyond) = raw.remnants.get(MOST_REMNANTS) {
        let fault = Diagnostic::error(format!("remnants: at most {MOST_REMNANTS} pieces of cloth"));
        findings.at(beyond.span(), "", fault);
    }
    let pieces = raw.remnants.iter().take(MOST_REMNANTS);
    let remnants = pieces
        .map(|piece| 10.0 * centimetres("remnants", piece, 10.0, 2000.0, findings))
        .collect();
    let shrinkage = raw
        .shrinkage
        .map_or(house("shrinkage"), |raw| fraction(&raw, findings));
    let patterned = repeat_across > 0.0 || repeat_along > 0.0;
    let place = raw.layout.as_ref().map(Spanned::span);
    let layout = match raw.layout.map(Spanned::into_inner) {
        Some(file::Layout::Open) => Layout::Open,
        Some(file::Layout::Doubled) => Layout::Doubled,
        None if patterned => Layout::Open,
        None => Layout::Doubled,
    };
    if let (true, Layout::Doubled, Some(place)) = (patterned, layout, place) {
        let doubt =
            Diagnostic::warning("a patterned cloth laid doubled hides how its under ply matches");
        findings.at(
            place,
            "",
            doubt.help("pin both plies pattern to pattern, or lay it open"),
        );
    }
    let nap = match raw.nap {
        Some(file::Nap::OneWay) => Nap::OneWay,
        Some(file::Nap::TwoWays) | None => Nap::TwoWays,
    };
    Some(Cloth {
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
    })
}

/// A length in cm between two bounds; the lower bound stands in for one that is refused.
fn centimetres(
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
    let fault = match cm {
        Ok(cm) if (least..=most).contains(&cm) => return cm,
        Ok(cm) => {
            let fault = Diagnostic::error(format!(
                "{name}: {} cm is outside {least} to {most} cm",
                shown(cm)
            ));
            let fault = fault.note("bare numbers here are cm");
            // What names its unit was not meant in another.
            let bare = matches!(raw.get_ref(), Written::Number(_));
            let believed = |cm: f64| bare && (least..=most).contains(&cm);
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
    findings.at(raw.span(), "", fault);
    least
}

/// A pattern that repeats within less than this, mm, is not matched (common practice, no source).
const FINEST_REPEAT: f64 = 2.0;

/// More pieces of one cloth than this are not a remnant but a mistake.
const MOST_REMNANTS: usize = 20;

/// The most that a cloth is believed to shrink.
const MOST_SHRINKAGE: f64 = 0.15;

/// A fraction (0.03), or so many in the hundred ("3 %").
fn fraction(raw: &Spanned<Written>, findings: &mut Findings) -> f64 {
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
    if let Some(fraction) = fraction.filter(|f| (0.0..=MOST_SHRINKAGE).contains(f)) {
        return fraction;
    }
    let mut fault = Diagnostic::error(format!(
        "shrinkage is a fraction from 0 to {MOST_SHRINKAGE}, or text such as \"3 %\""
    ));
    if (0.0..=100.0 * MOST_SHRINKAGE).contains(&hundred) && hundred > 0.0 {
        fault = fault.help(format!(
            "for {0} in the hundred, write \"{0} %\"",
            shown(hundred)
        ));
    }
    findings.at(raw.span(), "", fault);
    0.0
}
