//! Writes the construction as numbered instructions.

use crate::draft::{Construction, Draft, Makes, Section};
use crate::geometry;
use crate::sheets::words;
use crate::units::Unit;

/// One instruction, or what stands between instructions.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Instruction {
    /// The piece that the next instructions draw.
    Heading(String),
    /// One step: `7: from 3, down 24.6 (depth of scye)`.
    Step(String),
    /// The lengths to measure when the piece is drawn.
    Check(String),
}

/// Writes all instructions in the order of drawing.
pub(super) fn lines(construction: &Construction, unit: Unit) -> Vec<Instruction> {
    let draft = &construction.draft;
    let sections = construction.sections.iter();
    sections
        .flat_map(|section| of(section, draft, unit))
        .collect()
}

fn of(section: &Section, draft: &Draft, unit: Unit) -> Vec<Instruction> {
    let piece = &draft[section.piece];
    let mut lines = vec![Instruction::Heading(words::capital(&piece.name))];
    let made = section.made.iter();
    let made = made.filter(|made| draft.is_chalked(**made, unit));
    lines.extend(made.map(|made| Instruction::Step(step(*made, draft, unit))));
    if lines.len() == 1 {
        lines.push(Instruction::Step("from what is drawn already".to_owned()));
    }
    let edges: Vec<String> = (piece.edges.iter())
        .map(|edge| {
            let long = measured(geometry::length(&edge.path), unit);
            format!("{} {long}", edge.name)
        })
        .collect();
    lines.push(Instruction::Check(format!(
        "Net edges: {}.",
        edges.join(", ")
    )));
    lines
}

/// Writes one step. It begins with the number of a point, or with the name of a curve.
fn step(made: Makes, draft: &Draft, unit: Unit) -> String {
    let instruction = draft.instruction(made, unit);
    match made {
        Makes::Point(n) => {
            let point = n.checked_sub(1).and_then(|i| draft.points.get(i));
            match point.and_then(|point| point.name.as_ref()) {
                Some(name) => format!("{n}: {instruction} · {name}"),
                None => format!("{n}: {instruction}"),
            }
        }
        Makes::Curve(n) => {
            let curve = n.checked_sub(1).and_then(|i| draft.curves.get(i));
            let long = curve.map_or(0.0, |curve| geometry::length(&curve.path));
            let name = curve.and_then(|curve| curve.name.clone());
            let name = name.map_or_else(String::new, |name| format!("{name}: "));
            format!("{name}{instruction}; {} long", measured(long, unit))
        }
    }
}

/// Writes a length to measure: to the millimetre, or to the sixteenth of an inch.
fn measured(mm: f64, unit: Unit) -> String {
    match unit {
        Unit::Cm => unit.number(mm),
        Unit::Inch => unit.fine(mm),
    }
}
