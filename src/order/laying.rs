//! How cloth may lie on the table.

/// Which way the cloth may be turned under the pieces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nap {
    /// Every piece points the same way (nap, pile, shading, a one-way pattern).
    OneWay,
    /// Pieces may point either way along the grain.
    TwoWays,
}

/// How the cloth lies on the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    /// Single ply; every piece is laid.
    Open,
    /// Folded lengthwise, selvedge to selvedge; pairs are cut through both plies.
    Doubled,
}

/// Which side of the cloth is seen on the table; of doubled cloth, that of its upper ply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// The right side, which is worn outside.
    Up,
    /// The wrong side, on which it is chalked.
    Down,
}
