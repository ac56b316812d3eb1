//! The inverse of a normal matrix: all of it, or a factor from which what is asked for is worked out.

use super::skyline::{Pattern, Skyline};
use nalgebra::{DMatrix, DVector, Matrix3};

/// Up to this many unknowns all of the inverse is kept.
pub(super) const MOST_IN_FULL: usize = 400;

/// The inverse of the normal matrix in columns scaled to length 1.
#[derive(Clone, Debug)]
pub(super) enum Inverse {
    /// All of it.
    Full(DMatrix<f64>),
    /// Its entries within the envelope of the matrix; others come from the factor when they are asked for.
    OnDemand {
        pattern: Pattern,
        factor: Vec<f64>,
        within: Vec<f64>,
        /// Unknowns that were held: nothing of theirs is in the inverse.
        held: Vec<bool>,
        /// Directions that are weak, with their variances.
        weak: Vec<(f64, DVector<f64>)>,
    },
    /// None of it, for its entries are so large that the difference of two means nothing; all comes from a factor found
    /// without the squares of the equations.
    Halves { pattern: Pattern, factor: Vec<f64> },
}

impl Inverse {
    /// From the factor of a normal matrix of which some unknowns were held.
    pub fn new(pattern: Pattern, factor: Vec<f64>, held: &[usize]) -> Self {
        let count = pattern.count();
        let mut is_held = vec![false; count];
        for &h in held {
            is_held[h] = true;
        }
        if count > MOST_IN_FULL {
            let within = Skyline::view(&pattern, &factor).inverse_within().into_values();
            return Self::OnDemand { pattern, factor, within, held: is_held, weak: Vec::new() };
        }
        let mut inverse = Skyline::view(&pattern, &factor).inverse();
        for &h in held {
            inverse.row_mut(h).fill(0.0);
            inverse.column_mut(h).fill(0.0);
        }
        Self::Full(inverse)
    }

    /// Sum of the diagonal.
    pub fn trace(&self) -> f64 {
        match self {
            Self::Halves { pattern, .. } => (0..pattern.count()).map(|k| self.between(&[(k, 1.0)], &[(k, 1.0)])).sum(),
            Self::Full(matrix) => matrix.trace(),
            Self::OnDemand { pattern, within, held, .. } => {
                let view = Skyline::view(pattern, within);
                (0..held.len()).filter(|&k| !held[k]).filter_map(|k| view.entry(k, k)).sum()
            }
        }
    }

    /// Adds a direction that is weak to what was held.
    pub fn add(&mut self, variance: f64, direction: &DVector<f64>) {
        match self {
            // Nothing is held there.
            Self::Halves { .. } => {}
            Self::Full(matrix) => matrix.ger(variance, direction, direction, 1.0),
            Self::OnDemand { weak, .. } => weak.push((variance, direction.clone())),
        }
    }

    /// The product with a vector given by its entries.
    pub fn times(&self, vector: &[(usize, f64)]) -> Vec<f64> {
        match self {
            Self::Full(matrix) => {
                let mut product = DVector::zeros(matrix.nrows());
                for &(k, value) in vector {
                    product.axpy(value, &matrix.column(k), 1.0);
                }
                product.data.into()
            }
            Self::Halves { pattern, factor } => {
                let mut right = vec![0.0; pattern.count()];
                for &(k, value) in vector {
                    right[k] += value;
                }
                Skyline::view(pattern, factor).solve(&right)
            }
            Self::OnDemand { pattern, factor, held, weak, .. } => {
                let mut right = vec![0.0; held.len()];
                for &(k, value) in vector.iter().filter(|(k, _)| !held[*k]) {
                    right[k] += value;
                }
                let mut product = Skyline::view(pattern, factor).solve(&right);
                for (value, _) in product.iter_mut().zip(held).filter(|(_, held)| **held) {
                    *value = 0.0;
                }
                for (variance, direction) in weak {
                    let along: f64 = vector.iter().map(|&(k, value)| value * direction[k]).sum();
                    for (value, part) in product.iter_mut().zip(direction) {
                        *value += variance * along * part;
                    }
                }
                product
            }
        }
    }

    /// The products of three vectors with each other.
    pub fn of_three(&self, vectors: [&[(usize, f64)]; 3]) -> Matrix3<f64> {
        if let Self::Halves { pattern, factor } = self {
            let view = Skyline::view(pattern, factor);
            let halves = vectors.map(|vector| view.half(vector));
            return Matrix3::from_fn(|i, j| halves[i].iter().zip(&halves[j]).map(|(s, t)| s * t).sum());
        }
        let mut matrix = Matrix3::zeros();
        for i in 0..3 {
            for j in 0..=i {
                matrix[(i, j)] = self.between(vectors[i], vectors[j]);
                matrix[(j, i)] = matrix[(i, j)];
            }
        }
        matrix
    }

    /// The product with a vector on either side.
    pub fn between(&self, a: &[(usize, f64)], b: &[(usize, f64)]) -> f64 {
        match self {
            Self::Full(matrix) => {
                a.iter().map(|&(i, s)| s * b.iter().map(|&(j, t)| t * matrix[(i, j)]).sum::<f64>()).sum()
            }
            Self::Halves { pattern, factor } => {
                let view = Skyline::view(pattern, factor);
                let first = view.half(a);
                let dot = |second: &[f64]| first.iter().zip(second).map(|(s, t)| s * t).sum::<f64>();
                if a == b { dot(&first) } else { dot(&view.half(b)) }
            }
            Self::OnDemand { pattern, within, held, weak, .. } => {
                let view = Skyline::view(pattern, within);
                let entry = |i: usize, j: usize| if held[i] || held[j] { Some(0.0) } else { view.entry(i, j) };
                let mut sum = Some(0.0);
                for &(i, s) in a {
                    for &(j, t) in b {
                        sum = sum.zip(entry(i, j)).map(|(sum, entry)| sum + s * t * entry);
                    }
                }
                let Some(sum) = sum else {
                    let product = self.times(b);
                    return a.iter().map(|&(i, s)| s * product[i]).sum();
                };
                let along = |gradient: &[(usize, f64)], direction: &DVector<f64>| -> f64 {
                    gradient.iter().map(|&(k, value)| value * direction[k]).sum()
                };
                sum + weak.iter().map(|(variance, d)| variance * along(a, d) * along(b, d)).sum::<f64>()
            }
        }
    }
}
