//! Planes with integer coefficients, the exact points where three of them meet, and exact heights.
//!
//! A plane is `n · p = d + s z`: at height `z` its line has inward normal `n` and lies `d + s z` along it. The real
//! coefficients are the integers over fixed powers of two ([`Scale`]), so they are `f64` numbers too, exactly.

use super::decimals::nearest;
use super::wide::{Wide, compare_ratios};
use dashu_int::IBig;
use std::cmp::Ordering;

/// Bits of the fraction of a normal's components.
const NORMAL_BITS: i32 = 52;

/// How real coefficients become integers below 2⁵³.
#[derive(Clone, Copy, Debug)]
pub struct Scale {
    /// Offsets and speeds are integers over this power of two.
    unit: f64,
    /// The factor from ratios of plan numerators to units of the plan.
    plan_factor: f64,
}

impl Scale {
    /// The finest scale at which nothing as large as `largest` overflows.
    #[must_use]
    pub(crate) fn for_largest(largest: f64) -> Self {
        #[allow(clippy::cast_possible_truncation)]
        let exponent = largest.max(f64::MIN_POSITIVE).log2().ceil() as i32;
        let bits = 51 - exponent;
        Self { unit: 2f64.powi(bits), plan_factor: 2f64.powi(NORMAL_BITS - bits) }
    }

    /// An offset or a speed as the nearest integer.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)]
    pub fn whole(self, value: f64) -> i64 {
        nearest(value * self.unit) as i64
    }

    /// The plane of a normal and of whole coefficients, to be numbered `id`.
    #[must_use]
    pub fn plane(self, id: u32, normal: [f64; 2], s: i64, d: i64) -> SweepPlane {
        const UNIT: f64 = (1u64 << NORMAL_BITS) as f64;
        let scale = self.unit;
        #[allow(clippy::cast_possible_truncation)]
        let n = normal.map(|part| nearest(part * UNIT) as i64);
        SweepPlane {
            n,
            s,
            d,
            id,
            normal: [n[0] as f64 / UNIT, n[1] as f64 / UNIT],
            speed: s as f64 / scale,
            offset: d as f64 / scale,
        }
    }
}

/// A plane of the sweep; integer and real coefficients are the same numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SweepPlane {
    n: [i64; 2],
    s: i64,
    d: i64,
    /// Its number: two planes of one number are one plane.
    pub id: u32,
    /// Inward normal of its lines: of unit length to rounding, or of whole numbers over a power of two, a half to √2 long.
    pub normal: [f64; 2],
    /// How far inwards it goes, along its normal, per unit of height; 0 for a plumb plane.
    pub speed: f64,
    /// How far along its normal its line lies at height 0.
    pub offset: f64,
}

impl SweepPlane {
    /// Whether the plane is plumb.
    #[must_use]
    pub(crate) fn is_plumb(&self) -> bool {
        self.s == 0
    }

    /// A key equal exactly for equal planes.
    #[must_use]
    pub fn key(&self) -> (i64, i64, i64, i64) {
        (self.n[0], self.n[1], self.s, self.d)
    }

    /// Direction of its lines, the roof to the left.
    #[must_use]
    pub fn along(&self) -> [f64; 2] {
        [self.normal[1], -self.normal[0]]
    }

    /// Whether both planes' lines run the same way.
    #[must_use]
    pub fn same_direction(&self, other: &Self) -> bool {
        self.n == other.n
    }

    /// Sign of the speeds' difference.
    #[must_use]
    pub(crate) fn compare_speed(&self, other: &Self) -> Ordering {
        self.s.cmp(&other.s)
    }
}

/// Exact cross product of two normals: positive where the outline turns left from `a` to `b`.
#[must_use]
pub fn cross(a: &SweepPlane, b: &SweepPlane) -> i128 {
    i128::from(a.n[0]) * i128::from(b.n[1]) - i128::from(a.n[1]) * i128::from(b.n[0])
}

/// Compares the directions of two rays by angle in [0, 2π) from +x. A ray is a plane's line, run forwards or back.
#[must_use]
pub(crate) fn compare_rays(a: (&SweepPlane, bool), b: (&SweepPlane, bool)) -> Ordering {
    let ray = |(plane, forwards): (&SweepPlane, bool)| {
        let along = [plane.n[1], -plane.n[0]];
        if forwards { along } else { [-along[0], -along[1]] }
    };
    let (a, b) = (ray(a), ray(b));
    let half = |v: [i64; 2]| u8::from(v[1] < 0 || (v[1] == 0 && v[0] < 0));
    let turn = i128::from(a[0]) * i128::from(b[1]) - i128::from(a[1]) * i128::from(b[0]);
    half(a).cmp(&half(b)).then(0.cmp(&turn))
}

