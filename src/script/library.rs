//! The block library: the scripts and tables embedded in the program, and those of a user's folder.

use super::calls::Calls;
use include_dir::{Dir, include_dir};
use rhai::{AST, EvalAltResult};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::{fs, io};

static EMBEDDED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/blocks");

/// Largest file of a user, in bytes. No block comes near it.
const LARGEST_FILE: u64 = 1 << 20;

/// Most entries in a user's folder and below it. A folder with more was named by mistake.
const MOST_ENTRIES: usize = 5000;
/// Largest size of all scripts of a user together, in bytes, for the same reason.
const LARGEST_FOLDER: u64 = 8 << 20;

/// Compiled scripts, by their files.
type Compiled = Mutex<BTreeMap<String, Arc<Script>>>;

/// Compiled scripts of the program, kept for all orders: to compile one takes longer than to run it.
static COMPILED: Compiled = Mutex::new(BTreeMap::new());

/// The blocks that an order may name. A clone shares the compiled scripts.
#[derive(Debug, Clone, Default)]
pub struct Library {
    own: BTreeMap<String, String>,
    folder: Option<PathBuf>,
    own_compiled: Arc<Compiled>,
}

/// A compiled script.
#[derive(Debug)]
pub(super) struct Script {
    pub ast: AST,
    pub calls: Calls,
}

impl Library {
    /// Returns the library that comes with the program.
    pub fn embedded() -> Self {
        Self::default()
    }

    /// Returns the embedded library with the scripts of a folder added: a file `jacket/lapels/mine.rhai` there
    /// adds a lapel, and a file of an existing name replaces the embedded one.
    ///
    /// # Errors
    /// When the folder or a file in it cannot be read.
    pub fn with_folder(folder: &Path) -> io::Result<Self> {
        let mut own = BTreeMap::new();
        let mut waiting = vec![folder.to_owned()];
        let (mut entries, mut bytes) = (0, 0);
        let refused = |text: String| io::Error::new(io::ErrorKind::InvalidData, text);
        while let Some(place) = waiting.pop() {
            for entry in fs::read_dir(&place)? {
                let entry = entry?;
                entries += 1;
                if entries > MOST_ENTRIES {
                    let text = format!(
                        "more than {MOST_ENTRIES} files are in it: is it the right folder?"
                    );
                    return Err(refused(text));
                }
                let (path, kind) = (entry.path(), entry.file_type()?);
                if kind.is_dir() {
                    waiting.push(path);
                } else if kind.is_file() && path.extension().is_some_and(|ending| ending == "rhai")
                {
                    let size = entry.metadata()?.len();
                    bytes += size;
                    if size > LARGEST_FILE || bytes > LARGEST_FOLDER {
                        return Err(refused(format!(
                            "with {} it is larger than blocks can be: a file may have {} KiB, all of them {} KiB",
                            path.display(),
                            LARGEST_FILE >> 10,
                            LARGEST_FOLDER >> 10
                        )));
                    }
                    let name = path.strip_prefix(folder).unwrap_or(&path).to_string_lossy();
                    let text = fs::read_to_string(&path).map_err(|error| {
                        io::Error::new(error.kind(), format!("{}: {error}", path.display()))
                    })?;
                    own.insert(name.replace('\\', "/"), text);
                }
            }
        }
        Ok(Self {
            own,
            folder: Some(folder.to_owned()),
            ..Self::default()
        })
    }

    /// Returns the text of a file by its path below `blocks/`, the user's own first.
    pub fn text(&self, path: &str) -> Option<&str> {
        match self.own.get(path) {
            Some(text) => Some(text),
            None => EMBEDDED
                .get_file(path)
                .and_then(|file| file.contents_utf8()),
        }
    }

    /// Returns the path by which messages name a file of the library.
    pub fn shown(&self, path: &str) -> String {
        match &self.folder {
            Some(folder) if self.is_own(path) => folder.join(path).display().to_string(),
            _ => format!("blocks/{path}"),
        }
    }

    /// Lists the scripts in a folder of the library by name, without their ending, sorted.
    pub fn scripts_in(&self, folder: &str) -> Vec<String> {
        let embedded = EMBEDDED
            .get_dir(folder)
            .into_iter()
            .flat_map(|dir| dir.files());
        let mut names: Vec<String> = embedded
            .map(|file| file.path().to_string_lossy().into_owned())
            .chain(self.own.keys().cloned())
            .filter_map(|path| {
                let name = path
                    .strip_prefix(folder)?
                    .strip_prefix('/')?
                    .strip_suffix(".rhai")?;
                (!name.contains('/')).then(|| name.to_owned())
            })
            .collect();
        names.sort();
        names.dedup();
        names
    }

    /// Returns whether a file is the user's own.
    pub(super) fn is_own(&self, path: &str) -> bool {
        self.own.contains_key(path)
    }

    /// Returns a script, which it compiles when it is asked for the first time.
    pub(super) fn compiled(
        &self,
        path: &str,
        compile: impl FnOnce(&str) -> Result<AST, Box<EvalAltResult>>,
    ) -> Option<Result<Arc<Script>, Box<EvalAltResult>>> {
        let all = match self.is_own(path) {
            true => &*self.own_compiled,
            false => &COMPILED,
        };
        let compiled = || all.lock().unwrap_or_else(PoisonError::into_inner);
        let known = compiled().get(path).cloned();
        if let Some(script) = known {
            return Some(Ok(script));
        }
        Some(compile(self.text(path)?).map(|mut ast| {
            ast.set_source(path);
            let calls = Calls::of(&ast);
            let script = Arc::new(Script { ast, calls });
            compiled().insert(path.to_owned(), script.clone());
            script
        }))
    }
}
