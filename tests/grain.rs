//! Bias and nap, read back from the files that a cutter works from: what is cut on the bias lies on it, and
//! one way every piece hangs on the wearer as the cloth runs. How a piece is worn is told here by a cutter
//! (common practice, no source), not taken from the draft.

use crate::blocks::{order, values};
use crate::program::{run, told};
use chalkstripe::draft::DraftPiece;
use chalkstripe::geometry::{end, length, point_at, start};
use chalkstripe::job;
use chalkstripe::script::{self, Library};
use chalkstripe::workshop::Workshop;
use kurbo::{Affine, BezPath, Point, Vec2};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;

/// A suit of three pieces on a cloth laid one way.
const SUIT: &str = "[client]\nname = \"Invented\"\nreference = \"N-1\"\ndate = 2026-03-02\n\
    [measures]\nheight = 178\nchest = 102\nwaist = 90\nseat = 104\nneck = 40\n";

/// What the examples lack: a curved welt, every top collar, an under-collar of the cloth, belt loops,
/// bearers and flaps at the back, and sides that differ.
const SUITS: [(&str, &str, &str); 4] = [
    (
        "curved",
        "open",
        "[jacket]\nbreast_pocket = \"curved\"\nunder_collar = \"self\"\nticket_pocket = \"plain\"\n\
         [waistcoat]\nlapel = \"notch\"\n[trousers]\ntop = \"belt_loops\"\nfly = \"buttons\"\n\
         back_pockets = \"both\"\nback_pocket = \"flapped\"\n",
    ),
    (
        "stand",
        "doubled",
        "[jacket]\nbreast_pocket = \"curved\"\ncollar = \"two_piece\"\nhip_pocket = \"jetted\"\n\
         hip_pocket_angle = \"slanted\"\n[waistcoat]\nwelts = \"two\"\n[trousers]\ntop = \"fishtail\"\n",
    ),
    (
        "shawl",
        "doubled",
        "[jacket]\nfastening = \"one\"\nlapel = \"shawl\"\nunder_collar = \"self\"\nbreast_pocket = \"patch\"\n\
         hip_pocket = \"patch_flapped\"\n[waistcoat]\nlapel = \"shawl\"\n[trousers]\ntop = \"button_tabs\"\n",
    ),
    (
        "uneven",
        "open",
        "[jacket]\nunder_collar = \"self\"\n[trousers]\ndress = \"left\"\n\
         [figure]\nsloping_shoulders = { left = 0, right = 1.2 }\n",
    ),
];

/// How a piece is worn, as it is drawn.
enum Worn {
    /// What is seen of it hangs down this way.
    Down(Vec2),
    /// Its grain runs round the body.
    Round,
}

fn worn(piece: &DraftPiece) -> Worn {
    let edge = |name: &str| -> &BezPath {
        let found = piece.edges.iter().find(|edge| edge.name == name);
        &found
            .unwrap_or_else(|| panic!("{} has no {name}", piece.name))
            .path
    };
    let middle = |name: &str| point_at(edge(name), length(edge(name)) / 2.0);
    let along = |name: &str| end(edge(name)).unwrap() - start(edge(name)).unwrap();
    let name = piece.name.split(',').next().unwrap();
    match name {
        // The fall is what is seen: from the crease, near the neck, to the outer edge.
        "top collar" => Worn::Down(middle("outer edge") - middle("neck")),
        "collar fall" => Worn::Down(middle("outer edge") - middle("seam")),
        "collar stand" => Worn::Down(middle("neck") - middle("seam")),
        // From the neck along the centre back, which both are sewn along.
        "under-collar" | "collar canvas" => Worn::Down(along("centre back")),
        // Sewn on upright.
        "belt loop" | "back pocket bag" => Worn::Down(along("upper")),
        "waistband" | "waistband canvas" | "waistband lining" | "lower pocket bag"
        | "upper pocket bag" => Worn::Round,
        _ if ["jet", "strap", "tab"]
            .iter()
            .any(|what| name.ends_with(what)) =>
        {
            Worn::Round
        }
        _ => Worn::Down(Vec2::new(0.0, 1.0)),
    }
}

