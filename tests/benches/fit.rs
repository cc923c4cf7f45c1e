//! How jacket, trousers and waistcoat fit the men of a survey, held against lengths that the draft was not given.
//!
//! `cargo bench --bench fit -- FILE.csv` reads a file with the columns of ANSUR II (2012 Anthropometric Survey of
//! U.S. Army Personnel, NATICK/TR-15/007), in mm; without one it reads the sample beside the project. A folder
//! named after it holds blocks to try. `--odd` and `--even` take every other man.
//!
//! Each man is drafted twice: in mode A from height, chest, waist, seat and neck, as a client whom nobody has
//! measured further; in mode B from every measure that the survey gives (`tests/bodies/survey.rs`), the inside
//! leg 2 cm short of the crotch height for the room of the fork. Every dimension is measured on the draft, by the
//! parts of its pieces and the roles of their edges, and the body's own is taken off. A row of the table tells,
//! in mm: the mean, the standard deviation, the first and the last hundredth of that difference; the share of men
//! below the least that can be worn; the correlation of draft and body; the share beyond twice the tolerance
//! around the ease that is meant.
//!
//! The survey's landmarks are not the tailor's: what its men of the house's reference figure (height 176, chest
//! 100, waist 88, seat 103, neck 40) measure differs from what the trade has for it by a constant, the `level` of
//! a dimension, in mm. A measure that is derived stands on the trade's level, one that is given on the survey's;
//! so in mode A the level is added to the least and to the ease that is meant. The levels are regressions on the
//! sample of 400 at the reference figure, set against the house's. Most is the waist's: the mean of tenth rib
//! and iliocristale lies 14 mm above the waist of trousers on a reference figure's side of 108.2 cm, so the tape
//! from waist to waist through the fork is 28 mm longer there.
//!
//! Below the table of mode A stands what the inlays are worth: for each dimension that a baste can let out, how much
//! the house leaves for it, and the share of men whom that is too little for: those whose own measure asks for more
//! than was drafted, lengths and the back's width up to the ease that is meant, girths and the run up to the least.
//!
//! The last line tells which share of men has any dimension beyond twice its tolerance.

#[path = "../bodies/survey.rs"]
mod survey;

use chalkstripe::diagnostic::{Diagnostic, Source};
use chalkstripe::draft::{Draft, DraftPiece, MarkKind, Part, Role};
use chalkstripe::geometry::{end, flattened, length, line_crossings, start};
use chalkstripe::order::{self, House, HouseValue, Side};
use chalkstripe::script::{self, Library};
use kurbo::{BezPath, Point, Shape, Vec2};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use survey::Man;

/// Lengths of a draft or a body by the name of their dimension, in mm.
type Lengths = BTreeMap<&'static str, f64>;

/// One dimension that is held against the body, lengths in mm.
struct Dimension {
    name: &'static str,
    /// The least that the draft may be over the body.
    least: f64,
    /// What it is meant to be over the body, where it is given all measures.
    meant: f64,
    /// What the trade has for the reference figure, less what the survey's men of that figure have.
    level: f64,
    /// What the draft is meant to have more where the measure was derived: room for what is not known.
    more: f64,
    /// How far it may be off what is meant; `None` where no measure of the body tells.
    tolerance: Option<f64>,
}

const fn dimension(name: &'static str, least: f64, meant: f64, level: f64) -> Dimension {
    Dimension {
        name,
        least,
        meant,
        level,
        more: 0.0,
        tolerance: None,
    }
}

const fn judged(tolerance: f64, dimension: Dimension) -> Dimension {
    Dimension {
        tolerance: Some(tolerance),
        ..dimension
    }
}

const DIMENSIONS: &[Dimension] = &[
    Dimension {
        more: 17.0,
        ..judged(35.0, dimension("fork run", 0.0, 28.0, -28.0))
    },
    judged(30.0, dimension("thigh", 30.0, 65.0, -4.0)),
    judged(20.0, dimension("back length", 0.0, 10.0, 9.0)),
    judged(15.0, dimension("shoulder seam", 0.0, 0.0, -2.0)),
    judged(25.0, dimension("across back", 0.0, 16.0, 14.0)),
    judged(25.0, dimension("sleeve girth", 25.0, 60.0, 0.0)),
    judged(20.0, dimension("sleeve length", 0.0, 39.0, 4.0)),
    judged(20.0, dimension("inside leg", -60.0, -20.0, -20.0)),
    dimension("shoulder slope, degrees", -10.0, -5.0, 0.0),
    dimension("waistcoat, chest", 30.0, 60.0, 0.0),
    dimension("waistcoat, waist", 20.0, 50.0, 0.0),
    dimension("waistcoat over the band", 0.0, 38.0, 9.0),
];

