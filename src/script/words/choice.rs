//! Words and names that a script chooses from a list, and what a fault says of one that is not on it.

use crate::diagnostic::nearest;
use crate::order::Side;
use crate::script::numbers::{Made, fault};
use rhai::NativeCallContext;

const SIDES: [(&str, Option<Side>); 3] = [
    ("left", Some(Side::Left)),
    ("right", Some(Side::Right)),
    ("both", None),
];

/// Returns the meaning of a word.
///
/// # Errors
/// When the word is none of the list.
pub(super) fn one_of<T: Copy>(ctx: &NativeCallContext, word: &str, words: &[(&str, T)]) -> Made<T> {
    let found = words.iter().find(|(name, _)| *name == word);
    found.map(|(_, value)| *value).ok_or_else(|| {
        let names: Vec<&str> = words.iter().map(|(name, _)| *name).collect();
        let meant = nearest(word, names.iter().copied());
        let meant = meant.map_or(String::new(), |name| format!(" (perhaps '{name}')"));
        let all = names.join(", ");
        fault(ctx, format!("'{word}'{meant} is none of: {all}"))
    })
}

/// Returns the side that a word names, or `None` for "both".
pub(super) fn side(ctx: &NativeCallContext, word: &str) -> Made<Option<Side>> {
    one_of(ctx, word, &SIDES)
}

/// Returns the side that a word names, where "both" makes no sense.
pub(super) fn one_side(ctx: &NativeCallContext, word: &str) -> Made<Side> {
    let sides = [Side::Left, Side::Right].map(|side| (side.word(), side));
    one_of(ctx, word, &sides)
}

/// Ends a sentence with the names of a list, after the one that was probably meant by `found`.
pub(super) fn choices<'a>(found: &str, names: impl Iterator<Item = &'a str>) -> String {
    let names: Vec<&str> = names.collect();
    let meant = nearest(found, names.iter().copied());
    let meant = meant.map_or(String::new(), |name| format!("perhaps '{name}'; "));
    match names.as_slice() {
        [] => "there is none".to_owned(),
        names => format!("{meant}there are {}", names.join(", ")),
    }
}
