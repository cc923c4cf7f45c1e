//! The pages of a pattern as they join: columns of one width, rows of one height.

use kurbo::{Point, Size};

/// The own areas of the pages as they join: columns of one width, and rows of one height, as many as needed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// Width of a column, in mm.
    pub width: f64,
    /// Height of a row, in mm.
    pub height: f64,
    /// Number of columns.
    pub columns: usize,
}

impl Grid {
    /// Makes a grid of pages with own areas of a size, in mm.
    pub fn new((width, height): (f64, f64), columns: usize) -> Self {
        Self {
            width,
            height,
            columns,
        }
    }

    /// Returns the upper left corner of a page's own area on the sheet of joined pages, in mm.
    pub fn corner(&self, (column, row): (usize, usize)) -> Point {
        Point::new(column as f64 * self.width, row as f64 * self.height)
    }

    /// Returns the size of a number of joined rows, in mm.
    pub fn size(&self, rows: usize) -> Size {
        self.corner((self.columns, rows)).to_vec2().to_size()
    }
}

/// Lists the column and row of every page that is marked as used, row by row.
pub fn used_pages(used: &[Vec<bool>]) -> impl Iterator<Item = (usize, usize)> {
    used.iter().enumerate().flat_map(|(row, pages)| {
        let own = pages.iter().enumerate().filter(|(_, marked)| **marked);
        own.map(move |(column, _)| (column, row))
    })
}

/// Names a page by a letter for its row and a number for its column: `A1`.
pub fn page_name(column: usize, row: usize) -> String {
    let mut letters = String::new();
    let mut rest = row + 1;
    while rest > 0 {
        rest -= 1;
        letters.insert(0, char::from(b'A' + (rest % 26) as u8));
        rest /= 26;
    }
    format!("{letters}{}", column + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_are_named_like_a_board() {
        assert_eq!(page_name(0, 0), "A1");
        assert_eq!(page_name(11, 25), "Z12");
        assert_eq!(page_name(0, 26), "AA1");
    }
}
