//! Puts finished sheets into their folder, each of them whole, and never beside sheets of another run.
//!
//! All sheets are first written into a side folder and flushed to the disk. If they cannot all be written,
//! nothing has changed. Then each is renamed over the one before it, which a file system does at once or not
//! at all. Sheets of two runs can lie side by side only between the first rename and the last. During that
//! time a notice lies among them, which stays if the program is killed. The side folder always has the same
//! name, and a lock in it lets only one run at a time put sheets into the folder. The next run clears what a
//! killed run leaves in it.

use super::earlier::LAY_FILE;
use super::{Sheet, fingerprint};
use same_file::Handle;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Name of the side folder. It lies in the folder of the sheets, because a rename cannot leave a file system.
const ASIDE: &str = ".chalkstripe";

/// Name of the file in the side folder that a run locks while it uses the folder.
const LOCK: &str = "lock";

/// Name of the notice that lies among the sheets while they are exchanged.
pub const NOTICE: &str = "DO-NOT-CUT.txt";

const NOTICE_TEXT: &str = "\
These sheets may come from two different runs: chalkstripe was stopped while it put them in place.
Do not cut from them. Run `chalkstripe cut` again, and this notice goes away.
";

/// Most attempts to open the side folder. If it is removed each time, something else is removing it.
const MOST_TRIES: usize = 100;

/// Puts finished sheets into a folder, which is made if it does not exist. Other files in it stay.
///
/// # Errors
/// When the folder cannot be made, or the sheets cannot be written to it. No sheet is changed then, unless a rename
/// fails after another has succeeded; [`NOTICE`] then lies beside them.
pub fn write_all(finished: &[Sheet], folder: &Path) -> io::Result<()> {
    put(finished, folder, &|_| false)
}

/// Puts all sheets of an order into a folder, as [`write_all`] does, and removes sheets that an earlier run left
/// there and this one did not make, so that last month's pattern does not lie beside today's lay. A drafting
/// sheet stays if it bears the [mark](super::fingerprint) of this draft.
///
/// # Errors
/// Those of [`write_all`].
pub fn replace_all(finished: &[Sheet], folder: &Path, mark: &str) -> io::Result<()> {
    let [svg, _] = DRAFTING_SHEET;
    let drafted = fingerprint::is_on(&folder.join(svg), mark);
    put(finished, folder, &|name| {
        is_sheet(name) || !drafted && DRAFTING_SHEET.contains(&name)
    })
}

/// Puts a lay into a folder, as [`write_all`] does, and removes the lays that an earlier run left there.
///
/// # Errors
/// Those of [`write_all`].
pub fn replace_lay(finished: &[Sheet], folder: &Path) -> io::Result<()> {
    put(finished, folder, &is_lay)
}

/// Names of the files of the drafting sheet. The first bears its mark.
pub const DRAFTING_SHEET: [&str; 2] = ["drafting-sheet.svg", "drafting-sheet.pdf"];

/// Whether a name is one that this program gives to a sheet of an order.
fn is_sheet(name: &str) -> bool {
    let paper = name.starts_with("paper-") && name.ends_with(".pdf");
    let views = ["views.svg", "views.pdf", "views.png"].contains(&name);
    paper || views || is_lay(name) || name == "pieces.dxf"
}

/// Whether a name is one that this program gives to a file of a lay: `lay.svg`, `lay-lining.png`, `lay-A1.plt`.
fn is_lay(name: &str) -> bool {
    let ending = [".svg", ".plt", ".png"]
        .iter()
        .any(|ending| name.ends_with(ending));
    let rest = name.strip_prefix("lay");
    name == LAY_FILE || ending && rest.is_some_and(|rest| rest.starts_with(['.', '-']))
}

/// Puts a file in the place of another by one rename, with the same permissions, so that a reader finds the old one
/// or the new one, whole, whenever the program ends. No notice is needed: there is nothing that it could differ from.
///
/// # Errors
/// When it cannot be written; the old file then stands as it was.
pub fn replace_one(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    let folder = folder.unwrap_or(Path::new("."));
    let name = path.file_name().ok_or(io::ErrorKind::InvalidInput)?;
    let aside = Aside::new(folder)?;
    let new = aside.path.join(name);
    let mut file = File::create(&new)?;
    file.write_all(bytes)?;
    if let Ok(old) = fs::metadata(path) {
        file.set_permissions(old.permissions())?;
    }
    file.sync_all()?;
    fs::rename(new, path)?;
    flush(folder);
    Ok(())
}

