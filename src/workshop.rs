//! A workshop: its house's numbers, the choices of its garments, its library of blocks, the lays it has kept.
//!
//! A [`Workshop`] is the program's own, or that with a folder of blocks before it. It is read once and handed
//! down: the stages of a job read no files. [`Workshops`] holds those of a run in which every order may name a
//! folder of its own.

use crate::diagnostic::{Diagnostic, Source};
use crate::lay::KeptLay;
use crate::lays::lays;
use crate::order::{self, Catalogue, Checked};
use crate::script::Library;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

/// The house, the choices and the blocks of one workshop.
#[derive(Debug, Clone)]
pub struct Workshop {
    /// The garments that can be ordered, their choices, and the house's numbers.
    pub catalogue: Arc<Catalogue>,
    /// The scripts that draft them.
    pub library: Library,
    /// The lays from which a search for a lay of cloth may start.
    pub kept: Arc<[KeptLay]>,
}

impl Workshop {
    /// Returns the workshop that the program brings.
    pub fn embedded() -> &'static Arc<Self> {
        static EMBEDDED: LazyLock<Arc<Workshop>> = LazyLock::new(|| {
            Arc::new(Workshop {
                catalogue: Arc::new(Catalogue::embedded()),
                library: Library::embedded(),
                // Those that come with the program are read by a test.
                kept: lays(None).unwrap_or_default(),
            })
        });
        &EMBEDDED
    }

    /// Reads the workshop of a folder of blocks, which go before the program's.
    ///
    /// # Errors
    /// Returns a fault where there is no such folder, it holds no block, or a script or the kept lays in it cannot be
    /// read. A
    /// fault in a garment's choices or in the house file is returned by the [`Catalogue`] when that is asked for.
    pub fn open(folder: &Path) -> Result<Self, Diagnostic> {
        let catalogue = Arc::new(Catalogue::open(Some(folder))?);
        let library = Library::with_folder(folder).map_err(|error| {
            let folder = folder.display();
            Diagnostic::error(format!("the blocks in `{folder}` cannot be read: {error}"))
        })?;
        let kept = lays(Some(folder))?;
        Ok(Self {
            catalogue,
            library,
            kept,
        })
    }
}

/// The workshops of a run, by the folder of blocks: each is read when the first order names it.
#[derive(Debug, Default)]
pub struct Workshops {
    opened: Mutex<BTreeMap<PathBuf, Result<Arc<Workshop>, Diagnostic>>>,
}

impl Workshops {
    /// Returns the workshop of a folder of blocks, or the program's where no folder is named.
    ///
    /// # Errors
    /// Returns the fault for which [`Workshop::open`] refuses the folder.
    pub fn open(&self, folder: Option<&Path>) -> Result<Arc<Workshop>, Diagnostic> {
        let Some(folder) = folder else {
            return Ok(Workshop::embedded().clone());
        };
        // Held while a folder is read, so that orders that are worked on at once do not all read it.
        let mut opened = self.opened.lock().unwrap_or_else(PoisonError::into_inner);
        let read = || Workshop::open(folder).map(Arc::new);
        opened.entry(folder.to_owned()).or_insert_with(read).clone()
    }

    /// Reads and checks an order's file, as [`order::read`] does, with the workshop that makes it.
    ///
    /// # Errors
    /// Returns every fault and warning that was found, where one of them is a fault.
    pub fn read(&self, file: &Path) -> Result<(Checked, Arc<Workshop>), Vec<Diagnostic>> {
        let source = Source::read(file).map_err(|fault| vec![fault])?;
        let folder = file.parent().unwrap_or(Path::new(""));
        let open = |blocks: Option<&Path>| Ok(self.open(blocks)?.catalogue.clone());
        let checked = order::parse_with(&order::name_of(file), &source, folder, &open)?;
        let workshop = self.open(checked.order.blocks.as_deref());
        Ok((checked, workshop.map_err(|fault| vec![fault])?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn a_folder_is_read_once_for_a_run() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("house.toml"), "[cloth]\ngap = 0.5\n").unwrap();
        let workshops = Workshops::default();
        let first = workshops.open(Some(folder.path())).unwrap();
        fs::remove_file(folder.path().join("house.toml")).unwrap();
        let second = workshops.open(Some(folder.path())).unwrap();
        assert!(Arc::ptr_eq(&first, &second));
        assert!(Workshop::open(folder.path()).is_err(), "it is empty now");
        assert!(workshops.open(Some(Path::new("nowhere"))).is_err());
    }
}
