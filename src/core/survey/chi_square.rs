//! Quantiles of the chi-square distribution, by inverting the regularised incomplete gamma function
//! (Abramowitz & Stegun 6.5: series 6.5.29 below, continued fraction 6.5.31 above the mean).

/// Natural logarithm of the gamma function for positive arguments: Stirling's series (Abramowitz & Stegun 6.1.41)
/// after the argument has been raised above 10 by the recurrence.
fn ln_gamma(mut x: f64) -> f64 {
    let mut below = 0.0;
    while x < 10.0 {
        below += x.ln();
        x += 1.0;
    }
    let square = 1.0 / (x * x);
    let series = (1.0 / 12.0
        - square * (1.0 / 360.0 - square * (1.0 / 1260.0 - square * (1.0 / 1680.0 - square * (1.0 / 1188.0)))))
        / x;
    (x - 0.5) * x.ln() - x + 0.5 * std::f64::consts::TAU.ln() + series - below
}

/// The regularised lower incomplete gamma function P(a, x) for positive a.
fn gamma_p(a: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    let front = (a * x.ln() - x - ln_gamma(a)).exp();
    if x < a + 1.0 {
        let (mut term, mut sum, mut n) = (1.0 / a, 1.0 / a, a);
        while term > sum * f64::EPSILON {
            n += 1.0;
            term *= x / n;
            sum += term;
        }
        front * sum
    } else {
        // Lentz's evaluation of the continued fraction.
        let mut b = x + 1.0 - a;
        let mut c = f64::MAX;
        let mut d = 1.0 / b;
        let mut h = d;
        for i in 1..10_000 {
            let i = f64::from(i);
            let numerator = i * (a - i);
            b += 2.0;
            d = 1.0 / (numerator * d + b);
            c = b + numerator / c;
            let factor = c * d;
            h *= factor;
            if (factor - 1.0).abs() <= f64::EPSILON {
                break;
            }
        }
        1.0 - front * h
    }
}

/// Probability that a chi-square variable with this many degrees of freedom is at most `x`.
#[must_use]
pub fn distribution(x: f64, degrees_of_freedom: usize) -> f64 {
    gamma_p(degrees_of_freedom as f64 / 2.0, x / 2.0)
}

/// The value that a chi-square variable stays below with this probability, 0 < p < 1; 0 for no degrees of freedom.
#[must_use]
pub(crate) fn quantile(probability: f64, degrees_of_freedom: usize) -> f64 {
    if degrees_of_freedom == 0 {
        return 0.0;
    }
    let (mut low, mut high) = (0.0, degrees_of_freedom as f64);
    while distribution(high, degrees_of_freedom) < probability {
        low = high;
        high *= 2.0;
    }
    // Halving ends where a double has no number between.
    loop {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            return middle;
        }
        if distribution(middle, degrees_of_freedom) < probability {
            low = middle;
        } else {
            high = middle;
        }
    }
}

/// Lower and upper bound that a chi-square variable keeps with 95 % probability, 2.5 % outside at either end.
#[must_use]
pub fn bounds_95(degrees_of_freedom: usize) -> [f64; 2] {
    [quantile(0.025, degrees_of_freedom), quantile(0.975, degrees_of_freedom)]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Standard table of the chi-square distribution (2.5, 5, 95, 97.5, 99 %), four decimals.
    #[test]
    fn agrees_with_the_standard_table() {
        let table: [(usize, [f64; 5]); 6] = [
            (1, [0.0010, 0.0039, 3.8415, 5.0239, 6.6349]),
            (2, [0.0506, 0.1026, 5.9915, 7.3778, 9.2103]),
            (5, [0.8312, 1.1455, 11.0705, 12.8325, 15.0863]),
            (9, [2.7004, 3.3251, 16.9190, 19.0228, 21.6660]),
            (13, [5.0088, 5.8919, 22.3620, 24.7356, 27.6882]),
            (20, [9.5908, 10.8508, 31.4104, 34.1696, 37.5662]),
        ];
        for (dof, row) in table {
            for (p, expected) in [0.025, 0.05, 0.95, 0.975, 0.99].into_iter().zip(row) {
                let found = quantile(p, dof);
                assert!((found - expected).abs() <= 6e-5, "dof {dof} p {p}: {found} {expected}");
            }
        }
    }

    /// With two degrees of freedom the quantile is -2 ln(1 - p) (the exponential distribution).
    #[test]
    fn two_degrees_have_a_closed_form() {
        for p in [1e-6, 0.001, 0.025, 0.5, 0.975, 0.999, 1.0 - 1e-6_f64] {
            let exact = -2.0 * (-p).ln_1p();
            assert!((quantile(p, 2) - exact).abs() < 1e-9 * exact.max(1e-3), "{p}: {} {exact}", quantile(p, 2));
        }
    }

    /// What lies below a quantile is its probability, for few and for many degrees of freedom.
    #[test]
    fn a_quantile_inverts_the_distribution() {
        for dof in [1, 2, 3, 10, 100, 1_000, 10_000] {
            for p in [0.001, 0.025, 0.5, 0.975, 0.999] {
                let back = distribution(quantile(p, dof), dof);
                assert!((back - p).abs() < 1e-9, "dof {dof} p {p}: {back}");
            }
        }
    }
}