/// The straight edge that the grain of a piece crosses at 45 degrees, if it is cut on the bias.
fn bias(piece: &DraftPiece) -> Option<&BezPath> {
    let name = match piece.name.split(',').next().unwrap() {
        "waistband curtain" => "upper",
        "collar canvas" => "centre back",
        "under-collar" if piece.material.is_cloth() => "centre back",
        _ => return None,
    };
    let edge = piece.edges.iter().find(|edge| edge.name == name);
    edge.map(|edge| &edge.path)
}

/// The angle between two directions, degrees.
fn between(a: Vec2, b: Vec2) -> f64 {
    a.cross(b).atan2(a.dot(b)).to_degrees().abs()
}

/// How far a direction lies off both diagonals, degrees.
fn off_diagonal(a: Vec2, b: Vec2) -> f64 {
    (between(a, b) % 90.0 - 45.0).abs()
}

/// What is wrong with the grain of a piece as it is drawn.
fn drawn_wrong(piece: &DraftPiece) -> Option<String> {
    if !piece.material.grain {
        return None;
    }
    let grain = piece.grain.1 - piece.grain.0;
    let (off, most) = match worn(piece) {
        Worn::Down(down) => (between(grain, down), 46.0),
        Worn::Round => ((between(grain, Vec2::new(0.0, 1.0)) - 90.0).abs(), 25.0),
    };
    let bias =
        bias(piece).map(|edge| off_diagonal(grain, end(edge).unwrap() - start(edge).unwrap()));
    match bias {
        _ if off > most => Some(format!("{}: the grain is {off:.1} degrees off", piece.name)),
        Some(askew) if askew > 0.1 => {
            Some(format!("{}: {askew:.1} degrees off the bias", piece.name))
        }
        _ => None,
    }
}

/// Whatever is chosen, every grain is drawn the way the piece hangs, and on the bias at 45 degrees.
#[test]
fn no_choice_draws_its_grain_upwards_or_off_the_bias() {
    let library = Library::embedded();
    let mut drawn = 0;
    let mut wrong: BTreeMap<String, String> = BTreeMap::new();
    for garment in ["jacket", "trousers", "waistcoat"] {
        let alone = values(garment).into_iter().flatten().map(|pick| vec![pick]);
        for picks in std::iter::once(Vec::new()).chain(alone) {
            for figure in [
                [176.0, 100.0, 88.0, 103.0, 40.0],
                [172.0, 126.0, 130.0, 126.0, 47.0],
            ] {
                let order = order(garment, figure, &picks);
                let Ok(draft) = script::draft(&library, &order, &order.garments[0]) else {
                    continue;
                };
                drawn += draft.pieces.len();
                for piece in &draft.pieces {
                    if let Some(found) = drawn_wrong(piece) {
                        let picked = format!("{garment} {picks:?}");
                        wrong.entry(found).or_insert(picked);
                    }
                }
            }
        }
    }
    assert!(drawn > 3000, "{drawn} pieces");
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// One cut as the files tell it.
struct Cut<'a> {
    piece: &'a DraftPiece,
    /// By the report.
    lies: Affine,
    /// By the picture of the lay: the corners of the seam line and the grain, its ends and arrow heads.
    corners: Vec<Point>,
    grain: Option<(Point, Point)>,
    tips: Vec<Point>,
}

/// The points of a path of the picture.
fn points(path: &str) -> Vec<Point> {
    let path = BezPath::from_svg(path).unwrap();
    path.elements()
        .iter()
        .filter_map(|el| el.end_point())
        .collect()
}

/// The paths of a part of a lay, with the width of the pen.
fn part<'a>(svg: &'a str, id: &str) -> Vec<(&'a str, &'a str)> {
    let Some((_, rest)) = svg.split_once(&format!("<g id=\"{id}\">")) else {
        return Vec::new();
    };
    let (own, _) = rest.split_once("</g>").unwrap();
    let attribute = |line: &'a str, name: &str| {
        let (_, value) = line
            .split_once(&format!(" {name}=\""))
            .unwrap_or(("", "\""));
        value.split_once('"').unwrap().0
    };
    let paths = own.lines().filter(|line| line.starts_with("<path"));
    paths
        .map(|line| (attribute(line, "d"), attribute(line, "stroke-width")))
        .collect()
}

