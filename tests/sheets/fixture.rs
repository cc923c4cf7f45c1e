//! Invented pieces of realistic size, so that the sheets can be tried on their own.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use chalkstripe::draft::{Count, Mark, MarkKind, Material, Turning};
use chalkstripe::lay::{self, Buying, ClothRules, Laid, Search};
use chalkstripe::order::{Cloth, Layout, Order};
use chalkstripe::pattern::{CheckRow, GirthRow, JoinRow, Ledger, Notch, Pattern, Piece, SeamRow};
use kurbo::{BezPath, ParamCurve, PathEl, Point, Shape, Vec2};

use crate::program::{self, material};

/// A name in three scripts.
pub(super) const NAME: &str = "Żółć Ödön Ωμέγα Иван";

/// An order of the examples, for a client whose name takes three scripts.
pub(super) fn order() -> Order {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/check-side-vents.toml");
    let mut order = chalkstripe::order::read(&path).expect("a good order").order;
    order.client.name = NAME.into();
    order
}

/// A piece from its net outline; every side takes the same allowance.
pub(super) struct Shaped<'a> {
    pub garment: &'a str,
    pub name: &'a str,
    pub material: Material,
    pub count: Count,
    pub outline: &'a str,
    pub allowance: f64,
    pub notches: &'a [f64],
    pub marks: &'a [(&'a str, MarkKind, &'a str)],
}

impl Shaped<'_> {
    pub(super) fn piece(&self) -> Piece {
        let seam = BezPath::from_svg(self.outline).expect("an outline");
        let cut = widened(&seam, self.allowance);
        let bounds = seam.bounding_box();
        let middle = bounds.center();
        let reach = 0.3 * bounds.height().min(900.0);
        let sides: Vec<_> = seam.segments().collect();
        let inner = seam.area().signum();
        let notches = self
            .notches
            .iter()
            .map(|&at| {
                let side = sides[at.floor() as usize];
                let (place, along) = (
                    side.eval(at.fract()),
                    side.eval(at.fract() + 1e-4) - side.eval(at.fract()),
                );
                let inward = Vec2::new(-along.y, along.x).normalize() * inner;
                Notch {
                    name: "balance".into(),
                    seam: place,
                    cut: place - inward * self.allowance,
                    inward,
                }
            })
            .collect();
        Piece {
            garment: self.garment.into(),
            name: self.name.into(),
            material: self.material.clone(),
            count: self.count,
            side: None,
            pair: None,
            turned_over: false,
            seam,
            cut,
            inlays: Vec::new(),
            notches,
            marks: self
                .marks
                .iter()
                .map(|(name, kind, path)| Mark {
                    name: (*name).into(),
                    kind: *kind,
                    side: None,
                    path: BezPath::from_svg(path).expect("a mark"),
                })
                .collect(),
            grain: (
                middle - Vec2::new(0.0, reach),
                middle + Vec2::new(0.0, reach),
            ),
            down: Vec2::new(0.0, 1.0),
            turning: Turning::Grain,
            bias: false,
            off_grain: 0.0,
            fold: None,
            one_of: None,
        }
    }
}

/// The outline moved out by a width all round, corners mitred: for smooth outlines only.
fn widened(seam: &BezPath, width: f64) -> BezPath {
    let mut ring: Vec<Point> = Vec::new();
    kurbo::flatten(seam, 0.05, |element| {
        if let PathEl::MoveTo(point) | PathEl::LineTo(point) = element
            && ring.last().is_none_or(|last| last.distance(point) > 0.01)
        {
            ring.push(point);
        }
    });
    if ring.first().unwrap().distance(*ring.last().unwrap()) < 0.01 {
        ring.pop();
    }
    let outward = -seam.area().signum();
    let n = ring.len();
    let normal = |i: usize| {
        let along = (ring[(i + 1) % n] - ring[i]).normalize();
        Vec2::new(-along.y, along.x) * outward
    };
    let moved = (0..n).map(|i| {
        let (a, b) = (normal((i + n - 1) % n), normal(i));
        ring[i] + (a + b) * (width / (1.0 + a.dot(b)).max(0.35))
    });
    let mut path = BezPath::new();
    for (i, point) in moved.enumerate() {
        if i == 0 {
            path.move_to(point);
        } else {
            path.line_to(point);
        }
    }
    path.close_path();
    path
}

