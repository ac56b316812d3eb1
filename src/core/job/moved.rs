//! What a roof over outlines is solved from, moved a little.

use crate::survey::Adjusted;
use nalgebra::Point2;

/// The most uncertain coordinates without derivative that are moved one by one. In a job with more all are moved together, drawn at random as
/// the adjustment's errors would move them, so often that a standard deviation is told to within 6 % of itself.
pub(super) const MOST_COORDINATES: usize = 512;
/// The step as a fraction of the coordinate's own standard deviation: small enough that no fold changes its place in
/// the topology for any outline a tape can tell apart, large enough to stand far above rounding.
pub(super) const STEP: f64 = 0.1;

/// What the roof over outlines is solved from, one number of it moved.
#[derive(Clone, Debug)]
pub(super) struct Moved {
    /// Corners of all rings.
    pub rings: Vec<Vec<Point2<f64>>>,
    /// What each reading outside the adjustment is changed by.
    pub readings: Vec<f64>,
}

impl Moved {
    /// Whether a coordinate, by its number in the covariance, is one of a ring's corner.
    pub fn has(&self, coordinate: usize) -> bool {
        coordinate < 2 * self.rings.iter().map(Vec::len).sum::<usize>()
    }

    /// With one coordinate of a ring's corner, by its number in the covariance, moved.
    pub(crate) fn with_coordinate(&self, coordinate: usize, offset: f64) -> Self {
        let mut moved = self.clone();
        let mut rest = coordinate;
        for ring in &mut moved.rings {
            if let Some(corner) = ring.get_mut(rest / 2) {
                corner[rest % 2] += offset;
                return moved;
            }
            rest -= 2 * ring.len();
        }
        moved
    }

    /// With every corner moved, by the numbers of coordinates in the covariance.
    pub(crate) fn displaced(&self, displacements: &[f64], times: f64) -> Self {
        let mut moved = self.clone();
        let coordinates = moved.rings.iter_mut().flatten().flat_map(|corner| corner.coords.iter_mut());
        for (coordinate, by) in coordinates.zip(displacements) {
            *coordinate += by * times;
        }
        moved
    }

    /// With one reading changed.
    pub(crate) fn with_reading(&self, reading: usize, offset: f64) -> Self {
        let mut moved = self.clone();
        moved.readings[reading] += offset;
        moved
    }
}

/// Numbers of the coordinates that have a variance.
#[must_use]
pub(super) fn uncertain(adjusted: &Adjusted) -> Vec<usize> {
    (0..adjusted.covariance.count()).filter(|&k| adjusted.covariance.entry(k, k) > 0.0).collect()
}
