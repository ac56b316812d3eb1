//! The arithmetic a residual needs, so that one definition serves plain numbers and dual numbers (whose derivatives
//! the tests hold against the hand-written ones).

use std::ops::{Add, Div, Mul, Neg, Sub};

/// A number a residual can be evaluated with.
pub trait Scalar:
    Copy + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Div<Output = Self> + Neg<Output = Self>
{
    /// A number that does not vary.
    fn constant(value: f64) -> Self;
    /// The number itself, without derivatives.
    fn value(self) -> f64;
    /// Square root.
    #[must_use]
    fn sqrt(self) -> Self;
    /// Angle of the vector (`x`, `self`), radians in -π ..= π.
    #[must_use]
    fn atan2(self, x: Self) -> Self;
    /// Natural exponential.
    #[must_use]
    fn exp(self) -> Self;
}

impl Scalar for f64 {
    fn constant(value: f64) -> Self {
        value
    }
    fn value(self) -> f64 {
        self
    }
    fn sqrt(self) -> Self {
        self.sqrt()
    }
    fn atan2(self, x: Self) -> Self {
        self.atan2(x)
    }
    fn exp(self) -> Self {
        self.exp()
    }
}
