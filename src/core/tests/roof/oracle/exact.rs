//! Rationals and plane vectors of them.

use dashu_int::{
    IBig, UBig,
    ops::{Gcd, SquareRoot},
};
use dashu_ratio::RBig;
use std::ops::{Add, Mul, Sub};

/// The only number of the simulator.
pub type Q = RBig;

/// The exact value of a finite float.
pub fn q(value: f64) -> Q {
    Q::try_from(value).expect("finite")
}

/// The simplest fraction that rounds to a finite float: a decimal as a person wrote it, exactly.
pub fn as_written(value: f64) -> Q {
    Q::simplest_from_f64(value).expect("finite")
}

/// The nearest float, near enough for reports and for rejecting what is plainly far.
pub fn f(value: &Q) -> f64 {
    value.to_f64_fast()
}

/// Whether a number is negative, zero or positive.
pub fn sign(value: &Q) -> i32 {
    if value.is_zero() {
        0
    } else if *value > Q::ZERO {
        1
    } else {
        -1
    }
}

/// A vector or a point in plan.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct V {
    pub x: Q,
    pub y: Q,
}

impl V {
    pub fn new(x: Q, y: Q) -> Self {
        Self { x, y }
    }

    pub fn dot(&self, other: &Self) -> Q {
        &self.x * &other.x + &self.y * &other.y
    }

    pub fn cross(&self, other: &Self) -> Q {
        &self.x * &other.y - &self.y * &other.x
    }

    /// Turned a quarter to the left.
    pub fn left(&self) -> Self {
        Self::new(-self.y.clone(), self.x.clone())
    }

    /// Turned a quarter to the right.
    pub fn right(&self) -> Self {
        Self::new(self.y.clone(), -self.x.clone())
    }

    pub fn negated(&self) -> Self {
        Self::new(-self.x.clone(), -self.y.clone())
    }

    pub fn scaled(&self, factor: &Q) -> Self {
        Self::new(&self.x * factor, &self.y * factor)
    }

    pub fn approximate(&self) -> [f64; 2] {
        [f(&self.x), f(&self.y)]
    }

    /// The shortest vector of whole numbers along this one: equal for equal directions.
    pub fn primitive(&self) -> Self {
        let (xn, xd) = self.x.clone().into_parts();
        let (yn, yd) = self.y.clone().into_parts();
        let a: IBig = xn * IBig::from(yd);
        let b: IBig = yn * IBig::from(xd);
        let common: UBig = (&a).gcd(&b);
        let common = IBig::from(common);
        Self::new(Q::from(a / &common), Q::from(b / &common))
    }

    /// Its length: exact where it is whole, else the nearest float to it.
    pub fn length(&self) -> Q {
        let square = self.dot(self);
        if let Ok(whole) = UBig::try_from(square.numerator().clone())
            && square.denominator().is_one()
        {
            let root = whole.sqrt();
            if &root * &root == whole {
                return Q::from(root);
            }
        }
        q(f(&square).sqrt())
    }

    /// 0 for the half turn from +x up to, not including, −x; 1 for the other.
    fn half(&self) -> u8 {
        u8::from(self.y < Q::ZERO || (self.y.is_zero() && self.x < Q::ZERO))
    }

    /// Order of direction anticlockwise from +x.
    pub fn by_angle(&self, other: &Self) -> std::cmp::Ordering {
        let halves = self.half().cmp(&other.half());
        halves.then_with(|| Q::ZERO.cmp(&self.cross(other)))
    }
}

impl Add for &V {
    type Output = V;
    fn add(self, other: &V) -> V {
        V::new(&self.x + &other.x, &self.y + &other.y)
    }
}

impl Sub for &V {
    type Output = V;
    fn sub(self, other: &V) -> V {
        V::new(&self.x - &other.x, &self.y - &other.y)
    }
}

impl Mul<&Q> for &V {
    type Output = V;
    fn mul(self, factor: &Q) -> V {
        self.scaled(factor)
    }
}

/// Twice the signed area of a ring.
pub fn doubled_area(ring: &[V]) -> Q {
    let mut sum = Q::ZERO;
    for (index, here) in ring.iter().enumerate() {
        sum += here.cross(&ring[(index + 1) % ring.len()]);
    }
    sum
}
