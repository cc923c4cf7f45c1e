//! The pages of a pattern as they join: columns of one width, rows of one height.

/// The pages of a sheet: columns of one width, and rows of one height, as many as needed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// Width of a column, in mm.
    pub width: f64,
    /// Height of a row, in mm.
    pub height: f64,
    /// How many columns.
    pub columns: usize,
}

/// Name of a page: its row as a letter, its column as a number.
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