/// What a baste can let out of a dimension.
struct Inlay {
    dimension: &'static str,
    /// The allowances it is let out of: the name, where along its edge, and on how many edges.
    of: &'static [(&'static str, usize, f64)],
    /// Whether it is let out up to the ease that is meant, or up to the least.
    to_meant: bool,
}

const INLAYS: &[Inlay] = &[
    Inlay {
        dimension: "across back",
        of: &[("centre_back", 1, 2.0)],
        to_meant: true,
    },
    Inlay {
        dimension: "sleeve length",
        of: &[("sleeve_hem", 0, 1.0)],
        to_meant: true,
    },
    Inlay {
        dimension: "sleeve girth",
        of: &[("hindarm_under", 0, 1.0)],
        to_meant: false,
    },
    Inlay {
        dimension: "inside leg",
        of: &[("trouser_hem", 0, 1.0)],
        to_meant: true,
    },
    Inlay {
        dimension: "thigh",
        of: &[
            ("inside_leg_back", 0, 1.0),
            ("outside_leg", 0, 1.0),
            ("outside_leg_back", 0, 1.0),
        ],
        to_meant: false,
    },
    Inlay {
        dimension: "fork run",
        of: &[("inside_leg_back", 0, 1.0)],
        to_meant: false,
    },
];

/// The measures of mode A.
const FIVE: [&str; 5] = ["height", "chest", "waist", "seat", "neck"];

/// What was found of a man in one mode.
struct Fit {
    draft: Lengths,
    body: Lengths,
    /// Whether the order is told that too little is known of him.
    doubted: bool,
}

fn main() -> ExitCode {
    let words = || std::env::args().skip(1);
    let mut named = words().filter(|word| !word.starts_with("--"));
    let (file, blocks) = (named.next(), named.next().map(PathBuf::from));
    let sample = file.is_none();
    let file = PathBuf::from(file.unwrap_or_else(|| survey::SAMPLE.to_owned()));
    if sample && !file.exists() {
        eprintln!("SKIPPED: {} is not here", file.display());
        return ExitCode::SUCCESS;
    }
    let mut men = match survey::men(&file) {
        Ok(men) => men,
        Err(fault) => {
            eprintln!("{fault}");
            return ExitCode::from(2);
        }
    };
    let asked = |word: &str| words().any(|arg| arg == word);
    men.retain(|man| match man.line % 2 {
        0 => !asked("--odd"),
        _ => !asked("--even"),
    });
    println!("{:<25}mode  mean    sd    p1   p99  below     r beyond", "");
    let shares = ["A", "B"].map(|mode| told(mode, &men, blocks.as_deref()));
    println!("misfit A {:.1} % B {:.1} %", shares[0], shares[1]);
    ExitCode::SUCCESS
}

/// Prints the table of one mode; returns the percentage of men with any dimension beyond twice its tolerance.
fn told(mode: &str, men: &[Man], blocks: Option<&Path>) -> f64 {
    let found: Vec<Result<Fit, String>> = men
        .par_iter()
        .map(|man| measured(man, mode, blocks))
        .collect();
    let (mut drafted, mut refused) = (Vec::new(), 0);
    for (man, one) in men.iter().zip(found) {
        match one {
            Ok(fit) => drafted.push(fit),
            Err(why) => {
                refused += 1;
                eprintln!("line {}, mode {mode}: {why}", man.line);
            }
        }
    }
    for dimension in DIMENSIONS {
        let pairs: Vec<(f64, f64)> = drafted
            .iter()
            .filter_map(|fit| fit.pair(dimension))
            .collect();
        if !pairs.is_empty() {
            println!(
                "{:<25}{mode:<4}{}",
                dimension.name,
                row(dimension, mode, &pairs)
            );
        }
    }
    drafted.sort_by(|a, b| b.off(mode).total_cmp(&a.off(mode)));
    let share = |these: &[Fit], test: &dyn Fn(&Fit) -> bool| {
        100.0 * these.iter().filter(|fit| test(fit)).count() as f64 / these.len().max(1) as f64
    };
    let worst = &drafted[..drafted.len() / 20];
    println!(
        "{mode}: {} men, {refused} not drafted; too little is known of {:.1} %, of the worst twentieth {:.0} %",
        men.len(),
        share(&drafted, &|fit| fit.doubted),
        share(worst, &|fit| fit.doubted)
    );
    if mode == "A" {
        inlays(&drafted);
    }
    share(&drafted, &|fit| fit.off(mode) > 2.0)
}

