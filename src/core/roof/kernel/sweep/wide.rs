//! Signed 256-bit integers, just enough of them for exact predicates on planes with 53-bit integer coefficients.

use dashu_int::IBig;
use std::cmp::Ordering;
use std::ops::{Add, Neg, Sub};

/// A signed integer of 256 bits. Operations wrap; callers stay within the stated bounds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Wide {
    high: i128,
    low: u128,
}

impl From<i128> for Wide {
    fn from(value: i128) -> Self {
        #[allow(clippy::cast_sign_loss)]
        Self { high: if value < 0 { -1 } else { 0 }, low: value as u128 }
    }
}

impl Add for Wide {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let (low, carry) = self.low.overflowing_add(other.low);
        Self { high: self.high.wrapping_add(other.high).wrapping_add(i128::from(carry)), low }
    }
}

impl Neg for Wide {
    type Output = Self;
    fn neg(self) -> Self {
        let (low, carry) = (!self.low).overflowing_add(1);
        Self { high: (!self.high).wrapping_add(i128::from(carry)), low }
    }
}

impl Sub for Wide {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Wide {
    /// -1, 0 or 1.
    #[must_use]
    pub fn signum(self) -> i32 {
        match (self.high, self.low) {
            (0, 0) => 0,
            (high, _) if high < 0 => -1,
            _ => 1,
        }
    }

    /// The same as an integer of any size.
    #[must_use]
    pub(crate) fn to_big(self) -> IBig {
        (IBig::from(self.high) << 128) + IBig::from(self.low)
    }

    fn magnitude(self) -> (u128, u128) {
        let value = if self.high < 0 { -self } else { self };
        #[allow(clippy::cast_sign_loss)]
        (value.high as u128, value.low)
    }

    /// The exact product of two integers.
    #[must_use]
    pub fn product(a: i128, b: i64) -> Self {
        // With the sign in the upper half only, both partial products fit.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let (upper, lower) = (a >> 64, i128::from(a as u64));
        let (high, low) = (upper * i128::from(b), lower * i128::from(b));
        #[allow(clippy::cast_sign_loss)]
        let (sum, carry) = ((high as u128) << 64).overflowing_add(low as u128);
        Self { high: (high >> 64) + (low >> 127) + i128::from(carry), low: sum }
    }

    /// The product with a 64-bit integer. Precondition: the value fits 192 bits.
    #[must_use]
    pub fn times(self, factor: i64) -> Self {
        let negative = (self.high < 0) != (factor < 0);
        let (high, low) = self.magnitude();
        let factor = u128::from(factor.unsigned_abs());
        let first = (low & u128::from(u64::MAX)) * factor;
        let second = (low >> 64) * factor;
        let third = (high & u128::from(u64::MAX)).wrapping_mul(factor);
        let (low, carry) = first.overflowing_add(second << 64);
        let high = (second >> 64).wrapping_add(third).wrapping_add(u128::from(carry));
        #[allow(clippy::cast_possible_wrap)]
        let product = Self { high: high as i128, low };
        if negative { -product } else { product }
    }

    /// The nearest floats' neighbourhood: relative error below 2⁻⁵¹. Precondition: the value fits 192 bits.
    #[must_use]
    pub fn to_f64(self) -> f64 {
        const LIMB: f64 = 18_446_744_073_709_551_616.0;
        let [low, middle, high] = self.limbs();
        let size = if high == 0 {
            middle as f64 * LIMB + low as f64
        } else {
            high as f64 * (LIMB * LIMB) + middle as f64 * LIMB
        };
        if self.high < 0 { -size } else { size }
    }

    fn limbs(self) -> [u64; 3] {
        let (high, low) = self.magnitude();
        #[allow(clippy::cast_possible_truncation)]
        [low as u64, (low >> 64) as u64, high as u64]
    }
}

/// Full product of two 192-bit magnitudes, least limb first.
fn multiply(a: [u64; 3], b: [u64; 3]) -> [u64; 6] {
    let mut out = [0u64; 6];
    for (i, &x) in a.iter().enumerate() {
        let mut carry = 0u128;
        for (j, &y) in b.iter().enumerate() {
            let sum = u128::from(x) * u128::from(y) + u128::from(out[i + j]) + carry;
            #[allow(clippy::cast_possible_truncation)]
            {
                out[i + j] = sum as u64;
            }
            carry = sum >> 64;
        }
        #[allow(clippy::cast_possible_truncation)]
        {
            out[i + 3] = carry as u64;
        }
    }
    out
}

/// Compares `a / b` with `c / d` exactly. Preconditions: `b` and `d` positive; all four fit 192 bits.
#[must_use]
pub(crate) fn compare_ratios(a: Wide, b: Wide, c: Wide, d: Wide) -> Ordering {
    let (left, right) = (a.signum(), c.signum());
    if left != right || left == 0 {
        return left.cmp(&right);
    }
    let (x, y) = (multiply(a.limbs(), d.limbs()), multiply(c.limbs(), b.limbs()));
    let order = x.iter().rev().cmp(y.iter().rev());
    if left < 0 { order.reverse() } else { order }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::*;

    fn big(value: Wide) -> IBig {
        value.to_big()
    }

    /// A small linear congruential generator: the test needs many different bits, not good ones.
    fn next(state: &mut u64) -> i64 {
        *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        #[allow(clippy::cast_possible_wrap)]
        let value = (*state >> 10) as i64;
        value - (1 << 53)
    }

    #[test]
    fn agrees_with_an_outside_big_integer() {
        let mut seed = 7;
        for _ in 0..2000 {
            let [a, b, c, d, e, f] = std::array::from_fn(|_| next(&mut seed));
            let first = Wide::from(i128::from(a) * i128::from(b)).times(c);
            assert_eq!(Wide::product(i128::from(a) * i128::from(b), c), first);
            let exact = IBig::from(a) * IBig::from(b) * IBig::from(c);
            assert_eq!(big(first), exact);
            let second = Wide::from(i128::from(d) * i128::from(e)).times(f);
            let other = IBig::from(d) * IBig::from(e) * IBig::from(f);
            assert_eq!(big(first - second), &exact - &other);
            assert_eq!(big(first.times(d)), &exact * IBig::from(d));
            let one = Wide::from(i128::from(a.abs() + 1));
            let two = Wide::from(i128::from(b.abs() + 1));
            let order = (&exact * big(two)).cmp(&(&other * big(one)));
            assert_eq!(compare_ratios(first, one, second, two), order);
            assert_eq!(compare_ratios(first, one, first, one), Ordering::Equal);
            assert!((first.to_f64() / exact.to_f64().value() - 1.0).abs() < 4.0 * f64::EPSILON);
        }
    }
}
