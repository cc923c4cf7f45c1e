//! The men whom a bench is asked for.

use super::survey::{self, Man};
use std::path::PathBuf;
use std::process::ExitCode;

/// Reads the survey that the first argument names, or the sample beside the project, and returns its men with the
/// folder of blocks that the second one names.
///
/// # Errors
/// Returns what the bench ends with, once it is said why: success where the sample is not there.
pub(crate) fn asked() -> Result<(Vec<Man>, Option<PathBuf>), ExitCode> {
    let mut named = std::env::args()
        .skip(1)
        .filter(|word| !word.starts_with("--"));
    let (file, blocks) = (named.next(), named.next().map(PathBuf::from));
    let sample = file.is_none();
    let file = PathBuf::from(file.unwrap_or_else(|| survey::SAMPLE.to_owned()));
    if sample && !file.exists() {
        eprintln!("SKIPPED: {} is not here", file.display());
        return Err(ExitCode::SUCCESS);
    }
    let men = survey::men(&file).map_err(|fault| {
        eprintln!("{fault}");
        ExitCode::from(2)
    })?;
    Ok((men, blocks))
}