/// Prints what the inlays of the house are worth.
fn inlays(drafted: &[Fit]) {
    let house = House::built_in().unwrap_or_else(|fault| panic!("{fault}"));
    let share = |test: &dyn Fn(&Fit) -> bool| {
        100.0 * drafted.iter().filter(|fit| test(fit)).count() as f64 / drafted.len().max(1) as f64
    };
    for inlay in INLAYS {
        let (left, short) = (inlay.left(&house), |fit: &Fit| inlay.wanted(fit));
        let too_small = share(&|fit| short(fit) > left);
        println!(
            "inlay of the {:<16} {left:>3.0} mm, too small for {too_small:.1} %",
            inlay.dimension
        );
    }
    let fits = |fit: &Fit| {
        INLAYS
            .iter()
            .all(|inlay| inlay.wanted(fit) <= inlay.left(&house))
    };
    println!("altered within the inlays: {:.1} %", share(&fits));
}

impl Inlay {
    /// What the house leaves to let out, mm.
    fn left(&self, house: &House) -> f64 {
        let one = |(name, at, edges): &(&str, usize, f64)| {
            let wide = match house.values().get(&format!("allowance.{name}")) {
                Some(HouseValue::Number(cm)) => *cm,
                Some(HouseValue::Along(cm)) => cm.get(*at).copied().unwrap_or_default(),
                _ => 0.0,
            };
            // A hem keeps what it needs to be turned up, a seam its own width.
            let kept = house.number(&format!("inlay.{name}"));
            let kept = kept
                .or_else(|| house.number("baste.least_hem"))
                .unwrap_or_default();
            10.0 * edges * (wide - kept)
        };
        self.of.iter().map(one).sum()
    }

    /// How much a man drafted from five measures wants of it, mm.
    fn wanted(&self, fit: &Fit) -> f64 {
        let own = DIMENSIONS.iter().find(|d| d.name == self.dimension);
        let both = own.and_then(|d| Some((d, fit.pair(d)?)));
        both.map_or(0.0, |(dimension, (draft, body))| {
            let to = if self.to_meant {
                dimension.meant
            } else {
                dimension.least
            };
            to + dimension.level - (draft - body)
        })
    }
}

impl Fit {
    /// A dimension of the draft and of the body.
    fn pair(&self, dimension: &Dimension) -> Option<(f64, f64)> {
        Some((
            *self.draft.get(dimension.name)?,
            *self.body.get(dimension.name)?,
        ))
    }

    /// How many times its tolerance the worst dimension is off what is meant.
    fn off(&self, mode: &str) -> f64 {
        let times = |dimension: &Dimension| {
            let (draft, body) = self.pair(dimension)?;
            Some(off(dimension, mode, draft - body).abs() / dimension.tolerance?)
        };
        DIMENSIONS.iter().filter_map(times).fold(0.0, f64::max)
    }
}

fn level(dimension: &Dimension, mode: &str) -> f64 {
    if mode == "A" { dimension.level } else { 0.0 }
}

/// How far a difference is off what is meant.
fn off(dimension: &Dimension, mode: &str, over: f64) -> f64 {
    let more = if mode == "A" { dimension.more } else { 0.0 };
    over - dimension.meant - more - level(dimension, mode)
}

/// Tells whether a difference lies beyond twice the tolerance.
fn is_beyond(dimension: &Dimension, mode: &str, over: f64) -> bool {
    let tolerance = dimension.tolerance.unwrap_or(f64::INFINITY);
    off(dimension, mode, over).abs() > 2.0 * tolerance
}

