//! The mark by which it is known whether sheets are of one draft.
//!
//! The report bears it, and the drafting sheet (as the last line of its SVG). Sheets with different marks are of
//! different measures, choices or blocks, and must not lie side by side.

use crate::draft::Draft;
use crate::order::Order;
use std::fmt::{self, Write};
use std::path::Path;

/// The mark of an order's drafts, 16 digits.
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

/// FNV-1a (G. Fowler, L. C. Noll, K.-P. Vo, 64 bits, from memory): the same on every machine.
struct Hash(u64);

impl Default for Hash {
    fn default() -> Self {
        Hash(0xCBF2_9CE4_8422_2325)
    }
}

impl Write for Hash {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        for byte in text.bytes() {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01B3);
        }
        Ok(())
    }
}
