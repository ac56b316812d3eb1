//! Covariance of the adjusted places, for whatever is computed from them later.

use super::solver::cofactor::Cofactor;
use super::solver::elimination::{Elimination, Role};
use nalgebra::DMatrix;

/// Joint covariance of the coordinates of all ring corners (x, y) and named points (x, y, z).
///
/// Coordinates are numbered: corners of the first ring, x then y, then of the next; then x, y, z of each point.
#[derive(Clone, Debug)]
pub struct Covariance {
    cofactor: Cofactor,
    /// What each coordinate moves by with the free unknowns.
    moves: Vec<Vec<(usize, f64)>>,
    ring_starts: Vec<usize>,
    points_start: usize,
    matrix: DMatrix<f64>,
}

impl Covariance {
    /// From the columns of each coordinate (`None`: given), the exact constraints and the analysis.
    #[must_use]
    pub(super) fn new(
        columns: &[Option<usize>],
        ring_starts: Vec<usize>,
        points_start: usize,
        elimination: &Elimination,
        cofactor: Cofactor,
    ) -> Self {
        let moves: Vec<Vec<(usize, f64)>> = columns
            .iter()
            .map(|column| match column.map(|column| &elimination.roles[column]) {
                None => Vec::new(),
                Some(Role::Free(number)) => vec![(*number, 1.0)],
                Some(Role::Bound { terms, .. }) => terms.clone(),
            })
            .collect();
        let count = moves.len();
        let mut matrix = DMatrix::zeros(count, count);
        for i in 0..count {
            for j in 0..=i {
                let value = cofactor.between(&moves[i], &moves[j]);
                matrix[(i, j)] = value;
                matrix[(j, i)] = value;
            }
        }
        Self { cofactor, moves, ring_starts, points_start, matrix }
    }

    /// Number of the x coordinate of a ring's corner; y is the next. Rings and corners in file order.
    #[must_use]
    pub fn corner(&self, ring: usize, corner: usize) -> usize {
        self.ring_starts[ring] + 2 * corner
    }

    /// Number of the x coordinate of a named point; y and z follow.
    #[must_use]
    pub fn point(&self, point: usize) -> usize {
        self.points_start + 3 * point
    }

    /// The covariance matrix, square metres. What is not determined has no meaning in it: ask
    /// [`Covariance::is_determined`] or [`Covariance::variance`].
    #[must_use]
    pub fn matrix(&self) -> &DMatrix<f64> {
        &self.matrix
    }

    /// The gradient by the free unknowns of a quantity whose gradient by coordinates is given.
    #[must_use]
    pub(super) fn by_unknowns(&self, gradient: &[(usize, f64)]) -> Vec<(usize, f64)> {
        let mut all: Vec<(usize, f64)> = gradient
            .iter()
            .flat_map(|&(coordinate, slope)| self.moves[coordinate].iter().map(move |&(n, t)| (n, slope * t)))
            .collect();
        all.sort_unstable_by_key(|entry| entry.0);
        all.dedup_by(|next, kept| {
            let same = next.0 == kept.0;
            if same {
                kept.1 += next.1;
            }
            same
        });
        all
    }

    pub(super) fn cofactor(&self) -> &Cofactor {
        &self.cofactor
    }

    /// Whether the measurements fix a quantity, given its gradient by coordinates: `(number, derivative)`.
    #[must_use]
    pub fn is_determined(&self, gradient: &[(usize, f64)]) -> bool {
        self.cofactor.null_part(&self.by_unknowns(gradient)).is_none()
    }

    /// Variance of a quantity by its gradient; `None` when it is not determined. O(k²) for k entries.
    #[must_use]
    pub fn variance(&self, gradient: &[(usize, f64)]) -> Option<f64> {
        let gradient = self.by_unknowns(gradient);
        // Rounding can bring the variance of what is exact a little under nothing.
        self.cofactor.null_part(&gradient).is_none().then(|| self.cofactor.between(&gradient, &gradient).max(0.0))
    }

    /// Covariance of two quantities by their gradients; `None` when either is not determined.
    #[must_use]
    pub fn covariance(&self, a: &[(usize, f64)], b: &[(usize, f64)]) -> Option<f64> {
        let (a, b) = (self.by_unknowns(a), self.by_unknowns(b));
        let known = self.cofactor.null_part(&a).is_none() && self.cofactor.null_part(&b).is_none();
        known.then(|| self.cofactor.between(&a, &b))
    }
}
