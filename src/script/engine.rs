//! Runs a block: a script without files, clock or endless loops that puts a draft on the board.

use super::board::Board;
use super::fault::{BlockFault, TOO_MUCH, fault};
use super::imports::Scripts;
use super::library::{Library, Script};
use super::limits;
use super::variables::variables;
use super::words::{self, Noted};
use crate::draft::Draft;
use crate::draft::hands;
use crate::draft::sides;
use crate::draft::{Form, NotWhole};
use crate::order::{Figure, Garment, Layout, Order, Side};
use rhai::packages::{
    ArithmeticPackage, BasicArrayPackage, BasicFnPackage, BasicIteratorPackage, BasicMapPackage,
    BasicMathPackage, BasicStringPackage, LogicPackage, Package,
};
use rhai::{Dynamic, Engine, EvalAltResult, Position, Scope};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, PoisonError};

/// Drafts one garment of an order. Where the client's sides are not alike, each side is drafted by itself, and
/// the pieces that differ are named left and right.
///
/// # Errors
/// When the block has a fault, or when the measures and choices do not go together in it.
pub fn draft(
    library: &Library,
    order: &Order,
    garment: &Garment,
) -> Result<Draft, Box<BlockFault>> {
    let figure = order.corrections();
    let right = half(library, order, garment, &figure, Side::Right)?;
    if figure.even() {
        let mut draft = right;
        hands::turn_over(&mut draft);
        return Ok(draft);
    }
    let left = half(library, order, garment, &figure, Side::Left)?;
    let both = sides::merged(&right, &left, order.cloth_of(&garment.block).is_patterned());
    let mut both = both.map_err(|fault| not_whole(library, garment, fault))?;
    hands::turn_over(&mut both);
    let differ = both.differing();
    if order.cloth_of(&garment.block).layout == Layout::Doubled && !differ.is_empty() {
        both.warnings.push(format!(
            "left and right differ, so each {} is cut singly, and a doubled lay cannot cut a pair through both plies; layout = \"open\" may need less cloth",
            differ.join(", ")
        ));
    }
    Ok(both)
}

/// Drafts a garment for one side of the client.
fn half(
    library: &Library,
    order: &Order,
    garment: &Garment,
    figure: &Figure,
    side: Side,
) -> Result<Draft, Box<BlockFault>> {
    let (board, noted) = (Board::new(order.materials.clone()), Noted::default());
    let scripts = Scripts::new(library, &garment.block);
    let mut engine = engine(
        &scripts,
        &board,
        variables(&board, order, garment, figure, side, &noted),
    );
    words::retake::register(&mut engine, &order.measures);
    words::units::register(&mut engine, order);
    let main = scripts.main();
    let run = |script: Arc<Script>| engine.run_ast_with_scope(&mut Scope::new(), &script.ast);
    let outcome = match scripts.script(&engine, &main) {
        Some(script) => script.and_then(run),
        None => Err(EvalAltResult::ErrorModuleNotFound(main.clone(), Position::NONE).into()),
    };
    if let Err(error) = outcome {
        return Err(Box::new(fault(library, garment, &main, &error)));
    }
    let drawn = board.sheet().draft.clone();
    let draft = Draft {
        garment: garment.block.clone(),
        heeds: heeded(&noted),
        ..drawn
    };
    let spent = if board.spent() > limits::MOST_SPENT {
        Err(TOO_MUCH.to_owned())
    } else {
        Ok(())
    };
    if let Err(message) = spent.and_then(|()| limits::check(&draft)) {
        return Err(Box::new(BlockFault::at(library, garment, &main, message)));
    }
    match Form::of(&draft) {
        Ok(_) => Ok(draft),
        Err(fault) => Err(not_whole(library, garment, fault)),
    }
}

