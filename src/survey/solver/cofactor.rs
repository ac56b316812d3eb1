//! What the equations at the minimum say about the unknowns: their covariance, and the directions in which they
//! could move without any observation noticing.

use super::rows::Rows;
use super::skyline::{Pattern, Skyline};
use nalgebra::{DMatrix, DVector};

/// Covariance of the unknowns, and the null space of the equations.
#[derive(Clone, Debug)]
pub struct Cofactor {
    /// Covariance of what is determined; square, one line a unknown.
    pub covariance: DMatrix<f64>,
    /// Directions not determined, orthonormal in columns scaled by `scale`, one a column.
    pub null: DMatrix<f64>,
    /// Length of each column of the equations: the unit the null space is measured in.
    pub scale: Vec<f64>,
    /// Number of unknowns that are determined.
    pub rank: usize,
}

/// A singular value below this part of the largest one is rounding: the derivatives of the longest chain of
/// operations (a mark) carry some 10³ roundings of 10⁻¹⁶, a column of them somewhat more.
const RANK_TOLERANCE: f64 = 1e-11;
/// The normal matrix holds the squares of singular values: its factor is trusted while the smallest pivot is well
/// above the rounding of squares.
const SMALLEST_PIVOT: f64 = 1e-9;
/// A quantity whose gradient, scaled to length 1, has more than this in the null space is not determined.
const NULL_PART: f64 = 1e-6;
/// Above this many unknowns singular values take minutes: there pivots decide.
const MOST_FOR_SVD: usize = 400;

impl Cofactor {
    /// Analyses weighted equations. A factor of the normal matrix where that is well conditioned (O(n² b) for a mean
    /// bandwidth b), else the singular values of the equations in columns scaled to length 1 (O(m n²)).
    #[must_use]
    pub fn new(rows: &Rows) -> Self {
        let scale: Vec<f64> =
            rows.column_lengths().iter().map(|&length| if length > 0.0 { length } else { 1.0 }).collect();
        Self::by_factor(rows, &scale).unwrap_or_else(|| {
            if rows.unknowns <= MOST_FOR_SVD {
                Self::by_singular_values(rows, &scale)
            } else {
                Self::by_pivots(rows, &scale)
            }
        })
    }

    fn by_factor(rows: &Rows, scale: &[f64]) -> Option<Self> {
        let count = rows.unknowns;
        let pattern = Pattern::new(rows);
        let factor = Skyline::normal(&pattern, rows, scale).factor(0.0)?;
        if factor.smallest_pivot() < SMALLEST_PIVOT {
            return None;
        }
        let mut covariance = factor.inverse();
        // Pivots bound the smallest eigenvalue from above only; the largest of the inverse tells.
        let trace: f64 = (0..count).map(|i| covariance[(i, i)]).sum();
        if !trace.is_finite() || trace * SMALLEST_PIVOT >= 1.0 {
            return None;
        }
        unscale(&mut covariance, scale);
        Some(Self { covariance, null: DMatrix::zeros(count, 0), scale: scale.to_vec(), rank: count })
    }

    fn by_singular_values(rows: &Rows, scale: &[f64]) -> Self {
        let count = rows.unknowns;
        // At least as many lines as columns, so that the decomposition spans every direction.
        let mut dense = DMatrix::zeros(rows.len().max(count), count);
        for (line, (columns, slopes)) in rows.iter().enumerate() {
            for (&column, slope) in columns.iter().zip(slopes) {
                dense[(line, column)] = slope / scale[column];
            }
        }
        let triangle = if dense.nrows() > count { dense.qr().r() } else { dense };
        let decomposition = triangle.svd(false, true);
        let values = decomposition.singular_values;
        let turned = decomposition.v_t.unwrap_or_else(|| DMatrix::identity(count, count));
        let threshold = values.iter().copied().fold(0.0, f64::max) * RANK_TOLERANCE;
        let (kept, lost): (Vec<usize>, Vec<usize>) = (0..values.len()).partition(|&k| values[k] > threshold);
        let mut half = DMatrix::zeros(count, kept.len());
        for (column, &k) in kept.iter().enumerate() {
            half.set_column(column, &(turned.row(k).transpose() / values[k]));
        }
        let mut covariance = &half * half.transpose();
        unscale(&mut covariance, scale);
        let mut null = DMatrix::zeros(count, lost.len());
        for (column, &k) in lost.iter().enumerate() {
            null.set_column(column, &turned.row(k).transpose());
        }
        Self { covariance, null, scale: scale.to_vec(), rank: kept.len() }
    }

    /// Holds unknowns whose pivot vanishes: any such choice gives the same covariance of whatever is determined.
    fn by_pivots(rows: &Rows, scale: &[f64]) -> Self {
        let count = rows.unknowns;
        let pattern = Pattern::new(rows);
        let normal = Skyline::normal(&pattern, rows, scale);
        let (factor, held) = normal.factor_holding(SMALLEST_PIVOT);
        let mut covariance = factor.inverse();
        for &h in &held {
            covariance.row_mut(h).fill(0.0);
            covariance.column_mut(h).fill(0.0);
        }
        let mut null = DMatrix::zeros(count, held.len());
        for (k, &h) in held.iter().enumerate() {
            let mut right: Vec<f64> = normal.column(h).iter().map(|v| -v).collect();
            for &other in &held {
                right[other] = 0.0;
            }
            let mut direction = factor.solve(&right);
            for &other in &held {
                direction[other] = 0.0;
            }
            direction[h] = 1.0;
            null.set_column(k, &DVector::from_vec(direction));
        }
        let null = if held.is_empty() { null } else { null.qr().q() };
        unscale(&mut covariance, scale);
        Self { covariance, null, scale: scale.to_vec(), rank: count - held.len() }
    }

    /// The part of a quantity's gradient that lies in the null space, one number a direction, the gradient scaled to
    /// length 1; `None` when it has none to speak of: the quantity is determined.
    #[must_use]
    pub fn null_part(&self, gradient: &[(usize, f64)]) -> Option<DVector<f64>> {
        if self.null.ncols() == 0 {
            return None;
        }
        let scaled: Vec<(usize, f64)> = gradient.iter().map(|&(u, g)| (u, g / self.scale[u])).collect();
        let length = scaled.iter().map(|(_, g)| g * g).sum::<f64>().sqrt();
        if length == 0.0 {
            return None;
        }
        let mut part = DVector::zeros(self.null.ncols());
        for (unknown, g) in scaled {
            part += self.null.row(unknown).transpose() * (g / length);
        }
        (part.norm() > NULL_PART).then_some(part)
    }

    /// Covariance of two quantities by their gradients.
    #[must_use]
    pub fn between(&self, a: &[(usize, f64)], b: &[(usize, f64)]) -> f64 {
        a.iter().map(|&(i, s)| s * b.iter().map(|&(j, t)| t * self.covariance[(i, j)]).sum::<f64>()).sum()
    }
}

fn unscale(covariance: &mut DMatrix<f64>, scale: &[f64]) {
    for column in 0..covariance.ncols() {
        for line in 0..covariance.nrows() {
            covariance[(line, column)] /= scale[line] * scale[column];
        }
    }
}
