//! The program as the tests run it.

use chalkstripe::draft::Material;
use chalkstripe::workshop::Workshop;
use std::path::Path;
use std::process::{Command, Output};

/// The plain example.
pub(crate) const PLAIN: &str = include_str!("../examples/plain-worsted.toml");

/// The trousers of the plain example, which are quickly cut.
pub(crate) fn trousers() -> String {
    let (head, rest) = PLAIN.split_once("[jacket]").unwrap();
    let (_, trousers) = rest.split_once("[trousers]").unwrap();
    format!("{head}[trousers]{trousers}")
}

/// Runs the program in a folder.
pub(crate) fn run(arguments: &[&str], folder: &Path) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_chalkstripe"));
    let command = command.args(arguments).current_dir(folder);
    command.output().expect("the program runs")
}

/// A number that the environment asks for.
pub(crate) fn asked(name: &str) -> Option<u64> {
    let text = std::env::var(name).ok()?;
    let number = text.replace('_', "").parse();
    Some(number.unwrap_or_else(|_| panic!("{name}={text} is not a number")))
}

/// What it answered.
pub(crate) fn said(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("words")
}

/// What it told besides: faults, cautions.
pub(crate) fn told(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("words")
}

/// Whether a text holds another, whatever letter each sentence begins with.
pub(crate) fn tells(told: &str, part: &str) -> bool {
    told.to_lowercase().contains(&part.to_lowercase())
}

/// A material of the program's own house.
pub(crate) fn material(name: &str) -> Material {
    let catalogue = &Workshop::embedded().catalogue;
    let materials = catalogue.materials().expect("materials");
    materials.named(name).expect(name).clone()
}
