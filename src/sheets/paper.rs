//! Sizes of paper, and how much of a page is printed.

use std::fmt;
use std::str::FromStr;

/// A paper to print the pattern on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Paper {
    /// Pages of one size.
    Pages(Size),
    /// A roll of that width, in mm. Its pages are as long as needed.
    Roll(f64),
}

/// Sizes of cut paper: ISO 216 and ANSI/ASME Y14.1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the sizes are called what everyone calls them")]
pub enum Size {
    A4,
    A3,
    A2,
    A1,
    A0,
    Letter,
    Tabloid,
}

/// The sizes with their names and their width and height, upright, in mm.
const SIZES: [(Size, &str, (f64, f64)); 7] = [
    (Size::A4, "a4", (210.0, 297.0)),
    (Size::A3, "a3", (297.0, 420.0)),
    (Size::A2, "a2", (420.0, 594.0)),
    (Size::A1, "a1", (594.0, 841.0)),
    (Size::A0, "a0", (841.0, 1189.0)),
    (Size::Letter, "letter", (215.9, 279.4)),
    (Size::Tabloid, "tabloid", (279.4, 431.8)),
];

impl Size {
    /// Returns the width and height of an upright page, in mm.
    pub fn upright(self) -> (f64, f64) {
        SIZES[self as usize].2
    }

    fn name(self) -> &'static str {
        SIZES[self as usize].1
    }
}

impl Paper {
    /// Writes the paper as on the command line: `a4`, `roll:914mm`.
    pub fn asked(&self) -> String {
        match self {
            Paper::Pages(size) => size.name().to_owned(),
            Paper::Roll(width) => format!("roll:{width}mm"),
        }
    }
}

/// The paper, with what the printer leaves white at each edge and the strip that pages share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setup {
    /// The paper.
    pub paper: Paper,
    /// White at each edge of the page, in mm.
    pub margin: f64,
    /// Width of the strip that is glued, in mm.
    pub overlap: f64,
}

impl Setup {
    /// Sets up a paper with a margin and an overlap that suit any printer.
    pub fn new(paper: Paper) -> Self {
        Setup {
            paper,
            margin: 10.0,
            overlap: 10.0,
        }
    }

    /// Returns the width and height that are printed on a page of a size, in mm.
    pub fn print(&self, page: (f64, f64)) -> (f64, f64) {
        (page.0 - 2.0 * self.margin, page.1 - 2.0 * self.margin)
    }

    /// Returns the own area of a page of a size, in mm: what is printed less the strip that is glued.
    pub fn own(&self, page: (f64, f64)) -> (f64, f64) {
        let (width, height) = self.print(page);
        (width - self.overlap, height - self.overlap)
    }
}

/// Least and greatest width of a roll, in mm. Any other width is taken for a slip, such as inches for mm.
const ROLLS: std::ops::RangeInclusive<f64> = 250.0..=2500.0;

/// Writes the paper as in the name of a file: `a4`, `roll-914mm`.
impl fmt::Display for Paper {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Paper::Pages(size) => f.write_str(size.name()),
            Paper::Roll(width) => write!(f, "roll-{}mm", (width * 10.0).round() / 10.0),
        }
    }
}

/// A paper that does not exist, with those that do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSuchPaper(String);

impl fmt::Display for NoSuchPaper {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for NoSuchPaper {}

impl FromStr for Paper {
    type Err = NoSuchPaper;

    /// Reads `a4` to `a0`, `letter`, `tabloid`, or `roll:` and a width: `roll:914mm`,
    /// `roll:91.4cm`, `roll:36in`; a bare number is in mm.
    fn from_str(text: &str) -> Result<Self, NoSuchPaper> {
        let word = text.trim().to_ascii_lowercase();
        if let Some((size, ..)) = SIZES.iter().find(|(_, name, _)| *name == word) {
            return Ok(Paper::Pages(*size));
        }
        let Some(width) = word.strip_prefix("roll:") else {
            let sizes = SIZES.map(|(_, name, _)| name);
            let near = crate::diagnostic::nearest(&word, sizes)
                .map_or_else(String::new, |near| format!("; perhaps: {near}"));
            return Err(NoSuchPaper(format!(
                "there is no paper `{}`: choose {} or roll:WIDTH, such as roll:914mm or roll:36in{near}",
                super::font::shorten(text, 3.0, false, 120.0),
                sizes.join(", ")
            )));
        };
        let (number, unit) = [("mm", 1.0), ("cm", 10.0), ("in", 25.4)]
            .into_iter()
            .find_map(|(name, unit)| Some((width.strip_suffix(name)?, unit)))
            .unwrap_or((width, 1.0));
        let width = number.trim().parse::<f64>().map(|number| number * unit);
        match width {
            Ok(width) if ROLLS.contains(&width) => Ok(Paper::Roll(width)),
            Ok(width) if width.is_finite() => Err(NoSuchPaper(format!(
                "a roll {width:.0} mm wide cannot be used: rolls run from {:.0} to {:.0} mm",
                ROLLS.start(),
                ROLLS.end()
            ))),
            _ => Err(NoSuchPaper(
                "after roll: comes a width, such as roll:914mm, roll:91.4cm or roll:36in"
                    .to_owned(),
            )),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn papers_are_read() {
        assert_eq!("A4".parse(), Ok(Paper::Pages(Size::A4)));
        assert_eq!("roll:914".parse(), Ok(Paper::Roll(914.0)));
        assert_eq!("roll:36in".parse(), Ok(Paper::Roll(914.4)));
        assert_eq!(
            "roll:91.4cm".parse::<Paper>().unwrap().to_string(),
            "roll-914mm"
        );
    }

    #[test]
    fn each_size_stands_at_its_place_in_the_table() {
        for (i, (size, ..)) in SIZES.into_iter().enumerate() {
            assert_eq!(size as usize, i);
        }
    }

    #[test]
    fn other_papers_are_refused_with_advice() {
        let fault = |text: &str| text.parse::<Paper>().unwrap_err().to_string();
        assert!(fault("leter").contains("perhaps: letter"));
        assert!(fault("roll:9").contains("from 250 to 2500 mm"));
        assert!(fault("roll:wide").contains("roll:914mm"));
        assert!(fault("roll:nan").contains("roll:914mm"));
        assert!(fault("").contains("a4, a3"));
    }

    #[test]
    fn a_sizes_halve() {
        // ISO 216: each is half of the one before, cut across, to the mm below.
        for (small, large) in [
            (Size::A4, Size::A3),
            (Size::A3, Size::A2),
            (Size::A2, Size::A1),
            (Size::A1, Size::A0),
        ] {
            let ((width, height), (_, tall)) = (small.upright(), large.upright());
            assert_eq!(height, large.upright().0);
            assert_eq!(width, (tall / 2.0_f64).floor());
        }
    }
}
