//! Runs a block: a script without files, clock or endless loops, that puts a draft on the board.

use super::board::Board;
use super::library::Library;
use super::limits;
use super::sides;
use super::types::Draft;
use super::words::{self, Refusal, Table};
use crate::order::figure::CORRECTIONS;
use crate::order::{Choice, Figure, Garment, House, HouseValue, Layout, Measures, Order, Side};
use rhai::module_resolvers::DummyModuleResolver;
use rhai::packages::{
    ArithmeticPackage, BasicArrayPackage, BasicFnPackage, BasicIteratorPackage, BasicMapPackage,
    BasicMathPackage, BasicStringPackage, LogicPackage, Package,
};
use rhai::{AST, Dynamic, Engine, EvalAltResult, Module, ModuleResolver, Position, Scope, Shared};
use std::collections::BTreeMap;
use std::fmt;
use std::sync::{Mutex, PoisonError};

/// Said where a block spends more than [`limits::MOST_SPENT`].
const TOO_MUCH: &str = "the block draws more than any garment needs: does it come to an end?";

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
    /// Whether the block refuses the order with this reason, rather than being at fault itself.
    pub refused: bool,
    /// Where it was called from, innermost first: file and line.
    pub calls: Vec<String>,
}

impl fmt::Display for BlockFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "the {} cannot be drafted: {}",
            self.garment, self.message
        )?;
        if self.refused {
            return Ok(());
        }
        write!(f, "\n  {}", self.file)?;
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

/// Drafts one garment of an order. Where the client's sides are not alike, each is drafted by itself
/// and the pieces that differ are named left and right.
///
/// # Errors
/// When the block has a fault, or the measures and choices do not go together in it.
pub fn draft(
    library: &Library,
    order: &Order,
    garment: &Garment,
) -> Result<Draft, Box<BlockFault>> {
    let figure = order.corrections();
    let right = half(library, order, garment, &figure, Side::Right)?;
    if figure.even() {
        return Ok(right);
    }
    let left = half(library, order, garment, &figure, Side::Left)?;
    let mut both = sides::merged(right, left);
    if order.cloth.layout == Layout::Doubled
        && both.pieces.iter().any(|p| p.name.ends_with(", left"))
    {
        both.warnings.push(
            "left and right differ: what is named by its side is cut singly, and a doubled lay can cut \
             no pair of it through both plies; layout = \"open\" lays every piece and may need less"
                .to_owned(),
        );
    }
    Ok(both)
}

/// A garment as one side of the client wants it.
fn half(
    library: &Library,
    order: &Order,
    garment: &Garment,
    figure: &Figure,
    side: Side,
) -> Result<Draft, Box<BlockFault>> {
    let board = Board::default();
    let mut variables = variables(&board, order, garment);
    variables.insert("figure", Dynamic::from(corrections(figure, side)));
    let engine = engine(library, &board, variables);
    let main = format!("{0}/{0}.rhai", garment.block);
    let run = |ast: AST| engine.run_ast_with_scope(&mut Scope::new(), &ast);
    let outcome = match library.compiled(&main, |text| Ok(engine.compile(text)?)) {
        Some(ast) => ast.and_then(run),
        None => Err(EvalAltResult::ErrorModuleNotFound(main.clone(), Position::NONE).into()),
    };
    if let Err(error) = outcome {
        return Err(Box::new(fault(library, garment, &main, &error)));
    }
    let drawn = board.sheet().draft.clone();
    let draft = Draft {
        garment: garment.block.clone(),
        ..drawn
    };
    let spent = if board.spent() > limits::MOST_SPENT {
        Err(TOO_MUCH.to_owned())
    } else {
        Ok(())
    };
    match spent.and_then(|()| limits::check(&draft)) {
        Ok(()) => Ok(draft),
        Err(message) => Err(Box::new(BlockFault {
            garment: garment.block.clone(),
            file: library.shown(&main),
            line: None,
            column: None,
            text: String::new(),
            message,
            refused: false,
            calls: Vec::new(),
        })),
    }
}