/// `w_a C_bc - w_b C_ac + w_c C_ab`, exactly.
fn combine(crosses: &[i128; 3], weights: [i64; 3]) -> Wide {
    let [bc, ac, ab] = *crosses;
    Wide::product(bc, weights[0]) - Wide::product(ac, weights[1]) + Wide::product(ab, weights[2])
}

/// An exact height: a ratio of integers with a positive denominator, and the `f64` next to it.
#[derive(Clone, Copy, Debug)]
pub struct Height {
    over: Wide,
    under: Wide,
    /// Whether both signs were changed to make the denominator positive.
    turned: bool,
    /// Within a few units in the last place.
    pub near: f64,
}

impl Height {
    /// Height zero: the level of the lowest side.
    #[must_use]
    pub fn zero() -> Self {
        Self { over: Wide::from(0), under: Wide::from(1), turned: false, near: 0.0 }
    }

    fn new(over: Wide, under: Wide) -> Self {
        let turned = under.signum() < 0;
        let (over, under) = if turned { (-over, -under) } else { (over, under) };
        Self { over, under, turned, near: over.to_f64() / under.to_f64() }
    }

    /// Where three planes meet; `None` when they share no single point. O(1).
    #[must_use]
    pub fn of(a: &SweepPlane, b: &SweepPlane, c: &SweepPlane) -> Option<Self> {
        let crosses = [cross(b, c), cross(a, c), cross(a, b)];
        let under = combine(&crosses, [a.s, b.s, c.s]);
        (under.signum() != 0).then(|| Self::new(-combine(&crosses, [a.d, b.d, c.d]), under))
    }

    /// Where two planes of one direction and different speeds meet; `None` otherwise.
    #[must_use]
    pub(crate) fn of_parallel(a: &SweepPlane, b: &SweepPlane) -> Option<Self> {
        let under = i128::from(b.s) - i128::from(a.s);
        let over = i128::from(a.d) - i128::from(b.d);
        (a.n == b.n && under != 0).then(|| Self::new(over.into(), under.into()))
    }

    /// A float surely not above it.
    #[must_use]
    pub fn low(&self) -> f64 {
        self.near - 8.0 * f64::EPSILON * self.near.abs()
    }

    /// A float surely not below it.
    #[must_use]
    pub fn high(&self) -> f64 {
        self.near + 8.0 * f64::EPSILON * self.near.abs()
    }

    /// Exact comparison; floats decide where they can.
    #[must_use]
    pub fn compare(&self, other: &Self) -> Ordering {
        let gap = self.near - other.near;
        let doubt = 16.0 * f64::EPSILON * (self.near.abs() + other.near.abs());
        if gap.abs() > doubt {
            return if gap > 0.0 { Ordering::Greater } else { Ordering::Less };
        }
        compare_ratios(self.over, self.under, other.over, other.under)
    }
}

/// The exact point where three planes meet, in homogeneous integers with `w` positive.
#[derive(Clone, Copy, Debug)]
pub struct TriplePoint {
    x: Wide,
    y: Wide,
    z: Wide,
    w: Wide,
    /// The planes.
    of: [u32; 3],
    /// The place in units of the frame, each coordinate within a few units in the last place.
    pub near: [f64; 3],
}

impl TriplePoint {
    /// Where three planes meet; `None` when they share no single point. O(1).
    #[must_use]
    pub fn of(a: &SweepPlane, b: &SweepPlane, c: &SweepPlane, scale: Scale) -> Option<Self> {
        Some(Self::at(&Height::of(a, b, c)?, a, b, c, scale))
    }

    /// Where three planes meet, `height` being [`Height::of`] them. O(1).
    #[must_use]
    pub fn at(height: &Height, a: &SweepPlane, b: &SweepPlane, c: &SweepPlane, scale: Scale) -> Self {
        let minor = |p: &SweepPlane, q: &SweepPlane, axis: usize| {
            i128::from(p.n[axis]) * i128::from(q.s) - i128::from(q.n[axis]) * i128::from(p.s)
        };
        let plan = |axis: usize| combine(&[minor(b, c, axis), minor(a, c, axis), minor(a, b, axis)], [a.d, b.d, c.d]);
        let (x, y) = if height.turned { (-plan(1), plan(0)) } else { (plan(1), -plan(0)) };
        let factor = scale.plan_factor / height.under.to_f64();
        let near = [x.to_f64() * factor, y.to_f64() * factor, height.near];
        Self { x, y, z: height.over, w: height.under, of: [a.id, b.id, c.id], near }
    }

