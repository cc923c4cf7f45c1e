//! The real program given many orders at once: each is told as it is done, in the order of the files, and what
//! was done stays told when it is stopped.

use crate::program::{PLAIN, run, said, told, trousers};
use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Command, Stdio};

/// Writes so many orders of trousers for invented men of rising waists, `000.toml` and on.
fn orders(folder: &Path, count: usize) {
    fs::create_dir_all(folder).unwrap();
    for i in 0..count {
        let waist = format!("waist = {}", 84.0 + (i % 80) as f64 / 10.0);
        let text = trousers().replace("waist = 88", &waist);
        fs::write(folder.join(format!("{i:03}.toml")), text).unwrap();
    }
}

#[test]
fn a_folder_is_checked_in_a_line_an_order_with_details_of_those_at_fault() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path().join("orders");
    orders(&at, 30);
    let misspelt = trousers().replace("chest =", "chset =");
    fs::write(at.join("007.toml"), misspelt).unwrap();
    let doubted = trousers().replace("neck = 40", "neck = 40\nsleeve = 75\nwrist = 24");
    fs::write(at.join("011.toml"), &doubted).unwrap();
    // What is doubted is shown where it may be why the draft fails.
    let refused = doubted.replace("seat = 103", "seat = 172");
    fs::write(at.join("019.toml"), refused).unwrap();
    let output = run(&["check", "orders"], folder.path());
    let (out, err) = (said(&output), told(&output));
    assert_eq!(output.status.code(), Some(2), "{err}");
    let lines: Vec<&str> = out.lines().collect();
    assert_eq!(lines.len(), 31, "{out}");
    for (i, line) in lines.iter().take(30).enumerate() {
        let begins = match i {
            7 => "orders/007.toml: 1 fault".to_owned(),
            19 => "orders/019.toml: 1 fault".to_owned(),
            _ => format!("{i:03} — Edmund Farrow: "),
        };
        assert!(line.starts_with(&begins), "{line}");
        assert_eq!(line.contains("pieces, proven"), i != 7 && i != 19, "{line}");
        assert_eq!(line.contains(" warning"), i == 11, "{line}");
    }
    assert_eq!(
        lines[30],
        "30 orders: 28 without an error, 1 of them with warnings; 2 with errors"
    );
    assert!(
        err.contains("orders/007.toml, line 11") && err.contains("Perhaps: chest"),
        "{err}"
    );
    assert!(
        err.contains("orders/019.toml") && err.contains("warning"),
        "{err}"
    );
    assert!(!err.contains("011.toml"), "{err}");
    // One alone is reported in full.
    let alone = run(&["check", "orders/011.toml"], folder.path());
    assert!(told(&alone).contains("warning") && said(&alone).lines().count() > 30);
}

#[test]
fn a_warning_does_not_make_many_orders_fail() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path().join("orders");
    orders(&at, 3);
    let doubted = PLAIN.replace("neck = 40", "neck = 40\nwrist = 24");
    fs::write(at.join("zzz.toml"), doubted).unwrap();
    let output = run(&["check", "orders"], folder.path());
    assert_eq!(output.status.code(), Some(0), "{}", told(&output));
    assert_eq!(told(&output), "");
    assert!(
        said(&output)
            .ends_with("4 orders: 4 without an error, 1 of them with warnings; 0 with errors\n")
    );
}

/// The lengths come one by one while the rest is still being laid, in the order of the files; Ctrl-C loses
/// nothing of what was done.
#[test]
#[cfg(unix)]
fn lengths_of_many_are_told_as_they_come_and_kept_when_stopped() {
    const COUNT: usize = 400;
    let folder = tempfile::tempdir().unwrap();
    orders(&folder.path().join("orders"), COUNT);
    let mut child = Command::new(env!("CARGO_BIN_EXE_chalkstripe"))
        .args(["cloth", "orders"])
        .current_dir(folder.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut out = BufReader::new(child.stdout.take().unwrap());
    let mut lines = Vec::new();
    for _ in 0..4 {
        let mut line = String::new();
        out.read_line(&mut line).unwrap();
        lines.push(line);
    }
    assert!(
        child.try_wait().unwrap().is_none(),
        "all were laid before any was told"
    );
    let interrupted = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(interrupted.unwrap().success());
    let mut rest = String::new();
    out.read_to_string(&mut rest).unwrap();
    let status = child.wait().unwrap();
    let mut err = String::new();
    child
        .stderr
        .take()
        .unwrap()
        .read_to_string(&mut err)
        .unwrap();
    assert_eq!(status.code(), Some(130), "{err}");
    lines.extend(rest.lines().map(str::to_owned));
    let sum = lines.pop().unwrap();
    let done = lines.len();
    assert!(sum.starts_with(&format!("{done} orders in ")), "{sum}");
    assert!((4..COUNT).contains(&done), "{done}");
    let left = format!(
        "stopped: {} of the {COUNT} orders are not done",
        COUNT - done
    );
    assert!(err.contains(&left), "{err}");
    let names: Vec<&str> = lines
        .iter()
        .filter_map(|line| line.split(':').next())
        .collect();
    assert!(names.is_sorted(), "{names:?}");
    for (i, line) in lines.iter().enumerate().take(4) {
        assert!(line.starts_with(&format!("{i:03}: cloth ")), "{line}");
    }
    for line in &lines {
        assert!(
            line.contains("cloth ") && line.contains("pocketing "),
            "{line}"
        );
    }
}

#[test]
fn the_same_orders_are_told_the_same_on_one_core_and_on_many() {
    let folder = tempfile::tempdir().unwrap();
    orders(&folder.path().join("orders"), 5);
    let lines = |output: std::process::Output| -> Vec<String> {
        assert!(output.status.success(), "{}", told(&output));
        let said = said(&output);
        said.lines()
            .filter(|line| line.contains(": cloth"))
            .map(str::to_owned)
            .collect()
    };
    let many = lines(run(&["cloth", "orders", "--rounds", "1"], folder.path()));
    assert_eq!(many.len(), 5);
    for (i, line) in many.iter().enumerate() {
        assert!(line.starts_with(&format!("{i:03}: ")), "{line}");
    }
    let alone = Command::new("taskset")
        .args([
            "-c",
            "0",
            env!("CARGO_BIN_EXE_chalkstripe"),
            "cloth",
            "orders",
            "--rounds",
            "1",
        ])
        .current_dir(folder.path())
        .output();
    match alone {
        Ok(alone) => assert_eq!(lines(alone), many),
        Err(_) => eprintln!("skipped: taskset is not installed"),
    }
}
