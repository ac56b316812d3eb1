//! Covariance of the adjusted places, for whatever is computed from them later.

use super::chance::Chance;
use super::gauge::Scaleless;
use super::network::Network;
use super::solver::cofactor::Cofactor;
use super::solver::elimination::{Elimination, Role};
use super::solver::rows::Rows;
use super::state::State;
use nalgebra::{DMatrix, DVector, Matrix3};

/// Joint covariance of the coordinates of all ring corners (x, y) and named points (x, y, z).
///
/// Coordinates are numbered: corners of the first ring, x then y, then of the next; then x, y, z of each point.
#[derive(Clone, Debug)]
pub struct Covariance {
    cofactor: Cofactor,
    /// What each coordinate moves by with the free unknowns.
    moves: Vec<Vec<(usize, f64)>>,
    coordinates: Coordinates,
    /// The equations over the free unknowns.
    rows: Rows,
}

/// Which unknown each coordinate is.
#[derive(Clone, Debug)]
pub(super) struct Coordinates {
    columns: Vec<Option<usize>>,
    ring_starts: Vec<usize>,
    points_start: usize,
    /// How the coordinates of parts without a size grow with it: one vector a part, of length 1.
    free_scales: Vec<Vec<f64>>,
}

impl Coordinates {
    pub(super) fn new(network: &Network<'_>) -> Self {
        let mut columns = Vec::new();
        let mut ring_starts = Vec::new();
        for (&first, ring) in network.ring_first.iter().zip(network.rings) {
            ring_starts.push(columns.len());
            for place in first..first + ring.corners() {
                columns.extend_from_slice(&network.layout.places[place][..2]);
            }
        }
        let points_start = columns.len();
        for &place in &network.point_place {
            columns.extend_from_slice(&network.layout.places[place]);
        }
        Self { columns, ring_starts, points_start, free_scales: Vec::new() }
    }

    pub(super) fn add_free_scale(&mut self, network: &Network<'_>, state: &State, part: &Scaleless) {
        let mut growth = vec![0.0; self.columns.len()];
        for (point, place) in network.point_place.iter().enumerate() {
            if part.places.contains(place) {
                let way = state.places[*place] - state.places[part.about];
                let first = self.points_start + 3 * point;
                growth[first..first + 3].copy_from_slice(way.as_slice());
            }
        }
        let length = growth.iter().map(|g| g * g).sum::<f64>().sqrt();
        if length > 0.0 {
            for g in &mut growth {
                *g /= length;
            }
            self.free_scales.push(growth);
        }
    }
}

/// A quantity whose gradient, of length 1, changes by more than this with a part's free size is not determined.
const SIZE_PART: f64 = 1e-6;

impl Covariance {
    /// From the columns of each coordinate, the exact constraints and the analysis.
    #[must_use]
    pub(super) fn new(coordinates: Coordinates, elimination: &Elimination, cofactor: Cofactor, rows: Rows) -> Self {
        let moves: Vec<Vec<(usize, f64)>> = coordinates
            .columns
            .iter()
            .map(|column| match column.map(|column| &elimination.roles[column]) {
                None => Vec::new(),
                Some(Role::Free(number)) => vec![(*number, 1.0)],
                Some(Role::Bound { terms, .. }) => terms.clone(),
            })
            .collect();
        Self { cofactor, moves, coordinates, rows }
    }

    /// Whether a quantity stays the same when parts without a size grow.
    fn keeps_size(&self, gradient: &[(usize, f64)]) -> bool {
        let length = gradient.iter().map(|(_, g)| g * g).sum::<f64>().sqrt();
        let growth = |scale: &Vec<f64>| gradient.iter().map(|&(c, g)| g * scale[c]).sum::<f64>().abs();
        self.coordinates.free_scales.iter().all(|scale| growth(scale) <= SIZE_PART * length)
    }

    /// Number of the x coordinate of a ring's corner; y is the next. Rings and corners in file order.
    #[must_use]
    pub fn corner(&self, ring: usize, corner: usize) -> usize {
        self.coordinates.ring_starts[ring] + 2 * corner
    }

    /// Number of the x coordinate of a named point; y and z follow.
    #[must_use]
    pub fn point(&self, point: usize) -> usize {
        self.coordinates.points_start + 3 * point
    }

