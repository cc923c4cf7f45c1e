//! Men of a survey as a tailor would have taped them.
//!
//! The columns are those of ANSUR II (2012 Anthropometric Survey of U.S. Army Personnel,
//! NATICK/TR-15/007, approved for public release), lengths in mm. What the survey measured is not
//! always what a tailor tapes: (~) marks an approximation.

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
    /// Lengths that no tailor tapes and a fit is judged by, in cm by the survey's names.
    pub besides: Body,
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
/// Read where they are there.
const HAND: &str = "handcircumference";
const THROUGH_THE_FORK: &str = "crotchlengthomphalion";
const BESIDES: [&str; 5] = [
    "acromialheight",
    "shoulderlength",
    "cervicaleheight",
    "waistbacklength",
    "waistfrontlengthsitting",
];

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
    let more = [HAND, THROUGH_THE_FORK].into_iter().chain(BESIDES);
    for name in COLUMNS.into_iter().chain(more) {
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
        besides: BESIDES
            .into_iter()
            .filter_map(|name| Some((name, *known.get(name)?)))
            .collect(),
        unread,
    }
}

/// The survey's measures, in cm, as a tailor tapes them.
fn mapped(known: &BTreeMap<&str, f64>) -> [(&'static str, Option<f64>); 18] {
    let of = |name: &str| known.get(name).copied();
    // (~)
    let waist_level = || Some((of("tenthribheight")? + of("iliocristaleheight")?) / 2.0);
    let nape = of("cervicaleheight");
    let along = || Some(of("waistbacklength")? / (nape? - of("waistheightomphalion")?));
    // The survey runs it from the navel (~).
    let fork_run =
        || Some(of(THROUGH_THE_FORK)? + 2.0 * (waist_level()? - of("waistheightomphalion")?));
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
        ("fork_run", fork_run()),
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
