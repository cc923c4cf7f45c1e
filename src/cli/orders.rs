//! The orders a command was given: files, and folders of them.

use chalkstripe::order::{self, Checked, Diagnostic, Source};
use std::path::{Path, PathBuf};

/// The order files named, in order; a folder stands for the `.toml` files in it.
pub fn files(named: &[PathBuf]) -> Result<Vec<PathBuf>, Vec<Diagnostic>> {
    let (mut files, mut faults) = (Vec::new(), Vec::new());
    for path in named {
        if !path.is_dir() {
            files.push(path.clone());
            continue;
        }
        match in_folder(path) {
            Ok(found) if !found.is_empty() => files.extend(found),
            Ok(_) => faults.push(about(path, "there is no order (.toml) in this folder")),
            Err(error) => faults.push(about(path, &format!("the folder cannot be read: {error}"))),
        }
    }
    if faults.is_empty() {
        Ok(files)
    } else {
        Err(faults)
    }
}

fn in_folder(folder: &Path) -> std::io::Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.extension().is_some_and(|e| e == "toml") && path.is_file() {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

fn about(path: &Path, message: &str) -> Diagnostic {
    Diagnostic::error(message).in_file(&Source::new(path.display().to_string(), ""))
}

/// Reads and checks each; shows every finding. `None` for those with a fault.
pub fn read(files: &[PathBuf]) -> Vec<Option<Checked>> {
    let read = |path: &PathBuf| match order::read(path) {
        Ok(checked) => {
            super::show::findings(&checked.warnings);
            Some(checked)
        }
        Err(findings) => {
            super::show::findings(&findings);
            None
        }
    };
    files.iter().map(read).collect()
}
