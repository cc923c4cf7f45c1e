//! Reading the file of a swatch.

use super::reading::Findings;
use crate::diagnostic::Diagnostic;
use std::fs::File;
use std::io::Read;
use std::path::{Component, Path};
use toml::Spanned;

/// The largest file of a swatch, in bytes.
const LARGEST_FILE: u64 = 64 << 20;

/// Reads the file of a swatch, which lies in the order's folder.
pub(super) fn bytes(
    raw: &Spanned<String>,
    folder: &Path,
    findings: &mut Findings,
) -> Option<Vec<u8>> {
    match file(Path::new(raw.get_ref()), folder) {
        Ok(bytes) => Some(bytes),
        Err(fault) => {
            findings.at(raw.span(), fault);
            None
        }
    }
}

fn file(path: &Path, folder: &Path) -> Result<Vec<u8>, Diagnostic> {
    let outside = || {
        let fault = Diagnostic::error(format!("`{}` is not in the order's folder", path.display()));
        fault.help("copy the picture beside the order, or into a folder there: swatch = \"swatches/314.jpg\"")
    };
    let unread = |error: std::io::Error| {
        let fault = Diagnostic::error(format!(
            "the swatch `{}` cannot be read: {error}",
            path.display()
        ));
        fault.help("the path starts from the order's own folder")
    };
    let stays = path
        .components()
        .all(|part| matches!(part, Component::Normal(_) | Component::CurDir));
    if !stays || path.as_os_str().is_empty() {
        return Err(outside());
    }
    let folder = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let whole = folder.join(path).canonicalize().map_err(unread)?;
    // A link may lead out of the folder.
    if !whole.starts_with(folder.canonicalize().map_err(unread)?) {
        return Err(outside());
    }
    // Before it is opened: a pipe would be waited for.
    if !whole.is_file() {
        let fault = Diagnostic::error(format!("the swatch `{}` is not a file", path.display()));
        return Err(fault.help("name the picture, PNG or JPEG"));
    }
    let file = File::open(&whole).map_err(unread)?;
    let mut bytes = Vec::new();
    file.take(LARGEST_FILE + 1)
        .read_to_end(&mut bytes)
        .map_err(unread)?;
    if bytes.len() as u64 > LARGEST_FILE {
        let megabytes = LARGEST_FILE >> 20;
        let fault = Diagnostic::error(format!("the swatch is a file of more than {megabytes} MB"));
        return Err(fault.help("save the picture smaller"));
    }
    Ok(bytes)
}
