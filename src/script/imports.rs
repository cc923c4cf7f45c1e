//! Finds the scripts that a draft imports. They come from the library and from nowhere else.

use super::calls::{Clash, Met};
use super::library::{Library, Script};
use super::limits;
use rhai::module_resolvers::DummyModuleResolver;
use rhai::{Engine, EvalAltResult, Module, ModuleResolver, Position, Scope, Shared};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// The scripts of one run of a block. Cloning it shares them.
#[derive(Clone)]
pub(super) struct Scripts(Arc<Loaded>);

struct Loaded {
    library: Library,
    /// The garment that is drafted and those it is like, itself first.
    line: Vec<String>,
    modules: Mutex<BTreeMap<String, Shared<Module>>>,
    /// The scripts that are being run, each imported by the one before it.
    running: Mutex<Vec<String>>,
    met: Mutex<Met>,
}

impl Scripts {
    pub(super) fn new(library: &Library, garment: &str) -> Self {
        Self(Arc::new(Loaded {
            library: library.clone(),
            line: library.line(garment),
            modules: Mutex::default(),
            running: Mutex::default(),
            met: Mutex::default(),
        }))
    }

    /// Returns a script ready to run, if there is one of that name.
    ///
    /// # Errors
    /// When it does not compile, or one of its functions could be taken for that of an earlier script.
    pub(super) fn script(
        &self,
        engine: &Engine,
        file: &str,
    ) -> Option<Result<Arc<Script>, Box<EvalAltResult>>> {
        let library = &self.0.library;
        let script = library.compiled(file, |text| Ok(engine.compile(text)?))?;
        Some(script.and_then(|script| {
            let own = |name: &str| library.is_own(name);
            match lock(&self.0.met).add(file, &script.calls, own) {
                Ok(()) => Ok(script),
                Err(clash) => Err(told(library, clash)),
            }
        }))
    }

    /// Returns the garment's main script, or that of the first garment it is like that has one.
    pub(super) fn main(&self) -> String {
        let of = |garment: &String| format!("{garment}/{garment}.rhai");
        let (library, line) = (&self.0.library, &self.0.line);
        let there = line
            .iter()
            .map(of)
            .find(|file| library.text(file).is_some());
        there.unwrap_or_else(|| line.first().map(of).unwrap_or_default())
    }

    /// Returns the script that is meant by a path of a garment in the line: that of the garment which is drafted, else
    /// of the first one it is like that has one. A script that asks for the path in whose place it stands itself
    /// gets the one it stands before.
    fn meant(&self, path: &str, source: Option<&str>) -> String {
        let file = format!("{path}.rhai");
        let (library, line) = (&self.0.library, &self.0.line);
        let Some((_, rest)) = file
            .split_once('/')
            .filter(|(garment, _)| line.iter().any(|own| own == garment))
        else {
            return file;
        };
        let all: Vec<String> = line
            .iter()
            .map(|garment| format!("{garment}/{rest}"))
            .collect();
        let above = all
            .iter()
            .position(|own| source == Some(own.as_str()))
            .map_or(0, |at| at + 1);
        let mut after = all.into_iter().skip(above);
        after
            .find(|next| library.text(next).is_some())
            .unwrap_or(file)
    }

    /// Runs an imported script, unless it imports itself.
    fn run(
        &self,
        engine: &Engine,
        file: &str,
        script: &Script,
    ) -> Result<Module, Box<EvalAltResult>> {
        let running = || lock(&self.0.running);
        let deep = running().len() >= limits::DEEPEST_IMPORT;
        if deep || running().iter().any(|above| above == file) {
            let text = format!("{file} imports itself, or imports run too deep");
            return Err(EvalAltResult::ErrorRuntime(text.into(), Position::NONE).into());
        }
        running().push(file.to_owned());
        let module = Module::eval_ast_as_new(Scope::new(), &script.ast, engine);
        running().pop();
        module
    }
}

impl ModuleResolver for Scripts {
    fn resolve(
        &self,
        engine: &Engine,
        source: Option<&str>,
        path: &str,
        position: Position,
    ) -> Result<Shared<Module>, Box<EvalAltResult>> {
        let file = self.meant(path, source);
        if let Some(module) = lock(&self.0.modules).get(&file) {
            return Ok(module.clone());
        }
        let Some(script) = self.script(engine, &file) else {
            return DummyModuleResolver::new().resolve(engine, source, path, position);
        };
        let in_module = |error| EvalAltResult::ErrorInModule(file.clone(), error, position);
        let script = script.map_err(in_module)?;
        let module = self.run(engine, &file, &script).map_err(in_module)?;
        let module: Shared<Module> = module.into();
        lock(&self.0.modules).insert(file, module.clone());
        Ok(module)
    }
}

/// Makes an error of a clash, at the place of the function.
fn told(library: &Library, clash: Clash) -> Box<EvalAltResult> {
    let name = &clash.name;
    let text = match &clash.other {
        None => format!(
            "`{name}` is a word of the board, or is called behind a dot: give this function another name"
        ),
        Some((other, at)) => {
            let line = at.line().map_or(String::new(), |line| format!(":{line}"));
            let other = library.shown(other);
            format!(
                "`{name}` is a function of {other}{line} as well, and each is called without `file::` \
                 before it, so that one would be taken for the other: give this one another name"
            )
        }
    };
    let error = EvalAltResult::ErrorRuntime(text.into(), named_at(library, &clash));
    EvalAltResult::ErrorInModule(clash.file, error.into(), Position::NONE).into()
}

/// Finds the name of the function, which stands before its body, as a rule in the same line.
fn named_at(library: &Library, clash: &Clash) -> Position {
    let at = || {
        let line = clash.position.line()?;
        let text = library.text(&clash.file)?.lines().nth(line - 1)?;
        let before = &text[..text.find(&format!("fn {}", clash.name))?];
        let column = u16::try_from(before.chars().count() + 4).ok()?;
        Some(Position::new(u16::try_from(line).ok()?, column))
    };
    at().unwrap_or(clash.position)
}

fn lock<T>(held: &Mutex<T>) -> MutexGuard<'_, T> {
    held.lock().unwrap_or_else(PoisonError::into_inner)
}