/// Tries whether a folder could take sheets, so that a long search is not made for nothing. The folder need not
/// exist. The trial leaves nothing behind.
///
/// # Errors
/// When no folder can be made in the folder, or in the nearest existing one above it. If it succeeds, the disk may
/// still be too small for the sheets.
pub fn can_take(folder: &Path) -> io::Result<()> {
    let here = |at: &Path| match at.as_os_str().is_empty() {
        true => PathBuf::from("."),
        false => at.to_owned(),
    };
    let there = |at: &PathBuf| fs::symlink_metadata(at).is_ok();
    let nearest = folder.ancestors().map(here).find(there);
    let nearest = nearest.ok_or(io::ErrorKind::NotFound)?;
    if !nearest.is_dir() {
        return Err(io::ErrorKind::NotADirectory.into());
    }
    let aside = nearest.join(ASIDE);
    match fs::create_dir(&aside) {
        // Another run is using it and will be finished by then.
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(()),
        Err(error) => Err(error),
        Ok(()) => {
            // If another run has begun to use it, it stays.
            let _ = fs::remove_dir(&aside);
            Ok(())
        }
    }
}

fn put(finished: &[Sheet], folder: &Path, goes: &dyn Fn(&str) -> bool) -> io::Result<()> {
    let missing = |at: &&Path| !at.as_os_str().is_empty() && !at.exists();
    let made: Vec<&Path> = folder.ancestors().take_while(missing).collect();
    let outcome = fs::create_dir_all(folder).and_then(|()| {
        let aside = Aside::new(folder)?;
        aside.write(finished)?;
        aside.exchange(finished, goes)
    });
    if outcome.is_err() {
        // A folder with anything in it is not removed.
        let _ = made.iter().try_for_each(fs::remove_dir);
    }
    outcome
}

/// The side folder of one run. It is removed when the run is done with it.
struct Aside<'a> {
    folder: &'a Path,
    path: PathBuf,
    _lock: File,
}

impl<'a> Aside<'a> {
    /// Opens the side folder, waits until no other run uses it, and clears it.
    fn new(folder: &'a Path) -> io::Result<Self> {
        let path = folder.join(ASIDE);
        for _ in 0..MOST_TRIES {
            if let Err(error) = fs::create_dir(&path)
                && error.kind() != io::ErrorKind::AlreadyExists
            {
                return Err(error);
            }
            let file = path.join(LOCK);
            let lock = match OpenOptions::new().create(true).append(true).open(&file) {
                Ok(lock) => lock,
                // The run before has just removed the side folder.
                Err(error) if error.kind() == io::ErrorKind::NotFound => continue,
                Err(error) => return Err(error),
            };
            match lock.lock() {
                // A file system without locks cannot keep two runs apart; the user has to.
                Err(error) if error.kind() != io::ErrorKind::Unsupported => return Err(error),
                _ => {}
            }
            let held = Handle::from_file(lock.try_clone()?)?;
            if Handle::from_path(&file).is_ok_and(|there| there == held) {
                let aside = Self {
                    folder,
                    path,
                    _lock: lock,
                };
                aside.clear()?;
                return Ok(aside);
            }
        }
        Err(io::Error::other(
            "another program takes the side folder away",
        ))
    }

    fn clear(&self) -> io::Result<()> {
        for entry in fs::read_dir(&self.path)? {
            let entry = entry?;
            if entry.file_name() != LOCK {
                fs::remove_file(entry.path())?;
            }
        }
        Ok(())
    }

    fn write(&self, finished: &[Sheet]) -> io::Result<()> {
        let sheets = finished.iter().map(|s| (s.file.as_str(), &s.bytes[..]));
        for (name, bytes) in sheets.chain([(NOTICE, NOTICE_TEXT.as_bytes())]) {
            let mut file = File::create(self.path.join(name))?;
            file.write_all(bytes)?;
            file.sync_all()?;
        }
        Ok(())
    }

