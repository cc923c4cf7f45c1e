//! The construction as numbered instructions.

use crate::draft::{Construction, Draft, Makes, Section};
use crate::geometry;

/// One line of the instructions.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Line {
    /// The piece that the next lines are for.
    Heading(String),
    /// An instruction: `7: from 3, down 24.6 (depth of scye)`.
    Step(String),
    /// What to measure when the piece is drawn.
    Check(String),
}

/// All instructions in order.
pub(super) fn lines(construction: &Construction) -> Vec<Line> {
    let draft = &construction.draft;
    let sections = construction.sections.iter();
    sections.flat_map(|section| of(section, draft)).collect()
}

fn of(section: &Section, draft: &Draft) -> Vec<Line> {
    let piece = &draft[section.piece];
    let mut lines = vec![Line::Heading(crate::sheets::words::capital(&piece.name))];
    lines.extend(
        section
            .made
            .iter()
            .map(|made| Line::Step(step(*made, draft))),
    );
    if section.made.is_empty() {
        lines.push(Line::Step("from what is drawn already".to_owned()));
    }
    let edges: Vec<String> = (piece.edges.iter())
        .map(|edge| format!("{} {}", edge.name, cm(geometry::length(&edge.path))))
        .collect();
    lines.push(Line::Check(format!("Net edges: {}.", edges.join(", "))));
    lines
}

/// A point's instruction begins with its number, a curve's with its name.
fn step(made: Makes, draft: &Draft) -> String {
    let instruction = draft.instruction(made);
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
            format!("{name}{instruction}; {} long", cm(long))
        }
    }
}

/// A length in cm to the millimetre.
fn cm(mm: f64) -> String {
    format!("{:.1}", mm / 10.0)
}
