//! The orders a command was given: files, and folders of them.

use super::{show, stop};
use chalkstripe::diagnostic::{Diagnostic, Source};
use chalkstripe::job::{self, Drafted};
use chalkstripe::lay::Laid;
use chalkstripe::order::{self, Checked, Order};
use chalkstripe::sheets::words;
use std::path::{Path, PathBuf};

/// The order files named, in order; a folder stands for the `.toml` files in it.
pub(super) fn files(named: &[PathBuf]) -> Result<Vec<PathBuf>, Vec<Diagnostic>> {
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

/// Reads and checks an order; what is doubted of it stands in its warnings, also what the sheets cannot
/// print of its texts.
pub(super) fn checked(file: &Path) -> Result<Checked, Vec<Diagnostic>> {
    let mut checked = order::read(file)?;
    checked.warnings.extend(job::unprintable(&checked.texts));
    checked.warnings.sort_by_key(Diagnostic::start);
    Ok(checked)
}

/// Reads and checks an order and shows what was found; `None` if it has a fault.
pub(super) fn read(file: &Path) -> Option<Checked> {
    match checked(file) {
        Ok(checked) => {
            show::findings(&checked.warnings);
            Some(checked)
        }
        Err(findings) => {
            show::findings(&findings);
            None
        }
    }
}

/// Begins with the files named, if they can be begun with; Ctrl-C is listened for from now on.
pub(super) fn begin(files: Result<Vec<PathBuf>, Vec<Diagnostic>>) -> Option<Vec<PathBuf>> {
    stop::listen();
    files.map_err(|faults| show::findings(&faults)).ok()
}

/// Reads one order, does the work on it and gives what is to be told of it; shows what was at fault.
pub(super) fn one(
    file: &Path,
    work: impl Fn(&Path, &Order) -> Result<String, Vec<Diagnostic>>,
) -> Option<String> {
    let order = read(file)?.order;
    work(file, &order)
        .map_err(|faults| show::findings(&all_about(file, faults)))
        .ok()
}

/// Works through orders one after another and prints what is told of each; true if all went well.
/// After Ctrl-C no other is begun.
pub(super) fn each(
    files: Result<Vec<PathBuf>, Vec<Diagnostic>>,
    work: impl Fn(&Path, &Order) -> Result<String, Vec<Diagnostic>>,
) -> bool {
    let Some(files) = begin(files) else {
        return false;
    };
    let mut well = true;
    for (i, file) in files.iter().enumerate() {
        if stop::asked() {
            let left = files.len() - i;
            let told = format!("stopped: {left} of the orders were not begun");
            show::findings(&[Diagnostic::error(told)]);
            return false;
        }
        well &= one(file, &work).is_some_and(|text| show::print(&text));
    }
    well
}

/// Drafts an order and proves its pattern, and shows what the blocks warn of; what the blocks and the proof
/// say is about its file.
pub(super) fn draft(file: &Path, order: &Order) -> Result<Drafted, Vec<Diagnostic>> {
    let (drafted, warnings) = drafted(file, order)?;
    show::findings(&warnings);
    Ok(drafted)
}

/// The same with the warnings beside it, for whoever shows them.
pub(super) fn drafted(
    file: &Path,
    order: &Order,
) -> Result<(Drafted, Vec<Diagnostic>), Vec<Diagnostic>> {
    let drafted = job::draft(order).map_err(|faults| all_about(file, faults))?;
    let warnings = drafted
        .drafts
        .iter()
        .flat_map(|d| d.warnings.iter().map(|w| (&d.garment, w)));
    let warnings = warnings.map(|(garment, w)| Diagnostic::warning(format!("{garment}: {w}")));
    let warnings = all_about(file, warnings.collect());
    Ok((drafted, warnings))
}

/// What length to order of each material that is laid, a line each.
pub(super) fn lengths(lays: &[Laid]) -> String {
    let line = |laid: &Laid| {
        let material = words::capital(words::material(laid.material));
        let length = words::metres(laid.order_length.length);
        format!("  {material}: order {length} ({})\n", laid.order_length.how)
    };
    lays.iter().map(line).collect()
}

/// The findings, each with a place: those that have none are about the file as a whole.
pub(super) fn all_about(file: &Path, findings: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let source = Source::new(file.display().to_string(), "");
    let placed = |finding: Diagnostic| {
        if finding.place.is_none() {
            finding.in_file(&source)
        } else {
            finding
        }
    };
    findings.into_iter().map(placed).collect()
}
