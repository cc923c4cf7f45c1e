//! Runs a block: a script without files, clock or endless loops, that puts a draft on the board.

use super::board::Board;
use super::library::Library;
use super::types::Draft;
use super::words;
use crate::order::{Choice, Garment, House, HouseValue, Measures, Order};
use rhai::module_resolvers::DummyModuleResolver;
use rhai::packages::{
    ArithmeticPackage, BasicArrayPackage, BasicFnPackage, BasicIteratorPackage, BasicMapPackage,
    BasicMathPackage, BasicStringPackage, LogicPackage, Package,
};
use rhai::{
    AST, Dynamic, Engine, EvalAltResult, Map, Module, ModuleResolver, Position, Scope, Shared,
};
use std::collections::BTreeMap;
use std::fmt;
use std::sync::{Mutex, PoisonError};

/// A jacket with every choice takes some 20,000 operations; a script that needs more than this
/// does not end.
const MOST_OPERATIONS: u64 = 5_000_000;

/// A fault in a block, or measures that it cannot draft.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BlockFault {
    /// The garment that was being drafted.
    pub garment: String,
    /// The file, as messages name it.
    pub file: String,
    /// Line in the file, from 1, if known.
    pub line: Option<usize>,
    /// Column in the line, from 1, if known.
    pub column: Option<usize>,
    /// The text of that line.
    pub text: String,
    /// What is wrong.
    pub message: String,
    /// Where it was called from, innermost first: file and line.
    pub calls: Vec<String>,
}

impl fmt::Display for BlockFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the {} cannot be drafted: {}\n  {}",
            self.garment, self.message, self.file
        )?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
            if let Some(column) = self.column {
                write!(
                    f,
                    ":{column}\n    {}\n    {}^",
                    self.text,
                    " ".repeat(column.saturating_sub(1))
                )?;
            }
        }
        for call in &self.calls {
            write!(f, "\n  called from {call}")?;
        }
        Ok(())
    }
}

impl std::error::Error for BlockFault {}

/// Drafts one garment of an order.
///
/// # Errors
/// When the block has a fault, or the measures and choices do not go together in it.
pub fn draft(library: &Library, order: &Order, garment: &Garment) -> Result<Draft, BlockFault> {
    let board = Board::default();
    let engine = engine(library, variables(&board, order, garment));
    let main = format!("{0}/{0}.rhai", garment.block);
    let run = |ast: AST| engine.run_ast_with_scope(&mut Scope::new(), &ast);
    let outcome = match library.compiled(&main, |text| Ok(engine.compile(text)?)) {
        Some(ast) => ast.and_then(run),
        None => Err(EvalAltResult::ErrorModuleNotFound(main.clone(), Position::NONE).into()),
    };
    if let Err(error) = outcome {
        return Err(fault(library, garment, &main, &error));
    }
    let sheet = board.sheet().clone();
    Ok(Draft {
        garment: garment.block.clone(),
        points: sheet.points,
        steps: sheet.steps,
        pieces: sheet.pieces,
        seams: sheet.seams,
        joins: sheet.joins,
        girths: sheet.girths,
        darts: sheet.darts,
        warnings: sheet.warnings,
    })
}

/// What every function of a block can name: the board, the measures and the house's numbers in cm,
/// the style choices.
fn variables(board: &Board, order: &Order, garment: &Garment) -> BTreeMap<&'static str, Dynamic> {
    BTreeMap::from([
        ("board", Dynamic::from(board.clone())),
        ("m", Dynamic::from(measures(&order.measures))),
        ("style", Dynamic::from(style(garment))),
        ("house", Dynamic::from(house(&order.house))),
    ])
}

fn measures(measures: &Measures) -> Map {
    measures
        .0
        .iter()
        .map(|(name, measure)| (name.as_str().into(), Dynamic::from(measure.mm / 10.0)))
        .collect()
}

fn style(garment: &Garment) -> Map {
    let value = |choice: &Choice| match choice {
        Choice::Word(word) => Dynamic::from(word.clone()),
        Choice::Length(mm) => Dynamic::from(mm / 10.0),
        Choice::Number(number) => Dynamic::from(*number),
        Choice::Flag(flag) => Dynamic::from(*flag),
    };
    garment
        .style
        .iter()
        .map(|(name, choice)| (name.as_str().into(), value(choice)))
        .collect()
}

/// Dotted names become maps within maps: `ease.classic` is `house.ease.classic`.
fn house(house: &House) -> Map {
    let mut root = Map::new();
    for (name, value) in &house.0 {
        let value = match value {
            HouseValue::Number(number) => Dynamic::from(*number),
            HouseValue::Along(numbers) => Dynamic::from(
                numbers
                    .iter()
                    .map(|n| Dynamic::from(*n))
                    .collect::<rhai::Array>(),
            ),
            HouseValue::Word(word) => Dynamic::from(word.clone()),
        };
        place(&mut root, name, value);
    }
    root
}

