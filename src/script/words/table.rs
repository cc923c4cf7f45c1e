//! Tables that a block can read: the measures, the choices, the house's numbers. To name one copies nothing.

use crate::diagnostic::nearest;
use rhai::{Dynamic, Engine, EvalAltResult, Position};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, PoisonError};

/// A table of values by name, which may be tables themselves.
#[derive(Debug, Clone, Default)]
pub(in crate::script) struct Table {
    values: Arc<BTreeMap<String, Dynamic>>,
    /// The garment whose choices it holds, if it holds choices.
    choices_of: Option<Arc<str>>,
    /// Where the names are noted that a script has asked for, if they are.
    noted: Option<Noted>,
}

/// Names that a script has asked for.
pub(in crate::script) type Noted = Arc<Mutex<BTreeSet<String>>>;

impl Table {
    /// Says whose choices it holds, for the message where one of them is missing.
    pub(in crate::script) fn choices_of(mut self, garment: &str) -> Self {
        self.choices_of = Some(garment.into());
        self
    }

    /// Notes from now on which names a script asks for.
    #[must_use]
    pub(in crate::script) fn noting(mut self, noted: &Noted) -> Self {
        self.noted = Some(noted.clone());
        self
    }

    fn get(&self, name: &str) -> Result<Dynamic, Box<EvalAltResult>> {
        if let Some(value) = self.values.get(name) {
            if let Some(noted) = &self.noted {
                let mut noted = noted.lock().unwrap_or_else(PoisonError::into_inner);
                if !noted.contains(name) {
                    noted.insert(name.to_owned());
                }
            }
            return Ok(value.clone());
        }
        let near = nearest(name, self.values.keys().map(String::as_str));
        let Some(garment) = &self.choices_of else {
            return Err(match near {
                Some(near) => {
                    let text = format!("it has no `{name}`. Perhaps: {near}");
                    EvalAltResult::ErrorRuntime(text.into(), Position::NONE).into()
                }
                // Of a measure that is not in the table the program still knows the name.
                None => {
                    EvalAltResult::ErrorPropertyNotFound(name.to_owned(), Position::NONE).into()
                }
            });
        };
        let text = match near {
            Some(near) => format!("the {garment} has no choice `{name}`. Perhaps: {near}"),
            None => format!(
                "the {garment} has no choice `{name}` in this order: declare [{name}] in {garment}/choices.toml; where it \
                 goes only with others, ask first for `\"{name}\" in style`"
            ),
        };
        Err(EvalAltResult::ErrorRuntime(text.into(), Position::NONE).into())
    }
}

impl FromIterator<(String, Dynamic)> for Table {
    fn from_iter<I: IntoIterator<Item = (String, Dynamic)>>(values: I) -> Self {
        Self {
            values: Arc::new(values.into_iter().collect()),
            choices_of: None,
            noted: None,
        }
    }
}

/// Registers `table.name` and `"name" in table`.
pub(super) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Table>("table");
    engine.register_indexer_get(|table: &mut Table, name: &str| table.get(name));
    engine.register_fn("contains", |table: &mut Table, name: &str| {
        table.values.contains_key(name)
    });
}