fn row(dimension: &Dimension, mode: &str, pairs: &[(f64, f64)]) -> String {
    let count = pairs.len() as f64;
    let mut over: Vec<f64> = pairs.iter().map(|(draft, body)| draft - body).collect();
    over.sort_by(f64::total_cmp);
    let (mean, sd) = spread(&over);
    let at = |part: f64| over[(part * (count - 1.0)).round() as usize];
    let share = |test: &dyn Fn(f64) -> bool| {
        100.0 * over.iter().filter(|x| test(**x)).count() as f64 / count
    };
    let below = share(&|x| x < dimension.least + level(dimension, mode));
    let beyond = share(&|x| is_beyond(dimension, mode, x));
    let (drafts, bodies): (Vec<f64>, Vec<f64>) = pairs.iter().copied().unzip();
    let ((draft, draft_sd), (body, body_sd)) = (spread(&drafts), spread(&bodies));
    let both = pairs
        .iter()
        .map(|(x, y)| (x - draft) * (y - body))
        .sum::<f64>()
        / count;
    let r = if draft_sd * body_sd > 1e-9 {
        both / draft_sd / body_sd
    } else {
        0.0
    };
    let beyond = dimension
        .tolerance
        .map_or(String::new(), |_| format!("{beyond:>5.1} %"));
    format!(
        "{mean:>6.1}{sd:>6.1}{:>6.0}{:>6.0}{below:>5.1} %{r:>6.2}{beyond}",
        at(0.01),
        at(0.99)
    )
}

/// Mean and standard deviation.
fn spread(values: &[f64]) -> (f64, f64) {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let variance = values.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / count;
    (mean, variance.sqrt())
}

/// Drafts a man in one mode, and measures the draft and him.
fn measured(man: &Man, mode: &str, blocks: Option<&Path>) -> Result<Fit, String> {
    let mut known = man.body.clone();
    if let Some(leg) = known.get_mut("inside_leg") {
        *leg -= 2.0;
    }
    if mode == "A" {
        known.retain(|name, _| FIVE.contains(name));
    }
    let text = survey::order(&known, blocks, "[jacket]\n[trousers]\n[waistcoat]\n");
    let source = Source::new("order.toml", text);
    let checked = order::parse("order", &source, Path::new(""))
        .map_err(|faults| faults.iter().map(|f| f.render(false)).collect::<String>())?;
    let order = &checked.order;
    let library = match blocks {
        None => Library::embedded(),
        Some(folder) => Library::with_folder(folder).map_err(|fault| fault.to_string())?,
    };
    let mut lengths = Lengths::new();
    let band = 10.0 * order.house.number("trousers.waistband").unwrap_or_default();
    for garment in &order.garments {
        let draft = script::draft(&library, order, garment).map_err(|fault| fault.to_string())?;
        let own = match garment.block.as_str() {
            "jacket" => coat(&draft),
            "trousers" => trousers(&draft, band),
            _ => waistcoat(&draft, band),
        };
        lengths.extend(own.ok_or_else(|| format!("the {} lacks a part", garment.block))?);
    }
    let told = |warning: &Diagnostic| warning.message.starts_with("too little is known");
    Ok(Fit {
        draft: lengths,
        body: body(&lengths_of(man)),
        doubted: checked.warnings.iter().any(told),
    })
}

fn lengths_of(man: &Man) -> Lengths {
    man.body
        .iter()
        .chain(&man.besides)
        .map(|(name, cm)| (*name, 10.0 * cm))
        .collect()
}

/// The man's own lengths.
fn body(mm: &Lengths) -> Lengths {
    let of = |name: &str| mm.get(name).copied();
    // The neck point lies some 15 mm below the nape, from memory.
    let slope = || {
        let nape = of("cervicaleheight")?;
        let falls = nape - 15.0 - of("acromialheight")?;
        Some(
            (falls / of("shoulderlength")?)
                .clamp(-1.0, 1.0)
                .asin()
                .to_degrees(),
        )
    };
    let all = [
        ("fork run", of("fork_run")),
        ("thigh", of("thigh")),
        ("back length", of("nape_to_waist")),
        ("shoulder seam", of("shoulderlength")),
        ("across back", of("half_back").map(|half| 2.0 * half)),
        ("sleeve girth", of("biceps")),
        ("sleeve length", of("sleeve").map(|sleeve| sleeve - 35.0)),
        ("inside leg", of("inside_leg")),
        ("shoulder slope, degrees", slope()),
        ("waistcoat, chest", of("chest")),
        ("waistcoat, waist", of("waist")),
        ("waistcoat over the band", of("nape_to_waist")),
    ];
    all.into_iter()
        .filter_map(|(name, length)| Some((name, length?)))
        .collect()
}

fn edge(piece: &DraftPiece, role: Role) -> Option<&BezPath> {
    piece.edge(role).map(|edge| &edge.path)
}

