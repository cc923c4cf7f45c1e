//! What editors, shells and readers of manuals get: `schema`, `completions` and `manual`.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn run(arguments: &[&str], folder: &Path) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_chalkstripe"));
    let command = command.args(arguments).current_dir(folder);
    command.output().expect("the program runs")
}

#[test]
fn the_schema_is_json_and_names_what_an_order_may_hold() {
    let output = run(&["schema"], Path::new("."));
    assert!(output.status.success() && output.stderr.is_empty());
    let schema: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    for section in ["client", "measures", "figure", "fitting", "cloth", "jacket"] {
        assert!(!schema["properties"][section].is_null(), "no {section}");
    }
    let none = run(&["schema", "--blocks", "nowhere"], Path::new("."));
    let told = String::from_utf8_lossy(&none.stderr).into_owned();
    assert_eq!(none.status.code(), Some(2), "{told}");
    assert!(told.contains("no such folder of blocks"), "{told}");
}

#[test]
fn every_shell_learns_every_command() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let output = run(&["completions", shell], Path::new("."));
        assert!(output.status.success());
        let text = String::from_utf8(output.stdout).unwrap();
        for word in ["cut", "cloth", "blocks", "paper"] {
            assert!(text.contains(word), "{shell}: no {word}");
        }
    }
}

#[test]
fn each_command_has_its_page_and_a_place_that_is_taken_is_told() {
    let folder = tempfile::tempdir().unwrap();
    assert!(run(&["manual", "man"], folder.path()).status.success());
    for page in ["chalkstripe.1", "chalkstripe-cut.1", "chalkstripe-new.1"] {
        let text = fs::read_to_string(folder.path().join("man").join(page)).unwrap();
        assert!(text.contains(".SH"), "{page}: {text}");
    }
    fs::write(folder.path().join("taken"), "a file").unwrap();
    let output = run(&["manual", "taken"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(told.contains("the manual cannot be written"), "{told}");
}
