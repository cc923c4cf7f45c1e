//! Sizes of paper, and how much of a page is printed.

use std::fmt;
use std::str::FromStr;

/// A paper to print the pattern on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Paper {
    /// Sheets of one size.
    Sheet(Size),
    /// A roll of that width in mm; pages are as long as needed.
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

impl Size {
    const ALL: [Size; 7] = [
        Size::A4,
        Size::A3,
        Size::A2,
        Size::A1,
        Size::A0,
        Size::Letter,
        Size::Tabloid,
    ];

    /// Width and height standing upright, in mm.
    pub fn upright(self) -> (f64, f64) {
        match self {
            Size::A4 => (210.0, 297.0),
            Size::A3 => (297.0, 420.0),
            Size::A2 => (420.0, 594.0),
            Size::A1 => (594.0, 841.0),
            Size::A0 => (841.0, 1189.0),
            Size::Letter => (215.9, 279.4),
            Size::Tabloid => (279.4, 431.8),
        }
    }

    fn name(self) -> &'static str {
        match self {
            Size::A4 => "a4",
            Size::A3 => "a3",
            Size::A2 => "a2",
            Size::A1 => "a1",
            Size::A0 => "a0",
            Size::Letter => "letter",
            Size::Tabloid => "tabloid",
        }
    }
}

impl Paper {
    /// As it is asked for: `a4`, `roll:914mm`.
    pub fn asked(&self) -> String {
        match self {
            Paper::Sheet(size) => size.name().to_owned(),
            Paper::Roll(width) => format!("roll:{width}mm"),
        }
    }
}

/// What the printer leaves white at each edge, and the strip pages share, in mm.
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
    /// The paper with margins and overlap that suit any printer.
    pub fn new(paper: Paper) -> Self {
        Setup {
            paper,
            margin: 10.0,
            overlap: 10.0,
        }
    }

    /// Width and height that a page of that size prints, in mm.
    pub fn print(&self, page: (f64, f64)) -> (f64, f64) {
        (page.0 - 2.0 * self.margin, page.1 - 2.0 * self.margin)
    }
}

/// Least and greatest width of a roll, in mm.
const ROLLS: std::ops::RangeInclusive<f64> = 250.0..=2500.0;

/// As in a file's name: `a4`, `roll-914mm`.
impl fmt::Display for Paper {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Paper::Sheet(size) => f.write_str(size.name()),
            Paper::Roll(width) => write!(f, "roll-{}mm", (width * 10.0).round() / 10.0),
        }
    }
}

/// A paper that does not exist, with what does.
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
        if let Some(size) = Size::ALL.into_iter().find(|size| size.name() == word) {
            return Ok(Paper::Sheet(size));
        }
        let Some(width) = word.strip_prefix("roll:") else {
            let sizes = Size::ALL.map(Size::name);
            let near = crate::diagnostic::nearest(&word, sizes)
                .map_or_else(String::new, |near| format!("; did you mean {near}?"));
            return Err(NoSuchPaper(format!(
                "there is no paper `{}`: choose {} or roll:WIDTH, such as roll:914mm or roll:36in{near}",
                super::font::shorten(&super::font::clean(text), 3.0, false, 120.0),
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
        assert_eq!("A4".parse(), Ok(Paper::Sheet(Size::A4)));
        assert_eq!("roll:914".parse(), Ok(Paper::Roll(914.0)));
        assert_eq!("roll:36in".parse(), Ok(Paper::Roll(914.4)));
        assert_eq!(
            "roll:91.4cm".parse::<Paper>().unwrap().to_string(),
            "roll-914mm"
        );
    }

    #[test]
    fn other_papers_are_refused_with_advice() {
        let fault = |text: &str| text.parse::<Paper>().unwrap_err().to_string();
        assert!(fault("leter").contains("did you mean letter"));
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