    /// Moves the sheets over those of the run before.
    fn exchange(&self, finished: &[Sheet], goes: &dyn Fn(&str) -> bool) -> io::Result<()> {
        let place = |name: &str| fs::rename(self.path.join(name), self.folder.join(name));
        place(NOTICE)?;
        flush(self.folder);
        for sheet in finished {
            place(&sheet.file)?;
        }
        for entry in fs::read_dir(self.folder)? {
            let entry = entry?;
            let name = entry.file_name();
            let name = name.to_string_lossy();
            if goes(&name) && finished.iter().all(|sheet| sheet.file != name) {
                fs::remove_file(entry.path())?;
            }
        }
        flush(self.folder);
        fs::remove_file(self.folder.join(NOTICE))
    }
}

impl Drop for Aside<'_> {
    fn drop(&mut self) {
        // The next run clears what cannot be removed now.
        let _ = fs::remove_dir_all(&self.path);
    }
}

/// Flushes the names in a folder to the disk, where the system can do that, so that a power cut does not undo some
/// renames and keep others.
fn flush(folder: &Path) {
    if cfg!(unix) {
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(file: &str, text: &str) -> Sheet {
        Sheet {
            file: file.into(),
            bytes: text.into(),
        }
    }

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<_> = entries
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn what_a_killed_run_left_aside_is_cleared() {
        let folder = tempfile::tempdir().unwrap();
        let aside = folder.path().join(ASIDE);
        fs::create_dir(&aside).unwrap();
        fs::write(aside.join(LOCK), "").unwrap();
        fs::write(aside.join("ticket.pdf"), "half of a tick").unwrap();
        fs::write(folder.path().join(NOTICE), "a run was stopped").unwrap();
        write_all(&[sheet("lay.svg", "whole")], folder.path()).unwrap();
        assert_eq!(names(folder.path()), ["lay.svg"]);
    }

    #[test]
    fn a_rename_that_fails_leaves_the_notice_and_no_half_of_a_sheet() {
        let folder = tempfile::tempdir().unwrap();
        // A folder of that name cannot be renamed over.
        fs::create_dir(folder.path().join("b.svg")).unwrap();
        let sheets = [sheet("a.svg", "new"), sheet("b.svg", "new")];
        write_all(&sheets, folder.path()).unwrap_err();
        assert_eq!(names(folder.path()), [NOTICE, "a.svg", "b.svg"]);
        fs::remove_dir(folder.path().join("b.svg")).unwrap();
        write_all(&sheets, folder.path()).unwrap();
        assert_eq!(names(folder.path()), ["a.svg", "b.svg"]);
    }

    #[test]
    fn folders_that_were_made_for_nothing_go_again() {
        let folder = tempfile::tempdir().unwrap();
        let deep = folder.path().join("out/order");
        write_all(&[sheet("no/such/folder.svg", "")], &deep).unwrap_err();
        assert_eq!(names(folder.path()), Vec::<String>::new());
    }

    #[test]
    fn whether_a_folder_can_take_sheets_is_found_without_a_trace() {
        let folder = tempfile::tempdir().unwrap();
        let (file, deep) = (folder.path().join("file"), folder.path().join("out/order"));
        can_take(&deep).unwrap();
        can_take(folder.path()).unwrap();
        assert_eq!(names(folder.path()), Vec::<String>::new());
        fs::write(&file, "").unwrap();
        for taken in [file.clone(), file.join("order")] {
            let error = can_take(&taken).unwrap_err();
            assert_eq!(error.kind(), io::ErrorKind::NotADirectory, "{taken:?}");
        }
        assert_eq!(names(folder.path()), ["file"]);
    }

    #[test]
    fn runs_into_one_folder_take_turns() {
        let folder = tempfile::tempdir().unwrap();
        let set = |text: String| {
            let name = |i: u32| format!("{i}.svg");
            (0..20).map(|i| sheet(&name(i), &text)).collect::<Vec<_>>()
        };
        std::thread::scope(|scope| {
            for run in 0..8 {
                let (set, path) = (set(run.to_string()), folder.path());
                scope.spawn(move || write_all(&set, path).unwrap());
            }
        });
        let texts: Vec<String> = names(folder.path())
            .iter()
            .map(|name| fs::read_to_string(folder.path().join(name)).unwrap())
            .collect();
        assert_eq!(texts.len(), 20);
        assert!(texts.iter().all(|text| *text == texts[0]), "{texts:?}");
    }
}
