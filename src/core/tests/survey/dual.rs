//! Dual numbers: a value and its derivatives by N variables, exact to rounding by the rules of differentiation.

use eavewright_core::survey::scalar::Scalar;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A value and its derivatives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dual<const N: usize> {
    pub value: f64,
    pub slopes: [f64; N],
}

impl<const N: usize> Dual<N> {
    /// The variable with this number.
    pub fn variable(value: f64, number: usize) -> Self {
        let mut slopes = [0.0; N];
        slopes[number] = 1.0;
        Self { value, slopes }
    }

    /// A function of it with this value and derivative.
    fn chain(self, value: f64, slope: f64) -> Self {
        Self { value, slopes: self.slopes.map(|s| s * slope) }
    }

    fn with(self, other: Self, value: f64, by_self: f64, by_other: f64) -> Self {
        let mut slopes = [0.0; N];
        for (k, slope) in slopes.iter_mut().enumerate() {
            *slope = by_self * self.slopes[k] + by_other * other.slopes[k];
        }
        Self { value, slopes }
    }

    pub fn sin(self) -> Self {
        self.chain(self.value.sin(), self.value.cos())
    }

    pub fn cos(self) -> Self {
        self.chain(self.value.cos(), -self.value.sin())
    }

    pub fn atan(self) -> Self {
        self.chain(self.value.atan(), 1.0 / (1.0 + self.value * self.value))
    }

    pub fn ln(self) -> Self {
        self.chain(self.value.ln(), 1.0 / self.value)
    }

    pub fn pow(self, other: Self) -> Self {
        (other * self.ln()).exp()
    }
}

impl<const N: usize> Add for Dual<N> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        self.with(other, self.value + other.value, 1.0, 1.0)
    }
}

impl<const N: usize> Sub for Dual<N> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self.with(other, self.value - other.value, 1.0, -1.0)
    }
}

impl<const N: usize> Mul for Dual<N> {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        self.with(other, self.value * other.value, other.value, self.value)
    }
}

impl<const N: usize> Div for Dual<N> {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let value = self.value / other.value;
        self.with(other, value, 1.0 / other.value, -value / other.value)
    }
}

impl<const N: usize> Neg for Dual<N> {
    type Output = Self;
    fn neg(self) -> Self {
        self.chain(-self.value, -1.0)
    }
}

impl<const N: usize> Scalar for Dual<N> {
    fn constant(value: f64) -> Self {
        Self { value, slopes: [0.0; N] }
    }
    fn value(self) -> f64 {
        self.value
    }
    fn sqrt(self) -> Self {
        let root = self.value.sqrt();
        self.chain(root, 0.5 / root)
    }
    fn atan2(self, x: Self) -> Self {
        let square = self.value * self.value + x.value * x.value;
        self.with(x, self.value.atan2(x.value), x.value / square, -self.value / square)
    }
    fn exp(self) -> Self {
        let value = self.value.exp();
        self.chain(value, value)
    }
}