pub(super) fn pieces() -> Vec<Piece> {
    use Count::{Alike, Pairs};
    use MarkKind::*;
    let shaped = [
        Shaped {
            garment: "jacket",
            name: "forepart",
            material: material("cloth"),
            count: Pairs(1),
            allowance: 10.0,
            outline: "M60 20 L185 62 C180 140 190 215 262 238 L258 420 L275 740 C200 770 60 780 -40 742 C-75 725 -82 690 -82 640 L-82 420 L-60 250 C-90 190 -75 120 -40 95 L0 110 C20 90 40 60 60 20Z",
            notches: &[1.6, 2.5, 4.0, 7.5],
            marks: &[
                ("roll line", Fold, "M75 0 L-82 420"),
                ("waist line", Level, "M-82 442 L258 442"),
                ("hip pocket", PocketMouth, "M70 520 L225 528"),
                ("breast welt", Welt, "M40 225 L140 210 L143 232 L43 247Z"),
                ("front dart", Dart, "M110 290 L98 420 L110 560 L122 420Z"),
                ("", Buttonhole, "M-67 425 L-45 425"),
                ("", Buttonhole, "M-67 535 L-45 535"),
                ("button", Button, "M-60 640"),
                ("drill", Drill, "M110 285"),
            ],
        },
        Shaped {
            garment: "jacket",
            name: "back",
            material: material("cloth"),
            count: Pairs(1),
            allowance: 15.0,
            outline: "M0 0 C30 -2 60 -10 80 -22 L230 45 C215 100 212 150 214 190 C200 300 205 420 215 745 L15 745 C10 600 20 450 16 400 C8 250 -2 120 0 0Z",
            notches: &[2.5, 3.5],
            marks: &[
                ("chest line", Level, "M5 250 L208 250"),
                ("waist line", Level, "M18 445 L205 445"),
            ],
        },
        Shaped {
            garment: "jacket",
            name: "top sleeve",
            material: material("cloth"),
            count: Pairs(1),
            allowance: 10.0,
            outline: "M0 150 C20 40 90 0 130 0 C190 0 230 60 245 130 C250 300 235 450 225 640 L75 655 C60 500 10 350 0 150Z",
            notches: &[0.5, 1.5],
            marks: &[
                ("elbow", Level, "M20 340 L240 340"),
                ("cuff buttons", Stitching, "M210 560 L210 610"),
            ],
        },
        Shaped {
            garment: "jacket",
            name: "hip jet",
            material: material("cloth"),
            count: Pairs(2),
            allowance: 3.0,
            outline: "M0 0 L185 0 L185 22 L0 22Z",
            notches: &[],
            marks: &[],
        },
        Shaped {
            garment: "jacket",
            name: "under-collar",
            material: material("felt"),
            count: Alike(1),
            allowance: 1.0,
            outline: "M0 30 C120 0 330 0 450 30 L462 75 C330 60 120 60 -12 75Z",
            notches: &[0.5],
            marks: &[("crease", Fold, "M3 48 C130 22 320 22 447 48")],
        },
        Shaped {
            garment: "jacket",
            name: "sleeve lining",
            material: material("sleeve lining"),
            count: Pairs(1),
            allowance: 10.0,
            outline: "M0 150 C20 40 90 0 130 0 C190 0 230 60 245 130 C250 300 235 450 225 620 L75 635 C60 500 10 350 0 150Z",
            notches: &[0.5],
            marks: &[],
        },
        Shaped {
            garment: "trousers",
            name: "top side",
            material: material("cloth"),
            count: Pairs(1),
            allowance: 12.0,
            outline: "M20 0 L215 10 C230 80 236 150 236 270 C232 450 225 560 222 640 L205 1080 L25 1085 L5 640 C-10 480 -20 360 -55 280 C-10 270 0 220 4 190Z",
            notches: &[2.5, 5.0],
            marks: &[
                ("crease", Fold, "M115 30 L115 1070"),
                ("knee line", Level, "M8 640 L220 640"),
                ("pleat", PleatLaid, "M112 8 L112 60"),
            ],
        },
        Shaped {
            garment: "trousers",
            name: "waistband",
            material: material("cloth"),
            count: Pairs(1),
            allowance: 8.0,
            outline: "M0 0 L470 0 L470 40 L0 40Z",
            notches: &[2.5],
            marks: &[],
        },
        Shaped {
            garment: "trousers",
            name: "belt loop",
            material: material("cloth"),
            count: Alike(7),
            allowance: 0.5,
            outline: "M0 0 L30 0 L30 75 L0 75Z",
            notches: &[],
            marks: &[],
        },
    ];
    shaped.iter().map(Shaped::piece).collect()
}

