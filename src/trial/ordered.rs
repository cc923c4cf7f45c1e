//! An order for a figure, with some choices and corrections.

use super::bodies::Body;
use super::picks::Pick;
use crate::diagnostic::{Diagnostic, Source};
use crate::order::choices::Choices;
use crate::order::{self, Order, Style};
use crate::units::Unit;
use crate::workshop::Workshop;
use std::fmt::Write;
use std::path::Path;

/// Makes the order of one garment for a figure. Of the picks those are left out that have no meaning beside the others;
/// `figure` is a line of `[figure]`, or nothing.
///
/// # Errors
/// Returns what is wrong with the garment's choices, or what the order is refused for.
pub fn ordered(
    workshop: &Workshop,
    garment: &str,
    body: Body,
    picks: &[Pick],
    figure: &str,
) -> Result<Order, Vec<Diagnostic>> {
    let choices = workshop
        .catalogue
        .choices(garment)
        .map_err(|fault| vec![fault])?;
    let mut taken = String::new();
    let besides = workshop.catalogue.besides(garment).into_iter();
    for own in besides.flat_map(|besides| &besides.measures) {
        if own.required {
            let look = |name: &str| body.measure(name);
            let _ = writeln!(taken, "{} = {}", own.name, own.example(&look));
        }
    }
    let Body {
        height,
        chest,
        waist,
        seat,
        neck,
    } = body;
    let text = format!(
        "[client]\nname = \"A trial\"\nreference = \"T-1\"\ndate = 2026-03-02\n\
         [measures]\nheight = {height}\nchest = {chest}\nwaist = {waist}\nseat = {seat}\nneck = {neck}\n{taken}\
         [cloth]\nname = \"worsted\"\nwidth = 150\nlayout = \"open\"\n[figure]\n{figure}\n[{garment}]\n{}",
        lines(choices, picks)
    );
    let source = Source::new("trial", text);
    let open = |_: Option<&Path>| Ok(workshop.catalogue.clone());
    Ok(order::parse_with("trial", &source, Path::new(""), &open)?.order)
}

/// Writes the picks that have a meaning beside those before them.
fn lines(choices: &Choices, picks: &[Pick]) -> String {
    let (mut style, mut lines) = (Style::new(), String::new());
    for declared in &choices.0 {
        let Some(pick) = picks.iter().find(|pick| pick.choice == declared.name) else {
            continue;
        };
        let mut so_far = style.clone();
        choices.complete(&mut so_far);
        let read = toml::from_str::<toml::Table>(&format!("v = {}", pick.value));
        let value = read.ok().and_then(|table| table.get("v").cloned());
        let admitted = value.and_then(|value| declared.domain.admit(&value, Unit::Cm).ok());
        if let Some(choice) = admitted.filter(|_| declared.has_meaning(&so_far)) {
            style.insert(declared.name.clone(), choice);
            let _ = writeln!(lines, "{} = {}", pick.choice, pick.value);
        }
    }
    lines
}
