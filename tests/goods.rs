//! What a suit is made of, by the real program: materials that a house declares, cloths of single garments, silk.

use crate::program::{self, PLAIN, said, told};
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::Output;

fn run(arguments: &[&str], folder: &Path) -> Output {
    program::run(arguments, folder)
}

/// The plain order with a cloth of its own for the trousers.
fn two_cloths(own: &str) -> String {
    PLAIN.replacen("[lining]", &format!("{own}\n[lining]"), 1)
}

const FLANNEL: &str = "[cloth.trousers]\nname = \"grey flannel\"\nwidth = 140\nnap = \"one_way\"\n";

fn report(folder: &Path) -> Value {
    serde_json::from_slice(&fs::read(folder.join("report.json")).unwrap()).unwrap()
}

#[test]
fn each_cloth_has_its_lay_its_length_and_its_line() {
    let folder = tempfile::tempdir().unwrap();
    let order = folder.path().join("odd.toml");
    fs::write(&order, two_cloths(FLANNEL)).unwrap();
    let cut = run(
        &["cut", "odd.toml", "--rounds", "1", "--dxf"],
        folder.path(),
    );
    assert!(cut.status.success(), "{}", told(&cut));
    assert!(
        said(&cut).contains("Cloth of the trousers: order "),
        "{}",
        said(&cut)
    );
    let out = folder.path().join("out/odd");
    for file in [
        "lay.svg",
        "lay.plt",
        "lay-trousers.svg",
        "lay-trousers.plt",
        "lay-trousers.png",
    ] {
        assert!(out.join(file).is_file(), "{file}");
    }
    let report = report(&out);
    let pieces = report["pieces"].as_array().unwrap();
    let of = |piece: &Value| (piece["garment"].clone(), piece["material"].clone());
    assert!(
        pieces
            .iter()
            .any(|p| of(p) == ("trousers".into(), "cloth.trousers".into()))
    );
    assert!(
        !pieces
            .iter()
            .any(|p| of(p) == ("trousers".into(), "cloth".into()))
    );
    assert!(
        !pieces
            .iter()
            .any(|p| of(p) == ("jacket".into(), "cloth.trousers".into()))
    );
    // Every piece lies in the lay of its own material.
    let others = report["other_lays"].as_array().unwrap();
    for lay in others.iter().chain([&report["lay"]]) {
        for placed in lay["placements"].as_array().unwrap() {
            let piece = placed["piece"].as_u64().unwrap() as usize;
            assert_eq!(pieces[piece]["material"], lay["material"]);
        }
    }
    let own = &report["other_cloths"][0];
    assert_eq!(own["name"], "grey flannel");
    let own_lay = others
        .iter()
        .find(|lay| lay["material"] == "cloth.trousers")
        .unwrap();
    assert_eq!(own["order_length_mm"], own_lay["order_length_mm"]);
    assert_eq!(own_lay["cloth_width_mm"], 700.0, "it lies doubled");
    let page = fs::read_to_string(out.join("order.html")).unwrap();
    assert!(page.contains("grey flannel") && page.contains("cloth of the trousers"));
    // What is found there is taken up again.
    let lay = run(&["lay", "odd.toml", "--seconds", "1"], folder.path());
    assert!(lay.status.success(), "{}", told(&lay));
    assert_eq!(
        said(&lay).matches(" of the cloth used").count(),
        2,
        "{}",
        said(&lay)
    );
}

#[test]
fn cloth_at_hand_is_that_of_the_garment_that_is_named() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("odd.toml"), two_cloths(FLANNEL)).unwrap();
    let have = |arguments: &[&str]| {
        let all = [&["cloth", "odd.toml", "--rounds", "1"], arguments].concat();
        run(&all, folder.path())
    };
    let yes = have(&["--have", "1.9m", "--of", "trousers"]);
    assert!(
        said(&yes).contains("cloth of the trousers: yes, 1.90 m is enough"),
        "{}",
        said(&yes)
    );
    let no = have(&["--have", "1m"]);
    assert!(said(&no).contains("odd, cloth: no, "), "{}", said(&no));
    let table = have(&[]);
    assert!(
        said(&table).contains("Cloth of the trousers to order, by its width"),
        "{}",
        said(&table)
    );
    let wrong = have(&["--have", "1m", "--of", "trouser"]);
    assert!(
        !wrong.status.success() && told(&wrong).contains("trousers"),
        "{}",
        told(&wrong)
    );
}

