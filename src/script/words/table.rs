//! Tables that a block can read: the measures, the choices, the house's numbers. To name one copies nothing.

use rhai::{Dynamic, Engine, EvalAltResult, Position};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A table of values by name, which may be tables themselves.
#[derive(Debug, Clone, Default)]
pub(in crate::script) struct Table(Arc<BTreeMap<String, Dynamic>>);

impl FromIterator<(String, Dynamic)> for Table {
    fn from_iter<I: IntoIterator<Item = (String, Dynamic)>>(values: I) -> Self {
        Self(Arc::new(values.into_iter().collect()))
    }
}

/// Registers `table.name` and `"name" in table`.
pub(super) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Table>("table");
    engine.register_indexer_get(|table: &mut Table, name: &str| {
        let unknown = || EvalAltResult::ErrorPropertyNotFound(name.to_owned(), Position::NONE);
        let value = table.0.get(name).cloned();
        value.ok_or_else(|| Box::new(unknown()))
    });
    engine.register_fn("contains", |table: &mut Table, name: &str| {
        table.0.contains_key(name)
    });
}