/// What every function of a block can name: the board, the measures and the house's numbers in cm,
/// the garment's style choices, and those of the whole suit.
fn variables(board: &Board, order: &Order, garment: &Garment) -> BTreeMap<&'static str, Dynamic> {
    BTreeMap::from([
        ("board", Dynamic::from(board.clone())),
        ("m", Dynamic::from(measures(&order.measures))),
        ("style", Dynamic::from(style(garment))),
        ("suit", Dynamic::from(suit(order))),
        ("house", Dynamic::from(house(&order.house))),
    ])
}

/// Every correction by its name, in cm; 0 where there is none.
fn corrections(figure: &Figure, side: Side) -> Table {
    CORRECTIONS
        .iter()
        .map(|c| (c.name.to_owned(), Dynamic::from(figure.cm(c.name, side))))
        .collect()
}

fn measures(measures: &Measures) -> Table {
    let measures = measures.0.iter();
    measures
        .map(|(name, measure)| (name.clone(), Dynamic::from(measure.mm / 10.0)))
        .collect()
}

fn style(garment: &Garment) -> Table {
    let value = |choice: &Choice| match choice {
        Choice::Word(word) => Dynamic::from(word.clone()),
        Choice::Length(mm) => Dynamic::from(mm / 10.0),
        Choice::Number(number) => Dynamic::from(*number),
        Choice::Flag(flag) => Dynamic::from(*flag),
    };
    garment
        .style
        .iter()
        .map(|(name, choice)| (name.clone(), value(choice)))
        .collect()
}

/// The style of every garment of the order by its block, for what one must know of another.
fn suit(order: &Order) -> Table {
    let garments = order.garments.iter();
    garments
        .map(|garment| (garment.block.clone(), Dynamic::from(style(garment))))
        .collect()
}

/// Dotted names become tables within tables: `ease.classic` is `house.ease.classic`.
fn house(house: &House) -> Table {
    let values = house.0.iter().map(|(name, value)| {
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
        (name.as_str(), value)
    });
    nested(values.collect())
}

fn nested(values: Vec<(&str, Dynamic)>) -> Table {
    let mut plain = Vec::new();
    let mut below: BTreeMap<&str, Vec<(&str, Dynamic)>> = BTreeMap::new();
    for (name, value) in values {
        match name.split_once('.') {
            None => plain.push((name.to_owned(), value)),
            Some((head, rest)) => below.entry(head).or_default().push((rest, value)),
        }
    }
    let below = below.into_iter();
    let below = below.map(|(head, values)| (head.to_owned(), Dynamic::from(nested(values))));
    below.chain(plain).collect()
}

#[expect(
    deprecated,
    reason = "on_var is not deprecated: the attribute only warns that it may change"
)]
fn engine(library: &Library, board: &Board, variables: BTreeMap<&'static str, Dynamic>) -> Engine {
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
    engine.set_max_operations(limits::MOST_OPERATIONS);
    let board = board.clone();
    engine.on_progress(move |_| (board.spent() > limits::MOST_SPENT).then_some(Dynamic::UNIT));
    engine.set_max_variables(500);
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
        loading: Mutex::default(),
    });
    engine
}

/// Finds imported scripts in the library; nothing else can be imported.
struct Resolver {
    library: Library,
    loaded: Mutex<BTreeMap<String, Shared<Module>>>,
    /// The scripts whose imports are being run, each imported by the one before it.
    loading: Mutex<Vec<String>>,
}

impl Resolver {
    /// Runs a script that is imported, unless it is imported by itself.
    fn run(&self, engine: &Engine, file: &str, ast: &AST) -> Result<Module, Box<EvalAltResult>> {
        let loading = || self.loading.lock().unwrap_or_else(PoisonError::into_inner);
        let deep = loading().len() >= limits::DEEPEST_IMPORT;
        if deep || loading().iter().any(|above| above == file) {
            let text = format!("{file} imports itself, or imports run too deep");
            return Err(EvalAltResult::ErrorRuntime(text.into(), Position::NONE).into());
        }
        loading().push(file.to_owned());
        let module = Module::eval_ast_as_new(Scope::new(), ast, engine);
        loading().pop();
        module
    }
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
        let module = self.run(engine, &file, &ast).map_err(in_module)?;
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
        refused: matches!(error, EvalAltResult::ErrorRuntime(value, _) if value.is::<Refusal>()),
        calls,
    }
}