#[test]
fn orders_lie_together_on_the_cloth_that_both_have() {
    let folder = tempfile::tempdir().unwrap();
    let same = "[cloth.jacket]\nname = \"a check\"\nwidth = 150\n";
    fs::write(folder.path().join("odd.toml"), two_cloths(same)).unwrap();
    fs::write(folder.path().join("suit.toml"), PLAIN).unwrap();
    let lay = |names: [&str; 2]| {
        let all = ["lay", names[0], names[1], "--together", "--seconds", "1"];
        run(&all, folder.path())
    };
    let both = lay(["odd.toml", "suit.toml"]);
    assert!(both.status.success(), "{}", told(&both));
    assert!(
        said(&both).contains("of odd only what is made of"),
        "{}",
        said(&both)
    );
    // The trousers of both, and the jacket of the suit alone: each pair once, for it is cut through both plies.
    let laid = fs::read_to_string(folder.path().join("out/odd+suit/lay.json")).unwrap();
    let count = |name: &str| laid.matches(&format!("\"name\": \"{name}\"")).count();
    assert_eq!((count("forepart"), count("top side")), (1, 2), "{laid}");
    fs::write(
        folder.path().join("other.toml"),
        PLAIN.replacen("width = 150", "width = 140", 1),
    )
    .unwrap();
    let none = lay(["odd.toml", "other.toml"]);
    assert!(
        told(&none).contains("not of the same cloth"),
        "{}",
        told(&none)
    );
}

#[test]
fn a_cloth_that_nothing_is_made_of_is_refused_where_it_stands() {
    let folder = tempfile::tempdir().unwrap();
    for (own, told_of) in [
        (
            "[cloth.waistcoat]\nname = \"a\"\n",
            "garment that the order does not have",
        ),
        ("[cloth.trouser]\nname = \"a\"\n", "Perhaps: trousers"),
        ("[cloth.pants]\nname = \"a\"\n", "Perhaps: trousers"),
        (
            "[cloth.trousers]\nwidth = 150\n",
            "[cloth.trousers] needs a name",
        ),
        (
            "[cloth.trousers]\nname = \"a\"\nwidht = 150\n",
            "Perhaps: width",
        ),
        (
            "[cloth.trousers]\nname = \"a\"\nwidth = 15\n",
            "width: 15 cm is outside",
        ),
        ("[silk]\nnam = \"black\"\n", "Perhaps: name"),
        ("[silk]\nwidth = 11\n", "width: 11 cm is outside"),
        ("[slik]\nname = \"black\"\n", "Perhaps: silk"),
    ] {
        fs::write(folder.path().join("odd.toml"), two_cloths(own)).unwrap();
        let checked = run(&["check", "odd.toml"], folder.path());
        assert_eq!(checked.status.code(), Some(2), "{own}");
        let text = told(&checked);
        assert!(
            text.contains(told_of) && text.contains("odd.toml, line "),
            "{own}{text}"
        );
    }
}

/// Trousers, jacket and waistcoat each of their own: nothing is left for [cloth] itself to say.
#[test]
fn the_suit_needs_no_cloth_where_each_garment_has_one() {
    let folder = tempfile::tempdir().unwrap();
    let (head, rest) = PLAIN.split_once("[cloth]").unwrap();
    let (_, rest) = rest.split_once("[lining]").unwrap();
    let own = "[cloth.jacket]\nname = \"a check\"\n[cloth.trousers]\nname = \"a flannel\"\n";
    fs::write(
        folder.path().join("odd.toml"),
        format!("{head}{own}[lining]{rest}"),
    )
    .unwrap();
    let checked = run(&["check", "odd.toml"], folder.path());
    assert!(checked.status.success(), "{}", told(&checked));
    let text = said(&checked);
    assert!(
        text.contains("\ncloth\n  a check")
            && text.contains("\ncloth of the trousers\n  a flannel"),
        "{text}"
    );
}

