//! Surveys as they come: columns anywhere, other line ends, quotes, blanks, older encodings.

use super::outcome::{self, Outcome};
use super::survey::{self, Man};

/// An invented man, in mm: each column and its cell.
const CELLS: [(&str, &str); 19] = [
    ("stature", "1760"),
    ("cervicaleheight", "1515"),
    ("axillaheight", "1325"),
    ("tenthribheight", "1122"),
    ("iliocristaleheight", "1058"),
    ("waistheightomphalion", "1060"),
    ("chestcircumference", "1040"),
    ("waistcircumference", "930"),
    ("buttockcircumference", "1015"),
    ("neckcircumference", "395"),
    ("interscyeii", "455"),
    ("biacromialbreadth", "415"),
    ("waistbacklength", "480"),
    ("sleeveoutseam", "600"),
    ("crotchheight", "845"),
    ("thighcircumference", "620"),
    ("bicepscircumferenceflexed", "355"),
    ("wristcircumference", "175"),
    ("handcircumference", "212"),
];

/// A file of the same man on two lines, with these cells instead of some of his on the second.
fn file(columns: &[(&str, &str)], mark: &str, end: &str, instead: &[(&str, &str)]) -> String {
    let names: Vec<&str> = columns.iter().map(|(name, _)| *name).collect();
    let line = |replaced: &[(&str, &str)]| {
        let cell = |(name, cell): &(&str, &str)| {
            let other = replaced.iter().find(|(column, _)| column == name);
            other.map_or((*cell).to_owned(), |(_, cell)| (*cell).to_owned())
        };
        columns.iter().map(cell).collect::<Vec<_>>().join(mark)
    };
    [names.join(mark), line(&[]), line(instead), String::new()].join(end)
}

fn bodies(men: &[Man]) -> Vec<&survey::Body> {
    men.iter().map(|man| &man.body).collect()
}

fn refusal(man: &Man) -> String {
    match outcome::suit(man, None) {
        Outcome::Refused(why) => why,
        Outcome::Drafted => panic!("drafted: {man:?}"),
        Outcome::Failed(why) => panic!("{why}"),
    }
}

#[test]
fn the_same_men_are_read_however_they_are_written() {
    let plain = survey::read(file(&CELLS, ",", "\n", &[]).as_bytes()).unwrap();
    assert_eq!(plain.len(), 2);
    assert!(matches!(outcome::suit(&plain[0], None), Outcome::Drafted));
    assert_eq!((plain[0].line, plain[1].line), (2, 3));
    let mut turned = CELLS;
    turned.reverse();
    let quoted: Vec<(String, String)> = CELLS
        .iter()
        .map(|(name, cell)| {
            (
                format!("\"{}\"", name.to_uppercase()),
                format!("\" {cell} \""),
            )
        })
        .collect();
    let quoted: Vec<(&str, &str)> = quoted.iter().map(|(n, c)| (&**n, &**c)).collect();
    let others = [
        file(&turned, ",", "\n", &[]),
        file(&CELLS, ",", "\r\n", &[]),
        file(&CELLS, ",", "\r", &[]),
        file(&CELLS, ";", "\r\n", &[]),
        file(&CELLS, "\t", "\n", &[]),
        file(&quoted, ",", "\n", &[]),
        format!("\u{feff}{}\n\n", file(&CELLS, ",", "\n", &[])),
    ];
    for other in others {
        let men = survey::read(other.as_bytes()).unwrap();
        assert_eq!(bodies(&men), bodies(&plain), "{other}");
    }
    // Beside columns that nobody reads, with commas and line ends in their cells, in Latin-1.
    let mut more = vec![("subject", "\"a, b\nc\"")];
    more.extend(CELLS);
    more.push(("installation", "F\u{fffd}rt"));
    let mut bytes = Vec::new();
    for part in file(&more, ",", "\n", &[]).split('\u{fffd}') {
        bytes.extend(part.as_bytes());
        bytes.push(0xe9);
    }
    bytes.pop();
    assert_eq!(bodies(&survey::read(&bytes).unwrap()), bodies(&plain));
}

#[test]
fn a_blank_cell_is_refused_or_derived() {
    for blank in ["", " ", "NA", "\"\""] {
        // A tailor derives a sleeve that he did not take; the chest he has to take.
        let with = |name| file(&CELLS, ",", "\n", &[(name, blank)]);
        let men = survey::read(with("sleeveoutseam").as_bytes()).unwrap();
        assert!(matches!(outcome::suit(&men[1], None), Outcome::Drafted));
        let without_chest = survey::read(with("chestcircumference").as_bytes()).unwrap();
        assert!(matches!(
            outcome::suit(&without_chest[0], None),
            Outcome::Drafted
        ));
        let why = refusal(&without_chest[1]);
        assert!(why.contains("needs chest"), "{why}");
    }
    let ends_early = format!("{}1760,1515\n", file(&CELLS, ",", "\n", &[]));
    let men = survey::read(ends_early.as_bytes()).unwrap();
    let why = refusal(&men[2]);
    assert!(why.contains("needs chest"), "{why}");
}

#[test]
fn what_is_no_length_is_refused_by_name() {
    for cell in ["abc", "-5", "0", "1e999", "10 40"] {
        let text = file(&CELLS, ",", "\n", &[("neckcircumference", cell)]);
        let men = survey::read(text.as_bytes()).unwrap();
        let why = refusal(&men[1]);
        assert!(
            why.contains(&format!("neckcircumference is `{cell}`")),
            "{why}"
        );
    }
}

#[test]
fn a_missing_column_is_named() {
    let text = file(&CELLS[..16], ",", "\n", &[]);
    let fault = survey::read(text.as_bytes()).unwrap_err();
    assert!(
        fault.starts_with("no column bicepscircumferenceflexed, wristcircumference;"),
        "{fault}"
    );
    for (bytes, what) in [
        (&b""[..], "empty"),
        (b"\n\n", "empty"),
        (b"\xff\xfes\0", "UTF-16"),
        (b"1,2,3\n", "no column stature"),
    ] {
        let refused = survey::read(bytes).unwrap_err();
        assert!(refused.contains(what), "{refused}");
    }
}