    /// Number of coordinates.
    #[must_use]
    pub fn count(&self) -> usize {
        self.moves.len()
    }

    /// Covariance of two coordinates by their numbers, square metres. What is not determined has no meaning in it: ask
    /// `Covariance::is_determined` or [`Covariance::variance`].
    #[must_use]
    pub fn entry(&self, a: usize, b: usize) -> f64 {
        self.cofactor.between(&self.moves[a], &self.moves[b])
    }

    /// The covariance of a quantity, by its gradient by coordinates, with every coordinate.
    #[must_use]
    pub(super) fn carried(&self, gradient: &[(usize, f64)]) -> Vec<f64> {
        let unknowns = self.cofactor.carried(&self.by_unknowns(gradient));
        self.moves.iter().map(|moves| moves.iter().map(|&(n, t)| t * unknowns[n]).sum()).collect()
    }

    /// Displacements of all coordinates drawn at random, so that their covariance is this one: what the adjustment makes of
    /// readings that err by chance. The same draw for the same number.
    #[must_use]
    pub fn draw(&self, number: u64) -> Vec<f64> {
        let mut chance = Chance::new(number);
        let errors: Vec<f64> = (0..self.rows.len()).map(|_| chance.normal()).collect();
        let pull = self.rows.against(&errors);
        let pull: Vec<(usize, f64)> = pull.into_iter().enumerate().collect();
        let unknowns = self.cofactor.carried(&pull);
        self.moves.iter().map(|moves| moves.iter().map(|&(n, t)| t * unknowns[n]).sum()).collect()
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

    /// Directions in which coordinates could move without any measurement noticing, one a column, each scaled to what
    /// one unit of the equations moves.
    #[must_use]
    pub(super) fn open_directions(&self) -> DMatrix<f64> {
        let cofactor = &self.cofactor;
        let null = cofactor.null.ncols();
        let mut open = DMatrix::zeros(self.moves.len(), null + self.coordinates.free_scales.len());
        for (coordinate, moves) in self.moves.iter().enumerate() {
            for direction in 0..null {
                open[(coordinate, direction)] =
                    moves.iter().map(|&(n, t)| t * cofactor.null[(n, direction)] / cofactor.scale[n]).sum();
            }
        }
        for (k, scale) in self.coordinates.free_scales.iter().enumerate() {
            open.set_column(null + k, &DVector::from_column_slice(scale));
        }
        open
    }

    /// Whether a quantity would be fixed if the size of every part were.
    #[must_use]
    pub(super) fn has_shape(&self, gradient: &[(usize, f64)]) -> bool {
        self.cofactor.null_part(&self.by_unknowns(gradient)).is_none()
    }

    /// Whether the measurements fix a quantity, given its gradient by coordinates: `(number, derivative)`.
    #[must_use]
    pub(crate) fn is_determined(&self, gradient: &[(usize, f64)]) -> bool {
        self.keeps_size(gradient) && self.cofactor.null_part(&self.by_unknowns(gradient)).is_none()
    }

    /// Covariances of three quantities with each other by their gradients; `None` when one is not determined.
    #[must_use]
    pub(crate) fn of_three(&self, gradients: [&[(usize, f64)]; 3]) -> Option<Matrix3<f64>> {
        if !gradients.iter().all(|gradient| self.is_determined(gradient)) {
            return None;
        }
        let unknowns = gradients.map(|gradient| self.by_unknowns(gradient));
        Some(self.cofactor.of_three([&unknowns[0], &unknowns[1], &unknowns[2]]))
    }

    /// Variance of a quantity by its gradient; `None` when it is not determined. O(k²) for k entries.
    #[must_use]
    pub fn variance(&self, gradient: &[(usize, f64)]) -> Option<f64> {
        self.covariance(gradient, gradient)
            // Rounding can bring the variance of what is exact a little under nothing.
            .map(|variance| variance.max(0.0))
    }

    /// Covariance of two quantities by their gradients; `None` when either is not determined.
    #[must_use]
    pub fn covariance(&self, a: &[(usize, f64)], b: &[(usize, f64)]) -> Option<f64> {
        let known = self.is_determined(a) && self.is_determined(b);
        known.then(|| self.cofactor.between(&self.by_unknowns(a), &self.by_unknowns(b)))
    }
}
