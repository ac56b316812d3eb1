//! The minimum that was found, as what is told of it is worked out from.

use super::covariance::Covariance;
use super::network::Network;
use super::solver::rows::Rows;
use super::state::State;
use nalgebra::Point3;

/// Everything at the minimum.
pub(super) struct Minimum<'a> {
    pub network: &'a Network<'a>,
    pub state: &'a State,
    pub cost: f64,
    /// Weighted equations over the free unknowns.
    pub rows: Rows,
    /// Whether a part has no size.
    pub scaleless: bool,
    /// States elsewhere that fit alike.
    pub rivals: &'a [State],
    /// Other minima that fit alike, laid on this one.
    pub other_minima: &'a [State],
}

/// Corners of a face by points, with the numbers of their coordinates.
pub(super) fn face_ring(minimum: &Minimum<'_>, covariance: &Covariance, face: usize) -> Vec<(usize, Point3<f64>)> {
    let network = minimum.network;
    network.survey.faces[face]
        .points
        .iter()
        .map(|point| {
            let index = point.index();
            (covariance.point(index), minimum.state.places[network.point_place[index]])
        })
        .collect()
}
