//! Standard normal numbers that are the same for the same start (`SplitMix64`: G. L. Steele, D. Lea, C. H. Flood, "Fast
//! splittable pseudorandom number generators", 2014; Box and Muller, 1958).

/// The generator.
pub(super) struct Chance(u64);

impl Chance {
    pub(super) fn new(start: u64) -> Self {
        Self(start)
    }

    /// In 0 .. 1.
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Of mean 0 and variance 1.
    pub(super) fn normal(&mut self) -> f64 {
        (-2.0 * (1.0 - self.unit()).ln()).sqrt() * (std::f64::consts::TAU * self.unit()).cos()
    }
}
