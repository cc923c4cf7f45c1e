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
#[derive(Debug, Default)]
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

    /// Returns the text before the last change.
    pub(super) fn undone(&self, text: &str) -> Option<String> {
        let step = self.done.last()?;
        exchanged(text, step.at, &step.after, &step.before)
    }

    /// Returns the text after the change that was undone last.
    pub(super) fn redone(&self, text: &str) -> Option<String> {
        let step = self.undone.last()?;
        exchanged(text, step.at, &step.before, &step.after)
    }

    /// Goes a step back, once the text before it is in place.
    pub(super) fn back(&mut self) {
        self.undone.extend(self.done.pop());
    }

    /// Goes a step on, once the text after it is in place.
    pub(super) fn on(&mut self) {
        self.done.extend(self.undone.pop());
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
        for earlier in texts[..4].iter().rev() {
            text = history.undone(&text).unwrap();
            history.back();
            assert_eq!(text, *earlier);
        }
        assert_eq!(
            (history.undone(&text), history.ways()),
            (None, (false, true))
        );
        for later in &texts[1..] {
            text = history.redone(&text).unwrap();
            history.on();
            assert_eq!(text, *later);
        }
    }

    #[test]
    fn a_new_change_forgets_what_was_undone() {
        let mut history = History::default();
        history.push("a", "b");
        history.back();
        history.push("a", "c");
        assert_eq!(history.ways(), (true, false));
        // Somebody else's text is not changed by halves.
        assert_eq!(history.undone("other"), None);
    }
}