/// Where a path crosses a level, the furthest back.
fn on_level(path: &BezPath, y: f64) -> Option<Point> {
    let crossings = line_crossings(path, Point::new(0.0, y), Vec2::new(1.0, 0.0));
    let points = crossings.into_iter().map(|crossing| crossing.point);
    points.min_by(|a, b| a.x.total_cmp(&b.x))
}

/// The distance between two paths on a level.
fn across(a: &BezPath, b: &BezPath, y: f64) -> Option<f64> {
    Some((on_level(a, y)?.x - on_level(b, y)?.x).abs())
}

/// The first mark of a kind.
fn mark(piece: &DraftPiece, kind: MarkKind) -> Option<&BezPath> {
    piece
        .marks
        .iter()
        .find(|mark| mark.kind == kind)
        .map(|mark| &mark.path)
}

/// The nape of a back: where its neck meets the centre back.
fn nape(back: &DraftPiece) -> Option<Point> {
    let neck = edge(back, Role::Neck)?;
    let ends = [start(neck)?, end(neck)?];
    ends.into_iter().min_by(|a, b| a.x.total_cmp(&b.x))
}

fn coat(draft: &Draft) -> Option<Lengths> {
    let back = draft.part_on(Part::Back, Side::Left)?;
    let fore = draft.part_on(Part::Forepart, Side::Left)?;
    let waist = start(mark(back, MarkKind::WaistLine)?)?;
    let scye = flattened(edge(back, Role::Scye)?, 0.1);
    let inmost = scye.into_iter().min_by(|a, b| a.x.total_cmp(&b.x))?;
    let centre = on_level(edge(back, Role::CentreBack)?, inmost.y)?;
    let shoulder = edge(fore, Role::Shoulder)?;
    let slope = |path: &BezPath| {
        let run = end(path)? - start(path)?;
        Some(run.y.abs().atan2(run.x.abs()).to_degrees())
    };
    let slopes = [slope(shoulder)?, slope(edge(back, Role::Shoulder)?)?];
    let top = draft.part_on(Part::TopSleeve, Side::Left)?;
    let under = draft.part_on(Part::UnderSleeve, Side::Left)?;
    let level = edge(under, Role::Crown)?.bounding_box().y1;
    let girth = |piece: &DraftPiece| {
        across(
            edge(piece, Role::Forearm)?,
            edge(piece, Role::Hindarm)?,
            level,
        )
    };
    let hem = edge(top, Role::Hem)?.bounding_box();
    Some(Lengths::from([
        ("back length", waist.y - nape(back)?.y),
        ("across back", 2.0 * (inmost.x - centre.x)),
        ("shoulder seam", length(shoulder)),
        ("shoulder slope, degrees", (slopes[0] + slopes[1]) / 2.0),
        ("sleeve girth", girth(top)? + girth(under)?),
        (
            "sleeve length",
            hem.center().y - edge(top, Role::Crown)?.bounding_box().y0,
        ),
    ]))
}

/// Trousers under a waistband of this depth, of which half lies above the natural waist.
fn trousers(draft: &Draft, band: f64) -> Option<Lengths> {
    let top = draft.part_on(Part::TopSide, Side::Left)?;
    let under = draft.part_on(Part::UnderSide, Side::Left)?;
    let seams = [top, under].map(|piece| edge(piece, Role::Middle).map(length));
    let thighs = [top, under].map(|piece| mark(piece, MarkKind::ForkLine).map(length));
    let inside = edge(top, Role::InsideLeg)?;
    Some(Lengths::from([
        ("fork run", seams[0]? + seams[1]? + band),
        ("thigh", thighs[0]? + thighs[1]?),
        ("inside leg", inside.bounding_box().height()),
    ]))
}

fn waistcoat(draft: &Draft, band: f64) -> Option<Lengths> {
    let back = draft.part_on(Part::Back, Side::Left)?;
    let hem = edge(back, Role::Hem)?;
    let side = [start(hem)?, end(hem)?]
        .into_iter()
        .max_by(|a, b| a.x.total_cmp(&b.x))?;
    let girth = |name: &str| {
        let girth = draft.girths.iter().find(|girth| girth.name == name);
        girth.map(|girth| girth.finished)
    };
    Some(Lengths::from([
        ("waistcoat, chest", girth("chest")?),
        ("waistcoat, waist", girth("waist")?),
        (
            "waistcoat over the band",
            side.y - nape(back)?.y - band / 2.0,
        ),
    ]))
}
