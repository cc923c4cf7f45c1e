//! The steps of a construction in words, with this client's numbers.

use super::making::{Drawn, is_nothing};
use super::types::{Draft, Makes};
use crate::geometry;
use crate::units::Unit;

/// Depth to which a curve without a name is described by the curves it is drawn from. Deeper ones would make
/// an instruction that nobody reads.
const DEEPEST: usize = 4;
/// Number of curves that one instruction names.
const MOST_NAMES: usize = 12;

impl Draft {
    /// Returns the instruction of a step, lengths in a unit that is not named: `from 3, down 24.6 (depth of
    /// scye)`. It is empty for a step whose point or curve is not on the board.
    pub fn instruction(&self, makes: Makes, unit: Unit) -> String {
        let names = |curves: &[usize]| names(self, curves, unit, 0);
        match makes {
            Makes::Point(n) => match n.checked_sub(1).and_then(|i| self.points.get(i)) {
                Some(point) if point.why.is_empty() => point.how.words(unit, names),
                Some(point) => format!("{} ({})", point.how.words(unit, names), point.why),
                None => String::new(),
            },
            Makes::Curve(n) => match n.checked_sub(1).and_then(|i| self.curves.get(i)) {
                Some(curve) => curve.how.words(unit, names),
                None => String::new(),
            },
        }
    }

    /// Tells whether a step is one to chalk: every point is, and a curve that is longer than nothing.
    pub fn is_chalked(&self, makes: Makes, unit: Unit) -> bool {
        match makes {
            Makes::Point(_) => true,
            Makes::Curve(n) => {
                let curve = n.checked_sub(1).and_then(|i| self.curves.get(i));
                curve.is_some_and(|curve| !is_nothing(geometry::length(&curve.path), unit))
            }
        }
    }
}

/// Refers to curves by their names, or by the points or curves they are drawn from.
fn names(draft: &Draft, curves: &[usize], unit: Unit, depth: usize) -> String {
    let name = |n: &usize| {
        let Some(curve) = n.checked_sub(1).and_then(|i| draft.curves.get(i)) else {
            return "a curve".to_owned();
        };
        match (&curve.name, &curve.how) {
            (Some(name), _) => format!("the {name}"),
            (None, Drawn::Line(a, b)) => format!("the line {a}–{b}"),
            (None, Drawn::Through(knots)) => {
                let knots: Vec<String> = knots.iter().map(|(knot, _)| knot.to_string()).collect();
                format!("the curve {}", knots.join("–"))
            }
            (None, Drawn::Stretched(on, ..)) if depth < DEEPEST => {
                format!("the trace of {}", names(draft, on, unit, depth + 1))
            }
            (None, how) if depth < DEEPEST => {
                how.words(unit, |on| names(draft, on, unit, depth + 1))
            }
            (None, _) => "a curve drawn before".to_owned(),
        }
    };
    let chalked: Vec<&usize> = (curves.iter())
        .filter(|n| draft.is_chalked(Makes::Curve(**n), unit))
        .collect();
    let mut names: Vec<String> = chalked.iter().take(MOST_NAMES).map(|n| name(n)).collect();
    if chalked.len() > MOST_NAMES {
        names.push("and so on".to_owned());
    }
    names.join(", then ")
}

#[cfg(test)]
mod tests {
    use super::super::types::BoardCurve;
    use super::*;
    use kurbo::{BezPath, Line, Shape};

    /// A draft of curves of a length of 10 mm: so many with the names of their numbers, then these without.
    fn draft(named: usize, hows: Vec<Drawn>) -> Draft {
        let path: BezPath = Line::new((0.0, 0.0), (10.0, 0.0)).to_path(0.1);
        let names = (1..=named).map(|number| (Some(number.to_string()), Drawn::Line(1, 2)));
        let all = names.chain(hows.into_iter().map(|how| (None, how)));
        let curve = |(i, (name, how))| BoardCurve {
            number: i + 1,
            name,
            path: path.clone(),
            how,
        };
        Draft {
            curves: all.enumerate().map(curve).collect(),
            ..Draft::default()
        }
    }

    #[test]
    fn an_instruction_names_twelve_curves_and_no_more() {
        for (named, ends) in [(3, "the 3"), (12, "the 12"), (13, "the 12, then and so on")] {
            let draft = draft(named, vec![Drawn::Joined((1..=named).collect())]);
            let told = draft.instruction(Makes::Curve(named + 1), Unit::Cm);
            assert!(
                told.starts_with("along the 1, then the 2") && told.ends_with(ends),
                "{told}"
            );
        }
    }

    #[test]
    fn curves_of_curves_are_described_to_a_depth() {
        // Each but the first is drawn from the one before it.
        let of = |how: fn(Vec<usize>) -> Drawn, times: usize| {
            draft(1, (1..=times).map(|n| how(vec![n])).collect())
        };
        let told = |drawn: &Draft| {
            let last = drawn.curves.len();
            drawn.instruction(Makes::Curve(last), Unit::Cm)
        };
        let five = told(&of(|on| Drawn::Beside(on, 10.0), 5));
        assert!(
            five.starts_with("beside beside beside beside beside the 1, 1 to"),
            "{five}"
        );
        let six = told(&of(|on| Drawn::Beside(on, 10.0), 6));
        assert!(six.contains("beside a curve drawn before, 1 to"), "{six}");
        let traced = told(&of(
            |on| Drawn::Stretched(on, 1, kurbo::Vec2::new(1.1, 1.1)),
            6,
        ));
        assert!(
            traced.contains("the trace of a curve drawn before"),
            "{traced}"
        );
    }
}
