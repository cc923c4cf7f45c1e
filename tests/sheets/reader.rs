//! Other programs, called to read the sheets.

use crate::skipped::skipped_but_on_ci;
use std::path::Path;
use std::process::{Command, Stdio};

/// Whether a program is there. Where it is not, the test says so and passes; on CI it fails.
pub(crate) fn has(program: &str) -> bool {
    let found = Command::new("sh")
        .args(["-c", &format!("command -v {program}")])
        .stdout(Stdio::null())
        .status()
        .is_ok_and(|status| status.success());
    if !found {
        skipped_but_on_ci(&format!("{program} is not installed"));
    }
    found
}

/// A Python that has a module. Where there is none, the test says so and passes; on CI it fails.
pub(crate) fn python_with(module: &str) -> Option<&'static str> {
    let import = format!("import {module}");
    let found = ["python3", "/usr/bin/python3"].into_iter().find(|python| {
        let trial = Command::new(python)
            .args(["-c", &import])
            .stderr(Stdio::null())
            .status();
        trial.is_ok_and(|status| status.success())
    });
    if found.is_none() {
        skipped_but_on_ci(&format!("Python's {module} is not installed"));
    }
    found
}

/// Runs a program and returns what it prints; it must end well.
pub(crate) fn run(program: &str, arguments: &[&str]) -> String {
    let output = Command::new(program)
        .args(arguments)
        .stdin(Stdio::null())
        .output()
        .unwrap_or_else(|error| panic!("{program}: {error}"));
    let words = String::from_utf8_lossy(&output.stdout).into_owned();
    let faults = String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success(),
        "{program} {arguments:?}\n{words}{faults}"
    );
    words
}

/// A grey picture: width, and brightness row by row.
pub(crate) struct Picture {
    pub width: usize,
    pub height: usize,
    pub grey: Vec<u8>,
}

impl Picture {
    /// Reads a grey picture (PGM) or one of black and white bits (PBM), both binary.
    pub(crate) fn read(path: &Path) -> Self {
        let bytes = std::fs::read(path).unwrap();
        let bits = bytes.starts_with(b"P4");
        let wanted = if bits { 3 } else { 4 };
        let mut fields = Vec::new();
        let mut at = 0;
        while fields.len() < wanted {
            let end = at
                + bytes[at..]
                    .iter()
                    .position(u8::is_ascii_whitespace)
                    .unwrap();
            fields.push(String::from_utf8_lossy(&bytes[at..end]).into_owned());
            at = end + 1;
        }
        let (width, height) = (fields[1].parse().unwrap(), fields[2].parse().unwrap());
        let rest = &bytes[at..];
        let grey = if bits {
            let row = |row: &[u8]| -> Vec<u8> {
                let set = |i: usize| row[i / 8] >> (7 - i % 8) & 1 == 1;
                (0..width).map(|i| if set(i) { 0 } else { 255 }).collect()
            };
            rest.chunks(usize::div_ceil(width, 8))
                .take(height)
                .flat_map(row)
                .collect()
        } else {
            rest.to_vec()
        };
        Self {
            width,
            height,
            grey,
        }
    }

    pub(crate) fn at(&self, x: usize, y: usize) -> u8 {
        self.grey[y * self.width + x]
    }

    /// Middles of the dark runs along a row, weighted by darkness, in pixels.
    pub(crate) fn lines_across(&self, y: usize) -> Vec<f64> {
        runs((0..self.width).map(|x| self.at(x, y)))
    }

    /// Middles of the dark runs down a column.
    pub(crate) fn lines_down(&self, x: usize) -> Vec<f64> {
        runs((0..self.height).map(|y| self.at(x, y)))
    }
}

fn runs(pixels: impl Iterator<Item = u8>) -> Vec<f64> {
    let mut found = Vec::new();
    let (mut weight, mut moment) = (0.0, 0.0);
    for (i, grey) in pixels.chain([255]).enumerate() {
        let dark = 255.0 - f64::from(grey);
        if dark > 40.0 {
            weight += dark;
            moment += dark * (i as f64 + 0.5);
        } else if weight > 0.0 {
            found.push(moment / weight);
            (weight, moment) = (0.0, 0.0);
        }
    }
    found
}
