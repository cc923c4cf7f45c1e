//! Men of a survey as a tailor would have taped them.
//!
//! The columns are those of ANSUR II (2012 Anthropometric Survey of U.S. Army Personnel,
//! NATICK/TR-15/007, approved for public release), lengths in mm. What the survey measured is not
//! always what a tailor tapes: (~) marks an approximation.

use chalkstripe::diagnostic::{Diagnostic, Severity, Source};
use chalkstripe::order;
use chalkstripe::pattern;
use chalkstripe::script::{self, Library};
use std::collections::BTreeMap;
use std::path::Path;

/// The sample of 400 men that lies beside the project, if it does.
pub(crate) const SAMPLE: &str = "../shared/data/bodies/ansur2_men_sample400.csv";

/// Measures in cm by our names.
pub(crate) type Body = BTreeMap<&'static str, f64>;

/// One line of a survey.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Man {
    /// The line of the file he stands on.
    pub line: usize,
    /// His measures; those that the survey does not give are left out.
    pub body: Body,
    /// Cells that are no length.
    pub unread: Vec<String>,
}

/// The columns that are read, of whatever else a file holds.
const COLUMNS: [&str; 18] = [
    "stature",
    "cervicaleheight",
    "axillaheight",
    "tenthribheight",
    "iliocristaleheight",
    "waistheightomphalion",
    "chestcircumference",
    "waistcircumference",
    "buttockcircumference",
    "neckcircumference",
    "interscyeii",
    "biacromialbreadth",
    "waistbacklength",
    "sleeveoutseam",
    "crotchheight",
    "thighcircumference",
    "bicepscircumferenceflexed",
    "wristcircumference",
];
/// Read where it is there: the cuff's room for the hand is drawn from the wrist otherwise.
const HAND: &str = "handcircumference";

/// The men of a file, or what is wrong with it. Columns may stand in any order, parted by commas, semicolons
/// or tabs, in quotes or not; a blank cell leaves out the measures that want it.
pub(crate) fn men(path: &Path) -> Result<Vec<Man>, String> {
    let bytes = std::fs::read(path).map_err(|e| format!("{}: {e}", path.display()))?;
    read(&bytes).map_err(|fault| format!("{}: {fault}", path.display()))
}

/// The men of a file's bytes, in UTF-8 or an older encoding: no name of a column has an accent.
pub(crate) fn read(bytes: &[u8]) -> Result<Vec<Man>, String> {
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err("it is saved as UTF-16: save it as CSV in UTF-8".to_owned());
    }
    let text = String::from_utf8_lossy(bytes);
    let mut rows = rows(text.trim_start_matches('\u{feff}')).into_iter();
    let (_, columns) = rows.next().ok_or("the file is empty")?;
    let lacking: Vec<&str> = COLUMNS
        .into_iter()
        .filter(|name| !columns.iter().any(|c| c == name))
        .collect();
    if !lacking.is_empty() {
        return Err(format!(
            "no column {}; the first line has to name the survey's columns, lengths in mm",
            lacking.join(", ")
        ));
    }
    Ok(rows
        .map(|(line, cells)| man(line, &columns, &cells))
        .collect())
}

/// The rows of a table that are not blank, each with the line it begins on and its cells in small letters:
/// parted by whichever mark its first row has most of, quoted as RFC 4180 (2005) says, with any line ends.
fn rows(text: &str) -> Vec<(usize, Vec<String>)> {
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let head = text.lines().find(|line| !line.trim().is_empty());
    let parts = |mark: &char| head.map_or(0, |line| line.matches(*mark).count());
    let mark = ['\t', ';', ','].into_iter().max_by_key(parts);
    let (mut rows, mut cells, mut cell) = (Vec::new(), Vec::new(), String::new());
    let (mut quoted, mut line, mut begun) = (false, 1, 1);
    for c in text.chars().chain(['\n']) {
        line += usize::from(c == '\n');
        if c == '"' {
            // One that is doubled ends the quotes and begins them again: no cell that is read has any.
            quoted = !quoted;
        } else if quoted || !(c == '\n' || Some(c) == mark) {
            cell.push(c);
        } else {
            cells.push(std::mem::take(&mut cell).trim().to_lowercase());
            if c == '\n' {
                let row = std::mem::take(&mut cells);
                if row.iter().any(|entry| !entry.is_empty()) {
                    rows.push((begun, row));
                }
                begun = line;
            }
        }
    }
    rows
}

