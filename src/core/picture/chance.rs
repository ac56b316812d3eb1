//! Whether so many profiles agree by chance.

/// The logarithm of the chance that of `n` profiles `k` or more agree, each with chance `p`, by Hoeffding's bound
/// `(p/q)^k ((1-p)/(1-q))^(n-k)` with `q = k/n` (W. Hoeffding, 1963, theorem 1); 0 where no more agree than chance would
/// bring.
#[must_use]
pub(super) fn log_chance(n: usize, k: usize, p: f64) -> f64 {
    let (n, k) = (n as f64, k as f64);
    let q = k / n.max(1.0);
    if q <= p {
        return 0.0;
    }
    let rest = if k < n { (n - k) * ((1.0 - p) / (1.0 - q)).ln() } else { 0.0 };
    k * (p / q).ln() + rest
}

#[cfg(test)]
mod tests {
    use super::log_chance;

    /// The bound is never below the binomial tail and within a factor of n of it.
    #[test]
    fn the_bound_holds_against_the_binomial_tail() {
        for (n, k, p) in [(20_usize, 15_usize, 0.4_f64), (40, 30, 0.3), (12, 12, 0.5), (30, 20, 0.6)] {
            let mut term = (1.0 - p).powi(i32::try_from(n).unwrap_or(0));
            let mut tail = 0.0;
            for hits in 0..=n {
                if hits >= k {
                    tail += term;
                }
                term *= p / (1.0 - p) * (n - hits) as f64 / (hits + 1) as f64;
            }
            let bound = log_chance(n, k, p).exp();
            assert!(bound >= tail * 0.999_999 && bound <= tail * n as f64, "{n} {k} {p}: {bound} {tail}");
        }
        assert_eq!(log_chance(10, 3, 0.4), 0.0);
    }
}
