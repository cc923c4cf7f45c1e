//! A stranger's first hour: every command the README shows works as it stands there, and what it says
//! of the files and faults is so.
#![cfg(unix)]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

const README: &str = include_str!("../README.md");

/// Commands that are not ours to try: they install programs, run these tests, or serve a page until they are
/// stopped, which `talk` tries.
const OTHERS: [&str; 4] = [
    "sudo apt-get install",
    "cargo test",
    "cargo install",
    "chalkstripe talk",
];

/// The fenced blocks of a kind, in order.
fn blocks(kind: &str) -> Vec<&'static str> {
    let fence = format!("```{kind}\n");
    let parts = README.split(fence.as_str()).skip(1);
    parts
        .map(|part| part.split("```").next().unwrap())
        .collect()
}

/// Runs a line of the README in a folder, the program's own name standing for the one just built and
/// its searches cut short.
fn run(line: &str, folder: &Path) -> Output {
    let program = env!("CARGO_BIN_EXE_chalkstripe");
    let line = line.replace("cargo run --release --", program);
    let mut line = line.replace("--seconds 60", "--seconds 1");
    if line.contains("chalkstripe cut")
        || line.contains("-- cut")
        || line.contains("chalkstripe cloth")
    {
        let (words, comment) = line.split_once('#').unwrap_or((&line, ""));
        line = format!("{words} --rounds 1 #{comment}");
    }
    let line = match line.strip_prefix("chalkstripe ") {
        Some(rest) => format!("{program} {rest}"),
        None => line,
    };
    let mut shell = Command::new("sh");
    shell.args(["-c", &line]).current_dir(folder);
    shell.output().expect("a shell")
}

fn stranger() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let examples = folder.path().join("examples");
    fs::create_dir(&examples).unwrap();
    for entry in fs::read_dir("examples").unwrap() {
        let entry = entry.unwrap();
        if entry.path().is_file() {
            fs::copy(entry.path(), examples.join(entry.file_name())).unwrap();
        }
    }
    folder
}

#[test]
fn every_command_works_as_shown() {
    let folder = stranger();
    let lines = blocks("sh").into_iter().flat_map(str::lines);
    let ours: Vec<&str> = lines
        .map(str::trim)
        .filter(|line| !line.is_empty() && OTHERS.iter().all(|other| !line.starts_with(other)))
        .collect();
    assert!(ours.len() >= 4, "{ours:?}");
    for line in ours {
        let output = run(line, folder.path());
        let told = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{line}\n{told}");
    }
    // The table of files names each of them, and each is there.
    let written = folder.path().join("out/plain-worsted");
    for entry in fs::read_dir(&written).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let kin = name.starts_with("lay-");
        assert!(
            kin || README.contains(&format!("`{name}`")),
            "{name} is not explained"
        );
    }
    for name in [
        "paper-a4.pdf",
        "lay.svg",
        "lay.plt",
        "pieces.svg",
        "ticket.pdf",
        "report.json",
    ] {
        assert!(written.join(name).is_file(), "{name} was not written");
    }
}

#[test]
fn the_fault_it_shows_is_told_so() {
    let shown = blocks("text")[0];
    let folder = stranger();
    assert!(
        run("chalkstripe new my-client.toml", folder.path())
            .status
            .success()
    );
    let path = folder.path().join("my-client.toml");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(
        &path,
        text.replace("[jacket]\n", "[jacket]\nlapell = \"notch\"\n"),
    )
    .unwrap();
    let output = run("chalkstripe check my-client.toml", folder.path());
    assert_eq!(output.status.code(), Some(2));
    let err = String::from_utf8_lossy(&output.stderr);
    // All but the number of the line, which the starter order decides; the list of choices goes on.
    let (file, number) = err.split_once(", line ").expect("a file and a line");
    assert_eq!(file, "my-client.toml");
    let (_, after) = number.split_once(": ").expect("what is wrong");
    let told = format!("my-client.toml, line 77: {after}");
    let begun = shown.trim_end().trim_end_matches('…');
    assert!(told.starts_with(begun), "{begun}\nis not told:\n{told}");
}