    /// Its height.
    #[must_use]
    pub fn height(&self) -> Height {
        Height { over: self.z, under: self.w, turned: false, near: self.near[2] }
    }

    /// Sign of the distance inwards from a plane's line at this height: exact; floats decide where they can.
    #[must_use]
    pub(crate) fn side_of(&self, plane: &SweepPlane) -> i32 {
        if self.of.contains(&plane.id) {
            return 0;
        }
        let [x, y, z] = self.near;
        let terms = [plane.normal[0] * x, plane.normal[1] * y, -plane.speed * z, -plane.offset];
        let value: f64 = terms.iter().sum();
        let doubt = 16.0 * f64::EPSILON * terms.iter().map(|term| term.abs()).sum::<f64>();
        if value.abs() > doubt {
            return if value > 0.0 { 1 } else { -1 };
        }
        let exact = self.x.times(plane.n[0]) + self.y.times(plane.n[1]) - self.z.times(plane.s) - self.w.times(plane.d);
        exact.signum()
    }

    /// Order of this and another point of one height along a plane's lines: exact; floats decide where they can.
    #[must_use]
    pub(crate) fn compare_along(&self, other: &Self, plane: &SweepPlane) -> Ordering {
        let along = plane.along();
        let terms = [0, 1].map(|axis| (along[axis] * self.near[axis], along[axis] * other.near[axis]));
        let gap: f64 = terms.iter().map(|(a, b)| a - b).sum();
        let doubt = 16.0 * f64::EPSILON * terms.iter().map(|(a, b)| a.abs() + b.abs()).sum::<f64>();
        if gap.abs() > doubt {
            return if gap > 0.0 { Ordering::Greater } else { Ordering::Less };
        }
        // Both over positive denominators: the sign of `along · (p w' - p' w)`.
        let [x, y, w] = [self.x, self.y, self.w].map(Wide::to_big);
        let [u, v, t] = [other.x, other.y, other.w].map(Wide::to_big);
        let value = (x * &t - u * &w) * plane.n[1] - (y * t - v * w) * plane.n[0];
        value.cmp(&IBig::ZERO)
    }

    /// Whether two points of equal height are one.
    #[must_use]
    pub(crate) fn same_place(&self, other: &Self) -> bool {
        let far = |a: f64, b: f64| (a - b).abs() > 16.0 * f64::EPSILON * (a.abs() + b.abs());
        !far(self.near[0], other.near[0])
            && !far(self.near[1], other.near[1])
            && compare_ratios(self.x, self.w, other.x, other.w).is_eq()
            && compare_ratios(self.y, self.w, other.y, other.w).is_eq()
    }
}

/// Sign of the determinant that says how three planes' lines close on each other, with the height at which they meet
/// where floats can tell both surely; `None` where only exact arithmetic can.
#[must_use]
pub fn estimate(a: &SweepPlane, b: &SweepPlane, c: &SweepPlane) -> Option<(i32, f64, f64)> {
    let cross = |p: &SweepPlane, q: &SweepPlane| {
        let (left, right) = (p.normal[0] * q.normal[1], p.normal[1] * q.normal[0]);
        (left - right, left.abs() + right.abs())
    };
    let crosses = [cross(b, c), cross(a, c), cross(a, b)];
    let total = |weights: [f64; 3]| {
        let [bc, ac, ab] = crosses;
        let value = weights[0] * bc.0 - weights[1] * ac.0 + weights[2] * ab.0;
        let size = weights[0].abs() * bc.1 + weights[1].abs() * ac.1 + weights[2].abs() * ab.1;
        (value, 8.0 * f64::EPSILON * size)
    };
    let (under, under_doubt) = total([a.speed, b.speed, c.speed]);
    if under.abs() <= 2.0 * under_doubt {
        return None;
    }
    let (over, over_doubt) = total([a.offset, b.offset, c.offset]);
    let height = -over / under;
    let doubt = (over_doubt + height.abs() * under_doubt) / (under.abs() - under_doubt) * 2.0;
    Some((if under > 0.0 { 1 } else { -1 }, height, doubt))
}

/// The exact sign that [`estimate`] estimates.
#[must_use]
pub fn closing(a: &SweepPlane, b: &SweepPlane, c: &SweepPlane) -> i32 {
    combine(&[cross(b, c), cross(a, c), cross(a, b)], [a.s, b.s, c.s]).signum()
}
