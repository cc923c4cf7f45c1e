//! The block library: the scripts and tables embedded in the program, and those of a user's folder.

use super::calls::Calls;
use crate::order;
use include_dir::{Dir, include_dir};
use rhai::{AST, EvalAltResult};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock, Mutex, PoisonError};
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

/// The garment that each of the program's is like.
static LIKES: LazyLock<BTreeMap<String, String>> = LazyLock::new(|| {
    let dirs = EMBEDDED.dirs().filter_map(|dir| {
        let garment = dir.path().to_str()?;
        let text = dir
            .get_file(dir.path().join("choices.toml"))?
            .contents_utf8()?;
        Some((garment.to_owned(), order::liked_by(text)?))
    });
    dirs.collect()
});

/// Compiled scripts of the program, kept for all orders: to compile one takes longer than to run it.
static COMPILED: Compiled = Mutex::new(BTreeMap::new());

/// The blocks that an order may name. A clone shares the compiled scripts.
#[derive(Debug, Clone, Default)]
pub struct Library {
    own: BTreeMap<String, String>,
    folder: Option<PathBuf>,
    /// The garment that each is like, of those that a folder changes.
    own_likes: BTreeMap<String, String>,
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
        let (mut own, mut own_likes) = (BTreeMap::new(), BTreeMap::new());
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
                } else if path.file_name().is_some_and(|name| name == "choices.toml")
                    && place.parent() == Some(folder)
                    && let Some(garment) = place.file_name().and_then(|name| name.to_str())
                {
                    // One that cannot be read is told where the choices are asked for.
                    let text = fs::read_to_string(&path).unwrap_or_default();
                    own_likes.extend(order::liked_by(&text).map(|like| (garment.to_owned(), like)));
                }
            }
        }
        Ok(Self {
            own,
            own_likes,
            folder: Some(folder.to_owned()),
            ..Self::default()
        })
    }

    /// Lists the files that come with the program, by their paths below `blocks/`.
    pub fn embedded_files() -> Vec<(&'static Path, &'static [u8])> {
        let mut waiting = vec![&EMBEDDED];
        let mut files = Vec::new();
        while let Some(folder) = waiting.pop() {
            waiting.extend(folder.dirs());
            files.extend(folder.files().map(|file| (file.path(), file.contents())));
        }
        files
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

    /// Returns a garment with those it is like, itself first and the furthest last.
    pub(super) fn line(&self, garment: &str) -> Vec<String> {
        let mut line = vec![garment.to_owned()];
        loop {
            let last = line.last().map_or("", String::as_str);
            let next = self.own_likes.get(last).or_else(|| LIKES.get(last));
            match next.filter(|next| !line.contains(next)) {
                Some(next) => line.push(next.clone()),
                None => return line,
            }
        }
    }

    /// Lists the scripts of one's own for a garment, or for those it is like, that nothing has asked for yet.
    pub fn unasked(&self, garment: &str) -> Vec<String> {
        let asked = self
            .own_compiled
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        let line = self.line(garment);
        let own = self.own.keys().filter(|file| !asked.contains_key(*file));
        let of_line = |file: &&String| {
            line.iter()
                .any(|name| file.starts_with(&format!("{name}/")))
        };
        own.filter(of_line).map(|file| self.shown(file)).collect()
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
