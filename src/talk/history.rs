//! What was changed, step by step, to be undone and done again without end.

/// One change of a text: what stood at a place, and what stands there now.
#[derive(Debug, Clone, PartialEq)]
struct Step {
    at: usize,
    before: String,
    after: String,
}

/// The steps that led to a text, and those that were undone. A step weighs what it changed, not the whole text,
/// so that a long talk stays small.
#[derive(Debug, Clone, Default)]
pub(super) struct History {
    done: Vec<Step>,
    undone: Vec<Step>,
}

impl History {
    /// Remembers a change. What was undone before it is forgotten.
    pub(super) fn push(&mut self, before: &str, after: &str) {
        if before != after {
            self.done.push(step(before, after));
            self.undone.clear();
        }
    }

    /// Returns the text before the last change that was wanted, or after the one that was undone last, with the history
    /// as it is then: texts that are not wanted are passed over. Returns `None` where there is no such text.
    pub(super) fn stepped(
        &self,
        text: &str,
        back: bool,
        wanted: impl Fn(&str) -> bool,
    ) -> Option<(String, Self)> {
        let mut history = self.clone();
        let mut found = text.to_owned();
        loop {
            found = match back {
                true => history.back(&found)?,
                false => history.on(&found)?,
            };
            if wanted(&found) {
                return Some((found, history));
            }
        }
    }

    /// Goes a step back and returns the text before it.
    fn back(&mut self, text: &str) -> Option<String> {
        let step = self.done.pop()?;
        let before = exchanged(text, step.at, &step.after, &step.before);
        self.undone.push(step);
        before
    }

    /// Goes a step on and returns the text after it.
    fn on(&mut self, text: &str) -> Option<String> {
        let step = self.undone.pop()?;
        let after = exchanged(text, step.at, &step.before, &step.after);
        self.done.push(step);
        after
    }

    /// Tells whether there is a step to undo, and one to do again.
    pub(super) fn ways(&self) -> (bool, bool) {
        (!self.done.is_empty(), !self.undone.is_empty())
    }
}

/// Finds the part in which two texts differ.
fn step(before: &str, after: &str) -> Step {
    let pairs = before.char_indices().zip(after.chars());
    let at = pairs
        .take_while(|((_, a), b)| a == b)
        .last()
        .map_or(0, |((at, a), _)| at + a.len_utf8());
    let (old, new) = (
        before.get(at..).unwrap_or_default(),
        after.get(at..).unwrap_or_default(),
    );
    let alike = old.chars().rev().zip(new.chars().rev());
    let same: usize = alike
        .take_while(|(a, b)| a == b)
        .map(|(a, _)| a.len_utf8())
        .sum();
    let part = |text: &str| text.get(..text.len() - same).unwrap_or_default().to_owned();
    Step {
        at,
        before: part(old),
        after: part(new),
    }
}

fn exchanged(text: &str, at: usize, from: &str, to: &str) -> Option<String> {
    let (head, rest) = (text.get(..at)?, text.get(at..)?);
    let rest = rest.strip_prefix(from)?;
    Some(format!("{head}{to}{rest}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_step_is_undone_and_done_again() {
        let texts = [
            "a = 1\n",
            "a = 12\n",
            "",
            "ä = \"ü\"\n",
            "ä = \"ö\"\nb = 2\n",
        ];
        let mut history = History::default();
        for pair in texts.windows(2) {
            history.push(pair[0], pair[1]);
        }
        let mut text = texts[4].to_owned();
        let any = |_: &str| true;
        for earlier in texts[..4].iter().rev() {
            (text, history) = history.stepped(&text, true, any).unwrap();
            assert_eq!(text, *earlier);
        }
        assert!(history.stepped(&text, true, any).is_none());
        assert_eq!(history.ways(), (false, true));
        for later in &texts[1..] {
            (text, history) = history.stepped(&text, false, any).unwrap();
            assert_eq!(text, *later);
        }
    }

    #[test]
    fn a_text_that_is_not_wanted_is_passed_over_both_ways() {
        let mut history = History::default();
        for pair in ["a = 1", "[a = 1", "a = 2"].windows(2) {
            history.push(pair[0], pair[1]);
        }
        let good = |text: &str| !text.starts_with('[');
        let (first, before) = history.stepped("a = 2", true, good).unwrap();
        assert_eq!((first.as_str(), before.ways()), ("a = 1", (false, true)));
        let (last, after) = before.stepped(&first, false, good).unwrap();
        assert_eq!((last.as_str(), after.ways()), ("a = 2", (true, false)));
        assert!(history.stepped("a = 2", true, |_| false).is_none());
    }

    #[test]
    fn a_new_change_forgets_what_was_undone() {
        let mut history = History::default();
        history.push("a", "b");
        assert_eq!(history.back("b").as_deref(), Some("a"));
        history.push("a", "c");
        assert_eq!(history.ways(), (true, false));
        // Somebody else's text is not changed by halves.
        assert!(history.stepped("other", true, |_| true).is_none());
    }
}