/// Every cut of an order in each material, read from its folder; pieces are found by garment and name.
fn cuts<'a>(folder: &Path, pieces: &[&'a DraftPiece]) -> Vec<(String, Vec<Cut<'a>>)> {
    let report = std::fs::read(folder.join("report.json")).unwrap();
    let report: Value = serde_json::from_slice(&report).unwrap();
    let others = report["other_lays"].as_array().unwrap();
    let lays = std::iter::once(&report["lay"]).chain(others);
    lays.map(|lay| {
        let material = lay["material"].as_str().unwrap().replace('_', "-");
        // A garment's own cloth is known by the garment.
        let material = material
            .strip_prefix("cloth.")
            .unwrap_or(&material)
            .to_owned();
        let file = if material == "cloth" {
            "lay.svg".into()
        } else {
            format!("lay-{material}.svg")
        };
        let svg = std::fs::read_to_string(folder.join(file)).unwrap();
        let placements = lay["placements"].as_array().unwrap();
        let cuts = placements.iter().enumerate().map(|(i, placed)| {
            let piece = pieces[placed["piece"].as_u64().unwrap() as usize];
            assert_eq!(piece.name, placed["name"].as_str().unwrap());
            let matrix = placed["matrix"].as_array().unwrap();
            let matrix: Vec<f64> = matrix.iter().map(|c| c.as_f64().unwrap()).collect();
            let seam = part(&svg, &format!("seam-{}", i + 1));
            let marks = part(&svg, &format!("marks-{}", i + 1));
            let mut grain = marks
                .iter()
                .filter(|(_, pen)| *pen == "0.35")
                .map(|(path, _)| points(path));
            let shaft = grain.next().map(|shaft| (shaft[0], shaft[1]));
            // Buttonholes are drawn with the same pen.
            let ends =
                |p: &Point| shaft.is_some_and(|(a, b)| p.distance(a).min(p.distance(b)) < 0.01);
            let heads = grain.filter(|path| path.len() == 3);
            let tips = heads.map(|head| head[1]).filter(ends).collect();
            Cut {
                piece,
                lies: Affine::new(matrix.try_into().unwrap()),
                corners: seam.iter().flat_map(|(path, _)| points(path)).collect(),
                grain: shaft,
                tips,
            }
        });
        (material, cuts.collect())
    })
    .collect()
}

/// What is wrong with the way a cut lies.
fn lies_wrong(cut: &Cut, material: &str, one_way: bool) -> Vec<String> {
    let (name, mut wrong) = (&cut.piece.name, Vec::new());
    let lying = |v: Vec2| cut.lies * v.to_point() - cut.lies * Point::ZERO;
    let warp = Vec2::new(0.0, 1.0);
    if let Some(edge) = bias(cut.piece) {
        let ends = [start(edge).unwrap(), end(edge).unwrap()].map(|p| cut.lies * p);
        for p in ends {
            // The picture is drawn to thousandths.
            let drawn = cut.corners.iter().any(|corner| corner.distance(p) < 0.01);
            assert!(drawn, "{name} is not drawn where it is said to lie");
        }
        // The house lets it be tilted by 5 degrees.
        let off = off_diagonal(ends[1] - ends[0], warp);
        if off > 5.01 {
            wrong.push(format!("{name} lies {off:.1} degrees off the bias"));
        }
    }
    match cut.grain {
        None if !cut.piece.material.grain => {}
        None => wrong.push(format!("{name} has no grain on the lay")),
        Some(_) if !cut.piece.material.grain => {
            wrong.push(format!("{name} has a grain and is of felt"));
        }
        Some(_) if !(one_way && material == "cloth") => {}
        Some((upper, lower)) => {
            let (off, most) = match worn(cut.piece) {
                // On the bias and tilted.
                Worn::Down(down) => (
                    between(lying(down), warp),
                    if bias(cut.piece).is_some() {
                        50.1
                    } else {
                        30.0
                    },
                ),
                Worn::Round => (
                    (between(lying(Vec2::new(0.0, 1.0)), warp) - 90.0).abs(),
                    30.0,
                ),
            };
            if off > most {
                wrong.push(format!("{name} lies {off:.1} degrees off the way it hangs"));
            }
            let told = cut.tips.len() == 1 && cut.tips[0].distance(lower) < 0.01;
            if !told || between(lower - upper, warp) > 5.1 {
                wrong.push(format!("the arrow of {name} does not point down the cloth"));
            }
        }
    }
    wrong
}

