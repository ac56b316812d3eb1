//! A small seeded generator, so that a case is its seed.

/// `SplitMix64` (Steele, Lea, Flood, "Fast splittable pseudorandom number generators", 2014).
pub struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Self {
        let mut random = Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        random.next();
        random
    }

    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number from `low` up to and including `high`.
    pub fn whole(&mut self, low: i64, high: i64) -> i64 {
        low + i64::try_from(self.next() % u64::try_from(high - low + 1).unwrap()).unwrap()
    }

    /// From 0 up to, not including, 1.
    pub fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn chance(&mut self, share: f64) -> bool {
        self.share() < share
    }

    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[usize::try_from(self.next() % from.len() as u64).unwrap()]
    }
}