/// A house of its own declares a velvet, from which its jacket's collar is cut.
#[test]
fn a_material_of_the_houses_own_goes_through_every_stage() {
    let folder = tempfile::tempdir().unwrap();
    let blocks = folder.path().join("own");
    fs::create_dir_all(blocks.join("jacket/top_collar_cloths")).unwrap();
    let declared = "[velvet]\nwidth = 112\nnap = \"one_way\"\nface = \"outside\"\nfrays = 0.1\ncolour = \"#202028\"\n";
    fs::write(blocks.join("jacket/materials.toml"), declared).unwrap();
    let script = "fn turn() { 0.1 }\nfn cloth(piece) { piece.of(\"velvet\"); }\n";
    fs::write(blocks.join("jacket/top_collar_cloths/velvet.rhai"), script).unwrap();
    fs::write(
        blocks.join("jacket/choices.toml"),
        "[top_collar]\n[top_collar.words]\nvelvet = \"velvet\"\n",
    )
    .unwrap();
    let order = PLAIN.replacen(
        "[jacket]",
        "[velvet]\nname = \"bottle green\"\nwidth = 110\n\n[jacket]\ntop_collar = \"velvet\"",
        1,
    );
    fs::write(
        folder.path().join("own.toml"),
        format!("blocks = \"own\"\n{order}"),
    )
    .unwrap();
    let cut = run(
        &["cut", "own.toml", "--rounds", "1", "--dxf"],
        folder.path(),
    );
    assert!(cut.status.success(), "{}", told(&cut));
    assert!(said(&cut).contains("Velvet: order "), "{}", said(&cut));
    let out = folder.path().join("out/own");
    let report = report(&out);
    let lay = report["other_lays"]
        .as_array()
        .unwrap()
        .iter()
        .find(|lay| lay["material"] == "velvet");
    assert_eq!(lay.unwrap()["cloth_width_mm"], 1100.0);
    assert!(
        fs::read_to_string(out.join("order.html"))
            .unwrap()
            .contains("bottle green")
    );
    assert!(
        fs::read_to_string(out.join("pieces.dxf"))
            .unwrap()
            .to_lowercase()
            .contains("top collar")
    );
    assert!(out.join("lay-velvet.plt").is_file());
    let unknown = script.replace("velvet", "velvt");
    fs::write(blocks.join("jacket/top_collar_cloths/velvet.rhai"), unknown).unwrap();
    let refused = run(&["check", "own.toml"], folder.path());
    let text = told(&refused);
    assert!(
        text.contains("'velvt' is no material of the house; perhaps 'velvet'"),
        "{text}"
    );
    assert!(text.contains("velvet.rhai, line 2"), "{text}");
}

#[test]
fn silk_faces_the_lapel_and_ends_under_the_button() {
    let folder = tempfile::tempdir().unwrap();
    let dinner = include_str!("../examples/dinner-suit.toml");
    fs::write(folder.path().join("dinner.toml"), dinner).unwrap();
    let cut = run(&["cut", "dinner.toml", "--rounds", "1"], folder.path());
    assert!(cut.status.success(), "{}", told(&cut));
    let report = report(&folder.path().join("out/dinner"));
    let pieces = report["pieces"].as_array().unwrap();
    let made_of = |name: &str| {
        let found = pieces
            .iter()
            .find(|piece| piece["name"] == name && piece["garment"] == "jacket");
        found.map(|piece| piece["material"].as_str().unwrap())
    };
    assert_eq!(made_of("facing"), Some("silk"));
    assert_eq!(made_of("lower facing"), Some("cloth"));
    assert_eq!(made_of("hip jet"), Some("silk"));
    assert_eq!(made_of("top collar"), Some("cloth"));
    let needs = report["needs"].as_array().unwrap();
    let braid = needs.iter().find(|need| need["of"] == "braid").unwrap();
    // Over both legs, with turnings: the outside leg is some 110 cm.
    assert_eq!(braid["count"], 2);
    assert!(
        (1050.0..1250.0).contains(&braid["length_mm"].as_f64().unwrap()),
        "{braid}"
    );
    for (change, told_of) in [
        ("side_pockets = \"seam\"", "side_pockets = \"slanted\""),
        ("bottoms = \"plain\"", "bottoms = \"turn_ups\""),
        (
            "opening = \"dress\"",
            "opening = \"dress\"\nfastening = \"six\"",
        ),
    ] {
        fs::write(
            folder.path().join("dinner.toml"),
            dinner.replace(change, told_of),
        )
        .unwrap();
        let refused = run(&["check", "dinner.toml"], folder.path());
        assert_eq!(refused.status.code(), Some(2), "{told_of}");
        assert!(told(&refused).contains("write "), "{}", told(&refused));
    }
}