/// The halves of a waistband are shaded alike: the nap runs from the back to the front on both.
fn waistbands(cuts: &[Cut]) -> usize {
    let bands = cuts
        .iter()
        .filter(|cut| cut.piece.name.starts_with("waistband"));
    let each = bands.map(|cut| {
        let at = |name: &str| {
            let edge = cut
                .piece
                .edges
                .iter()
                .find(|edge| edge.name == name)
                .unwrap();
            (cut.lies * start(&edge.path).unwrap()).y
        };
        assert!(at("centre back") + 200.0 < at("end"), "{}", cut.piece.name);
    });
    each.count()
}

#[test]
fn on_every_lay_bias_pieces_lie_on_the_bias_and_one_way_all_hang_down() {
    let folder = tempfile::tempdir().unwrap();
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut orders: Vec<_> = std::fs::read_dir(examples)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    orders.sort();
    assert_eq!(orders.len(), 8);
    for (name, layout, garments) in SUITS {
        let path = folder.path().join(format!("{name}.toml"));
        let cloth = format!(
            "[cloth]\nname = \"flannel\"\nwidth = 150\nnap = \"one_way\"\nlayout = \"{layout}\"\n"
        );
        std::fs::write(&path, format!("{SUIT}{cloth}{garments}")).unwrap();
        orders.push(path);
    }
    let paths = orders.iter().map(|path| path.to_str().unwrap());
    let arguments: Vec<&str> = ["cut", "--rounds", "1", "--out", "out"]
        .into_iter()
        .chain(paths)
        .collect();
    let output = run(&arguments, folder.path());
    assert!(output.status.success(), "{}", told(&output));

    let mut wrong = Vec::new();
    let (mut on_bias, mut one_way_cuts, mut bands) = (BTreeMap::new(), 0, 0);
    for path in &orders {
        let order = chalkstripe::order::read(path).unwrap().order;
        let one_way = order.cloth.nap == chalkstripe::order::Nap::OneWay;
        let drafted = job::draft(Workshop::embedded(), &order).unwrap();
        let pieces: Vec<&DraftPiece> = drafted
            .drafts
            .iter()
            .flat_map(|draft| &draft.pieces)
            .collect();
        for (material, cuts) in cuts(&folder.path().join("out").join(&order.name), &pieces) {
            if one_way && material == "cloth" {
                one_way_cuts += cuts.len();
                bands += waistbands(&cuts);
            }
            for cut in &cuts {
                if bias(cut.piece).is_some() {
                    // Of either side.
                    let name = cut.piece.name.split(',').next().unwrap();
                    *on_bias.entry(name.to_owned()).or_insert(0) += 1;
                }
                let found = lies_wrong(cut, &material, one_way);
                wrong.extend(
                    found
                        .into_iter()
                        .map(|what| format!("{}: {what}", order.name)),
                );
            }
        }
    }
    println!("{one_way_cuts} cuts one way; on the bias {on_bias:?}");
    assert!(
        one_way_cuts > 200 && bands >= 12,
        "{one_way_cuts} cuts, {bands} waistbands"
    );
    assert!(
        on_bias["waistband curtain"] >= 9 && on_bias["collar canvas"] >= 9,
        "{on_bias:?}"
    );
    assert!(on_bias["under-collar"] >= 4, "{on_bias:?}");
    assert!(wrong.is_empty(), "{} wrong: {wrong:#?}", wrong.len());
}
