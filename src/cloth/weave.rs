//! Weaves: which thread is on top where two cross.

use super::count::MOST_THREADS;

/// The most ends and picks of a weave.
const LARGEST: usize = 64;

/// A weave: one repeat of the lifts of the warp, seen on the right side of the cloth.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Weave {
    /// Name: `herringbone`.
    pub name: String,
    /// What it is, for whoever chooses.
    pub about: String,
    /// Picks from the top down, each with the ends from left to right: whether the end is on top.
    lifts: Vec<Vec<bool>>,
}

impl Weave {
    /// Makes a weave of rows of `x` (the warp is on top) and `.` (the weft is).
    ///
    /// # Errors
    /// Returns in words what is wrong with the rows.
    pub fn new(name: &str, about: &str, rows: &[String]) -> Result<Self, String> {
        let ends = rows.first().map_or(0, |row| row.chars().count());
        if ends == 0 || ends > LARGEST || rows.len() > LARGEST {
            return Err(format!("a weave has 1 to {LARGEST} ends and picks"));
        }
        let mut lifts = Vec::new();
        for row in rows {
            if row.chars().any(|c| c != 'x' && c != '.') {
                return Err(format!(
                    "`{row}` is no pick: write x where the warp is on top, . where the weft is"
                ));
            }
            if row.chars().count() != ends {
                return Err(format!(
                    "`{row}` has other than {ends} ends: every pick is as long as the first"
                ));
            }
            lifts.push(row.chars().map(|c| c == 'x').collect::<Vec<bool>>());
        }
        let crosses = |mut thread: Box<dyn Iterator<Item = bool> + '_>| {
            let first = thread.next();
            thread.any(|lift| Some(lift) != first)
        };
        let picks = lifts
            .iter()
            .all(|pick| crosses(Box::new(pick.iter().copied())));
        let columns = (0..ends).all(|end| crosses(Box::new(lifts.iter().map(move |p| p[end]))));
        if !picks || !columns {
            return Err("a thread that never crosses to the other side is not woven in".to_owned());
        }
        Ok(Self {
            name: name.to_owned(),
            about: about.to_owned(),
            lifts,
        })
    }

    /// Number of ends of one repeat.
    pub fn ends(&self) -> usize {
        self.lifts.first().map_or(1, Vec::len)
    }

    /// Number of picks of one repeat.
    pub fn picks(&self) -> usize {
        self.lifts.len()
    }

    /// Tells whether the warp is on top where an end and a pick cross.
    pub fn lifted(&self, end: usize, pick: usize) -> bool {
        self.lifts[pick % self.picks()][end % self.ends()]
    }

    /// Returns the weave as it is seen from the wrong side, at the same places of the cloth: where the warp is on top of
    /// the right side, the weft is on top of this one.
    pub(super) fn behind(&self) -> Self {
        let pick = |pick: &Vec<bool>| pick.iter().map(|lift| !lift).collect();
        Self {
            lifts: self.lifts.iter().map(pick).collect(),
            ..self.clone()
        }
    }

    /// Returns the threads after which both the weave and a count of so many threads repeat; `None` where that is
    /// more than a cloth has.
    pub(super) fn together(own: usize, threads: usize) -> Option<usize> {
        let (mut a, mut b) = (own, threads);
        while b > 0 {
            (a, b) = (b, a % b);
        }
        let all = own / a.max(1) * threads;
        (all <= MOST_THREADS as usize).then_some(all)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_that_are_no_weave_are_refused_in_words() {
        let made = |rows: &[&str]| {
            let rows: Vec<String> = rows.iter().map(|row| (*row).to_owned()).collect();
            Weave::new("w", "", &rows)
        };
        assert_eq!(
            made(&["x.", ".x"]).map(|w| (w.ends(), w.picks())),
            Ok((2, 2))
        );
        for (rows, told) in [
            (&[][..], "1 to 64"),
            (&["x.", "x"], "other than 2 ends"),
            (&["x.", ".o"], "is no pick"),
            (&["x.", "x."], "not woven in"),
            (&["xx", ".."], "not woven in"),
        ] {
            let fault = made(rows).unwrap_err();
            assert!(fault.contains(told), "{fault}");
        }
    }

    #[test]
    fn a_weave_and_a_count_repeat_together() {
        assert_eq!(Weave::together(4, 8), Some(8));
        assert_eq!(Weave::together(4, 122), Some(244));
        assert_eq!(Weave::together(64, 3999), None);
    }
}
