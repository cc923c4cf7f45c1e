//! What readers of help and manuals, editors and shells get: `--help`, `manual`, `schema` and
//! `completions`.

use crate::program::{self, run};
use std::fs;
use std::path::Path;

/// Every command, in the order in which a tailor comes to them.
const COMMANDS: [&str; 15] = [
    "talk",
    "new",
    "measures",
    "check",
    "cloth",
    "swatch",
    "cut",
    "lay",
    "draft",
    "next",
    "blocks",
    "try",
    "schema",
    "completions",
    "manual",
];

fn help(arguments: &[&str]) -> String {
    let output = run(&[arguments, &["--help"]].concat(), Path::new("."));
    let told = program::told(&output);
    assert!(output.status.success(), "{arguments:?}: {told}");
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_commands_stand_in_the_order_of_the_work_each_in_a_line() {
    let text = help(&[]);
    let (_, list) = text.split_once("Commands:\n").unwrap();
    let list = list.split_once("\n\n").unwrap().0;
    // A line that is broken goes on further in; `help` comes last.
    let lines = list.lines().filter(|line| !line.starts_with("   "));
    let names: Vec<&str> = lines
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert_eq!(names, [&COMMANDS[..], &["help"]].concat(), "{list}");
    assert_eq!(list.lines().count(), names.len(), "{list}");
    let wide = text
        .lines()
        .skip_while(|line| !line.starts_with("A first order"));
    assert_eq!(
        wide.filter(|line| line.chars().count() > 80).count(),
        0,
        "{text}"
    );
    for code in ["0  ", "2  ", "130  "] {
        assert!(
            text.lines().any(|line| line.trim_start().starts_with(code)),
            "{code}: {text}"
        );
    }
}

/// Examples that would not be understood teach nothing, nor do lines broken in the middle.
#[test]
fn the_examples_of_every_help_are_understood_and_fit_a_terminal() {
    for name in COMMANDS {
        let text = help(&[name]);
        let (_, taught) = text.split_once("\nExample").expect(name);
        let wide = taught.lines().find(|line| line.chars().count() > 80);
        assert_eq!(wide, None, "{name}: a terminal breaks this line");
        let examples = taught
            .lines()
            .filter_map(|line| line.strip_prefix("  chalkstripe "));
        let mut found = 0;
        for example in examples {
            // What the line says of itself follows at some distance.
            let line = example.split("  ").next().unwrap();
            let line = line.split(" > ").next().unwrap();
            help(&line.split_whitespace().collect::<Vec<_>>());
            found += 1;
        }
        assert!(found > 0, "{name} shows no example");
    }
}

#[test]
fn what_stands_where_a_command_should_be_is_told() {
    let output = run(&["examples/plain-worsted.toml"], Path::new("."));
    let told = program::told(&output);
    assert_eq!(output.status.code(), Some(2), "{told}");
    assert!(
        told.contains("`chalkstripe check examples/plain-worsted.toml` reads it"),
        "{told}"
    );
    let misspelt = run(&["chek"], Path::new("."));
    let suggested = program::told(&misspelt);
    assert_eq!(misspelt.status.code(), Some(2), "{suggested}");
    assert!(suggested.contains("check"), "{suggested}");
    assert!(run(&["--version"], Path::new(".")).status.success());
}

#[test]
fn garments_by_other_names_are_understood() {
    let order = "examples/plain-worsted.toml";
    for arguments in [
        &["blocks", "vest"][..],
        &["measures", "pants"],
        &["draft", order, "--garment", "pants"],
    ] {
        let output = run(arguments, Path::new("."));
        let told = program::told(&output);
        assert_eq!(output.status.code(), Some(2), "{told}");
        assert!(told.contains("Perhaps: "), "{arguments:?}: {told}");
    }
}

/// What goes wrong around an order: each is told in words, with what to do, and nothing is written.
#[test]
fn slips_with_files_and_names_are_told_in_words() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    fs::write(here.join("taken"), "a file").unwrap();
    fs::copy("examples/plain-worsted.toml", here.join("order.toml")).unwrap();
    for (arguments, told) in [
        (
            &["measures", "--pdf", "form.txt"][..],
            "use a name that ends in .pdf",
        ),
        (
            &["measures", "--pdf", "taken/form.pdf"],
            "there is a file where the folder should be",
        ),
        (&["measures", "--order", "ordr.toml"], "Perhaps: order.toml"),
        (
            &["measures", "hat"],
            "the garments are jacket, overcoat, trousers, waistcoat",
        ),
        (&["next", "ordr.toml", "b.toml"], "Perhaps: order.toml"),
        (&["next", "order.toml", "order.toml"], "use a new name"),
        (&["blocks", "jacket", "lapells"], "Perhaps: lapel"),
        (&["blocks", "--blocks", "nowhere"], "no folder of blocks"),
        (
            &["blocks", "trousers", "fly", "--pictures", "taken"],
            "the pictures cannot be written",
        ),
        (
            &["draft", "order.toml", "--out", "taken"],
            "there is a file where the folder should be",
        ),
        (
            &["draft", "order.toml", "--against", "0"],
            "no fitting to compare",
        ),
        (
            &["draft", "taken/order.toml"],
            "there is no file `taken/order.toml`",
        ),
        (
            &["lay", "order.toml", "--out", "taken", "--seconds", "1"],
            "there is a file where the folder should be",
        ),
        (
            &["lay", "order.toml", "--together", "ordr.toml"],
            "Perhaps: order.toml",
        ),
        (
            &["cloth", "order.toml", "--have", "3 ells"],
            "there are cm, mm, m, in, ft and yd",
        ),
        (&["cut", "order.toml", "--margin", "9cm"], "from 0 to 50 mm"),
        (
            &["cut", "order.toml", "--only", "vest"],
            "no garment and no piece",
        ),
        (&["cut", "order.toml", "--only", ""], "a value is required"),
    ] {
        let output = run(arguments, here);
        let err = program::told(&output);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {err}");
        assert!(program::tells(&err, told), "{arguments:?}: {err}");
        assert!(!err.contains("os error"), "{arguments:?}: {err}");
        let left = fs::read_dir(here).unwrap().count();
        assert_eq!(left, 2, "{arguments:?} has written something");
    }
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
    let told = program::told(&none);
    assert_eq!(none.status.code(), Some(2), "{told}");
    assert!(told.contains("no folder of blocks"), "{told}");
}

#[test]
fn every_shell_learns_every_command() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let output = run(&["completions", shell], Path::new("."));
        assert!(output.status.success());
        let text = String::from_utf8(output.stdout).unwrap();
        for word in COMMANDS.into_iter().chain(["paper", "seconds", "against"]) {
            assert!(text.contains(word), "{shell}: no {word}");
        }
    }
}

#[test]
fn each_command_has_its_page_and_a_place_that_is_taken_is_told() {
    let folder = tempfile::tempdir().unwrap();
    assert!(run(&["manual", "man"], folder.path()).status.success());
    let of_commands = COMMANDS.map(|name| format!("chalkstripe-{name}.1"));
    for page in of_commands
        .iter()
        .map(String::as_str)
        .chain(["chalkstripe.1"])
    {
        let text = fs::read_to_string(folder.path().join("man").join(page)).unwrap();
        assert!(text.contains(".SH"), "{page}: {text}");
    }
    fs::write(folder.path().join("taken"), "a file").unwrap();
    let output = run(&["manual", "taken"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    let told = program::told(&output);
    assert!(told.contains("the manual cannot be written"), "{told}");
}
