//! Marks sheets with a fingerprint of their draft.
//!
//! The report and the drafting sheet (in the last line of its SVG) bear the mark. Sheets with different marks were
//! made from different measures, choices or blocks, and must not lie side by side.

use crate::draft::Draft;
use crate::order::Order;
use std::fmt::{self, Write};
use std::path::Path;

/// Returns the mark of an order's drafts: 16 hexadecimal digits.
pub fn of(order: &Order, drafts: &[Draft]) -> String {
    let mut hash = Hash::default();
    // Hashing cannot fail.
    let _ = write!(hash, "{:?}{drafts:?}", order.client);
    format!("{:016x}", hash.0)
}

/// Writes a mark below an SVG.
pub fn put(svg: &mut Vec<u8>, mark: &str) {
    svg.extend(line(mark).bytes());
}

/// Whether the SVG in a file bears a mark.
pub fn is_on(file: &Path, mark: &str) -> bool {
    std::fs::read(file).is_ok_and(|svg| svg.ends_with(line(mark).as_bytes()))
}

fn line(mark: &str) -> String {
    format!("<!-- draft {mark} -->\n")
}

/// A hash of 64 bits that is the same on every machine: FNV-1a (G. Fowler, L. C. Noll, K.-P. Vo, from memory).
pub struct Hash(pub u64);

impl Hash {
    /// Adds bytes to the hash.
    pub fn add(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01B3);
        }
    }
}

impl Default for Hash {
    fn default() -> Self {
        Self(0xCBF2_9CE4_8422_2325)
    }
}

impl Write for Hash {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.add(text.as_bytes());
        Ok(())
    }
}
