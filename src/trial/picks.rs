//! The values that are tried of each choice, alone and in pairs.

use crate::order::choices::{Choices, Domain};
use std::collections::BTreeSet;

/// A choice and one value of it, as an order writes them.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pick {
    /// The choice's name.
    pub choice: String,
    /// The value: a word in quotes, or a number.
    pub value: String,
}

/// Writes picks as an order would, on one line.
pub fn written(picks: &[Pick]) -> String {
    let lines = picks
        .iter()
        .map(|pick| format!("{} = {}", pick.choice, pick.value));
    lines.collect::<Vec<String>>().join(", ")
}

/// Lists the values that are tried of each choice: every word, the least and the most.
pub fn values(choices: &Choices) -> Vec<Vec<Pick>> {
    let texts = |domain: &Domain| match domain {
        Domain::Word(words) => words
            .iter()
            .map(|(word, _)| format!("\"{word}\""))
            .collect(),
        Domain::Length(least, most) | Domain::Count(least, most) | Domain::Number(least, most) => {
            vec![least.to_string(), most.to_string()]
        }
        Domain::Flag => vec!["true".to_owned(), "false".to_owned()],
    };
    let of = |declared: &crate::order::choices::Declared| -> Vec<Pick> {
        let pick = |value| Pick {
            choice: declared.name.clone(),
            value,
        };
        texts(&declared.domain).into_iter().map(pick).collect()
    };
    choices.0.iter().map(of).collect()
}

/// Two values of two choices: the places of the choices and of the values.
type Pair = (usize, usize, usize, usize);

/// Returns sets of picks in which every two values of two different choices stand together at least once. It is
/// greedy, in the order of the choices, and gives the same sets every time.
pub fn pairs(values: &[Vec<Pick>]) -> Vec<Vec<Pick>> {
    let mut open = open_pairs(values);
    let mut sets = Vec::new();
    while let Some(&first) = open.iter().next() {
        let chosen = closing(values, &open, first);
        open.retain(|&(a, x, b, y)| chosen.get(a) != Some(&x) || chosen.get(b) != Some(&y));
        let picked = chosen
            .iter()
            .zip(values)
            .filter_map(|(&at, of)| of.get(at).cloned());
        sets.push(picked.collect());
    }
    sets
}

fn open_pairs(values: &[Vec<Pick>]) -> BTreeSet<Pair> {
    let mut open = BTreeSet::new();
    for (a, first) in values.iter().enumerate() {
        for (b, second) in values.iter().enumerate().skip(a + 1) {
            for x in 0..first.len() {
                open.extend((0..second.len()).map(|y| (a, x, b, y)));
            }
        }
    }
    open
}

/// Chooses a value of every choice, so that a pair stands together and many others with it.
fn closing(values: &[Vec<Pick>], open: &BTreeSet<Pair>, (a, x, b, y): Pair) -> Vec<usize> {
    let mut set: Vec<Option<usize>> = (0..values.len())
        .map(|choice| match choice {
            _ if choice == a => Some(x),
            _ if choice == b => Some(y),
            _ => None,
        })
        .collect();
    for choice in 0..values.len() {
        if set.get(choice).is_some_and(Option::is_some) {
            continue;
        }
        let closes = |z: usize| {
            let beside = set.iter().enumerate();
            let picked = beside.filter_map(|(other, value)| Some((other, (*value)?)));
            let pair = |(other, value)| match other < choice {
                true => (other, value, choice, z),
                false => (choice, z, other, value),
            };
            picked.filter(|&at| open.contains(&pair(at))).count()
        };
        // The last of the best: a tie goes to the later value, so that no value is forgotten.
        let best = (0..values.get(choice).map_or(0, Vec::len)).max_by_key(|&z| closes(z));
        if let Some(place) = set.get_mut(choice) {
            *place = best;
        }
    }
    set.into_iter().map(Option::unwrap_or_default).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_two_values_stand_together_in_a_set() {
        let pick = |choice: usize, value: usize| Pick {
            choice: choice.to_string(),
            value: value.to_string(),
        };
        let values: Vec<Vec<Pick>> = [3, 2, 4, 1]
            .iter()
            .enumerate()
            .map(|(choice, count)| (0..*count).map(|value| pick(choice, value)).collect())
            .collect();
        let sets = pairs(&values);
        for (a, first) in values.iter().enumerate() {
            for second in values.iter().skip(a + 1) {
                for one in first {
                    for other in second {
                        assert!(
                            sets.iter()
                                .any(|set| set.contains(one) && set.contains(other))
                        );
                    }
                }
            }
        }
        assert!(
            sets.len() < 24,
            "{} sets, fewer than all together",
            sets.len()
        );
    }
}
