//! Numbers left to chance, the same on every machine for the same seed.

/// A generator of numbers (`SplitMix64`: G. Steele, D. Lea, C. Flood, "Fast splittable pseudorandom
/// number generators", OOPSLA 2014, from memory).
#[derive(Debug, Clone)]
pub(super) struct Chance(u64);

impl Chance {
    /// A generator for a seed and a stream of its own.
    pub(super) fn new(seed: u64, stream: u64) -> Self {
        let mut chance = Self(seed ^ stream.wrapping_mul(0xD1B5_4A32_D192_ED03));
        chance.next();
        chance
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Evenly from 0 to 1.
    pub(super) fn part(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Evenly between two numbers.
    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.part()
    }

    /// Near 0, mostly within 1 on either side (the sum of four even numbers, not quite normal).
    pub(super) fn near(&mut self) -> f64 {
        (self.part() + self.part() + self.part() + self.part() - 2.0) * 1.7
    }

    /// One of so many; 0 if there are none.
    pub(super) fn one_of(&mut self, count: usize) -> usize {
        ((self.part() * count as f64) as usize).min(count.saturating_sub(1))
    }

    /// Puts a list in any order.
    pub(super) fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            list.swap(i, self.one_of(i + 1));
        }
    }
}
