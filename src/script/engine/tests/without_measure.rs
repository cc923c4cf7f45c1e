//! Pieces and lines that no sheet could hold, and numbers that are none, are refused where they stand.

use super::run;

const SQUARE: &str = "fn square(name, w) { let a = board.point(0, 0, \"\"); let b = a.forward(w);\n\
     let c = b.down(w); board.piece(name).edge(\"a\", line(a, b), \"seam\")\n\
     .edge(\"b\", line(b, c), \"seam\").edge(\"c\", line(c, a), \"seam\").grain(a, c) }\n";

/// Runs scripts that would fill the memory, the day or the sheets; each is refused with these words.
fn refused(scripts: &[(&str, &str)]) {
    for (script, told) in scripts {
        let script = format!("{SQUARE}{script}");
        let fault = run(&script).expect_err(&script);
        assert!(fault.message.contains(told), "{script}\n{fault}");
    }
}

#[test]
fn a_piece_is_cut_from_a_material_that_is_declared_and_laid() {
    let draft = run(&format!(
        "{SQUARE} square(\"a\", 5).of(\"silk\"); square(\"b\", 5).of(\"sleeve lining\");\n\
         square(\"c\", 5).of(\"sleeve_lining\"); square(\"d\", 5).of(\"felt\").turning(\"free\");"
    ))
    .expect("it drafts");
    let of: Vec<&str> = draft
        .pieces
        .iter()
        .map(|p| p.material.name.as_str())
        .collect();
    assert_eq!(of, ["silk", "sleeve lining", "sleeve lining", "felt"]);
    refused(&[
        (
            "square(\"p\", 5).of(\"slik\");",
            "'slik' is no material of the house; perhaps 'silk'",
        ),
        (
            "square(\"p\", 5).of(\"braid\");",
            "braid is not laid, and no piece is cut from it",
        ),
        (
            "square(\"p\", 5).of(\"canvas\").turning(\"free\");",
            "p is of canvas, which has a grain",
        ),
    ]);
}

#[test]
fn pieces_without_measure_are_refused() {
    run(&format!("{SQUARE} square(\"p\", 50);")).expect("a piece of an ordinary size");
    refused(&[
        ("square(\"p\", 500);", "p is 500 cm long or wide"),
        ("square(\"p\", 1e300);", "p is 1e300 cm long"),
        ("for i in 0..201 { square(`p${i}`, 5); }", "201 pieces"),
        (
            "for i in 0..9 { square(`p${i}`, 5).pairs(50); }",
            "900 pieces would be cut",
        ),
        ("square(\"a\\u0007\", 5);", "cannot be printed"),
        (
            "let n = \"n\"; for i in 0..9 { n += n; } square(n, 5);",
            "of 512 characters",
        ),
        (
            "let p = square(\"p\", 5); p.grain(board.point(0, 0, \"\"), board.point(0, 0, \"\"));",
            "has no grain",
        ),
        (
            "square(\"p\", 5).on_bias(\"a\").turning(\"free\");",
            "is for what has no grain",
        ),
        (
            "let a = board.point(0, 0, \"\"); board.piece(\"p\").hangs(a, a);",
            "does not hang from a point to itself",
        ),
    ]);
}

#[test]
fn lines_without_measure_are_refused() {
    let line = "let a = board.point(0, 0, \"\"); let c = line(a, a.down(1));\n";
    let zigzag = "let p = []; for i in 0..900 { p.push(board.point(i, i % 2 * 10, \"\")); }\n\
         let c = curve(p);\n";
    let loops = [
        (line, "a = a.down(1);", "draws more than"),
        (
            line,
            "c = c.then(c.moved(0, c.length));",
            "1000 is the most",
        ),
        (zigzag, "c.meets(line(p[0], p[899]));", "draws more than"),
        (zigzag, "c.length;", "draws more than"),
        (
            "let r = square(\"p\", 5).run(\"a\");",
            "r = r + r;",
            "more than 100 edges",
        ),
        (
            "let i = 0;",
            "i += 1; board.warn(`${i}`);",
            "draws more than",
        ),
    ];
    for (before, again, told) in loops {
        refused(&[(&format!("{before} loop {{ {again} }}"), told)]);
    }
    refused(&[("import \"own/own\" as own;", "imports itself")]);
}

#[test]
fn what_is_not_a_number_is_refused_where_it_stands() {
    let fault = run("board.point(0, 0, \"\").down(\"far\");").expect_err("not a number");
    assert!(fault.message.contains("a number is needed here"), "{fault}");
    let endless = run("board.point(0, 0, \"\").down(1.0 / 0.0);").expect_err("endless");
    assert!(endless.message.contains("divides by zero"), "{endless}");
}
