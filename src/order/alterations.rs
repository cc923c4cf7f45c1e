//! The alterations that a tailor asks for at a baste, each by the correction that it adds to.

/// One alteration that a tailor asks for at a baste.
#[derive(Debug)]
pub struct Alteration {
    /// Its key in a `[[fitting]]`.
    pub name: &'static str,
    /// The correction it adds to.
    pub correction: &'static str,
    /// 1, or -1 if it takes away.
    pub way: f64,
    /// How the ticket says it, before the amount.
    pub words: &'static str,
}

macro_rules! alterations {
    ($($name:literal, $correction:literal, $way:literal, $words:literal;)*) => {
        &[$(Alteration { name: $name, correction: $correction, way: $way, words: $words },)*]
    };
}

/// Every alteration that a `[[fitting]]` may have.
pub const ALTERATIONS: &[Alteration] = alterations! {
    "let_out_side_seams", "side_seams", 1.0, "let out the side seams, each by";
    "take_in_side_seams", "side_seams", -1.0, "take in the side seams, each by";
    "pass_shoulder_back", "shoulder_back", 1.0, "pass the shoulder back by";
    "pass_shoulder_forward", "shoulder_back", -1.0, "pass the shoulder forward by";
    "lower_shoulder", "sloping_shoulders", 1.0, "lower the shoulder by";
    "raise_shoulder", "sloping_shoulders", -1.0, "raise the shoulder by";
    "lengthen_back_balance", "back_balance", 1.0, "lengthen the back balance by";
    "shorten_back_balance", "back_balance", -1.0, "shorten the back balance by";
    "lengthen_front_balance", "front_balance", 1.0, "lengthen the front balance by";
    "shorten_front_balance", "front_balance", -1.0, "shorten the front balance by";
    "lower_collar", "collar_height", -1.0, "lower the collar by";
    "raise_collar", "collar_height", 1.0, "raise the collar by";
    "more_drape", "drape", 1.0, "more drape over the blade, by";
    "less_drape", "drape", -1.0, "less drape over the blade, by";
    "take_in_hollow_of_back", "hollow_back", 1.0, "take in the hollow of the back by";
    "take_in_belly_cut", "belly_cut", 1.0, "take in the belly cut by";
    "let_out_belly_cut", "belly_cut", -1.0, "let out the belly cut by";
    "lengthen_sleeves", "long_arms", 1.0, "lengthen the sleeves by";
    "shorten_sleeves", "long_arms", -1.0, "shorten the sleeves by";
    "pitch_sleeves_forward", "arms_forward", 1.0, "pitch the sleeves forward by";
    "pitch_sleeves_back", "arms_forward", -1.0, "pitch the sleeves back by";
    "lengthen_coat", "coat_length", 1.0, "lengthen the jacket by";
    "shorten_coat", "coat_length", -1.0, "shorten the jacket by";
    "let_out_waist", "trouser_waist", 1.0, "let out the waist of the trousers by";
    "take_in_waist", "trouser_waist", -1.0, "take in the waist of the trousers by";
    "let_out_seat", "trouser_seat", 1.0, "let out the seat by";
    "take_in_seat", "trouser_seat", -1.0, "take in the seat by";
    "lengthen_seat", "prominent_seat", 1.0, "lengthen over the seat by";
    "shorten_seat", "prominent_seat", -1.0, "shorten over the seat by";
    "let_out_thighs", "full_thighs", 1.0, "let out the thighs by";
    "lengthen_trousers", "trouser_length", 1.0, "lengthen the trousers by";
    "shorten_trousers", "trouser_length", -1.0, "shorten the trousers by";
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::corrections::{correction, keys};

    #[test]
    fn names_are_distinct_and_alterations_lead_somewhere() {
        let all: Vec<&str> = keys().chain(ALTERATIONS.iter().map(|a| a.name)).collect();
        let distinct: std::collections::BTreeSet<&&str> = all.iter().collect();
        assert_eq!(all.len(), distinct.len());
        for a in ALTERATIONS {
            assert!(correction(a.correction).is_some(), "{}", a.name);
        }
    }
}