/// What a survey writes where nothing was measured.
const BLANK: [&str; 6] = ["", "na", "n/a", "nan", ".", "-"];

fn man(line: usize, columns: &[String], cells: &[String]) -> Man {
    let (mut known, mut unread) = (BTreeMap::new(), Vec::new());
    for name in COLUMNS.into_iter().chain([HAND]) {
        let at = columns.iter().position(|c| c == name);
        let cell = at.and_then(|at| cells.get(at)).map_or("", String::as_str);
        if BLANK.contains(&cell) {
            continue;
        }
        match cell.parse::<f64>() {
            Ok(mm) if mm.is_finite() && mm > 0.0 => {
                known.insert(name, mm / 10.0);
            }
            _ => unread.push(format!("{name} is `{cell}`, which is no length in mm")),
        }
    }
    let measures = mapped(&known);
    Man {
        line,
        body: measures
            .into_iter()
            .filter_map(|(name, cm)| Some((name, cm?)))
            .collect(),
        unread,
    }
}

/// The survey's measures, in cm, as a tailor tapes them.
fn mapped(known: &BTreeMap<&str, f64>) -> [(&'static str, Option<f64>); 17] {
    let of = |name: &str| known.get(name).copied();
    // (~)
    let waist_level = || Some((of("tenthribheight")? + of("iliocristaleheight")?) / 2.0);
    let nape = of("cervicaleheight");
    let along = || Some(of("waistbacklength")? / (nape? - of("waistheightomphalion")?));
    let nape_to_waist = || Some((nape? - waist_level()?) * along()?);
    [
        ("height", of("stature")),
        ("chest", of("chestcircumference")),
        // The survey's waist is at the navel: fitted on an open set of 247 men that has both (~).
        (
            "waist",
            of("waistcircumference").map(|cm| 3.55 + 0.9238 * cm),
        ),
        ("seat", of("buttockcircumference")),
        ("neck", of("neckcircumference")),
        ("half_back", of("interscyeii").map(|cm| cm / 2.0 - 2.8)), // (~)
        ("shoulder_width", of("biacromialbreadth").map(|cm| cm + 4.5)), // (~) a breadth is straight
        (
            "scye_depth",
            nape.zip(of("axillaheight"))
                .map(|(nape, arm)| nape - arm + 5.0),
        ), // (~)
        ("nape_to_waist", nape_to_waist()),                        // (~)
        ("sleeve", of("sleeveoutseam").map(|cm| cm + 3.5)),        // (~)
        ("outside_leg", waist_level()),
        ("inside_leg", of("crotchheight")), // (~) the fork's room is not taken off
        ("wrist", of("wristcircumference")),
        ("hand", of(HAND)),
        ("biceps", of("bicepscircumferenceflexed")), // (~) flexed
        ("thigh", of("thighcircumference")),
        (
            "knee",
            of("thighcircumference").map(|cm| 16.6 + 0.3701 * cm),
        ), // (~)
    ]
}

/// What became of one man's suit.
pub(crate) enum Outcome {
    /// Jacket and trousers are drafted and proven.
    Drafted,
    /// The order or the block refuses him, and says why.
    Refused(String),
    /// The ledger does not balance, or a block is at fault.
    Failed(String),
}

/// The text of an order on a man's measures, as a tailor would write it: with a folder of blocks of
/// his own, if any, and the sections that follow the measures.
pub(crate) fn order(body: &Body, blocks: Option<&Path>, more: &str) -> String {
    let own = blocks.map(|folder| format!("blocks = {:?}\n", folder.display().to_string()));
    let mut text = own.unwrap_or_default();
    text += "[client]\nname = \"A. Man\"\n[cloth]\nname = \"worsted\"\n[measures]\n";
    for (name, cm) in body {
        text += &format!("{name} = {cm:.1}\n");
    }
    text + more
}

/// Drafts and proves a man's jacket and trousers.
pub(crate) fn suit(man: &Man, blocks: Option<&Path>) -> Outcome {
    if !man.unread.is_empty() {
        return Outcome::Refused(man.unread.join("; "));
    }
    prove(&order(&man.body, blocks, "[jacket]\n[trousers]\n"))
}

/// Reads, drafts and proves an order.
pub(crate) fn prove(text: &str) -> Outcome {
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
        match script::draft(&library, &checked.order, garment) {
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
