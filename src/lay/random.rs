//! Random numbers that are the same on every machine for the same seed.

/// A generator of random numbers (`SplitMix64`: G. Steele, D. Lea, C. Flood, "Fast splittable pseudorandom
/// number generators", OOPSLA 2014, from memory).
#[derive(Debug, Clone)]
pub(super) struct Random(u64);

impl Random {
    /// The generator of one stream of a seed. Streams of one seed are independent.
    pub(super) fn new(seed: u64, stream: u64) -> Self {
        let mut random = Self(seed ^ stream.wrapping_mul(0xD1B5_4A32_D192_ED03));
        random.next();
        random
    }

    /// Returns other random numbers, which depend on those so far.
    pub(super) fn split(&mut self) -> Self {
        let seed = self.next();
        Self::new(seed, 0)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Draws a number evenly from 0 to 1.
    pub(super) fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Draws a number evenly between two.
    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Draws a number near 0, mostly within 1 on either side: a sum of four even numbers, which is not quite
    /// normal.
    pub(super) fn near_zero(&mut self) -> f64 {
        (self.unit() + self.unit() + self.unit() + self.unit() - 2.0) * 1.7
    }

    /// Draws an index below `count`; 0 if `count` is 0.
    pub(super) fn index(&mut self, count: usize) -> usize {
        ((self.unit() * count as f64) as usize).min(count.saturating_sub(1))
    }

    /// Puts a list in random order.
    pub(super) fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            list.swap(i, self.index(i + 1));
        }
    }
}