pub(super) fn pattern() -> Pattern {
    let seam = |seam: &str, a_mm: f64, b_mm: f64| SeamRow {
        seam: seam.into(),
        a_mm,
        b_mm,
        ease_mm: a_mm - b_mm,
        min_mm: 0.0,
        max_mm: 10.0,
        ok: true,
        source: "jacket/body.rhai:120".into(),
    };
    let girth = |girth: &str, finished_mm, body_mm, meant_mm| GirthRow {
        girth: girth.into(),
        finished_mm,
        body_mm,
        meant_mm,
        within_mm: 5.0,
        ok: true,
        source: "jacket/proof.rhai:30".into(),
    };
    Pattern {
        pieces: pieces(),
        matches: Vec::new(),
        ledger: Ledger {
            seams: vec![
                seam("shoulder", 158.4, 150.2),
                seam("side seam", 455.02, 455.0),
            ],
            joins: vec![JoinRow {
                join: "neck through the shoulder".into(),
                break_degrees: 1.2,
                max_degrees: 3.0,
                ok: true,
                source: "jacket/body.rhai:140".into(),
            }],
            notches: vec![CheckRow {
                check: "front pitch".into(),
                found: 0.02,
                limit: 0.1,
                ok: true,
                source: None,
                unfair: None,
            }],
            girths: vec![
                girth("chest", 1110.2, 1000.0, 1110.0),
                girth("waist", 985.0, 880.0, 985.0),
                girth("hem", 400.1, 0.0, 400.0),
            ],
            outlines: vec![],
            curves: vec![],
            corners: vec![],
            bounds: vec![],
        },
    }
}

/// The pieces of one material laid on a cloth of that width.
fn laid(pattern: &Pattern, material: Material, width: f64, layout: Layout) -> Laid {
    let order = order();
    let cloth = Cloth {
        width,
        layout,
        ..order.cloth
    };
    let items = lay::items(pattern, &material, cloth.nap);
    let buying = Buying::new(&order.house, &cloth, order.unit);
    let rules = ClothRules::new(&cloth, &buying);
    let lay = lay::plan(&items, &rules, &Search::default()).expect("a lay");
    let order_length = lay::order_length(&lay, &buying);
    Laid {
        material,
        lay,
        order_length,
    }
}

/// The suit's cloth, doubled, and its sleeve lining, open; laid once.
pub(super) fn lays() -> Vec<Laid> {
    static LAYS: LazyLock<Vec<Laid>> = LazyLock::new(|| {
        let pattern = pattern();
        vec![
            laid(&pattern, material("cloth"), 1500.0, Layout::Doubled),
            laid(&pattern, material("sleeve lining"), 1400.0, Layout::Open),
        ]
    });
    LAYS.clone()
}

/// The suit's cloth in a single ply, laid once.
pub(super) fn open_lay() -> Laid {
    static LAY: LazyLock<Laid> =
        LazyLock::new(|| laid(&pattern(), material("cloth"), 1500.0, Layout::Open));
    LAY.clone()
}

/// Where the program has cut every example, once for all tests: with a search of one round, on a roll,
/// with the pieces as DXF. A folder of files for each example.
pub(super) fn cut_examples() -> Vec<PathBuf> {
    static CUT: LazyLock<PathBuf> = LazyLock::new(|| {
        let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("examples-cut");
        let _ = fs::remove_dir_all(&out);
        let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
        let (from, to) = (examples.to_str().unwrap(), out.to_str().unwrap());
        let options = [
            "cut",
            from,
            "--rounds",
            "1",
            "--dxf",
            "--paper",
            "roll:914mm",
            "--out",
            to,
        ];
        let done = program::run(&options, &examples);
        assert!(done.status.success(), "{}", program::told(&done));
        out
    });
    let folders = fs::read_dir(&*CUT).unwrap();
    let mut folders: Vec<PathBuf> = folders.map(|folder| folder.unwrap().path()).collect();
    folders.sort();
    assert!(folders.len() >= 5, "{folders:?}");
    folders
}
