//! Whether the corners of a face are held well enough for its numbers to mean something. Standard deviations are carried
//! to first order: where a corner may lie metres away, an area that stands still for its first millimetre says nothing.

use super::adjust::Minimum;
use super::covariance::Covariance;
use super::report::LARGEST_SD;
use nalgebra::Point3;

/// A pitch whose standard deviation is more than this, radians, and more than [`LARGEST_SD`] of it, is not answered (3°).
const LARGEST_PITCH_SD: f64 = std::f64::consts::PI / 60.0;

/// A state elsewhere tells nothing new when a corner lies within so many standard deviations there.
const BEYOND_CHANCE: f64 = 4.0;

/// A corner of a face that is hardly held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Loose {
    /// The point.
    pub point: usize,
    /// Standard deviation of its place, or how far off it may lie as well, metres.
    pub sd: f64,
}

/// The corner of a face that is held worst, where its standard deviation is more than [`LARGEST_SD`] of the face's extent.
pub(super) fn loose_corner(minimum: &Minimum<'_>, covariance: &Covariance, face: usize) -> Option<Loose> {
    let network = minimum.network;
    let points = &network.survey.faces[face].points;
    let places: Vec<Point3<f64>> =
        points.iter().map(|point| minimum.state.places[network.point_place[point.index()]]).collect();
    let extent = places.iter().flat_map(|a| places.iter().map(move |b| (a - b).norm())).fold(0.0, f64::max);
    let loose = points.iter().filter_map(|point| {
        let first = covariance.point(point.index());
        let variance: Option<f64> = (0..3).map(|k| covariance.variance(&[(first + k, 1.0)])).sum();
        let place = network.point_place[point.index()];
        let here = minimum.state.places[place];
        let elsewhere = minimum.rivals.iter().map(|rival| (rival.places[place] - here).norm()).fold(0.0, f64::max);
        let sd = variance?.sqrt();
        // What is within chance of here the standard deviation tells.
        Some(Loose { point: point.index(), sd: if elsewhere > BEYOND_CHANCE * sd { elsewhere } else { sd } })
    });
    loose.filter(|corner| corner.sd > LARGEST_SD * extent).max_by(|a, b| a.sd.total_cmp(&b.sd))
}

/// Whether a pitch is answered.
pub(super) fn is_pitch_held(pitch: f64, sd: f64) -> bool {
    sd <= (LARGEST_SD * pitch).max(LARGEST_PITCH_SD)
}