fn place(map: &mut Map, name: &str, value: Dynamic) {
    match name.split_once('.') {
        None => {
            map.insert(name.into(), value);
        }
        Some((head, rest)) => {
            let inner = map
                .entry(head.into())
                .or_insert_with(|| Dynamic::from(Map::new()));
            if let Some(mut inner) = inner.write_lock::<Map>() {
                place(&mut inner, rest, value);
            }
        }
    }
}

#[expect(
    deprecated,
    reason = "on_var is not deprecated: the attribute only warns that it may change"
)]
fn engine(library: &Library, variables: BTreeMap<&'static str, Dynamic>) -> Engine {
    let mut engine = Engine::new_raw();
    // The core package would bring in a way to sleep; these are the parts of it that a draft needs.
    ArithmeticPackage::new().register_into_engine(&mut engine);
    BasicStringPackage::new().register_into_engine(&mut engine);
    BasicIteratorPackage::new().register_into_engine(&mut engine);
    BasicFnPackage::new().register_into_engine(&mut engine);
    LogicPackage::new().register_into_engine(&mut engine);
    BasicMathPackage::new().register_into_engine(&mut engine);
    BasicArrayPackage::new().register_into_engine(&mut engine);
    BasicMapPackage::new().register_into_engine(&mut engine);
    words::register(&mut engine);
    engine.set_fast_operators(false);
    engine.set_fail_on_invalid_map_property(true);
    engine.disable_symbol("eval");
    engine.set_max_operations(MOST_OPERATIONS);
    engine.set_max_call_levels(40);
    engine.set_max_expr_depths(80, 80);
    engine.set_max_string_size(4096);
    engine.set_max_array_size(4096);
    engine.set_max_map_size(1024);
    engine.set_max_modules(200);
    engine.on_print(|_| {});
    engine.on_var(move |name, _, _| Ok(variables.get(name).cloned()));
    engine.set_module_resolver(Resolver {
        library: library.clone(),
        loaded: Mutex::default(),
    });
    engine
}

/// Finds imported scripts in the library; nothing else can be imported.
struct Resolver {
    library: Library,
    loaded: Mutex<BTreeMap<String, Shared<Module>>>,
}

impl ModuleResolver for Resolver {
    fn resolve(
        &self,
        engine: &Engine,
        source: Option<&str>,
        path: &str,
        position: Position,
    ) -> Result<Shared<Module>, Box<EvalAltResult>> {
        let file = format!("{path}.rhai");
        if let Some(module) = self
            .loaded
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .get(&file)
        {
            return Ok(module.clone());
        }
        let Some(ast) = self
            .library
            .compiled(&file, |text| Ok(engine.compile(text)?))
        else {
            return DummyModuleResolver::new().resolve(engine, source, path, position);
        };
        let in_module = |error| EvalAltResult::ErrorInModule(file.clone(), error, position);
        let ast = ast.map_err(in_module)?;
        let module = Module::eval_ast_as_new(Scope::new(), &ast, engine).map_err(in_module)?;
        let module: Shared<Module> = module.into();
        self.loaded
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .insert(file, module.clone());
        Ok(module)
    }
}

/// Unwraps an error to its innermost place, keeping the calls that led there.
fn fault(library: &Library, garment: &Garment, main: &str, error: &EvalAltResult) -> BlockFault {
    let (mut file, mut error) = (main.to_owned(), error);
    let mut calls = Vec::new();
    loop {
        let (inner_file, inner, position) = match error {
            EvalAltResult::ErrorInFunctionCall(_, source, inner, position) => {
                (source, inner, position)
            }
            EvalAltResult::ErrorInModule(path, inner, position) => (path, inner, position),
            _ => break,
        };
        if let Some(line) = position.line() {
            calls.push(format!("{}:{line}", library.shown(&file)));
        }
        if !inner_file.is_empty() {
            file.clone_from(inner_file);
        }
        error = inner;
    }
    calls.reverse();
    let position = error.position();
    let line = position.line();
    let text = line
        .and_then(|line| library.text(&file)?.lines().nth(line - 1))
        .unwrap_or_default()
        .to_owned();
    BlockFault {
        garment: garment.block.clone(),
        file: library.shown(&file),
        line,
        column: position.position(),
        text,
        message: message(error),
        calls,
    }
}

/// The error in words, without the place, which is told beside it.
fn message(error: &EvalAltResult) -> String {
    match error {
        EvalAltResult::ErrorRuntime(value, _) => value.to_string(),
        EvalAltResult::ErrorModuleNotFound(path, _) => format!("there is no block '{path}'"),
        EvalAltResult::ErrorTooManyOperations(_) => "the block does not come to an end".to_owned(),
        other => {
            let mut plain = other.to_string();
            if let Some(at) = plain.rfind(" (line ") {
                plain.truncate(at);
            }
            plain
        }
    }
}
