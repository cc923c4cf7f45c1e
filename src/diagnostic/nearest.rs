//! The known word that a misspelt one was meant to be.

/// Returns the word closest to a misspelt one, or `None` where no word is close enough to have been meant.
pub fn nearest<'a>(found: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = |word: &str| word.to_lowercase().replace(['-', ' '], "_");
    let found = plain(found);
    let distance = |word: &str| strsim::damerau_levenshtein(&found, &plain(word));
    let near = |word: &str| distance(word) <= word.chars().count().max(3) / 3;
    let within = |word: &str| found.len() >= 4 && plain(word).contains(&found);
    // `peaked` for `peak`, `braces` for `brace_buttons`.
    let begun = |word: &str| {
        let word = plain(word);
        let shared = found.chars().zip(word.chars()).take_while(|(a, b)| a == b);
        let shared = shared.count();
        shared >= 4 && shared + 2 >= found.chars().count()
    };
    let words = words
        .into_iter()
        .filter(|w| near(w) || within(w) || begun(w));
    words.min_by_key(|w| distance(w))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nearest_finds_slips_and_refuses_strangers() {
        let words = ["chest", "waist", "seat", "nape_to_waist", "lapel_width"];
        assert_eq!(nearest("chset", words), Some("chest"));
        assert_eq!(nearest("Waist", words), Some("waist"));
        assert_eq!(nearest("lapel-width", words), Some("lapel_width"));
        assert_eq!(nearest("lapel", words), Some("lapel_width"));
        assert_eq!(nearest("seats", words), Some("seat"));
        assert_eq!(nearest("lapels", words), Some("lapel_width"));
        assert_eq!(nearest("bananas", words), None);
    }
}
