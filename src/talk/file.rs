//! The order's file: read, written whole or not at all, and held by one talk at a time.

use crate::diagnostic::{Diagnostic, Source};
use crate::sheets::folder;
use std::fs::{File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// An order's file that one talk holds.
#[derive(Debug)]
pub(super) struct OrderFile {
    /// The file as it was named, for messages.
    named: PathBuf,
    /// The file itself, behind any link: a link stays one.
    path: PathBuf,
    lock_file: PathBuf,
    _lock: File,
}

/// Why an order was not written.
#[derive(Debug)]
pub(super) enum Unwritten {
    /// The file has changed meanwhile.
    Changed,
    /// The system does not allow it.
    Failed(io::Error),
}

impl OrderFile {
    /// Takes hold of an order's file; `starter` is written where there is none yet.
    ///
    /// # Errors
    /// Returns a fault where another talk holds it, or nothing can be written beside it.
    pub(super) fn hold(
        named: &Path,
        starter: impl FnOnce() -> Result<String, Diagnostic>,
    ) -> Result<Self, Diagnostic> {
        let fault = |message: String| {
            let here = Source::new(named.display().to_string(), "");
            Diagnostic::error(message).in_file(&here)
        };
        let path = named.canonicalize().unwrap_or_else(|_| named.to_owned());
        let name = path.file_name().map(|name| name.to_string_lossy());
        let name = name.ok_or_else(|| fault("this is no file".to_owned()))?;
        let lock_file = path.with_file_name(format!(".{name}.talk"));
        let open = OpenOptions::new()
            .create(true)
            .append(true)
            .open(&lock_file);
        let lock = open.map_err(|error| {
            fault(format!("nothing can be written beside the order: {error}"))
                .help("use a folder of your own, with space on its disk")
        })?;
        match lock.try_lock() {
            Err(TryLockError::WouldBlock) => {
                return Err(
                    fault("another `chalkstripe talk` is using this order".to_owned())
                        .help("go on in its window, or end it with Ctrl-C first"),
                );
            }
            Err(TryLockError::Error(error)) if error.kind() != io::ErrorKind::Unsupported => {
                return Err(fault(format!("the order cannot be locked: {error}")));
            }
            // A file system without locks cannot keep two talks apart; the user has to.
            _ => {}
        }
        let held = Self {
            named: named.to_owned(),
            path,
            lock_file,
            _lock: lock,
        };
        if !held.path.exists() {
            let text = starter()?;
            let written = folder::replace_one(&held.path, text.as_bytes());
            written.map_err(|error| fault(format!("the order cannot be written: {error}")))?;
        }
        Ok(held)
    }

    /// Reads the file.
    ///
    /// # Errors
    /// Returns what is wrong where it cannot be read.
    pub(super) fn read(&self) -> Result<Arc<Source>, Diagnostic> {
        let source = Source::read(&self.path)?;
        Ok(Source::new(
            self.named.display().to_string(),
            source.text.as_str(),
        ))
    }

    /// Writes a text in the place of another, which must still stand there.
    ///
    /// # Errors
    /// Returns why nothing was written.
    pub(super) fn replace(&self, old: &str, new: &str) -> Result<(), Unwritten> {
        if self.read().map_or(true, |source| source.text != old) {
            return Err(Unwritten::Changed);
        }
        folder::replace_one(&self.path, new.as_bytes()).map_err(Unwritten::Failed)
    }

    /// Returns the folder that paths in the order start from.
    pub(super) fn folder(&self) -> &Path {
        self.path.parent().unwrap_or(Path::new(""))
    }

    /// Returns the file as it was named.
    pub(super) fn named(&self) -> &Path {
        &self.named
    }
}

impl Drop for OrderFile {
    fn drop(&mut self) {
        // One that stays is taken over by the next talk: what counts is the lock, which ends with the program.
        let _ = std::fs::remove_file(&self.lock_file);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn an_order_is_held_once_and_written_whole() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.toml");
        let hold = || OrderFile::hold(&path, || Ok("a = 1\n".to_owned()));
        let held = hold().unwrap();
        assert!(hold().unwrap_err().message.contains("another"));
        held.replace("a = 1\n", "a = 2\n").unwrap();
        assert!(matches!(
            held.replace("a = 1\n", "a = 3\n"),
            Err(Unwritten::Changed)
        ));
        assert_eq!(fs::read_to_string(&path).unwrap(), "a = 2\n");
        drop(held);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
        hold().unwrap();
        assert_eq!(
            fs::read_to_string(&path).unwrap(),
            "a = 2\n",
            "it is no new order"
        );
    }

    #[test]
    fn what_cannot_be_written_changes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.toml");
        let held = OrderFile::hold(&path, || Ok("a = 1\n".to_owned())).unwrap();
        // A file stands where the side folder goes.
        fs::write(folder.path().join(".chalkstripe"), "").unwrap();
        assert!(matches!(
            held.replace("a = 1\n", "a = 2\n"),
            Err(Unwritten::Failed(_))
        ));
        assert_eq!(fs::read_to_string(&path).unwrap(), "a = 1\n");
    }
}