/// The error in words, without the place, which is told beside it.
fn message(error: &EvalAltResult) -> String {
    match error {
        EvalAltResult::ErrorRuntime(value, _) => match value.clone().try_cast::<Refusal>() {
            Some(Refusal(reason)) => reason,
            None => value.to_string(),
        },
        EvalAltResult::ErrorModuleNotFound(path, _) => format!("there is no block '{path}'"),
        EvalAltResult::ErrorStackOverflow(_) => {
            "its functions call each other too deep: do they come to an end?".to_owned()
        }
        EvalAltResult::ErrorTerminated(..) => TOO_MUCH.to_owned(),
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drafting::Makes;
    use crate::order::{Client, Cloth, Layout, Measure, Nap, Origin, Style};
    use std::fs;

    fn order(block: &str) -> Order {
        let girth = Measure {
            mm: 1000.0,
            origin: Origin::Taken,
        };
        Order {
            name: "a".into(),
            client: Client {
                name: "A".into(),
                reference: "1".into(),
                date: "2026-01-02".into(),
                notes: vec![],
            },
            measures: Measures([("chest".to_owned(), girth)].into()),
            figure: Figure::default(),
            fittings: vec![],
            garments: vec![Garment {
                block: block.into(),
                style: Style::new(),
            }],
            cloth: Cloth {
                name: "c".into(),
                width: 1500.0,
                selvedge: 10.0,
                repeat_across: 0.0,
                repeat_along: 0.0,
                nap: Nap::TwoWays,
                layout: Layout::Open,
                shrinkage: 0.03,
                gap: 0.0,
                remnants: vec![],
            },
            trimmings: BTreeMap::new(),
            house: House([("ease.chest".to_owned(), HouseValue::Number(11.0))].into()),
            blocks: None,
        }
    }

    /// Runs a script as the block `own`.
    fn run(script: &str) -> Result<Draft, Box<BlockFault>> {
        let folder = tempfile::tempdir().expect("a temporary folder");
        fs::create_dir(folder.path().join("own")).expect("a folder");
        fs::write(folder.path().join("own/own.rhai"), script).expect("a script");
        let library = Library::with_folder(folder.path()).expect("a library");
        let order = order("own");
        draft(&library, &order, &order.garments[0])
    }

    #[test]
    fn a_point_remembers_its_step() {
        let draft = run("let a = board.point(0, 0, \"nape\").called(\"nape\");\n\
             let b = a.down(m.chest / 8 + 12, \"depth of scye\");\n\
             b.forward(house.ease.chest / 2);")
        .expect("it drafts");
        assert_eq!(draft.points.len(), 3);
        assert_eq!(draft.points[0].name.as_deref(), Some("nape"));
        let instruction = |n| draft.instruction(Makes::Point(n));
        assert_eq!(instruction(2), "from 1, down 24.5 (depth of scye)");
        assert_eq!(draft.steps[1].source, "own/own.rhai:2");
        assert_eq!(instruction(3), "from 2, forward 5.5");
        assert_eq!(draft.points[2].at, kurbo::Point::new(55.0, 245.0));
    }

    #[test]
    fn whole_numbers_divide_like_any_others() {
        let draft = run("board.point(10 / 4, 0, \"\");").expect("it drafts");
        assert_eq!(draft.points[0].at.x, 25.0);
    }

    #[test]
    fn solving_finds_the_length_and_leaves_no_trials() {
        let draft = run("let a = board.point(0, 0, \"\");\n\
             let d = board.solve(0, 50, 13, |x| a.distance(a.down(5).forward(x)));\n\
             a.forward(d);")
        .expect("it drafts");
        assert_eq!(draft.points.len(), 2);
        assert!(
            (draft.points[1].at.x - 120.0).abs() < 1e-4,
            "5, 12 and 13 make a right angle"
        );
    }

    #[test]
    fn a_fault_names_file_line_column_and_text() {
        let fault =
            run("let a = board.point(0, 0, \"\");\na.down(m.chets);").expect_err("a misspelling");
        assert!(fault.file.ends_with("own.rhai"), "{fault}");
        assert_eq!(fault.line, Some(2));
        assert_eq!(fault.text, "a.down(m.chets);");
        assert!(fault.message.contains("chets"), "{fault}");
        assert!(!fault.refused);
    }

    #[test]
    fn a_refusal_gives_only_its_reason() {
        let fault = run("refuse(\"these do not go together\");").expect_err("a refusal");
        assert!(fault.refused);
        assert_eq!(
            fault.to_string(),
            "the own cannot be drafted: these do not go together"
        );
    }

    #[test]
    fn a_script_can_neither_run_on_nor_reach_out() {
        let endless = run("loop { }").expect_err("it does not end");
        assert!(
            endless.message.contains("does not come to an end"),
            "{endless}"
        );
        let deep = run("fn f(x) { f(x + 1) } f(0);").expect_err("it calls itself");
        assert!(deep.message.contains("too deep"), "{deep}");
        let large = run("let s = \"ab\"; loop { s += s; }").expect_err("it grows");
        assert!(large.message.contains("too"), "{large}");
        for script in [
            "sleep(1);",
            "timestamp();",
            "eval(\"1\");",
            "open_file(\"x\");",
            "import \"../secret\" as s;",
        ] {
            run(script).expect_err(script);
        }
    }

    /// Each fills the memory, the day or the sheets, were it let.
    #[test]
    fn a_script_that_draws_without_measure_is_refused() {
        let square = "fn square(name, w) { let a = board.point(0, 0, \"\"); let b = a.forward(w);\n\
             let c = b.down(w); board.piece(name).edge(\"a\", line(a, b), \"seam\")\n\
             .edge(\"b\", line(b, c), \"seam\").edge(\"c\", line(c, a), \"seam\").grain(a, c) }\n";
        let line = "let a = board.point(0, 0, \"\"); let c = line(a, a.down(1));\n";
        let zigzag = "let p = []; for i in 0..900 { p.push(board.point(i, i % 2 * 10, \"\")); }\n\
             let c = curve(p);\n";
        run(&format!("{square} square(\"p\", 50);")).expect("a piece of an ordinary size");
        for (script, told) in [
            (
                format!("{square} square(\"p\", 500);"),
                "p is 500 cm long or wide",
            ),
            (
                format!("{square} square(\"p\", 1e300);"),
                "p is 1e300 cm long",
            ),
            (
                format!("{square} for i in 0..201 {{ square(`p${{i}}`, 5); }}"),
                "201 pieces",
            ),
            (
                format!("{square} for i in 0..9 {{ square(`p${{i}}`, 5).pairs(50); }}"),
                "900 pieces are to be cut",
            ),
            (
                format!("{square} square(\"a\\u0007\", 5);"),
                "cannot be printed",
            ),
            (
                format!("{square} let n = \"n\"; for i in 0..9 {{ n += n; }} square(n, 5);"),
                "of 512 characters",
            ),
            (
                format!(
                    "{square} let p = square(\"p\", 5); p.grain(board.point(0, 0, \"\"), board.point(0, 0, \"\"));"
                ),
                "has no grain",
            ),
            (
                format!("{line} loop {{ a = a.down(1); }}"),
                "draws more than",
            ),
            (
                format!("{line} loop {{ c = c.then(c.moved(0, c.length)); }}"),
                "1000 are the most",
            ),
            (
                format!("{zigzag} let d = line(p[0], p[899]); loop {{ c.meets(d); }}"),
                "draws more than",
            ),
            (format!("{zigzag} loop {{ c.length; }}"), "draws more than"),
            (
                format!("{square} let r = square(\"p\", 5).run(\"a\"); loop {{ r = r + r; }}"),
                "more than 100 edges",
            ),
            (
                "let i = 0; loop { i += 1; board.warn(`${i}`); }".into(),
                "draws more than",
            ),
            ("import \"own/own\" as own;".into(), "imports itself"),
        ] {
            let fault = run(&script).expect_err(&script);
            assert!(fault.message.contains(told), "{script}\n{fault}");
        }
    }

    #[test]
    fn what_is_not_a_number_is_refused_where_it_stands() {
        let fault = run("board.point(0, 0, \"\").down(\"far\");").expect_err("not a number");
        assert!(fault.message.contains("a number is wanted here"), "{fault}");
        let fault = run("board.point(0, 0, \"\").down(1.0 / 0.0);").expect_err("endless");
        assert!(fault.message.contains("divides by nothing"), "{fault}");
    }
}
