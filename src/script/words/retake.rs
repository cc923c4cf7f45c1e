//! Advice for measures that do not go together: measures that were taken are taken again, and measures that
//! were derived from others are taken for the first time.

use crate::order::{Measures, Origin};
use rhai::{Dynamic, Engine, NativeCallContext};

/// Registers `again([names])` for the measures of one order.
pub(crate) fn register(engine: &mut Engine, measures: &Measures) {
    let measures = measures.clone();
    engine.register_fn(
        "again",
        move |ctx: NativeCallContext, names: rhai::Array| -> super::super::numbers::Made<String> {
            let name = |name: Dynamic| {
                let name = name.into_string().unwrap_or_default();
                match measures.0.get(&name) {
                    Some(measure) => Ok((name, measure.origin)),
                    None => {
                        let told = format!("`{name}` is not a measure of this order");
                        Err(super::super::numbers::fault(&ctx, told))
                    }
                }
            };
            let named: Vec<(String, Origin)> =
                names.into_iter().map(name).collect::<Result<_, _>>()?;
            Ok(again(&named))
        },
    );
}

fn again(named: &[(String, Origin)]) -> String {
    let of = |origin: Origin| named.iter().filter(move |(_, from)| *from == origin);
    let taken: Vec<&str> = of(Origin::Taken).map(|(name, _)| name.as_str()).collect();
    let derived: Vec<&str> = of(Origin::Derived).map(|(name, _)| name.as_str()).collect();
    let mut told = Vec::new();
    if !taken.is_empty() {
        told.push(format!("measure {} again", listed(&taken)));
    }
    if !derived.is_empty() {
        let (was, it) = match derived.len() {
            1 => ("was", "it"),
            _ => ("were", "them"),
        };
        told.push(format!(
            "{} {was} derived, not measured: measure {it}",
            listed(&derived)
        ));
    }
    told.join("; ")
}

/// Joins names as in a sentence: `a, b and c`.
fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_was_taken_is_taken_again() {
        let named = |names: &[(&str, Origin)]| -> Vec<(String, Origin)> {
            names.iter().map(|(n, o)| ((*n).to_owned(), *o)).collect()
        };
        let (taken, derived) = (Origin::Taken, Origin::Derived);
        assert_eq!(
            again(&named(&[("seat", taken), ("thigh", taken)])),
            "measure seat and thigh again"
        );
        assert_eq!(
            again(&named(&[("seat", taken), ("inside_leg", derived)])),
            "measure seat again; inside_leg was derived, not measured: measure it"
        );
        assert_eq!(
            again(&named(&[("outside_leg", derived), ("inside_leg", derived)])),
            "outside_leg and inside_leg were derived, not measured: measure them"
        );
    }
}
