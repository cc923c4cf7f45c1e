//! What becomes of an order: drafted and proven, refused, or at fault.

use super::survey::{Man, order};
use chalkstripe::diagnostic::{Diagnostic, Severity, Source};
use chalkstripe::pattern;
use chalkstripe::script::{self, Library};
use std::path::Path;

/// What became of one man's suit.
pub(crate) enum Outcome {
    /// Jacket and trousers are drafted and proven.
    Drafted,
    /// The order or the block refuses him, and says why.
    Refused(String),
    /// The ledger does not balance, or a block is at fault.
    Failed(String),
}

/// Drafts and proves a man's jacket and trousers.
pub(crate) fn suit(man: &Man, blocks: Option<&Path>) -> Outcome {
    dressed(man, blocks, "[jacket]\n[trousers]\n")
}

/// Drafts and proves a man's garments, as the end of his order names them.
pub(crate) fn dressed(man: &Man, blocks: Option<&Path>, garments: &str) -> Outcome {
    if !man.unread.is_empty() {
        return Outcome::Refused(man.unread.join("; "));
    }
    prove(&order(&man.body, blocks, garments))
}

/// Reads, drafts and proves an order.
pub(crate) fn prove(text: &str) -> Outcome {
    let told = |faults: Vec<Diagnostic>| -> String {
        let lines = faults
            .iter()
            .filter(|f| f.severity == Severity::Error)
            .map(|f| {
                [vec![f.message.clone()], f.help.clone()]
                    .concat()
                    .join("; ")
            });
        lines.collect::<Vec<String>>().join("\n")
    };
    let source = Source::new("order.toml", text.to_owned());
    let checked = match chalkstripe::order::parse("order", &source, Path::new("")) {
        Ok(checked) => checked,
        Err(faults) => return Outcome::Refused(told(faults)),
    };
    let library = match &checked.order.blocks {
        None => Library::embedded(),
        Some(folder) => match Library::with_folder(folder) {
            Ok(library) => library,
            Err(fault) => return Outcome::Failed(fault.to_string()),
        },
    };
    let mut drafts = Vec::new();
    for garment in &checked.order.garments {
        match script::draft(&library, &checked.order, garment) {
            Ok(draft) => drafts.push(draft),
            Err(fault) if fault.refused => return Outcome::Refused(fault.to_string()),
            Err(fault) => return Outcome::Failed(fault.to_string()),
        }
    }
    match pattern::make(&checked.order, &drafts) {
        Ok(_) => Outcome::Drafted,
        Err(faults) => Outcome::Failed(
            faults
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join("\n"),
        ),
    }
}
