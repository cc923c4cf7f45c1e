//! Men of a survey as a tailor would have taped them.
//!
//! The columns are those of ANSUR II (2012 Anthropometric Survey of U.S. Army Personnel,
//! NATICK/TR-15/007, approved for public release), lengths in mm. What the survey measured is not
//! always what a tailor tapes: (~) marks an approximation.

use chalkstripe::drafting::{self, Library};
use chalkstripe::order::{self, Diagnostic, Severity, Source};
use chalkstripe::pattern;
use std::collections::BTreeMap;
use std::path::Path;

/// The sample of 400 men that lies beside the project, if it does.
pub const SAMPLE: &str = "../shared/data/bodies/ansur2_men_sample400.csv";

/// Measures in cm by our names.
pub type Body = BTreeMap<&'static str, f64>;

/// The men of a file, or what is wrong with it.
pub fn men(path: &Path) -> Result<Vec<Body>, String> {
    let text = std::fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))?;
    let mut lines = text.trim_start_matches('\u{feff}').lines();
    let head = lines.next().ok_or("the file is empty")?;
    let columns: Vec<String> = head.split(',').map(plain).collect();
    let men = lines
        .enumerate()
        .filter(|(_, line)| !line.trim().is_empty());
    men.map(|(i, line)| man(&columns, line).map_err(|e| format!("line {}: {e}", i + 2)))
        .collect()
}

/// Lengths of a body; all else goes round it, or across.
const LENGTHS: [&str; 6] = [
    "height",
    "scye_depth",
    "nape_to_waist",
    "sleeve",
    "outside_leg",
    "inside_leg",
];

/// Two more men for each: himself with his girths and his lengths each up to 15 % more or less, and a
/// mixture of him and another, up to 15 % larger or smaller. The same every time.
pub fn others(men: &[Body]) -> Vec<Body> {
    let mut state = 20_261_125_u64;
    // Numbers from 0 to 1 of a linear congruential generator: D. E. Knuth, The Art of Computer
    // Programming, volume 2, section 3.3.4, line 26 of table 1 (MMIX).
    let mut chance = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut found = Vec::new();
    for man in men {
        let (round, long) = (0.85 + 0.3 * chance(), 0.85 + 0.3 * chance());
        let stretched = man.iter().map(|(name, cm)| {
            let by = if LENGTHS.contains(name) { long } else { round };
            (*name, by * cm)
        });
        found.push(stretched.collect());
        let other = &men[(chance() * men.len() as f64) as usize % men.len()];
        let (part, by) = (chance(), 0.85 + 0.3 * chance());
        let mixed = |(name, cm): (&&'static str, &f64)| {
            let both = part * cm + (1.0 - part) * other[name];
            (*name, by * both)
        };
        found.push(man.iter().map(mixed).collect());
    }
    found
}

fn plain(cell: &str) -> String {
    cell.trim().trim_matches('"').to_lowercase()
}

fn man(columns: &[String], line: &str) -> Result<Body, String> {
    let cells: Vec<String> = line.split(',').map(plain).collect();
    let of = |name: &str| -> Result<f64, String> {
        let at = columns.iter().position(|c| c == name);
        let cell = at
            .and_then(|at| cells.get(at))
            .ok_or(format!("no column {name}"))?;
        let mm: f64 = cell.parse().map_err(|_| format!("{name} is '{cell}'"))?;
        Ok(mm / 10.0)
    };
    let waist_level = (of("tenthribheight")? + of("iliocristaleheight")?) / 2.0; // (~)
    let nape = of("cervicaleheight")?;
    let along = of("waistbacklength")? / (nape - of("waistheightomphalion")?);
    Ok(BTreeMap::from([
        ("height", of("stature")?),
        ("chest", of("chestcircumference")?),
        // The survey's waist is at the navel: fitted on an open set of 247 men that has both (~).
        ("waist", 3.55 + 0.9238 * of("waistcircumference")?),
        ("seat", of("buttockcircumference")?),
        ("neck", of("neckcircumference")?),
        ("half_back", of("interscyeii")? / 2.0 - 2.8), // (~)
        ("shoulder_width", of("biacromialbreadth")? + 4.5), // (~) a breadth is straight
        ("scye_depth", nape - of("axillaheight")? + 5.0), // (~)
        ("nape_to_waist", (nape - waist_level) * along), // (~)
        ("sleeve", of("sleeveoutseam")? + 3.5),        // (~)
        ("outside_leg", waist_level),
        ("inside_leg", of("crotchheight")?), // (~) the fork's room is not taken off
        ("wrist", of("wristcircumference")?),
        ("hand", of("handcircumference")?),
        ("biceps", of("bicepscircumferenceflexed")?), // (~) flexed
        ("thigh", of("thighcircumference")?),
        ("knee", 16.6 + 0.3701 * of("thighcircumference")?), // (~)
    ]))
}

/// What became of one man's suit.
pub enum Outcome {
    /// Jacket and trousers are drafted and proven.
    Drafted,
    /// The order or the block refuses him, and says why.
    Refused(String),
    /// The ledger does not balance, or a block is at fault.
    Failed(String),
}

/// The text of an order on a man's measures, as a tailor would write it: with a folder of blocks of
/// his own, if any, and the sections that follow the measures.
pub fn order(body: &Body, blocks: Option<&Path>, more: &str) -> String {
    let own = blocks.map(|folder| format!("blocks = {:?}\n", folder.display().to_string()));
    let mut text = own.unwrap_or_default();
    text += "[client]\nname = \"A. Man\"\n[cloth]\nname = \"worsted\"\n[measures]\n";
    for (name, cm) in body {
        text += &format!("{name} = {:.1}\n", cm);
    }
    text + more
}

/// Reads, drafts and proves an order.
pub fn prove(text: &str) -> Outcome {
    let told = |faults: Vec<Diagnostic>| -> String {
        let lines = faults
            .iter()
            .filter(|f| f.severity == Severity::Error)
            .map(|f| {
                [vec![f.message.clone()], f.help.clone()]
                    .concat()
                    .join("; ")
            });
        lines.collect::<Vec<String>>().join("\n")
    };
    let source = Source::new("order.toml", text.to_owned());
    let checked = match order::parse("order", &source, Path::new("")) {
        Ok(checked) => checked,
        Err(faults) => return Outcome::Refused(told(faults)),
    };
    let library = match &checked.order.blocks {
        None => Library::embedded(),
        Some(folder) => match Library::with_folder(folder) {
            Ok(library) => library,
            Err(fault) => return Outcome::Failed(fault.to_string()),
        },
    };
    let mut drafts = Vec::new();
    for garment in &checked.order.garments {
        match drafting::draft(&library, &checked.order, garment) {
            Ok(draft) => drafts.push(draft),
            Err(fault) if fault.refused => return Outcome::Refused(fault.to_string()),
            Err(fault) => return Outcome::Failed(fault.to_string()),
        }
    }
    match pattern::make(&checked.order, &drafts) {
        Ok(_) => Outcome::Drafted,
        Err(faults) => Outcome::Failed(
            faults
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join("\n"),
        ),
    }
}
