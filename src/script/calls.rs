//! Compares the scripts of a draft, so that every function called by its bare name is the one meant.
//!
//! The engine finds a bare call by the name and the number of values. It looks first among the functions that
//! it has found before, for whichever script, then through the functions of every script that is being run,
//! and last among the words of the board. Two scripts that each call a function of their own by the same name
//! would therefore call one another's, and a function named like a word would be called by every script that
//! means the word. Neither fault shows in the drawing, so both are refused.

use rhai::{AST, ASTNode, Expr, FnCallExpr, Position, Stmt};
use std::collections::{BTreeMap, BTreeSet};

/// A function as the engine knows it: its name and the number of values it takes.
type Key = (String, usize);

/// The functions that a script defines, and those that it calls by their bare names.
#[derive(Debug, Default)]
pub(super) struct Calls {
    /// Functions of the script, with the place where the body begins.
    own: BTreeMap<Key, Position>,
    /// Functions called without the script they come from.
    bare: BTreeSet<Key>,
    /// Functions called behind a dot: `p.down(4)` is `down` with one value.
    dotted: BTreeSet<Key>,
}

impl Calls {
    /// Collects them from a compiled script.
    pub(super) fn of(ast: &AST) -> Self {
        let mut calls = Self::default();
        for function in ast.iter_fn_def().filter(|f| !f.name.contains('$')) {
            let key = (function.name.to_string(), function.params.len());
            calls.own.insert(key, function.body.start_position());
        }
        let key = |call: &FnCallExpr| (call.name.to_string(), call.args.len());
        ast.walk(&mut |path| {
            match path.last() {
                Some(
                    ASTNode::Expr(Expr::FnCall(call, _)) | ASTNode::Stmt(Stmt::FnCall(call, _)),
                ) if call.namespace.is_empty() && call.op_token.is_none() => {
                    calls.bare.insert(key(call));
                }
                Some(ASTNode::Expr(Expr::MethodCall(call, _))) => {
                    calls.dotted.insert(key(call));
                }
                _ => {}
            }
            true
        });
        calls
    }
}

/// A function that could be taken for another.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Clash {
    /// The script whose function needs another name.
    pub file: String,
    /// Where the body of that function begins.
    pub position: Position,
    /// Its name.
    pub name: String,
    /// The script with a function of the same name, and its place; `None` if it is a word of the board.
    pub other: Option<(String, Position)>,
}

/// The functions of all scripts that a draft has run or imported so far.
#[derive(Debug, Default)]
pub(super) struct Met {
    functions: BTreeMap<Key, (String, Position)>,
    called: BTreeMap<Key, (String, Position)>,
    words: BTreeSet<Key>,
}

impl Met {
    /// Adds another script. Where either of two scripts could be changed, `ours` says whether a file is the
    /// one to change.
    ///
    /// # Errors
    /// When one of its functions could be taken for a function of another script, or for a word of the board.
    pub(super) fn add(
        &mut self,
        file: &str,
        calls: &Calls,
        ours: impl Fn(&str) -> bool,
    ) -> Result<(), Clash> {
        let clash = |key: &Key, (place, position): (String, Position), other| {
            let name = key.0.clone();
            Err(Clash {
                file: place,
                position,
                name,
                other,
            })
        };
        for key in calls.bare.iter().chain(&calls.dotted) {
            if calls.own.contains_key(key) && !calls.dotted.contains(key) {
                continue;
            }
            let own = calls.own.get(key).map(|at| (file.to_owned(), *at));
            if let Some(place) = own.or_else(|| self.functions.get(key).cloned()) {
                return clash(key, place, None);
            }
            self.words.insert(key.clone());
        }
        for (key, position) in &calls.own {
            let place = (file.to_owned(), *position);
            if self.words.contains(key) {
                return clash(key, place, None);
            }
            if calls.bare.contains(key) {
                // A script that imports itself is refused elsewhere.
                let other = self.called.get(key).filter(|other| other.0 != file);
                if let Some(other) = other.cloned() {
                    let (to_change, other) = match ours(&other.0) && !ours(file) {
                        true => (other, place),
                        false => (place, other),
                    };
                    return clash(key, to_change, Some(other));
                }
                self.called.insert(key.clone(), place.clone());
            }
            self.functions.insert(key.clone(), place);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Adds scripts in turn; fails with the script to change, the function and the other script.
    fn held(scripts: &[(&str, &str)]) -> Result<(), (String, String, Option<String>)> {
        let mut met = Met::default();
        for (file, text) in scripts {
            let calls = Calls::of(&rhai::Engine::new_raw().compile(text).expect("a script"));
            met.add(file, &calls, |file| file == "mine")
                .map_err(|clash| (clash.file, clash.name, clash.other.map(|(other, _)| other)))?;
        }
        Ok(())
    }

    #[test]
    fn functions_of_one_name_that_are_called_bare_are_told() {
        let half = "fn half(a) { a / 2 } fn all(a) { half(a) }";
        let told = Err(("b".into(), "half".into(), Some("a".into())));
        assert_eq!(held(&[("a", half), ("b", half)]), told);
        let own = Err(("mine".into(), "half".into(), Some("b".into())));
        assert_eq!(held(&[("mine", half), ("b", half)]), own);
        assert_eq!(held(&[("b", half), ("mine", half)]), own);
    }

    #[test]
    fn functions_that_are_told_apart_are_left_alone() {
        let half = "fn half(a) { a / 2 } fn all(a) { half(a) }";
        for other in [
            "fn half(a, b) { a / b } fn every(a) { half(a, 2) }",
            "fn half(a) { a / 3 }",
            "import \"a\" as a; fn every(b) { a::half(b) }",
            "fn every(a) { let half = a; half / 2 }",
        ] {
            assert_eq!(held(&[("a", half), ("b", other)]), Ok(()), "{other}");
        }
    }

    #[test]
    fn functions_named_like_a_word_are_told_whoever_comes_first() {
        let line = "fn line(a, b) { 1 }";
        let told = Err(("a".into(), "line".into(), None));
        for word in ["line(1, 2);", "let c = [|x| line(x, 2)];", "4.line(1, 2);"] {
            assert_eq!(held(&[("a", line), ("b", word)]), told, "{word}");
            assert_eq!(held(&[("b", word), ("a", line)]), told, "{word}");
        }
        let both = "fn down(a) { a } fn all(p) { p.down(3) }";
        assert_eq!(held(&[("a", both)]), Err(("a".into(), "down".into(), None)));
    }
}