/// Returns the corrections that a block has asked for: of one side, or their mean.
fn heeded(noted: &Noted) -> BTreeSet<String> {
    let noted = noted.lock().unwrap_or_else(PoisonError::into_inner);
    let names = noted.iter();
    names
        .map(|name| name.strip_prefix("mean_").unwrap_or(name).to_owned())
        .collect()
}

fn not_whole(library: &Library, garment: &Garment, fault: NotWhole) -> Box<BlockFault> {
    let NotWhole { message, source } = fault;
    Box::new(BlockFault::at(library, garment, &source, message))
}

#[expect(
    deprecated,
    reason = "on_var is not deprecated: the attribute only warns that it may change"
)]
fn engine(scripts: &Scripts, board: &Board, variables: BTreeMap<&'static str, Dynamic>) -> Engine {
    let mut engine = Engine::new_raw();
    // The core package has a function that sleeps; these are the parts of it that a draft needs.
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
    engine.set_module_resolver(scripts.clone());
    engine
}

#[cfg(test)]
mod tests {
    mod drawn;
    mod without_measure;

    use super::*;
    use crate::order::{
        Client, Cloth, Face, House, Materials, Measure, Measures, Nap, Origin, Style,
    };
    use crate::units::Unit;
    use std::fs;

    fn materials() -> Materials {
        let house = House::built_in().expect("the house");
        Materials::built_in(&house).expect("its materials")
    }

    fn order(block: &str) -> Order {
        let girth = Measure {
            mm: 1000.0,
            origin: Origin::Taken,
            open: 0.0,
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
            own_corrections: vec![],
            fittings: vec![],
            garments: vec![Garment {
                block: block.into(),
                style: Style::new(),
            }],
            settled: BTreeMap::new(),
            cloth: Cloth {
                material: materials().cloth().clone(),
                name: "c".into(),
                width: 1500.0,
                selvedge: 10.0,
                repeat_across: 0.0,
                repeat_along: 0.0,
                nap: Nap::TwoWays,
                layout: Layout::Open,
                face: Face::Up,
                shrinkage: 0.03,
                gap: 0.0,
                remnants: vec![],
                price: None,
            },
            look: None,
            other_cloths: vec![],
            materials: materials(),
            trimmings: BTreeMap::new(),
            unit: Unit::Cm,
            house: House::built_in().expect("the house"),
            blocks: None,
        }
    }

    /// Runs a script as the block `own`.
    fn run(script: &str) -> Result<Draft, Box<BlockFault>> {
        run_on(Figure::default(), script)
    }

    fn run_on(figure: Figure, script: &str) -> Result<Draft, Box<BlockFault>> {
        let folder = tempfile::tempdir().expect("a temporary folder");
        fs::create_dir(folder.path().join("own")).expect("a folder");
        fs::write(folder.path().join("own/own.rhai"), script).expect("a script");
        let library = Library::with_folder(folder.path()).expect("a library");
        let order = Order {
            figure,
            ..order("own")
        };
        draft(&library, &order, &order.garments[0])
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
    fn slips_of_a_script_are_told_in_words() {
        for (script, told) in [
            (
                "m.scye_dpeth;",
                "it has no `scye_dpeth`. Perhaps: scye_depth",
            ),
            ("m.bananas;", "it has no `bananas`"),
            (
                "import \"own/onw\" as o;",
                "there is no block 'own/onw'. Perhaps: 'own/own'",
            ),
            (
                "import \"jacket/skirts/tailed\" as o;",
                "there is no block 'jacket/skirts/tailed'; beside it there are classic, close, flared",
            ),
            ("chest + 1;", "nothing here is called `chest`"),
            (
                "board.point(0, 0, \"\").dwn(4);",
                "there is no word or function `dwn` for (point, number)",
            ),
            (
                "cm(\"x\", [1]);",
                "there is no word or function `cm` for (text, list)",
            ),
        ] {
            let fault = run(script).expect_err(script);
            assert_eq!(fault.message, told, "{script}");
        }
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
        assert!(endless.message.contains("runs too long"), "{endless}");
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
}
