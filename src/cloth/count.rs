//! Thread counts: how many threads of each colour follow one another in one repeat.

use std::ops::Range;

/// The most threads of one repeat: 1.3 m of fine worsted, and more than any plaid has.
pub(super) const MOST_THREADS: u32 = 4000;

/// The threads of one repeat by their colours, as a weaver writes them: `n60 w2 n60 g2`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Count {
    /// Runs of threads: the name of the colour, and how many.
    pub runs: Vec<(String, u32)>,
}

/// What is wrong with a thread count, and where in its text.
pub(super) type Slip = (Range<usize>, String);

impl Count {
    /// Reads a thread count.
    ///
    /// # Errors
    /// Returns the place in the text and what is wrong there.
    pub fn parse(text: &str) -> Result<Self, Slip> {
        let mut runs: Vec<(String, u32)> = Vec::new();
        let mut all = 0_u32;
        let mut from = 0;
        for word in text.split_inclusive(char::is_whitespace) {
            let start = from;
            from += word.len();
            let word = word.trim_end();
            if word.is_empty() {
                continue;
            }
            let place = start..start + word.len();
            let digits = word
                .find(|c: char| c.is_ascii_digit())
                .unwrap_or(word.len());
            let (name, number) = word.split_at(digits);
            if name.is_empty() || number.is_empty() {
                let told = format!(
                    "`{word}` is no run of threads: write the colour and how many, as in `n60`"
                );
                return Err((place, told));
            }
            let threads = number.parse::<u32>().unwrap_or(u32::MAX);
            all = all.saturating_add(threads);
            if threads == 0 || !number.bytes().all(|b| b.is_ascii_digit()) {
                return Err((place, format!("`{word}` has no number of threads")));
            }
            if all > MOST_THREADS {
                let told = format!("one repeat has at most {MOST_THREADS} threads");
                return Err((place, told));
            }
            runs.push((name.to_owned(), threads));
        }
        match runs.is_empty() {
            true => Err((0..text.len(), "it has no threads".to_owned())),
            false => Ok(Self { runs }),
        }
    }

    /// Lists the threads of the shortest repeat, each by the number that `number` gives its colour.
    pub(super) fn threads(&self, number: impl Fn(&str) -> u8) -> Vec<u8> {
        let runs = self.runs.iter();
        let run = |(name, count): &(String, u32)| {
            let colour = number(name);
            (0..*count).map(move |_| colour)
        };
        let mut threads: Vec<u8> = runs.flat_map(run).collect();
        let all = threads.len();
        let repeats = |period: &usize| {
            all.is_multiple_of(*period) && (*period..all).all(|i| threads[i] == threads[i - period])
        };
        if let Some(period) = (1..=all).find(repeats) {
            threads.truncate(period);
        }
        threads
    }
}

/// A place about which threads read the same in either direction, or nearly so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Axis {
    /// Its place in threads: 0.5 is the middle of the first, 1 between the first and the second.
    pub at: f64,
    /// Whether they read the same in either direction without exception.
    pub even: bool,
}

/// Finds the axis of some threads on which the fewest differ; of several the one on the rarest colour, which is
/// where a tailor sees the bar.
pub(super) fn axis(threads: &[u8]) -> Axis {
    let count = threads.len() as i64;
    let thread = |i: i64| threads[i.rem_euclid(count) as usize];
    let often = |colour: u8| threads.iter().filter(|&&c| c == colour).count();
    let of = |twice: i64| {
        let misses = (0..count)
            .filter(|&i| thread(i) != thread(twice - 1 - i))
            .count();
        let rare = often(thread(twice.div_euclid(2)));
        (misses, rare, twice)
    };
    let best = (0..2 * count).map(of).min();
    let (misses, _, twice) = best.unwrap_or_default();
    Axis {
        at: twice as f64 / 2.0,
        even: misses == 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn threads(text: &str) -> Vec<u8> {
        let count = Count::parse(text).unwrap();
        count.threads(|name| name.as_bytes()[0])
    }

    #[test]
    fn a_count_is_read_and_shortened_to_one_repeat() {
        assert_eq!(threads("n2 w1"), b"nnw");
        assert_eq!(threads(" n1 w1\tn1 w1 "), b"nw");
        assert_eq!(threads("n60"), b"n");
        for (text, place, told) in [
            ("n60 w", 4..5, "no run of threads"),
            ("60", 0..2, "no run of threads"),
            ("n60 w0", 4..6, "no number"),
            ("n6x", 0..3, "no number"),
            ("n1000000", 0..8, "at most 4000"),
            ("n99999999999999", 0..15, "at most 4000"),
            ("n3999 w2", 6..8, "at most 4000"),
            ("  ", 0..2, "no threads"),
        ] {
            let (at, slip) = Count::parse(text).unwrap_err();
            assert_eq!(at, place, "{text}");
            assert!(slip.contains(told), "{text}: {slip}");
        }
    }

    #[test]
    fn the_axis_of_a_windowpane_is_the_middle_of_its_bar() {
        let pane = threads("n60 w2 n60 g2");
        let found = axis(&pane);
        assert!(found.even);
        assert!([61.0, 123.0].contains(&found.at), "{found:?}");
        let pin = axis(&threads("n20 w1"));
        assert_eq!((pin.at, pin.even), (20.5, true));
        assert!(!axis(&threads("a4 b3 c2 d1")).even);
        assert!(axis(b"n").even);
    }
}
